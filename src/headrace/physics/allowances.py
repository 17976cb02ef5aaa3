"""How much more or less than expected is allowed: amps and volts of a first run, and the ends of a reading."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"full": (0.0, 2000.0), "share": (0.0, 1.0), "cut_out": (0.0, 2000.0), "above": (1.0, 2.0)})
def first_voltage(full: Scalar, share: Scalar, cut_out: Scalar, above: Scalar) -> Scalar:
    r"""Return the volts a motor is first tried on: few, but enough for its controller to work.

    .. math:: U = \min\bigl(U_{full},\ \max(s\,U_{full},\ a\,U_{cut})\bigr)

    Parameters
    ----------
    full
        That it works on when the pack is full. [V]
    share
        Of them, to begin with. [-]
    cut_out
        At which the controller opens; 0 of one that does not. [V]
    above
        Volts to stay above it by, over those of the cut-out. [-]

    Returns
    -------
    Scalar
        Voltage to set. [V]

    Notes
    -----
    Few volts turn a motor slowly, so that a slip of wiring or assembly shows before it can do harm.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> float(first_voltage(40.0, 0.3, 0.0, 1.05)), float(first_voltage(40.0, 0.3, 25.0, 1.05))
    (12.0, 26.25)
    """
    value: Scalar = np.minimum(full, np.maximum(share * full, above * cut_out))
    return value


@law(valid={"expected": (0.0, 2000.0), "margin": (1.0, 10.0)})
def supply_limit(expected: Scalar, margin: Scalar) -> Scalar:
    r"""Return the current limit to set on a supply for a motor that runs without load.

    .. math:: I = m\,I_0

    Parameters
    ----------
    expected
        Current without load. [A]
    margin
        Limit over it. [-]

    Returns
    -------
    Scalar
        Limit. [A]

    Notes
    -----
    It runs up slowly at its limit. What stays there has more friction than it should, or is held.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> supply_limit(2.0, 1.5)
    3.0
    """
    return margin * expected


@law(valid={"share": (0.0, 10.0)})
def end_of_reading(expected: Scalar, share: Scalar, start: Scalar) -> Scalar:
    r"""Return the end of the range in which a reading is still fine.

    .. math:: x = x_0 + s\,(x_e - x_0)

    Parameters
    ----------
    expected
        Reading that is expected. [any]
    share
        Of it, counted from the start. [-]
    start
        Reading of nothing: the air's for a temperature, else 0. [any]

    Returns
    -------
    Scalar
        End of the range. [any]

    Notes
    -----
    One share for the low end, another for the high one.

    References
    ----------
    .. [1] Definition; the shares are common practice, no source.

    Examples
    --------
    >>> end_of_reading(0.010, 2.0, 0.0), end_of_reading(333.0, 1.5, 293.0)
    (0.02, 353.0)
    """
    return start + share * (expected - start)
