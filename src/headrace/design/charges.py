"""The lowest charge at which each duty state still works."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.design.corners import points_at
from headrace.drive.point import Outcome
from headrace.drive.train import Warmth
from headrace.machine.records import DutyState, Machine
from headrace.pack import source as pack
from headrace.runs.run import Run

STEPS = 1000  # charges looked at between empty and full


@dataclass(frozen=True)
class LowestCharge:
    """How far down one duty state can be worked."""

    state: DutyState
    charge: float | None  # lowest charge that works; None when not even a full pack does
    fails_with: Outcome | None  # what happens below it; None when it works down to nothing


def lowest_charges(machine: Machine, run: Run) -> tuple[LowestCharge, ...]:
    """Return, state by state, the charge below which the machine stops working, warm as at the end of a run.

    Every charge from full to empty is one lane; the slow part of the cells' resistance has settled.
    """
    charge = np.linspace(1.0, 0.0, STEPS + 1)
    cells = float(run.highest_cell_temperature.flat[0])
    warmth = Warmth(float(run.highest_winding.flat[0]), float(run.highest_case.flat[0]), machine.job.ambient)
    terminals = pack.at_length(machine.source, pack.fresh(cells + 0.0 * charge, charge))
    found = []
    for state in machine.job.states:
        points = points_at(machine, state, terminals, [warmth for _ in machine.chains])
        works = np.all([point.works for point in points], axis=0)
        first = int(np.argmin(works)) if not works.all() else len(charge)
        if first == len(charge):
            found.append(LowestCharge(state, 0.0, None))
            continue
        outcome = max(Outcome(int(point.outcome[first])) for point in points)
        found.append(LowestCharge(state, float(charge[first - 1]) if first else None, outcome))
    return tuple(found)
