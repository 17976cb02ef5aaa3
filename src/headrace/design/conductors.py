"""What every cable of a machine carries in each state of its job, full and at the reserve, and whether it can."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from headrace.design.corners import points_at
from headrace.design.ends import ends
from headrace.drive.links import Wiring, parts
from headrace.drive.point import Point
from headrace.findings.evidence import Days
from headrace.machine.links import Cable
from headrace.machine.records import Chain, Lanes, Machine
from headrace.wiring.conductors import Conductor, Line, conductor

Corner = list[list[Point]]  # by state, by chain; after the chains the auxiliaries
SIDES: dict[str, Callable[[Point], Lanes]] = {
    "motor": lambda point: point.motor_current,
    "feed": lambda point: point.feed_current,
    "source": lambda point: point.battery_current,
}


def loaded_corners(machine: Machine, days: Days) -> tuple[Corner, ...]:
    """Return the points of all states on a full pack of new cells, and with worn ones at the reserve, motor warm."""
    at = ends(machine, days)
    sources = [at.full] if machine.source.endless else [at.full, at.empty]
    return tuple([points_at(machine, state, source, at.warm) for state in machine.job.states] for source in sources)


def wires(machine: Machine, corners: Sequence[Corner]) -> tuple[Conductor, ...]:
    """Judge every cable of every chain, from the motor back to the source."""
    limits, found = machine.limits, []
    for place, chain in enumerate(machine.chains):
        for side, cable in cables(chain):
            full, *reserve = [tuple(working(points[place], SIDES[side]) for points in corner) for corner in corners]
            line = Line(
                chain=chain.name,
                side=side,
                cable=cable,
                voltage=_volts(machine, chain, side),
                cycle=machine.job.cycle,
                shares=tuple(state.share for state in machine.job.states),
                full=full,
                reserve=reserve[0] if reserve else (),
            )
            found.append(conductor(line, limits.ambient_hot, limits.cable_drop))
    return tuple(found)


def cables(chain: Chain) -> list[tuple[str, Cable]]:
    """Return the cables of a chain with the side each is on."""
    row = parts(chain)
    sides: dict[str, Sequence[Wiring]] = {
        "motor": row.motor_leads, "feed": row.feed_leads, "source": row.battery_leads,
    }  # fmt: skip
    return [(side, link) for side, links in sides.items() for link in links if isinstance(link, Cable)]


def working(point: Point, amps: Callable[[Point], Lanes]) -> Lanes:
    """Return a current where the machine works, and nothing where it does not: nobody keeps at that. [A]"""
    return np.where(point.works, amps(point), 0.0)


def _volts(machine: Machine, chain: Chain, side: str) -> Lanes:
    """Return the volts a drop is held against: of the converter where the cable hangs on one, else of the source."""
    box, source = parts(chain).converter, machine.source
    if side != "source" and box is not None:
        return box.voltage
    return source.series * source.cell.nominal_voltage
