"""How often something comes round."""

from __future__ import annotations

from headrace.physics.law import Scalar, law


@law(valid={"every": (1.0, 1e9)})
def times_within(span: Scalar, every: Scalar) -> Scalar:
    r"""Return how many times something that is done every so often comes round within a span.

    .. math:: n = \frac{T}{t}

    Parameters
    ----------
    span
        Hours worked in a season, or a season by the calendar. [s]
    every
        From one time to the next. [s]

    Returns
    -------
    Scalar
        Times, not rounded: 0.3 is once in three seasons. [-]

    Notes
    -----
    The first time, which may come sooner, is not counted.

    References
    ----------
    .. [1] Definition of a frequency.

    Examples
    --------
    Fifty hours a season, looked at every ten:

    >>> times_within(180_000.0, 36_000.0)
    5.0
    """
    return span / every
