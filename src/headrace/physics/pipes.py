"""Pipes and hoses: how water runs through them, and what head it loses on the way.

Head is energy by weight, in metres of the liquid that flows. A pipe asks for head in proportion to the square of the
flow as long as its friction factor stays, and over the small range of a speed control it nearly does: one coefficient
then stands for the whole pipe. ``flow_under_head`` finds the flow at which that coefficient and the flow agree.
"""

from __future__ import annotations

from math import inf

import numpy as np

from headrace.physics.heat import GRAVITY
from headrace.physics.law import Scalar, law

LAMINAR_END, TURBULENT_START = 2300.0, 4000.0  # Reynolds numbers between which either kind of flow is met
SEARCH_ROUNDS = 10  # of flow_under_head


@law(valid={"temperature": (273.15, 333.15)})
def water_density(temperature: Scalar) -> Scalar:
    r"""Return the density of clean water.

    .. math:: \rho = \frac{999.83952 + 16.945176\,t - 7.9870401{\cdot}10^{-3} t^2 - 46.170461{\cdot}10^{-6} t^3
              + 105.56302{\cdot}10^{-9} t^4 - 280.54253{\cdot}10^{-12} t^5}{1 + 16.879850{\cdot}10^{-3} t}

    Parameters
    ----------
    temperature
        Of the water; t in the formula is in degrees Celsius. [K]

    Returns
    -------
    Scalar
        Density at atmospheric pressure. [kg/m³]

    Notes
    -----
    Within 0.005 % of steam tables from 0 to 60 °C. Leaves out salt (sea water is 2.5 % heavier), silt and pressure
    (0.05 % at 10 bar).

    References
    ----------
    .. [1] Kell, J. Chem. Eng. Data 20 (1975) 97, eq. 16.

    Examples
    --------
    >>> round(water_density(293.15), 1)
    998.2
    """
    t = temperature - 273.15
    above = (
        999.83952
        + 16.945176 * t
        - 7.9870401e-3 * t**2
        - 46.170461e-6 * t**3
        + 105.56302e-9 * t**4
        - 280.54253e-12 * t**5
    )
    return above / (1.0 + 16.879850e-3 * t)


@law(valid={"temperature": (273.15, 333.15)})
def water_viscosity(temperature: Scalar) -> Scalar:
    r"""Return the dynamic viscosity of clean water.

    .. math:: \mu = 10^{-6}\,(280.68\,\theta^{-1.9} + 511.45\,\theta^{-7.7} + 61.131\,\theta^{-19.6}
              + 0.45903\,\theta^{-40}), \quad \theta = T/300

    Parameters
    ----------
    temperature
        Of the water. [K]

    Returns
    -------
    Scalar
        Dynamic viscosity at atmospheric pressure. [Pa·s]

    Notes
    -----
    The range of the formula is -20 to 110 °C; warm water at 60 °C is a quarter as stiff as ice water. Leaves out
    whatever is dissolved or stirred in: slurry is another matter.

    References
    ----------
    .. [1] IAPWS SR6-08(2011), Properties of liquid water at 0.1 MPa, eq. 7.
    .. [2] Pátek, Hrubý, Klomfar, Součková, Harvey, J. Phys. Chem. Ref. Data 38 (2009) 21.

    Examples
    --------
    >>> round(1e3 * water_viscosity(293.15), 3)
    1.002
    """
    theta = temperature / 300.0
    return 1e-6 * (280.68 * theta**-1.9 + 511.45 * theta**-7.7 + 61.131 * theta**-19.6 + 0.45903 * theta**-40.0)


@law(valid={"viscosity": (1e-6, 10.0), "density": (0.5, 2000.0)})
def kinematic_viscosity(viscosity: Scalar, density: Scalar) -> Scalar:
    r"""Return the kinematic viscosity of a fluid.

    .. math:: \nu = \mu / \rho

    Parameters
    ----------
    viscosity
        Dynamic viscosity. [Pa·s]
    density
        Density of the fluid. [kg/m³]

    Returns
    -------
    Scalar
        Kinematic viscosity. [m²/s]

    Notes
    -----
    Water at 20 °C has a millionth of a square metre a second, air fifteen times as much.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> kinematic_viscosity(0.001, 1000.0)
    1e-06
    """
    return viscosity / density


