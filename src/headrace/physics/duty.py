"""Means over a duty cycle: what heats goes with the square, so the mean is not enough."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headrace.physics.law import Scalar, law

SHORTEST = 1e-3  # s, what a run that stopped at once counts as


@law(valid={})
def root_mean_square(shares: Sequence[Scalar], values: Sequence[Scalar]) -> Scalar:
    r"""Return the root mean square of a current over the states of a duty cycle.

    .. math:: I_{rms} = \sqrt{\sum_k s_k I_k^2 / \sum_k s_k}

    Parameters
    ----------
    shares
        Share of time of each state. [-]
    values
        Current in each state. [A]

    Returns
    -------
    Scalar
        Root mean square. [A]

    Notes
    -----
    Stands for the heating current while the cycle is short against the thermal time constants.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    Half the time 20 A and half the time nothing heats like 14 A, not like 10:

    >>> round(float(root_mean_square([0.5, 0.5], [20.0, 0.0])), 2)
    14.14
    """
    total: Scalar = 0.0
    weight: Scalar = 0.0
    for share, value in zip(shares, values, strict=True):
        total = total + share * value**2
        weight = weight + share
    return np.sqrt(total / weight)


@law(valid={})
def mean(shares: Sequence[Scalar], values: Sequence[Scalar]) -> Scalar:
    r"""Return the mean over the states of a duty cycle.

    .. math:: \bar P = \sum_k s_k P_k / \sum_k s_k

    Parameters
    ----------
    shares
        Share of time of each state. [-]
    values
        Power in each state. [W]

    Returns
    -------
    Scalar
        Mean. [W]

    Notes
    -----
    Right for power and energy; not for what heats (see ``root_mean_square``).

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> mean([0.25, 0.75], [400.0, 800.0])
    700.0
    """
    total: Scalar = 0.0
    weight: Scalar = 0.0
    for share, value in zip(shares, values, strict=True):
        total = total + share * value
        weight = weight + share
    return total / weight


@law(valid={"charge_left": (0.0, 1.0), "duration": (0.0, np.inf), "wanted": (0.0, np.inf)})
def charge_at_rate(charge_left: Scalar, duration: Scalar, wanted: Scalar) -> Scalar:
    r"""Return the charge a job asks for, at the rate at which a run from full used it.

    .. math:: q = (1 - s)\,\frac{t_w}{t}

    Parameters
    ----------
    charge_left
        Of a full charge, at the end of the run. [-]
    duration
        Of the run. [s]
    wanted
        Of the job. [s]

    Returns
    -------
    Scalar
        In full charges; above 1 where one does not do. [-]

    Notes
    -----
    Takes the rest of the job to use charge as the run did. A run that stopped at once has used nothing and asks for
    nothing; it counts as a millisecond.

    References
    ----------
    .. [1] Rule of three.

    Examples
    --------
    A run that used 90 % in 40 minutes, for a job of an hour:

    >>> round(float(charge_at_rate(0.1, 2400.0, 3600.0)), 2)
    1.35
    """
    return (1.0 - charge_left) / np.maximum(duration, SHORTEST) * wanted


@law(valid={})
def least(values: Sequence[Scalar]) -> Scalar:
    r"""Return the least of several numbers.

    .. math:: x_{min} = \min_k x_k

    Parameters
    ----------
    values
        Of one kind. [any]

    Returns
    -------
    Scalar
        The least. [any]

    Notes
    -----
    Lane by lane: broadcasts its values against each other.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> float(least([3.0, 2.0]))
    2.0
    """
    return np.asarray(np.min(np.broadcast_arrays(*values), axis=0))


@law(valid={})
def greatest(values: Sequence[Scalar]) -> Scalar:
    r"""Return the greatest of several numbers.

    .. math:: x_{max} = \max_k x_k

    Parameters
    ----------
    values
        Of one kind. [any]

    Returns
    -------
    Scalar
        The greatest. [any]

    Notes
    -----
    Lane by lane: broadcasts its values against each other.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> float(greatest([3.0, 2.0]))
    3.0
    """
    return np.asarray(np.max(np.broadcast_arrays(*values), axis=0))
