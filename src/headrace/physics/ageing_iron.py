"""How iron phosphate cells age lying and working: two published fits, good for ranking, off by half on another cell.

Beyond the conditions a fit was made on, its edge is held: nothing is extrapolated, least of all to charging in the
cold, which plates lithium and is in none of them. Nor is a knee: a cell may fail sooner than any of these says.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

GAS = 8.314462618  # J/(mol K)
REFERENCE = 298.15  # K
HOUR = 3_600.0  # s
LFP_SIZE = 2.2  # Ah, of the cell of Wang et al.
LFP_KEPT = (298.15, 333.15)  # K; below 25 °C the rate at 25 °C is held
LFP_WORKED = (288.15, 333.15)  # K, of Wang et al.
RATES = (0.5, 2.0, 6.0, 10.0)  # 1/h, of Wang et al.
FACTORS = (31_630.0, 21_681.0, 12_934.0, 15_512.0)  # per cent, at those rates


def _years(temperature: Scalar, energy: float, held: tuple[float, float]) -> Scalar:
    """Return how an ageing goes at a temperature, over that at 25 °C. [-]"""
    factor: Scalar = np.exp(-energy / GAS * (1.0 / np.clip(temperature, *held) - 1.0 / REFERENCE))
    return factor


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
    .. [1] Naumann et al., J. Energy Storage 17 (2018) 153, coefficients seen second-hand.

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
    .. [1] Naumann et al., J. Energy Storage 17 (2018) 153, coefficients seen second-hand.

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
    .. [1] Naumann et al., J. Power Sources 451 (2020) 227666, coefficients seen second-hand.

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
    .. [1] Naumann et al., J. Power Sources 451 (2020) 227666, coefficients seen second-hand.

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
