"""What every cable of a machine carries in each state of its job, full and at the reserve, and whether it can."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from headrace.design.corners import points_at
from headrace.design.ends import ends
from headrace.drive.links import Wiring, parts
from headrace.drive.point import Point
from headrace.findings.evidence import Days
from headrace.machine.links import Cable
from headrace.machine.records import Chain, Lanes, Machine
from headrace.wiring.brake import has_phases
from headrace.wiring.conductors import Conductor, Line, conductor, limited
from headrace.wiring.fuse import Fused
from headrace.wiring.proposals import assumed, proposal

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
    limits = machine.limits
    found = []
    for place, chain in enumerate(machine.chains):
        for side, cable in cables(chain):
            wire = conductor(_line(machine, corners, place, side, cable), limits.ambient_hot, limits.cable_drop)
            most = _limit(chain, side)
            found.append(wire if most is None else limited(wire, most, limits.ambient_hot))
    return tuple(found)


def proposals(machine: Machine, corners: Sequence[Corner], fused: Fused | None) -> tuple[Conductor, ...]:
    """Return a size for every wire of the netlist that the file has no cable for; none where there is no netlist."""
    if fused is None:
        return ()
    limits = machine.limits
    return tuple(
        proposal(
            _line(machine, corners, place, side, assumed()),
            fused.rating if fused.kind is not None and _behind_the_fuse(chain, side) else None,
            limits.ambient_hot,
            limits.cable_drop,
            _limit(chain, side),
        )
        for place, chain in enumerate(machine.chains)
        for side in _missing(chain)
    )


def _behind_the_fuse(chain: Chain, side: str) -> bool:
    """Return whether the main fuse alone guards a side: the main line, and what no controller or converter limits."""
    row = parts(chain)
    limited = row.converter is not None or bool(np.all(np.isfinite(row.controller.motor_current)))
    return side == "source" or not limited


def _limit(chain: Chain, side: str) -> Lanes | None:
    """Return what the controller lets through to the motor; None on another side and where nothing limits it. [A]"""
    most = parts(chain).controller.motor_current
    return most if side == "motor" and np.all(np.isfinite(most)) else None


def _missing(chain: Chain) -> Iterator[str]:
    """Yield the sides without a cable. Wires at mains voltage are the motor's own cord, which is kept as it is."""
    row, there = parts(chain), {side for side, _ in cables(chain)}
    sides = ["source"] if row.alternating else ["motor", "source"] if row.converter is None else [*SIDES]
    yield from (side for side in sides if side not in there)


def _line(machine: Machine, corners: Sequence[Corner], place: int, side: str, cable: Cable) -> Line:
    chain = machine.chains[place]
    full, *reserve = [tuple(working(points[place], SIDES[side]) for points in corner) for corner in corners]
    return Line(
        chain=chain.name,
        side=side,
        cable=cable,
        voltage=_volts(machine, chain, side),
        cycle=machine.job.cycle,
        shares=tuple(state.share for state in machine.job.states),
        full=full,
        reserve=reserve[0] if reserve else (),
        phases=side == "motor" and has_phases(parts(chain).motor),
    )


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
