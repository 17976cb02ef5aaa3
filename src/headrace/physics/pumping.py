"""Centrifugal pumps: what head and flow a speed gives, and what it asks of the shaft.

A pump is known by three things at one reference speed: its head without flow, its best point (flow, head, efficiency)
and the share of the best point's power that it takes without flow. With another speed its curve moves by the affinity
laws; the point at which it works moves along the system's curve, which a height to lift does not let start at zero.
Below a certain speed nothing flows, and the pump only stirs. What it asks of the shaft stands in ``pump_power``.
"""

from __future__ import annotations

from math import inf

import numpy as np

from headrace.physics.heat import GRAVITY
from headrace.physics.law import Scalar, law


@law(valid={"flow": (0.0, 10.0), "head": (0.0, 1000.0), "density": (500.0, 2000.0)})
def hydraulic_power(flow: Scalar, head: Scalar, density: Scalar) -> Scalar:
    r"""Return the power that a flow takes up with its head.

    .. math:: P_h = \rho\,g\,Q\,H

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    head
        Head gained; with the height to lift, the useful part of it. [m]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Power in the liquid. [W]

    Notes
    -----
    A litre a second lifted one metre is about ten watts.

    References
    ----------
    .. [1] Definition of head.

    Examples
    --------
    >>> round(hydraulic_power(1e-3, 10.0, 1000.0), 1)
    98.1
    """
    return density * GRAVITY * flow * head


@law(valid={"flow": (0.0, 10.0), "coefficient": (0.0, inf), "density": (500.0, 2000.0)})
def flow_friction_power(flow: Scalar, coefficient: Scalar, density: Scalar) -> Scalar:
    r"""Return the power that a flow loses in a pipe.

    .. math:: P = \rho\,g\,k\,Q^3

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    coefficient
        Head lost for the square of the flow. [s²/m⁵]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Power turned into heat in the pipe and behind its end. [W]

    Notes
    -----
    The motion the water still has at the free end is in it if the end's coefficient of 1 is. A jet that is wanted
    is useful work: give the nozzle a coefficient of its own and ask this law for it alone.

    References
    ----------
    .. [1] ``hydraulic_power`` of the head lost.

    Examples
    --------
    >>> round(flow_friction_power(1e-3, 9e6, 1000.0), 1)
    88.3
    """
    return density * GRAVITY * coefficient * flow**3


@law(valid={"shut_off_head": (0.0, 1000.0), "best_flow": (1e-7, 10.0), "best_head": (0.0, 1000.0)})
def pump_curve_fall(shut_off_head: Scalar, best_flow: Scalar, best_head: Scalar) -> Scalar:
    r"""Return how a pump's head falls with the square of its flow.

    .. math:: b = \frac{H_0 - H^*}{Q^{*2}}

    Parameters
    ----------
    shut_off_head
        Head without flow, at the reference speed. [m]
    best_flow
        Flow at the best efficiency, at the reference speed. [m³/s]
    best_head
        Head at that flow. [m]

    Returns
    -------
    Scalar
        Coefficient of the square of the flow. [s²/m⁵]

    Notes
    -----
    A parabola through two points with its top at no flow. Flat and humped curves of pumps for small flows at high
    heads, and the steep ones of propellers, are no such parabolas. The coefficient is the same at any speed.

    References
    ----------
    .. [1] Usual form H = a - b Q² of a pump's curve (common practice, no source).

    Examples
    --------
    >>> pump_curve_fall(20.0, 0.5, 16.0)
    16.0
    """
    return (shut_off_head - best_head) / best_flow**2


