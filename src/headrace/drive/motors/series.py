"""Universal motors: field and armature in series."""

from __future__ import annotations

from dataclasses import replace

from headrace.drive.motors.motor import MotorKind, MotorLoss, Scaler
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.links import SeriesMotor
from headrace.machine.records import Lanes
from headrace.physics import conductors, motors, series_motor


def _iron(motor: SeriesMotor, speed: Lanes, current: Lanes) -> Lanes:
    constant = series_motor.series_constant(current, motor.constant, motor.saturation_current)
    return series_motor.iron_loss(motor.iron, motors.motor_voltage(constant, speed, 0.0, 0.0, 0.0))


def _drag(motor: SeriesMotor, speed: Lanes) -> Lanes:
    return motors.rotation_torque(motor.drag, 0.0, motor.drag_square, speed)


def _turning(motor: SeriesMotor, speed: Lanes, current: Lanes) -> Lanes:
    return motors.rotation_loss(_drag(motor, speed), speed) + _iron(motor, speed, current)


def _losses(motor: SeriesMotor, warmth: Warmth, point: Point, speed: Lanes) -> list[MotorLoss]:
    current, share = point.motor_current, motor.rotor_share
    winding = motors.winding_resistance(motor.resistance, warmth.winding)
    return [
        MotorLoss("friction and fan", "rotation", motors.rotation_loss(_drag(motor, speed), speed), share, "drag"),
        MotorLoss("iron", "iron", _iron(motor, speed, current), share, "iron"),
        MotorLoss("brushes", "brushes", motors.brush_loss(current, motor.brush_drop), 1.0, "brush_drop"),
        MotorLoss("copper", "copper", conductors.joule_loss(current, winding), 1.0, "resistance"),
    ]


def _shaft_power(motor: SeriesMotor, warmth: Warmth, point: Point) -> Lanes:
    speed, current = point.motor_speed, point.motor_current
    constant = series_motor.series_constant(current, motor.constant, motor.saturation_current)
    gap = motors.rotation_loss(motors.airgap_torque(constant, current), speed)
    return gap - _turning(motor, speed, current)


def _scalers(motor: SeriesMotor) -> list[Scaler]:
    return [
        (
            "friction and fan",
            "rotation",
            lambda s: replace(motor, drag=motor.drag * s, drag_square=motor.drag_square * s),
        ),
        ("iron", "iron", lambda s: replace(motor, iron=motor.iron * s)),
        ("brushes", "brushes", lambda s: replace(motor, brush_drop=motor.brush_drop * s)),
        ("copper", "copper", lambda s: replace(motor, resistance=motor.resistance * s)),
    ]


SERIES = MotorKind(_losses, _turning, _shaft_power, _scalers)
