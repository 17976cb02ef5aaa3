"""Heat: bodies that warm and shed, convection and radiation. Temperatures in kelvin."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4), SI
GRAVITY = 9.80665  # m/s2, standard


@law(valid={"capacity": (1e-3, 1e9)})
def one_node_step(
    temperature: Scalar, heat: Scalar, conductance: Scalar, capacity: Scalar, ambient: Scalar, seconds: Scalar
) -> Scalar:
    r"""Return the temperature of one body after a time of constant heat.

    .. math:: T' = T_\infty + (T - T_\infty)\,e^{-G t/C}, \quad T_\infty = T_a + q/G

    Parameters
    ----------
    temperature
        Of the body at the start. [K]
    heat
        Made in the body. [W]
    conductance
        From the body to what is around it. [W/K]
    capacity
        Heat capacity of the body. [J/K]
    ambient
        Around the body. [K]
    seconds
        Time step. [s]

    Returns
    -------
    Scalar
        Temperature at the end. [K]

    Notes
    -----
    Exact while heat and conductance stay.

    References
    ----------
    .. [1] Linear first-order equation.

    Examples
    --------
    >>> round(float(one_node_step(298.15, 2.0, 12 * 0.00531, 70.0, 298.15, 1098.6)) - 298.15, 2)
    19.84
    """
    settled = ambient + heat / conductance
    return settled + (temperature - settled) * np.exp(-conductance * seconds / capacity)


@law(valid={"resistance_between": (1e-4, 1e3), "resistance_to_air": (1e-4, 1e3)})
def two_node_step(
    upper: Scalar,
    lower: Scalar,
    heat_upper: Scalar,
    heat_lower: Scalar,
    resistance_between: Scalar,
    resistance_to_air: Scalar,
    capacity_upper: Scalar,
    capacity_lower: Scalar,
    air: Scalar,
    seconds: Scalar,
) -> tuple[Scalar, Scalar]:
    r"""Return the temperatures of two bodies in a row after a time of constant heat.

    .. math::

        C_1 \dot T_1 = q_1 - \frac{T_1 - T_2}{R_1}, \quad
        C_2 \dot T_2 = q_2 + \frac{T_1 - T_2}{R_1} - \frac{T_2 - T_a}{R_2}

    Parameters
    ----------
    upper
        Of the inner body at the start. [K]
    lower
        Of the outer body at the start. [K]
    heat_upper
        Made in the inner body. [W]
    heat_lower
        Made in the outer body. [W]
    resistance_between
        Between the bodies. [K/W]
    resistance_to_air
        From the outer body to the air. [K/W]
    capacity_upper
        Of the inner body. [J/K]
    capacity_lower
        Of the outer body. [J/K]
    air
        Temperature of the air. [K]
    seconds
        Time step. [s]

    Returns
    -------
    tuple
        Inner and outer body at the end. [K, K]

    Notes
    -----
    Exact while the heats stay: the exponential of a two by two matrix with two real, negative rates.

    References
    ----------
    .. [1] Linear system of two first-order equations.

    Examples
    --------
    >>> [round(float(t), 3) for t in two_node_step(300.0, 300.0, 50.0, 0.0, 0.35, 0.5, 250.0, 1500.0, 300.0, 1e6)]
    [342.5, 325.0]
    """
    inner = 1.0 / (resistance_between * capacity_upper)
    shared = 1.0 / (resistance_between * capacity_lower)
    outer = 1.0 / (resistance_to_air * capacity_lower)
    mean = 0.5 * (inner + shared + outer)
    # both rates from sums and products only: taking one root from the other would cancel when one body is tiny
    spread = np.sqrt((0.5 * (inner - shared - outer)) ** 2 + inner * shared)
    slow_rate = inner * outer / (mean + spread)
    slow, fast = np.exp(-slow_rate * seconds), np.exp(-(mean + spread) * seconds)
    even, odd = 0.5 * (slow + fast), 0.5 * (slow - fast) / spread
    lower_settled = air + (heat_upper + heat_lower) * resistance_to_air
    upper_settled = lower_settled + heat_upper * resistance_between
    above, below = upper - upper_settled, lower - lower_settled
    return (
        upper_settled + even * above + odd * ((mean - inner) * above + inner * below),
        lower_settled + even * below + odd * (shared * above + (mean - shared - outer) * below),
    )


@law(valid={"film": (0.1, 1e4), "area": (1e-6, 1e3)})
def steady_rise(heat: Scalar, film: Scalar, area: Scalar) -> Scalar:
    r"""Return how far a body settles above the air.

    .. math:: \Delta T = \frac{q}{h A}

    Parameters
    ----------
    heat
        Made in the body. [W]
    film
        Coefficient at the surface. [W/(m²·K)]
    area
        Surface. [m²]

    Returns
    -------
    Scalar
        Rise. [K]

    Notes
    -----
    Lumped: the body has one temperature.

    References
    ----------
    .. [1] Newton's law of cooling.

    Examples
    --------
    >>> round(steady_rise(2.0, 12.0, 0.00531), 2)
    31.39
    """
    return heat / (film * area)


@law(valid={"film": (0.1, 1e4), "area": (1e-6, 1e3)})
def time_constant(mass: Scalar, specific_heat: Scalar, film: Scalar, area: Scalar) -> Scalar:
    r"""Return the time in which a body nears its settled temperature by a factor of e.

    .. math:: \tau = \frac{m c}{h A}

    Parameters
    ----------
    mass
        Mass. [kg]
    specific_heat
        Of the body. [J/(kg·K)]
    film
        Coefficient at the surface. [W/(m²·K)]
    area
        Surface. [m²]

    Returns
    -------
    Scalar
        Time constant. [s]

    Notes
    -----
    Lumped.

    References
    ----------
    .. [1] Newton's law of cooling.

    Examples
    --------
    >>> round(time_constant(0.07, 1000.0, 12.0, 0.00531), 1)
    1098.6
    """
    return mass * specific_heat / (film * area)


@law(valid={"mass": (1e-6, 1e6)})
def adiabatic_rise(heat: Scalar, seconds: Scalar, mass: Scalar, specific_heat: Scalar) -> Scalar:
    r"""Return the rise of a body that sheds nothing.

    .. math:: \Delta T = \frac{q t}{m c}

    Parameters
    ----------
    heat
        Made in the body. [W]
    seconds
        Time step. [s]
    mass
        Mass. [kg]
    specific_heat
        Of the body. [J/(kg·K)]

    Returns
    -------
    Scalar
        Rise. [K]

    Notes
    -----
    An upper bound.

    References
    ----------
    .. [1] Conservation of energy.

    Examples
    --------
    >>> round(adiabatic_rise(2.0, 600.0, 0.07, 1000.0), 4)
    17.1429
    """
    return heat * seconds / (mass * specific_heat)


@law(valid={"radius": (1e-4, 10.0), "height": (1e-4, 10.0)})
def cylinder_area(radius: Scalar, height: Scalar) -> Scalar:
    r"""Return the whole surface of a cylinder.

    .. math:: A = 2 \pi r h + 2 \pi r^2

    Parameters
    ----------
    radius
        Of the cylinder. [m]
    height
        Of the cylinder. [m]

    Returns
    -------
    Scalar
        Surface. [m²]

    Notes
    -----
    Both ends counted.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(cylinder_area(0.0105, 0.070), 5)
    0.00531
    """
    return 2.0 * np.pi * radius * (height + radius)


@law(valid={"emissivity": (0.0, 1.0)})
def radiation(emissivity: Scalar, hot: Scalar, cold: Scalar) -> Scalar:
    r"""Return the heat a grey surface sheds by radiation for each area.

    .. math:: q = \varepsilon \sigma\,(T_1^4 - T_2^4)

    Parameters
    ----------
    emissivity
        Of the surface. [-]
    hot
        Of the surface. [K]
    cold
        Of what it looks at. [K]

    Returns
    -------
    Scalar
        Heat for each area. [W/m²]

    Notes
    -----
    Large surroundings. As much as free convection at the temperatures of a pack.

    References
    ----------
    .. [1] Stefan-Boltzmann law; checked against the ht library.

    Examples
    --------
    >>> round(radiation(0.9, 323.15, 298.15), 1)
    153.2
    """
    return emissivity * STEFAN_BOLTZMANN * (hot**4 - cold**4)


@law(valid={"rayleigh": (0.1, 1e12)})
def plate_nusselt(rayleigh: Scalar, prandtl: Scalar) -> Scalar:
    r"""Return the Nusselt number of free convection at a vertical plate.

    .. math:: Nu = \left(0.825 + \frac{0.387\,Ra^{1/6}}{[1 + (0.492/Pr)^{9/16}]^{8/27}}\right)^2

    Parameters
    ----------
    rayleigh
        Rayleigh number. [-]
    prandtl
        Prandtl number of the air. [-]

    Returns
    -------
    Scalar
        Nusselt number on the height. [-]

    Notes
    -----
    Full range of Rayleigh numbers.

    References
    ----------
    .. [1] Churchill and Chu (1975), as in Incropera and DeWitt, ch. 9.

    Examples
    --------
    >>> round(float(plate_nusselt(0.69 * 2.63e9, 0.69)), 2)
    147.16
    """
    return (0.825 + 0.387 * rayleigh ** (1 / 6) / (1.0 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2


@law(valid={"rayleigh": (1e-5, 1e12)})
def cylinder_nusselt(rayleigh: Scalar, prandtl: Scalar) -> Scalar:
    r"""Return the Nusselt number of free convection round a horizontal cylinder.

    .. math:: Nu = \left(0.60 + \frac{0.387\,Ra^{1/6}}{[1 + (0.559/Pr)^{9/16}]^{8/27}}\right)^2

    Parameters
    ----------
    rayleigh
        Rayleigh number. [-]
    prandtl
        Prandtl number of the air. [-]

    Returns
    -------
    Scalar
        Nusselt number on the diameter. [-]

    Notes
    -----
    Long cylinder.

    References
    ----------
    .. [1] Churchill and Chu (1975), as in Incropera and DeWitt, ch. 9.

    Examples
    --------
    >>> round(float(cylinder_nusselt(0.69 * 2.63e9, 0.69)), 2)
    139.13
    """
    return (0.60 + 0.387 * rayleigh ** (1 / 6) / (1.0 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2


@law(valid={"film_temperature": (200.0, 600.0), "length": (1e-3, 10.0), "prandtl": (0.5, 1.0)})
def rayleigh_number(
    rise: Scalar, film_temperature: Scalar, length: Scalar, viscosity: Scalar, prandtl: Scalar
) -> Scalar:
    r"""Return the Rayleigh number of a warm surface in still air.

    .. math:: Ra = \frac{g\,\Delta\,L^3}{T_f\,\nu^2}\,Pr

    Parameters
    ----------
    rise
        Surface above the air. [K]
    film_temperature
        Mean of surface and air. [K]
    length
        Height of a plate, diameter of a cylinder. [m]
    viscosity
        Kinematic viscosity of air at the film temperature. [m²/s]
    prandtl
        Prandtl number of air, about 0.71. [-]

    Returns
    -------
    Scalar
        Rayleigh number. [-]

    Notes
    -----
    Air as an ideal gas, whose expansion coefficient is one over its temperature.

    References
    ----------
    .. [1] Incropera, DeWitt, Fundamentals of Heat and Mass Transfer, ch. 9, free convection.

    Examples
    --------
    >>> round(rayleigh_number(20.0, 308.15, 0.30, 1.6519e-5, 0.7061) / 1e6, 1)
    44.5
    """
    return GRAVITY * rise * length**3 / (film_temperature * viscosity**2) * prandtl


@law(valid={"conductivity": (0.001, 1000.0), "length": (1e-4, 10.0)})
def film_coefficient(nusselt: Scalar, conductivity: Scalar, length: Scalar) -> Scalar:
    r"""Return the film coefficient that goes with a Nusselt number.

    .. math:: h = Nu\,k / L

    Parameters
    ----------
    nusselt
        Nusselt number. [-]
    conductivity
        Heat conductivity of air at the film temperature. [W/(m·K)]
    length
        The length the Nusselt number is built on. [m]

    Returns
    -------
    Scalar
        Film coefficient, convection only. [W/(m²·K)]

    Notes
    -----
    Add radiation; it is about as large.

    References
    ----------
    .. [1] Definition of the Nusselt number.

    Examples
    --------
    >>> round(film_coefficient(48.0, 0.027, 0.30), 2)
    4.32
    """
    return nusselt * conductivity / length
