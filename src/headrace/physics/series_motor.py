"""Series (universal) motors: the current makes the field, on direct current or on the mains.

Field and armature carry one current, so flux grows with it until the iron is full. Resistance is that of both windings
at their temperature. Volts and amps are effective values; direct current is the case without reactance. Torque at a
current is ``motors.airgap_torque`` and volts in phase with it are ``motors.motor_voltage``, both with the constant
that ``series_constant`` gives at that current.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from headrace.physics.law import Scalar, law
from headrace.physics.starting import locked_rotor_current
from headrace.physics.torque_terms import TorqueTerms

CURRENT_ROUNDS = 6  # from the bound of ``_upper`` Halley's fourth step gives the last bit; near saturation the sixth
LEAST = 1e-300  # to divide by
SPEED_ROUNDS = 25  # fifteen give twelve digits from any start


class SeriesMotor(NamedTuple):
    """The windings and the iron of a series motor; floats or lanes."""

    resistance: Scalar  # ohm, field and armature, hot
    reactance: Scalar  # ohm, field and armature, 0 on direct current
    constant: Scalar  # V s/rad, with the iron full
    saturation_current: Scalar  # A
    iron: Scalar  # W/V2, iron loss over back voltage squared


def _rising_root(function: Callable[[Any], tuple[Any, Any]], low: Any, high: Any, start: Any, rounds: int) -> Any:
    """Return where a rising function is zero: Newton's steps, halving where one would leave the bracket."""
    at = start
    for _ in range(rounds):
        value, slope = function(at)
        low, high = np.where(value < 0.0, at, low), np.where(value < 0.0, high, at)
        step = at - value / np.where(slope > 0.0, slope, 1.0)
        at = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
    return at


@law(valid={"current": (0.0, 500.0), "constant": (1e-4, 10.0), "saturation_current": (0.01, 1000.0)})
def series_constant(current: Scalar, constant: Scalar, saturation_current: Scalar) -> Scalar:
    r"""Return the motor constant of a series motor at a current.

    .. math:: k_\phi = k_\infty\,(1 - e^{-I/I_s})

    Parameters
    ----------
    current
        Through field and armature. [A]
    constant
        Motor constant with the iron full. [V·s/rad]
    saturation_current
        Current at which the constant has reached 63 % of it. [A]

    Returns
    -------
    Scalar
        Volts per speed, and torque per ampere. [V·s/rad]

    Notes
    -----
    In proportion to the current at first, level in the end. On alternating current it goes with the effective value,
    which is a mean over the wave. Remanence and the field of the armature are left out.

    References
    ----------
    .. [1] Usual one-exponential fit of a magnetisation curve (common practice, no source).

    Examples
    --------
    >>> round(float(series_constant(3.0, 0.1, 1.5)), 5)
    0.08647
    """
    return constant * -np.expm1(-current / saturation_current)


def _upper(torque: Any, iron: Any) -> Any:
    """Return a current not below the one asked for, in saturation currents: 1 - exp(-x) is at least x / (1 + x)."""

    def free(share: Any) -> Any:
        return 0.5 * (share + np.sqrt(share * (share + 4.0)))

    light = iron < 1.0
    return np.minimum(free(torque + iron), np.where(light, free(torque / np.where(light, 1.0 - iron, 1.0)), np.inf))


