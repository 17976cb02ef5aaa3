"""Coming to rest: a turning mass against drag, with or without a resistor across its motor."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

import numpy as np

from headrace.physics.law import Scalar, law

# Where a stop is looked at between its two speeds, and with which weight: Gauss and Legendre, exact to a polynomial of
# degree 63.
_LEGENDRE = np.polynomial.legendre.leggauss(32)
PLACES, WEIGHTS = 0.5 * (_LEGENDRE[0] + 1.0), 0.5 * _LEGENDRE[1]


class StopHeat(NamedTuple):
    """Where the energy of one stop goes; floats or lanes."""

    loop: Scalar  # J, into resistor and winding
    brushes: Scalar  # J
    drag: Scalar  # J, into load and drag


def _slowing(speed: Scalar, constant: Scalar, linear: Scalar, square: Scalar) -> Scalar:
    """Return the integral of dw / (c + l w + s w²) from 0 to a speed: 0 at rest, infinite without constant drag.

    With q² = ``|l² - 4 s c|`` it is an arctangent over q where the difference is negative, a logarithm over q where
    it is positive. Both are written on the speed covered, so that no digit is lost when q or a coefficient vanishes.
    """
    difference = np.asarray(linear * linear - 4.0 * square * constant)
    root = np.sqrt(np.abs(difference))
    curved = root > 0.0
    held = np.where(np.asarray(constant) > 0.0, constant, 1.0)
    straight = speed / (held + 0.5 * linear * speed)
    some = np.where(curved, root, 1.0)
    arc = 2.0 * np.arctan(0.5 * root * straight) / some
    reach = speed * (linear + root) / np.where(curved, linear + root + 2.0 * square * speed, 1.0)
    log = np.log1p(root * reach / held) / some
    integral = np.where(difference > 0.0, log, np.where(difference < 0.0, arc, straight))
    ending = np.where(np.asarray(constant) > 0.0, integral, inf)
    slowing: Scalar = np.where(np.asarray(speed) > 0.0, ending, 0.0)
    return slowing


@law(valid={"inertia": (0.0, 1e4), "constant": (0.0, 1e4), "linear": (0.0, 1e3), "square": (0.0, 1e2)})
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
    Closed form. Without constant drag it would never stop, and the time is infinite.

    References
    ----------
    .. [1] Integral of a rational function, by hand.

    Examples
    --------
    >>> round(float(coast_time(0.02, 300.0, 0.6, 0.0, 0.0)), 3)
    10.0
    """
    return inertia * _slowing(start_speed, constant, linear, square)


