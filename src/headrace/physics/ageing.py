"""How cells age lying and working: published fits to a few cells, good for ranking, off by half on another cell.

Beyond the conditions a fit was made on, its edge is held: nothing is extrapolated, least of all to charging in the
cold, which plates lithium and is in none of them. Nor is a knee: a cell may fail sooner than any of these says.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.physics.law import Scalar, law

GAS = 8.314462618  # J/(mol K)
REFERENCE = 298.15  # K
DAY = 86_400.0  # s
HOUR = 3_600.0  # s
YEAR = 31_557_600.0  # s
LOST = 0.2  # of the capacity, by the end of a life as the trade states it
NMC_SIZE = 2.15  # Ah, of the cell of Schmalstieg et al., to which throughputs are scaled
LFP_SIZE = 2.2  # Ah, of the cell of Wang et al.
NMC_KEPT = (293.15, 323.15)  # K; tested at 35 to 50 °C, and a stretch of it to 20 °C
LFP_KEPT = (298.15, 333.15)  # K; below 25 °C the rate at 25 °C is held
LFP_WORKED = (288.15, 333.15)  # K, of Wang et al.
RATES = (0.5, 2.0, 6.0, 10.0)  # 1/h, of Wang et al.
FACTORS = (31_630.0, 21_681.0, 12_934.0, 15_512.0)  # per cent, at those rates


def _years(temperature: Scalar, energy: float, held: tuple[float, float]) -> Scalar:
    """Return how an ageing goes at a temperature, over that at 25 °C. [-]"""
    factor: Scalar = np.exp(-energy / GAS * (1.0 / np.clip(temperature, *held) - 1.0 / REFERENCE))
    return factor


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
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients as four public ports have them.

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
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients as four public ports have them.

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
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients as four public ports have them.

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
    .. [1] Schmalstieg et al., J. Power Sources 257 (2014) 325, coefficients as four public ports have them.

    Examples
    --------
    >>> round(float(nmc_worked_rise(3.70, 0.8, 500.0)), 3)
    0.449
    """
    off = (np.asarray(mean_volts) - 3.725) ** 2
    rate = np.maximum(2.153e-4 * off - 1.521e-5 + 2.798e-4 * depth, 1.5e-5)
    rise: Scalar = rate * 2.0 * NMC_SIZE * np.asarray(cycles)
    return rise


@law(valid={"charge": (0.0, 1.0), "temperature": LFP_KEPT})
def lfp_kept_fade(charge: Scalar, temperature: Scalar, seconds: Scalar) -> Scalar:
    r"""Return what an iron phosphate cell loses of its capacity lying about.

    .. math:: q = 1.2571\cdot10^{-5}\,e^{-\frac{17126}{R}(1/T - 1/298.15)}\,[2.8575(z - 0.5)^3 + 0.60225]\sqrt{t}

    Parameters
    ----------
    charge
        It is kept at. [-]
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
    Below 25 °C the rate at 25 °C is held: nobody validated it there.

    References
    ----------
    .. [1] Naumann et al., J. Energy Storage 17 (2018) 153, coefficients as public ports have them.

    Examples
    --------
    A year at 25 °C, half full:

    >>> round(float(lfp_kept_fade(0.5, 298.15, 365 * 86400.0)), 3)
    0.043
    """
    shape = 2.8575 * (np.asarray(charge) - 0.5) ** 3 + 0.60225
    fade: Scalar = 1.2571e-5 * _years(temperature, 17126.0, LFP_KEPT) * shape * np.sqrt(seconds)
    return fade


@law(valid={"charge": (0.0, 1.0), "temperature": LFP_KEPT})
def lfp_kept_rise(charge: Scalar, temperature: Scalar, seconds: Scalar) -> Scalar:
    r"""Return by what share an iron phosphate cell's resistance grows lying about.

    .. math:: r = 3.4194\cdot10^{-10}\,e^{-\frac{71827}{R}(1/T - 1/298.15)}\,[-3.3903(z - 0.5)^2 + 1.5604]\,t

    Parameters
    ----------
    charge
        It is kept at. [-]
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
    The exponent of the charge is 2 in the authors' own code; one public copy has 3.

    References
    ----------
    .. [1] Naumann et al., J. Energy Storage 17 (2018) 153, coefficients as public ports have them.

    Examples
    --------
    >>> round(float(lfp_kept_rise(0.5, 298.15, 365 * 86400.0)), 3)
    0.017
    """
    shape = 1.5604 - 3.3903 * (np.asarray(charge) - 0.5) ** 2
    rise: Scalar = 3.4194e-10 * _years(temperature, 71827.0, LFP_KEPT) * shape * np.asarray(seconds)
    return rise


