"""Motors with magnets, brushed or commutated by their controller."""

from __future__ import annotations

from dataclasses import replace

from headrace.drive.motors.motor import MotorKind, MotorLoss, Scaler
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.links import Motor
from headrace.machine.records import Lanes
from headrace.physics import conductors, motors


def _drag(motor: Motor, speed: Lanes) -> Lanes:
    return motors.rotation_torque(motor.drag, motor.drag_slope, motor.drag_square, speed)


def _turning(motor: Motor, speed: Lanes, current: Lanes) -> Lanes:
    return motors.rotation_loss(_drag(motor, speed), speed)


def _losses(motor: Motor, warmth: Warmth, point: Point, speed: Lanes) -> list[MotorLoss]:
    found = [
        MotorLoss("turning", "rotation", _turning(motor, speed, point.motor_current), motor.rotor_share, "drag"),
    ]
    if motor.commutation == "brushed":
        brushes = motors.brush_loss(point.motor_current, motor.brush_drop)
        found.append(MotorLoss("brushes", "brushes", brushes, 1.0, "brush_drop"))
    winding = motors.winding_resistance(motor.resistance, warmth.winding)
    copper = conductors.joule_loss(point.motor_current, winding)
    return [*found, MotorLoss("copper", "copper", copper, 1.0, "resistance")]


def _shaft_power(motor: Motor, warmth: Warmth, point: Point) -> Lanes:
    constant = motors.magnet_constant(motor.constant, motor.magnet_slope, warmth.magnets)
    torque = motors.airgap_torque(constant, point.motor_current) - _drag(motor, point.motor_speed)
    return motors.rotation_loss(torque, point.motor_speed)


def _scalers(motor: Motor) -> list[Scaler]:
    def turning(share: float) -> Motor:
        return replace(
            motor, drag=motor.drag * share, drag_slope=motor.drag_slope * share, drag_square=motor.drag_square * share
        )

    scalers: list[Scaler] = [("turning", "rotation", turning)]
    if motor.commutation == "brushed":
        scalers.append(("brushes", "brushes", lambda s: replace(motor, brush_drop=motor.brush_drop * s)))
    scalers.append(("copper", "copper", lambda s: replace(motor, resistance=motor.resistance * s)))
    return scalers


MAGNET = MotorKind(_losses, _turning, _shaft_power, _scalers)
