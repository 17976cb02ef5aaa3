"""Costs of working with a machine: by the season, by the hour, for current and for fuel."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

KILOWATT_HOUR = 3.6e6  # J
LITRE = 1e-3  # m³
HOUR = 3_600.0  # s


@law(valid={"years": (0.01, 100.0)})
def season_of_price(price: Scalar, years: Scalar) -> Scalar:
    r"""Return what a thing costs in a season that is bought once and lasts some.

    .. math:: k = \frac{K}{n}

    Parameters
    ----------
    price
        Paid once. [money]
    years
        It lasts. [-]

    Returns
    -------
    Scalar
        Cost of a season. [money]

    Notes
    -----
    Straight line, no interest, nothing left at the end.

    References
    ----------
    .. [1] Definition of straight-line depreciation.

    Examples
    --------
    >>> season_of_price(400.0, 8.0)
    50.0
    """
    return price / years


@law(valid={})
def current_cost(energy: Scalar, price: Scalar) -> Scalar:
    r"""Return what energy from the mains costs.

    .. math:: K = \frac{E}{3.6\cdot10^6}\,k

    Parameters
    ----------
    energy
        From the outlet. [J]
    price
        Of a kilowatt-hour. [money/(kW·h)]

    Returns
    -------
    Scalar
        Cost. [money]

    Notes
    -----
    One price at all hours.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> current_cost(7.2e6, 0.3)
    0.6
    """
    return energy / KILOWATT_HOUR * price


@law(valid={})
def fuel_cost(flow: Scalar, seconds: Scalar, price: Scalar) -> Scalar:
    r"""Return what an engine's fuel costs.

    .. math:: K = \frac{\dot V t}{10^{-3}}\,k

    Parameters
    ----------
    flow
        Of fuel at this work. [m³/s]
    seconds
        Worked. [s]
    price
        Of a litre. [money/l]

    Returns
    -------
    Scalar
        Cost. [money]

    Notes
    -----
    Oil, plugs and filters are not in it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    An hour at a litre an hour:

    >>> round(fuel_cost(1e-3 / 3600.0, 3600.0, 1.8), 6)
    1.8
    """
    return flow * seconds / LITRE * price


@law(valid={"seconds": (1.0, 1e9)})
def hourly(cost: Scalar, seconds: Scalar) -> Scalar:
    r"""Return a cost by the hour.

    .. math:: k = \frac{3600\,K}{t}

    Parameters
    ----------
    cost
        Of all the time. [money]
    seconds
        Worked in it. [s]

    Returns
    -------
    Scalar
        Cost of an hour. [money]

    Notes
    -----
    Of an hour of work, not of an hour owned; infinite where nothing is worked.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> float(hourly(60.0, 7200.0))
    30.0
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        by_second: Scalar = np.divide(cost, seconds)
    return by_second * HOUR
