"""The kinds of motor: how each turns current into torque, and what it loses on the way."""

from headrace.drive.motors.cage import CAGE
from headrace.drive.motors.magnet import MAGNET
from headrace.drive.motors.motor import MotorKind, MotorLoss
from headrace.drive.motors.series import SERIES
from headrace.machine.links import AnyMotor, InductionMotor, Motor, SeriesMotor

KINDS: dict[type, MotorKind] = {Motor: MAGNET, SeriesMotor: SERIES, InductionMotor: CAGE}

__all__ = ["KINDS", "MotorKind", "MotorLoss", "kind_of"]


def kind_of(motor: AnyMotor) -> MotorKind:
    """Return what the stages may ask of a motor."""
    return KINDS[type(motor)]