@law(valid={"speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "shut_off_head": (0.0, 1000.0)})
def pump_head(
    speed: Scalar, flow: Scalar, reference_speed: Scalar, shut_off_head: Scalar, curve_fall: Scalar
) -> Scalar:
    r"""Return the head a pump gives to a flow at a speed.

    .. math:: H = H_0 \left(\frac{\omega}{\omega_r}\right)^2 - b\,Q^2

    Parameters
    ----------
    speed
        Speed of the pump's shaft. [rad/s]
    flow
        Volume each second. [m³/s]
    reference_speed
        Speed the pump's curve was taken at. [rad/s]
    shut_off_head
        Head without flow at the reference speed. [m]
    curve_fall
        Fall of the curve with the square of the flow. [s²/m⁵]

    Returns
    -------
    Scalar
        Head. [m]

    Notes
    -----
    The affinity laws; good within about 30 % of the reference speed. Below zero the flow is more than the pump passes.
    Leaves out what starves a pump: air, and a suction side so deep or so narrow that the water boils there.

    References
    ----------
    .. [1] Affinity laws for one impeller at several speeds, ISO 9906:2012.

    Examples
    --------
    >>> pump_head(150.0, 0.5, 300.0, 20.0, 16.0)
    1.0
    """
    return shut_off_head * (speed / reference_speed) ** 2 - curve_fall * flow**2


@law(valid={"flow": (0.0, 10.0), "static_head": (0.0, 1000.0), "coefficient": (0.0, inf)})
def system_head(flow: Scalar, static_head: Scalar, coefficient: Scalar) -> Scalar:
    r"""Return the head that a height and a pipe ask for.

    .. math:: H = H_s + k\,Q^2

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    static_head
        Height from water level to water level, or to a free end; pressure in the upper vessel added. [m]
    coefficient
        Head lost for the square of the flow, suction and delivery together. [s²/m⁵]

    Returns
    -------
    Scalar
        Head. [m]

    Notes
    -----
    The coefficient is held at its value for the flow of design, see ``pipes.pipe_coefficient``.

    References
    ----------
    .. [1] Energy of a steady flow (Bernoulli, with losses).

    Examples
    --------
    >>> round(system_head(1e-3, 5.0, 9e6), 6)
    14.0
    """
    return static_head + coefficient * flow**2


@law(valid={"reference_speed": (1.0, 2000.0), "shut_off_head": (1e-3, 1000.0), "static_head": (0.0, 1000.0)})
def flow_start_speed(reference_speed: Scalar, shut_off_head: Scalar, static_head: Scalar) -> Scalar:
    r"""Return the speed at which a pump begins to lift water.

    .. math:: \omega_0 = \omega_r \sqrt{H_s / H_0}

    Parameters
    ----------
    reference_speed
        Speed the pump's curve was taken at. [rad/s]
    shut_off_head
        Head without flow at the reference speed. [m]
    static_head
        Height to lift. [m]

    Returns
    -------
    Scalar
        Speed below which nothing flows. [rad/s]

    Notes
    -----
    Below it the pump stirs one and the same water, which warms until the seal suffers. Without a check valve the
    water then runs back.

    References
    ----------
    .. [1] ``pump_head`` without flow, equal to the height.

    Examples
    --------
    >>> round(float(flow_start_speed(300.0, 20.0, 5.0)), 6)
    150.0
    """
    return reference_speed * np.sqrt(static_head / shut_off_head)


@law(
    valid={
        "speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "shut_off_head": (0.0, 1000.0),
        "curve_fall": (1e-6, inf), "static_head": (0.0, 1000.0), "coefficient": (0.0, inf),
    },
)  # fmt: skip
def pump_flow(
    speed: Scalar,
    reference_speed: Scalar,
    shut_off_head: Scalar,
    curve_fall: Scalar,
    static_head: Scalar,
    coefficient: Scalar,
) -> Scalar:
    r"""Return the flow at which pump and system want the same head.

    .. math:: Q = \sqrt{\frac{\max(H_0\,(\omega/\omega_r)^2 - H_s,\ 0)}{b + k}}

    Parameters
    ----------
    speed
        Speed of the pump's shaft. [rad/s]
    reference_speed
        Speed the pump's curve was taken at. [rad/s]
    shut_off_head
        Head without flow at the reference speed. [m]
    curve_fall
        Fall of the pump's curve with the square of the flow. [s²/m⁵]
    static_head
        Height to lift. [m]
    coefficient
        Head the pipe loses for the square of the flow. [s²/m⁵]

    Returns
    -------
    Scalar
        Flow; 0 below the speed at which it starts. [m³/s]

    Notes
    -----
    Exact for the two parabolas. Just above the speed of start the flow rises with an upright tangent: a little more
    speed is a lot more flow, and the other way round.

    References
    ----------
    .. [1] ``pump_head`` equal to ``system_head``.

    Examples
    --------
    >>> round(float(pump_flow(300.0, 300.0, 20.0, 6e6, 5.0, 9e6)), 6)
    0.001
    """
    left = np.maximum(shut_off_head * (speed / reference_speed) ** 2 - static_head, 0.0)
    return np.sqrt(left / (curve_fall + coefficient))


@law(
    valid={
        "flow": (0.0, 10.0), "reference_speed": (1.0, 2000.0), "shut_off_head": (1e-3, 1000.0),
        "curve_fall": (0.0, inf), "static_head": (0.0, 1000.0), "coefficient": (0.0, inf),
    },
)  # fmt: skip
def speed_for_flow(
    flow: Scalar,
    reference_speed: Scalar,
    shut_off_head: Scalar,
    curve_fall: Scalar,
    static_head: Scalar,
    coefficient: Scalar,
) -> Scalar:
    r"""Return the speed a pump needs for a flow.

    .. math:: \omega = \omega_r \sqrt{\frac{H_s + (b + k)\,Q^2}{H_0}}

    Parameters
    ----------
    flow
        Volume wanted each second. [m³/s]
    reference_speed
        Speed the pump's curve was taken at. [rad/s]
    shut_off_head
        Head without flow at the reference speed. [m]
    curve_fall
        Fall of the pump's curve with the square of the flow. [s²/m⁵]
    static_head
        Height to lift. [m]
    coefficient
        Head the pipe loses for the square of the flow. [s²/m⁵]

    Returns
    -------
    Scalar
        Speed of the pump's shaft. [rad/s]

    Notes
    -----
    The inverse of ``pump_flow``; for no flow the speed at which it starts.

    References
    ----------
    .. [1] ``pump_head`` equal to ``system_head``.

    Examples
    --------
    >>> round(float(speed_for_flow(1e-3, 300.0, 20.0, 6e6, 5.0, 9e6)), 6)
    300.0
    """
    return reference_speed * np.sqrt((static_head + (curve_fall + coefficient) * flow**2) / shut_off_head)


@law(valid={"speed_ratio": (0.0, 3.0)})
def affinity_point(flow: Scalar, head: Scalar, power: Scalar, speed_ratio: Scalar) -> tuple[Scalar, Scalar, Scalar]:
    r"""Return flow, head and power of a pump's point carried to another speed.

    .. math:: Q' = Q\,s, \quad H' = H\,s^2, \quad P' = P\,s^3

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    head
        Head. [m]
    power
        At the shaft. [W]
    speed_ratio
        New speed over old. [-]

    Returns
    -------
    tuple
        Flow, head and power at the new speed. [m³/s, m, W]

    Notes
    -----
    It carries a point of the pump's curve, not the point at which pump and system meet: only without a height to lift
    are the two the same. The efficiency is taken to stay, see ``pump_best_efficiency``.

    References
    ----------
    .. [1] Affinity laws, ISO 9906:2012.

    Examples
    --------
    >>> affinity_point(0.001, 16.0, 320.0, 0.5)
    (0.0005, 4.0, 40.0)
    """
    return flow * speed_ratio, head * speed_ratio**2, power * speed_ratio**3
