"""Loads: what a mowing blade asks of its shaft, and what it takes to spin it up.

The blade's power is windage, shearing and throwing; its own bearings stand in ``bearings``.
"""

from __future__ import annotations

from math import inf

from headrace.physics.law import Scalar, law

GAS_CONSTANT_DRY_AIR = 287.05287  # J/(kg K), ISO 2533:1975


@law(valid={"temperature": (213.0, 343.0), "pressure": (50_000.0, 110_000.0)})
def air_density(temperature: Scalar, pressure: Scalar = 101325.0) -> Scalar:
    r"""Return the density of dry air.

    .. math:: \rho = \frac{p}{R_s T}

    Parameters
    ----------
    temperature
        Air temperature. [K]
    pressure
        Air pressure; 101325 Pa at sea level, about 12 % less at 1000 m. [Pa]

    Returns
    -------
    Scalar
        Density. [kg/m³]

    Notes
    -----
    Ideal gas. Leaves out moisture, which makes warm air at most 2 % lighter.

    References
    ----------
    .. [1] ISO 2533:1975, Standard atmosphere: specific gas constant of dry air.

    Examples
    --------
    >>> round(air_density(293.15), 3)
    1.204
    """
    return pressure / (GAS_CONSTANT_DRY_AIR * temperature)


@law(valid={"speed": (0.0, 5000.0), "radius": (0.0, 5.0)})
def tip_speed(speed: Scalar, radius: Scalar) -> Scalar:
    r"""Return the speed of a point on a turning part.

    .. math:: v = \omega R

    Parameters
    ----------
    speed
        Speed of rotation. [rad/s]
    radius
        Distance from the axis, for a blade to its tip. [m]

    Returns
    -------
    Scalar
        Speed along the circle. [m/s]

    Notes
    -----
    Exact for a rigid part. A mower's tip may not pass 96.52 m/s (19 000 ft/min).

    References
    ----------
    .. [1] Kinematics of rotation about a fixed axis.

    Examples
    --------
    >>> tip_speed(300.0, 0.25)
    75.0
    """
    return speed * radius


@law(valid={"speed": (0.0, 5000.0), "radius": (0.0, 2.0), "density": (0.5, 2.0), "windage": (0.0, 0.2)})
def blade_windage_power(speed: Scalar, radius: Scalar, density: Scalar, windage: Scalar) -> Scalar:
    r"""Return the power a blade spends on moving air.

    .. math:: P_w = C_w\,\rho\,\omega^3 R^5

    Parameters
    ----------
    speed
        Blade speed. [rad/s]
    radius
        Radius of the tip circle. [m]
    density
        Density of the air. [kg/m³]
    windage
        Fan coefficient of this blade in its deck, lift wings included. [-]

    Returns
    -------
    Scalar
        Power at the blade's shaft. [W]

    Notes
    -----
    The fan laws for fixed geometry. The coefficient is not free of size: the same wing on a shorter bar has a
    larger one. A deck choked with clippings falls towards the square of the speed; a spin test without grass
    replaces the coefficient.

    References
    ----------
    .. [1] Fan laws, power as speed cubed times size to the fifth: ISO 5801:2017.
    .. [2] Drag of two arms in air that swirls along, integrated over the radius (derived; coefficient assumed).

    Examples
    --------
    >>> round(blade_windage_power(300.0, 0.25, 1.2, 0.01), 1)
    316.4
    """
    return windage * density * speed**3 * radius**5


@law(valid={"sward": (0.0, 5.0), "width": (0.0, 5.0), "travel_speed": (0.0, 5.0)})
def clippings_flow(sward: Scalar, width: Scalar, travel_speed: Scalar) -> Scalar:
    r"""Return the mass of grass cut each second.

    .. math:: \dot m = y\,W\,v

    Parameters
    ----------
    sward
        Fresh mass removed from each square metre. [kg/m²]
    width
        Effective width of cut. [m]
    travel_speed
        Speed over the ground. [m/s]

    Returns
    -------
    Scalar
        Mass flow of fresh clippings. [kg/s]

    Notes
    -----
    Fresh mass: dry mass is a fourth to a fifth of it.

    References
    ----------
    .. [1] Balance of mass over the swath.

    Examples
    --------
    >>> round(clippings_flow(0.35, 0.4, 0.8), 3)
    0.112
    """
    return sward * width * travel_speed


