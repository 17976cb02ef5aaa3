"""Motors on alternating current, on a socket or on what an inverter makes: how their operating points are hunted.

Volts and amps are effective values. A universal motor's windings take volts across the current beside those in phase
with it; an induction motor turns a little slower than its field, by the slip its torque asks for.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from headrace.drive.curve import SeriesLoad, ShaftLoad
from headrace.drive.point import Array, Codes, Mask, Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import InductionTrain, Train
from headrace.machine.records import Lanes
from headrace.machine.values import in_one_row
from headrace.physics import induction, inverters, motors, series_motor, starting

LEAST = 1e-12  # A or V, to divide by


class OnSeries(NamedTuple):
    """A universal motor on alternating current in one row of lanes."""

    load: SeriesLoad
    voltage: Array  # V, of the source without current
    resistance: Array  # ohm, all that carries the motor's current before its leads to the source
    wiring: Array  # ohm, leads
    source: Array  # ohm, of the source itself
    reactance: Array  # ohm
    brush_drop: Array  # V
    turns: Array

    def fastest(self) -> Array:
        """Return a speed that nothing can pass: all the power there is, spent on the motor's own fan. [rad/s]"""
        fan = self.load.load.terms.square
        whole = self.resistance + self.wiring + self.source
        return np.asarray(series_motor.fan_limited_speed(self.voltage, whole, self.brush_drop, fan))

    def held(self, speed: Array) -> tuple[Lanes, Lanes]:
        """Return current and voltage in phase with it, source and all, at a speed. [A, V]"""
        current = self.load.current(speed)
        return current, self._in_phase(speed, current, self.resistance + self.wiring + self.source)

    def _in_phase(self, speed: Array, current: Lanes, resistance: Array) -> Lanes:
        constant = self.load.constant_at(current)
        return motors.motor_voltage(constant, speed, current, resistance, self.brush_drop)

    def room(self, speed: Array) -> tuple[Array, Codes]:
        """Return the voltage that is left at a speed, as a share of what there is."""
        current, in_phase = self.held(speed)
        needed = series_motor.mains_voltage(in_phase, current, self.reactance)
        return np.asarray((self.voltage - needed) / self.voltage), np.full(speed.shape, Outcome.FULL_VOLTAGE, np.int8)

    def point(self, speed: Array, moving: Mask) -> Point:
        """Return the point at a speed; that at standstill where the lane does not move."""
        current = np.where(moving, self.load.current(speed), self.locked())
        turning = np.where(moving, speed, 0.0)
        in_phase, leads, bus = (
            np.asarray(self._in_phase(turning, current, ohms))
            for ohms in (
                self.resistance + self.wiring + self.source,
                self.resistance + self.wiring,
                self.resistance,
            )
        )
        volts = series_motor.mains_voltage(in_phase, current, self.reactance)
        terminal = series_motor.mains_voltage(leads, current, self.reactance)
        at_switch = series_motor.mains_voltage(bus, current, self.reactance)
        return _point(turning, turning / self.turns, current, at_switch, terminal, in_phase / volts, self._fate(moving))

    def locked(self) -> Array:
        """Return the current of the motor held fast. [A]"""
        return np.asarray(
            starting.locked_rotor_current(
                self.voltage, self.resistance, self.reactance, self.wiring + self.source, self.brush_drop
            )
        )

    def _fate(self, moving: Mask) -> Codes:
        locked = self.locked()
        pull = motors.airgap_torque(self.load.constant_at(locked), locked)
        stuck = np.where(pull <= self.load.load.terms.constant, np.int8(Outcome.STALL), np.int8(Outcome.NO_CROSSING))
        return np.where(moving, np.int8(Outcome.FULL_VOLTAGE), stuck).astype(np.int8)


def series_hunt(train: Train, load: SeriesLoad, terminals: Terminals, shape: tuple[int, ...]) -> OnSeries:
    """Return a universal motor on alternating current in one row of lanes."""
    return OnSeries(
        in_one_row(load, shape),
        *_rows(
            shape,
            terminals.voltage,
            train.resistance,
            train.wiring,
            terminals.resistance,
            train.reactance,
            train.brush_drop,
            train.turns,
        ),
    )


