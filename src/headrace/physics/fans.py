"""Fans: air against a duct, whose pressure grows with the square of the flow, so everything follows the speed.

Without a height to lift, a fan on a duct stays at one point of its curve whatever its speed: flow as the speed,
pressure as its square, power as its cube. Its torque is a square term alone, with the drag of its bearings beside it.
"""

from __future__ import annotations

from math import inf

from headrace.physics.inverters import loss_at_efficiency
from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms


@law(valid={"pressure": (0.0, 1e5), "flow": (1e-6, 100.0)})
def duct_coefficient(pressure: Scalar, flow: Scalar) -> Scalar:
    r"""Return how much pressure a duct takes for the square of the flow, from one measured point.

    .. math:: k = \frac{\Delta p}{Q^2}

    Parameters
    ----------
    pressure
        Total pressure that the duct takes, its free end with it. [Pa]
    flow
        Volume each second at that pressure. [m³/s]

    Returns
    -------
    Scalar
        Coefficient of the square of the flow. [Pa·s²/m⁶]

    Notes
    -----
    For turbulent flow and a duct that stays as it is: a bag or a filter that fills has another one each minute, and
    a fine filter goes more with the flow itself. In proportion to the density of the air.

    References
    ----------
    .. [1] Usual law of ducts (common practice, no source).

    Examples
    --------
    >>> duct_coefficient(100.0, 0.5)
    400.0
    """
    return pressure / flow**2


@law(valid={"loss_sum": (0.0, 1e4), "area": (1e-6, 10.0), "density": (0.5, 2.0)})
def duct_coefficient_of_losses(loss_sum: Scalar, area: Scalar, density: Scalar) -> Scalar:
    r"""Return how much pressure a duct takes for the square of the flow, from its loss coefficients.

    .. math:: k = \frac{\zeta\,\rho}{2 A^2}

    Parameters
    ----------
    loss_sum
        Loss coefficients added, friction f L/D and the free end's 1 with them. [-]
    area
        Cross-section they belong to. [m²]
    density
        Density of the air. [kg/m³]

    Returns
    -------
    Scalar
        Coefficient of the square of the flow. [Pa·s²/m⁶]

    Notes
    -----
    For a blower that ends in a nozzle: the nozzle's area and a sum of a little more than 1. Air counts as of one
    density, good to a few per cent below 5 kPa.

    References
    ----------
    .. [1] Bernoulli, with loss coefficients.

    Examples
    --------
    >>> round(duct_coefficient_of_losses(1.2, 0.005, 1.2), 6)
    28800.0
    """
    return 0.5 * loss_sum * density / area**2


@law(valid={"flow": (0.0, 100.0), "coefficient": (0.0, inf)})
def duct_pressure(flow: Scalar, coefficient: Scalar) -> Scalar:
    r"""Return the pressure that a duct takes for a flow.

    .. math:: \Delta p = k\,Q^2

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    coefficient
        Coefficient of the square of the flow. [Pa·s²/m⁶]

    Returns
    -------
    Scalar
        Total pressure. [Pa]

    Notes
    -----
    See ``duct_coefficient``.

    References
    ----------
    .. [1] Usual law of ducts (common practice, no source).

    Examples
    --------
    >>> round(duct_pressure(0.05, 1e5), 6)
    250.0
    """
    return coefficient * flow**2


@law(valid={"speed": (0.0, 5000.0), "volume_per_radian": (0.0, 1.0)})
def fan_flow(speed: Scalar, volume_per_radian: Scalar) -> Scalar:
    r"""Return the flow of a fan on an unchanged duct at a speed.

    .. math:: Q = q\,\omega, \quad q = Q_r / \omega_r

    Parameters
    ----------
    speed
        Speed of the fan. [rad/s]
    volume_per_radian
        Flow at a known speed on this duct over that speed. [m³/rad]

    Returns
    -------
    Scalar
        Volume each second. [m³/s]

    Notes
    -----
    Exact as long as the duct's pressure goes with the square of the flow; another duct has another volume.

    References
    ----------
    .. [1] Fan laws, ISO 5801:2017.

    Examples
    --------
    >>> fan_flow(500.0, 0.0002)
    0.1
    """
    return speed * volume_per_radian


@law(valid={"flow": (0.0, 100.0), "pressure": (0.0, 1e5)})
def air_power(flow: Scalar, pressure: Scalar) -> Scalar:
    r"""Return the power that a fan puts into the air.

    .. math:: P = \Delta p\,Q

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    pressure
        Total pressure raised. [Pa]

    Returns
    -------
    Scalar
        Power in the air. [W]

    Notes
    -----
    Air of one density, good to a few per cent below 5 kPa.

    References
    ----------
    .. [1] Definition, ISO 5801:2017.

    Examples
    --------
    >>> air_power(0.1, 1000.0)
    100.0
    """
    return flow * pressure


