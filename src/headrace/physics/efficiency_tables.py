"""A measured table of efficiencies turned into the terms of a link's own loss law.

A table alone says nothing below its first row, and a product of efficiencies is no machine. What a link loses is a sum
of terms that each grow in a known way with load or speed; the table fixes their sizes. Every row counts by the share
of its input power it is missed by, and no term is let below zero.
"""

from __future__ import annotations

from itertools import combinations
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from headrace.physics.law import Scalar, law

Array = npt.NDArray[np.float64]
ROUNDS = 60  # of the motor's current, which its own drag is a part of; it settles in a dozen
SETTLED = 1e-10  # change of a term, as a share of it, at which the rounds end


class StageFit(NamedTuple):
    """A gear or belt stage: part that grows with load, and drag at its input shaft."""

    efficiency: float  # -
    drag: float  # N m
    rows: Array  # -, efficiencies it gives in place of the measured


class ConverterFit(NamedTuple):
    """A converter's three terms."""

    idle_power: float  # W
    linear: float  # -
    square: float  # 1/W
    rows: Array  # -, efficiencies it gives in place of the measured


class ControllerFit(NamedTuple):
    """A controller at full duty."""

    idle_power: float  # W
    resistance: float  # ohm
    rows: Array  # -, efficiencies it gives in place of the measured


class MotorFit(NamedTuple):
    """A motor with magnets, its constant and brush drop known."""

    resistance: float  # ohm
    drag: float  # N m
    drag_slope: float  # N m s/rad
    rows: Array  # -, efficiencies it gives in place of the measured


def _not_below_zero(columns: list[Array], target: Array, whole: Array) -> Array:
    """Return the sizes of terms, none below zero, that miss a target least as shares of a whole.

    All choices of terms are tried: there are at most three.
    """
    best, least = np.zeros(len(columns)), np.inf
    matrix = np.stack(columns, axis=1) / whole[:, np.newaxis]
    for count in range(1, len(columns) + 1):
        for chosen in combinations(range(len(columns)), count):
            found = np.linalg.lstsq(matrix[:, chosen], target / whole, rcond=None)[0]
            missed = float(np.sum((matrix[:, chosen] @ found - target / whole) ** 2))
            if np.all(found >= 0.0) and missed < least * (1.0 - 1e-12):
                best, least = np.zeros(len(columns)), missed
                best[list(chosen)] = found + 0.0  # no -0
    return best


@law(valid={"torque": (1e-9, 1e5), "efficiency": (0.01, 1.0), "ratio": (0.01, 1e3), "creep": (0.0, 0.3)})
def stage_from_efficiencies(torque: Scalar, efficiency: Scalar, ratio: Scalar, creep: Scalar) -> StageFit:
    r"""Return what a gear or belt stage loses, from efficiencies measured at several torques.

    .. math:: \frac{T\,(1-s)}{i\,\eta} - \frac{T}{i} = T_0 + g\,\frac{T}{i}, \quad \eta_l = \frac{1}{1+g}

    Parameters
    ----------
    torque
        At the output shaft, of each row. [N·m]
    efficiency
        Power out over power in, of each row. [-]
    ratio
        Input turns per output turn without creep. [-]
    creep
        Share of the speed lost. [-]

    Returns
    -------
    StageFit
        Efficiency of the part that grows with load, at most 1, drag at the input shaft, efficiencies of the rows.
        [-, N·m, -]

    Notes
    -----
    Rows are of about one speed, the working one: drag that grows with speed is not told from drag that does not.

    References
    ----------
    .. [1] Balance of power over the stage; least squares.

    Examples
    --------
    Made with 90 % and 0.1 N·m at the input of a stage of 5:

    >>> found = stage_from_efficiencies(np.array([2.0, 10.0]), np.array([0.73469388, 0.86124402]), 5.0, 0.0)
    >>> round(found.efficiency, 4), round(found.drag, 4)
    (0.9, 0.1)
    """
    out, eta = np.asarray(torque, dtype=float), np.asarray(efficiency, dtype=float)
    into = out * (1.0 - np.asarray(creep)) / (ratio * eta)
    drag, growth = _not_below_zero([np.ones_like(out), out / ratio], into - out / ratio, into)
    part = 1.0 / (1.0 + growth)
    return StageFit(float(part), float(drag), out * (1.0 - np.asarray(creep)) / (out / part + ratio * drag))


@law(valid={"power": (1e-9, 1e6), "efficiency": (0.01, 1.0)})
def converter_from_efficiencies(power: Scalar, efficiency: Scalar) -> ConverterFit:
    r"""Return the three terms of a converter's loss, from efficiencies measured at several powers.

    .. math:: P\,(1/\eta - 1) = P_0 + a\,P + b\,P^2

    Parameters
    ----------
    power
        Put out, of each row. [W]
    efficiency
        Power out over power in, of each row. [-]

    Returns
    -------
    ConverterFit
        Idle loss, linear and quadratic term, efficiencies of the rows. [W, -, 1/W, -]

    Notes
    -----
    A load of unity power factor is taken: volt-amperes are watts.

    References
    ----------
    .. [1] Least squares on the usual three terms of a converter's loss.

    Examples
    --------
    Made with 12 W, 4 % and 4e-5 per watt:

    >>> p = np.array([100.0, 400.0, 1000.0])
    >>> found = converter_from_efficiencies(p, p / (p + 12.0 + 0.04 * p + 4e-5 * p**2))
    >>> [round(float(term), 6) for term in found[:-1]]
    [12.0, 0.04, 4e-05]
    """
    out, eta = np.asarray(power, dtype=float), np.asarray(efficiency, dtype=float)
    idle, linear, square = _not_below_zero([np.ones_like(out), out, out**2], out * (1.0 / eta - 1.0), out / eta)
    rows = out / (out + idle + linear * out + square * out**2)
    return ConverterFit(float(idle), float(linear), float(square), rows)


