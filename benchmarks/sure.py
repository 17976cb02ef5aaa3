"""Many draws against one or few: of the coupled day, and of the operating point in every duty state."""

from __future__ import annotations

import numpy as np

from benchmarks.side_by_side import least_times
from headrace import design, machine
from headrace.design.corners import points_at
from headrace.drive.train import Warmth
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.runs.march import march

MANY_DAYS, MANY_POINTS, FEW_POINTS = 10_000, 4096, 256
HALF = 0.5  # charge at which the points are solved


def every_state(plan: Machine) -> list[np.ndarray]:
    """Return the tool speed in every duty state, in all lanes of a machine, rested and warm as the air."""
    air = plan.job.ambient
    terminals = pack.at_length(plan.source, pack.fresh(air, HALF))
    warmths = [Warmth(air, air, air) for _ in plan.chains]
    return [points_at(plan, state, terminals, warmths)[0].tool_speed for state in plan.job.states]


def main(rounds: int = 3) -> None:
    """Time both and state their agreement."""
    plan = machine.read("examples/alley-mower.toml").machine
    many = draws(plan, MANY_DAYS, 1)
    found: dict[str, np.ndarray] = {}

    def one_day() -> None:
        found["one"] = np.atleast_1d(design.day(plan).energy)

    def many_days() -> None:
        found["many"] = march(many, many.limits.time_wanted).energy

    least = least_times({"one": one_day, "many": many_days}, rounds)
    gap = abs(float(found["many"][0]) / float(found["one"][0]) - 1.0)
    assert gap < 1e-9
    print(f"coupled day: {MANY_DAYS:,} draws cost {least['many'] / least['one']:.0f} times one")
    print(f"  agreement: the typical lane's energy differs by {gap:.1e}")

    lanes, few = draws(plan, MANY_POINTS - 1, 1), draws(plan, FEW_POINTS - 1, 1)
    speeds: dict[str, list[np.ndarray]] = {}

    def points_of(name: str, of: Machine) -> None:
        speeds[name] = every_state(of)

    contenders = {"many": lambda: points_of("many", lanes), "few": lambda: points_of("few", few)}
    least = least_times(contenders, 40 * rounds)
    gap = max(abs(float(a[0]) / float(b[0]) - 1.0) for a, b in zip(speeds["many"], speeds["few"], strict=True))
    assert gap < 1e-9
    ratio = least["many"] / least["few"]
    print(f"operating point in every duty state: {MANY_POINTS} draws cost {ratio:.1f} times {FEW_POINTS}")
    print(f"  agreement: the typical lane's speed differs by {gap:.1e}")
