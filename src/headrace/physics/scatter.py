"""Cells are not alike: the weakest of a number of groups, and the charge it has left when the mean has some."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"scatter": (0.0, 1.0), "parallel": (1.0, 1e4)})
def scatter_of_a_group(scatter: Scalar, parallel: Scalar) -> Scalar:
    r"""Return the scatter between groups of cells side by side.

    .. math:: s_p = s / \sqrt{p}

    Parameters
    ----------
    scatter
        Standard deviation between single cells, as a share of their mean. [-]
    parallel
        Cells in a group. [-]

    Returns
    -------
    Scalar
        Standard deviation between groups, as a share of their mean. [-]

    Notes
    -----
    Cells drawn one by one out of a lot, not matched and not sorted: matched groups are more alike, and a group of
    cells of one bad tray less.

    References
    ----------
    .. [1] Variance of the mean of independent draws.

    Examples
    --------
    >>> round(float(scatter_of_a_group(0.05, 4.0)), 3)
    0.025
    """
    return scatter / np.sqrt(parallel)


@law(valid={"count": (1.0, 1e6)})
def shortfall_of_the_least(count: Scalar) -> Scalar:
    r"""Return how far the least of several normal draws lies below the mean, in standard deviations.

    .. math:: k_n = -\Phi^{-1}\left(\frac{1 - 3/8}{n + 1/4}\right)

    Parameters
    ----------
    count
        Of draws. [-]

    Returns
    -------
    Scalar
        Expected shortfall. [-]

    Notes
    -----
    An approximation of the mean of the first order statistic: to two decimals from nine draws on, 0.03 too much of two.
    About one pack in two has a least that is lower.

    References
    ----------
    .. [1] G. Blom, Statistical Estimates and Transformed Beta-Variables (1958), pp. 68 to 75; by the documentation of a
       statistics library that quotes it.

    Examples
    --------
    >>> round(float(shortfall_of_the_least(10.0)), 2)
    1.55
    """
    from scipy.special import ndtri

    return np.asarray(-ndtri(0.625 / (np.asarray(count, dtype=float) + 0.25)))


@law(valid={"charge": (0.0, 1.0), "shortfall": (0.0, 0.9)})
def charge_of_the_weak(charge: Scalar, shortfall: Scalar) -> Scalar:
    r"""Return the charge left in a group that holds less, when the others are down to theirs.

    .. math:: z_w = \max\left(0, 1 - \frac{1 - z}{1 - \delta}\right)

    Parameters
    ----------
    charge
        Left in the mean group, of what it holds. [-]
    shortfall
        Of what the weak one holds, as a share of the mean. [-]

    Returns
    -------
    Scalar
        Left in the weak one, of what it holds. [-]

    Notes
    -----
    All were full at the start, and the same ampere-seconds go through all.

    References
    ----------
    .. [1] Balance of charge.

    Examples
    --------
    Eight in a hundred less than the mean, the mean at a tenth:

    >>> round(float(charge_of_the_weak(0.1, 0.08)), 3)
    0.022
    """
    return np.maximum(0.0, 1.0 - (1.0 - charge) / (1.0 - shortfall))
