"""How warm a motor is after a while at work, or at rest."""

from __future__ import annotations

from headrace.drive.links import Parts
from headrace.drive.motors import kind_of
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.records import Lanes
from headrace.physics import heat


def cooled(row: Parts, winding: Lanes, case: Lanes, air: Lanes, seconds: Lanes) -> tuple[Lanes, Lanes]:
    """Return winding and case of a motor that stands still for a while. [K]"""
    motor = row.motor
    body = (motor.winding_to_case, motor.case_to_air, motor.winding_heat, motor.case_heat)
    return heat.two_node_step(winding, case, 0.0, 0.0, *body, air, seconds)


def warmed(row: Parts, point: Point, warmth: Warmth, air: Lanes, seconds: Lanes) -> tuple[Lanes, Lanes]:
    """Return winding and case of a motor after a step with constant losses. [K]"""
    motor, kind = row.motor, kind_of(row.motor)
    lost = kind.losses(motor, warmth, point, point.motor_speed)
    return heat.two_node_step(
        warmth.winding,
        warmth.magnets,
        sum(loss.in_winding * loss.watts for loss in lost),
        sum((1.0 - loss.in_winding) * loss.watts for loss in lost),
        motor.winding_to_case,
        motor.case_to_air,
        motor.winding_heat,
        motor.case_heat,
        air,
        seconds,
    )
