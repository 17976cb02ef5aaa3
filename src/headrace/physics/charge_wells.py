"""Two wells of charge: what a battery gives at a rate, and what a rest gives back. Discharge current is positive.

A heavy discharge ends early, and a rest gives charge back: what is near the plates runs low before the battery does.
Two wells say that without losing a coulomb. The available well feeds the terminals; the bound one feeds the available
well, at a rate. Peukert's exponent only describes what the wells give at constant current from full.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from headrace.physics.law import Scalar, law

HALVINGS = 80  # of a range of e^40: beyond what a double tells apart


class Wells(NamedTuple):
    """What the two wells hold; floats or lanes."""

    available: Scalar  # A s, next to the plates
    bound: Scalar  # A s, has to travel first


class WellConstants(NamedTuple):
    """What makes two wells; capacity and share are no number where ``solved`` is false."""

    capacity: Scalar  # A s, both wells full
    share: Scalar  # -, of the available well
    solved: bool | NDArray[np.bool_]


@law(valid={"capacity": (1.0, 1e9), "charge": (0.0, 1.0), "share": (0.02, 0.98)})
def wells_at_rest(capacity: Scalar, charge: Scalar, share: Scalar) -> Wells:
    r"""Return what the two wells hold in a battery that has rested for long.

    .. math:: q_1 = c z Q, \quad q_2 = (1 - c) z Q

    Parameters
    ----------
    capacity
        Of both wells. [A·s]
    charge
        Share of it left. [-]
    share
        Of the available well in the capacity. [-]

    Returns
    -------
    Wells
        Available and bound charge. [A·s]

    Notes
    -----
    Both wells stand at one height.

    References
    ----------
    .. [1] J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993) 399.

    Examples
    --------
    >>> wells_at_rest(72000.0, 0.5, 0.25)
    Wells(available=9000.0, bound=27000.0)
    """
    return Wells(share * charge * capacity, (1.0 - share) * charge * capacity)


@law(valid={"capacity": (1.0, 1e9), "share": (0.02, 0.98)})
def well_fill(available: Scalar, capacity: Scalar, share: Scalar) -> Scalar:
    r"""Return how full the available well is.

    .. math:: a = \frac{q_1}{c\,Q}

    Parameters
    ----------
    available
        Charge in the available well. [A·s]
    capacity
        Of both wells. [A·s]
    share
        Of the available well in the capacity. [-]

    Returns
    -------
    Scalar
        Fill, 0 when the battery can give no more without a rest. [-]

    Notes
    -----
    Equal to the charge after a long rest, below it under load, above it on charge.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> well_fill(9000.0, 72000.0, 0.25)
    0.5
    """
    return available / (share * capacity)


@law(valid={"share": (0.02, 0.98), "rate": (1e-7, 1.0), "seconds": (0.0, 1e7)})
def wells_step(
    available: Scalar, bound: Scalar, current: Scalar, share: Scalar, rate: Scalar, seconds: Scalar
) -> Wells:
    r"""Return what the two wells hold after a time of constant current.

    .. math::

        q' = q - I t, \quad
        q_1' = c q' - (c q - q_1)\,e^{-k t} - (1 - c)\,\frac{I}{k}\,(1 - e^{-k t}), \quad
        q_2' = q' - q_1'

    Parameters
    ----------
    available
        Charge in the available well. [A·s]
    bound
        Charge in the bound well. [A·s]
    current
        Drawn; negative on charge. [A]
    share
        Of the available well in the capacity. [-]
    rate
        At which a rest brings the wells to one height; its inverse is a time of some minutes to hours. [1/s]
    seconds
        Time step. [s]

    Returns
    -------
    Wells
        Available and bound charge. [A·s]

    Notes
    -----
    Exact for constant current, however the time is cut into steps. Coulombs are kept: both wells together lose what
    was drawn. The wells do not know that they are empty; ask ``greatest_current`` first. Gassing is left out.

    References
    ----------
    .. [1] J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993) 399; the rate is their k'.

    Examples
    --------
    A rest gives back to the available well what the bound one has:

    >>> rested = wells_step(0.0, 36000.0, 0.0, 0.25, 1e-3, 3600.0)
    >>> [round(float(charge)) for charge in rested]
    [8754, 27246]
    """
    fade = np.exp(-rate * seconds)
    total = available + bound
    left = total - current * seconds
    lacking = (share * total - available) * fade + (1.0 - share) * current / rate * (1.0 - fade)
    next_to_plates = share * left - lacking
    return Wells(next_to_plates, left - next_to_plates)


@law(valid={"share": (0.02, 0.98), "rate": (1e-7, 1.0), "seconds": (1e-3, 1e7)})
def greatest_current(available: Scalar, bound: Scalar, share: Scalar, rate: Scalar, seconds: Scalar) -> Scalar:
    r"""Return the current that empties the available well at the end of a time.

    .. math:: I = \frac{q_1 e^{-kt} + c\,q\,(1 - e^{-kt})}{c\,t + (1 - c)(1 - e^{-kt})/k}

    Parameters
    ----------
    available
        Charge in the available well. [A·s]
    bound
        Charge in the bound well. [A·s]
    share
        Of the available well in the capacity. [-]
    rate
        At which a rest brings the wells to one height. [1/s]
    seconds
        Time for which the current has to last. [s]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Counts charge only; the voltage may reach its limit before.

    References
    ----------
    .. [1] J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993) 399.

    Examples
    --------
    >>> round(float(greatest_current(18000.0, 54000.0, 0.25, 1e-4, 3600.0)), 3)
    5.683
    """
    fade = np.exp(-rate * seconds)
    within_reach = available * fade + share * (available + bound) * (1.0 - fade)
    current: Scalar = within_reach / (share * seconds + (1.0 - share) * (1.0 - fade) / rate)
    return current


@law(valid={"capacity": (1.0, 1e9), "share": (0.02, 0.98), "rate": (1e-7, 1.0), "seconds": (1e-3, 1e7)})
def greatest_charge_current(
    available: Scalar, bound: Scalar, capacity: Scalar, share: Scalar, rate: Scalar, seconds: Scalar
) -> Scalar:
    r"""Return the charging current that fills the available well at the end of a time.

    .. math:: I = \frac{(cQ - q_1)\,e^{-kt} + c\,(Q - q)(1 - e^{-kt})}{c\,t + (1 - c)(1 - e^{-kt})/k}

    Parameters
    ----------
    available
        Charge in the available well. [A·s]
    bound
        Charge in the bound well. [A·s]
    capacity
        Of both wells. [A·s]
    share
        Of the available well in the capacity. [-]
    rate
        At which a rest brings the wells to one height. [1/s]
    seconds
        Time for which the current is to be taken. [s]

    Returns
    -------
    Scalar
        Size of the current into the battery; ``wells_step`` takes it with a minus. [A]

    Notes
    -----
    Why a nearly full battery takes less and less. Charger limit and gassing come on top.

    References
    ----------
    .. [1] J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993) 399.

    Examples
    --------
    >>> greatest_charge_current(18000.0, 54000.0, 72000.0, 0.25, 1e-4, 3600.0)
    0.0
    """
    room = share * capacity - available, (1.0 - share) * capacity - bound  # is emptied by charging
    current = greatest_current(*room, share, rate, seconds)
    return float(current) if np.ndim(current) == 0 else current


@law(valid={"capacity": (1.0, 1e9), "share": (0.02, 0.98), "rate": (1e-7, 1.0), "current": (1e-6, 1e5)})
def wells_capacity(capacity: Scalar, share: Scalar, rate: Scalar, current: Scalar) -> Scalar:
    r"""Return the charge that two full wells give at a constant current.

    .. math:: Q_I = \frac{I}{k}\,\bigl[x - b + W(b\,e^{b - x})\bigr], \quad b = \frac{1 - c}{c}, \quad x = \frac{k Q}{I}

    Parameters
    ----------
    capacity
        Of both wells. [A·s]
    share
        Of the available well in the capacity. [-]
    rate
        At which a rest brings the wells to one height. [1/s]
    current
        Constant, from full. [A]

    Returns
    -------
    Scalar
        Charge drawn when the available well is empty. [A·s]

    Notes
    -----
    Between the available well alone, at any current however great, and both wells, at next to none. The time is this
    over the current. W is Lambert's function: it solves the balance for the time.

    References
    ----------
    .. [1] J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993) 399, solved for the time (derived).

    Examples
    --------
    >>> [round(float(wells_capacity(72000.0, 0.25, 1e-4, amps))) for amps in (0.001, 1.0, 10.0, 1000.0)]
    [71970, 42431, 19313, 18012]
    """
    from scipy.special import lambertw

    beside = (1.0 - share) / share
    pace = rate * capacity / current
    spent = pace - beside + np.real(lambertw(beside * np.exp(beside - pace)))
    charge: Scalar = current / rate * spent
    return charge


@law(
    valid={
        "capacity": (1.0, 1e9),
        "seconds": (60.0, 1e7),
        "second_capacity": (1.0, 1e9),
        "second_seconds": (60.0, 1e7),
        "rate": (1e-7, 1.0),
    },
)
def wells_of_ratings(
    capacity: Scalar, seconds: Scalar, second_capacity: Scalar, second_seconds: Scalar, rate: Scalar
) -> WellConstants:
    r"""Return the wells that give two rated capacities, each in its own time.

    .. math::

        Q = C_1 (1 + B g_1) = C_2 (1 + B g_2), \quad g_i = \frac{1 - e^{-k t_i}}{t_i}, \quad c = \frac{1}{1 + k B}

    Parameters
    ----------
    capacity
        Charge given at constant current in the longer time, from full. [A·s]
    seconds
        The longer time; 72000 for a rating at 20 hours. [s]
    second_capacity
        Charge given in the shorter time. [A·s]
    second_seconds
        The shorter time. [s]
    rate
        At which a rest brings the wells to one height. [1/s]

    Returns
    -------
    WellConstants
        Capacity of both wells, share of the available one, and whether there are such wells. [A·s, -, -]

    Notes
    -----
    No wells do it where the shorter time gives as much charge or more, and where the rate is so slow that the bound
    well gives next to nothing in either time: then two full available wells would differ less than the ratings do.
    ``solved`` is false there, and the numbers are none. With ``rate_of_peukert`` there are always wells.

    References
    ----------
    .. [1] J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993) 399, two ratings at a given rate (derived).

    Examples
    --------
    100 A·h in 20 hours and 65 A·h in one:

    >>> wells = wells_of_ratings(360e3, 72000.0, 234e3, 3600.0, 4e-4)
    >>> round(float(wells.capacity) / 3600.0, 1), round(float(wells.share), 2), bool(wells.solved)
    (103.9, 0.47, True)
    """
    slow, fast = (-np.expm1(-rate * time) / time for time in (seconds, second_seconds))
    less = np.asarray(capacity - second_capacity)
    turned = np.asarray(second_capacity * fast - capacity * slow)
    solved: Any = ((less > 0.0) & (turned > 0.0) & np.asarray(seconds > second_seconds))[()]
    reach = np.where(solved, less, np.nan) / np.where(solved, turned, 1.0)
    return WellConstants((capacity * (1.0 + reach * slow))[()], (1.0 / (1.0 + rate * reach))[()], solved)


@law(valid={"exponent": (1.001, 2.0), "seconds": (60.0, 1e7), "second_seconds": (60.0, 1e7)})
def rate_of_peukert(exponent: Scalar, seconds: Scalar, second_seconds: Scalar) -> Scalar:
    r"""Return the rate of the wells that follow a Peukert exponent between two times of discharge.

    .. math::

        (1 + r)\,g(t_m) = g(t_1) + r\,g(t_2), \quad t_m = \sqrt{t_1 t_2}, \quad
        r = \left(\frac{t_2}{t_1}\right)^{\frac{p - 1}{2p}}, \quad g(t) = \frac{1 - e^{-k t}}{t}

    Parameters
    ----------
    exponent
        Peukert's. [-]
    seconds
        The longer time. [s]
    second_seconds
        The shorter time, below the longer. [s]

    Returns
    -------
    Scalar
        Rate at which a rest brings the wells to one height. [1/s]

    Notes
    -----
    The wells then give Peukert's charge in both times and in their geometric mean. Between 20 hours and one they stray
    from it by 2 % for an exponent of 1.1, 5 % for 1.3, 9 % for 1.6; outside they level off where Peukert's charge
    would go on without end. One solution for any exponent above 1; one of 1 or less asks for no wells.

    References
    ----------
    .. [1] Two wells of ``wells_of_ratings`` through three points of ``peukert_capacity`` (derived).

    Examples
    --------
    >>> round(1.0 / float(rate_of_peukert(1.15, 72000.0, 3600.0)))
    7700
    """
    apart = np.sqrt(np.asarray(seconds) / second_seconds)
    smaller = apart ** (1.0 / exponent - 1.0)

    def short(pace: Any) -> Any:
        """Return by how much the middle lies under the other two, with the rate over the shorter time."""
        ends, middle, long = (-np.expm1(-pace * times) / times for times in (1.0, apart, apart**2))
        return long + smaller * ends - (1.0 + smaller) * middle

    low = np.full(np.shape(apart * smaller), -20.0) - 2.0 * np.log(apart)
    high = low + 40.0 + 2.0 * np.log(apart)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        below = short(np.exp(middle)) < 0.0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    rate: Scalar = (np.exp(0.5 * (low + high)) / second_seconds)[()]
    return rate


@law(valid={"capacity": (1.0, 1e9), "rated_time": (60.0, 1e7), "exponent": (1.0, 2.0), "current": (1e-6, 1e5)})
def peukert_time(capacity: Scalar, rated_time: Scalar, exponent: Scalar, current: Scalar) -> Scalar:
    r"""Return how long a full battery lasts at a constant current, after Peukert.

    .. math:: t = H\,\left(\frac{C}{I H}\right)^p

    Parameters
    ----------
    capacity
        Rated, at the rated time. [A·s]
    rated_time
        Time of the rating; 72000 for 20 hours. [s]
    exponent
        Peukert's. [-]
    current
        Constant, from full. [A]

    Returns
    -------
    Scalar
        Time. [s]

    Notes
    -----
    A limit of rate, not of coulombs: what was not given comes back in a rest. Not for pulses, part loads or lithium,
    and not beside a fall of the voltage that ends the same discharge. The form without a rated time, t = C/I^p, is
    this one for a capacity measured at 1 A; fed with a 20-hour rating it contradicts the rating.

    References
    ----------
    .. [1] W. Peukert, Elektrotechnische Zeitschrift (1897) 287; rated form in common use.

    Examples
    --------
    100 A·h at 20 hours, drawn with 10 A:

    >>> round(peukert_time(360e3, 72000.0, 1.2, 10.0) / 3600.0, 1)
    8.7
    """
    return rated_time * (capacity / (current * rated_time)) ** exponent


@law(valid={"capacity": (1.0, 1e9), "rated_time": (60.0, 1e7), "exponent": (1.0, 2.0), "seconds": (60.0, 1e7)})
def peukert_capacity(capacity: Scalar, rated_time: Scalar, exponent: Scalar, seconds: Scalar) -> Scalar:
    r"""Return the charge that a full battery gives in a time at constant current, after Peukert.

    .. math:: C_t = C\,\left(\frac{t}{H}\right)^{1 - 1/p}

    Parameters
    ----------
    capacity
        Rated, at the rated time. [A·s]
    rated_time
        Time of the rating. [s]
    exponent
        Peukert's. [-]
    seconds
        Time in which the charge is drawn. [s]

    Returns
    -------
    Scalar
        Charge. [A·s]

    Notes
    -----
    A second rating out of the first, for ``wells_of_ratings``. Grows without end as the time does, which no battery
    follows: stay near the times that the exponent was found from.

    References
    ----------
    .. [1] ``peukert_time`` solved for the charge.

    Examples
    --------
    >>> round(peukert_capacity(360e3, 72000.0, 1.2, 3600.0) / 3600.0, 1)
    60.7
    """
    return capacity * (seconds / rated_time) ** (1.0 - 1.0 / exponent)


@law(valid={"current": (1e-6, 1e5), "second_current": (1e-6, 1e5), "seconds": (1.0, 1e8), "second_seconds": (1.0, 1e8)})
def peukert_exponent(current: Scalar, seconds: Scalar, second_current: Scalar, second_seconds: Scalar) -> Scalar:
    r"""Return Peukert's exponent from two discharges at constant current from full.

    .. math:: p = \frac{\ln(t_1/t_2)}{\ln(I_2/I_1)}

    Parameters
    ----------
    current
        Of the first discharge. [A]
    seconds
        Time of the first. [s]
    second_current
        Of the second, another than the first. [A]
    second_seconds
        Time of the second. [s]

    Returns
    -------
    Scalar
        Exponent. [-]

    Notes
    -----
    Both down to one end voltage, at one temperature and age. Below 1 the heavier discharge gave more charge, which
    says that the two were not alike. From the charges of two ratings use times of charge over current.

    References
    ----------
    .. [1] ``peukert_time``, divided.

    Examples
    --------
    >>> round(float(peukert_exponent(5.0, 72000.0, 10.0, 31339.8)), 3)
    1.2
    """
    exponent: Scalar = np.log(seconds / second_seconds) / np.log(second_current / current)
    return exponent
