"""What a centrifugal pump asks of its shaft, and what becomes of it.

The torque is no sum of powers of the speed, because nothing flows below a certain one: ``pump_shaft_torque`` gives it
whole. The ledger takes it apart again: water lifted (``hydraulic_power`` over the height), friction of the pipe
(``flow_friction_power``), loss in the pump (``pump_loss``).
"""

from __future__ import annotations

from math import inf

import numpy as np

from headrace.physics.law import Scalar, law
from headrace.physics.pumping import hydraulic_power, pump_curve_fall, pump_flow

SLOWEST_RATIO = 0.2  # of the reference speed; below it the efficiency at the best point is held
STANDSTILL = 1e-9  # keeps quotients of speeds and flows finite where both are nothing


@law(valid={"speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "best_efficiency": (0.2, 0.92)})
def pump_best_efficiency(speed: Scalar, reference_speed: Scalar, best_efficiency: Scalar) -> Scalar:
    r"""Return the efficiency of a pump at the best point of a speed.

    .. math:: \eta = 1 - (1 - \eta_r)\left(\frac{\omega_r}{\omega}\right)^{0.1}

    Parameters
    ----------
    speed
        Speed of the pump's shaft; below a fifth of the reference it counts as that. [rad/s]
    reference_speed
        Speed the best efficiency was taken at. [rad/s]
    best_efficiency
        Best efficiency at the reference speed. [-]

    Returns
    -------
    Scalar
        Best efficiency at the speed. [-]

    Notes
    -----
    Friction weighs more in a slower pump: a loss of one half grows by 3.6 % of itself at seven tenths of the speed.
    Leaves out seals and bearings, which weigh more still in pumps of a few watts.

    References
    ----------
    .. [1] Sârbu, Borza, Periodica Polytechnica Mech. Eng. 42 (1998) 141 (from memory; the exponent is assumed).

    Examples
    --------
    >>> round(float(pump_best_efficiency(210.0, 300.0, 0.5)), 3)
    0.482
    """
    ratio = np.maximum(speed / reference_speed, SLOWEST_RATIO)
    return 1.0 - (1.0 - best_efficiency) * ratio**-0.1


@law(valid={"speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "best_flow": (1e-7, 10.0)})
def flow_share(speed: Scalar, flow: Scalar, reference_speed: Scalar, best_flow: Scalar) -> Scalar:
    r"""Return a pump's flow as a share of the best flow of its speed.

    .. math:: x = \frac{Q}{Q^*\,\omega/\omega_r}

    Parameters
    ----------
    speed
        Speed of the pump's shaft. [rad/s]
    flow
        Volume each second. [m³/s]
    reference_speed
        Speed the best flow was taken at. [rad/s]
    best_flow
        Flow at the best efficiency, at the reference speed. [m³/s]

    Returns
    -------
    Scalar
        Share; 1 at the best point of any speed, 0 at standstill. [-]

    Notes
    -----
    Pumps are happy from 0.7 to 1.2 (common practice, no source): less shakes the shaft, more starves the inlet.

    References
    ----------
    .. [1] Affinity laws, ISO 9906:2012.

    Examples
    --------
    >>> round(float(flow_share(150.0, 0.0004, 300.0, 0.001)), 6)
    0.8
    """
    return flow / (best_flow * np.maximum(speed / reference_speed, STANDSTILL))


@law(valid={"share": (0.0, 3.0), "head_ratio": (1.0, 2.0), "no_flow_share": (0.1, 1.5)})
def shaft_power_share(share: Scalar, head_ratio: Scalar, no_flow_share: Scalar) -> Scalar:
    r"""Return a pump's shaft power as a share of that at the best point of the same speed.

    .. math:: p = x\,[r - (r-1)\,x^2] + (1-x)^2\,[\sigma + (r-1)\,x]

    Parameters
    ----------
    share
        Flow over the best flow of the speed, x. [-]
    head_ratio
        Shut-off head over head at the best point, r. [-]
    no_flow_share
        Shaft power without flow over that at the best point, σ. [-]

    Returns
    -------
    Scalar
        Share of the best point's shaft power. [-]

    Notes
    -----
    The first part is the water's own, at the best efficiency; the second is what a flow that does not fit the blades
    costs on top, nothing at the best point. Together they are a parabola in the flow, and the only one that starts at
    the given share, and gives an efficiency that is best, and the given one, at the best point. Power without flow is
    the stirring of the water in the impeller; it can be measured with the outlet shut for half a minute. Radial pumps
    take 0.3 to 0.6 there, a printed example has 0.44, propellers more than 1. Run dry, a pump takes about 0.3 and its
    seal burns.

    References
    ----------
    .. [1] Derived from the parabola of the head; power nearly a straight or slightly bent line over flow, as test
           curves show it (form assumed).
    .. [2] Karassik et al. (eds.), Pump Handbook, theory of centrifugal pumps, worked example of a radial pump: power
           without flow 44 % of that at the design point, "a typical result" (seen as a reprint).

    Examples
    --------
    >>> round(shaft_power_share(0.0, 1.25, 0.44), 3), round(shaft_power_share(1.0, 1.25, 0.44), 3)
    (0.44, 1.0)
    """
    steepness = head_ratio - 1.0
    with_flow = share * (head_ratio - steepness * share**2)
    return with_flow + (1.0 - share) ** 2 * (no_flow_share + steepness * share)


@law(
    valid={
        "speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "best_flow": (1e-7, 10.0),
        "best_head": (1e-3, 1000.0), "best_efficiency": (0.2, 0.92), "density": (500.0, 2000.0),
    },
)  # fmt: skip
def best_point_power(
    speed: Scalar,
    reference_speed: Scalar,
    best_flow: Scalar,
    best_head: Scalar,
    best_efficiency: Scalar,
    density: Scalar,
) -> Scalar:
    r"""Return the shaft power of a pump at the best point of a speed.

    .. math:: P^* = \frac{\rho\,g\,Q^* H^*}{\eta(\omega)} \left(\frac{\omega}{\omega_r}\right)^3

    Parameters
    ----------
    speed
        Speed of the pump's shaft. [rad/s]
    reference_speed
        Speed the best point was taken at. [rad/s]
    best_flow
        Flow at the best efficiency, at the reference speed. [m³/s]
    best_head
        Head at that flow and speed. [m]
    best_efficiency
        Efficiency there. [-]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Power at the pump's shaft. [W]

    Notes
    -----
    Affinity laws with ``pump_best_efficiency``. A measure for the pump, whatever flow it works at.

    References
    ----------
    .. [1] Affinity laws, ISO 9906:2012.

    Examples
    --------
    >>> round(float(best_point_power(300.0, 300.0, 1e-3, 16.0, 0.5, 1000.0)), 1)
    313.8
    """
    efficiency = pump_best_efficiency(speed, reference_speed, best_efficiency)
    return hydraulic_power(best_flow, best_head, density) / efficiency * (speed / reference_speed) ** 3


@law(
    valid={
        "speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "shut_off_head": (1e-3, 1000.0),
        "best_flow": (1e-7, 10.0), "best_head": (1e-3, 1000.0), "best_efficiency": (0.2, 0.92),
        "no_flow_share": (0.1, 1.5), "static_head": (0.0, 1000.0), "coefficient": (0.0, inf),
        "density": (500.0, 2000.0),
    },
)  # fmt: skip
def pump_shaft_power(
    speed: Scalar,
    reference_speed: Scalar,
    shut_off_head: Scalar,
    best_flow: Scalar,
    best_head: Scalar,
    best_efficiency: Scalar,
    no_flow_share: Scalar,
    static_head: Scalar,
    coefficient: Scalar,
    density: Scalar,
) -> Scalar:
    r"""Return the shaft power of a pump that works against a height and a pipe.

    .. math:: P = P^*(\omega)\;p\!\left(\frac{Q(\omega)}{Q^*\,\omega/\omega_r}\right)

    Parameters
    ----------
    speed
        Speed of the pump's shaft. [rad/s]
    reference_speed
        Speed the pump's curve was taken at. [rad/s]
    shut_off_head
        Head without flow at the reference speed. [m]
    best_flow
        Flow at the best efficiency, at the reference speed. [m³/s]
    best_head
        Head at that flow and speed, below the shut-off head. [m]
    best_efficiency
        Efficiency there. [-]
    no_flow_share
        Shaft power without flow over that at the best point. [-]
    static_head
        Height to lift. [m]
    coefficient
        Head the pipe loses for the square of the flow. [s²/m⁵]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Power at the pump's shaft; 0 at standstill. [W]

    Notes
    -----
    Where nothing flows the power is the share without flow of the power at the best point of that speed, so it goes on
    where flow begins without a jump, though with a kink. Primed pump, no air.

    References
    ----------
    .. [1] ``best_point_power``, ``shaft_power_share``, ``pump_flow``.

    Examples
    --------
    At its best point, and just where it no longer lifts:

    >>> pump = (300.0, 20.0, 1e-3, 16.0, 0.5, 0.44)
    >>> round(float(pump_shaft_power(300.0, *pump, 5.0, 11e6, 1000.0)), 1)
    313.8
    >>> round(float(pump_shaft_power(150.0, *pump, 5.0, 11e6, 1000.0)), 1)
    18.6
    """
    curve_fall = pump_curve_fall(shut_off_head, best_flow, best_head)
    flow = pump_flow(speed, reference_speed, shut_off_head, curve_fall, static_head, coefficient)
    share = flow_share(speed, flow, reference_speed, best_flow)
    best = best_point_power(speed, reference_speed, best_flow, best_head, best_efficiency, density)
    return best * shaft_power_share(share, shut_off_head / best_head, no_flow_share)


@law(
    valid={
        "speed": (0.0, 2000.0), "reference_speed": (1.0, 2000.0), "shut_off_head": (1e-3, 1000.0),
        "best_flow": (1e-7, 10.0), "best_head": (1e-3, 1000.0), "best_efficiency": (0.2, 0.92),
        "no_flow_share": (0.1, 1.5), "static_head": (0.0, 1000.0), "coefficient": (0.0, inf),
        "density": (500.0, 2000.0),
    },
)  # fmt: skip
def pump_shaft_torque(
    speed: Scalar,
    reference_speed: Scalar,
    shut_off_head: Scalar,
    best_flow: Scalar,
    best_head: Scalar,
    best_efficiency: Scalar,
    no_flow_share: Scalar,
    static_head: Scalar,
    coefficient: Scalar,
    density: Scalar,
) -> Scalar:
    r"""Return the torque a pump asks for that works against a height and a pipe.

    .. math:: T = P(\omega) / \omega

    Parameters
    ----------
    speed
        Speed of the pump's shaft, of any shape. [rad/s]
    reference_speed
        Speed the pump's curve was taken at. [rad/s]
    shut_off_head
        Head without flow at the reference speed. [m]
    best_flow
        Flow at the best efficiency, at the reference speed. [m³/s]
    best_head
        Head at that flow and speed, below the shut-off head. [m]
    best_efficiency
        Efficiency there. [-]
    no_flow_share
        Shaft power without flow over that at the best point. [-]
    static_head
        Height to lift. [m]
    coefficient
        Head the pipe loses for the square of the flow. [s²/m⁵]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Torque at the pump's shaft; 0 at standstill. [N·m]

    Notes
    -----
    ``pump_shaft_power`` over the speed. Steady and without a jump from standstill up; smooth but for the speed at which
    flow starts, where the slope is without bound on the upper side, and a hardly visible kink at a fifth of the
    reference speed. A search for the operating point should bracket it there rather than trust slopes. A pump in water
    starts lightly; rust and a dry seal are left out.

    References
    ----------
    .. [1] Power is torque times speed.

    Examples
    --------
    >>> pump = (300.0, 20.0, 1e-3, 16.0, 0.5, 0.44)
    >>> round(float(pump_shaft_torque(300.0, *pump, 5.0, 11e6, 1000.0)), 3)
    1.046
    >>> float(pump_shaft_torque(0.0, *pump, 5.0, 11e6, 1000.0))
    0.0
    """
    power = pump_shaft_power(
        speed, reference_speed, shut_off_head, best_flow, best_head, best_efficiency, no_flow_share, static_head,
        coefficient, density,
    )  # fmt: skip
    return power / np.maximum(speed, STANDSTILL)


@law(valid={"shaft_power": (0.0, 1e6), "flow": (0.0, 10.0), "head": (0.0, 1000.0), "density": (500.0, 2000.0)})
def pump_loss(shaft_power: Scalar, flow: Scalar, head: Scalar, density: Scalar) -> Scalar:
    r"""Return the power lost in a pump.

    .. math:: P_v = P - \rho\,g\,Q\,H

    Parameters
    ----------
    shaft_power
        Power at the pump's shaft. [W]
    flow
        Volume each second. [m³/s]
    head
        Head the pump gives. [m]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Power that warms the water and the casing. [W]

    Notes
    -----
    Seal and bearings of the pump are in it. Without flow it is all of the shaft power.

    References
    ----------
    .. [1] Balance of energy.

    Examples
    --------
    >>> round(pump_loss(313.8, 1e-3, 16.0, 1000.0), 1)
    156.9
    """
    return shaft_power - hydraulic_power(flow, head, density)


@law(valid={"shaft_power": (1e-9, 1e6), "flow": (0.0, 10.0), "head": (0.0, 1000.0), "density": (500.0, 2000.0)})
def pump_efficiency(shaft_power: Scalar, flow: Scalar, head: Scalar, density: Scalar) -> Scalar:
    r"""Return the efficiency of a pump at the point it works at.

    .. math:: \eta = \frac{\rho\,g\,Q\,H}{P}

    Parameters
    ----------
    shaft_power
        Power at the pump's shaft. [W]
    flow
        Volume each second. [m³/s]
    head
        Head the pump gives. [m]
    density
        Density of the liquid. [kg/m³]

    Returns
    -------
    Scalar
        Power in the water over power at the shaft. [-]

    Notes
    -----
    Head the pipe loses counts as the pump's good work here; over the whole plant it is a loss.

    References
    ----------
    .. [1] Definition, ISO 9906:2012.

    Examples
    --------
    >>> round(pump_efficiency(313.8, 1e-3, 16.0, 1000.0), 3)
    0.5
    """
    return hydraulic_power(flow, head, density) / shaft_power


@law(valid={"power": (0.0, 1e6), "flow": (0.0, 10.0)})
def energy_per_volume(power: Scalar, flow: Scalar) -> Scalar:
    r"""Return the energy spent on each cubic metre that is moved.

    .. math:: e = P / Q

    Parameters
    ----------
    power
        At the place asked about: battery, shaft or water. [W]
    flow
        Volume each second. [m³/s]

    Returns
    -------
    Scalar
        Energy for each cubic metre; infinite without flow. [J/m³]

    Notes
    -----
    Divided by 3600 it is in watt-hours a cubic metre; lifting one by one metre takes 2.7 of them at the least. It
    tells a fatter hose from a bigger battery: energy for the same water against energy carried.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(float(energy_per_volume(313.8, 1e-3)))
    313800
    """
    flowing = np.asarray(flow) > 0.0
    return np.where(flowing, power / np.where(flowing, flow, 1.0), np.inf)


@law(valid={"heat": (0.0, 1e6), "flow": (1e-9, 10.0), "density": (500.0, 2000.0), "specific_heat": (500.0, 10_000.0)})
def flow_warming(heat: Scalar, flow: Scalar, density: Scalar, specific_heat: Scalar) -> Scalar:
    r"""Return by how much a flow warms that carries heat away.

    .. math:: \Delta T = \frac{P_v}{\rho\,Q\,c}

    Parameters
    ----------
    heat
        Power turned into heat, of a pump its loss. [W]
    flow
        Volume each second. [m³/s]
    density
        Density of the liquid. [kg/m³]
    specific_heat
        Of the liquid; water 4180. [J/(kg·K)]

    Returns
    -------
    Scalar
        Rise from inlet to outlet. [K]

    Notes
    -----
    Steady, all heat into the liquid. With a trickle of flow the rise is what ruins seals.

    References
    ----------
    .. [1] Balance of energy of a steady flow.

    Examples
    --------
    >>> round(flow_warming(156.9, 1e-3, 1000.0, 4180.0), 3)
    0.038
    """
    return heat / (density * flow * specific_heat)
