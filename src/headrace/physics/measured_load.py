"""Loads known by a table somebody measured: torque over speed, read off by straight lines and scaled."""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"speed": (0.0, 3000.0), "factor": (0.0, 10.0)})
def measured_torque(speed: Scalar, table_speed: Any, table_torque: Any, factor: Scalar) -> Scalar:
    r"""Return the torque of a load at a speed from a measured table.

    .. math:: T(\omega) = f\,\text{(straight lines between the points } \omega_k, T_k)

    Parameters
    ----------
    speed
        Speed of the load's shaft. [rad/s]
    table_speed
        Speeds of the table, rising. [rad/s]
    table_torque
        Torques measured at them. [N·m]
    factor
        On every torque of the table; 1 for the load as it was measured. [-]

    Returns
    -------
    Scalar
        Torque. [N·m]

    Notes
    -----
    The ends of the table are held: below its first speed the first torque, beyond its last the last. A load that grows
    with the speed is told too small beyond the table, and one that falls too large: measure as far as it will turn.
    Leaves out what a load does while its speed changes, and whatever the table's own steps are too wide to show.

    References
    ----------
    .. [1] Linear interpolation.

    Examples
    --------
    Halfway between 3 and 4 N·m, a fifth more than was measured:

    >>> import numpy as np
    >>> round(float(measured_torque(75.0, np.array([50.0, 100.0]), np.array([3.0, 4.0]), 1.2)), 9)
    4.2
    """
    value: Scalar = factor * np.interp(speed, table_speed, table_torque)
    return value


@law(valid={"speed": (0.0, 3000.0), "factor": (0.0, 10.0)})
def measured_power(speed: Scalar, table_speed: Any, table_torque: Any, factor: Scalar) -> Scalar:
    r"""Return the power a load takes at a speed by its measured table.

    .. math:: P = T(\omega)\,\omega

    Parameters
    ----------
    speed
        Speed of the load's shaft. [rad/s]
    table_speed
        Speeds of the table, rising. [rad/s]
    table_torque
        Torques measured at them. [N·m]
    factor
        As in ``measured_torque``. [-]

    Returns
    -------
    Scalar
        Power at the load's shaft. [W]

    Notes
    -----
    As ``measured_torque``. Between two points the power is no straight line, because the torque is.

    References
    ----------
    .. [1] Power is torque times speed.

    Examples
    --------
    >>> import numpy as np
    >>> round(float(measured_power(75.0, np.array([50.0, 100.0]), np.array([3.0, 4.0]), 1.0)), 9)
    262.5
    """
    return measured_torque(speed, table_speed, table_torque, factor) * speed
