"""How far a driven shaft is inside its limits, as functions of its speed.

Each margin is positive where the speed can be held and negative where it cannot, and comes with its slope. Each is
(all but) concave in the speed, because torque asked for is convex in it; so Newton's method started at the fast end
walks down to the fast crossing and cannot jump to the slow, unstable one.

Slopes are with respect to speed; ``current`` is the motor current asked for at that speed.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms


@law(valid={"speed": (1e-6, 1e5)})
def current_asked(terms: TorqueTerms, speed: Scalar) -> tuple[Scalar, Scalar]:
    r"""Return the motor current that holds a speed, and its slope.

    .. math:: I = p/\omega + c + l\,\omega + s\,\omega^2, \quad I' = -p/\omega^2 + l + 2 s\,\omega

    Parameters
    ----------
    terms
        Torque terms at the motor shaft, friction included, divided by the motor constant. [W/(N·m/A), A, A·s, A·s²]
    speed
        Speed of the motor shaft, above zero. [rad/s]

    Returns
    -------
    tuple
        Current and its slope. [A, A·s/rad]

    Notes
    -----
    A permanent-magnet motor turns torque into current through one constant; saturation is left out.

    References
    ----------
    .. [1] Torque balance ke I = T(w) of a permanent-magnet motor.

    Examples
    --------
    >>> current_asked(TorqueTerms(3000.0, 5.0, 0.0, 0.0), 300.0)[0]
    15.0
    """
    inverse = 1.0 / speed
    falling = terms.power * inverse
    rising = terms.square * speed
    return falling + terms.constant + speed * (terms.linear + rising), terms.linear + 2.0 * rising - falling * inverse


@law(valid={"open_voltage": (0.0, 2000.0), "source_resistance": (0.0, 100.0)})
def voltage_margin(
    current: Scalar,
    current_slope: Scalar,
    needed: Scalar,
    needed_slope: Scalar,
    open_voltage: Scalar,
    source_resistance: Scalar,
    idle_power: Scalar,
) -> tuple[Scalar, Scalar]:
    r"""Return the volts left over at full duty, and their slope.

    .. math:: F = E - R\left(I + P_0/U\right) - U

    Parameters
    ----------
    current
        Motor current asked for. [A]
    current_slope
        Its slope. [A·s/rad]
    needed
        Volts needed at the controller's input at full duty, U. [V]
    needed_slope
        Its slope. [V·s/rad]
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the controller's input. [Ω]
    idle_power
        Power the controller takes for itself. [W]

    Returns
    -------
    tuple
        Margin and its slope. [V, V·s/rad]

    Notes
    -----
    Zero where a machine without any other limit settles. Multiplied out this is the power balance, so no root of a
    quadratic is needed at full duty.

    References
    ----------
    .. [1] Kirchhoff's voltage law round the loop of source, wiring, controller and motor.

    Examples
    --------
    >>> voltage_margin(10.0, 0.0, 38.0, 0.1, 40.0, 0.1, 0.0)[0]
    1.0
    """
    idle_current = idle_power / needed
    margin = open_voltage - source_resistance * (current + idle_current) - needed
    return margin, -source_resistance * (current_slope - idle_current * needed_slope / needed) - needed_slope


@law(valid={"battery_limit": (0.0, 1e5)})
def battery_margin(
    current: Scalar,
    current_slope: Scalar,
    needed: Scalar,
    needed_slope: Scalar,
    open_voltage: Scalar,
    source_resistance: Scalar,
    idle_power: Scalar,
    switching_share: Scalar,
    battery_limit: Scalar,
) -> tuple[Scalar, Scalar]:
    r"""Return the power left over at the battery's current limit, and its slope.

    .. math:: F = (E - R I_b)(I_b - k I) - P_0 - U I

    Parameters
    ----------
    current
        Motor current asked for. [A]
    current_slope
        Its slope. [A·s/rad]
    needed
        Volts needed at the controller's input at full duty, U. [V]
    needed_slope
        Its slope. [V·s/rad]
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the controller's input. [Ω]
    idle_power
        Power the controller takes for itself. [W]
    switching_share
        Switching loss over bus volts times motor amps, k. [-]
    battery_limit
        Largest current taken from the battery, below the one of most power. [A]

    Returns
    -------
    tuple
        Margin and its slope. [W, W·s/rad]

    Notes
    -----
    Battery amps are duty times motor amps: at low speed a controller can give many motor amps for few battery amps.

    References
    ----------
    .. [1] Power balance of a chopper; energy conservation.

    Examples
    --------
    >>> battery_margin(20.0, 0.0, 10.0, 0.1, 40.0, 0.0, 0.0, 0.0, 10.0)[0]
    200.0
    """
    bus = open_voltage - source_resistance * battery_limit
    margin = bus * (battery_limit - switching_share * current) - idle_power - needed * current
    return margin, -switching_share * bus * current_slope - needed_slope * current - needed * current_slope


@law(valid={"battery_limit": (0.0, 1e6)})
def standstill_current(
    open_voltage: Scalar,
    source_resistance: Scalar,
    motor_resistance: Scalar,
    brush_drop: Scalar,
    idle_power: Scalar,
    switching_share: Scalar,
    battery_limit: Scalar,
) -> Scalar:
    r"""Return the motor current of a shaft held still, at full duty or at the battery's limit.

    .. math:: R_m I^2 + (V_b + k U)\,I = U I_b - P_0, \quad U = E - R I_b

    At full duty :math:`E - R\,(I + P_0 / U) = U = R_m I + V_b`.

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the controller's input. [Ω]
    motor_resistance
        All that carries the motor's current. [Ω]
    brush_drop
        Over both brushes. [V]
    idle_power
        Power the controller takes for itself. [W]
    switching_share
        Switching loss over bus volts times motor amps. [-]
    battery_limit
        Largest current taken from the battery, not above the one of most power; inf without a limit. [A]

    Returns
    -------
    Scalar
        Current, not below zero. [A]

    Notes
    -----
    Held still, a motor needs few volts, so a few battery amps become many motor amps. A source too weak to give the
    current of full duty without sagging below half its volts gives the motor more through a chopper than at full duty.
    With the volts a turning motor makes added to the drop, the same is the most current at a speed.

    References
    ----------
    .. [1] Voltage balance at full duty, power balance of a chopper; energy conservation.

    Examples
    --------
    >>> round(float(standstill_current(40.0, 0.1, 0.1, 0.0, 0.0, 0.0, 10.0)), 1)
    62.4
    >>> round(float(standstill_current(40.0, 0.1, 0.1, 0.0, 0.0, 0.0, np.inf)), 1)
    200.0
    """
    both, own = motor_resistance + source_resistance, source_resistance * idle_power
    rising = open_voltage * motor_resistance + source_resistance * brush_drop
    volts = (rising + np.sqrt(np.maximum(rising**2 - 4.0 * both * own * motor_resistance, 0.0))) / (2.0 * both)
    at_full_duty = np.maximum((volts - brush_drop) / motor_resistance, 0.0)
    limited = np.isfinite(battery_limit)
    amps = np.where(limited, battery_limit, 0.0)
    bus = open_voltage - source_resistance * amps
    linear = brush_drop + switching_share * bus
    power = np.maximum(bus * amps - idle_power, 0.0)
    at_limit = 2.0 * power / np.maximum(linear + np.sqrt(linear**2 + 4.0 * motor_resistance * power), 1e-12)
    return np.where(limited & (at_full_duty > amps), at_limit, at_full_duty)
