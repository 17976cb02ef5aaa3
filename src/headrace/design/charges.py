"""The lowest charge at which each duty state still works."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace.design.corners import points_at
from headrace.drive.train import Warmth
from headrace.machine.records import DutyState, Lanes, Machine
from headrace.machine.values import lanes_of, some_lanes
from headrace.pack import source as pack
from headrace.runs.run import Run

STEPS = 1000  # charges looked at between empty and full
CHUNK = 256  # lanes looked at together: each is a thousand operating points


@dataclass(frozen=True)
class LowestCharge:
    """How far down one duty state can be worked; in lanes."""

    state: DutyState
    charge: Lanes  # lowest charge that works; nan where not even a full pack does
    fails_with: npt.NDArray[np.int8]  # Outcome below it; WORKS where it works down to nothing


WORKS = np.int8(-2)  # no outcome


def lowest_charges(machine: Machine, run: Run) -> tuple[LowestCharge, ...]:
    """Return, state by state, the charge below which the machine stops working, warm as at the end of a run."""
    lanes = np.broadcast_shapes(lanes_of(machine), run.duration.shape)
    count = int(np.prod(lanes))
    if count <= CHUNK:
        return _together(machine, run, lanes)
    untraced = replace(run, trace=None)
    parts = []
    for start in range(0, count, CHUNK):
        chosen = np.arange(start, min(start + CHUNK, count))
        some, its_run = some_lanes((machine, untraced), lanes, chosen)
        parts.append(_together(some, its_run, chosen.shape))
    return tuple(
        LowestCharge(
            state,
            np.concatenate([low.charge for low in lows]).reshape(lanes),
            np.concatenate([low.fails_with for low in lows]).reshape(lanes),
        )
        for state, *lows in zip(machine.job.states, *parts, strict=True)
    )


def _together(machine: Machine, run: Run, lanes: tuple[int, ...]) -> tuple[LowestCharge, ...]:
    """Return the lowest charges of some lanes, every charge from full to empty one lane more.

    The slow part of the cells' resistance has settled.
    """
    charge = np.array([1.0]) if machine.source.endless else np.linspace(1.0, 0.0, STEPS + 1)
    column = charge.reshape(-1, *(1 for _ in lanes))
    warmth = Warmth(run.highest_winding, run.highest_case, machine.job.ambient)
    terminals = pack.at_length(machine.source, pack.fresh(run.highest_cell_temperature, column))
    found = []
    for state in machine.job.states:
        points = points_at(machine, state, terminals, [warmth for _ in machine.chains])
        shape = (charge.size, *lanes)
        works = np.broadcast_to(np.all([point.works for point in points], axis=0), shape)
        outcome = np.broadcast_to(np.max([point.outcome for point in points], axis=0), shape)
        first = np.argmin(works, axis=0)  # the first charge that fails, where any does
        always = works.all(axis=0)
        last = np.where(first > 0, charge[first - 1], np.nan)
        below = np.take_along_axis(outcome, first[np.newaxis], axis=0)[0]
        found.append(LowestCharge(state, np.where(always, 0.0, last), np.where(always, WORKS, below)))
    return tuple(found)