@law(valid={"flow": (0.0, 10.0), "diameter": (1e-3, 2.0)})
def flow_velocity(flow: Scalar, diameter: Scalar) -> Scalar:
    r"""Return the mean velocity in a round pipe.

    .. math:: v = \frac{4 Q}{\pi D^2}

    Parameters
    ----------
    flow
        Volume each second. [m³/s]
    diameter
        Inner diameter. [m]

    Returns
    -------
    Scalar
        Mean velocity. [m/s]

    Notes
    -----
    Full pipe. A flat hose under pressure is round; under suction it is not.

    References
    ----------
    .. [1] Continuity.

    Examples
    --------
    A litre a second through a 25 mm hose:

    >>> round(flow_velocity(1e-3, 0.025), 2)
    2.04
    """
    return 4.0 * flow / (np.pi * diameter**2)


@law(valid={"velocity": (0.0, 100.0), "diameter": (1e-3, 2.0), "kinematic": (1e-8, 1e-2)})
def reynolds_number(velocity: Scalar, diameter: Scalar, kinematic: Scalar) -> Scalar:
    r"""Return the Reynolds number of the flow in a round pipe.

    .. math:: \mathrm{Re} = \frac{v D}{\nu}

    Parameters
    ----------
    velocity
        Mean velocity. [m/s]
    diameter
        Inner diameter. [m]
    kinematic
        Kinematic viscosity. [m²/s]

    Returns
    -------
    Scalar
        Reynolds number. [-]

    Notes
    -----
    Below about 2300 the flow is laminar, above about 4000 turbulent, in between it is one or the other.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(reynolds_number(2.0, 0.025, 1e-6))
    50000
    """
    return velocity * diameter / kinematic


@law(valid={"reynolds": (0.0, 1e8), "relative_roughness": (0.0, 0.05)})
def friction_factor(reynolds: Scalar, relative_roughness: Scalar) -> Scalar:
    r"""Return the Darcy friction factor of a round pipe.

    .. math:: f = (1-w)\,\frac{64}{\mathrm{Re}} + w\left[1.8\,\log_{10}\!\left(\left(\frac{\varepsilon}{3.7}
              \right)^{1.11} + \frac{6.9}{\mathrm{Re}}\right)\right]^{-2}, \quad w = 3u^2 - 2u^3, \quad
              u = \frac{\mathrm{Re} - 2300}{1700}\ \text{held to}\ 0..1

    Parameters
    ----------
    reynolds
        Reynolds number; below 1 it counts as 1. [-]
    relative_roughness
        Height of the roughness over the inner diameter. [-]

    Returns
    -------
    Scalar
        Friction factor of Darcy, four times that of Fanning. [-]

    Notes
    -----
    Laminar flow below 2300, Haaland's formula above 4000, a smooth passage between. Haaland lies within 1.5 % of
    Colebrook's implicit equation from 4000 to 1e8 and for every roughness up to 0.05; Colebrook itself fits pipes
    to perhaps 10 %, and who knows the roughness of a hose? In the passage nature jumps and nothing is certain.

    References
    ----------
    .. [1] Haaland, J. Fluids Eng. 105 (1983) 89.
    .. [2] Colebrook, J. Inst. Civ. Eng. 11 (1939) 133, the equation it stands for.
    .. [3] Hagen and Poiseuille: 64/Re.

    Examples
    --------
    >>> round(float(friction_factor(1000.0, 0.0)), 6)
    0.064
    >>> round(float(friction_factor(1e5, 0.0004)), 4)
    0.0196
    """
    moving = np.maximum(reynolds, 1.0)
    u = np.minimum(np.maximum((moving - LAMINAR_END) / (TURBULENT_START - LAMINAR_END), 0.0), 1.0)
    turbulent = u**2 * (3.0 - 2.0 * u)
    haaland = 1.8 * np.log10((relative_roughness / 3.7) ** 1.11 + 6.9 / moving)
    return (1.0 - turbulent) * 64.0 / moving + turbulent / haaland**2


