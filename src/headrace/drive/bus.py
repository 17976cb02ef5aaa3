"""Several chains on one source: they meet only at the bus voltage, which is solved for all of them.

The voltage is looked for from its fast side, along chords of the gap between what the source would hold and what the
chains are held at: from the voltage without current to the one their currents there would leave, and on by the chord
through the last two. Three or four chords do; a lane whose chords lead nowhere is searched for in a bracket. At each
voltage all chains are lanes of one solve.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from headrace.drive.converting import resting_current
from headrace.drive.point import Outcome, Point, switched_off
from headrace.drive.solve import solve
from headrace.drive.terminals import Terminals
from headrace.drive.train import AnyTrain, Resting, Train, Turning
from headrace.machine.records import Lanes
from headrace.machine.values import in_one_row, lanes_of, some_lanes
from headrace.physics.torque_terms import TorqueTerms
from headrace.physics.working import solution

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]

ROUNDS = 8  # a chain with lamps beside it wants 4 or 5
CHORDS = 12  # a walk wants 3 or 4; who has not settled after this many is searched for in a bracket
SETTLED = 1e-13  # of the open voltage: what a walk still has to go when it ends
REACH = 2.0  # steps as long as the one before: what jumps further is searched for, so that no crossing is passed over
LOOKS = 64  # voltages at which a bracket is looked for, from the fast side
HALVINGS = 30  # of a bracket, before what has no balance in it is left: a crossing wants a dozen
CLOSED = 1e-9  # of the open voltage: a bus that cannot be balanced closer than this is no operating point


@solution("operating point: the highest speed at which volts, motor amps and amps of the source all suffice")
def solve_together(trains: Sequence[AnyTrain | None], terminals: Terminals) -> list[Point]:
    """Return the operating point of each chain, all drawing on one source.

    Parameters
    ----------
    trains
        The chains, reduced; floats or lanes. None for a chain that is switched off.
    terminals
        Their source at this instant.

    Returns
    -------
    list of Point
        One for each chain, in order. A single chain is solved directly. With several, the bus voltage is looked for
        from its fast side: from the voltage without current downwards, to the first voltage the source could hold.
    """
    on = [train for train in trains if train is not None]
    points = _solved(on, terminals)
    if len(on) == len(trains):
        return points
    still, working = switched_off(terminals, lanes_of((tuple(on), terminals))), iter(points)
    return [next(working) if train is not None else still for train in trains]


def _solved(trains: Sequence[AnyTrain], terminals: Terminals) -> list[Point]:
    """Return the points of chains that are all switched on, and of what rests beside them."""
    if len(trains) < 2:
        return [solve(train, terminals) for train in trains]
    shape = lanes_of((tuple(trains), terminals))
    turning = [train for train in trains if not isinstance(train, Resting)]
    resting = [train for train in trains if isinstance(train, Resting)]
    points, volts = (_one if len(turning) == 1 else _several)(turning, resting, terminals, shape)
    still, found = Terminals(volts, 0.0, 0.0, 0.0, 0.0, 0.0), iter(points)
    return [solve(train, still) if isinstance(train, Resting) else next(found) for train in trains]


def _one(
    turning: Sequence[Turning], resting: Sequence[Resting], terminals: Terminals, shape: tuple[int, ...]
) -> tuple[list[Point], Array]:
    """Return the point of one chain with watts taken beside it, and the volts both are held at.

    The amps taken beside it hardly depend on the chain: a few rounds of solving it on what they leave settle them.
    """
    alone = replace(terminals, floor_voltage=0.0, current_limit=np.inf)
    volts = np.broadcast_to(np.asarray(terminals.voltage, dtype=float), shape)
    for _ in range(ROUNDS):
        before, taken = volts, sum((resting_current(train, volts) for train in resting), start=np.zeros(shape))
        point = solve(turning[0], alone.beside(taken))
        volts = np.broadcast_to(point.terminal_voltage, shape)
        settled = np.abs(volts - before) <= SETTLED * np.abs(terminals.voltage)
        if settled.all():
            break
    points, held = _judged([point], terminals, np.ones(shape, dtype=bool), taken), np.array(volts)
    if settled.all():
        return points, held
    lost = np.flatnonzero(~settled)  # where the amps beside it do count: looked for as several chains are
    few = some_lanes((tuple(turning), tuple(resting), terminals), shape, lost)
    found, at = _several(*few, lost.shape)
    for name in (f.name for f in fields(Point)):
        np.ravel(getattr(points[0], name))[lost] = getattr(found[0], name)
    held.reshape(-1)[lost] = at
    return points, held


def _several(
    turning: Sequence[Turning], resting: Sequence[Resting], terminals: Terminals, shape: tuple[int, ...]
) -> tuple[list[Point], Array]:
    """Return the points of chains that meet at the bus, and its volts; also where nothing turns and watts are taken."""
    bus = _bus(turning, resting, terminals, shape)
    voltage, settled = _by_chords(bus)
    if not settled.all():
        lost = np.flatnonzero(~settled)
        voltage[lost] = _by_bracket(_some(bus, lost))
    held = _held(bus, voltage)
    balanced = np.abs(_gap(bus, voltage, held)) <= CLOSED * np.abs(bus.voltage)
    points = _told_apart(held, len(turning), shape) if held is not None else []
    volts = voltage.reshape(shape)
    return _judged(points, terminals, balanced.reshape(shape), _rested(bus, voltage).reshape(shape)), volts


def _told_apart(held: Point, chains: int, shape: tuple[int, ...]) -> list[Point]:
    """Return the points of each chain out of those of all, one after the other."""
    rows = [getattr(held, f.name).reshape(chains, *shape) for f in fields(Point)]
    return [Point(*(np.asarray(row[place]) for row in rows)) for place in range(chains)]


class _Bus(NamedTuple):
    """The chains, the lanes of each after those of the one before, and the source in each lane."""

    chains: int
    rows: tuple[Turning, ...]  # one of all chains, or one of each where some are no plain terms
    resting: tuple[Resting, ...]  # what takes watts beside them
    voltage: Array  # V, without current
    resistance: Array  # ohm


def _bus(turning: Sequence[Turning], resting: Sequence[Resting], terminals: Terminals, shape: tuple[int, ...]) -> _Bus:
    """Put the chains in one row, where terms in the speed say all of them, or in a row each."""
    plain = [train for train in turning if isinstance(train, Train) and train.plain]
    together = bool(plain) and len(plain) == len(turning)
    rows = (_row(plain, shape),) if together else tuple(in_one_row(train, shape) for train in turning)
    taken = tuple(in_one_row(train, shape) for train in resting)
    return _Bus(len(turning), rows, taken, _flat(terminals.voltage, shape), _flat(terminals.resistance, shape))


def _flat(value: Lanes, shape: tuple[int, ...]) -> Array:
    return np.broadcast_to(value, shape).reshape(-1)


def _row(trains: Sequence[Train], shape: tuple[int, ...]) -> Train:
    """Put chains in one row; what is the same in all of them stays a scalar."""

    def row(values: Sequence[Lanes]) -> Lanes:
        if all(np.ndim(value) == 0 and value == values[0] for value in values):
            return values[0]
        return np.concatenate([_flat(value, shape) for value in values])

    terms = TorqueTerms(*(row(values) for values in zip(*(train.current for train in trains), strict=True)))
    others = [f.name for f in fields(Train) if f.name not in ("current", "curve", "series")]
    rest: dict[str, Any] = {name: row([getattr(train, name) for train in trains]) for name in others}
    return Train(terms, **rest)


def _some(bus: _Bus, chosen: Places) -> _Bus:
    """Return the bus in some of its lanes."""
    size, each = bus.voltage.size, bus.chains // max(len(bus.rows), 1)
    places = (size * np.arange(each)[:, np.newaxis] + chosen).reshape(-1)
    rows = tuple(some_lanes(row, (each * size,), places) for row in bus.rows)
    resting = tuple(some_lanes(train, (size,), chosen) for train in bus.resting)
    return _Bus(bus.chains, rows, resting, bus.voltage[chosen], bus.resistance[chosen])


def _held(bus: _Bus, voltage: Array) -> Point | None:
    """Return the points of all chains, one after the other, with the bus held at a voltage; None where none turns."""
    if not bus.rows:
        return None
    each = np.tile(voltage, bus.chains // len(bus.rows))
    found = [solve(row, Terminals(each, 0.0, 0.0, 0.0, 0.0, 0.0)) for row in bus.rows]
    if len(found) == 1:
        return found[0]
    return Point(*(np.concatenate([getattr(point, f.name) for point in found]) for f in fields(Point)))


def _gap(bus: _Bus, voltage: Array, held: Point | None = None) -> Array:
    """Return the volts the source would hold under the currents asked for at a voltage, less that voltage. [V]"""
    held = held or _held(bus, voltage)
    total = _rested(bus, voltage)
    if held is not None:
        total = total + held.battery_current.reshape(bus.chains, -1).sum(axis=0)
    return np.asarray(bus.voltage - bus.resistance * total - voltage)


def _rested(bus: _Bus, voltage: Array) -> Array:
    """Return the current of all that rests beside the chains, with the bus held at a voltage. [A]"""
    each = [resting_current(train, voltage) for train in bus.resting]
    return np.asarray(sum(each, start=np.zeros(voltage.shape)))


class _Walk(NamedTuple):
    """Walks along chords under way, one in each lane of a bus."""

    bus: _Bus
    place: Places  # among the lanes the walks set out from
    before: Array  # V, voltage before the last step
    gap: Array  # V, gap there
    here: Array  # V
    lower: Array  # V, highest voltage known to be below the crossing
    upper: Array  # V, lowest voltage known to be above it


def _by_chords(bus: _Bus) -> tuple[Array, Mask]:
    """Return the bus voltage as chords find it from its fast side, and in which lanes they do. [V]"""
    first = _gap(bus, bus.voltage)
    voltage, settled = bus.voltage + first, first == 0.0
    walk = _Walk(bus, np.arange(first.size), bus.voltage, first, voltage, np.zeros(first.size), bus.voltage)
    walk = _going_on(walk, ~settled)
    for _ in range(CHORDS):
        if walk.place.size == 0:
            break
        walk, length = _step(walk)
        step = np.abs(walk.here - walk.before)
        # chords gain digits faster with each step, so as much again in proportion is more than is left after this one
        arrived = (step <= length) & (step * step <= SETTLED * walk.bus.voltage * length)
        voltage[walk.place[arrived]], settled[walk.place[arrived]] = walk.here[arrived], True
        inside = (walk.here > walk.lower) & (walk.here < walk.upper) & (step <= REACH * length)
        walk = _going_on(walk, inside & ~arrived)
    return voltage, settled


def _step(walk: _Walk) -> tuple[_Walk, Array]:
    """Take the next step of each walk, and return how long the last one was. [V]"""
    gap, last = _gap(walk.bus, walk.here), walk.here - walk.before
    with np.errstate(divide="ignore", invalid="ignore"):
        there = walk.here - gap * last / (gap - walk.gap)
    lower = np.where(gap < 0.0, walk.lower, np.maximum(walk.lower, walk.here))
    upper = np.where(gap < 0.0, np.minimum(walk.upper, walk.here), walk.upper)
    return _Walk(walk.bus, walk.place, walk.here, gap, there, lower, upper), np.abs(last)


def _going_on(walk: _Walk, on: Mask) -> _Walk:
    """Return the walks that go on; the others would only cost time."""
    if on.all():
        return walk
    chosen = np.flatnonzero(on)
    return _Walk(
        bus=_some(walk.bus, chosen),
        place=walk.place[chosen],
        before=walk.before[chosen],
        gap=walk.gap[chosen],
        here=walk.here[chosen],
        lower=walk.lower[chosen],
        upper=walk.upper[chosen],
    )


def _by_bracket(bus: _Bus) -> Array:
    """Return the bus voltage, searched for in a bracket; the voltage without current where there is none. [V]"""
    from scipy.optimize import elementwise

    lower, there = _below(bus)
    voltage = np.array(bus.voltage)
    held = np.flatnonzero(there)
    if held.size == 0:
        return voltage
    some = _some(bus, held)

    def gap_in(voltage: Array, lane: Places) -> Array:
        """Return the gap in the lanes that the search has not yet done with. [V]"""
        return _gap(_some(some, np.ravel(lane)), np.ravel(voltage)).reshape(np.shape(voltage))

    bounds = {"xatol": 0.0, "xrtol": 1e-12, "fatol": 0.0}
    ends = (lower[held], lower[held] + some.voltage / LOOKS)
    found = elementwise.find_root(gap_in, ends, args=(np.arange(held.size),), tolerances=bounds, maxiter=HALVINGS)
    voltage[held] = np.where(found.success, found.x, some.voltage)
    return voltage


def _below(bus: _Bus) -> tuple[Array, Mask]:
    """Return the highest of so many voltages that the source could exceed, and whether there is one. [V]"""
    shares = 1.0 - np.arange(1, LOOKS + 1) / LOOKS
    lanes = np.tile(np.arange(bus.voltage.size), LOOKS)
    looked = np.outer(shares, bus.voltage)
    enough = _gap(_some(bus, lanes), looked.ravel()).reshape(looked.shape) >= 0.0
    first = np.argmax(enough, axis=0)
    return looked[first, np.arange(bus.voltage.size)], np.asarray(enough.any(axis=0))


def _judged(points: list[Point], terminals: Terminals, balanced: npt.NDArray[np.bool_], rested: Lanes) -> list[Point]:
    """Hold the source's own limits against the sum of the currents; a bus without balance is no operating point."""
    total = sum((point.battery_current for point in points), start=rested)
    inside = terminals.inside(total)
    dead = switched_off(terminals, balanced.shape)  # a bus that collapses carries nothing: what hangs on it lets go
    judged = []
    for point in points:
        code = np.where(point.works & (inside < terminals.floor_voltage), np.int8(Outcome.CELL_FLOOR), point.outcome)
        code = np.where(point.works & (total > terminals.current_limit), np.int8(Outcome.SOURCE_LIMIT), code)
        code = np.where(balanced, code, np.int8(Outcome.NO_CROSSING)).astype(np.int8)
        held = point if balanced.all() else _either(balanced, point, dead)
        judged.append(replace(held, outcome=code))
    return judged


def _either(first: Mask, one: Point, other: Point) -> Point:
    """Return one point in some lanes and another in the rest."""
    return Point(*(np.where(first, getattr(one, f.name), getattr(other, f.name)) for f in fields(Point)))