@law(valid={"flow": (0.0, 50.0), "shear_energy": (0.0, 20_000.0), "wet_factor": (0.5, 3.0)})
def shearing_power(flow: Scalar, shear_energy: Scalar, wet_factor: Scalar) -> Scalar:
    r"""Return the power that cuts the grass off.

    .. math:: P = f\,\dot m\,e_0

    Parameters
    ----------
    flow
        Mass of fresh clippings cut each second. [kg/s]
    shear_energy
        Energy to cut a kilogram; grows as the edge dulls. [J/kg]
    wet_factor
        Multiplier for wet grass, 1 when dry. [-]

    Returns
    -------
    Scalar
        Power at the blade. [W]

    Notes
    -----
    A constant energy holds above about 30 m/s tip speed; below that a free blade bends the grass and does not cut.

    References
    ----------
    .. [1] Fluck, Busey, Trans. ASAE 31 (1988) 1304: energy rises with moisture (the numbers here are assumed).

    Examples
    --------
    >>> shearing_power(0.1, 1000.0, 1.0)
    100.0
    """
    return wet_factor * flow * shear_energy


@law(
    valid={"flow": (0.0, 50.0), "throw_share": (0.0, 2.0), "tip_speed": (0.0, 200.0), "wet_factor": (0.5, 3.0)},
)
def throwing_power(flow: Scalar, throw_share: Scalar, tip_speed: Scalar, wet_factor: Scalar) -> Scalar:
    r"""Return the power that gives the clippings their speed.

    .. math:: P = f\,\dot m\,c_k\,v_{tip}^2

    Parameters
    ----------
    flow
        Mass of fresh clippings cut each second. [kg/s]
    throw_share
        Share of the squared tip speed spent on each kilogram. [-]
    tip_speed
        Speed of the blade's tip. [m/s]
    wet_factor
        Multiplier for wet grass, 1 when dry. [-]

    Returns
    -------
    Scalar
        Power at the blade. [W]

    Notes
    -----
    Clippings that take up the full tip speed cost half its square as motion and half in the hit, a share of 1;
    cutting inboard of the tip and glancing hits make it less.

    References
    ----------
    .. [1] Momentum and energy of an inelastic hit (derived; the share is assumed).

    Examples
    --------
    >>> round(throwing_power(0.1, 0.5, 70.0, 1.0), 6)
    245.0
    """
    return wet_factor * flow * throw_share * tip_speed**2


@law(valid={"mass": (0.0, 1000.0), "length": (0.0, 10.0)})
def bar_inertia(mass: Scalar, length: Scalar) -> Scalar:
    r"""Return the inertia of a straight bar about its middle.

    .. math:: J = \tfrac{1}{12}\,m L^2

    Parameters
    ----------
    mass
        Mass of the bar. [kg]
    length
        Length of the bar, tip to tip. [m]

    Returns
    -------
    Scalar
        Inertia about the axis across the middle. [kg·m²]

    Notes
    -----
    Slender and even; wings at the tips add to it.

    References
    ----------
    .. [1] Any table of moments of inertia: slender rod about its centre.

    Examples
    --------
    >>> round(bar_inertia(0.6, 0.5), 6)
    0.0125
    """
    return mass * length**2 / 12.0


@law(valid={"mass": (0.0, 1000.0), "radius": (0.0, 5.0)})
def disc_inertia(mass: Scalar, radius: Scalar) -> Scalar:
    r"""Return the inertia of an even disc about its axis.

    .. math:: J = \tfrac{1}{2}\,m r^2

    Parameters
    ----------
    mass
        Mass of the disc. [kg]
    radius
        Outer radius. [m]

    Returns
    -------
    Scalar
        Inertia about the disc's own axis. [kg·m²]

    Notes
    -----
    Solid and of one thickness; a rim has up to twice as much.

    References
    ----------
    .. [1] Any table of moments of inertia: solid cylinder about its axis.

    Examples
    --------
    >>> disc_inertia(2.0, 0.5)
    0.25
    """
    return 0.5 * mass * radius**2


