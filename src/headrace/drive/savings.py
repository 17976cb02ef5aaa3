"""What a watt saved at a link is worth at the cells, with the tool's pace held.

Held, because a loss taken away otherwise lets the tool turn faster and eat the saving: the builder who removes a loss
will choose the windings or the ratio for the same pace again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from headrace.drive.converting import at_rest, loss
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.motors import kind_of
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Converted, InductionTrain, Turning, Warmth, resting, train
from headrace.machine.links import (
    AnyMotor,
    Bearings,
    Cable,
    Contacts,
    Controller,
    Converter,
    InductionMotor,
    Link,
    Motor,
    SeriesMotor,
    Transmission,
)
from headrace.machine.records import Chain, DutyState, Job, Lanes
from headrace.machine.works import Work
from headrace.physics import converters, induction, inverters, motors, series_motor

IMPROVEMENTS = {
    "windage": "a thinner, smoother tool that fans half as much",
    "rubbing": "half the friction on its way up",
    "tackle": "sheaves on rolling bearings, or fewer of them",
    "pump": "a pump that is made for this flow and height",
    "pipe": "a hose 15 % wider, or half as long",
    "fan": "a wheel that fits its duct, with half the loss",
    "rolling": "larger or harder tyres, or firmer ground",
    "slip": "more weight on the driven wheels, or more tread",
    "bearings": "seals and grease with half the drag",
    "v-belt": "a toothed belt",
    "rotation": "a motor with half the friction",
    "brushes": "brushes with half the drop, or a brushless motor",
    "copper": "a motor with half the resistance",
    "iron": "a motor with thinner, better iron",
    "rotor": "a motor with half the slip",
    "controller": "a controller with half the losses",
    "inverter": "no inverter: a motor that runs on the direct volts before it",
    "dc-dc": "a motor that runs on the volts before it",
    "cable": "twice the copper, or half the length",
    "contacts": "fewer joints, cleaned and tightened",
    "strips": "strips twice as thick",
    "cells": "twice the cells in parallel",
    "line": "a shorter or thicker line to the socket",
}


@dataclass(frozen=True)
class Saving:
    """Watts saved at the cells by taking away, or halving, one loss; floats or lanes. [W]"""

    name: str
    removed: Lanes
    halved: Lanes
    how: str


def held_power(case: Turning, terminals: Terminals, point: Point, tool_speed: Lanes) -> Lanes:
    """Return the power the cells give when the tool's speed is held; none where it stands at the point. [W]"""
    turning = point.tool_speed > 0.0
    speed = np.where(turning, tool_speed, 1.0) * case.turns
    current, _ = drawn(case, terminals.voltage, terminals.resistance, point, speed)
    return np.where(turning, terminals.open_voltage * current, 0.0)


def drawn(case: Turning, voltage: Lanes, resistance: Lanes, point: Point, speed: Lanes) -> tuple[Lanes, Lanes]:
    """Return what holding a speed of the motor draws from a voltage behind a resistance.

    Parameters
    ----------
    case
        The chain.
    voltage, resistance
        Of its source. [V, Ω]
    point
        Says which share of the switching loss is paid.
    speed
        Of the motor's shaft. [rad/s]

    Returns
    -------
    tuple of Lanes
        Current in phase with the voltage, and volt-amperes. Alternating volts are taken to be those that are needed:
        the windings would be chosen for them. [A, VA]
    """
    if isinstance(case, Converted):
        current, apparent = drawn(case.inner, case.box.voltage, 0.0, point, speed)
        power = case.box.voltage * current
        asked = power + loss(case.box, power, apparent)
        taken = inverters.constant_power_current(voltage, case.wiring + resistance, asked)
        return taken, voltage * taken
    loop = case.wiring + resistance
    if isinstance(case, InductionTrain):
        whole = case.resistance + loop
        gap = induction.gap_power(case.load.torque(speed), case.synchronous)
        asked = gap + case.standing_loss + whole * case.idle_current**2
        in_phase = inverters.constant_power_current(voltage, whole, asked)
        return in_phase, voltage * np.hypot(in_phase, case.idle_current)
    current = case.current_at(speed)
    constant = case.constant_at(current)
    if case.alternating:
        volts = motors.motor_voltage(constant, speed, current, case.resistance + loop, case.brush_drop)
        return volts * current / voltage, current * series_motor.mains_voltage(volts, current, case.reactance)
    needed = motors.motor_voltage(constant, speed, current, case.resistance, case.brush_drop)
    switching = case.switching_share * point.switched * current
    asked = needed * current + case.idle_power
    bus = converters.bus_voltage(voltage, loop, asked, switching)
    total = asked / bus + switching
    return total, voltage * total


