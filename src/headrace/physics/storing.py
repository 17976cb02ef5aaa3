"""Putting away and taking out again: how long a stored pack lasts, and how a cold one warms until it may be charged."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


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