@law(valid={"inertia": (0.0, 1000.0), "speed": (0.0, 5000.0)})
def spin_energy(inertia: Scalar, speed: Scalar) -> Scalar:
    r"""Return the energy held in a turning part.

    .. math:: E = \tfrac{1}{2}\,J \omega^2

    Parameters
    ----------
    inertia
        Inertia about the axis of rotation. [kg·m²]
    speed
        Speed of rotation. [rad/s]

    Returns
    -------
    Scalar
        Energy. [J]

    Notes
    -----
    Exact for a rigid part.

    References
    ----------
    .. [1] Kinetic energy of rotation about a fixed axis.

    Examples
    --------
    >>> spin_energy(0.02, 300.0)
    900.0
    """
    return 0.5 * inertia * speed**2


@law(valid={"width": (0.0, inf), "travel_speed": (0.0, inf), "field_efficiency": (0.0, 1.0)})
def field_capacity(width: Scalar, travel_speed: Scalar, field_efficiency: Scalar) -> Scalar:
    r"""Return the area worked each second, turns and overlaps counted.

    .. math:: \dot A = W\,v\,\eta_f

    Parameters
    ----------
    width
        Effective width of work. [m]
    travel_speed
        Speed over the ground while working. [m/s]
    field_efficiency
        Time at work at full width, as a share of all the time. [-]

    Returns
    -------
    Scalar
        Area each second. [m²/s]

    Notes
    -----
    The tool usually keeps turning for the rest of the time: charge its idle power there.

    References
    ----------
    .. [1] Iowa State University Extension, PM 696, Estimating field capacity of farm machines.

    Examples
    --------
    >>> round(field_capacity(0.4, 0.8, 0.7), 3)
    0.224
    """
    return width * travel_speed * field_efficiency


@law(valid={"turns": (1e-3, 1e3)})
def reflected_inertia(inertia: Scalar, turns: Scalar) -> Scalar:
    r"""Return an inertia as seen from a shaft that turns faster.

    .. math:: J' = J / n^2

    Parameters
    ----------
    inertia
        Of the tool, about its own axis. [kg·m²]
    turns
        Turns of the other shaft per turn of the tool. [-]

    Returns
    -------
    Scalar
        Inertia at the other shaft. [kg·m²]

    Notes
    -----
    Stiff connection.

    References
    ----------
    .. [1] Equal kinetic energy.

    Examples
    --------
    >>> reflected_inertia(0.04, 2.0)
    0.01
    """
    return inertia / turns**2


@law(valid={"mass": (0.0, 1e5), "travel": (0.0, 100.0)})
def carried_inertia(mass: Scalar, travel: Scalar) -> Scalar:
    r"""Return the inertia that a mass moved along by a shaft puts on it.

    .. math:: J = m\,x^2

    Parameters
    ----------
    mass
        What moves along. [kg]
    travel
        How far it moves for one radian of the shaft. [m/rad]

    Returns
    -------
    Scalar
        Inertia at the shaft. [kg·m²]

    Notes
    -----
    A stiff rope and wheels that roll; slip of the wheels makes the travel shorter.

    References
    ----------
    .. [1] Equal energies of motion, ½ m (x ω)² and ½ J ω².

    Examples
    --------
    >>> carried_inertia(100.0, 0.5)
    25.0
    """
    return mass * travel**2


@law(valid={"radius": (0.01, 5.0)})
def speed_of_tip(tip_speed: Scalar, radius: Scalar) -> Scalar:
    r"""Return the speed of rotation that gives a tip speed.

    .. math:: \omega = v / R

    Parameters
    ----------
    tip_speed
        Speed of the tip. [m/s]
    radius
        Radius of the tip circle. [m]

    Returns
    -------
    Scalar
        Speed of rotation. [rad/s]

    Notes
    -----
    The inverse of ``tip_speed``.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(speed_of_tip(84.0, 0.21), 6)
    400.0
    """
    return tip_speed / radius