def savings(
    chain: Chain, state: DutyState, job: Job, warmth: Warmth, point: Point, terminals: Terminals
) -> tuple[Saving, ...]:
    """Return what taking away or halving each loss saves, in the order and under the names of the ledger.

    The pace is held: wheels that slip less, or a pump on a wider hose, turn slower for it.
    """
    tool = tool_of(chain.work)
    pace = tool.pace_at(chain.work, point.tool_speed)

    def power(changed: Chain, source: Terminals) -> Lanes:
        row = parts(changed)
        if not state.at_work(chain):
            left_on = resting(row)
            return 0.0 if left_on is None else source.open_voltage * at_rest(left_on, source).battery_current
        speed = np.where(pace > 0.0, tool.speed_at(changed.work, pace), point.tool_speed)
        case = train(row, work_terms(row, changed.work, state, job, warmth.air), warmth)
        return held_power(case, source, point, speed)

    now = power(chain, terminals)
    found = []
    for name, kind, change in _changes(chain, state, job, warmth, point, terminals):
        none, half = change(0.0), change(0.5)
        found.append(Saving(name, now - power(*none), now - power(*half), IMPROVEMENTS.get(kind, "half the loss")))
    return tuple(found)


Change = Callable[[float], tuple[Chain, Terminals]]


def _changes(
    chain: Chain, state: DutyState, job: Job, warmth: Warmth, point: Point, terminals: Terminals
) -> list[tuple[str, str, Change]]:
    """Return, for each line of the ledger, a function that scales its loss."""
    changes: list[tuple[str, str, Change]] = []

    tool = tool_of(chain.work)
    changes += [
        (waste.name, waste.kind, _in_work(chain, terminals, partial(tool.scaled, chain.work, waste.kind)))
        for waste in tool.wastes(chain.work, state, job, warmth.air, point.tool_speed)
    ]
    for place, link in enumerate(chain.links):
        for name, kind, scale in SCALERS[type(link)](link):
            changes.append((name, kind, _in_link(chain, terminals, place, scale)))
    inside = ("line to it", "line") if terminals.endless else ("inside the cells", "cells")
    if not terminals.endless:
        changes.append(
            ("strips", "strips", lambda s: (chain, replace(terminals, joint_resistance=terminals.joint_resistance * s)))
        )
    changes.append((*inside, lambda s: (chain, _scaled_cells(terminals, s))))
    return changes


def _in_link(chain: Chain, terminals: Terminals, place: int, scale: Callable[[float], Link]) -> Change:
    def change(share: float) -> tuple[Chain, Terminals]:
        links = list(chain.links)
        links[place] = scale(share)
        return replace(chain, links=tuple(links)), terminals

    return change


def _in_work(chain: Chain, terminals: Terminals, scale: Callable[[float], Work]) -> Change:
    return lambda share: (replace(chain, work=scale(share)), terminals)


def _scaled_cells(terminals: Terminals, share: float) -> Terminals:
    return replace(
        terminals,
        cell_resistance=terminals.cell_resistance * share,
        settled_resistance=terminals.settled_resistance * share,
        slow_voltage=terminals.slow_voltage * share,
    )


Scaler = tuple[str, str, Callable[[float], Link]]


def _of_bearings(link: Bearings) -> list[Scaler]:
    return [(link.name, "bearings", lambda s: replace(link, friction=link.friction * s, seal_drag=link.seal_drag * s))]


def _of_transmission(link: Transmission) -> list[Scaler]:
    def scale(share: float) -> Link:
        return replace(
            link,
            efficiency=1.0 / (1.0 + (1.0 / link.efficiency - 1.0) * share),
            creep=link.creep * share,
            drag=link.drag * share,
            drag_slope=link.drag_slope * share,
        )

    return [(link.name, link.kind, scale)]


def _of_motor(link: AnyMotor) -> list[Scaler]:
    return [(f"{link.name}: {name}", kind, scale) for name, kind, scale in kind_of(link).scalers(link)]


def _of_controller(link: Controller) -> list[Scaler]:
    def scale(share: float) -> Link:
        return replace(
            link,
            resistance=link.resistance * share,
            idle_power=link.idle_power * share,
            switching_time=link.switching_time * share,
        )

    return [(link.name, "controller", scale)]


def _of_converter(link: Converter) -> list[Scaler]:
    def scale(share: float) -> Link:
        return replace(link, idle_power=link.idle_power * share, linear=link.linear * share, square=link.square * share)

    return [(link.name, link.kind, scale)]


def _of_cable(link: Cable) -> list[Scaler]:
    return [(link.name, "cable", lambda s: replace(link, resistance_per_length=link.resistance_per_length * s))]


def _of_contacts(link: Contacts) -> list[Scaler]:
    return [(link.name, "contacts", lambda s: replace(link, resistance=link.resistance * s))]


SCALERS: dict[type, Callable[..., list[Scaler]]] = {
    Bearings: _of_bearings,
    Transmission: _of_transmission,
    Motor: _of_motor,
    SeriesMotor: _of_motor,
    InductionMotor: _of_motor,
    Controller: _of_controller,
    Converter: _of_converter,
    Cable: _of_cable,
    Contacts: _of_contacts,
}
