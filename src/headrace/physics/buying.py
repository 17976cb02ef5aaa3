"""How much is bought: pieces and spares, metres of strip and of cable, and what they come to."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

ROUNDING = 1e-9  # of a piece: what rounding leaves is none


@law(valid={"count": (0.0, 1e6), "share": (0.0, 10.0)})
def spare_pieces(count: Scalar, share: Scalar) -> Scalar:
    r"""Return how many spares are bought beside the pieces that are used.

    .. math:: n_s = \lceil s\,n \rceil

    Parameters
    ----------
    count
        Pieces that are used. [-]
    share
        Spares for each of them. [-]

    Returns
    -------
    Scalar
        Spares, whole ones. [-]

    Notes
    -----
    Of few pieces one spare is a large share of them.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    Three in a hundred of sixty cells:

    >>> float(spare_pieces(60.0, 0.03))
    2.0
    """
    spares: Scalar = np.ceil(share * count - ROUNDING)
    return np.maximum(spares, 0.0)


@law(valid={"series": (1.0, 1000.0), "parallel": (1.0, 1000.0), "step": (0.0, 1.0)})
def strip_metres(series: Scalar, parallel: Scalar, step: Scalar) -> Scalar:
    r"""Return the metres of strip that join a pack of round cells.

    .. math:: l = \bigl[(s + 1)\,p + 2\,s\,(p - 1)\bigr]\,a

    Parameters
    ----------
    series
        Groups in series. [-]
    parallel
        Cells in each. [-]
    step
        Of one strip, from cell to cell. [m]

    Returns
    -------
    Scalar
        Strip, all layers as one. [m]

    Notes
    -----
    A strip for each cell from every group to the next and one for each at the two ends of the pack; and along both
    ends of every group from cell to cell.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(strip_metres(10.0, 6.0, 0.022), 3)
    3.652
    """
    return ((series + 1.0) * parallel + 2.0 * series * (parallel - 1.0)) * step


@law(valid={"one_way": (0.0, 1e5)})
def there_and_back(one_way: Scalar) -> Scalar:
    r"""Return the metres of wire that a run takes, out and back.

    .. math:: l = 2\,l_1

    Parameters
    ----------
    one_way
        From the source to what it feeds. [m]

    Returns
    -------
    Scalar
        Wire. [m]

    Notes
    -----
    Two wires of one length; what stands in a wire takes none of it.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> there_and_back(0.7)
    1.4
    """
    return 2.0 * one_way


@law(valid={"length": (0.0, 1e5), "allowance": (0.0, 1.0)})
def routed_length(length: Scalar, allowance: Scalar) -> Scalar:
    r"""Return the metres to buy for a length that is laid.

    .. math:: l' = l\,(1 + a)

    Parameters
    ----------
    length
        Of the wires as laid. [m]
    allowance
        For bends, ends that are cut off and a press that went wrong. [-]

    Returns
    -------
    Scalar
        Cable. [m]

    Notes
    -----
    Sold by the metre, or by the reel: not rounded here.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(routed_length(1.4, 0.1), 3)
    1.54
    """
    return length * (1.0 + allowance)


@law(valid={"price": (0.0, 1e7), "amount": (0.0, 1e6)})
def cost_of(price: Scalar, amount: Scalar) -> Scalar:
    r"""Return what some of one thing cost.

    .. math:: K = k\,n

    Parameters
    ----------
    price
        Of one, or of a metre. [money]
    amount
        Pieces or metres. [-]

    Returns
    -------
    Scalar
        Cost. [money]

    Notes
    -----
    No rebate, no carriage.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> cost_of(4.5, 60.0)
    270.0
    """
    return price * amount
