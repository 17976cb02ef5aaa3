"""The whole map of packs, new and aged, against one candidate by the same path, which is also its fastest."""

from __future__ import annotations

import numpy as np

from benchmarks.side_by_side import least_times
from headrace import machine
from headrace.explore.packs import PARALLEL, SERIES, PackMap, pack_map


def main(rounds: int = 5) -> None:
    """Time both and hold the candidate's verdict against its place in the map."""
    plan = machine.read("examples/alley-mower.toml").machine
    series, parallel = int(np.asarray(plan.source.series)), int(np.asarray(plan.source.parallel))
    found: dict[str, PackMap] = {}

    def whole() -> None:
        found["map"] = pack_map(plan)

    def one() -> None:
        found["one"] = pack_map(plan, (series,), (parallel,))

    least = least_times({"one": one, "map": whole}, rounds)
    slugs = [{f.slug for f in found[name].reasons(series, parallel)} for name in ("map", "one")]
    gap = np.max(
        np.abs(
            found["map"].evidence.days.new.energy[found["map"].place(series, parallel)]
            / found["one"].evidence.days.new.energy
            - 1.0
        )
    )
    print(f"map of packs: {len(SERIES) * len(PARALLEL)} candidates cost {least['map'] / least['one']:.1f} times one")
    print(f"  agreement: same reasons {slugs[0] == slugs[1]}, largest relative gap in energy {float(gap):.1e}")
