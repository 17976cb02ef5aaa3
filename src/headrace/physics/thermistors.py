"""Thermistors: what the sensor of a board or charger reads at a temperature of the cells."""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"temperature": (233.0, 398.0), "beta": (1000.0, 6000.0)})
def thermistor_resistance(resistance_25: Scalar, beta: Scalar, temperature: Scalar) -> Scalar:
    r"""Return the resistance of a thermistor that falls with its temperature, as a board senses cells by.

    .. math:: R = R_{25}\,\exp\left[B\left(\frac{1}{T} - \frac{1}{298.15}\right)\right]

    Parameters
    ----------
    resistance_25
        At 25 °C. [Ω]
    beta
        Of the thermistor, between 25 and 85 °C. [K]
    temperature
        Of the thermistor. [K]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    One exponent for all temperatures: at 0 °C some 5 % above the table of a usual part, which is 1 K.

    References
    ----------
    .. [1] Two-parameter model of the trade; a maker's table as quoted by a public copy.

    Examples
    --------
    What to set on a decade box to see a board lock out at 0 °C, in kΩ:

    >>> round(float(thermistor_resistance(10e3, 3435.0, 273.15)) / 1e3, 1)
    28.7
    """
    resistance: Scalar = resistance_25 * np.exp(beta * (1.0 / np.asarray(temperature) - 1.0 / 298.15))
    return resistance


@law(valid={"temperature": (233.0, 398.0)})
def thermistor_by_table(temperature: Scalar, known: Any, resistances: Any) -> Scalar:
    r"""Return the resistance of a thermistor by its maker's table, one exponent from each printed point to the next.

    .. math:: \ln R = \ln R_k + \left(\frac{1}{T} - \frac{1}{T_k}\right)
        \frac{\ln R_{k+1} - \ln R_k}{1/T_{k+1} - 1/T_k}

    Parameters
    ----------
    temperature
        Of the thermistor. [K]
    known
        Temperatures of the table, rising. [K]
    resistances
        Printed beside them, falling. [Ω]

    Returns
    -------
    Scalar
        Resistance; at the table's ends that of its ends. [Ω]

    Notes
    -----
    Gives the printed numbers at the printed points; in between the logarithm runs straight over 1/T, as the model of
    one exponent has it over the whole range.

    References
    ----------
    .. [1] Two-parameter model of the trade between neighbours; tables/thermistor.csv.

    Examples
    --------
    Half-way between 0 and 10 °C, in kΩ:

    >>> round(float(thermistor_by_table(278.15, [273.15, 283.15], [27280.0, 17960.0])) / 1e3, 2)
    22.05
    """
    over = -1.0 / np.asarray(known, dtype=float)  # rises with the temperature, as the reader of a curve wants it
    place = -1.0 / np.asarray(temperature, dtype=float)
    resistance: Scalar = np.exp(np.interp(place, over, np.log(np.asarray(resistances, dtype=float))))
    return resistance
