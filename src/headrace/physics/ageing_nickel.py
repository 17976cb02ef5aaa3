"""How nickel-rich cells age lying and working: a published fit to one cell, good for ranking, off by half on another.

Beyond the conditions a fit was made on, its edge is held: nothing is extrapolated, least of all to charging in the
cold, which plates lithium and is in none of them. Nor is a knee: a cell may fail sooner than any of these says.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.physics.law import Scalar, law

DAY = 86_400.0  # s
NMC_SIZE = 2.15  # Ah, of the cell of Schmalstieg et al., to which throughputs are scaled
NMC_KEPT = (293.15, 323.15)  # K; tested at 35 to 50 °C, and a stretch of it to 20 °C


@law(valid={"volts": (3.3, 4.2), "temperature": NMC_KEPT})
def nmc_kept_fade(volts: Scalar, temperature: Scalar, seconds: Scalar) -> Scalar:
    r"""Return what a nickel-rich cell loses of its capacity lying about.

    .. math:: q = 10^6\,(7.543\,U - 23.75)\,e^{-6976/T}\,t^{0.75}, \quad t \text{ in days}

    Parameters
    ----------
    volts
        Rest voltage of the cell as it is kept. [V]
    temperature
        Of the cell as it is kept. [K]
    seconds
        Kept. [s]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    Held at 20 and at 50 °C; no loss below 3.15 V, where the fit turns negative.

    References
    ----------
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients seen second-hand, four copies agree.

    Examples
    --------
    A year at 25 °C and 3.7 V:

    >>> round(float(nmc_kept_fade(3.7, 298.15, 365 * 86400.0)), 3)
    0.024
    """
    warmth = np.exp(-6976.0 / np.clip(temperature, *NMC_KEPT))
    rate = 1e6 * np.maximum(7.543 * np.asarray(volts) - 23.75, 0.0) * warmth
    fade: Scalar = rate * (np.asarray(seconds) / DAY) ** 0.75
    return fade


@law(valid={"volts": (3.3, 4.2), "temperature": NMC_KEPT})
def nmc_kept_rise(volts: Scalar, temperature: Scalar, seconds: Scalar) -> Scalar:
    r"""Return by what share a nickel-rich cell's resistance grows lying about.

    .. math:: r = 10^5\,(5.270\,U - 16.32)\,e^{-5986/T}\,t^{0.75}, \quad t \text{ in days}

    Parameters
    ----------
    volts
        Rest voltage of the cell as it is kept. [V]
    temperature
        Of the cell as it is kept. [K]
    seconds
        Kept. [s]

    Returns
    -------
    Scalar
        Growth over the resistance of the new cell. [-]

    Notes
    -----
    Held at 20 and at 50 °C; no growth below 3.10 V, where the fit turns negative.

    References
    ----------
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients seen second-hand, four copies agree.

    Examples
    --------
    >>> round(float(nmc_kept_rise(3.7, 298.15, 365 * 86400.0)), 3)
    0.051
    """
    warmth = np.exp(-5986.0 / np.clip(temperature, *NMC_KEPT))
    rate = 1e5 * np.maximum(5.270 * np.asarray(volts) - 16.32, 0.0) * warmth
    rise: Scalar = rate * (np.asarray(seconds) / DAY) ** 0.75
    return rise


@law(valid={"mean_volts": (3.3, 4.2), "depth": (0.0, 1.0)})
def nmc_worked_fade(mean_volts: Scalar, depth: Scalar, cycles: Scalar) -> Scalar:
    r"""Return what a nickel-rich cell loses of its capacity at work.

    .. math:: q = \bigl[7.348\cdot10^{-3}(U_m - 3.667)^2 + 7.6\cdot10^{-4} + 4.081\cdot10^{-3}\Delta z\bigr]
        \sqrt{Q}, \quad Q = 2\cdot 2.15\,N \text{ Ah}

    Parameters
    ----------
    mean_volts
        Quadratic mean of the rest voltage over the cycle. [V]
    depth
        Of a cycle, share of the capacity. [-]
    cycles
        Full-cycle equivalents: charge given over the capacity. [-]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    Cycled at 35 °C and at the rate of one hour only: neither warmth nor rate is in it. Charge counts both ways.

    References
    ----------
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients seen second-hand, four copies agree.

    Examples
    --------
    500 full-cycle equivalents, 80 % deep, 3.70 V:

    >>> round(float(nmc_worked_fade(3.70, 0.8, 500.0)), 3)
    0.187
    """
    off = (np.asarray(mean_volts) - 3.667) ** 2
    fade: Scalar = (7.348e-3 * off + 7.6e-4 + 4.081e-3 * depth) * np.sqrt(2.0 * NMC_SIZE * np.asarray(cycles))
    return fade


@law(valid={"mean_volts": (3.3, 4.2), "depth": (0.0, 1.0)})
def nmc_worked_rise(mean_volts: Scalar, depth: Scalar, cycles: Scalar) -> Scalar:
    r"""Return by what share a nickel-rich cell's resistance grows at work.

    .. math:: r = \max\bigl(1.5\cdot10^{-5},
        \ 2.153\cdot10^{-4}(U_m - 3.725)^2 - 1.521\cdot10^{-5} + 2.798\cdot10^{-4}\Delta z\bigr)\,Q

    Parameters
    ----------
    mean_volts
        Quadratic mean of the rest voltage over the cycle. [V]
    depth
        Of a cycle, share of the capacity. [-]
    cycles
        Full-cycle equivalents: charge given over the capacity. [-]

    Returns
    -------
    Scalar
        Growth over the resistance of the new cell. [-]

    Notes
    -----
    As ``nmc_worked_fade``; the floor keeps shallow cycles from healing the cell.

    References
    ----------
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients seen second-hand, four copies agree.

    Examples
    --------
    >>> round(float(nmc_worked_rise(3.70, 0.8, 500.0)), 3)
    0.449
    """
    off = (np.asarray(mean_volts) - 3.725) ** 2
    rate = np.maximum(2.153e-4 * off - 1.521e-5 + 2.798e-4 * depth, 1.5e-5)
    rise: Scalar = rate * 2.0 * NMC_SIZE * np.asarray(cycles)
    return rise


@law(valid={"low": (0.0, 1.0), "high": (0.0, 1.0)})
def quadratic_mean_voltage(low: Scalar, high: Scalar, table_charge: Any, table_volts: Any) -> Scalar:
    r"""Return the quadratic mean of a cell's rest voltage over a cycle between two charges.

    .. math:: U_m = \sqrt{\frac{1}{z_2 - z_1}\int_{z_1}^{z_2} U^2\,dz}

    Parameters
    ----------
    low
        Charge at the end of the work. [-]
    high
        Charge at its start. [-]
    table_charge
        Charges of the table of rest voltages, rising. [-]
    table_volts
        Its rest voltages. [V]

    Returns
    -------
    Scalar
        Voltage. [V]

    Notes
    -----
    Hundred points between the two.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(float(quadratic_mean_voltage(0.0, 1.0, [0.0, 1.0], [3.0, 4.0])), 3)
    3.512
    """
    part = (np.arange(100) + 0.5) / 100.0
    bottom, top = np.asarray(low)[..., np.newaxis], np.asarray(high)[..., np.newaxis]
    volts = np.interp(bottom + part * (top - bottom), table_charge, table_volts)
    mean: Scalar = np.sqrt(np.mean(volts**2, axis=-1))
    return mean