@law(valid={"current": (1e-9, 5000.0), "voltage": (1e-9, 2000.0), "efficiency": (0.01, 1.0)})
def controller_from_efficiencies(current: Scalar, voltage: Scalar, efficiency: Scalar) -> ControllerFit:
    r"""Return what a controller loses at full duty, from efficiencies measured at several currents.

    .. math:: U I\,(1/\eta - 1) = P_0 + R I^2

    Parameters
    ----------
    current
        In the motor, of each row. [A]
    voltage
        At the motor, of each row. [V]
    efficiency
        Power out over power in, of each row. [-]

    Returns
    -------
    ControllerFit
        Its own supply, the resistance of its path, efficiencies of the rows. [W, Ω, -]

    Notes
    -----
    Rows are of full duty: switching loss stands in its own keys.

    References
    ----------
    .. [1] Least squares on supply and path.

    Examples
    --------
    >>> i = np.array([5.0, 20.0, 40.0])
    >>> found = controller_from_efficiencies(i, 30.0, 30.0 * i / (30.0 * i + 3.0 + 0.004 * i**2))
    >>> [round(float(term), 6) for term in found[:-1]]
    [3.0, 0.004]
    """
    amps, eta = np.asarray(current, dtype=float), np.asarray(efficiency, dtype=float)
    out = amps * voltage
    idle, path = _not_below_zero([np.ones_like(amps), amps**2], out * (1.0 / eta - 1.0), out / eta)
    return ControllerFit(float(idle), float(path), out / (out + idle + path * amps**2))


@law(
    valid={
        "speed": (1e-9, 1e4),
        "torque": (1e-9, 1e4),
        "efficiency": (0.01, 1.0),
        "constant": (1e-4, 100.0),
        "brush_drop": (0.0, 10.0),
    }
)
def motor_from_efficiencies(
    speed: Scalar, torque: Scalar, efficiency: Scalar, constant: Scalar, brush_drop: Scalar
) -> MotorFit:
    r"""Return resistance and drag of a motor with magnets, from efficiencies measured at several speeds and torques.

    .. math::

        T\omega\,(1/\eta - 1) - U_b I = R I^2 + T_0\,\omega + T_1\,\omega^2, \quad I = \frac{T + T_0 + T_1\,\omega}{k}

    Parameters
    ----------
    speed
        Of each row. [rad/s]
    torque
        At the shaft, of each row. [N·m]
    efficiency
        Power at the shaft over power at the terminals, of each row. [-]
    constant
        Of the motor, warm as it was measured. [V·s/rad]
    brush_drop
        Of both brushes together. [V]

    Returns
    -------
    MotorFit
        Resistance as warm as it was, drag at any speed, drag in proportion to speed, efficiencies of the rows.
        [Ω, N·m, N·m·s/rad, -]

    Notes
    -----
    The current is a part of what is looked for: rounds from none of the drag on, until it settles.

    References
    ----------
    .. [1] Balance of power of a motor with magnets; least squares.

    Examples
    --------
    Made with 80 mΩ, 0.1 N·m and 2e-4 N·m·s/rad, k = 0.1 V·s/rad, without brushes:

    >>> w, t = np.array([100.0, 300.0, 300.0, 200.0]), np.array([0.5, 0.5, 3.0, 2.0])
    >>> i = (t + 0.1 + 2e-4 * w) / 0.1
    >>> found = motor_from_efficiencies(w, t, t * w / (0.1 * w * i + 0.08 * i**2), 0.1, 0.0)
    >>> [round(float(term), 4) for term in found[:-1]]
    [0.08, 0.1, 0.0002]
    """
    turns, shaft, eta = (np.asarray(value, dtype=float) for value in (speed, torque, efficiency))
    out = shaft * turns
    terms = np.zeros(3)
    for _ in range(ROUNDS):
        before, (_, drag, slope) = terms, terms
        amps = (shaft + drag + slope * turns) / constant
        lost = out * (1.0 / eta - 1.0) - brush_drop * amps
        terms = _not_below_zero([amps**2, turns, turns**2], lost, out / eta)
        if np.all(np.abs(terms - before) <= SETTLED * np.abs(terms)):
            break
    resistance, drag, slope = terms
    amps = (shaft + drag + slope * turns) / constant
    into = amps * (constant * turns + brush_drop + resistance * amps)
    return MotorFit(float(resistance), float(drag), float(slope), out / into)