@law(valid={"friction": (0.0, 64.0), "length": (0.0, 1e5), "diameter": (1e-3, 2.0), "velocity": (0.0, 100.0)})
def friction_head(friction: Scalar, length: Scalar, diameter: Scalar, velocity: Scalar) -> Scalar:
    r"""Return the head a straight pipe loses to friction.

    .. math:: h = f\,\frac{L}{D}\,\frac{v^2}{2 g}

    Parameters
    ----------
    friction
        Darcy friction factor. [-]
    length
        Length of the pipe. [m]
    diameter
        Inner diameter. [m]
    velocity
        Mean velocity. [m/s]

    Returns
    -------
    Scalar
        Head lost, in metres of the liquid. [m]

    Notes
    -----
    Steady flow in a full pipe. For the same flow a hose half as wide loses about thirty times as much.

    References
    ----------
    .. [1] Darcy and Weisbach, in any book of hydraulics.

    Examples
    --------
    >>> round(friction_head(0.02, 50.0, 0.025, 2.0), 2)
    8.16
    """
    return friction * length / diameter * velocity**2 / (2.0 * GRAVITY)


@law(valid={"loss_sum": (0.0, 1e4), "velocity": (0.0, 100.0)})
def fittings_head(loss_sum: Scalar, velocity: Scalar) -> Scalar:
    r"""Return the head lost at bends, valves, strainers and ends.

    .. math:: h = \zeta\,\frac{v^2}{2 g}

    Parameters
    ----------
    loss_sum
        Loss coefficients of all fittings, added. [-]
    velocity
        Mean velocity in the pipe that the coefficients belong to. [m/s]

    Returns
    -------
    Scalar
        Head lost, in metres of the liquid. [m]

    Notes
    -----
    Usual coefficients: a sharp mouth 0.5, a free end 1, an elbow 0.3 to 1.5, a foot valve with strainer 2 to 10.
    They hold for turbulent flow and for fittings some diameters apart.

    References
    ----------
    .. [1] Loss coefficients of fittings in any book of hydraulics (the numbers above: common practice, no source).

    Examples
    --------
    >>> round(fittings_head(4.0, 2.0), 3)
    0.816
    """
    return loss_sum * velocity**2 / (2.0 * GRAVITY)


@law(
    valid={
        "flow": (0.0, 10.0), "length": (0.0, 1e5), "diameter": (1e-3, 2.0), "roughness": (0.0, 0.01),
        "loss_sum": (0.0, 1e4), "kinematic": (1e-8, 1e-2),
    },
)  # fmt: skip
def pipe_coefficient(
    flow: Scalar, length: Scalar, diameter: Scalar, roughness: Scalar, loss_sum: Scalar, kinematic: Scalar
) -> Scalar:
    r"""Return how much head a pipe loses for the square of a flow, at that flow.

    .. math:: k = \left(f\,\frac{L}{D} + \zeta\right) \frac{8}{g\,\pi^2 D^4}

    Parameters
    ----------
    flow
        Flow at which the friction factor is taken. [m³/s]
    length
        Length of the pipe. [m]
    diameter
        Inner diameter. [m]
    roughness
        Height of the roughness of the wall. [m]
    loss_sum
        Loss coefficients of all fittings, added, the free end with them. [-]
    kinematic
        Kinematic viscosity of the liquid. [m²/s]

    Returns
    -------
    Scalar
        Coefficient of the square of the flow. [s²/m⁵]

    Notes
    -----
    Pipes behind one another add their coefficients. Held over a change of flow, the coefficient is off by the change
    of the friction factor: halving a turbulent flow in a smooth pipe raises it by about a sixth. Without flow it is
    that of Reynolds number 1.

    References
    ----------
    .. [1] Darcy and Weisbach, with the velocity written as flow over area.

    Examples
    --------
    Fifty metres of smooth 25 mm hose, a litre a second:

    >>> round(float(pipe_coefficient(1e-3, 50.0, 0.025, 0.0, 1.5, 1e-6)) * 1e-3**2, 1)
    9.0
    """
    velocity = flow_velocity(flow, diameter)
    friction = friction_factor(reynolds_number(velocity, diameter, kinematic), roughness / diameter)
    return (friction * length / diameter + loss_sum) * 8.0 / (GRAVITY * np.pi**2 * diameter**4)