@law(
    valid={
        "torque": (0.0, 500.0),
        "speed": (0.0, 20_000.0),
        "constant": (1e-4, 10.0),
        "saturation_current": (0.01, 1000.0),
        "iron": (0.0, 0.1),
    }
)
def series_current(torque: Scalar, speed: Scalar, constant: Scalar, saturation_current: Scalar, iron: Scalar) -> Scalar:
    r"""Return the current with which a series motor holds a torque at a speed.

    .. math:: k_\phi(I)\,\bigl[I - c\,\omega\,k_\phi(I)\bigr] = T

    Parameters
    ----------
    torque
        At the shaft, with bearings, brushes and fan added, without the iron. [N·m]
    speed
        Speed of the shaft. [rad/s]
    constant
        Motor constant with the iron full. [V·s/rad]
    saturation_current
        Current at which the constant has reached 63 % of it. [A]
    iron
        Iron loss over back voltage squared; 0 leaves the inverse of the torque in the air gap. [W/V²]

    Returns
    -------
    Scalar
        Motor current; 0 for a torque that drives the motor. [A]

    Notes
    -----
    Torque rises with current wherever it is above zero, so there is one answer. Halley's steps (of third order)
    from a bound above it, a fixed number of rounds; good to 1e-12 while the iron's drag c ω k∞ is below 0.9 of the
    saturation current.

    References
    ----------
    .. [1] Torque balance of the rotor with ``series_constant``.

    Examples
    --------
    The torque of 3 A at standstill asks for 3 A:

    >>> torque = 3.0 * float(series_constant(3.0, 0.1, 1.5))
    >>> round(float(series_current(torque, 0.0, 0.1, 1.5, 0.0)), 12)
    3.0
    """
    asked = np.maximum(torque, 0.0) / (constant * saturation_current)
    drag = iron * speed * constant / saturation_current
    at = _upper(asked, drag)
    for _ in range(CURRENT_ROUNDS):
        full = -np.expm1(-at)
        to_fill, left = 1.0 - full, at - drag * full
        rise = 1.0 - drag * to_fill
        slope = np.maximum(to_fill * left + full * rise, LEAST)
        bend = to_fill * (2.0 * rise - left + drag * full)
        step = (full * left - asked) / slope
        at = at - step / (1.0 - 0.5 * step * bend / slope)
    current: Scalar = saturation_current * at
    return current


@law(valid={"current": (0.0, 500.0), "reactance": (0.0, 1000.0)})
def mains_voltage(in_phase: Scalar, current: Scalar, reactance: Scalar) -> Scalar:
    r"""Return the volts at the terminals of a motor with reactance.

    .. math:: V = \sqrt{u^2 + (I X)^2}

    Parameters
    ----------
    in_phase
        Volts in phase with the current: back voltage, resistance and brushes. [V]
    current
        Effective value. [A]
    reactance
        Of field and armature; 0 on direct current. [Ω]

    Returns
    -------
    Scalar
        Effective value. [V]

    Notes
    -----
    Sine waves. The back voltage of a series motor follows its own current and so is in phase with it.

    References
    ----------
    .. [1] Phasor diagram of the universal motor; any text on small machines.

    Examples
    --------
    >>> float(mains_voltage(200.0, 5.0, 30.0))
    250.0
    """
    return np.sqrt(in_phase**2 + (current * reactance) ** 2)


@law(valid={"voltage": (0.0, 1000.0), "current": (0.0, 500.0), "reactance": (0.0, 1000.0)})
def in_phase_voltage(voltage: Scalar, current: Scalar, reactance: Scalar) -> Scalar:
    r"""Return the part of a motor's volts that is in phase with its current.

    .. math:: u = \sqrt{V^2 - (I X)^2}

    Parameters
    ----------
    voltage
        At the terminals, effective value. [V]
    current
        Effective value. [A]
    reactance
        Of field and armature; 0 on direct current. [Ω]

    Returns
    -------
    Scalar
        What is left for back voltage, resistance and brushes; 0 where the reactance alone takes more. [V]

    Notes
    -----
    The inverse of ``mains_voltage``: on direct current all the volts do work, so the same motor runs faster.

    References
    ----------
    .. [1] As ``mains_voltage``.

    Examples
    --------
    >>> float(in_phase_voltage(250.0, 5.0, 30.0))
    200.0
    """
    return np.sqrt(np.maximum(voltage**2 - (current * reactance) ** 2, 0.0))


@law(valid={"current": (0.0, 500.0)})
def input_power(in_phase: Scalar, current: Scalar) -> Scalar:
    r"""Return the power a motor takes from its terminals.

    .. math:: P = u\,I

    Parameters
    ----------
    in_phase
        Volts in phase with the current. [V]
    current
        Effective value. [A]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    Reactance takes volts and no power.

    References
    ----------
    .. [1] Power of an alternating current.

    Examples
    --------
    >>> input_power(200.0, 5.0)
    1000.0
    """
    return in_phase * current


@law(valid={"voltage": (1e-3, 1000.0)})
def power_factor(in_phase: Scalar, voltage: Scalar) -> Scalar:
    r"""Return the power factor of a motor.

    .. math:: \cos\varphi = u / V

    Parameters
    ----------
    in_phase
        Volts in phase with the current. [V]
    voltage
        At the terminals, effective value. [V]

    Returns
    -------
    Scalar
        Power over volts times amps. [-]

    Notes
    -----
    Sine waves; a phase control or a rectifier has a lower one for the same displacement.

    References
    ----------
    .. [1] As ``mains_voltage``.

    Examples
    --------
    >>> power_factor(200.0, 250.0)
    0.8
    """
    return in_phase / voltage


