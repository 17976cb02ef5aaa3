"""How long each motor bears each duty state without a pause, in the hottest weather, at half charge."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.design.corners import magnet_rise, points_at
from headrace.drive.links import parts
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.findings.evidence import Enduring
from headrace.machine.records import DutyState, Machine
from headrace.pack import source as pack
from headrace.physics.working import solution
from headrace.runs.warming import Heats, Losses, Warming, heats, warming

ROUNDS = 2  # looks at the losses of a motor warm all through, each as warm as the one before has found it
LEAST = 1.0  # K above the air, at which a motor is looked at that hardly warms


def warmings(machine: Machine) -> tuple[Enduring, ...]:
    """Return how each chain's motor warms in each duty state it is switched on in, in all lanes of a machine."""
    return tuple(one for state in machine.job.states for one in _kept_at(machine, state))


@solution("kept at it from cold: two bodies, heated by losses that grow with the warmth of winding and magnets")
def _kept_at(machine: Machine, state: DutyState) -> tuple[Enduring, ...]:
    """Return how the motors warm that are on in a duty state."""
    air = machine.limits.ambient_hot
    terminals = pack.at_length(machine.source, pack.fresh(air, pack.HALF_FULL))
    rows = [parts(chain) for chain in machine.chains]

    def heated(warmths: list[Warmth]) -> list[Heats]:
        points = points_at(machine, state, terminals, warmths)
        return [_where_it_works(heats(*of), of[1]) for of in zip(rows, points, warmths, strict=False)]

    cold = heated([Warmth(air, air, air) for _ in rows])
    hot = heated([Warmth(row.motor.winding_limit, air, air) for row in rows])
    case = [air + np.maximum(magnet_rise(row.motor), LEAST) for row in rows]
    found: list[Warming] = []
    through: list[Heats] = []
    for _ in range(ROUNDS):
        through = heated([Warmth(row.motor.winding_limit, warm, air) for row, warm in zip(rows, case, strict=True)])
        losses = [Losses(*of) for of in zip(cold, _or(hot, cold), _or(through, hot), strict=True)]
        found = [warming(row.motor, lost, air) for row, lost in zip(rows, losses, strict=True)]
        case = [np.fmax(one.case, air + LEAST) for one in found]
    on = [k for k, chain in enumerate(machine.chains) if state.at_work(chain)]
    stops = [~np.isnan(cold[k].inner) & np.isnan(through[k].inner) for k in range(len(rows))]
    return tuple(Enduring(machine.chains[k].name, state.name, found[k], np.asarray(stops[k])) for k in on)


def _where_it_works(found: Heats, point: Point) -> Heats:
    """Return heats that are no number where the machine does not work."""
    if np.all(point.works):
        return found
    inner, outer = (np.where(point.works, watts, np.nan) for watts in (found.inner, found.outer))
    return replace(found, inner=inner, outer=outer)


def _or(hotter: list[Heats], colder: list[Heats]) -> list[Heats]:
    """Return the heats of the hotter motor, of the colder one where only that works."""
    return [
        replace(
            hot,
            inner=np.where(np.isnan(hot.inner), cold.inner, hot.inner),
            outer=np.where(np.isnan(hot.outer), cold.outer, hot.outer),
        )
        for hot, cold in zip(hotter, colder, strict=True)
    ]
