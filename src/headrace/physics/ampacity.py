"""What a wire carries: its table's current between sizes and in other air, and how a changing current heats it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"value": (1e-12, 1e9), "low": (1e-12, 1e9), "high": (1e-12, 1e9)})
def power_between(value: Scalar, low: Scalar, high: Scalar, at_low: Scalar, at_high: Scalar) -> Scalar:
    r"""Return a quantity between two lines of a table, straight on paper with both scales logarithmic.

    .. math:: y = y_1 \left(\frac{x}{x_1}\right)^{n}, \quad n = \frac{\ln (y_2 / y_1)}{\ln (x_2 / x_1)}

    Parameters
    ----------
    value
        Where it is asked for. [any]
    low
        Of the line below, in the same unit. [any]
    high
        Of the line above. [any]
    at_low
        What the line below gives. [any]
    at_high
        What the line above gives. [any]

    Returns
    -------
    Scalar
        In the unit of the lines. [any]

    Notes
    -----
    Ampacities go nearly with a power of the size, and so do the times of a fuse with its current. Beyond the two lines
    the same power is carried on.

    References
    ----------
    .. [1] Geometry; that ampacities go with a power of the size is IEC 60364-5-52:2009, annex D.

    Examples
    --------
    Between 10 mm² (63 A) and 16 mm² (85 A), on a surface:

    >>> round(float(power_between(13.3, 10.0, 16.0, 63.0, 85.0)), 1)
    75.6
    """
    power = np.log(at_high / at_low) / np.log(high / low)
    return at_low * (value / low) ** power


@law(valid={"ambient": (213.0, 473.0), "insulation": (323.0, 533.0), "reference": (273.0, 373.0)})
def ambient_factor(ambient: Scalar, insulation: Scalar, reference: Scalar) -> Scalar:
    r"""Return what is left of a table's current in other air than the table's.

    .. math:: k = \sqrt{\frac{T_i - T_a}{T_i - T_r}}

    Parameters
    ----------
    ambient
        Of the air around the wire. [K]
    insulation
        Warmest that the insulation bears for long. [K]
    reference
        Air of the table. [K]

    Returns
    -------
    Scalar
        Factor on the table's current; above one in cooler air, 0 in air as warm as the insulation. [-]

    Notes
    -----
    The wire may warm by less, and its warmth goes with the square of the current. The factors that the standards print
    are this one, rounded.

    References
    ----------
    .. [1] NFPA 70 (NEC), 310.15(B), whose table of corrections it gives.

    Examples
    --------
    A wire for 75 °C in air of 40 °C, its table for 30 °C:

    >>> round(float(ambient_factor(313.15, 348.15, 303.15)), 2)
    0.88
    """
    return np.sqrt(np.maximum(insulation - ambient, 0.0) / (insulation - reference))


@law(valid={"factor": (0.0, 10.0)})
def ampacity_in(current: Scalar, factor: Scalar) -> Scalar:
    r"""Return the current a wire carries for long where it lies.

    .. math:: I_z = k I_t

    Parameters
    ----------
    current
        Of the table. [A]
    factor
        For the air around it. [-]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Wires bundled with others that are loaded carry less; that factor is not counted here.

    References
    ----------
    .. [1] IEC 60364-5-52:2009, 523.

    Examples
    --------
    >>> round(ampacity_in(63.0, 0.87), 1)
    54.8
    """
    return factor * current


@law(valid={"ampacity": (0.0, 1e4), "resistance": (1e-7, 1.0), "rise": (1.0, 300.0), "area": (1e-8, 1e-2)})
def wire_time_constant(
    ampacity: Scalar, resistance: Scalar, rise: Scalar, area: Scalar, density: Scalar, specific_heat: Scalar
) -> Scalar:
    r"""Return how fast a wire warms, from what a table lets it carry.

    .. math:: \tau = \frac{\rho c A\,\Delta T}{I_t^2 r}

    Parameters
    ----------
    ampacity
        Of the table, in its own air. [A]
    resistance
        Of one conductor at its warmest. [Ω/m]
    rise
        From the table's air to the warmest. [K]
    area
        Of metal. [m²]
    density
        Of the metal. [kg/m³]
    specific_heat
        Of the metal. [J/(kg·K)]

    Returns
    -------
    Scalar
        Time constant. [s]

    Notes
    -----
    The copper alone: its insulation makes it slower by half or so, which is left as a margin.

    References
    ----------
    .. [1] Heat balance at the table's current: loss of the metre of wire over its rise.

    Examples
    --------
    10 mm² on a surface, PVC at 70 °C:

    >>> round(wire_time_constant(63.0, 2.285e-3, 40.0, 10e-6, 8960.0, 385.0))
    152
    """
    return density * specific_heat * area * rise / (ampacity**2 * resistance)


@law(valid={"cycle": (0.0, 1e6)})
def heating_current(
    shares: Sequence[Scalar], currents: Sequence[Scalar], cycle: Scalar, time_constant: Scalar
) -> Scalar:
    r"""Return the steady current that makes something as warm as a cycle of currents does at its warmest instant.

    .. math:: I_h^2 = \max_k \frac{\sum_{j=0}^{n-1} I_{k-j}^2 (1 - e_{k-j}) \prod_{i=0}^{j-1} e_{k-i}}
        {1 - \prod_i e_i}, \quad e_i = \exp(-s_i t_c / \tau)

    Parameters
    ----------
    shares
        Of the cycle, of each state in the order they come. [-]
    currents
        In each state. [A]
    cycle
        In which every state comes up once. [s]
    time_constant
        Of what is heated. [s]

    Returns
    -------
    Scalar
        Between the root mean square of the cycle, when that is short, and the greatest current, when it is long. [A]

    Notes
    -----
    One body with one time constant, the cycle going round for ever.

    References
    ----------
    .. [1] Exact periodic solution of the heat balance of one body (derived).

    Examples
    --------
    60 A for a fifth of the time. In a cycle of a minute a wire of 150 s feels little more than the mean square, in one
    of an hour almost all of it:

    >>> round(float(heating_current([0.2, 0.8], [60.0, 0.0], 60.0, 150.0)), 1)
    29.0
    >>> round(float(heating_current([0.2, 0.8], [60.0, 0.0], 3600.0, 150.0)), 1)
    59.8
    """
    held = [np.exp(-share * cycle / time_constant) for share in shares]
    gained = [-np.expm1(-share * cycle / time_constant) for share in shares]
    whole = -np.expm1(-sum(share * cycle / time_constant for share in shares))
    warmest: Scalar = 0.0
    for last in range(len(held)):
        warm: Scalar = 0.0
        for step in range(last + 1 - len(held), last + 1):  # a negative place is that of the round before
            warm = warm * held[step] + gained[step] * currents[step] ** 2
        warmest = np.maximum(warmest, warm / whole)
    return np.sqrt(warmest)


@law(valid={"area": (1e-8, 1e-2), "row_area": (1e-8, 1e-2)})
def resistance_of_size(area: Scalar, row_area: Scalar, row_resistance: Scalar) -> Scalar:
    r"""Return the resistance of a metre of a size that stands in no table, by that of the nearest which does.

    .. math:: r = r_0 \frac{A_0}{A}

    Parameters
    ----------
    area
        Of metal. [m²]
    row_area
        Of the size in the table. [m²]
    row_resistance
        Of a metre of that. [Ω/m]

    Returns
    -------
    Scalar
        Of a metre. [Ω/m]

    Notes
    -----
    Same strands and same lay.

    References
    ----------
    .. [1] Definition of resistivity.

    Examples
    --------
    >>> round(1e3 * resistance_of_size(8.366e-6, 10e-6, 1.91e-3), 3)
    2.283
    """
    return row_resistance * row_area / area


@law(valid={"voltage": (1e-3, 1e4)})
def drop_share(drop: Scalar, voltage: Scalar) -> Scalar:
    r"""Return the part of a voltage that is left in a wire.

    .. math:: x = \Delta V / V

    Parameters
    ----------
    drop
        Over the wire, out and back. [V]
    voltage
        That it is held against. [V]

    Returns
    -------
    Scalar
        Part. [-]

    Notes
    -----
    The same share is a few tens of millivolts at 12 V, which lugs alone can spend.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(drop_share(1.44, 48.0), 3)
    0.03
    """
    return drop / voltage
