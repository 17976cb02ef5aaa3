"""Four variants of a machine side by side against one of them designed alone."""

from __future__ import annotations

from pathlib import Path

from benchmarks.side_by_side import least_times
from headrace import machine
from headrace.design import Design, solve
from headrace.explore.comparing import Comparison, column, comparison
from headrace.machine.records import Machine

VARIANTS = """
[[variants]]
name = "twelve in series"
set = { "source.series" = 12, "source.parallel" = 5, "chains.blade.motor.constant" = "81 rpm/V" }

[[variants]]
name = "better motor"
set = { "chains.blade.motor.resistance" = "40 mΩ" }

[[variants]]
name = "smoother blade"
set = { "chains.blade.work.windage" = "0.0035..0.007" }

[[variants]]
name = "thicker cable"
set = { "chains.blade.cable.area" = "16 mm²" }
"""


def side_by_side(plans: dict[str, Machine]) -> Comparison:
    """Solve each machine and put them side by side, as the verb does."""
    return comparison([column(name, solve(plan)) for name, plan in plans.items()])


def main(rounds: int = 2) -> None:
    """Time both and hold a machine's column against the machine alone."""
    text = Path("examples/alley-mower.toml").read_text(encoding="utf-8")
    variants = machine.read_variants(machine.read_text(text + VARIANTS))
    plans = {name: reading.machine for name, reading in variants.items()}
    found: dict[str, Comparison] = {}
    alone: dict[str, Design] = {}

    def all_of_them() -> None:
        found["all"] = side_by_side(plans)

    def one() -> None:
        alone["one"] = solve(plans["better motor"])

    least = least_times({"one": one, "all": all_of_them}, rounds)
    beside = next(one for one in found["all"].columns if one.name == "better motor")
    pairs = [
        (beside.design.lasts.to_reserve, alone["one"].lasts.to_reserve),
        (beside.design.lasts.pace_empty, alone["one"].lasts.pace_empty),
        (beside.design.day.cell_energy, alone["one"].day.cell_energy),
    ]
    gap = max(abs(float(a) / float(b) - 1.0) for a, b in pairs)
    closure = max(
        abs(float(one.useful + sum(loss.loss for loss in one.losses)) / float(one.source) - 1.0)
        for one in found["all"].columns
    )
    assert gap == 0.0
    assert closure < 1e-9
    print(f"compare: {len(plans)} variants cost {least['all'] / least['one']:.1f} times one design")
    print(f"  agreement: a column differs from its design alone by {gap:.1e}; watts add up to {closure:.1e}")
