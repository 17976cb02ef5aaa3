"""Charging: what goes into a pack, how long it takes, what the cold allows."""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"capacity": (1.0, 1e9), "temperature": (233.0, 343.0)})
def charge_current_allowed(
    limit: Scalar, capacity: Scalar, temperature: Scalar, lowest: Scalar, edges: Any, rates: Any
) -> Scalar:
    r"""Return the current a cell may be charged with at its temperature, by bands of rates.

    .. math:: I = \min(I_{max},\ c_k Q) \text{ for } T_k \le T < T_{k+1}, \quad 0 \text{ for } T < T_{min}

    Parameters
    ----------
    limit
        Of the warm cell. [A]
    capacity
        Of the cell. [A·s]
    temperature
        Of the cell, not of the air. [K]
    lowest
        Below which it may not be charged at all. [K]
    edges
        Lower edge of each band, rising. [K]
    rates
        Allowed in each band, over the capacity. [1/s]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    The sheet of the cell comes before any band. Below the first edge nothing is allowed.

    References
    ----------
    .. [1] Common practice, no source: bands of tables/charge_bands.csv.

    Examples
    --------
    >>> float(charge_current_allowed(2.5, 18000.0, 276.0, 273.15, [273.15, 288.15], [0.1 / 3600, 1.0 / 3600]))
    0.5
    """
    place = np.searchsorted(np.asarray(edges), np.asarray(temperature), side="right")
    rate = np.concatenate([[0.0], np.asarray(rates)])[place]
    allowed = np.minimum(limit, rate * capacity)
    current: Scalar = np.where(np.asarray(temperature) < lowest, 0.0, allowed)
    return current


@law(valid={"capacity": (1.0, 1e9)})
def temperature_for_charge(current: Scalar, capacity: Scalar, lowest: Scalar, edges: Any, rates: Any) -> Scalar:
    r"""Return how warm a cell must be for a charging current, by the same bands of rates.

    .. math:: T = \max\bigl(T_{min},\ \min\{T_k : c_k Q \ge I\}\bigr)

    Parameters
    ----------
    current
        To be charged with. [A]
    capacity
        Of the cell. [A·s]
    lowest
        Below which it may not be charged at all. [K]
    edges
        Lower edge of each band, rising. [K]
    rates
        Allowed in each band, over the capacity, rising. [1/s]

    Returns
    -------
    Scalar
        Temperature; the edge of the warmest band for a current no band allows. [K]

    Notes
    -----
    Inverse of ``charge_current_allowed``; the limit of the warm cell is not asked here.

    References
    ----------
    .. [1] Common practice, no source: bands of tables/charge_bands.csv.

    Examples
    --------
    >>> float(temperature_for_charge(2.5, 18000.0, 273.15, [273.15, 288.15], [0.1 / 3600, 1.0 / 3600]))
    288.15
    """
    rate = np.asarray(current) / capacity * (1.0 - 1e-9)
    place = np.minimum(np.searchsorted(np.asarray(rates), rate, side="left"), len(edges) - 1)
    warm: Scalar = np.maximum(lowest, np.asarray(edges)[place])
    return warm


@law(valid={"efficiency": (0.01, 1.0)})
def mains_power(current: Scalar, voltage: Scalar, efficiency: Scalar) -> Scalar:
    r"""Return what a charger takes from the mains.

    .. math:: P = \frac{I U}{\eta}

    Parameters
    ----------
    current
        Into the battery. [A]
    voltage
        At its terminals. [V]
    efficiency
        Of the charger. [-]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    One efficiency for all currents; at the end of the taper a charger does worse.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> mains_power(5.0, 42.0, 0.875)
    240.0
    """
    return current * voltage / efficiency


@law(valid={"capacity": (1.0, 1e9), "slope": (1e-3, 100.0), "resistance": (1e-6, 1e3)})
def taper_time(resistance: Scalar, capacity: Scalar, slope: Scalar, start: Scalar, end: Scalar) -> Scalar:
    r"""Return how long a current takes to fade at a held voltage, on a straight piece of the rest voltage.

    .. math:: t = \tau \ln\frac{I_0}{I_1}, \qquad \tau = \frac{R\,Q}{dU/dz}

    Parameters
    ----------
    resistance
        Settled, slow parts included. [Ω]
    capacity
        Of the cell. [A·s]
    slope
        Of the rest voltage over the charge, 0 to 1. [V]
    start
        Current at first. [A]
    end
        Current at last. [A]

    Returns
    -------
    Scalar
        Time. [s]

    Notes
    -----
    The march over the cell's own table has no straight piece; this is its check and the reason for its shape.

    References
    ----------
    .. [1] Charge balance of a resistance in series with a capacity; derived here.

    Examples
    --------
    40 mΩ, 4.2 Ah, 1 V, from C/2 to C/20:

    >>> round(float(taper_time(0.040, 15120.0, 1.0, 2.1, 0.21)) / 60.0, 1)
    23.2
    """
    time: Scalar = resistance * capacity / slope * np.log(np.asarray(start) / end)
    return time


@law(valid={"gap": (0.0, 1.0), "capacity": (1.0, 1e9), "current": (1e-6, 1e3)})
def balancing_time(gap: Scalar, capacity: Scalar, current: Scalar) -> Scalar:
    r"""Return how long a bleed resistor takes to close a gap in charge between groups.

    .. math:: t = \frac{\Delta z\,Q}{I_b}

    Parameters
    ----------
    gap
        Of the fullest group over the others, as a share of the capacity. [-]
    capacity
        Of a group. [A·s]
    current
        Bled. [A]

    Returns
    -------
    Scalar
        Time. [s]

    Notes
    -----
    Of bleeding without a pause; most boards bleed only near full, so iron phosphate takes several charges.

    References
    ----------
    .. [1] Conservation of charge.

    Examples
    --------
    2 % of 25 Ah at 50 mA, in hours:

    >>> round(balancing_time(0.02, 25.0 * 3600.0, 0.05) / 3600.0, 6)
    10.0
    """
    return gap * capacity / current
