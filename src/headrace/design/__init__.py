"""The hallway: one machine, in any number of lanes, through every stage in order. No physics here.

``solve`` is the whole job. The verbs that need less call the stage they need: ``day``, ``losses``, ``evidence``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, partial

from headrace.design.balance import balance
from headrace.design.bogging import bogs
from headrace.design.charges import LowestCharge, lowest_charges
from headrace.design.charging import charging
from headrace.design.conductors import loaded_corners, proposals, wires
from headrace.design.corners import corners
from headrace.design.days import day, four_days, until_empty
from headrace.design.fuse import main_fuse
from headrace.design.gearing import Gearing, gearings
from headrace.design.losses import StateLosses, losses
from headrace.design.protection import protection
from headrace.design.seasons import Seasons, aged_runs, seasons
from headrace.design.slopes import slopes
from headrace.design.starts import starts
from headrace.design.stops import stops, tried
from headrace.design.swings import swings
from headrace.design.warmings import warmings
from headrace.design.windings import Windings, windings
from headrace.drive.links import parts
from headrace.drive.motors import kind_of
from headrace.findings import Days, Evidence, Judged, Swing, judge
from headrace.machine.links import AnyMotor
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import lanes_of
from headrace.pack import arrangement
from headrace.physics import motors
from headrace.runs.march import Progress
from headrace.runs.run import Run
from headrace.wiring.netlist import netlist
from headrace.wiring.order import order

WINDING_MARGIN = 15.0  # K below the insulation's limit that a motor may run at for hours; common practice


@dataclass(frozen=True)
class Design:
    """Everything known about one machine."""

    machine: Machine
    day: Run
    lasts: Run
    losses: tuple[StateLosses, ...]
    lowest_charges: tuple[LowestCharge, ...]
    gearings: tuple[Gearing, ...]
    windings: tuple[Windings, ...]
    aged: tuple[Run, ...]  # a full charge with older cells
    seasons: Seasons | None
    evidence: Evidence
    judged: tuple[Judged, ...]


def solve(machine: Machine, progress: Progress | None = None) -> Design:
    """Take a machine through every stage.

    Parameters
    ----------
    machine
        The machine, one lane.
    progress
        Told the share of the work done.
    """
    worked = day(machine, part_of(progress, 0.0, 0.3))
    lasts = until_empty(machine, part_of(progress, 0.3, 0.5))
    older = aged_runs(machine, worked, part_of(progress, 0.5, 0.7))
    found = evidence(machine, part_of(progress, 0.7, 1.0))
    return Design(
        machine=machine,
        day=worked,
        lasts=lasts,
        losses=losses(machine, worked),
        lowest_charges=lowest_charges(machine, worked),
        gearings=gearings(machine, found.days),
        windings=windings(machine, found.days),
        aged=older,
        seasons=seasons(machine, worked, older, found.charging),
        evidence=found,
        judged=judge(found),
    )


def evidence(machine: Machine, progress: Progress | None = None) -> Evidence:
    """Gather what the findings judge, in all lanes of a machine."""
    return gathered(machine, four_days(machine, progress), swings(machine))


def gathered(machine: Machine, days: Days, carried: tuple[Swing, ...]) -> Evidence:
    """Gather the evidence of days already marched and swings already seen."""
    found = corners(machine, days)
    loaded = cache(partial(loaded_corners, machine, days))
    cells = arrangement.count(machine.source)
    return Evidence(
        machine=machine,
        days=days,
        corners=found,
        stopping=partial(stops, machine, days),
        starting=partial(starts, machine, days),
        bogging=partial(bogs, machine, days),
        sloping=partial(slopes, machine),
        balancing=partial(balance, machine),
        enduring=partial(warmings, machine),
        filling=partial(charging, machine),
        wiring=lambda: wires(machine, loaded()),
        fusing=lambda evidence: main_fuse(loaded(), evidence),
        proposing=lambda fused: proposals(machine, loaded(), fused),
        guarding=partial(protection, machine, found),
        joining=lambda evidence: netlist(machine, evidence.runs, evidence.fused, evidence.guard),
        ordering=lambda evidence: order(machine, evidence.guard, tried(machine, evidence.stops)),
        swings=carried,
        mass=arrangement.mass(machine.source),
        cost=arrangement.cost(machine.source),
        cells=cells,
        room=math.inf if machine.source.endless else arrangement.room_in_box(machine.source, machine.limits.box),
        full_voltage=machine.source.series * machine.source.cell.full_voltage,
        motor_continuous=tuple(
            _motor_continuous(machine, parts(chain).motor, speed, current)
            for chain, speed, current in zip(machine.chains, found.motor_speed, found.motor_current, strict=True)
        ),
        shape=lanes_of(machine),
    )


def _motor_continuous(machine: Machine, motor: AnyMotor, speed: Lanes, current: Lanes) -> Lanes:
    """Return the current a motor can carry for hours in the hottest weather, at its speed. [A]"""
    return motors.continuous_current(
        motor.resistance,
        motor.brush_drop,
        motor.winding_to_case + motor.case_to_air,
        motor.winding_limit - WINDING_MARGIN,
        machine.limits.ambient_hot,
        motors.rotation_rise(
            kind_of(motor).turning(motor, speed, current), motor.rotor_share, motor.winding_to_case, motor.case_to_air
        ),
    )


def part_of(progress: Progress | None, start: float, end: float) -> Progress | None:
    """Return a progress that fills only a part of the whole."""
    if progress is None:
        return None
    whole = progress
    return lambda share: whole(start + (end - start) * share)


__all__ = [
    "Design",
    "day",
    "evidence",
    "four_days",
    "gathered",
    "judge",
    "losses",
    "lowest_charges",
    "part_of",
    "solve",
    "until_empty",
]
