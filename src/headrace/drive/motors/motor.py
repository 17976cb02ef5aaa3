"""What the stages ask of a motor: where its watts go, which of them warm the winding, and what would halve them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.records import Lanes


@dataclass(frozen=True)
class MotorLoss:
    """One loss inside a motor."""

    name: str
    kind: str
    watts: Lanes
    in_winding: Lanes  # -, share of it that warms the winding; the rest warms the case
    parameter: str  # field of the motor that carries it


Scaler = tuple[str, str, Callable[[float], Any]]


@dataclass(frozen=True)
class MotorKind:
    """One kind of motor, as functions of its record.

    Attributes
    ----------
    losses
        Of (record, warmth, point, speed of its shaft): every loss, from the shaft to the terminals.
    turning
        Of (record, speed, current): what turning costs beside the windings and brushes. [W]
    shaft_power
        Of (record, warmth, point): power at its shaft. [W]
    scalers
        Of (record): for each loss its name, its kind and a function that scales it.
    """

    losses: Callable[[Any, Warmth, Point, Lanes], Sequence[MotorLoss]]
    turning: Callable[[Any, Lanes, Lanes], Lanes]
    shaft_power: Callable[[Any, Warmth, Point], Lanes]
    scalers: Callable[[Any], Sequence[Scaler]]
