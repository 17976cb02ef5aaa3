"""One chain on its source as rows of lanes: what both solvers ask of it, and what they make of the speed they find."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple, TypeGuard

import numpy as np
import numpy.typing as npt

from headrace.drive.point import Array, Codes, Mask, Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.records import Lanes
from headrace.physics import converters, margins, motors
from headrace.physics.torque_terms import TorqueTerms

NEAR = 0.999  # share of the motor's limit below which no lane can be stopped by it
LEAST_VOLTS = 1e-9  # V, of a dead bus, to divide by
BLOCK = 16384  # lanes solved together: small enough to stay in the processor's cache


class Block(NamedTuple):
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
        """Motor current asked for, as terms in the speed."""
        return TorqueTerms(self.power, self.constant, self.linear, self.square)


def inputs_of(train: Train, terminals: Terminals) -> Block:
    """Return what the solvers ask of a chain and its source; a load that is a curve stands apart."""
    return Block(
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


def fastest_of(lanes: Block) -> Array:
    """Return the speed nothing can pass: without load, or the set speed. [rad/s]"""
    no_load = (lanes.voltage - lanes.brush_drop) / lanes.motor_constant
    return np.broadcast_to(np.minimum(no_load, lanes.set_speed), np.broadcast(*lanes).shape)


def flat(inputs: Block, shape: tuple[int, ...]) -> Block:
    """Return the lanes in one row of at least one; what is the same in every lane stays a scalar."""
    if shape == ():
        return inputs._replace(power=np.array([inputs.power], dtype=float))
    row = (math.prod(shape),)
    return Block(*(np.broadcast_to(v, shape).reshape(-1) if _in_lanes(v) and v.shape != row else v for v in inputs))


def _in_lanes(value: Lanes) -> TypeGuard[Array]:
    return isinstance(value, np.ndarray) and value.ndim > 0


def blocks(lanes: Block) -> Iterator[tuple[slice, Block]]:
    """Cut flat lanes into blocks; yield the place of each and its inputs."""
    for start in range(0, np.broadcast(*lanes).size, BLOCK):
        block = slice(start, start + BLOCK)
        yield block, some(lanes, block)


def cap_battery(b: Block) -> Block:
    """More amps than those of most power give less, so a limit beyond them is held at them."""
    with np.errstate(divide="ignore", invalid="ignore"):
        most = np.where(np.asarray(b.loop) > 0.0, b.voltage / (2.0 * np.asarray(b.loop)), np.inf)
    return b._replace(battery_limit=np.minimum(b.battery_limit, most))


def _needed(b: Block, speed: Array, current: Array, slope: Array) -> tuple[Array, Array]:
    needed = motors.motor_voltage(b.motor_constant, speed, current, b.motor_resistance, b.brush_drop)
    return np.asarray(needed), np.asarray(b.motor_constant + b.motor_resistance * slope)


def margins_at(b: Block, speed: Array, limited: bool) -> Iterator[tuple[Outcome, Array, Array]]:
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


def some(b: Block, chosen: npt.NDArray[np.intp] | Mask | slice) -> Block:
    """Return some lanes of a block; what is the same in every lane stays a scalar."""
    return Block(*(v[chosen] if _in_lanes(v) else v for v in b))


def finish(b: Block, speed: Array, moving: Mask, tightest: Codes) -> Point:
    """Fill in currents, volts and outcome at the speed that was found."""
    current = np.asarray(margins.current_asked(b.current, speed)[0])
    still = np.flatnonzero(~moving)
    if still.size > 0:
        current[still], speed[still] = _standstill_current(some(b, still)), 0.0
    needed = motors.motor_voltage(b.motor_constant, speed, current, b.motor_resistance, b.brush_drop)
    needed = np.maximum(needed, LEAST_VOLTS)
    idle_current = b.idle_power / needed
    left_over = b.voltage - b.loop * (current + idle_current) - needed
    full_switching = b.loop * current * b.switching_share
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.minimum(np.maximum(left_over / full_switching, 0.0), 1.0)
        switched = np.where(full_switching > 0.0, share, left_over > 0.0)
    # more amps than those of the source's most power: a controller holds them by chopping, at a higher bus
    starved = (2.0 * b.loop * current > b.voltage) & np.isfinite(np.minimum(b.motor_limit, b.battery_limit))
    at_full_duty = (left_over <= full_switching + 1e-11 * np.abs(b.voltage)) & ~starved
    asked = needed * current + b.idle_power
    bus = needed
    if not at_full_duty.all():
        chopped = converters.bus_voltage(b.voltage, b.loop, asked, b.switching_share * current)
        bus = np.where(at_full_duty, needed, np.maximum(chopped, LEAST_VOLTS))
    switched = np.where(at_full_duty & (left_over <= 1e-11 * np.abs(b.voltage)), 0.0, np.where(starved, 1.0, switched))
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
        in_phase=np.ones(speed.shape),
        feed_voltage=np.array(bus),
        feed_current=np.array(battery),
        feed_in_phase=np.ones(speed.shape),
        outcome=outcome,
    )


def _standstill_current(b: Block) -> Array:
    """Return the motor current of a shaft held still, within both limits. [A]"""
    held = margins.standstill_current(
        b.voltage,
        b.loop,
        b.motor_resistance,
        b.brush_drop,
        b.idle_power,
        b.switching_share,
        cap_battery(b).battery_limit if np.any(np.isfinite(b.battery_limit)) else np.inf,
    )
    return np.minimum(held, b.motor_limit)


def _outcome(b: Block, moving: Mask, tightest: Codes, bus: Array, battery: Array) -> Codes:
    """Name what became of each lane; a trip comes before a stall, because a dead controller turns nothing."""
    code = tightest.astype(np.int8)
    if not moving.all():
        at_rest = b.voltage - b.brush_drop - (b.motor_resistance + b.loop) * b.constant
        cannot_turn = (at_rest <= 0.0) | (np.asarray(b.constant) >= b.motor_limit)
        code = np.where(moving, code, np.int8(Outcome.NO_CROSSING))
        code = np.where(~moving & cannot_turn, np.int8(Outcome.STALL), code)
    inside = b.voltage - b.inner * battery
    code = np.where(moving & (inside < b.floor), np.int8(Outcome.CELL_FLOOR), code)
    return np.where(bus < b.cut_out, np.int8(Outcome.CUT_OUT), code).astype(np.int8)
