"""Wires, bars, strips and joints."""

from __future__ import annotations

import math

import numpy as np

from headrace.physics.law import Scalar, law

REFERENCE = 273.15 + 20.0  # K to which resistances of metals are referred


@law(valid={"gauge": (-3.0, 50.0)})
def awg_diameter(gauge: Scalar) -> Scalar:
    r"""Return the diameter of a solid wire of an American gauge.

    .. math:: d = 0.127\,\mathrm{mm} \cdot 92^{(36 - n)/39}

    Parameters
    ----------
    gauge
        Gauge number; 0, 00, 000, 0000 are 0, -1, -2, -3. [-]

    Returns
    -------
    Scalar
        Diameter. [m]

    Notes
    -----
    By definition; tables round it.

    References
    ----------
    .. [1] ASTM B258, standard nominal diameters.

    Examples
    --------
    >>> round(1e3 * awg_diameter(12.0), 4)
    2.0525
    """
    return 0.127e-3 * 92.0 ** ((36.0 - gauge) / 39.0)


@law(valid={"current": (0.0, 1e5)})
def phase_current(current: Scalar) -> Scalar:
    r"""Return what flows in one of the three wires of a motor that its controller commutates.

    .. math:: I_\mathrm{rms} = \sqrt{\tfrac{2}{3}}\,I

    Parameters
    ----------
    current
        Of the motor: the flat top of blocks, or torque over the constant of line to line. [A]

    Returns
    -------
    Scalar
        Effective value in each wire. [A]

    Notes
    -----
    Blocks flow through each wire for two thirds of the time. Sines of the same torque and copper have the same
    effective value, so one law does for both. Three such wires make as much heat as two that carry
    the motor's current for good.

    References
    ----------
    .. [1] Definition of the effective value.

    Examples
    --------
    >>> round(phase_current(30.0), 2)
    24.49
    """
    return current * math.sqrt(2.0 / 3.0)


@law(valid={"diameter": (1e-6, 0.1)})
def wire_area(diameter: Scalar) -> Scalar:
    r"""Return the cross-section of a round wire.

    .. math:: A = \frac{\pi}{4} d^2

    Parameters
    ----------
    diameter
        Diameter of the metal. [m]

    Returns
    -------
    Scalar
        Cross-section. [m²]

    Notes
    -----
    Solid wire; a stranded one of the same gauge has the same metal.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(1e6 * wire_area(2.05253e-3), 4)
    3.3088
    """
    return np.pi / 4.0 * diameter**2


@law(valid={"length": (0.0, 1e6), "area": (1e-8, 1.0), "temperature": (233.0, 473.0)})
def wire_resistance(length: Scalar, area: Scalar, temperature: Scalar, rho_20: Scalar, alpha_20: Scalar) -> Scalar:
    r"""Return the resistance of a straight conductor at a uniform temperature.

    .. math:: R = \rho_{20}\,\frac{L}{A}\,[1 + \alpha_{20}\,(T - 293.15)]

    Parameters
    ----------
    length
        Length, go and return already added. [m]
    area
        Metal cross-section. [m²]
    temperature
        Temperature of the metal. [K]
    rho_20
        Resistivity at 20 °C; annealed copper is 1/58e6. [Ω·m]
    alpha_20
        Temperature coefficient at 20 °C. [1/K]

    Returns
    -------
    Scalar
        Direct-current resistance. [Ω]

    Notes
    -----
    Leaves out lugs, joints and strand lay: a flexible cable has 10 to 16 % more, size cables from their table.

    References
    ----------
    .. [1] IEC 60028:1925, international standard of resistance for copper.

    Examples
    --------
    >>> round(1e3 * wire_resistance(2.0, 16e-6, 293.15, 1 / 58e6, 0.00393), 3)
    2.155
    """
    return resistance_at(rho_20 * length / area, alpha_20, temperature)