@law(valid={"iron": (0.0, 0.1)})
def iron_loss(iron: Scalar, back_voltage: Scalar) -> Scalar:
    r"""Return the iron loss of a series motor.

    .. math:: P = c\,E^2

    Parameters
    ----------
    iron
        Iron loss over back voltage squared. [W/V²]
    back_voltage
        Made by turning. [V]

    Returns
    -------
    Scalar
        Power turned into heat, taken from the shaft. [W]

    Notes
    -----
    Eddy currents exactly, hysteresis roughly; the loss by the mains frequency in the field's iron is within the
    coefficient. A modified sine adds 5 to 15 % to a motor's heat (common practice, no source).

    References
    ----------
    .. [1] Eddy-current loss goes with the square of flux times frequency.

    Examples
    --------
    >>> iron_loss(0.002, 200.0)
    80.0
    """
    return iron * back_voltage**2


@law(valid={"fan": (0.0, 1e-2), "speed": (0.0, 20_000.0)})
def motor_fan_loss(fan: Scalar, speed: Scalar) -> Scalar:
    r"""Return the power a motor's own fan takes.

    .. math:: P = c_f\,\omega^3

    Parameters
    ----------
    fan
        Torque of the fan over speed squared. [N·m·s²/rad²]
    speed
        Speed of the motor. [rad/s]

    Returns
    -------
    Scalar
        Power at the motor's shaft. [W]

    Notes
    -----
    The fan laws for fixed geometry. It is this fan that ends the run of a motor without load.

    References
    ----------
    .. [1] Fan laws, power as speed cubed: ISO 5801:2017.

    Examples
    --------
    >>> round(motor_fan_loss(7e-9, 2000.0), 6)
    56.0
    """
    return fan * speed**3


@law(valid={"friction": (0.0, 10.0), "fan": (0.0, 1e-2), "iron": (0.0, 0.1)})
def series_drag_terms(friction: Scalar, fan: Scalar, iron: Scalar, constant: Scalar) -> TorqueTerms:
    r"""Return the torque it takes to turn a series motor at a current, as terms in its speed.

    .. math:: T = T_0 + c\,k_\phi^2\,\omega + c_f\,\omega^2

    Parameters
    ----------
    friction
        Bearings and brushes. [N·m]
    fan
        Torque of the motor's own fan over speed squared. [N·m·s²/rad²]
    iron
        Iron loss over back voltage squared. [W/V²]
    constant
        Motor constant at the current. [V·s/rad]

    Returns
    -------
    TorqueTerms
        Terms at the motor's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The friction, ``iron_loss`` and ``motor_fan_loss`` divided by the speed. The linear term holds for one current.

    References
    ----------
    .. [1] Derived from the three losses.

    Examples
    --------
    >>> round(series_drag_terms(0.03, 7e-9, 0.002, 0.1).linear, 9)
    2e-05
    """
    return TorqueTerms(power=0.0 * friction, constant=friction, linear=iron * constant**2, square=fan)


@law(valid={"voltage": (0.0, 1000.0), "resistance": (1e-6, 1e4), "brush_drop": (0.0, 10.0), "fan": (1e-14, 1e-2)})
def fan_limited_speed(voltage: Scalar, resistance: Scalar, brush_drop: Scalar, fan: Scalar) -> Scalar:
    r"""Return a speed that a motor cannot pass, whatever its field and load.

    .. math:: \omega = \left(\frac{(V - V_b)^2}{4\,R\,c_f}\right)^{1/3}

    Parameters
    ----------
    voltage
        At the terminals. [V]
    resistance
        Of all that carries the current. [Ω]
    brush_drop
        Drop over both brushes. [V]
    fan
        Torque of the motor's own fan over speed squared, above zero. [N·m·s²/rad²]

    Returns
    -------
    Scalar
        A bound for the speed. [rad/s]

    Notes
    -----
    The most power that can reach the air gap, all of it spent on the fan. About twice the speed without load of a
    power tool's motor, which ``unloaded_speed`` gives; a field that fades with the load has no other bound.

    References
    ----------
    .. [1] Maximum power transfer through a resistance (derived).

    Examples
    --------
    >>> round(float(fan_limited_speed(202.0, 10.0, 2.0, 1e-8)), 3)
    4641.589
    """
    return np.cbrt(np.maximum(voltage - brush_drop, 0.0) ** 2 / (4.0 * resistance * fan))


