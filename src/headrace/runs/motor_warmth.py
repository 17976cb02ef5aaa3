"""How warm a motor is after a while at work, or at rest."""

from __future__ import annotations

from headrace.drive.links import Parts
from headrace.drive.motors import kind_of
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.links import AnyMotor
from headrace.machine.records import Lanes
from headrace.physics import heat


def heat_of(row: Parts, point: Point, warmth: Warmth) -> tuple[Lanes, Lanes]:
    """Return what a motor's losses at a point make in its winding, and in the rest of it. [W]"""
    lost = kind_of(row.motor).losses(row.motor, warmth, point, point.motor_speed)
    return (
        sum(loss.in_winding * loss.watts for loss in lost),
        sum((1.0 - loss.in_winding) * loss.watts for loss in lost),
    )


def after(
    motor: AnyMotor, winding: Lanes, case: Lanes, inner: Lanes, outer: Lanes, air: Lanes, seconds: Lanes
) -> tuple[Lanes, Lanes]:
    """Return winding and case of a motor after a while of constant heat in both. [K]"""
    body = (motor.winding_to_case, motor.case_to_air, motor.winding_heat, motor.case_heat)
    return heat.two_node_step(winding, case, inner, outer, *body, air, seconds)


def cooled(row: Parts, winding: Lanes, case: Lanes, air: Lanes, seconds: Lanes) -> tuple[Lanes, Lanes]:
    """Return winding and case of a motor that stands still for a while. [K]"""
    return after(row.motor, winding, case, 0.0, 0.0, air, seconds)


def warmed(row: Parts, point: Point, warmth: Warmth, air: Lanes, seconds: Lanes) -> tuple[Lanes, Lanes]:
    """Return winding and case of a motor after a step with constant losses. [K]"""
    return after(row.motor, warmth.winding, warmth.magnets, *heat_of(row, point, warmth), air, seconds)