@law(valid={"rate": (5.5e-5, 2.8e-4), "depth": (0.0, 1.0)})
def lfp_worked_fade(rate: Scalar, depth: Scalar, cycles: Scalar) -> Scalar:
    r"""Return what an iron phosphate cell loses of its capacity at work, beside what it loses lying about.

    .. math:: q = \tfrac{1}{100}(0.0630\,c + 0.0971)\,[4.0253(\Delta z - 0.6)^3 + 1.0923]\sqrt{N},
        \quad c \text{ in 1/h}

    Parameters
    ----------
    rate
        Current over the capacity. [1/s]
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
    Cycled at 25 and 45 °C, at rates of 5 h to 1 h; a quicker rate is taken as one of an hour.

    References
    ----------
    .. [1] Naumann et al., J. Power Sources 451 (2020) 227666, coefficients as public ports have them.

    Examples
    --------
    500 full-cycle equivalents, 1 h, 80 % deep:

    >>> round(float(lfp_worked_fade(1 / 3600, 0.8, 500.0)), 3)
    0.04
    """
    hourly = np.clip(np.asarray(rate) * HOUR, 0.2, 1.0)
    shape = 4.0253 * (np.asarray(depth) - 0.6) ** 3 + 1.0923
    fade: Scalar = 0.01 * (0.0630 * hourly + 0.0971) * shape * np.sqrt(cycles)
    return fade


@law(valid={"rate": (5.5e-5, 2.8e-4), "depth": (0.0, 1.0)})
def lfp_worked_rise(rate: Scalar, depth: Scalar, cycles: Scalar) -> Scalar:
    r"""Return by what share an iron phosphate cell's resistance grows at work.

    .. math:: r = \tfrac{1}{100}\max(0.0005,\ 0.0021 - 0.0020\,c)\,[6.8477(\Delta z - 0.5)^3 + 0.9182]\,N,
        \quad c \text{ in 1/h}

    Parameters
    ----------
    rate
        Current over the capacity. [1/s]
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
    The fit turns negative above 1.05 to the hour, as if quick work healed the cell: it is held above nothing.

    References
    ----------
    .. [1] Naumann et al., J. Power Sources 451 (2020) 227666, coefficients as public ports have them.

    Examples
    --------
    500 full-cycle equivalents, 2 h, 80 % deep:

    >>> round(float(lfp_worked_rise(0.5 / 3600, 0.8, 500.0)), 4)
    0.0061
    """
    hourly = np.asarray(rate) * HOUR
    shape = 6.8477 * (np.asarray(depth) - 0.5) ** 3 + 0.9182
    rise: Scalar = 0.01 * np.maximum(0.0021 - 0.0020 * hourly, 0.0005) * shape * np.asarray(cycles)
    return rise


@law(valid={"rate": (1.38e-4, 2.78e-3), "temperature": LFP_WORKED})
def lfp_quick_fade(rate: Scalar, temperature: Scalar, cycles: Scalar) -> Scalar:
    r"""Return what an iron phosphate power cell loses of its capacity at work, quick work included.

    .. math:: q = \tfrac{B(c)}{100}\,e^{-\frac{31700 - 370.3\,c}{R T}}\,Q^{0.55},
        \quad Q = 2.2\,N \text{ Ah}, c \text{ in 1/h}

    Parameters
    ----------
    rate
        Current over the capacity. [1/s]
    temperature
        Of the cell as it is kept. [K]
    cycles
        Full-cycle equivalents: charge given over the capacity. [-]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    Charge counts one way here. Between the rates tested ln B is taken straight; slower than 2 h is held.

    References
    ----------
    .. [1] Wang et al., J. Power Sources 196 (2011) 3942; two of the four factors are from memory.

    Examples
    --------
    1000 cycles of 90 % at 25 °C, 2 h:

    >>> round(float(lfp_quick_fade(0.5 / 3600, 298.15, 900.0)), 3)
    0.062
    """
    hourly = np.clip(np.asarray(rate) * HOUR, RATES[0], RATES[-1])
    factor = np.exp(np.interp(hourly, RATES, np.log(FACTORS)))
    warmth = np.exp((370.3 * hourly - 31_700.0) / (GAS * np.clip(temperature, *LFP_WORKED)))
    fade: Scalar = 0.01 * factor * warmth * (LFP_SIZE * np.asarray(cycles)) ** 0.55
    return fade


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


