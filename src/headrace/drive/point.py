"""The operating point: the highest speed at which every limit still holds, in any number of lanes.

Unknown is the motor's speed alone; currents and volts follow from it in closed form. Newton's method starts where
nothing can turn faster, at no-load speed or at the set speed, and walks down on the tightest margin. The margins are
concave (see ``physics.margins``), so the walk stops at the fast crossing, or shows that there is none by running past
the top of a margin that is still negative. Nothing is ever bisected blindly, and a lane without a solution is an
outcome, never a number.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from enum import IntEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.records import Lanes
from headrace.physics import converters, margins, motors
from headrace.physics.torque_terms import TorqueTerms
from headrace.physics.working import solution

Array = npt.NDArray[np.float64]
Codes = npt.NDArray[np.int8]
Mask = npt.NDArray[np.bool_]

ROUNDS = 60  # Newton needs 4 to 8; a lane still moving after this many is reported, not believed
SETTLED = 1e-12  # relative step at which the walk ends; Newton doubles its digits, so the next step is none
BELIEVED = 1e-9  # relative step still taken for a crossing after all rounds: a load that just touches what there is
NEAR = 0.999  # share of the motor's limit below which no lane can be stopped by it
TINY = 1e-300  # a step of nothing, to divide by
KEEP = 0.7  # share of lanes still walking below which they are gathered
BLOCK = 16384  # lanes solved together: small enough to stay in the processor's cache


class Outcome(IntEnum):
    """What became of the drive in one lane."""

    OFF = -1
    FULL_VOLTAGE = 0
    SET_SPEED = 1
    MOTOR_LIMIT = 2
    BATTERY_LIMIT = 3
    CUT_OUT = 4
    CELL_FLOOR = 5
    NO_CROSSING = 6
    STALL = 7

    @property
    def slug(self) -> str:
        """Name in the record."""
        return self.name.lower().replace("_", "-")

    @property
    def works(self) -> bool:
        """Whether the machine goes on working in this state."""
        return self <= Outcome.BATTERY_LIMIT


REASONS = {
    Outcome.OFF: "stands still, switched off",
    Outcome.FULL_VOLTAGE: "runs at all the voltage there is; the load sets the speed",
    Outcome.SET_SPEED: "holds the set speed with voltage to spare",
    Outcome.MOTOR_LIMIT: "the controller's limit on motor current sets the speed",
    Outcome.BATTERY_LIMIT: "the controller's limit on battery current sets the speed",
    Outcome.CUT_OUT: "the controller's under-voltage cut-out opens",
    Outcome.CELL_FLOOR: "a cell is pulled below its lowest voltage",
    Outcome.NO_CROSSING: "the load asks for more torque than there is at every speed, so the tool slows to a stop",
    Outcome.STALL: "the motor cannot turn even without the load",
}


@dataclass(frozen=True)
class Point:
    """Operating points in lanes. Where nothing turns, speeds are 0 and the currents are those at standstill.

    Attributes
    ----------
    motor_speed, tool_speed
        Speeds of the two shafts. [rad/s]
    motor_current, battery_current
        Currents on the two sides of the controller. [A]
    bus_voltage
        At the controller's input. [V]
    terminal_voltage
        At the source. [V]
    duty
        Share of the bus voltage given to the motor. [-]
    switched
        Share of the switching loss that is paid; 0 at full duty. [-]
    outcome
        ``Outcome`` codes. [-]
    """

    motor_speed: Array
    tool_speed: Array
    motor_current: Array
    battery_current: Array
    bus_voltage: Array
    terminal_voltage: Array
    duty: Array
    switched: Array
    outcome: Codes

    @property
    def works(self) -> Mask:
        """Lanes in which the machine goes on working."""
        return self.outcome <= Outcome.BATTERY_LIMIT


class _Block(NamedTuple):
    """Inputs of the solver, each a scalar or an array over the lanes of one block."""

    power: Lanes
    constant: Lanes
    linear: Lanes
    square: Lanes
    motor_constant: Lanes
    motor_resistance: Lanes
    brush_drop: Lanes
    idle_power: Lanes
    switching_share: Lanes
    set_speed: Lanes
    motor_limit: Lanes
    battery_limit: Lanes
    cut_out: Lanes
    voltage: Lanes
    loop: Lanes
    wiring: Lanes
    inner: Lanes
    floor: Lanes
    turns: Lanes

    @property
    def current(self) -> TorqueTerms:
        return TorqueTerms(self.power, self.constant, self.linear, self.square)


def solve(train: Train, terminals: Terminals) -> Point:
    """Return the operating point of one chain alone on its source.

    Parameters
    ----------
    train
        Reduced chain; floats or lanes.
    terminals
        Source at this instant; floats or lanes.

    Returns
    -------
    Point
        Arrays of the shape to which all inputs broadcast.
    """
    inputs = _inputs(train, terminals)
    shape = np.broadcast_shapes(*(np.shape(value) for value in inputs))
    lanes = _flat(inputs, shape)
    point = _solve_lanes(lanes, _fastest(lanes), limited=False)
    over = np.flatnonzero(point.battery_current > np.asarray(lanes.battery_limit))
    if over.size > 0:  # what asks for more than the battery's limit walks on under it, from where it stands
        held = _solve_lanes(_cap_battery(_lanes(lanes, over)), point.motor_speed[over], limited=True)
        for field in fields(Point):
            getattr(point, field.name)[over] = getattr(held, field.name)
    return Point(*(getattr(point, f.name).reshape(shape) for f in fields(Point)))


def switched_off(terminals: Terminals, shape: tuple[int, ...]) -> Point:
    """Return the point of a chain that stands still and draws nothing."""
    still = np.zeros(shape)
    volts = np.broadcast_to(np.asarray(terminals.voltage, dtype=float), shape).copy()
    return Point(
        motor_speed=still,
        tool_speed=still.copy(),
        motor_current=still.copy(),
        battery_current=still.copy(),
        bus_voltage=volts,
        terminal_voltage=volts.copy(),
        duty=still.copy(),
        switched=still.copy(),
        outcome=np.full(shape, Outcome.OFF, dtype=np.int8),
    )


def _fastest(lanes: _Block) -> Array:
    """Return the speed nothing can pass: without load, or the set speed. [rad/s]"""
    no_load = (lanes.voltage - lanes.brush_drop) / lanes.motor_constant
    return np.broadcast_to(np.minimum(no_load, lanes.set_speed), np.broadcast(*lanes).shape)


def _solve_lanes(lanes: _Block, fastest: Array, limited: bool) -> Point:
    """Solve flat lanes block by block, each from a speed on its fast side."""
    blank = {f.name: np.empty(fastest.size, np.int8 if f.name == "outcome" else np.float64) for f in fields(Point)}
    point = Point(**blank)  # type: ignore[arg-type]  # names and kinds are those of its own fields
    for block, part in _blocks(lanes):
        solved = _finish(part, *_walk_down(part, fastest[block], limited))
        for field in fields(Point):
            getattr(point, field.name)[block] = getattr(solved, field.name)
    return point


def _inputs(train: Train, terminals: Terminals) -> _Block:
    return _Block(
        *train.current,
        train.constant,
        train.resistance,
        train.brush_drop,
        train.idle_power,
        train.switching_share,
        train.set_speed,
        train.motor_limit,
        train.battery_limit,
        train.cut_out,
        terminals.voltage,
        train.wiring + terminals.resistance,
        train.wiring,
        terminals.cell_resistance + terminals.settled_resistance,
        terminals.floor_voltage,
        train.turns,
    )


@solution("slow crossing: the speed below which the load asks for more than there is")
def slow_crossing(train: Train, terminals: Terminals) -> Array:
    """Return the tool speed of the slow, unstable crossing, nan where there is none. [rad/s]

    Below it the load asks for more than there is, and a tool slowed that far goes on to a stop. The walk is the same
    as in ``solve`` but starts from the slow end, where a load of constant power outgrows any torque.
    """
    inputs = _inputs(train, terminals)
    shape = np.broadcast_shapes(*(np.shape(value) for value in inputs))
    walked = [_walk_up(part) for _, part in _blocks(_flat(inputs, shape))]
    return np.concatenate(walked).reshape(shape)


def _walk_up(b: _Block) -> Array:
    """Walk up from below the slow crossing; nan where the load has no power term or no crossing."""
    limited = bool(np.all(np.isfinite(b.battery_limit)))
    b = _cap_battery(b) if limited else b
    shape = np.broadcast(*b).shape
    least = np.maximum(b.power * (b.motor_resistance + b.loop) / b.voltage, b.power / b.motor_limit)
    there = np.broadcast_to(np.asarray(b.power) > 0.0, shape)
    speed = np.where(there, least, 1.0)
    for _ in range(ROUNDS):
        step = np.zeros(shape)
        for _, margin, slope in _margins(b, speed, limited):
            behind = margin < 0.0
            there = there & ~(behind & (slope <= 0.0))
            with np.errstate(divide="ignore", invalid="ignore"):
                step = np.maximum(step, np.where(behind & (slope > 0.0), -margin / slope, 0.0))
        speed = np.where(there, speed + step, speed)
        if not np.any(there & (step > SETTLED * speed)):
            break
    else:
        there = there & (step <= 1e-9 * speed)
    return np.where(there & (speed < b.set_speed), speed / b.turns, np.nan)


def _flat(inputs: _Block, shape: tuple[int, ...]) -> _Block:
    """Return the lanes in one row of at least one; what is the same in every lane stays a scalar."""
    flat = [v if np.ndim(v) == 0 else np.broadcast_to(v, shape).reshape(-1) for v in inputs]
    if all(np.ndim(v) == 0 for v in flat):
        flat[0] = np.atleast_1d(np.asarray(flat[0], dtype=float))
    return _Block(*flat)


def _blocks(lanes: _Block) -> Iterator[tuple[slice, _Block]]:
    """Cut flat lanes into blocks; yield the place of each and its inputs."""
    for start in range(0, np.broadcast(*lanes).size, BLOCK):
        block = slice(start, start + BLOCK)
        yield block, _lanes(lanes, block)


def _cap_battery(b: _Block) -> _Block:
    """More amps than those of most power give less, so a limit beyond them is held at them."""
    with np.errstate(divide="ignore", invalid="ignore"):
        most = np.where(np.asarray(b.loop) > 0.0, b.voltage / (2.0 * np.asarray(b.loop)), np.inf)
    return b._replace(battery_limit=np.minimum(b.battery_limit, most))


def _needed(b: _Block, speed: Array, current: Array, slope: Array) -> tuple[Array, Array]:
    needed = motors.motor_voltage(b.motor_constant, speed, current, b.motor_resistance, b.brush_drop)
    return np.asarray(needed), np.asarray(b.motor_constant + b.motor_resistance * slope)


def _margins(b: _Block, speed: Array, limited: bool) -> Iterator[tuple[Outcome, Array, Array]]:
    """Yield each margin and its slope at a speed."""
    current, slope = margins.current_asked(b.current, speed)
    needed, needed_slope = _needed(b, speed, np.asarray(current), np.asarray(slope))
    value, rate = margins.voltage_margin(current, slope, needed, needed_slope, b.voltage, b.loop, b.idle_power)
    yield Outcome.FULL_VOLTAGE, np.asarray(value), np.asarray(rate)
    if np.any(current > NEAR * b.motor_limit):
        yield Outcome.MOTOR_LIMIT, np.asarray(b.motor_limit - current), -np.asarray(slope)
    if limited:
        value, rate = margins.battery_margin(
            current,
            slope,
            needed,
            needed_slope,
            b.voltage,
            b.loop,
            b.idle_power,
            b.switching_share,
            b.battery_limit,
        )
        yield Outcome.BATTERY_LIMIT, np.asarray(value), np.asarray(rate)


def _walk_down(b: _Block, start: Array, limited: bool) -> tuple[Array, Mask, Codes]:
    """Return speed, whether the drive turns at all, and which margin stopped the walk from a start on the fast side."""
    moving = start > 0.0
    speed = np.where(moving, start, 1.0)
    tightest = np.full(speed.shape, Outcome.SET_SPEED, dtype=np.int8)
    walking = np.flatnonzero(moving)
    part = b if walking.size == moving.size else _lanes(b, walking)
    here = fastest = speed[walking]
    before = np.full(here.size, TINY)
    for _ in range(ROUNDS):
        step, outcome, lost = _step_down(part, here, limited)
        lower = np.minimum(here - step, fastest)
        lost |= lower <= 0.0
        moved = np.abs(here - lower)
        # a walk that doubles its digits has this much left to go after the step just taken
        left = moved * np.square(moved / np.maximum(before, moved))
        restless = (left > SETTLED * here) & ~lost
        here, before = np.where(lost, here, lower), np.maximum(moved, TINY)
        on = np.flatnonzero(restless)
        if on.size == 0 or on.size < KEEP * here.size:  # note down who has settled; the others walk on
            speed[walking], tightest[walking] = here, outcome
            moving[walking[lost]] = False
            walking, part = walking[on], _lanes(part, on)
            here, fastest, before = here[on], fastest[on], before[on]
        if on.size == 0:
            break
    else:
        # a load that just touches what there is halves its way to the crossing; any other is no crossing
        moving[walking[before > BELIEVED * here]] = False
        speed[walking] = here
    return speed, moving, np.where(speed >= b.set_speed, np.int8(Outcome.SET_SPEED), tightest)


def _step_down(b: _Block, speed: Array, limited: bool) -> tuple[Array, Codes, Mask]:
    """Return Newton's step on the tightest margin, which margin it is, and the lanes that ran past its top."""
    step = np.full(speed.shape, -np.inf)
    tightest = np.full(speed.shape, Outcome.SET_SPEED, dtype=np.int8)
    lost = np.zeros(speed.shape, dtype=bool)
    for outcome, margin, slope in _margins(b, speed, limited):
        falling = slope < 0.0
        lost |= ~falling & (margin < 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            here = np.where(falling, margin / slope, -np.inf)
        tightest[here > step] = outcome
        np.maximum(step, here, out=step)
    return step, tightest, lost


def _lanes(b: _Block, chosen: npt.NDArray[np.intp] | Mask | slice) -> _Block:
    """Return some lanes of a block; what is the same in every lane stays a scalar."""
    return _Block(*(v if np.ndim(v) == 0 else v[chosen] for v in b))  # type: ignore[index]


def _finish(b: _Block, speed: Array, moving: Mask, tightest: Codes) -> Point:
    """Fill in currents, volts and outcome at the speed that was found."""
    current = np.asarray(margins.current_asked(b.current, speed)[0])
    still = np.flatnonzero(~moving)
    if still.size > 0:
        current[still], speed[still] = _standstill_current(_lanes(b, still)), 0.0
    needed = motors.motor_voltage(b.motor_constant, speed, current, b.motor_resistance, b.brush_drop)
    needed = np.maximum(needed, 1e-9)
    idle_current = b.idle_power / needed
    left_over = b.voltage - b.loop * (current + idle_current) - needed
    full_switching = b.loop * current * b.switching_share
    with np.errstate(divide="ignore", invalid="ignore"):
        switched = np.where(full_switching > 0.0, np.clip(left_over / full_switching, 0.0, 1.0), left_over > 0.0)
    at_full_duty = left_over <= full_switching + 1e-11 * np.abs(b.voltage)
    asked = needed * current + b.idle_power
    bus = needed
    if not at_full_duty.all():
        chopped = converters.bus_voltage(b.voltage, b.loop, asked, b.switching_share * current)
        bus = np.where(at_full_duty, needed, chopped)
    switched = np.where(at_full_duty & (left_over <= 1e-11 * np.abs(b.voltage)), 0.0, switched)
    battery = asked / bus + b.switching_share * switched * current
    outcome = _outcome(b, moving, tightest, bus, battery)
    return Point(
        motor_speed=speed,
        tool_speed=speed / b.turns,
        motor_current=current,
        battery_current=battery,
        bus_voltage=bus,
        terminal_voltage=bus + b.wiring * battery,
        duty=needed / bus,
        switched=switched,
        outcome=outcome,
    )


def _standstill_current(b: _Block) -> Array:
    """Return the motor current of a shaft held still, within both limits. [A]"""
    held = margins.standstill_current(
        b.voltage,
        b.loop,
        b.motor_resistance,
        b.brush_drop,
        b.idle_power,
        b.switching_share,
        _cap_battery(b).battery_limit if np.any(np.isfinite(b.battery_limit)) else np.inf,
    )
    return np.minimum(held, b.motor_limit)


def _outcome(b: _Block, moving: Mask, tightest: Codes, bus: Array, battery: Array) -> Codes:
    """Name what became of each lane; a trip comes before a stall, because a dead controller turns nothing."""
    code = tightest.astype(np.int8)
    at_rest = b.voltage - b.brush_drop - (b.motor_resistance + b.loop) * b.constant
    cannot_turn = (at_rest <= 0.0) | (np.asarray(b.constant) >= b.motor_limit)
    code = np.where(moving, code, np.int8(Outcome.NO_CROSSING))
    code = np.where(~moving & cannot_turn, np.int8(Outcome.STALL), code)
    inside = b.voltage - b.inner * battery
    code = np.where(moving & (inside < b.floor), np.int8(Outcome.CELL_FLOOR), code)
    return np.where(bus < b.cut_out, np.int8(Outcome.CUT_OUT), code).astype(np.int8)
