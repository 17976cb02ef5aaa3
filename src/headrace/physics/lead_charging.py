"""Charging lead-acid: what it accepts as it fills, and what of that stays while gas takes the rest."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

HOUR = 3600.0  # s


@law(valid={"charge": (0.0, 1.0), "capacity": (1.0, 1e9)})
def ampere_hour_current(charge: Scalar, capacity: Scalar) -> Scalar:
    r"""Return the most a lead-acid battery accepts without gassing hard: as many amps as it lacks ampere-hours.

    .. math:: I = \frac{(1 - z)\,Q}{1\,\mathrm{h}}

    Parameters
    ----------
    charge
        Share of the charge it has. [-]
    capacity
        Of the battery. [A·s]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Charged along it the current falls by a factor of e each hour. A warm battery takes more, a cold, an old or a
    sulphated one less.

    References
    ----------
    .. [1] J. L. Woodbridge, ampere-hour law of 1935, as told by an encyclopedia of batteries.

    Examples
    --------
    A fifth of 100 Ah missing:

    >>> round(ampere_hour_current(0.8, 360_000.0), 6)
    20.0
    """
    return (1.0 - charge) * capacity / HOUR


@law(valid={"charge": (0.0, 1.0), "current": (0.0, 1e4), "capacity": (1.0, 1e9)})
def share_kept(charge: Scalar, current: Scalar, capacity: Scalar) -> Scalar:
    r"""Return the share of a charging current that stays in a lead-acid battery; the rest makes gas and heat.

    .. math:: \eta = 1 - \exp\left(\frac{20.73\,(z - 1)}{I / I_{10} + 0.55}\right), \quad I_{10} = Q / 10\,\mathrm{h}

    Parameters
    ----------
    charge
        Share of the charge it has. [-]
    current
        Into it. [A]
    capacity
        Of the battery. [A·s]

    Returns
    -------
    Scalar
        Share. [-]

    Notes
    -----
    Near one for most of the charge, next to nothing when full: that is why the last tenth takes hours. Fitted to
    batteries of photovoltaic plants, vented ones among them.

    References
    ----------
    .. [1] J. B. Copetti, E. Lorenzo, F. Chenlo, A general battery model for PV system simulation, Progress in
       Photovoltaics 1 (1993) 283-292; its two constants from memory.

    Examples
    --------
    100 Ah at half charge and at 98 %, both with 10 A:

    >>> [round(float(share_kept(z, 10.0, 360_000.0)), 3) for z in (0.5, 0.98)]
    [0.999, 0.235]
    """
    tenth = capacity / (10.0 * HOUR)
    share: Scalar = 1.0 - np.exp(20.73 * (np.asarray(charge) - 1.0) / (current / tenth + 0.55))
    return share