@law(valid={"stated": (1.0, 1e6)})
def stated_fade(spent: Scalar, stated: Scalar) -> Scalar:
    r"""Return what a cell loses of its capacity that is known by a stated number of cycles, or years, only.

    .. math:: q = 0.2\,\frac{N}{N_{stated}}

    Parameters
    ----------
    spent
        Full-cycle equivalents, or years. [-]
    stated
        Of them, stated for its life, down to four fifths of its capacity. [-]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    A straight line in place of a model; cycles and years are added.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(stated_fade(200.0, 400.0), 3)
    0.1
    """
    return LOST * spent / stated


@law(valid={"spread": (0.1, 10.0)})
def capacity_left(kept: Scalar, worked: Scalar, spread: Scalar) -> Scalar:
    r"""Return what is left of a cell's capacity.

    .. math:: q = \max\bigl(0,\ 1 - k\,(q_{kept} + q_{worked})\bigr)

    Parameters
    ----------
    kept
        Lost lying about. [-]
    worked
        Lost at work. [-]
    spread
        How much quicker this cell ages than that of the fit. [-]

    Returns
    -------
    Scalar
        Share of the capacity of the new cell. [-]

    Notes
    -----
    Both parts added, as the fits are made.

    References
    ----------
    .. [1] Definition; the spread of another cell is common practice, no source.

    Examples
    --------
    >>> round(float(capacity_left(0.02, 0.08, 1.0)), 3)
    0.9
    """
    return np.maximum(0.0, 1.0 - spread * (kept + worked))


@law(valid={"spread": (0.1, 10.0)})
def resistance_grown(kept: Scalar, worked: Scalar, spread: Scalar) -> Scalar:
    r"""Return what a cell's resistance has grown to.

    .. math:: r = 1 + k\,(r_{kept} + r_{worked})

    Parameters
    ----------
    kept
        Growth lying about. [-]
    worked
        Growth at work. [-]
    spread
        How much quicker this cell ages than that of the fit. [-]

    Returns
    -------
    Scalar
        Over the resistance of the new cell. [-]

    Notes
    -----
    Both parts added, as the fits are made.

    References
    ----------
    .. [1] Definition; the spread of another cell is common practice, no source.

    Examples
    --------
    >>> round(resistance_grown(0.05, 0.15, 1.0), 3)
    1.2
    """
    return 1.0 + spread * (kept + worked)


@law(valid={"years": (0.0, 100.0)})
def time_of_years(years: Scalar) -> Scalar:
    r"""Return how long some years are.

    .. math:: t = 31\,557\,600\,n

    Parameters
    ----------
    years
        How many. [-]

    Returns
    -------
    Scalar
        Time. [s]

    Notes
    -----
    Of 365 days and a quarter.

    References
    ----------
    .. [1] Julian year, by definition.

    Examples
    --------
    >>> time_of_years(2.0)
    63115200.0
    """
    return years * YEAR


@law(valid={"jobs": (0.0, 1e4), "cycles": (1.0, 1e6), "years": (0.1, 100.0)})
def stated_life(jobs: Scalar, cycles: Scalar, years: Scalar) -> Scalar:
    r"""Return how many years a battery lasts that is stated to last some cycles, or some years lying about.

    .. math:: n = \frac{1}{N/N_{stated} + 1/n_{stated}}

    Parameters
    ----------
    jobs
        In a year, each as deep as the cycles stated. [-]
    cycles
        Stated for its life. [-]
    years
        Stated lying about. [-]

    Returns
    -------
    Scalar
        Years. [-]

    Notes
    -----
    Both wear it at once, each in a straight line.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(stated_life(35.0, 350.0, 10.0), 6)
    5.0
    """
    return 1.0 / (jobs / cycles + 1.0 / years)
