"""Bearings and seals: the drag a shaft carries whether it works or not."""

from __future__ import annotations

from headrace.physics.law import Scalar, law


@law(valid={"friction": (0.0, 0.2), "load": (0.0, 100_000.0), "bore": (0.0, 0.5)})
def rolling_bearing_torque(friction: Scalar, load: Scalar, bore: Scalar) -> Scalar:
    r"""Return the friction torque of one open rolling bearing.

    .. math:: M = \tfrac{1}{2}\,\mu P d

    Parameters
    ----------
    friction
        Constant coefficient for the kind of bearing. [-]
    load
        Equivalent load on the bearing. [N]
    bore
        Diameter of the bore. [m]

    Returns
    -------
    Scalar
        Torque, against the motion. [N·m]

    Notes
    -----
    Good lubrication, normal speed and a load near a tenth of the dynamic rating. Leaves out grease and seals,
    which are most of the drag in small tools, and the doubling at the start.

    References
    ----------
    .. [1] SKF, Rolling bearings catalogue (2016), chapter Friction, constant coefficient of friction.

    Examples
    --------
    >>> round(rolling_bearing_torque(0.0015, 100.0, 0.020), 6)
    0.0015
    """
    return 0.5 * friction * load * bore


@law(
    valid={
        "count": (0.0, 100.0),
        "friction": (0.0, 0.2),
        "load": (0.0, 100_000.0),
        "bore": (0.0, 0.5),
        "seal_drag": (0.0, 10.0),
    }
)
def bearing_set_torque(count: Scalar, friction: Scalar, load: Scalar, bore: Scalar, seal_drag: Scalar) -> Scalar:
    r"""Return the drag of all bearings and seals of one shaft.

    .. math:: M = n\,\bigl(\tfrac{1}{2}\,\mu P d + M_s\bigr)

    Parameters
    ----------
    count
        Bearings on the shaft. [-]
    friction
        Constant coefficient for the kind of bearing. [-]
    load
        Equivalent load on each bearing. [N]
    bore
        Diameter of the bore. [m]
    seal_drag
        Drag of the seals and grease of each bearing. [N·m]

    Returns
    -------
    Scalar
        Torque, against the motion. [N·m]

    Notes
    -----
    Independent of speed. Stiff grease in the cold multiplies the seal's share by two to five.

    References
    ----------
    .. [1] SKF, Rolling bearings catalogue (2016), chapter Friction (the drag of seals and grease is assumed).

    Examples
    --------
    >>> round(bearing_set_torque(2.0, 0.0015, 100.0, 0.020, 0.030), 6)
    0.063
    """
    return count * (0.5 * friction * load * bore + seal_drag)
