"""Coming to rest: a turning mass against drag, with or without a resistor across its motor."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


def _slowing(speed: Scalar, constant: Scalar, linear: Scalar, square: Scalar) -> Scalar:
    """Return the integral of dw / (c + l w + s w²) from 0 to a speed.

    With x = w / (2c + l w) and d = 4 s c - l² it is 2 x g(d x²), where g is arctan(u)/u, 1 or artanh(u)/u as d is
    above, near or below zero: one form, without loss of digits, down to s = 0 and l = 0.
    """
    part = speed / (2.0 * constant + linear * speed)
    across = np.asarray((4.0 * square * constant - linear**2) * part**2)
    root = np.sqrt(np.abs(across))
    near = np.abs(across) < 1e-8
    safe = np.where(near, 1.0, root)
    ratio = np.where(across > 0.0, np.arctan(safe) / safe, np.arctanh(np.minimum(safe, 1.0 - 1e-16)) / safe)
    return 2.0 * part * np.where(near, 1.0 - across / 3.0, ratio)


@law(valid={"inertia": (0.0, 1e4), "constant": (1e-9, 1e4)})
def coast_time(inertia: Scalar, start_speed: Scalar, constant: Scalar, linear: Scalar, square: Scalar) -> Scalar:
    r"""Return the time a turning mass takes to come to rest against drag alone.

    .. math:: t = \int_0^{\omega_0} \frac{J\,d\omega}{T_0 + k_1 \omega + k_2 \omega^2}

    Parameters
    ----------
    inertia
        Of all that turns, at this shaft. [kg·m²]
    start_speed
        At release. [rad/s]
    constant
        Drag at any speed, above zero. [N·m]
    linear
        Drag in proportion to speed. [N·m·s/rad]
    square
        Drag in proportion to speed squared. [N·m·s²/rad²]

    Returns
    -------
    Scalar
        Time to standstill. [s]

    Notes
    -----
    Closed form. Without constant drag it would never stop.

    References
    ----------
    .. [1] Integral of a rational function, by hand.

    Examples
    --------
    >>> round(float(coast_time(0.02, 300.0, 0.6, 0.0, 0.0)), 3)
    10.0
    """
    return inertia * _slowing(start_speed, constant, linear, square)


@law(valid={"inertia": (0.0, 1e4), "constant": (1e-9, 1e4), "loop_resistance": (1e-4, 1e4)})
def stop_time(
    inertia: Scalar, start_speed: Scalar, constant: Scalar, linear: Scalar, square: Scalar, motor_constant: Scalar, brush_drop: Scalar, loop_resistance: Scalar
) -> Scalar:
    r"""Return the time to rest with a resistor across the motor.

    .. math:: J \dot\omega = -T(\omega) - k_e I, \quad I = \max\left(0, \frac{k_e \omega - V_b}{R}\right)

    Parameters
    ----------
    inertia
        Of all that turns, at this shaft. [kg·m²]
    start_speed
        At release. [rad/s]
    constant
        Drag at any speed, above zero. [N·m]
    linear
        Drag in proportion to speed. [N·m·s/rad]
    square
        Drag in proportion to speed squared. [N·m·s²/rad²]
    motor_constant
        Volts per speed. [V·s/rad]
    brush_drop
        Over both brushes. [V]
    loop_resistance
        Resistor and winding. [Ω]

    Returns
    -------
    Scalar
        Time to standstill. [s]

    Notes
    -----
    Two spells: braking until the motor's volts no longer pass the brushes, then drag alone. Inductance left
    out.

    References
    ----------
    .. [1] The integral of ``coast_time`` over both spells.

    Examples
    --------
    >>> round(float(stop_time(0.0192, 335.0, 0.31, 0.0, 0.0, 0.165, 1.0, 1.08)), 1)
    2.9
    """
    free = np.minimum(start_speed, brush_drop / motor_constant)
    braked = start_speed - free
    slope = linear + 2.0 * square * free + motor_constant**2 / loop_resistance
    base = constant + linear * free + square * free**2
    return inertia * (_slowing(braked, base, slope, square) + _slowing(free, constant, linear, square))


@law(valid={"loop_resistance": (1e-4, 1e4)})
def brake_current(motor_constant: Scalar, speed: Scalar, brush_drop: Scalar, loop_resistance: Scalar) -> Scalar:
    r"""Return the current a resistor across the motor takes.

    .. math:: I = \max\left(0, \frac{k_e \omega - V_b}{R}\right)

    Parameters
    ----------
    motor_constant
        Volts per speed. [V·s/rad]
    speed
        Of the motor. [rad/s]
    brush_drop
        Over both brushes. [V]
    loop_resistance
        Resistor and winding. [Ω]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Its peak, at release, is what the magnets and brushes have to stand.

    References
    ----------
    .. [1] Voltage balance of the loop.

    Examples
    --------
    >>> round(float(brake_current(0.165, 335.0, 1.0, 1.08)), 0)
    50.0
    """
    return np.maximum(motor_constant * speed - brush_drop, 0.0) / loop_resistance
