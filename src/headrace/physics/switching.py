"""Switches, plugs and pins of a pack: what breaks, what carries, what a pin reads, what flows between two packs."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"length": (0.0, 400.0), "per_metre": (0.0, 1e-4)})
def loop_inductance(length: Scalar, per_metre: Scalar) -> Scalar:
    r"""Return the inductance of a pair of leads.

    .. math:: L = 2\,d\,l'

    Parameters
    ----------
    length
        One way. [m]
    per_metre
        Of one conductor beside the other. [H/m]

    Returns
    -------
    Scalar
        Inductance of the loop. [H]

    Notes
    -----
    Leads that run side by side have the least; two that go round a machine on both sides have several times as
    much.

    References
    ----------
    .. [1] Inductance of a pair of parallel wires, by the metre.

    Examples
    --------
    >>> loop_inductance(1.0, 1e-6)
    2e-06
    """
    return 2.0 * length * per_metre


@law(valid={"inductance": (0.0, 10.0), "resistance": (1e-6, 1e6)})
def inductive_time_constant(inductance: Scalar, resistance: Scalar) -> Scalar:
    r"""Return the time constant a switch for direct current has to break.

    .. math:: \tau = \frac{L}{R}

    Parameters
    ----------
    inductance
        Of the loop. [H]
    resistance
        Of the loop. [Ω]

    Returns
    -------
    Scalar
        Time constant of the current. [s]

    Notes
    -----
    Makers rate contacts for direct current up to some milliseconds of it; a motor's own winding behind a bare
    switch has more than leads have.

    References
    ----------
    .. [1] Loop equation of a resistance and an inductance.

    Examples
    --------
    >>> round(inductive_time_constant(2e-6, 0.05), 8)
    4e-05
    """
    return inductance / resistance


@law(valid={"inductance": (0.0, 10.0), "current": (0.0, 1e5)})
def magnetic_energy(inductance: Scalar, current: Scalar) -> Scalar:
    r"""Return the energy an opening contact has to burn up in its arc.

    .. math:: E = \tfrac{1}{2} L I^2

    Parameters
    ----------
    inductance
        Of the loop. [H]
    current
        At the moment of breaking. [A]

    Returns
    -------
    Scalar
        Energy. [J]

    Notes
    -----
    What the source goes on feeding into the arc comes on top, and above some 15 V it feeds as long as the gap is
    small.

    References
    ----------
    .. [1] Energy of an inductance.

    Examples
    --------
    >>> round(magnetic_energy(2e-6, 100.0), 4)
    0.01
    """
    return 0.5 * inductance * current**2


@law(valid={"rating": (0.0, 1e4), "share": (0.0, 1.0)})
def derated_current(rating: Scalar, share: Scalar) -> Scalar:
    r"""Return the amps a part may carry for hours.

    .. math:: I = s I_n

    Parameters
    ----------
    rating
        Printed on the part. [A]
    share
        Of it that is used for hours, in a warm box. [-]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Ratings are of new parts in free air with the largest wire that fits.

    References
    ----------
    .. [1] Usual practice of derating.

    Examples
    --------
    >>> derated_current(60.0, 0.8)
    48.0
    """
    return rating * share


@law(valid={})
def parallel_resistance(resistances: Sequence[Scalar]) -> Scalar:
    r"""Return the resistance of several side by side.

    .. math:: R = \Bigl(\sum_k \frac{1}{R_k}\Bigr)^{-1}

    Parameters
    ----------
    resistances
        Side by side. [Ω]

    Returns
    -------
    Scalar
        Resistance of all. [Ω]

    Notes
    -----
    Of one it is that one; beside nothing it is nothing.

    References
    ----------
    .. [1] Kirchhoff's laws.

    Examples
    --------
    >>> float(parallel_resistance([0.2, 0.2]))
    0.1
    """
    with np.errstate(divide="ignore"):
        return np.divide(1.0, sum(np.divide(1.0, resistance) for resistance in resistances))


@law(valid={"groups": (0.0, 400.0)})
def stack_voltage(groups: Scalar, volts: Scalar) -> Scalar:
    r"""Return the voltage of a pin of the sense plug against the pack's minus.

    .. math:: U_k = k\,u

    Parameters
    ----------
    groups
        In series below the pin. [-]
    volts
        Of one group. [V]

    Returns
    -------
    Scalar
        Voltage. [V]

    Notes
    -----
    All groups equal; two neighbouring pins never differ by more than a full cell.

    References
    ----------
    .. [1] Cells in series add.

    Examples
    --------
    >>> round(stack_voltage(3.0, 4.2), 1)
    12.6
    """
    return groups * volts


@law(valid={"first": (1e-6, 1e4), "second": (1e-6, 1e4)})
def equalising_current(gap: Scalar, first: Scalar, second: Scalar) -> Scalar:
    r"""Return the current between two packs that are joined side by side.

    .. math:: I = \frac{\Delta U}{R_1 + R_2}

    Parameters
    ----------
    gap
        Between the two at rest. [V]
    first
        Resistance of one. [Ω]
    second
        Of the other, leads and all. [Ω]

    Returns
    -------
    Scalar
        Current at the moment of joining, into the lower one. [A]

    Notes
    -----
    It falls as the gap closes, over minutes to hours; no board of either pack that only looks at discharge sees it.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> round(equalising_current(2.0, 0.05, 0.05), 6)
    20.0
    """
    return gap / (first + second)


@law(valid={"current": (0.0, 1e5)})
def allowed_gap(current: Scalar, first: Scalar, second: Scalar) -> Scalar:
    r"""Return the gap of volts at which two packs may be joined side by side.

    .. math:: \Delta U = I (R_1 + R_2)

    Parameters
    ----------
    current
        The lower pack may be charged with. [A]
    first
        Resistance of one. [Ω]
    second
        Of the other, leads and all. [Ω]

    Returns
    -------
    Scalar
        Greatest gap at rest. [V]

    Notes
    -----
    Packs of unlike chemistry or series count are never joined, whatever they read.

    References
    ----------
    .. [1] The law of the equalising current solved for the gap.

    Examples
    --------
    >>> round(allowed_gap(7.0, 0.05, 0.05), 3)
    0.7
    """
    return current * (first + second)
