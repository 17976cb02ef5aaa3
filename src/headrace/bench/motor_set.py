"""One set of numbers for a motor on its bench, what it says of a curve, and how far that is from what was read.

The laws are those of ``physics``; the drive of a machine rests on the same ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from headrace.bench.readings import Array, Curve
from headrace.physics import converters, motors


@dataclass(frozen=True)
class MotorSet:
    """Numbers of a motor at the temperatures of the test, and of the source it was tested on.

    Attributes
    ----------
    constant
        Motor constant. [V·s/rad]
    resistance
        All that carries the motor's current: winding, leads and switches. [Ω]
    source_resistance
        Source and leads before the controller. [Ω]
    brush_drop
        Drop over both brushes. [V]
    drag
        Drag of the turning motor at any speed. [N·m]
    drag_slope
        What it grows by with speed. [N·m·s/rad]
    """

    constant: float
    resistance: float
    source_resistance: float = 0.0
    brush_drop: float = 0.0
    drag: float = 0.0
    drag_slope: float = 0.0


class Prediction(NamedTuple):
    """What a set says of the rows of a curve."""

    torque: Array  # N m, at the speed of the row
    speed: Array  # rad/s, under the torque of the row
    motor_current: Array  # A, under the torque of the row
    source_current: Array  # A, of the same


class Departure(NamedTuple):
    """How far a prediction is from the rows, as shares of full scale.

    Full scale is the largest number of the same column of the same curve, so a curve at a low voltage is not let off.
    The current's share is the same on either side of the controller.
    """

    torque: Array
    speed: Array
    current: Array


def predict(numbers: MotorSet, curve: Curve) -> Prediction:
    """Return torque at each speed that was read, and speed and currents under each torque that was read."""
    volts = curve.supply_voltage
    loop = motors.resistance_behind_chopper(numbers.resistance, numbers.source_resistance, curve.duty)
    through = motors.current_at_speed(volts, curve.speed, numbers.constant, loop, numbers.brush_drop)
    torque = motors.airgap_torque(numbers.constant, through) - _drag(numbers, curve.speed)
    speed = motors.speed_under_torque(
        volts, curve.torque, numbers.constant, loop, numbers.brush_drop, numbers.drag, numbers.drag_slope
    )
    current = motors.motor_current(curve.torque, _drag(numbers, speed), numbers.constant)
    _, drawn = converters.chopped(curve.duty, curve.source_voltage, current)
    return Prediction(np.asarray(torque), np.asarray(speed), np.asarray(current), np.asarray(drawn))


def _drag(numbers: MotorSet, speed: Array | float) -> Array | float:
    return motors.rotation_torque(numbers.drag, numbers.drag_slope, 0.0, speed)


def departure(numbers: MotorSet, curve: Curve) -> Departure:
    """Return how far a set's prediction lies above each row of a curve."""
    said = predict(numbers, curve)
    return Departure(
        *(
            (computed - read) / float(np.max(np.abs(read)))
            for computed, read in (
                (said.torque, curve.torque),
                (said.speed, curve.speed),
                (said.motor_current, curve.motor_current),
            )
        )
    )
