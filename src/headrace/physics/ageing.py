"""What ageing makes of a cell: losses of lying and of working put together, and a life as the trade states it."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

YEAR = 31_557_600.0  # s
LOST = 0.2  # of the capacity, by the end of a life as the trade states it


@law(valid={"stated": (1.0, 1e6)})
def stated_fade(spent: Scalar, stated: Scalar) -> Scalar:
    r"""Return what a cell loses of its capacity that is known by a stated number of cycles, or years, only.

    .. math:: q = 0.2\,\frac{N}{N_{stated}}

    Parameters
    ----------
    spent
        Full-cycle equivalents, or years. [-]
    stated
        Of them, stated for its life, down to four fifths of its capacity. [-]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    A straight line in place of a model; cycles and years are added.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(stated_fade(200.0, 400.0), 3)
    0.1
    """
    return LOST * spent / stated


@law(valid={"spread": (0.1, 10.0)})
def capacity_left(kept: Scalar, worked: Scalar, spread: Scalar) -> Scalar:
    r"""Return what is left of a cell's capacity.

    .. math:: q = \max\bigl(0,\ 1 - k\,(q_{kept} + q_{worked})\bigr)

    Parameters
    ----------
    kept
        Lost lying about. [-]
    worked
        Lost at work. [-]
    spread
        How much quicker this cell ages than that of the fit. [-]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    Both parts added, as the fits are made.

    References
    ----------
    .. [1] Definition; the spread of another cell is common practice, no source.

    Examples
    --------
    >>> round(float(capacity_left(0.02, 0.08, 1.0)), 3)
    0.9
    """
    return np.maximum(0.0, 1.0 - spread * (kept + worked))


@law(valid={"spread": (0.1, 10.0)})
def resistance_grown(kept: Scalar, worked: Scalar, spread: Scalar) -> Scalar:
    r"""Return what a cell's resistance has grown to.

    .. math:: r = 1 + k\,(r_{kept} + r_{worked})

    Parameters
    ----------
    kept
        Growth lying about. [-]
    worked
        Growth at work. [-]
    spread
        How much quicker this cell ages than that of the fit. [-]

    Returns
    -------
    Scalar
        Over the resistance of the new cell. [-]

    Notes
    -----
    Both parts added, as the fits are made.

    References
    ----------
    .. [1] Definition; the spread of another cell is common practice, no source.

    Examples
    --------
    >>> round(resistance_grown(0.05, 0.15, 1.0), 3)
    1.2
    """
    return 1.0 + spread * (kept + worked)


@law(valid={"years": (0.0, 100.0)})
def time_of_years(years: Scalar) -> Scalar:
    r"""Return how long some years are.

    .. math:: t = 31\,557\,600\,n

    Parameters
    ----------
    years
        How many. [-]

    Returns
    -------
    Scalar
        Time. [s]

    Notes
    -----
    Of 365 days and a quarter.

    References
    ----------
    .. [1] Julian year, by definition.

    Examples
    --------
    >>> time_of_years(2.0)
    63115200.0
    """
    return years * YEAR


@law(valid={"jobs": (0.0, 1e4), "cycles": (1.0, 1e6), "years": (0.1, 100.0)})
def stated_life(jobs: Scalar, cycles: Scalar, years: Scalar) -> Scalar:
    r"""Return how many years a battery lasts that is stated to last some cycles, or some years lying about.

    .. math:: n = \frac{1}{N/N_{stated} + 1/n_{stated}}

    Parameters
    ----------
    jobs
        In a year, each as deep as the cycles stated. [-]
    cycles
        Stated for its life. [-]
    years
        Stated lying about. [-]

    Returns
    -------
    Scalar
        Years. [-]

    Notes
    -----
    Both wear it at once, each in a straight line.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(stated_life(35.0, 350.0, 10.0), 6)
    5.0
    """
    return 1.0 / (jobs / cycles + 1.0 / years)
