"""The whole map of packs, new and aged, against one candidate by its fastest path: ``check`` on plain numbers."""

from __future__ import annotations

import numpy as np

from benchmarks.side_by_side import least_times
from headrace import design, machine
from headrace.explore.packs import PARALLEL, SERIES, PackMap, pack_map
from headrace.findings import Judged, judge

TINY = 1e-12  # to divide by where a rule has nothing to hold


def main(rounds: int = 5) -> None:
    """Time both and hold the candidate's verdict against its place in the map."""
    plan = machine.read("examples/alley-mower.toml").machine
    series, parallel = int(np.asarray(plan.source.series)), int(np.asarray(plan.source.parallel))
    found: dict[str, PackMap] = {}
    alone: dict[str, tuple[Judged, ...]] = {}

    def whole() -> None:
        found["map"] = pack_map(plan)

    def one() -> None:
        alone["one"] = judge(design.evidence(plan))

    least = least_times({"one": one, "map": whole}, rounds)
    lane = found["map"].place(series, parallel)
    from_map = {
        j.rule.slug: float(np.broadcast_to(j.verdict.value, found["map"].every_works.shape)[lane])
        for j in found["map"].judged
    }
    from_one = {j.rule.slug: float(np.asarray(j.verdict.value)) for j in alone["one"] if j.rule.rejects_pack}
    gap = max(abs(from_map[slug] - from_one[slug]) / max(abs(from_one[slug]), TINY) for slug in from_map)
    assert gap < 1e-9
    print(f"map of packs: {len(SERIES) * len(PARALLEL)} candidates cost {least['map'] / least['one']:.1f} times one")
    print(f"  agreement: largest relative gap in the {len(from_map)} numbers judged {gap:.1e}")
