"""An operating point in any number of lanes: what turns, what flows, and what became of the drive."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from headrace.drive.terminals import Terminals
from headrace.machine.records import Lanes

Array = npt.NDArray[np.float64]
Codes = npt.NDArray[np.int8]
Mask = npt.NDArray[np.bool_]


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
    SOURCE_LIMIT = 8
    OVERLOAD = 9

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
    Outcome.CUT_OUT: "the under-voltage cut-out opens",
    Outcome.CELL_FLOOR: "a cell is pulled below its lowest voltage",
    Outcome.NO_CROSSING: "the load asks for more torque than there is at every speed, so the tool slows to a stop",
    Outcome.STALL: "the motor cannot start that load from a standstill",
    Outcome.SOURCE_LIMIT: "the load asks for more amps than the source lets through",
    Outcome.OVERLOAD: "the load asks for more than the converter can put out, and it switches off",
}


@dataclass(frozen=True)
class Point:
    """Operating points in lanes. Where nothing turns, speeds are 0 and the currents are those at standstill.

    Attributes
    ----------
    motor_speed, tool_speed
        Speeds of the two shafts. [rad/s]
    motor_current, battery_current
        Currents in the motor and out of the source; effective values where they alternate. [A]
    bus_voltage
        At the input of the controller, or of the converter before it. [V]
    terminal_voltage
        At the source. [V]
    duty
        Share of the bus voltage given to the motor. [-]
    switched
        Share of the switching loss that is paid; 0 at full duty. [-]
    in_phase
        Share of the source's rest voltage in phase with its current; 1 of direct current. [-]
    feed_voltage, feed_current, feed_in_phase
        At the controller's input: the same as at the source's leads where no converter stands between. [V, A, -]
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
    in_phase: Array
    feed_voltage: Array
    feed_current: Array
    feed_in_phase: Array
    outcome: Codes

    def reshaped(self, shape: tuple[int, ...]) -> Point:
        """Return the same lanes in another shape."""
        if self.outcome.shape == shape:
            return self
        return Point(*(getattr(self, field.name).reshape(shape) for field in fields(self)))

    @property
    def works(self) -> Mask:
        """Lanes in which the machine goes on working."""
        return self.outcome <= Outcome.BATTERY_LIMIT


def in_phase_of(points: Sequence[Point]) -> Lanes:
    """Return the sum of the currents, as far as they are in phase with the source's voltage. [A]"""
    return sum(point.battery_current * point.in_phase for point in points)


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
        in_phase=np.ones(shape),
        feed_voltage=volts.copy(),
        feed_current=still.copy(),
        feed_in_phase=np.ones(shape),
        outcome=np.full(shape, Outcome.OFF, dtype=np.int8),
    )
