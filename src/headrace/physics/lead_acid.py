"""Lead-acid batteries: rest voltage, resistance, capacity in the cold. Discharge current is positive.

Rest voltage is read at the fill of the well next to the plates (``charge_wells``), so a loaded battery sinks and a
resting one climbs. A table of rest voltages over charge goes through ``cells.open_circuit_voltage``, warmth through
``cells.arrhenius_factor``.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.cells import REFERENCE
from headrace.physics.law import Scalar, law

WATER = 0.0180153  # kg/mol
DILUTE = -1.0  # logarithm of the molality below which the rest voltage goes on straight
LEAST_MOLALITY = 1e-4  # mol/kg, so that a dry well still has a logarithm
LEAST_FILL = 1e-4


@law(valid={"charge": (0.0, 1.0), "cells": (1.0, 400.0), "empty_voltage": (1.7, 2.1), "full_voltage": (1.9, 2.25)})
def lead_rest_voltage(charge: Scalar, cells: Scalar, empty_voltage: Scalar, full_voltage: Scalar) -> Scalar:
    r"""Return the rest voltage of a lead-acid battery, straight from empty to full.

    .. math:: U = n\,[U_e + z\,(U_f - U_e)]

    Parameters
    ----------
    charge
        Share of the charge left; of the available well's fill for a battery under load. [-]
    cells
        Cells in series; 6 in a 12 V battery. [-]
    empty_voltage
        Of a rested empty cell. [V]
    full_voltage
        Of a rested full cell, hours after the charger has gone. [V]

    Returns
    -------
    Scalar
        Rest voltage. [V]

    Notes
    -----
    Good for the upper three quarters; near empty the acid thins out and the voltage falls faster, see
    ``acid_rest_voltage``. Leaves out the surface charge that a charger leaves behind, 0.1 to 0.3 V on 12 V.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(lead_rest_voltage(0.5, 6.0, 1.967, 2.133), 2)
    12.3
    """
    return cells * (empty_voltage + charge * (full_voltage - empty_voltage))


@law(valid={"full_molality": (3.0, 10.0), "fill": (0.0, 1.0)})
def acid_molality(full_molality: Scalar, fill: Scalar) -> Scalar:
    r"""Return how strong the acid still is when a share of it is left.

    .. math:: m = \frac{m_f\,a}{1 + M_w m_f\,(1 - a)}

    Parameters
    ----------
    full_molality
        Sulphuric acid for each kilogram of water in the full battery; 6 is a relative density of about 1.27. [mol/kg]
    fill
        Share of the acid left. [-]

    Returns
    -------
    Scalar
        Molality. [mol/kg]

    Notes
    -----
    Each mole of acid that is used up leaves a mole of water. Counts fill from the last of the acid, which is more
    than what a rated discharge takes. Leaves out gassing and acid layered by height.

    References
    ----------
    .. [1] Balance of Pb + PbO2 + 2 H2SO4 = 2 PbSO4 + 2 H2O.

    Examples
    --------
    >>> round(acid_molality(6.0, 0.5), 2)
    2.85
    """
    return full_molality * fill / (1.0 + WATER * full_molality * (1.0 - fill))


@law(valid={"molality": (0.1, 10.0), "cells": (1.0, 400.0)})
def acid_rest_voltage(molality: Scalar, cells: Scalar) -> Scalar:
    r"""Return the rest voltage of a lead-acid battery from the strength of its acid.

    .. math:: U = n\,(1.9228 + 0.147519\,l + 0.063552\,l^2 + 0.073772\,l^3 + 0.033612\,l^4), \quad l = \lg m

    Parameters
    ----------
    molality
        Sulphuric acid for each kilogram of water, next to the plates. [mol/kg]
    cells
        Cells in series; 6 in a 12 V battery. [-]

    Returns
    -------
    Scalar
        Rest voltage. [V]

    Notes
    -----
    At 25 °C; 0.2 mV for each kelvin and cell are left out. Below 0.1 mol/kg the curve goes on straight over the
    logarithm, so that a well about to run dry pulls the voltage down and not up. One strength in the whole cell.

    References
    ----------
    .. [1] H. Bode, Lead-Acid Batteries, Wiley 1977 (the coefficients from memory).

    Examples
    --------
    >>> round(float(acid_rest_voltage(6.0, 6.0)), 2)
    12.74
    """
    told = np.log10(np.maximum(molality, LEAST_MOLALITY))
    lg = np.maximum(told, DILUTE)
    slope = 0.147519 + 2.0 * 0.063552 * DILUTE + 3.0 * 0.073772 * DILUTE**2 + 4.0 * 0.033612 * DILUTE**3
    polynomial = 1.9228 + lg * (0.147519 + lg * (0.063552 + lg * (0.073772 + lg * 0.033612)))
    voltage: Scalar = cells * (polynomial + slope * (told - lg))
    return voltage


@law(
    valid={
        "resistance_full": (1e-5, 10.0),
        "charge": (0.0, 1.0),
        "empty_factor": (1.0, 5.0),
        "age_factor": (1.0, 10.0),
        "cold_factor": (0.5, 5.0),
    },
)
def lead_resistance(
    resistance_full: Scalar, charge: Scalar, empty_factor: Scalar, age_factor: Scalar, cold_factor: Scalar
) -> Scalar:
    r"""Return the resistance of a lead-acid battery at its charge, age and temperature.

    .. math:: R = R_f\,[1 + (f_e - 1)(1 - z)]\,f_a\,f_c

    Parameters
    ----------
    resistance_full
        Full, new, at 25 °C. [Ω]
    charge
        Share of the charge left. [-]
    empty_factor
        Resistance empty over that full. [-]
    age_factor
        Resistance now over that when new. [-]
    cold_factor
        Resistance at its temperature over that at 25 °C, as from ``cells.arrhenius_factor``. [-]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    What a battery sags in the first seconds. The sag that grows over minutes comes from the available well, the
    steep end of a discharge from ``emptying_resistance``. Straight over charge: thinner acid conducts less.

    References
    ----------
    .. [1] Common practice, no source: 1.5 to 2 times empty, 2 to 3 times aged, 1.5 to 2 times at -10 °C.

    Examples
    --------
    >>> round(lead_resistance(0.006, 0.5, 1.8, 1.0, 1.0), 4)
    0.0084
    """
    return resistance_full * (1.0 + (empty_factor - 1.0) * (1.0 - charge)) * age_factor * cold_factor


@law(valid={"growth": (0.0, 1.0), "fill": (LEAST_FILL, 1.0)})
def emptying_resistance(growth: Scalar, fill: Scalar) -> Scalar:
    r"""Return the resistance that grows as the available well empties.

    .. math:: R_e = K\,\left(\frac{1}{a} - 1\right)

    Parameters
    ----------
    growth
        Resistance added when half the available well is gone. [Ω]
    fill
        Share of the available well that is full. [-]

    Returns
    -------
    Scalar
        Resistance beside that of the full battery. [Ω]

    Notes
    -----
    Held below a fill of 0.0001. It brings the end of discharge forward: fit it and the wells to one curve, or leave
    it zero and let wells from ratings end the discharge, or the limit of rate is counted twice.

    References
    ----------
    .. [1] C. M. Shepherd, J. Electrochem. Soc. 112 (1965) 657, with the fill of a well for that of the battery.

    Examples
    --------
    >>> emptying_resistance(0.002, 0.25)
    0.006
    """
    value = growth * (1.0 / np.maximum(fill, LEAST_FILL) - 1.0)
    return float(value) if np.ndim(value) == 0 else value


@law(valid={"rest_voltage": (1.0, 1000.0), "resistance": (0.0, 10.0), "growth": (0.0, 1.0), "fill": (LEAST_FILL, 1.0)})
def lead_terminal_voltage(
    rest_voltage: Scalar, current: Scalar, resistance: Scalar, growth: Scalar, fill: Scalar
) -> Scalar:
    r"""Return the voltage of a lead-acid battery under load.

    .. math:: V = U(a) - I\,\left[R + K\,\left(\frac{1}{a} - 1\right)\right]

    Parameters
    ----------
    rest_voltage
        Rest voltage at the fill of the available well, not at the charge of the whole battery. [V]
    current
        Drawn. [A]
    resistance
        Of the battery at its charge. [Ω]
    growth
        Resistance added when half the available well is gone. [Ω]
    fill
        Share of the available well that is full. [-]

    Returns
    -------
    Scalar
        Voltage at the posts. [V]

    Notes
    -----
    Discharge. On charge the voltage climbs to the gassing voltage near full, which this law does not know. Leaves out
    the dip of the first seconds of a discharge from full.

    References
    ----------
    .. [1] C. M. Shepherd, J. Electrochem. Soc. 112 (1965) 657, with the fill of a well for that of the battery.

    Examples
    --------
    >>> round(lead_terminal_voltage(12.2, 50.0, 0.008, 0.002, 0.5), 6)
    11.7
    """
    value = rest_voltage - current * (resistance + emptying_resistance(growth, fill))
    return float(value) if np.ndim(value) == 0 else value


@law(valid={"capacity_25": (1.0, 1e9), "cold_loss": (0.0, 0.015), "temperature": (248.0, 323.0)})
def lead_capacity_at(capacity_25: Scalar, cold_loss: Scalar, temperature: Scalar) -> Scalar:
    r"""Return the capacity of a lead-acid battery at its temperature.

    .. math:: Q = Q_{25}\,[1 - c\,(25 - t)], \quad t \le 25

    Parameters
    ----------
    capacity_25
        At 25 °C. [A·s]
    cold_loss
        Share lost for each kelvin below 25 °C. [1/K]
    temperature
        Of the battery. [K]

    Returns
    -------
    Scalar
        Capacity. [A·s]

    Notes
    -----
    No gain above 25 °C, where life is lost instead. What a cold battery loses to sag comes from its resistance. Thin
    acid freezes: an empty battery at -10 °C, a full one below -50 °C.

    References
    ----------
    .. [1] Common practice, no source: 0.6 to 1 % for each kelvin.

    Examples
    --------
    >>> round(float(lead_capacity_at(100.0, 0.008, 273.15)), 6)
    80.0
    """
    return capacity_25 * (1.0 - cold_loss * np.maximum(REFERENCE - temperature, 0.0))