@law(
    valid={
        "head": (-inf, 1e4), "held_coefficient": (0.0, inf), "length": (1e-3, 1e5), "diameter": (1e-3, 2.0),
        "roughness": (0.0, 0.01), "loss_sum": (0.0, 1e4), "kinematic": (1e-8, 1e-2),
    },
)  # fmt: skip
def flow_under_head(
    head: Scalar,
    held_coefficient: Scalar,
    length: Scalar,
    diameter: Scalar,
    roughness: Scalar,
    loss_sum: Scalar,
    kinematic: Scalar,
) -> Scalar:
    r"""Return the flow that uses a head up in a pipe whose friction depends on the flow.

    .. math:: Q:\quad (k_0 + k(Q))\,Q^2 = h

    Parameters
    ----------
    head
        Head that drives the flow; none flows where it is not above zero. [m]
    held_coefficient
        Coefficients of the square of the flow that do not depend on it: fall of a pump's curve, nozzle. [s²/m⁵]
    length
        Length of the pipe. [m]
    diameter
        Inner diameter. [m]
    roughness
        Height of the roughness of the wall. [m]
    loss_sum
        Loss coefficients of all fittings, added, the free end with them. [-]
    kinematic
        Kinematic viscosity of the liquid. [m²/s]

    Returns
    -------
    Scalar
        Flow; 0 without head. [m³/s]

    Notes
    -----
    For a pump the head is its shut-off head at the speed of design less the height to lift, and the fall of its curve
    is held: the answer is the flow of design, at which ``pipe_coefficient`` then stays. There is one answer, as the
    head lost grows with the flow everywhere. Ten rounds of taking the coefficient at the last flow, each step
    stretched by the slope that the step before showed (without it, flows in the passage from laminar to turbulent swing
    for ever), bring the flow within 1e-9 of itself.

    References
    ----------
    .. [1] Balance of heads; fixed point with the secant step of Wegstein, Commun. ACM 1 (1958) 9 (from memory).

    Examples
    --------
    A tank 9 m up empties through the hose of ``pipe_coefficient``:

    >>> round(float(flow_under_head(9.0, 0.0, 50.0, 0.025, 0.0, 1.5, 1e-6)), 5)
    0.001
    """
    driving = np.maximum(head, 1e-12)

    def answer(log_flow: Scalar) -> Scalar:
        """Return the logarithm of the flow that fits the coefficient at a flow."""
        lost = pipe_coefficient(np.exp(log_flow), length, diameter, roughness, loss_sum, kinematic)
        answered: Scalar = 0.5 * np.log(driving / (held_coefficient + lost))
        return answered

    before = 0.5 * np.log(driving / (held_coefficient + pipe_coefficient(1.0, length, diameter, 0.0, 0.0, kinematic)))
    answered_before = answer(before)
    now = answered_before
    for _ in range(SEARCH_ROUNDS):
        answered = answer(now)
        step = now - before
        moved = np.abs(step) > 1e-13
        slope = np.where(moved, (answered - answered_before) / np.where(moved, step, 1.0), 0.0)
        slope = np.minimum(np.maximum(slope, -3.0), 0.5)  # laminar flow gives 1/2, the steepest passage -1.6
        before, answered_before, now = now, answered, now + (answered - now) / (1.0 - slope)
    return np.where(np.asarray(head) > 0.0, np.exp(now), 0.0)