@law(valid={"flow": (0.0, 100.0), "pressure": (0.0, 1e5), "efficiency": (0.05, 0.9)})
def fan_power(flow: Scalar, pressure: Scalar, efficiency: Scalar) -> Scalar:
    r"""Return the power a fan's wheel asks for.

    .. math:: P = \frac{\Delta p\,Q}{\eta}

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    pressure
        Total pressure raised. [Pa]
    efficiency
        Of the wheel in its housing on this duct. [-]

    Returns
    -------
    Scalar
        Power at the wheel. [W]

    Notes
    -----
    Drag of the shaft's bearings and seals comes on top.

    References
    ----------
    .. [1] Definition, ISO 5801:2017.

    Examples
    --------
    >>> fan_power(0.1, 1000.0, 0.5)
    200.0
    """
    return air_power(flow, pressure) / efficiency


@law(valid={"flow": (0.0, 100.0), "pressure": (0.0, 1e5), "efficiency": (0.05, 0.9)})
def fan_loss(flow: Scalar, pressure: Scalar, efficiency: Scalar) -> Scalar:
    r"""Return the power lost in a fan's wheel and housing.

    .. math:: P_v = \Delta p\,Q \left(\frac{1}{\eta} - 1\right)

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    pressure
        Total pressure raised. [Pa]
    efficiency
        Of the wheel in its housing on this duct. [-]

    Returns
    -------
    Scalar
        Power turned into warm air. [W]

    Notes
    -----
    ``fan_power`` less ``air_power``.

    References
    ----------
    .. [1] Balance of energy.

    Examples
    --------
    >>> fan_loss(0.1, 1000.0, 0.5)
    100.0
    """
    return loss_at_efficiency(air_power(flow, pressure), efficiency)


@law(valid={"coefficient": (0.0, inf), "volume_per_radian": (0.0, 1.0), "efficiency": (0.05, 0.9)})
def fan_torque_terms(
    coefficient: Scalar, volume_per_radian: Scalar, efficiency: Scalar, idle_torque: Scalar
) -> TorqueTerms:
    r"""Return the torque a fan on a duct asks for, as terms in its speed.

    .. math:: T = T_0 + \frac{k\,q^3}{\eta}\,\omega^2

    Parameters
    ----------
    coefficient
        Of the duct, for the square of the flow. [Pa·s²/m⁶]
    volume_per_radian
        Flow at a known speed on this duct over that speed. [m³/rad]
    efficiency
        Of the wheel in its housing on this duct. [-]
    idle_torque
        Drag of the bearings and seals of the fan's own shaft. [N·m]

    Returns
    -------
    TorqueTerms
        Terms at the fan's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The sum of ``air_power`` and ``fan_loss`` at ``fan_flow`` and ``duct_pressure``, and of ``transmission.drag_loss``,
    over the speed. The efficiency is taken not to change with the speed.

    References
    ----------
    .. [1] Derived from the fan laws, ISO 5801:2017.

    Examples
    --------
    A tenth of a cubic metre at 1 kPa and 500 rad/s, half of the power lost:

    >>> terms = fan_torque_terms(1e5, 0.0002, 0.5, 0.02)
    >>> round(terms.square * 500.0**3, 6), terms.constant
    (200.0, 0.02)
    """
    square = coefficient * volume_per_radian**3 / efficiency
    return TorqueTerms(power=0.0 * square, constant=idle_torque + 0.0 * square, linear=0.0 * square, square=square)


@law(valid={"speed_ratio": (0.0, 10.0), "size_ratio": (0.1, 10.0), "density_ratio": (0.1, 10.0)})
def fan_law_point(
    flow: Scalar,
    pressure: Scalar,
    power: Scalar,
    speed_ratio: Scalar,
    size_ratio: Scalar,
    density_ratio: Scalar,
) -> tuple[Scalar, Scalar, Scalar]:
    r"""Return flow, pressure and power of a fan's point at another speed, size and density.

    .. math:: Q' = Q\,s\,d^3, \quad \Delta p' = \Delta p\,r\,s^2 d^2, \quad P' = P\,r\,s^3 d^5

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    pressure
        Total pressure raised. [Pa]
    power
        At the wheel. [W]
    speed_ratio
        New speed over old, s. [-]
    size_ratio
        New diameter over old, d; every other measure in proportion. [-]
    density_ratio
        New density of the air over old, r. [-]

    Returns
    -------
    tuple
        Flow, pressure and power of the same point of the new fan's curve. [m³/s, Pa, W]

    Notes
    -----
    One point of the curve goes over into one point of the other at the same efficiency. Leaves out that small and slow
    fans are the worse ones. Speed and density up or down on one duct: the fan stays at its point. Another size: the
    duct has to grow with it, or the point moves.

    References
    ----------
    .. [1] Fan laws, ISO 5801:2017.

    Examples
    --------
    >>> fan_law_point(0.1, 1000.0, 200.0, 0.5, 1.0, 1.0)
    (0.05, 250.0, 25.0)
    """
    return (
        flow * speed_ratio * size_ratio**3,
        pressure * density_ratio * speed_ratio**2 * size_ratio**2,
        power * density_ratio * speed_ratio**3 * size_ratio**5,
    )
