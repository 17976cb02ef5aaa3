"""Lithium cells: rest voltage, resistance, slow polarisation, charge and heat. Discharge current is positive."""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.physics.law import Scalar, law

GAS = 8.314462618  # J/(mol K)
REFERENCE = 298.15  # K to which cell data are referred
COLDEST = 263.15  # K below which the loss of capacity is held
EMPTY_SCALE = 0.08  # charge over which the rise towards empty falls by e


@law(valid={"temperature": (243.0, 343.0), "activation_energy": (0.0, 100e3)})
def arrhenius_factor(activation_energy: Scalar, temperature: Scalar) -> Scalar:
    r"""Return how a resistance grows in the cold, over that at 25 °C.

    .. math:: f = \exp\left[\frac{E_a}{R_g}\left(\frac{1}{T} - \frac{1}{298.15}\right)\right]

    Parameters
    ----------
    activation_energy
        Of the resistance as a whole. [J/mol]
    temperature
        Of the cell. [K]

    Returns
    -------
    Scalar
        Factor. [-]

    Notes
    -----
    One energy for the whole; the parts have 15 (electrolyte) to 60 kJ/mol (charge transfer).

    References
    ----------
    .. [1] Arrhenius; energies of the parts in Ecker et al., J. Electrochem. Soc. 162 (2015) A1836.

    Examples
    --------
    >>> round(float(arrhenius_factor(20e3, 273.15)), 1)
    2.1
    """
    factor: Scalar = np.exp(activation_energy / GAS * (1.0 / np.asarray(temperature) - 1.0 / REFERENCE))
    return factor


@law(valid={"charge": (0.0, 1.0), "empty_rise": (0.0, 6.0)})
def resistance_with_charge(resistance_half: Scalar, charge: Scalar, empty_rise: Scalar) -> Scalar:
    r"""Return a cell's resistance at a charge from that at half charge.

    .. math:: R = R_{50}\,\frac{1 + a\,e^{-z/0.08}}{1 + a\,e^{-0.5/0.08}}

    Parameters
    ----------
    resistance_half
        At half charge. [Ω]
    charge
        Share of the capacity left, 0 to 1. [-]
    empty_rise
        Growth towards empty. [-]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    Flat down to a fifth of the charge, then rising; the shape is a common fit, assumed. The pulses of one measured
    energy cell ask for a growth of 4 (docs/measured.md).

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(float(resistance_with_charge(0.020, 0.0, 0.6)), 4)
    0.032
    """
    rise = 1.0 + empty_rise * np.exp(-np.maximum(charge, 0.0) / EMPTY_SCALE)
    at_half = 1.0 + empty_rise * np.exp(-0.5 / EMPTY_SCALE)
    resistance: Scalar = resistance_half * rise / at_half
    return resistance


@law(valid={"charge": (0.0, 1.0)})
def open_circuit_voltage(charge: Scalar, table_charge: Any, table_volts: Any) -> Scalar:
    r"""Return the rest voltage of a cell, from its table.

    .. math:: U(z) = \text{straight lines between the table's points}

    Parameters
    ----------
    charge
        Share of the capacity left, 0 to 1. [-]
    table_charge
        Charges of the table, rising. [-]
    table_volts
        Rest voltages of the table. [V]

    Returns
    -------
    Scalar
        Rest voltage. [V]

    Notes
    -----
    Between points as coarse as the table; on iron phosphate straight lines hide the plateau's steps.

    References
    ----------
    .. [1] Tables and their sources in tables/ocv.csv.

    Examples
    --------
    >>> open_circuit_voltage(0.25, [0.0, 0.5, 1.0], [3.0, 3.6, 4.2])
    3.3
    """
    value = np.interp(charge, table_charge, table_volts)
    return float(value) if np.ndim(value) == 0 else value


@law(valid={"time_constant": (1e-3, 1e6)})
def rc_step(voltage: Scalar, current: Scalar, resistance: Scalar, time_constant: Scalar, seconds: Scalar) -> Scalar:
    r"""Return the voltage over an RC pair after a time of constant current.

    .. math:: v' = I R + (v - I R)\,e^{-t/\tau}

    Parameters
    ----------
    voltage
        Over the pair at the start. [V]
    current
        Through the cell. [A]
    resistance
        Of the pair. [Ω]
    time_constant
        Of the pair. [s]
    seconds
        Time step. [s]

    Returns
    -------
    Scalar
        Voltage over the pair. [V]

    Notes
    -----
    Exact while current and resistance stay.

    References
    ----------
    .. [1] Linear first-order equation.

    Examples
    --------
    >>> round(float(rc_step(0.0, 10.0, 0.01, 30.0, 30.0)), 4)
    0.0632
    """
    settled = current * resistance
    return settled + (voltage - settled) * np.exp(-seconds / time_constant)


@law(valid={"temperature": (243.0, 343.0)})
def capacity_at(capacity_25: Scalar, cold_loss: Scalar, temperature: Scalar) -> Scalar:
    r"""Return the capacity of a cell at its temperature.

    .. math:: Q = Q_{25}\,[1 - c\,(25 - t)], \quad -10 \le t \le 25

    Parameters
    ----------
    capacity_25
        At 25 °C. [A·s]
    cold_loss
        Share lost for each kelvin below 25 °C. [1/K]
    temperature
        Of the cell. [K]

    Returns
    -------
    Scalar
        Capacity. [A·s]

    Notes
    -----
    No gain above 25 °C; held below -10 °C. What the cut-off loses to sag comes from the resistance, not from
    here.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(float(capacity_at(100.0, 0.004, 273.15)), 6)
    90.0
    """
    cold = REFERENCE - np.clip(temperature, COLDEST, REFERENCE)
    return capacity_25 * (1.0 - cold_loss * cold)