@law(valid={"temperature": (233.0, 473.0)})
def resistance_at(resistance_20: Scalar, alpha_20: Scalar, temperature: Scalar) -> Scalar:
    r"""Return a metal's resistance at its temperature from that at 20 °C.

    .. math:: R = R_{20}\,[1 + \alpha_{20}\,(T - 293.15)]

    Parameters
    ----------
    resistance_20
        At 20 °C. [Ω]
    alpha_20
        Temperature coefficient at 20 °C. [1/K]
    temperature
        Temperature of the metal. [K]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    Linear; good to about 200 °C.

    References
    ----------
    .. [1] IEC 60028:1925.

    Examples
    --------
    >>> round(resistance_at(1.0, 0.00393, 273.15 + 75.0), 4)
    1.2162
    """
    return resistance_20 * (1.0 + alpha_20 * (temperature - REFERENCE))


@law(valid={"one_way": (0.0, 1e4)})
def pair_resistance(one_way: Scalar, resistance_per_length: Scalar, alpha_20: Scalar, temperature: Scalar) -> Scalar:
    r"""Return the resistance of a pair of conductors, out and back.

    .. math:: R = 2 L r_{20}\,[1 + \alpha_{20}\,(T - 293.15)]

    Parameters
    ----------
    one_way
        Length of one conductor. [m]
    resistance_per_length
        Of one conductor at 20 °C. [Ω/m]
    alpha_20
        Temperature coefficient at 20 °C. [1/K]
    temperature
        Temperature of the metal. [K]

    Returns
    -------
    Scalar
        Resistance of both. [Ω]

    Notes
    -----
    Both ways are counted here, once.

    References
    ----------
    .. [1] IEC 60228 for the resistance for each length.

    Examples
    --------
    >>> round(pair_resistance(10.0, 3.30e-3, 0.00393, 293.15), 6)
    0.066
    """
    return resistance_at(2.0 * one_way * resistance_per_length, alpha_20, temperature)


@law(valid={"resistance": (0.0, 1e6)})
def voltage_drop(current: Scalar, resistance: Scalar) -> Scalar:
    r"""Return the volts a current leaves in a resistance.

    .. math:: V = I R

    Parameters
    ----------
    current
        Through it. [A]
    resistance
        At its temperature. [Ω]

    Returns
    -------
    Scalar
        Drop. [V]

    Notes
    -----
    Direct current.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> round(voltage_drop(40.0, 0.066), 6)
    2.64
    """
    return current * resistance


@law(valid={"resistance": (0.0, 1e6)})
def joule_loss(current: Scalar, resistance: Scalar) -> Scalar:
    r"""Return the heat of a current in a resistance.

    .. math:: P = I^2 R

    Parameters
    ----------
    current
        Through it. [A]
    resistance
        At its temperature. [Ω]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    For copper, strips, contacts and cells alike.

    References
    ----------
    .. [1] Joule's law.

    Examples
    --------
    >>> joule_loss(10.0, 0.5)
    50.0
    """
    return current**2 * resistance


@law(valid={"width": (1e-4, 1.0), "thickness": (1e-6, 0.1)})
def strip_resistance(
    length: Scalar,
    width: Scalar,
    thickness: Scalar,
    resistivity: Scalar,
    temperature_slope: Scalar,
    temperature: Scalar,
) -> Scalar:
    r"""Return the resistance of a strip between two cells.

    .. math:: R = \rho\,\frac{L}{w t}\,[1 + \alpha\,(T - 293.15)]

    Parameters
    ----------
    length
        Centre to centre of the two cells. [m]
    width
        Width of the strip. [m]
    thickness
        Thickness of all layers. [m]
    resistivity
        At 20 °C. [Ω·m]
    temperature_slope
        Temperature coefficient at 20 °C. [1/K]
    temperature
        Temperature of the metal. [K]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    Current taken as even over the width; welds come on top.

    References
    ----------
    .. [1] Definition of resistivity.

    Examples
    --------
    >>> round(1e3 * strip_resistance(0.022, 8e-3, 0.15e-3, 7.0e-8, 0.006, 293.15), 2)
    1.28
    """
    return resistance_at(resistivity * length / (width * thickness), temperature_slope, temperature)
