"""Curves of torque, speed and current at several voltages: one set of numbers for the motor, and what stays in doubt.

The set is that of least squares over three departures of every row: torque at the speed read, speed under the torque
read, current under the torque read, each as a share of full scale. All rows of a curve together weigh as much as
those of any other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from headrace.bench.motor_doubts import doubts
from headrace.bench.motor_set import MotorSet, departure
from headrace.bench.readings import Curve
from headrace.errors import NotSettled
from headrace.physics import motors

SETTLED = 1e-12  # relative change of the set, and of the sum of squares, at which the search ends
NOTHING = 1e-9  # of a number's usual size
ROUNDS = 400  # of the search; curves from a motor need 10 to 30


@dataclass(frozen=True)
class Residual:
    """The largest departures over the rows of one curve, as shares of full scale.

    Attributes
    ----------
    supply_voltage
        Of the curve. [V]
    fitted
        Whether the set was fitted to it, or only predicts it.
    torque, speed, current
        Torque at the speed read; speed and current under the torque read. [-]
    """

    supply_voltage: float
    fitted: bool
    torque: float
    speed: float
    current: float

    @property
    def worst(self) -> float:
        """The largest of the three. [-]"""
        return max(self.torque, self.speed, self.current)


@dataclass(frozen=True)
class MotorFit:
    """One set of numbers, how far it is from each curve (highest voltage first), and what to doubt."""

    numbers: MotorSet
    residuals: tuple[Residual, ...]
    doubts: tuple[str, ...]

    def residual(self, supply_voltage: float) -> Residual:
        """Return the residual of the curve at a voltage."""
        return next(r for r in self.residuals if r.supply_voltage == supply_voltage)


def fit(curves: Sequence[Curve], *, least_voltage: float = 0.0, brushes: bool = False) -> MotorFit:
    """Fit one set of numbers to the curves of a motor.

    What the curves cannot tell stays zero: the drag's growth with speed and the resistance on the source's side want
    curves at two supply voltages, the latter at two duties; a drop over brushes wants brushes. The controller's own
    idle power is not told apart from drag.

    Parameters
    ----------
    curves
        All curves of one motor.
    least_voltage
        Curves below this supply voltage are predicted and judged, not fitted. [V]
    brushes
        Whether the motor has brushes, whose drop is then fitted too.

    Raises
    ------
    ValueError
        No curve is left to fit.
    NotSettled
        The search for the set did not end.
    """
    ordered = sorted(curves, key=lambda curve: -curve.supply_voltage)
    used = [curve for curve in ordered if curve.supply_voltage >= least_voltage]
    if not used:
        raise ValueError(f"no curve at {least_voltage:g} V or more")
    numbers = _least_squares(used, _told(used, brushes))
    return MotorFit(
        numbers=numbers,
        residuals=tuple(_residual(numbers, curve, curve.supply_voltage >= least_voltage) for curve in ordered),
        doubts=tuple(doubts(numbers, ordered)),
    )


def _told(used: Sequence[Curve], brushes: bool) -> list[str]:
    """Return the names of the numbers that the curves can tell."""
    names = ["constant", "resistance", "drag"]
    if len({curve.supply_voltage for curve in used}) > 1:
        names.append("drag_slope")
    if len({curve.duty for curve in used}) > 1:
        names.append("source_resistance")
    return [*names, "brush_drop"] if brushes else names


def _least_squares(used: Sequence[Curve], names: Sequence[str]) -> MotorSet:
    """Return the set nearest to the curves, none of its numbers below zero."""
    from scipy.optimize import least_squares

    start, scale = _start(used[0])
    units = np.array([getattr(scale, name) for name in names])

    def numbers(scaled: NDArray[np.float64]) -> MotorSet:
        return replace(start, **dict(zip(names, (scaled * units).tolist(), strict=True)))

    def misses(scaled: NDArray[np.float64]) -> NDArray[np.float64]:
        at = numbers(scaled)
        return np.concatenate([np.ravel(departure(at, curve)) / np.sqrt(curve.speed.size) for curve in used])

    first = np.array([getattr(start, name) for name in names]) / units
    found = least_squares(
        misses, first, bounds=(0.0, np.inf), ftol=SETTLED, xtol=SETTLED, gtol=SETTLED, max_nfev=ROUNDS
    )
    if not found.success:
        raise NotSettled("motor curves", "the set of numbers")
    # a number the search has pushed against zero is zero, not the distance it keeps from its bound
    return numbers(np.where(found.x < NOTHING, 0.0, found.x))


def _start(curve: Curve) -> tuple[MotorSet, MotorSet]:
    """Return where the search starts, and the size of each number; from the two ends of a curve as from a plate."""
    fast, slow = curve.ends
    amps = curve.motor_current
    volts = curve.supply_voltage
    plate = motors.from_plate(volts, curve.speed[fast], amps[fast], curve.speed[slow], amps[slow], 0.0)
    start = MotorSet(float(plate.constant), float(plate.resistance), drag=max(float(plate.drag), 0.0))
    drag = motors.airgap_torque(start.constant, 0.01 * float(np.max(amps)))
    size = MotorSet(
        constant=start.constant,
        resistance=start.resistance,
        source_resistance=start.resistance,
        brush_drop=0.01 * volts,
        drag=float(drag),
        drag_slope=float(drag) / float(curve.speed[fast]),
    )
    return start, size


def _residual(numbers: MotorSet, curve: Curve, fitted: bool) -> Residual:
    torque, speed, current = (float(np.max(np.abs(shares))) for shares in departure(numbers, curve))
    return Residual(curve.supply_voltage, fitted, torque, speed, current)
