"""Charging in long steps: what a cell's volts and charge come to by the end of one that its slow parts keep up with."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"seconds": (0.0, 1e6), "time_first": (1e-3, 1e6), "time_second": (1e-3, 1e6)})
def resistance_over(
    resistance: Scalar,
    slow_first: Scalar,
    slow_second: Scalar,
    time_first: Scalar,
    time_second: Scalar,
    seconds: Scalar,
) -> Scalar:
    r"""Return the resistance a steady current meets by the end of a time, slow parts as far as they have come up.

    .. math:: R(t) = R_0 + \sum_k R_k\,(1 - e^{-t/\tau_k})

    Parameters
    ----------
    resistance
        That answers at once. [Ω]
    slow_first
        Of the quicker RC pair. [Ω]
    slow_second
        Of the slower one. [Ω]
    time_first
        Time constant of the quicker one. [s]
    time_second
        Of the slower one. [s]
    seconds
        Of the current. [s]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    Exact for a current that stays; with it a step that holds a voltage at its end is stable however long it is.

    References
    ----------
    .. [1] Linear first-order equation of an RC pair.

    Examples
    --------
    >>> round(float(resistance_over(0.02, 0.01, 0.01, 30.0, 400.0, 1e5)), 3)
    0.04
    """
    first = slow_first * (1.0 - np.exp(-np.asarray(seconds) / time_first))
    second = slow_second * (1.0 - np.exp(-np.asarray(seconds) / time_second))
    total: Scalar = resistance + first + second
    return total


@law(valid={"seconds": (0.0, 1e6), "time_first": (1e-3, 1e6), "time_second": (1e-3, 1e6)})
def rest_after(
    rest: Scalar, slow_first: Scalar, slow_second: Scalar, time_first: Scalar, time_second: Scalar, seconds: Scalar
) -> Scalar:
    r"""Return the voltage of a cell without current, a time on: what is left of its slow voltages still counts.

    .. math:: U(t) = U - \sum_k v_k\,e^{-t/\tau_k}

    Parameters
    ----------
    rest
        Rest voltage. [V]
    slow_first
        Volts over the quicker RC pair, positive after discharge, negative on charge. [V]
    slow_second
        Over the slower one. [V]
    time_first
        Time constant of the quicker one. [s]
    time_second
        Of the slower one. [s]
    seconds
        Passed since. [s]

    Returns
    -------
    Scalar
        Voltage. [V]

    Notes
    -----
    The rest voltage itself is taken as it was at the start of the time.

    References
    ----------
    .. [1] Linear first-order equation of an RC pair.

    Examples
    --------
    >>> round(float(rest_after(3.9, -0.05, 0.0, 30.0, 400.0, 0.0)), 3)
    3.95
    """
    first = slow_first * np.exp(-np.asarray(seconds) / time_first)
    second = slow_second * np.exp(-np.asarray(seconds) / time_second)
    voltage: Scalar = rest - first - second
    return voltage


@law(valid={"step": (1e-6, 1.0), "seconds": (0.0, 1e6), "capacity": (1.0, 1e9)})
def rise_as_resistance(rest: Scalar, rest_before: Scalar, step: Scalar, seconds: Scalar, capacity: Scalar) -> Scalar:
    r"""Return what the rise of the rest voltage over a time of charging is like: a resistance to the current.

    .. math:: R = \frac{U(z) - U(z - \Delta z)}{\Delta z}\,\frac{t}{Q}

    Parameters
    ----------
    rest
        Rest voltage. [V]
    rest_before
        That at a little less charge. [V]
    step
        Of charge between the two. [-]
    seconds
        Of the current. [s]
    capacity
        Of the cell. [A·s]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    The slope behind is taken for the one ahead; at a table's end there is none ahead.

    References
    ----------
    .. [1] Conservation of charge on a straight piece of the rest voltage.

    Examples
    --------
    1 V over the whole charge, 36 s of 3600 A·s:

    >>> round(rise_as_resistance(4.10, 4.09, 0.01, 36.0, 3600.0), 6)
    0.01
    """
    return (rest - rest_before) / step * seconds / capacity


@law(valid={"kept": (0.0, 1.0)})
def charge_kept(before: Scalar, after: Scalar, kept: Scalar) -> Scalar:
    r"""Return the charge of a cell once what side reactions took of that put in is gone.

    .. math:: z' = \min\bigl(1,\ z_0 + \eta_Q\,(z_1 - z_0)\bigr)

    Parameters
    ----------
    before
        Charge at the start. [-]
    after
        Charge if all were kept. [-]
    kept
        Share of the charge put in that stays. [-]

    Returns
    -------
    Scalar
        Charge. [-]

    Notes
    -----
    Near one for lithium; lead-acid gases away a seventh.

    References
    ----------
    .. [1] Definition of the coulombic efficiency.

    Examples
    --------
    >>> round(float(charge_kept(0.5, 0.6, 0.85)), 3)
    0.585
    """
    return np.minimum(1.0, before + kept * (after - before))