@law(valid={"voltage": (0.0, 1000.0), "current": (0.0, 500.0), "brush_drop": (0.0, 10.0), "fan": (1e-14, 1e-2)})
def series_speed(motor: SeriesMotor, voltage: Scalar, current: Scalar, brush_drop: Scalar, fan: Scalar) -> Scalar:
    r"""Return the speed at which a series motor on a voltage takes a current.

    .. math:: \omega = \frac{\sqrt{V^2 - (I X)^2} - I R - V_b}{k_\phi(I)}

    Parameters
    ----------
    motor
        Windings and iron. [Ω, Ω, V·s/rad, A, W/V²]
    voltage
        At the terminals, effective value. [V]
    current
        Effective value. [A]
    brush_drop
        Drop over both brushes. [V]
    fan
        Torque of the motor's own fan over speed squared. [N·m·s²/rad²]

    Returns
    -------
    Scalar
        Speed; 0 from the current at standstill on, never above ``fan_limited_speed``. [rad/s]

    Notes
    -----
    Falls steeply with load, and in proportion to the voltage once the drop over the resistance is small. Without the
    bound of the fan it would be infinite without current.

    References
    ----------
    .. [1] Voltage balance of the motor with ``series_constant``.

    Examples
    --------
    >>> motor = SeriesMotor(8.0, 0.0, 0.1, 1.5, 0.0)
    >>> round(float(series_speed(motor, 230.0, 3.0, 2.0, 7e-9)), 1)
    2359.3
    """
    bound = fan_limited_speed(voltage, motor.resistance, brush_drop, fan)
    left = in_phase_voltage(voltage, current, motor.reactance) - current * motor.resistance - brush_drop
    constant = np.asarray(series_constant(current, motor.constant, motor.saturation_current))
    turning = np.where(constant > 0.0, left / np.where(constant > 0.0, constant, 1.0), bound)
    return np.minimum(np.where(left > 0.0, turning, 0.0), bound)


@law(valid={"voltage": (0.0, 1000.0), "speed": (0.0, 20_000.0), "brush_drop": (0.0, 10.0)})
def series_current_at(motor: SeriesMotor, voltage: Scalar, speed: Scalar, brush_drop: Scalar) -> Scalar:
    r"""Return the current a voltage drives through a series motor at a speed.

    .. math:: V^2 = (k_\phi(I)\,\omega + I R + V_b)^2 + (I X)^2

    Parameters
    ----------
    motor
        Windings and iron. [Ω, Ω, V·s/rad, A, W/V²]
    voltage
        At the terminals. [V]
    speed
        Speed of the shaft. [rad/s]
    brush_drop
        Drop over both brushes. [V]

    Returns
    -------
    Scalar
        Motor current; 0 where the voltage does not pass the brushes. [A]

    Notes
    -----
    The volts needed rise with the current, so there is one answer, between nothing and that of the rotor held still.
    Newton's method, halving where it would leave those bounds.

    References
    ----------
    .. [1] Voltage balance with ``series_constant``, solved for the current.

    Examples
    --------
    >>> motor = SeriesMotor(8.0, 12.0, 0.1, 1.5, 0.002)
    >>> amps = float(series_current_at(motor, 230.0, 1500.0, 2.0))
    >>> round(float(series_speed(motor, 230.0, amps, 2.0, 7e-9)), 6)
    1500.0
    """

    def over(current: Any) -> tuple[Any, Any]:
        full = -np.expm1(-current / motor.saturation_current)
        in_phase = motor.constant * full * speed + current * motor.resistance + brush_drop
        slope = motor.constant * speed * (1.0 - full) / motor.saturation_current + motor.resistance
        value = in_phase**2 + (current * motor.reactance) ** 2 - voltage**2
        return value, 2.0 * (in_phase * slope + current * motor.reactance**2)

    top = locked_rotor_current(voltage, motor.resistance, motor.reactance, 0.0, brush_drop) + 0.0 * speed
    current: Scalar = _rising_root(over, 0.0 * top, top, 0.5 * top, SPEED_ROUNDS)
    return current


