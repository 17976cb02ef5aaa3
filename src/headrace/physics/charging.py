"""Charging: what goes into a pack, how long it takes, what the cold allows, how long a stored pack lasts."""

from __future__ import annotations

from typing import Any

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


@law(valid={"capacity": (1.0, 1e9), "drain": (0.0, 100.0), "self_discharge": (0.0, 1e-5)})
def storage_time(charge: Scalar, least: Scalar, capacity: Scalar, drain: Scalar, self_discharge: Scalar) -> Scalar:
    r"""Return how long a stored pack takes to fall from one charge to another.

    .. math:: t = \frac{z_0 - z_1}{I_d/Q + s}

    Parameters
    ----------
    charge
        Put away at. [-]
    least
        At which it has to be seen to. [-]
    capacity
        Of the pack. [A·s]
    drain
        Current of board and whatever else stays on. [A]
    self_discharge
        Of the cells, share of the capacity in a time. [1/s]

    Returns
    -------
    Scalar
        Time; infinite where nothing drains it. [s]

    Notes
    -----
    Straight down: cells self-discharge faster when full and when warm.

    References
    ----------
    .. [1] Conservation of charge.

    Examples
    --------
    Half to a fifth of 25 Ah at 1 mA and 1 % a month, in days:

    >>> round(float(storage_time(0.5, 0.2, 90e3, 1e-3, 3.8e-9)) / 86400.0)
    233
    """
    rate = drain / capacity + self_discharge
    with np.errstate(divide="ignore"):
        time: Scalar = np.divide(np.maximum(charge - least, 0.0), rate)
    return time


@law(valid={"heat_capacity": (1.0, 1e7), "conductance": (1e-6, 1e4)})
def warming_time(start: Scalar, ready: Scalar, room: Scalar, heat_capacity: Scalar, conductance: Scalar) -> Scalar:
    r"""Return how long a cold body takes to warm up in a room.

    .. math:: t = \frac{C}{G} \ln\frac{T_r - T_0}{T_r - T_1}

    Parameters
    ----------
    start
        Temperature of the body. [K]
    ready
        It has to reach. [K]
    room
        Temperature of the air. [K]
    heat_capacity
        Of the body. [J/K]
    conductance
        From it to the air. [W/K]

    Returns
    -------
    Scalar
        Time; 0 of a body that is warm enough, nan of a room that is too cold. [s]

    Notes
    -----
    One temperature for the whole body: its middle is later than that.

    References
    ----------
    .. [1] Heat balance of one node; Newton's law of cooling.

    Examples
    --------
    From 0 to 10 °C in a room at 20 °C, two time constants of which ln 2 counts:

    >>> round(float(warming_time(273.15, 283.15, 293.15, 1000.0, 1.0)), 1)
    693.1
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.divide(np.asarray(room) - start, np.asarray(room) - ready)
        warms = heat_capacity / conductance * np.log(ratio)
    late: Scalar = np.where(np.asarray(start) >= ready, 0.0, np.where(np.asarray(room) > ready, warms, np.nan))
    return late


@law(valid={"heat_capacity": (1.0, 1e7)})
def warming_energy(start: Scalar, ready: Scalar, heat_capacity: Scalar) -> Scalar:
    r"""Return the heat that warms a cold body.

    .. math:: E = C\,\max(0,\ T_1 - T_0)

    Parameters
    ----------
    start
        Temperature of the body. [K]
    ready
        It has to reach. [K]
    heat_capacity
        Of the body. [J/K]

    Returns
    -------
    Scalar
        Heat. [J]

    Notes
    -----
    Nothing lost to the air meanwhile: the least a heating mat has to give.

    References
    ----------
    .. [1] Heat balance.

    Examples
    --------
    >>> float(warming_energy(273.15, 283.15, 3000.0))
    30000.0
    """
    return heat_capacity * np.maximum(0.0, ready - start)


@law(valid={})
def resistance_of_two_loads(
    first_voltage: Scalar, second_voltage: Scalar, first_current: Scalar, second_current: Scalar
) -> Scalar:
    r"""Return the resistance of a cell under direct current from two loads, one after the other.

    .. math:: R = \frac{U_1 - U_2}{I_2 - I_1}

    Parameters
    ----------
    first_voltage
        At the end of the light load. [V]
    second_voltage
        At the end of the heavy one. [V]
    first_current
        Light load. [A]
    second_current
        Heavy load. [A]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    The standard has 0.2 of the rated current for 10 s, then the rated current for 1 s.

    References
    ----------
    .. [1] IEC 61960, clause 7.7.3, as quoted by a public copy.

    Examples
    --------
    >>> round(resistance_of_two_loads(3.700, 3.640, 0.5, 2.5), 6)
    0.03
    """
    return (first_voltage - second_voltage) / (second_current - first_current)