class OnInduction(NamedTuple):
    """An induction motor in one row of lanes."""

    load: ShaftLoad
    voltage: Array  # V, of the source without current
    resistance: Array  # ohm, all that carries the motor's current before its leads to the source
    wiring: Array  # ohm, leads
    source: Array  # ohm, of the source itself
    plate_voltage: Array  # V
    synchronous: Array  # rad/s
    breakdown_torque: Array  # N m
    breakdown_slip: Array  # -
    standing_loss: Array  # W
    idle_current: Array  # A
    start_current: Array  # A
    turns: Array

    def fastest(self) -> Array:
        """Return the speed of the field. [rad/s]"""
        return self.synchronous

    def asked(self, torque: Lanes) -> tuple[Array, Array]:
        """Return the power asked for behind the windings under a torque, and the current in phase that carries it.

        The magnetising current runs through every resistance as well, so its heat is asked for beside the rest.
        """
        whole = self.resistance + self.wiring + self.source
        power = induction.gap_power(torque, self.synchronous) + self.standing_loss + whole * self.idle_current**2
        return np.asarray(power), np.asarray(inverters.constant_power_current(self.voltage, whole, power))

    def room(self, speed: Array) -> tuple[Array, Codes]:
        """Return the torque that is left at a speed, as a share of the most the plate has."""
        torque = self.load.torque(speed)
        power, in_phase = self.asked(torque)
        whole = self.resistance + self.wiring + self.source
        fed = inverters.power_discriminant(self.voltage, whole, power) >= 0.0
        most = self._most(in_phase)
        slip = induction.rotor_slip(self.synchronous, speed)
        left = (induction.torque_at_slip(slip, most, self.breakdown_slip) - torque) / self.breakdown_torque
        return np.where(fed, left, -1.0), np.full(speed.shape, Outcome.FULL_VOLTAGE, np.int8)

    def _most(self, in_phase: Array) -> Lanes:
        """Return the breakdown torque at the voltage that a current leaves the motor. [N·m]"""
        volts = np.maximum(self.voltage - (self.wiring + self.source) * in_phase, 0.0)
        return induction.sagged_breakdown(self.breakdown_torque, volts, self.plate_voltage)

    def point(self, speed: Array, moving: Mask) -> Point:
        """Return the point at a speed; that at standstill where the lane does not move."""
        turning = np.where(moving, speed, 0.0)
        in_phase = np.where(moving, self.asked(self.load.torque(np.where(moving, speed, 1.0)))[1], 0.0)
        locked, drawn, _ = self.pulling(np.zeros(speed.shape))
        current = np.where(moving, np.hypot(in_phase, self.idle_current), locked)
        in_phase = np.where(moving, in_phase, drawn)
        bus, terminal = (
            self.voltage - ohms * current**2 / np.maximum(in_phase, LEAST)
            for ohms in (self.wiring + self.source, self.source)
        )
        share = in_phase / np.maximum(current, LEAST)
        fate = np.where(moving, np.int8(Outcome.FULL_VOLTAGE), np.int8(Outcome.NO_CROSSING)).astype(np.int8)
        return _point(turning, turning / self.turns, current, bus, terminal, share, fate)

    def pulling(self, speed: Array) -> tuple[Array, Array, Array]:
        """Return current, its part in phase, and torque at a speed under all the torque there is. [A, A, N·m]

        The motor at that slip is an impedance, known at the voltage of its plate; the line stands before it.
        """
        slip = np.maximum(induction.rotor_slip(self.synchronous, speed), 0.0)
        rotor = induction.current_at_slip(slip, self.start_current, self.breakdown_slip)
        amps = np.maximum(np.hypot(rotor, self.idle_current), LEAST)
        torque = induction.torque_at_slip(slip, self.breakdown_torque, self.breakdown_slip)
        watts = induction.gap_power(torque, self.synchronous) + self.standing_loss + self.resistance * amps**2
        whole = self.plate_voltage / amps
        ohms = np.minimum(watts / amps**2, whole)
        loop = self.wiring + self.source
        current = self.voltage / np.sqrt((ohms + loop) ** 2 + whole**2 - ohms**2)
        return current, current**2 * (ohms + loop) / self.voltage, np.asarray(torque * (current / amps) ** 2)


def induction_hunt(train: InductionTrain, terminals: Terminals, shape: tuple[int, ...]) -> OnInduction:
    """Return an induction motor in one row of lanes."""
    return OnInduction(
        in_one_row(train.load, shape),
        *_rows(
            shape,
            terminals.voltage,
            train.resistance,
            train.wiring,
            terminals.resistance,
            train.voltage,
            train.synchronous,
            train.breakdown_torque,
            train.breakdown_slip,
            train.standing_loss,
            train.idle_current,
            train.start_current,
            train.turns,
        ),
    )


def _rows(shape: tuple[int, ...], *values: Lanes) -> list[Array]:
    return [np.array(np.broadcast_to(value, shape), dtype=float).reshape(-1) for value in values]


def _point(
    speed: Array, tool_speed: Array, current: Array, bus: Lanes, terminal: Lanes, in_phase: Array, outcome: Codes
) -> Point:
    """Return a point of a motor that hangs on its source by a plain switch."""
    ones = np.ones(speed.shape)
    return Point(
        motor_speed=speed,
        tool_speed=tool_speed,
        motor_current=current,
        battery_current=current.copy(),
        bus_voltage=np.asarray(bus),
        terminal_voltage=np.asarray(terminal),
        duty=ones,
        switched=np.zeros(speed.shape),
        in_phase=in_phase,
        feed_voltage=np.array(bus),
        feed_current=current.copy(),
        feed_in_phase=in_phase.copy(),
        outcome=outcome,
    )