@law(valid={"voltage": (1.0, 1000.0), "brush_drop": (0.0, 10.0), "friction": (0.0, 10.0), "fan": (1e-14, 1e-2)})
def unloaded_speed(motor: SeriesMotor, voltage: Scalar, brush_drop: Scalar, friction: Scalar, fan: Scalar) -> Scalar:
    r"""Return the speed of a series motor that turns nothing but itself.

    .. math:: k_\phi(I)\,I = T_0 + c\,k_\phi(I)^2\,\omega + c_f\,\omega^2

    Parameters
    ----------
    motor
        Windings and iron. [Ω, Ω, V·s/rad, A, W/V²]
    voltage
        At the terminals, effective value. [V]
    brush_drop
        Drop over both brushes. [V]
    friction
        Bearings and brushes, and a gear that turns along. [N·m]
    fan
        Torque of the motor's own fan over speed squared, above zero. [N·m·s²/rad²]

    Returns
    -------
    Scalar
        Speed that no load can pass; 0 where friction holds the motor still. [rad/s]

    Notes
    -----
    With the speed that the voltage balance leaves at a current, ``series_speed``. Newton's method on the logarithms
    of both sides, a fixed number of rounds. Never run such a motor off its gear without its fan: nothing else bounds
    the speed, and rotors burst.

    References
    ----------
    .. [1] Torque and voltage balance of the motor with ``series_constant``.

    Examples
    --------
    >>> motor = SeriesMotor(8.0, 0.0, 0.1, 1.5, 0.002)
    >>> free = unloaded_speed(motor, 230.0, 2.0, 0.03, 7e-9)
    >>> bool(free < fan_limited_speed(230.0, 8.0, 2.0, 7e-9))
    True
    """
    r, x = np.asarray(motor.resistance), np.asarray(motor.reactance)
    most = np.maximum(locked_rotor_current(voltage, r, x, 0.0, brush_drop), 1e-12)

    def over(log_current: Any) -> tuple[Any, Any]:
        current = np.exp(log_current)
        fading = np.exp(-current / motor.saturation_current)
        constant = np.asarray(series_constant(current, motor.constant, motor.saturation_current))
        growth = motor.constant * fading / motor.saturation_current
        in_phase = np.asarray(in_phase_voltage(voltage, current, x))
        speed = np.maximum(in_phase - current * r - brush_drop, 1e-9) / constant
        slope = (-(x**2) * current / in_phase - r - growth * speed) / constant
        drag = friction + speed * (motor.iron * constant**2 + fan * speed)
        rise = slope * (motor.iron * constant**2 + 2.0 * fan * speed) + 2.0 * motor.iron * constant * growth * speed
        value = np.log(constant * current) - np.log(drag)
        return value, 1.0 + current * (growth / constant - rise / drag)

    high = np.log(most)
    at = _rising_root(over, high - 30.0, high, high - 3.0, SPEED_ROUNDS)
    starts = np.asarray(series_constant(most, motor.constant, motor.saturation_current)) * most > friction
    return np.where(starts, series_speed(motor, voltage, np.exp(at), brush_drop, fan), 0.0)


@law(valid={"voltage_ratio": (0.05, 20.0), "frequency_ratio": (0.1, 10.0)})
def rewound(motor: SeriesMotor, voltage_ratio: Scalar, frequency_ratio: Scalar) -> SeriesMotor:
    r"""Return a motor of the same frame wound for another mains.

    .. math:: R' = a^2 R, \; X' = a^2 b\,X, \; k' = a\,k, \; I_s' = I_s / a, \; c' = c / a^2

    Parameters
    ----------
    motor
        Windings and iron. [Ω, Ω, V·s/rad, A, W/V²]
    voltage_ratio
        New over old voltage. [-]
    frequency_ratio
        New over old frequency. [-]

    Returns
    -------
    SeriesMotor
        The same copper and iron with other turns. [Ω, Ω, V·s/rad, A, W/V²]

    Notes
    -----
    Same torque, speed and heat at the same load, but for the reactance. Brushes keep their volts and so cost more
    on a low voltage; friction and fan stay.

    References
    ----------
    .. [1] Turns in proportion to the volts, wire area against them.

    Examples
    --------
    >>> round(rewound(SeriesMotor(8.0, 12.0, 0.1, 1.5, 0.002), 0.5, 1.2).reactance, 9)
    3.6
    """
    return SeriesMotor(
        motor.resistance * voltage_ratio**2,
        motor.reactance * voltage_ratio**2 * frequency_ratio,
        motor.constant * voltage_ratio,
        motor.saturation_current / voltage_ratio,
        motor.iron / voltage_ratio**2,
    )
