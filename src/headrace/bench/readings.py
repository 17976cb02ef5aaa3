"""What was read on the bench while a motor was loaded from free running down to standstill."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from headrace.physics import converters, motors
from headrace.physics.law import check

Array = npt.NDArray[np.float64]

STILL = 0.01  # share of the highest speed below which a row counts as held still, and torque as none


class Side(StrEnum):
    """The side of the controller on which the amps were read."""

    SOURCE = "source"
    MOTOR = "motor"

    @property
    def other(self) -> Side:
        """The side on which they were not."""
        return Side.MOTOR if self is Side.SOURCE else Side.SOURCE


@dataclass(frozen=True, eq=False)
class Curve:
    """Speed, torque and current of one motor behind a controller that chops a source down to one voltage.

    Attributes
    ----------
    supply_voltage
        What the controller was told to give the motor. [V]
    source_voltage
        Of the source, without current. [V]
    speed
        Of the motor's shaft, row by row in any order. [rad/s]
    torque
        At the shaft. [N·m]
    current
        As read. [A]
    side
        Where it was read.

    Raises
    ------
    OutOfRange
        A number that is none, or that the laws do not hold for; a supply voltage above the source's.
    ValueError
        Columns of different lengths, or rows that do not slow down as torque and amps rise.
    """

    supply_voltage: float
    source_voltage: float
    speed: Array
    torque: Array
    current: Array
    side: Side

    def __post_init__(self) -> None:
        """Refuse what no motor behind a chopper can have shown."""
        if not self.speed.shape == self.torque.shape == self.current.shape or self.speed.ndim != 1:
            raise ValueError("speed, torque and current are three columns of one length")
        for volts in (self.supply_voltage, self.source_voltage):
            check(motors.from_plate, voltage=volts)
        check(motors.rotation_torque, speed=self.speed)
        check(motors.motor_current, shaft_torque=self.torque)
        check(motors.motor_voltage, current=self.current)
        check(converters.chopped, duty=self.duty)
        fast, slow = self.ends
        if any(column[slow] <= max(float(column[fast]), 0.0) for column in (self.torque, self.current)):
            raise ValueError("the slowest row of a curve carries more torque and more amps than the fastest")

    @property
    def duty(self) -> float:
        """Share of the source's voltage that the controller was told to give. [-]"""
        return self.supply_voltage / self.source_voltage

    @property
    def motor_current(self) -> Array:
        """Amps of the motor; those of the source over duty. [A]"""
        return self.current if self.side is Side.MOTOR else self.current / self.duty

    @property
    def source_current(self) -> Array:
        """Amps of the source; duty times those of the motor. [A]"""
        return np.asarray(converters.chopped(self.duty, self.source_voltage, self.motor_current)[1])

    @property
    def ends(self) -> tuple[int, int]:
        """The fastest row and the slowest."""
        return int(np.argmax(self.speed)), int(np.argmin(self.speed))

    @property
    def free(self) -> int | None:
        """The row without load, if there is one."""
        row, _ = self.ends
        return row if self.torque[row] <= STILL * float(np.max(self.torque)) else None

    @property
    def still(self) -> int | None:
        """The row at standstill, if there is one."""
        _, row = self.ends
        return row if self.speed[row] <= STILL * float(np.max(self.speed)) else None
