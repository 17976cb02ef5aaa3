"""Induction motors, in brief: losses that stand, copper of the stator, and the rotor's own by its slip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.motors.motor import MotorKind, MotorLoss, Scaler
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.links import InductionMotor
from headrace.machine.records import Lanes
from headrace.physics import conductors, induction, motors


def _turning(motor: InductionMotor, speed: Lanes, current: Lanes) -> Lanes:
    return motors.rotation_loss(motor.drag, speed) + _standing(motor, speed)


def _standing(motor: InductionMotor, speed: Lanes) -> Lanes:
    return np.where(np.asarray(speed) > 0.0, motor.standing_loss, 0.0)


def _gap(motor: InductionMotor, warmth: Warmth, point: Point) -> Lanes:
    """Return the power over the air gap: what goes in, less what stays in the stator. [W]"""
    winding = motors.winding_resistance(motor.resistance, warmth.winding)
    copper = conductors.joule_loss(point.motor_current, winding)
    power = point.feed_voltage * point.feed_current * point.feed_in_phase
    return power - copper - motor.standing_loss


def _losses(motor: InductionMotor, warmth: Warmth, point: Point, speed: Lanes) -> list[MotorLoss]:
    winding = motors.winding_resistance(motor.resistance, warmth.winding)
    gap = np.where(point.motor_speed > 0.0, _gap(motor, warmth, point), 0.0)
    slip = np.where(point.motor_speed > 0.0, induction.rotor_slip(motor.synchronous, speed), 0.0)
    return [
        MotorLoss("bearings", "rotation", motors.rotation_loss(motor.drag, speed), motor.rotor_share, "drag"),
        MotorLoss("rotor", "rotor", induction.rotor_loss(gap, slip), 0.0, "breakdown_slip"),
        MotorLoss("iron and fan", "iron", _standing(motor, speed), motor.rotor_share, "standing_loss"),
        MotorLoss("copper", "copper", conductors.joule_loss(point.motor_current, winding), 1.0, "resistance"),
    ]


def _shaft_power(motor: InductionMotor, warmth: Warmth, point: Point) -> Lanes:
    gap = _gap(motor, warmth, point)
    slip = induction.rotor_slip(motor.synchronous, point.motor_speed)
    own = motors.rotation_loss(motor.drag, point.motor_speed)
    return np.where(point.motor_speed > 0.0, gap - induction.rotor_loss(gap, slip) - own, 0.0)


def _scalers(motor: InductionMotor) -> list[Scaler]:
    return [
        ("bearings", "rotation", lambda s: replace(motor, drag=motor.drag * s)),
        ("rotor", "rotor", lambda s: replace(motor, breakdown_slip=motor.breakdown_slip * s)),
        ("iron and fan", "iron", lambda s: replace(motor, standing_loss=motor.standing_loss * s)),
        ("copper", "copper", lambda s: replace(motor, resistance=motor.resistance * s)),
    ]


CAGE = MotorKind(_losses, _turning, _shaft_power, _scalers)