@law(
    valid={"limit": (0.0, 1e4), "full_voltage": (0.0, 2000.0), "rest_voltage": (0.0, 2000.0), "resistance": (1e-6, 1e3)}
)
def charging_current(limit: Scalar, full_voltage: Scalar, rest_voltage: Scalar, resistance: Scalar) -> Scalar:
    r"""Return what a charger of constant current, then constant voltage, drives into a battery.

    .. math:: I = \max\Bigl(0,\ \min\Bigl(I_c,\ \frac{U_{full} - U}{R}\Bigr)\Bigr)

    Parameters
    ----------
    limit
        Current of the charger. [A]
    full_voltage
        It holds at the end. [V]
    rest_voltage
        Of the battery without current, as charged as it is. [V]
    resistance
        That answers at once. [Ω]

    Returns
    -------
    Scalar
        Current into the battery. [A]

    Notes
    -----
    The taper at the end comes of a rest voltage that rises towards the full one.

    References
    ----------
    .. [1] Constant current, constant voltage charging; Ohm's law.

    Examples
    --------
    >>> round(float(charging_current(5.0, 42.0, 41.9, 0.1)), 6)
    1.0
    """
    return np.maximum(0.0, np.minimum(limit, (full_voltage - rest_voltage) / resistance))


@law(valid={"capacity": (1.0, 1e9)})
def charge_change(current: Scalar, capacity: Scalar, seconds: Scalar) -> Scalar:
    r"""Return how far a current moves the charge of a cell.

    .. math:: \Delta z = -\frac{I t}{Q}

    Parameters
    ----------
    current
        Through the cell. [A]
    capacity
        At this temperature. [A·s]
    seconds
        Time step. [s]

    Returns
    -------
    Scalar
        Change, negative on discharge. [-]

    Notes
    -----
    Coulombs are kept: no rate effect here.

    References
    ----------
    .. [1] Conservation of charge.

    Examples
    --------
    >>> charge_change(2.0, 7200.0, 360.0)
    -0.1
    """
    return -current * seconds / capacity


@law(valid={})
def overpotential_loss(current: Scalar, voltage: Scalar) -> Scalar:
    r"""Return the power lost to a voltage that stands in the current's way.

    .. math:: P = I v

    Parameters
    ----------
    current
        Through the cell. [A]
    voltage
        Against the current. [V]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    For the slow part of a cell: partly heat now, partly heat later.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> overpotential_loss(10.0, 0.05)
    0.5
    """
    return current * voltage


@law(valid={"temperature": (243.0, 343.0)})
def bernardi_heat(
    current: Scalar, open_circuit: Scalar, terminal: Scalar, temperature: Scalar, entropy_slope: Scalar
) -> Scalar:
    r"""Return the heat a cell makes, reversible part included.

    .. math:: q = I\,(U - V) - I\,T\,\frac{dU}{dT}

    Parameters
    ----------
    current
        Through the cell. [A]
    open_circuit
        Rest voltage at this charge. [V]
    terminal
        Voltage at the terminals. [V]
    temperature
        Of the cell. [K]
    entropy_slope
        Change of the rest voltage with temperature. [V/K]

    Returns
    -------
    Scalar
        Heat. [W]

    Notes
    -----
    One temperature for the cell; heat of mixing left out. Below 1 C the reversible part is as large as the
    other.

    References
    ----------
    .. [1] Bernardi, Pawlikowski and Newman, J. Electrochem. Soc. 132 (1985) 5.

    Examples
    --------
    >>> round(bernardi_heat(3.4, 3.7, 3.618, 298.15, -2e-4), 2)
    0.48
    """
    return current * (open_circuit - terminal) - current * temperature * entropy_slope


@law(valid={"capacity": (1.0, 1e9), "rate": (0.0, 100.0)})
def rate_current(capacity: Scalar, rate: Scalar) -> Scalar:
    r"""Return the current that would empty a battery in an hour, or in a multiple of it.

    .. math:: I = \frac{m Q}{3600\ \mathrm{s}}

    Parameters
    ----------
    capacity
        Of the battery. [A·s]
    rate
        Of how often in an hour. [-]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    The standard writes it m It, the trade m C.

    References
    ----------
    .. [1] IEC 61960-3, reference test current.

    Examples
    --------
    >>> rate_current(9000.0, 0.2)
    0.5
    """
    return rate * capacity / 3600.0


@law(valid={"first_current": (0.0, 1e5), "second_current": (1e-3, 1e5)})
def dc_resistance(
    first_voltage: Scalar, first_current: Scalar, second_voltage: Scalar, second_current: Scalar
) -> Scalar:
    r"""Return the resistance of a battery from its volts under two loads, one right after the other.

    .. math:: R = \frac{U_1 - U_2}{I_2 - I_1}

    Parameters
    ----------
    first_voltage
        At the end of the light load. [V]
    first_current
        Of the light load; nothing for a rested battery. [A]
    second_voltage
        At the end of the heavy load. [V]
    second_current
        Of the heavy load. [A]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    The standard loads with 0.2 It for 10 s and then with 1 It for 1 s. The longer the second load, the more: what
    evens out slowly inside, and the charge drawn, count with it.

    References
    ----------
    .. [1] IEC 61960, clause 7.7.3, seen in a data sheet that names it.

    Examples
    --------
    >>> round(dc_resistance(3.700, 0.5, 3.640, 2.5), 6)
    0.03
    """
    return (first_voltage - second_voltage) / (second_current - first_current)
