"""Inverters and other converters of constant power: their losses, and what a sagging source can feed.

The voltage of the source under such a load is ``converters.bus_voltage``, the power at which a cut-out opens
``converters.power_at_voltage`` and the most a source gives without one ``converters.most_power``.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from headrace.physics.converters import power_at_voltage
from headrace.physics.law import Scalar, law


class ThreeTerms(NamedTuple):
    """The loss of a converter as a polynomial of its output."""

    idle: Scalar  # W, whatever the load
    linear: Scalar  # W/W
    square: Scalar  # 1/W, of the volt-amperes squared


@law(valid={"idle": (0.0, 1000.0), "linear": (0.0, 0.5), "square": (0.0, 0.1)})
def inverter_loss(power: Scalar, apparent: Scalar, idle: Scalar, linear: Scalar, square: Scalar) -> Scalar:
    r"""Return the loss of an inverter or another converter.

    .. math:: P_v = p_0 + k_1 P + k_2 S^2

    Parameters
    ----------
    power
        Put out. [W]
    apparent
        Volt-amperes put out; the power itself for direct current or a power factor of 1. [VA]
    idle
        Taken without load. [W]
    linear
        Loss over power. [-]
    square
        Loss over volt-amperes squared. [1/W]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    The square is the resistance of its parts and goes with the current, so a load of poor power factor costs more
    than its watts tell. The idle loss runs all day unless the box is switched off.

    References
    ----------
    .. [1] Usual three-term fit of converter losses (common practice, no source).

    Examples
    --------
    >>> inverter_loss(800.0, 1000.0, 15.0, 0.05, 5e-5)
    105.0
    """
    return idle + linear * power + square * apparent**2


@law(valid={"power": (0.0, 1e6), "loss": (0.0, 1e6)})
def converter_efficiency(power: Scalar, loss: Scalar) -> Scalar:
    r"""Return the efficiency of a converter from its loss.

    .. math:: \eta = \frac{P}{P + P_v}

    Parameters
    ----------
    power
        Put out. [W]
    loss
        Turned into heat. [W]

    Returns
    -------
    Scalar
        Power out over power in; 0 without load. [-]

    Notes
    -----
    At one load. That at the mean load is not the mean over a day.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> float(converter_efficiency(900.0, 100.0))
    0.9
    """
    return power / np.maximum(power + loss, 1e-12)


@law(valid={"power": (0.0, 1e6), "efficiency": (1e-3, 1.0)})
def loss_at_efficiency(power: Scalar, efficiency: Scalar) -> Scalar:
    r"""Return the loss of a converter from its efficiency.

    .. math:: P_v = P\,(1/\eta - 1)

    Parameters
    ----------
    power
        Put out. [W]
    efficiency
        Power out over power in, at this load. [-]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    Without load the loss is none whatever the efficiency, so the idle loss must come from elsewhere.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(loss_at_efficiency(900.0, 0.9), 9)
    100.0
    """
    return power * (1.0 / efficiency - 1.0)


@law(
    valid={
        "rated_power": (1.0, 1e6),
        "rated_efficiency": (0.3, 1.0),
        "tenth_efficiency": (0.1, 1.0),
        "idle": (0.0, 1000.0),
    }
)
def three_terms(rated_power: Scalar, rated_efficiency: Scalar, tenth_efficiency: Scalar, idle: Scalar) -> ThreeTerms:
    r"""Return the three terms of a converter's loss from two efficiencies and its idle loss.

    .. math:: P_v(P_r) = P_r\,(1/\eta_r - 1), \quad P_v(P_r/10) = \tfrac{1}{10}\,P_r\,(1/\eta_{10} - 1)

    Parameters
    ----------
    rated_power
        Put out for long. [W]
    rated_efficiency
        At that power. [-]
    tenth_efficiency
        At a tenth of it. [-]
    idle
        Taken without load. [W]

    Returns
    -------
    ThreeTerms
        Idle loss, share of the power, share of its square. [W, -, 1/W]

    Notes
    -----
    Power factor of 1. A negative term says that the three numbers do not belong to one box: what a tenth of the load
    adds to the idle loss must lie between a hundredth and a tenth of what the whole load adds.

    References
    ----------
    .. [1] Two equations of ``inverter_loss`` for two unknowns.

    Examples
    --------
    >>> terms = three_terms(1000.0, 1.0 / 1.115, 1.0 / 1.205, 15.0)
    >>> round(terms.linear, 9), round(terms.square, 12)
    (0.05, 5e-05)
    """
    rated = loss_at_efficiency(rated_power, rated_efficiency) - idle
    tenth = loss_at_efficiency(rated_power, tenth_efficiency) - 10.0 * idle  # ten times what a tenth of the load adds
    square = (rated - tenth) / 0.9
    return ThreeTerms(idle, (rated - square) / rated_power, square / rated_power**2)


@law(valid={})
def measured_efficiency(load: Scalar, table_load: Any, table_efficiency: Any) -> Scalar:
    r"""Return the efficiency of a converter from a measured table.

    .. math:: \eta(P) = \text{straight lines between the table's points}

    Parameters
    ----------
    load
        Power put out, or its share of the rated power as the table has it. [W]
    table_load
        Loads of the table, rising. [W]
    table_efficiency
        Efficiencies of the table. [-]

    Returns
    -------
    Scalar
        Power out over power in. [-]

    Notes
    -----
    The ends of the table are held. Below its first point that flatters the converter, whose efficiency falls to
    nothing without load: use ``inverter_loss`` there.

    References
    ----------
    .. [1] Linear interpolation.

    Examples
    --------
    >>> import numpy as np
    >>> round(float(measured_efficiency(300.0, np.array([100.0, 500.0]), np.array([0.8, 0.9]))), 9)
    0.85
    """
    value: Scalar = np.interp(load, table_load, table_efficiency)
    return value


@law(valid={"open_voltage": (0.1, 2000.0), "source_resistance": (0.0, 1e3), "power": (0.0, 1e6)})
def constant_power_current(open_voltage: Scalar, source_resistance: Scalar, power: Scalar) -> Scalar:
    r"""Return the current that a load of constant power takes from a source with resistance.

    .. math:: I = \frac{2 P}{E + \sqrt{E^2 - 4 R P}}

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the load. [Ω]
    power
        Asked for at the load's input. [W]

    Returns
    -------
    Scalar
        The smaller of two currents; where the power is more than there is, the root's part is taken as nothing and
        the power is not met. [A]

    Notes
    -----
    Rises as the voltage falls, where a motor's falls with it. There is an operating point only while
    ``power_discriminant`` is not negative: ask it, this law gives no sign.

    References
    ----------
    .. [1] Quadratic of a source with resistance under constant power.

    Examples
    --------
    >>> float(constant_power_current(40.0, 0.1, 390.0))
    10.0
    """
    root = np.sqrt(np.maximum(power_discriminant(open_voltage, source_resistance, power), 0.0))
    return 2.0 * power / (open_voltage + root)


@law(valid={"open_voltage": (0.0, 2000.0), "source_resistance": (0.0, 1e3)})
def power_discriminant(open_voltage: Scalar, source_resistance: Scalar, power: Scalar) -> Scalar:
    r"""Return what tells whether a source can feed a constant power.

    .. math:: D = E^2 - 4 R P

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the load. [Ω]
    power
        Asked for at the load's input. [W]

    Returns
    -------
    Scalar
        Negative where there is no operating point. [V²]

    Notes
    -----
    Necessary, seldom enough: a cut-out opens long before, see ``most_power_above``.

    References
    ----------
    .. [1] As ``constant_power_current``.

    Examples
    --------
    >>> power_discriminant(10.0, 0.5, 60.0)
    -20.0
    """
    return open_voltage**2 - 4.0 * source_resistance * power


@law(valid={"open_voltage": (0.0, 2000.0), "source_resistance": (1e-9, 1e3), "cut_out": (0.0, 2000.0)})
def most_power_above(open_voltage: Scalar, source_resistance: Scalar, cut_out: Scalar) -> Scalar:
    r"""Return the most power a source gives without falling to a cut-out.

    .. math:: P = \frac{U\,(E - U)}{R}, \quad U = \max(V_c, E/2)

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the terminals the cut-out watches. [Ω]
    cut_out
        Voltage at which the load switches off. [V]

    Returns
    -------
    Scalar
        Power; 0 where the source rests below the cut-out. [W]

    Notes
    -----
    A cut-out below half the open voltage takes nothing away, since the source gives no more there than at half of it.
    The bound falls with the charge faster than the charge does, and with cold and age.

    References
    ----------
    .. [1] Kirchhoff's voltage law; maximum power transfer.

    Examples
    --------
    >>> float(most_power_above(24.0, 0.04, 21.0))
    1575.0
    >>> float(most_power_above(24.0, 0.04, 6.0))
    3600.0
    """
    held = np.maximum(cut_out, 0.5 * open_voltage)
    return np.maximum(power_at_voltage(open_voltage, source_resistance, held), 0.0)


@law(valid={"cut_out": (0.0, 2000.0), "source_resistance": (0.0, 1e3), "power": (0.0, 1e6)})
def least_open_voltage(cut_out: Scalar, source_resistance: Scalar, power: Scalar) -> Scalar:
    r"""Return the open voltage a source needs to feed a power above a cut-out.

    .. math:: E = U + \frac{R P}{U}, \quad U = \max\bigl(V_c, \sqrt{R P}\bigr)

    Parameters
    ----------
    cut_out
        Voltage at which the load switches off. [V]
    source_resistance
        Everything between the open voltage and the terminals the cut-out watches. [Ω]
    power
        Asked for at those terminals. [W]

    Returns
    -------
    Scalar
        Voltage without current; with the cell's curve it is the charge at which the job ends. [V]

    Notes
    -----
    The inverse of ``most_power_above``.

    References
    ----------
    .. [1] As ``most_power_above``.

    Examples
    --------
    >>> float(least_open_voltage(21.0, 0.04, 1575.0))
    24.0
    """
    drop = source_resistance * power
    held = np.maximum(cut_out, np.sqrt(drop))
    return held + drop / np.maximum(held, 1e-12)


@law(
    valid={
        "input_power": (0.0, 1e6),
        "idle": (0.0, 1000.0),
        "linear": (0.0, 0.5),
        "square": (0.0, 0.1),
        "power_factor": (0.05, 1.0),
    }
)
def most_output(input_power: Scalar, idle: Scalar, linear: Scalar, square: Scalar, power_factor: Scalar) -> Scalar:
    r"""Return the power a converter puts out for a power put in.

    .. math:: P + p_0 + k_1 P + k_2 (P / \cos\varphi)^2 = P_{in}

    Parameters
    ----------
    input_power
        Put in. [W]
    idle
        Taken without load. [W]
    linear
        Loss over power. [-]
    square
        Loss over volt-amperes squared. [1/W]
    power_factor
        Of the load. [-]

    Returns
    -------
    Scalar
        Put out; 0 where the idle loss takes all of it. [W]

    Notes
    -----
    With the most power of a source, what the load can have at most. The converter's own rating is another limit.

    References
    ----------
    .. [1] ``inverter_loss`` solved for the power.

    Examples
    --------
    >>> round(float(most_output(905.0, 15.0, 0.05, 5e-5, 0.8)), 6)
    800.0
    """
    spare = np.maximum(input_power - idle, 0.0)
    slope = 1.0 + linear
    return 2.0 * spare / (slope + np.sqrt(slope**2 + 4.0 * square * spare / power_factor**2))
