"""Short circuits and fuses: what flows, what melts, how warm the wire gets meanwhile."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

ICE = 273.15  # K at 0 °C, from which the constants of copper count
MIL = 2.54e-5  # m, a thousandth of an inch, in which the old formulas count


@law(valid={"resistance": (1e-9, 1e3)})
def short_circuit_current(open_voltage: Scalar, resistance: Scalar) -> Scalar:
    r"""Return the current of a source into a dead short.

    .. math:: I = E / R

    Parameters
    ----------
    open_voltage
        Of the source without current. [V]
    resistance
        Of everything in the loop that answers at once: cells, strips, joints, leads. [Ω]

    Returns
    -------
    Scalar
        Once the little inductance of the loop has let it rise, within a millisecond. [A]

    Notes
    -----
    The cells' resistance is that of the first instant; one that has settled, as read after ten seconds, is half as much
    again or more and gives too little current. Cells that are new, warm and full give most.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    Fourteen groups of 20 mΩ at 4.2 V each, 10 mΩ of leads:

    >>> round(short_circuit_current(58.8, 0.29), 1)
    202.8
    """
    return open_voltage / resistance


@law(valid={"start": (200.0, 1500.0), "end": (200.0, 1500.0)})
def adiabatic_factor(start: Scalar, end: Scalar, constant: Scalar, zero: Scalar) -> Scalar:
    r"""Return the factor k of a conductor: its current density times the root of the time it takes to warm.

    .. math:: k = K \sqrt{\ln \frac{\beta + \theta_f}{\beta + \theta_i}}

    Parameters
    ----------
    start
        Of the metal before. [K]
    end
        Of the metal when the current is cut. [K]
    constant
        K of the metal; copper 226e6. [A·s^0.5/m²]
    zero
        Below 0 °C, at which its resistance would be nothing; copper 234.5. [K]

    Returns
    -------
    Scalar
        Factor. [A·s^0.5/m²]

    Notes
    -----
    No heat leaves: right up to some five seconds, too strict beyond.

    References
    ----------
    .. [1] IEC 60949:1988, adiabatic method.

    Examples
    --------
    Copper in PVC, 70 to 160 °C:

    >>> round(1e-6 * float(adiabatic_factor(343.15, 433.15, 226e6, 234.5)))
    115
    """
    return constant * np.sqrt(np.log((zero + end - ICE) / (zero + start - ICE)))


@law(valid={"area": (1e-9, 1e-2), "factor": (1e6, 1e9)})
def withstand(area: Scalar, factor: Scalar) -> Scalar:
    r"""Return the integral of the square of the current that a conductor bears in a short circuit.

    .. math:: I^2 t = k^2 S^2

    Parameters
    ----------
    area
        Of metal. [m²]
    factor
        k of metal and insulation. [A·s^0.5/m²]

    Returns
    -------
    Scalar
        Most that the fuse may let through until it has opened. [A²·s]

    Notes
    -----
    Up to five seconds.

    References
    ----------
    .. [1] IEC 60364-4-43:2008, 434.5.2.

    Examples
    --------
    >>> round(withstand(2.5e-6, 115e6), 2)
    82656.25
    """
    return (factor * area) ** 2


@law(valid={"current": (0.0, 1e6), "time": (0.0, 1e5), "area": (1e-9, 1e-2), "start": (200.0, 1500.0)})
def adiabatic_temperature(
    current: Scalar, time: Scalar, area: Scalar, start: Scalar, constant: Scalar, zero: Scalar
) -> Scalar:
    r"""Return how warm a conductor is after a short circuit.

    .. math:: \theta_f = (\beta + \theta_i) \exp\frac{I^2 t}{K^2 S^2} - \beta

    Parameters
    ----------
    current
        Through it. [A]
    time
        Until it is cut. [s]
    area
        Of metal. [m²]
    start
        Of the metal before. [K]
    constant
        K of the metal. [A·s^0.5/m²]
    zero
        Below 0 °C, at which its resistance would be nothing. [K]

    Returns
    -------
    Scalar
        Of the metal when the current is cut; infinite past all sense. [K]

    Notes
    -----
    No heat leaves. Past 1083 °C the copper has melted.

    References
    ----------
    .. [1] IEC 60949:1988, solved for the temperature.

    Examples
    --------
    1000 A for a tenth of a second in 10 mm² that was at 40 °C:

    >>> round(float(adiabatic_temperature(1000.0, 0.1, 10e-6, 313.15, 226e6, 234.5)) - 273.15, 1)
    45.4
    """
    strain = current**2 * time / (constant * area) ** 2
    return (zero + start - ICE) * np.exp(np.minimum(strain, 700.0)) - zero + ICE


@law(valid={"area": (1e-9, 1e-2), "time": (1e-3, 10.0), "start": (200.0, 1300.0), "melts": (300.0, 4000.0)})
def onderdonk_current(area: Scalar, time: Scalar, start: Scalar, melts: Scalar) -> Scalar:
    r"""Return the current that melts a copper wire in a time.

    .. math:: I = A \sqrt{\frac{\log_{10}\left(1 + \frac{T_m - T_a}{234 + T_a}\right)}{33\,t}}

    Parameters
    ----------
    area
        Of metal; the formula counts in circular mils. [m²]
    time
        Until it melts. [s]
    start
        Of the wire before. [K]
    melts
        Melting point; copper 1356. [K]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    No heat leaves: up to some ten seconds. The ambient is added to 234; a copied worked page subtracts it and gives
    five in a hundred too much.

    References
    ----------
    .. [1] Onderdonk's equation, after Stauffacher, General Electric Review 31 (1928).

    Examples
    --------
    2581 circular mils, 25 °C, five seconds:

    >>> round(float(onderdonk_current(1.3078e-6, 5.0, 298.15, 1356.15)), 1)
    168.9
    """
    mils = area / (np.pi / 4.0 * MIL**2)
    return mils * np.sqrt(np.log10(1.0 + (melts - start) / (234.0 + start - ICE)) / (33.0 * time))


@law(valid={"diameter": (1e-5, 0.01)})
def preece_current(diameter: Scalar, constant: Scalar) -> Scalar:
    r"""Return the current at which a wire in still air melts in the end.

    .. math:: I = a\,d^{3/2}

    Parameters
    ----------
    diameter
        Of the bare wire. [m]
    constant
        Of the metal; for copper 10 244 A where the diameter counts in inches. [A/m^1.5]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    A thin bare wire in free air, held for minutes.

    References
    ----------
    .. [1] W. H. Preece, Proceedings of the Royal Society (1884 to 1888).

    Examples
    --------
    0.0524 inches:

    >>> round(preece_current(0.0524 * 0.0254, 10244.0 / 0.0254**1.5), 1)
    122.9
    """
    return constant * diameter**1.5


@law(valid={"rms": (0.0, 1e5), "peak": (0.0, 1e5), "margin": (1.0, 3.0)})
def least_fuse(rms: Scalar, peak: Scalar, margin: Scalar) -> Scalar:
    r"""Return the least rating of a fuse that carries a load for hours.

    .. math:: I_n = \max(m\,I_{rms}, \hat I)

    Parameters
    ----------
    rms
        Over the cycle of the job. [A]
    peak
        In the hardest state of it. [A]
    margin
        On what it carries for long, warm as it sits. [-]

    Returns
    -------
    Scalar
        Least rating. [A]

    Notes
    -----
    A fuse is held to carry its rating; what is above it for minutes it may open on.

    References
    ----------
    .. [1] Common practice for loads that last; no standard for machines of this kind.

    Examples
    --------
    >>> float(least_fuse(30.0, 36.0, 1.25))
    37.5
    """
    return np.maximum(margin * rms, peak)


@law(valid={"current": (0.0, 1e6), "time": (0.0, 1e5), "rating": (1e-3, 1e5), "melting": (1e-3, 1e3)})
def start_strain(current: Scalar, time: Scalar, rating: Scalar, melting: Scalar) -> Scalar:
    r"""Return how far a pulse of current brings a fuse towards melting.

    .. math:: x = \frac{I^2 t}{m\,I_n^2} \quad \text{for } I > I_n, \text{ else } 0

    Parameters
    ----------
    current
        Greatest on the way. [A]
    time
        It lasts. [s]
    rating
        Of the fuse. [A]
    melting
        Its melting integral over the square of its rating. [s]

    Returns
    -------
    Scalar
        Part of what melts it. [-]

    Notes
    -----
    The greatest current taken as lasting all the time is more than the true integral. Below its rating a fuse never
    melts.

    References
    ----------
    .. [1] The melting integral of a data sheet; that pulses keep to half or two thirds of it is common practice.

    Examples
    --------
    60 A for half a second are 1800 A²s; a quick 40 A fuse melts at 3300:

    >>> round(float(start_strain(60.0, 0.5, 40.0, 2.0625)), 2)
    0.55
    """
    return np.where(np.asarray(current) > rating, current**2 * time / (melting * rating**2), 0.0)


@law(valid={"current": (0.0, 1e6), "rating": (1e-3, 1e5)})
def overload(current: Scalar, rating: Scalar) -> Scalar:
    r"""Return a current as a multiple of a fuse's rating.

    .. math:: x = I / I_n

    Parameters
    ----------
    current
        Through it. [A]
    rating
        Of the fuse. [A]

    Returns
    -------
    Scalar
        Multiple. [-]

    Notes
    -----
    By which the curve of a fuse is read.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> overload(80.0, 40.0)
    2.0
    """
    return current / rating


@law(valid={"multiple": (0.0, 1e6), "last": (1.0, 100.0)})
def time_past_curve(multiple: Scalar, last: Scalar, at_last: Scalar) -> Scalar:
    r"""Return the longest time a fuse takes beyond the end of its curve.

    .. math:: t = t_1 (x_1 / x)^2

    Parameters
    ----------
    multiple
        Of the rating. [-]
    last
        Multiple at which the curve ends. [-]
    at_last
        Longest time there. [s]

    Returns
    -------
    Scalar
        Longest time. [s]

    Notes
    -----
    The same integral of the square of the current: no heat leaves in so short a time. A breaking arc adds to it.

    References
    ----------
    .. [1] IEC 60269-1, constancy of the melting integral in short times.

    Examples
    --------
    >>> time_past_curve(12.0, 6.0, 1.0)
    0.25
    """
    return at_last * (last / multiple) ** 2


@law(valid={"integral": (0.0, 1e12), "rating": (1e-3, 1e5)})
def melting_time(integral: Scalar, rating: Scalar) -> Scalar:
    r"""Return a fuse's melting integral over the square of its rating.

    .. math:: m = \frac{\int I^2 dt}{I_n^2}

    Parameters
    ----------
    integral
        That melts it in a short time. [A²·s]
    rating
        Of the same fuse. [A]

    Returns
    -------
    Scalar
        Nearly the same for all fuses of a kind. [s]

    Notes
    -----
    Taken from one rating to another: good for a factor of two or three in rating.

    References
    ----------
    .. [1] Definition; element areas go with the rating.

    Examples
    --------
    >>> melting_time(3300.0, 40.0)
    2.0625
    """
    return integral / rating**2
