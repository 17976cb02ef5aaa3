"""How much more a tool can be asked for before it bogs down, and how far its speed gives.

A tool bogs when its load asks for more torque than volts and limits leave the motor. What is left is told at the tool's
shaft, where the builder meets it: as a share of the load, and as speed lost for torque added.
"""

from __future__ import annotations

from headrace.physics.law import Scalar, law


@law(valid={"gain": (1e-6, 100.0)})
def torque_at_tool(pull: Scalar, drag: Scalar, gain: Scalar) -> Scalar:
    r"""Return the torque a motor brings to the tool's shaft.

    .. math:: T = \frac{T_{pull} - T_{drag}}{g}

    Parameters
    ----------
    pull
        Torque in the motor, at its shaft. [N·m]
    drag
        Torque that friction on the way takes of it, at the same shaft. [N·m]
    gain
        Torque at the motor's shaft for each unit of it at the tool's. [-]

    Returns
    -------
    Scalar
        Torque at the tool's shaft. [N·m]

    Notes
    -----
    Driving direction. Held fast, friction of rest takes somewhat more than that of motion.

    References
    ----------
    .. [1] Torque balance of the shafts, with ``transmission.input_torque``.

    Examples
    --------
    >>> torque_at_tool(3.0, 0.5, 0.5)
    5.0
    """
    return (pull - drag) / gain


@law(valid={"load": (1e-9, 1e6)})
def share_in_reserve(reserve: Scalar, load: Scalar) -> Scalar:
    r"""Return torque in reserve as a share of the load.

    .. math:: r = \Delta T / T_{load}

    Parameters
    ----------
    reserve
        Torque in reserve. [N·m]
    load
        Torque of the load at the same shaft, above zero. [N·m]

    Returns
    -------
    Scalar
        Share; 0 at the pull-out torque. [-]

    Notes
    -----
    Of a load that changes with speed the load is the one at the speed the tool runs at.

    References
    ----------
    .. [1] Definition; one more than it is the overload factor of a pull-out torque.

    Examples
    --------
    >>> share_in_reserve(1.0, 4.0)
    0.25
    """
    return reserve / load


@law(valid={})
def tenth_of_load(load: Scalar) -> Scalar:
    r"""Return the torque by which a load is made heavier to see how far the speed gives.

    .. math:: \Delta T = T_{load} / 10

    Parameters
    ----------
    load
        Torque of the load at the tool's shaft. [N·m]

    Returns
    -------
    Scalar
        Torque added. [N·m]

    Notes
    -----
    A tenth is little beside what a tuft or a knot does and much beside rounding.

    References
    ----------
    .. [1] Own convention.

    Examples
    --------
    >>> tenth_of_load(5.0)
    0.5
    """
    return load / 10.0


@law(valid={"added": (1e-12, 1e6)})
def speed_per_torque(speed: Scalar, heavier_speed: Scalar, added: Scalar) -> Scalar:
    r"""Return the speed lost for each unit of torque added.

    .. math:: s = \frac{\omega_0 - \omega_1}{\Delta T}

    Parameters
    ----------
    speed
        Of the tool's shaft under its load. [rad/s]
    heavier_speed
        The same under the heavier load. [rad/s]
    added
        Torque added at the tool's shaft. [N·m]

    Returns
    -------
    Scalar
        Speed lost; 0 where the speed is held. [rad/(s·N·m)]

    Notes
    -----
    A secant between two operating points. Of a motor with magnets at full voltage it is near
    :math:`(R + R_{source})/k_e^2` over the ratio squared.

    References
    ----------
    .. [1] Slope of the speed-torque line of a direct-current motor.

    Examples
    --------
    >>> speed_per_torque(300.0, 298.0, 0.5)
    4.0
    """
    return (speed - heavier_speed) / added


@law(valid={"speed": (1e-6, 1e5)})
def speed_drop(speed: Scalar, heavier_speed: Scalar) -> Scalar:
    r"""Return the share of its speed a shaft loses under a heavier load.

    .. math:: d = 1 - \omega_1 / \omega_0

    Parameters
    ----------
    speed
        Before. [rad/s]
    heavier_speed
        After. [rad/s]

    Returns
    -------
    Scalar
        Share lost; 1 where the heavier load stops it. [-]

    Notes
    -----
    Between two steady states.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(speed_drop(300.0, 294.0), 6)
    0.02
    """
    return 1.0 - heavier_speed / speed