@law(
    valid={
        "inertia": (0.0, 1e4),
        "constant": (0.0, 1e4),
        "linear": (0.0, 1e3),
        "square": (0.0, 1e2),
        "motor_constant": (1e-5, 100.0),
        "brush_drop": (0.0, 10.0),
        "loop_resistance": (1e-4, inf),
    }
)
def stop_time(
    inertia: Scalar,
    start_speed: Scalar,
    constant: Scalar,
    linear: Scalar,
    square: Scalar,
    motor_constant: Scalar,
    brush_drop: Scalar,
    loop_resistance: Scalar,
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
        Resistor and winding; infinite without a brake. [Ω]

    Returns
    -------
    Scalar
        Time to standstill. [s]

    Notes
    -----
    Two spells: braking until the motor's volts no longer pass the brushes, then drag alone. Inductance
    left out. The braking fades with the speed, so friction decides the end of a stop.

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


@law(valid={"spin_energy": (0.0, inf), "brake_resistance": (0.0, inf), "loop_resistance": (1e-6, inf)})
def brake_energy(spin_energy: Scalar, brake_resistance: Scalar, loop_resistance: Scalar) -> Scalar:
    r"""Return the most energy one stop can put into the braking resistor.

    .. math:: E_b = E\,\frac{R_b}{R}

    Parameters
    ----------
    spin_energy
        Energy of everything that turns, at release. [J]
    brake_resistance
        The resistor alone. [Ω]
    loop_resistance
        Winding and resistor together. [Ω]

    Returns
    -------
    Scalar
        Energy into the resistor. [J]

    Notes
    -----
    A bound: friction and brushes take their part first. The rest of the bound heats the winding.

    References
    ----------
    .. [1] Two resistances in series share heat as they share resistance.

    Examples
    --------
    >>> round(brake_energy(1000.0, 0.5, 0.58), 1)
    862.1
    """
    return spin_energy * brake_resistance / loop_resistance


@law(valid={"inertia": (0.0, 1e4), "motor_constant": (1e-5, 100.0), "loop_resistance": (1e-4, inf)})
def stop_heat(
    inertia: Scalar,
    start_speed: Scalar,
    constant: Scalar,
    linear: Scalar,
    square: Scalar,
    motor_constant: Scalar,
    brush_drop: Scalar,
    loop_resistance: Scalar,
) -> StopHeat:
    r"""Return where the energy of a stop with a resistor across the motor goes.

    .. math:: E_R = J \int \frac{I^2 R}{T + k_e I}\,d\omega, \quad
              E_b = J \int \frac{V_b I}{T + k_e I}\,d\omega, \quad
              E_T = J \int \frac{T \omega}{T + k_e I}\,d\omega

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
    StopHeat
        Into resistor and winding, into the brushes, into load and drag. [J, J, J]

    Notes
    -----
    With the currents of ``brake_current`` at each speed. By a sum over 32 speeds, from release to where the motor's
    volts no longer pass the brushes; below, drag takes all that is left. Of the loop each resistance has its share.

    References
    ----------
    .. [1] Balance of power of ``stop_time`` at each speed: T w + k_e w I = T w + I² R + V_b I.

    Examples
    --------
    >>> [round(float(part)) for part in stop_heat(0.0192, 335.0, 0.31, 0.0, 0.0, 0.165, 1.0, 1.08)]
    [971, 34, 73]
    """
    free = np.minimum(start_speed, brush_drop / motor_constant)
    loop: Scalar = 0.0
    brushes: Scalar = 0.0
    drag: Scalar = 0.5 * inertia * free**2
    for place, weight in zip(PLACES, WEIGHTS, strict=True):
        speed = free + (start_speed - free) * place
        current = np.maximum(motor_constant * speed - brush_drop, 0.0) / loop_resistance
        torque = constant + linear * speed + square * speed**2
        spell = weight * inertia * (start_speed - free) / (torque + motor_constant * current)
        loop = loop + current**2 * loop_resistance * spell
        brushes = brushes + brush_drop * current * spell
        drag = drag + torque * speed * spell
    return StopHeat(loop, brushes, drag)


@law(valid={"rated_power": (0.0, 1e6), "voltage": (0.1, 2000.0), "resistance": (1e-5, 1e3), "multiple": (1.0, 50.0)})
def harming_current(
    rated_power: Scalar, voltage: Scalar, resistance: Scalar, brush_drop: Scalar, multiple: Scalar
) -> Scalar:
    r"""Return the current above which a motor's magnets or its commutator are harmed.

    .. math:: I_h = m\,I_r, \quad I_r = \frac{2 P}{E + \sqrt{E^2 - 4 R P}}, \quad E = U - V_b

    Parameters
    ----------
    rated_power
        Of the plate, at the shaft. [W]
    voltage
        The motor works on. [V]
    resistance
        Of the winding, terminal to terminal. [Ω]
    brush_drop
        Over both brushes. [V]
    multiple
        Of the plate's current that the motor stands for a moment. [-]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    The plate's current is that which gives the plate's power on these volts, own friction left out; where they cannot
    give it, that of 2 P / E. A maker's own number is better: it depends on the magnets and on how cold they are.

    References
    ----------
    .. [1] Balance of power of a motor with magnets; three to six times the rated current is common practice, from
       memory.

    Examples
    --------
    >>> round(float(harming_current(1000.0, 36.0, 0.112, 1.0, 4.0)))
    127
    """
    inner = voltage - brush_drop
    root = np.sqrt(np.maximum(inner**2 - 4.0 * resistance * rated_power, 0.0))
    return multiple * 2.0 * rated_power / (inner + root)
