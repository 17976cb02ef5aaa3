"""What a watt saved at a link is worth at the cells, with the tool's pace held.

Held, because a loss taken away otherwise lets the tool turn faster and eat the saving: the builder who removes a loss
will choose the windings or the ratio for the same pace again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from headrace.drive.links import parts
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Train, Warmth, train, work_terms
from headrace.machine.records import (
    Bearings,
    Cable,
    Chain,
    Contacts,
    Controller,
    DutyState,
    Job,
    Lanes,
    Link,
    Motor,
    Transmission,
)
from headrace.machine.works import Work
from headrace.physics import converters, motors

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
    "controller": "a controller with half the losses",
    "cable": "twice the copper, or half the length",
    "contacts": "fewer joints, cleaned and tightened",
    "strips": "strips twice as thick",
    "cells": "twice the cells in parallel",
}


@dataclass(frozen=True)
class Saving:
    """Watts saved at the cells by taking away, or halving, one loss; floats or lanes. [W]"""

    name: str
    removed: Lanes
    halved: Lanes
    how: str


def held_power(case: Train, terminals: Terminals, point: Point, tool_speed: Lanes) -> Lanes:
    """Return the power the cells give when the tool's speed is held; none where it stands at the point. [W]"""
    turning = point.tool_speed > 0.0
    speed = np.where(turning, tool_speed, 1.0) * case.turns
    current = case.current_at(speed)
    needed = motors.motor_voltage(case.constant, speed, current, case.resistance, case.brush_drop)
    loop = case.wiring + terminals.resistance
    switching = case.switching_share * point.switched * current
    asked = needed * current + case.idle_power
    bus = converters.bus_voltage(terminals.voltage, loop, asked, switching)
    return np.where(turning, terminals.open_voltage * (asked / bus + switching), 0.0)


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
    changes.append(
        ("strips", "strips", lambda s: (chain, replace(terminals, joint_resistance=terminals.joint_resistance * s)))
    )
    changes.append(("inside the cells", "cells", lambda s: (chain, _scaled_cells(terminals, s))))
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


def _of_motor(link: Motor) -> list[Scaler]:
    def turning(share: float) -> Link:
        return replace(
            link, drag=link.drag * share, drag_slope=link.drag_slope * share, drag_square=link.drag_square * share
        )

    scalers: list[Scaler] = [(f"{link.name}: turning", "rotation", turning)]
    if link.commutation == "brushed":
        scalers.append((f"{link.name}: brushes", "brushes", lambda s: replace(link, brush_drop=link.brush_drop * s)))
    scalers.append((f"{link.name}: copper", "copper", lambda s: replace(link, resistance=link.resistance * s)))
    return scalers


def _of_controller(link: Controller) -> list[Scaler]:
    def scale(share: float) -> Link:
        return replace(
            link,
            resistance=link.resistance * share,
            idle_power=link.idle_power * share,
            switching_time=link.switching_time * share,
        )

    return [(link.name, "controller", scale)]


def _of_cable(link: Cable) -> list[Scaler]:
    return [(link.name, "cable", lambda s: replace(link, resistance_per_length=link.resistance_per_length * s))]


def _of_contacts(link: Contacts) -> list[Scaler]:
    return [(link.name, "contacts", lambda s: replace(link, resistance=link.resistance * s))]


SCALERS: dict[type, Callable[..., list[Scaler]]] = {
    Bearings: _of_bearings,
    Transmission: _of_transmission,
    Motor: _of_motor,
    Controller: _of_controller,
    Cable: _of_cable,
    Contacts: _of_contacts,
}
