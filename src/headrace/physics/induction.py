"""Induction motors in brief: slip, breakdown, and what a plate says of the current."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"frequency": (0.0, 500.0), "pole_pairs": (1.0, 24.0)})
def synchronous_speed(frequency: Scalar, pole_pairs: Scalar) -> Scalar:
    r"""Return the speed of the turning field.

    .. math:: \omega_s = \frac{2 \pi f}{p}

    Parameters
    ----------
    frequency
        Of the supply. [Hz]
    pole_pairs
        Half the number of poles. [-]

    Returns
    -------
    Scalar
        Speed that a rotor without load would all but reach. [rad/s]

    Notes
    -----
    Exact. Two poles on 50 Hz are 3000 rev/min, four are 1500.

    References
    ----------
    .. [1] Definition; any text on alternating-current machines.

    Examples
    --------
    >>> round(synchronous_speed(50.0, 2.0), 2)
    157.08
    """
    return 2.0 * pi * frequency / pole_pairs


@law(valid={"synchronous": (1.0, 3200.0)})
def rotor_slip(synchronous: Scalar, speed: Scalar) -> Scalar:
    r"""Return the slip of a rotor behind its field.

    .. math:: s = \frac{\omega_s - \omega}{\omega_s}

    Parameters
    ----------
    synchronous
        Speed of the field. [rad/s]
    speed
        Speed of the shaft. [rad/s]

    Returns
    -------
    Scalar
        Slip: 0 with the field, 1 at standstill, negative where the shaft is driven. [-]

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> rotor_slip(150.0, 144.0)
    0.04
    """
    return (synchronous - speed) / synchronous


@law(valid={"synchronous": (0.0, 3200.0), "slip": (-1.0, 2.0)})
def slipping_speed(synchronous: Scalar, slip: Scalar) -> Scalar:
    r"""Return the speed of a rotor at a slip.

    .. math:: \omega = \omega_s\,(1 - s)

    Parameters
    ----------
    synchronous
        Speed of the field. [rad/s]
    slip
        Behind the field. [-]

    Returns
    -------
    Scalar
        Speed of the shaft. [rad/s]

    Notes
    -----
    The inverse of ``rotor_slip``.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> slipping_speed(150.0, 0.04)
    144.0
    """
    return synchronous * (1.0 - slip)


@law(valid={"slip": (-1.0, 2.0), "breakdown_torque": (0.0, 1e4), "breakdown_slip": (1e-3, 5.0)})
def torque_at_slip(slip: Scalar, breakdown_torque: Scalar, breakdown_slip: Scalar) -> Scalar:
    r"""Return the torque of an induction motor at a slip.

    .. math:: T = \frac{2\,T_k}{s/s_k + s_k/s}

    Parameters
    ----------
    slip
        Behind the field; 1 for the torque at standstill. [-]
    breakdown_torque
        The most torque it has on its voltage. [N·m]
    breakdown_slip
        Slip at that torque. [-]

    Returns
    -------
    Scalar
        Torque in the air gap. [N·m]

    Notes
    -----
    Kloss's formula: exact without resistance in the stator. Deep-bar and double cages have more torque at standstill,
    and a single-phase motor has none there without its auxiliary winding.

    References
    ----------
    .. [1] M. Kloss, Archiv für Elektrotechnik 5 (1916) 59 (from memory); any text on alternating-current machines.

    Examples
    --------
    >>> round(torque_at_slip(0.05, 10.0, 0.2), 3)
    4.706
    """
    return 2.0 * breakdown_torque * slip * breakdown_slip / (slip**2 + breakdown_slip**2)


@law(valid={"rated_slip": (1e-4, 0.5), "overload": (1.0, 10.0)})
def breakdown_slip(rated_slip: Scalar, overload: Scalar) -> Scalar:
    r"""Return the slip at breakdown from the rated point.

    .. math:: s_k = s_r\,\bigl(m + \sqrt{m^2 - 1}\bigr)

    Parameters
    ----------
    rated_slip
        Slip at rated torque. [-]
    overload
        Breakdown torque over rated torque. [-]

    Returns
    -------
    Scalar
        Slip at the most torque. [-]

    Notes
    -----
    ``torque_at_slip`` solved for it.

    References
    ----------
    .. [1] Kloss's formula at the rated point.

    Examples
    --------
    >>> round(float(breakdown_slip(0.05, 2.125)), 6)
    0.2
    """
    return rated_slip * (overload + np.sqrt(np.maximum(overload**2 - 1.0, 0.0)))


@law(valid={"breakdown_torque": (0.0, 1e4), "voltage": (0.0, 1000.0), "rated_voltage": (1.0, 1000.0)})
def sagged_breakdown(breakdown_torque: Scalar, voltage: Scalar, rated_voltage: Scalar) -> Scalar:
    r"""Return the breakdown torque on another voltage.

    .. math:: T_k' = T_k\,(V / V_r)^2

    Parameters
    ----------
    breakdown_torque
        On the rated voltage. [N·m]
    voltage
        At the terminals. [V]
    rated_voltage
        Of the plate. [V]

    Returns
    -------
    Scalar
        The most torque on that voltage. [N·m]

    Notes
    -----
    Same frequency; the slip at breakdown stays. Standstill torque goes the same way.

    References
    ----------
    .. [1] Flux in proportion to the voltage.

    Examples
    --------
    >>> round(sagged_breakdown(10.0, 207.0, 230.0), 6)
    8.1
    """
    return breakdown_torque * (voltage / rated_voltage) ** 2


@law(valid={"torque": (0.0, 1e4), "breakdown_torque": (1e-6, 1e4), "rated_voltage": (1.0, 1000.0)})
def stall_voltage(torque: Scalar, breakdown_torque: Scalar, rated_voltage: Scalar) -> Scalar:
    r"""Return the voltage below which an induction motor stalls under a torque.

    .. math:: V = V_r\,\sqrt{T / T_k}

    Parameters
    ----------
    torque
        In the air gap, the motor's own drag included. [N·m]
    breakdown_torque
        On the rated voltage. [N·m]
    rated_voltage
        Of the plate. [V]

    Returns
    -------
    Scalar
        Voltage at which the breakdown torque is that torque. [V]

    Notes
    -----
    A source that sags under the growing current of a slowing motor goes through this limit fast.

    References
    ----------
    .. [1] ``sagged_breakdown`` solved for the voltage.

    Examples
    --------
    >>> float(stall_voltage(4.0, 16.0, 230.0))
    115.0
    """
    return rated_voltage * np.sqrt(torque / breakdown_torque)


@law(valid={"torque": (0.0, 1e4), "breakdown_torque": (1e-6, 1e4), "breakdown_slip": (1e-3, 5.0)})
def slip_under_torque(torque: Scalar, breakdown_torque: Scalar, breakdown_slip: Scalar) -> Scalar:
    r"""Return the slip at which an induction motor runs under a torque.

    .. math:: s = \frac{s_k\,q}{1 + \sqrt{1 - q^2}}, \quad q = T / T_k

    Parameters
    ----------
    torque
        In the air gap, the motor's own drag included. [N·m]
    breakdown_torque
        The most torque on the voltage it has. [N·m]
    breakdown_slip
        Slip at that torque. [-]

    Returns
    -------
    Scalar
        Slip of the fast, steady side; 1 where the torque is more than it has and it comes to a stop. [-]

    Notes
    -----
    Kloss's formula solved for the smaller slip. Whether it stalls, the torques say: it does above the breakdown.

    References
    ----------
    .. [1] As ``torque_at_slip``.

    Examples
    --------
    >>> round(float(slip_under_torque(4.0, 8.5, 0.2)), 6)
    0.05
    >>> float(slip_under_torque(9.0, 8.5, 0.2))
    1.0
    """
    share = torque / breakdown_torque
    steady = breakdown_slip * share / (1.0 + np.sqrt(np.maximum(1.0 - share**2, 0.0)))
    return np.where(np.asarray(share) > 1.0, 1.0, steady)


@law(valid={"torque": (0.0, 1e4), "synchronous": (0.0, 3200.0)})
def gap_power(torque: Scalar, synchronous: Scalar) -> Scalar:
    r"""Return the power that passes the air gap of an induction motor.

    .. math:: P_\delta = T\,\omega_s

    Parameters
    ----------
    torque
        In the air gap. [N·m]
    synchronous
        Speed of the field. [rad/s]

    Returns
    -------
    Scalar
        Power into the rotor. [W]

    Notes
    -----
    Shaft, drag and rotor copper share it; stator copper and iron come on top.

    References
    ----------
    .. [1] Torque of the turning field.

    Examples
    --------
    >>> gap_power(5.0, 150.0)
    750.0
    """
    return torque * synchronous


@law(valid={"slip": (0.0, 2.0)})
def rotor_loss(gap_power: Scalar, slip: Scalar) -> Scalar:
    r"""Return the power an induction motor loses in its rotor's copper.

    .. math:: P = s\,P_\delta

    Parameters
    ----------
    gap_power
        Power into the rotor. [W]
    slip
        Behind the field. [-]

    Returns
    -------
    Scalar
        Power turned into heat in the rotor. [W]

    Notes
    -----
    Exact for one turning field; a single-phase motor has a second one that only heats. At standstill all of it.

    References
    ----------
    .. [1] Balance of powers of the rotor.

    Examples
    --------
    >>> rotor_loss(750.0, 0.04)
    30.0
    """
    return gap_power * slip


@law(valid={"voltage": (1.0, 1000.0), "power_factor": (0.05, 1.0)})
def single_phase_current(power: Scalar, voltage: Scalar, power_factor: Scalar) -> Scalar:
    r"""Return the current of a single-phase load.

    .. math:: I = \frac{P}{V \cos\varphi}

    Parameters
    ----------
    power
        Electric; shaft power over efficiency for a motor. [W]
    voltage
        Effective value. [V]
    power_factor
        Power over volt-amperes. [-]

    Returns
    -------
    Scalar
        Effective value. [A]

    Notes
    -----
    An inverter and its leads carry this current, not the power over the voltage.

    References
    ----------
    .. [1] Definition of the power factor.

    Examples
    --------
    >>> single_phase_current(920.0, 230.0, 0.8)
    5.0
    """
    return power / (voltage * power_factor)


@law(valid={"voltage": (1.0, 1000.0), "power_factor": (0.05, 1.0)})
def three_phase_current(power: Scalar, voltage: Scalar, power_factor: Scalar) -> Scalar:
    r"""Return the current in each line of a three-phase load.

    .. math:: I = \frac{P}{\sqrt{3}\,V \cos\varphi}

    Parameters
    ----------
    power
        Electric, of all three phases. [W]
    voltage
        Line to line, effective value. [V]
    power_factor
        Power over volt-amperes. [-]

    Returns
    -------
    Scalar
        Effective value. [A]

    Notes
    -----
    Balanced phases.

    References
    ----------
    .. [1] Definition of the power factor.

    Examples
    --------
    >>> round(three_phase_current(1385.64, 200.0, 0.8), 3)
    5.0
    """
    return power / (sqrt(3.0) * voltage * power_factor)


@law(valid={"multiple": (1.0, 15.0), "voltage": (0.0, 1000.0), "rated_voltage": (1.0, 1000.0)})
def induction_start_current(rated_current: Scalar, multiple: Scalar, voltage: Scalar, rated_voltage: Scalar) -> Scalar:
    r"""Return the current of an induction motor at standstill.

    .. math:: I = m\,I_r\,V / V_r

    Parameters
    ----------
    rated_current
        Of the plate. [A]
    multiple
        Start current over rated current on the rated voltage; 5 to 7 without a starter. [-]
    voltage
        At the terminals while starting. [V]
    rated_voltage
        Of the plate. [V]

    Returns
    -------
    Scalar
        Effective value. [A]

    Notes
    -----
    Leakage that saturates makes it fall a little faster than the voltage. Torque falls with the square, so a soft
    start or an inverter that sags buys little current with much torque; a frequency converter avoids both.

    References
    ----------
    .. [1] Impedance at standstill taken as constant (common practice, no source).

    Examples
    --------
    >>> induction_start_current(5.0, 6.0, 115.0, 230.0)
    15.0
    """
    return multiple * rated_current * voltage / rated_voltage


@law(valid={"slip": (0.0, 2.0), "start_current": (0.0, 1e4), "breakdown_slip": (1e-3, 5.0)})
def current_at_slip(slip: Scalar, start_current: Scalar, breakdown_slip: Scalar) -> Scalar:
    r"""Return the rotor's current at a slip, seen from the stator.

    .. math:: I = I_k\,\frac{s\,\sqrt{1 + s_k^2}}{\sqrt{s^2 + s_k^2}}

    Parameters
    ----------
    slip
        Of the rotor. [-]
    start_current
        At standstill, at the same voltage. [A]
    breakdown_slip
        Slip of the greatest torque. [-]

    Returns
    -------
    Scalar
        Effective value, without the magnetising current. [A]

    Notes
    -----
    The circle of currents that belongs to ``torque_at_slip``: torque times slip goes with the current squared. Real
    rotors crowd their current at standstill, so the start is less than a rotor of the same running slip would take.

    References
    ----------
    .. [1] Equivalent circuit without stator resistance: current from the rotor's resistance over slip and leakage.

    Examples
    --------
    >>> float(current_at_slip(1.0, 30.0, 0.2))
    30.0
    >>> round(float(current_at_slip(0.2, 30.0, 0.2)), 2)
    21.63
    """
    return start_current * slip * np.sqrt(1.0 + breakdown_slip**2) / np.sqrt(slip**2 + breakdown_slip**2)
