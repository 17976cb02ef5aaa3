"""Permanent-magnet direct-current motors, brushed, or without brushes as their equivalent.

One definition throughout: resistance and constant are those between the two terminals that carry the current; for a
motor without brushes line to line, with the constant as peak line-to-line volts per mechanical radian per second, and
the current flat-topped. Saturation, inductive drop and field weakening are left out.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from headrace.physics.law import Scalar, law

COPPER_ZERO = 234.5  # °C below zero at which copper's resistance would vanish, IEC 60949
ZERO = 273.15  # K at 0 °C
REFERENCE = 25.0  # °C to which motor data are referred


class PlateFit(NamedTuple):
    """What a plate or data table says about a motor, at the temperature of the test."""

    constant: Scalar  # V s/rad
    resistance: Scalar  # ohm
    drag: Scalar  # N m


@law(valid={"current": (-2000.0, 2000.0), "speed": (-20000.0, 20000.0)})
def motor_voltage(constant: Scalar, speed: Scalar, current: Scalar, resistance: Scalar, brush_drop: Scalar) -> Scalar:
    r"""Return the volts a motor needs at a speed and a current.

    .. math:: V = k_e\,\omega + I R + V_b

    Parameters
    ----------
    constant
        Motor constant, volts per speed and torque per ampere. [V·s/rad]
    speed
        Speed of the shaft. [rad/s]
    current
        Motor current. [A]
    resistance
        Terminal to terminal, at its temperature. [Ω]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]

    Returns
    -------
    Scalar
        Voltage at the terminals. [V]

    Notes
    -----
    Steady state. The drop of the brushes is taken as constant.

    References
    ----------
    .. [1] Modelica Standard Library, DC_PermanentMagnet; any text on direct-current machines.

    Examples
    --------
    >>> motor_voltage(0.1, 300.0, 20.0, 0.1, 1.0)
    33.0
    """
    return constant * speed + current * resistance + brush_drop


@law(valid={"voltage": (0.0, 2000.0)})
def back_voltage(voltage: Scalar, current: Scalar, resistance: Scalar, brush_drop: Scalar) -> Scalar:
    r"""Return the voltage a motor makes by turning.

    .. math:: E = V - I R - V_b

    Parameters
    ----------
    voltage
        At the motor's terminals. [V]
    current
        Motor current. [A]
    resistance
        Terminal to terminal, at its temperature. [Ω]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]

    Returns
    -------
    Scalar
        Back voltage. [V]

    Notes
    -----
    Steady state.

    References
    ----------
    .. [1] Bakshi and Bakshi, ch. 9, example 3.

    Examples
    --------
    >>> back_voltage(220.0, 30.0, 0.75, 0.0)
    197.5
    """
    return voltage - current * resistance - brush_drop


@law(valid={"current": (-2000.0, 2000.0)})
def airgap_torque(constant: Scalar, current: Scalar) -> Scalar:
    r"""Return the torque of the current, friction not yet taken off.

    .. math:: T = k_e I

    Parameters
    ----------
    constant
        Motor constant, volts per speed and torque per ampere. [V·s/rad]
    current
        Motor current. [A]

    Returns
    -------
    Scalar
        Torque in the air gap. [N·m]

    Notes
    -----
    No saturation: beyond 3 to 6 times the rated current a brushed motor gives less.

    References
    ----------
    .. [1] Modelica Standard Library, DC_PermanentMagnet.

    Examples
    --------
    >>> airgap_torque(0.1, 20.0)
    2.0
    """
    return constant * current


@law(valid={"constant": (1e-4, 100.0)})
def motor_current(shaft_torque: Scalar, rotation_torque: Scalar, constant: Scalar) -> Scalar:
    r"""Return the current that gives a torque at the shaft.

    .. math:: I = \frac{T + T_f}{k_e}

    Parameters
    ----------
    shaft_torque
        Torque at the shaft. [N·m]
    rotation_torque
        Drag of the turning motor. [N·m]
    constant
        Motor constant, volts per speed and torque per ampere. [V·s/rad]

    Returns
    -------
    Scalar
        Motor current. [A]

    Notes
    -----
    No saturation.

    References
    ----------
    .. [1] Torque balance of the rotor.

    Examples
    --------
    >>> round(motor_current(1.8, 0.2, 0.1), 9)
    20.0
    """
    return (shaft_torque + rotation_torque) / constant


@law(valid={"voltage": (0.0, 2000.0), "resistance": (1e-6, 1e3)})
def current_at_speed(
    voltage: Scalar, speed: Scalar, constant: Scalar, resistance: Scalar, brush_drop: Scalar
) -> Scalar:
    r"""Return the current a voltage drives through a motor that turns at a speed.

    .. math:: I = \frac{V - V_b - k_e\,\omega}{R}

    Parameters
    ----------
    voltage
        Across all of the resistance. [V]
    speed
        Speed of the shaft. [rad/s]
    constant
        Motor constant, volts per speed and torque per ampere. [V·s/rad]
    resistance
        All that carries the current, at its temperature. [Ω]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]

    Returns
    -------
    Scalar
        Motor current; negative where the motor is driven faster than the voltage turns it. [A]

    Notes
    -----
    Steady state: ``motor_voltage`` solved for the current. The drop of the brushes keeps its sign, so a reversed
    current is wrong by twice that drop over the resistance.

    References
    ----------
    .. [1] Voltage balance of the motor.

    Examples
    --------
    >>> current_at_speed(33.0, 300.0, 0.1, 0.1, 1.0)
    20.0
    """
    return (voltage - brush_drop - constant * speed) / resistance


@law(valid={"voltage": (0.0, 2000.0), "constant": (1e-4, 100.0)})
def speed_under_torque(
    voltage: Scalar,
    torque: Scalar,
    constant: Scalar,
    resistance: Scalar,
    brush_drop: Scalar,
    drag: Scalar,
    drag_slope: Scalar,
) -> Scalar:
    r"""Return the speed at which a motor on a voltage holds a torque at its shaft.

    .. math:: \omega = \frac{k_e\,(V - V_b) - R\,(T + T_0)}{k_e^2 + R\,k_1}

    Parameters
    ----------
    voltage
        Across all of the resistance. [V]
    torque
        Torque at the shaft. [N·m]
    constant
        Motor constant, volts per speed and torque per ampere. [V·s/rad]
    resistance
        All that carries the current, at its temperature. [Ω]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]
    drag
        Friction and hysteresis. [N·m]
    drag_slope
        Eddy currents. [N·m·s/rad]

    Returns
    -------
    Scalar
        Speed of the shaft; negative where the torque is more than the motor holds at standstill. [rad/s]

    Notes
    -----
    Without a fan of its own, whose torque grows with the square of the speed. A negative speed says by how much the
    torque is too much; it is no speed the motor would run at.

    References
    ----------
    .. [1] Voltage balance and torque balance of the motor, the current taken out.

    Examples
    --------
    >>> round(speed_under_torque(33.0, 1.8, 0.1, 0.1, 1.0, 0.2, 0.0), 9)
    300.0
    """
    return (constant * (voltage - brush_drop) - resistance * (torque + drag)) / (constant**2 + resistance * drag_slope)


@law(valid={"resistance": (0.0, 1e3), "source_resistance": (0.0, 1e3), "duty": (0.0, 1.0)})
def resistance_behind_chopper(resistance: Scalar, source_resistance: Scalar, duty: Scalar) -> Scalar:
    r"""Return the resistance that a motor's current meets behind a chopper on a source that sags.

    .. math:: R = R_m + d^2 R_s

    Parameters
    ----------
    resistance
        On the motor's side of the chopper. [Ω]
    source_resistance
        Of the source and the leads on its side. [Ω]
    duty
        Share of the source's voltage given to the motor. [-]

    Returns
    -------
    Scalar
        Resistance that goes with the motor's current on duty times open voltage. [Ω]

    Notes
    -----
    The source carries duty times the motor's current, and its sag comes to the motor times duty again. Runs at two
    duties so tell the resistance of the source from that of the motor; runs at one duty cannot.

    References
    ----------
    .. [1] Identity of a lossless chopper behind a source with resistance.

    Examples
    --------
    >>> resistance_behind_chopper(0.05, 0.02, 0.5)
    0.055
    """
    return resistance + duty**2 * source_resistance


@law(valid={"speed_per_volt": (1e-3, 1e4)})
def constant_of(speed_per_volt: Scalar) -> Scalar:
    r"""Return the motor constant from the speed it turns for each volt.

    .. math:: k_e = 1 / K_v

    Parameters
    ----------
    speed_per_volt
        Speed for each volt, without load. [rad/(s·V)]

    Returns
    -------
    Scalar
        Motor constant. [V·s/rad]

    Notes
    -----
    For brushed motors and for line-to-line peak volts; other conventions differ by up to two.

    References
    ----------
    .. [1] SI identity: 1 V·s/rad = 1 N·m/A.

    Examples
    --------
    >>> import math
    >>> round(constant_of(100.0 * math.pi / 30.0), 6)
    0.095493
    """
    return 1.0 / speed_per_volt


@law(valid={"turns": (0.01, 100.0)})
def rewound_resistance(resistance: Scalar, turns: Scalar) -> Scalar:
    r"""Return the resistance of a motor rewound in the same slots.

    .. math:: R' = a^2 R

    Parameters
    ----------
    resistance
        Of the winding as it is. [Ω]
    turns
        Turns after over turns before; the constant grows by the same factor. [-]

    Returns
    -------
    Scalar
        Resistance of the new winding at the same temperature. [Ω]

    Notes
    -----
    The copper fills the slots as before: a times the turns of a wire with 1/a of the section. R over the square of the
    constant stays, and with it the torque for each watt lost in copper and the heat a frame is good for.

    References
    ----------
    .. [1] Resistance of a wire by length and section, at a given volume of copper.

    Examples
    --------
    >>> round(rewound_resistance(0.075, 2.0), 6)
    0.3
    """
    return turns**2 * resistance


@law(valid={"speed": (1e-3, 2e4)})
def constant_from_test(
    voltage: Scalar, brush_drop: Scalar, resistance: Scalar, no_load_current: Scalar, speed: Scalar
) -> Scalar:
    r"""Return the motor constant from a run without load.

    .. math:: k_e = \frac{V - V_b - I_0 R}{\omega_0}

    Parameters
    ----------
    voltage
        At the motor's terminals. [V]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]
    resistance
        Terminal to terminal, at its temperature. [Ω]
    no_load_current
        Current without load. [A]
    speed
        Speed without load. [rad/s]

    Returns
    -------
    Scalar
        Motor constant. [V·s/rad]

    Notes
    -----
    At the temperature of the magnets in the test.

    References
    ----------
    .. [1] Voltage balance of the motor.

    Examples
    --------
    >>> constant_from_test(33.0, 1.0, 0.1, 20.0, 300.0)
    0.1
    """
    return (voltage - brush_drop - no_load_current * resistance) / speed


@law(valid={"voltage": (1.0, 2000.0)})
def from_plate(
    voltage: Scalar,
    no_load_speed: Scalar,
    no_load_current: Scalar,
    rated_speed: Scalar,
    rated_current: Scalar,
    brush_drop: Scalar,
) -> PlateFit:
    r"""Return constant, resistance and drag from two points of a data table.

    .. math:: k_e = \frac{(V - V_b)(I_r - I_0)}{D}, \quad R = \frac{(V - V_b)(\omega_0 - \omega_r)}{D}, \quad
        D = I_r \omega_0 - I_0 \omega_r

    Parameters
    ----------
    voltage
        Of both points. [V]
    no_load_speed
        Speed without load. [rad/s]
    no_load_current
        Current without load. [A]
    rated_speed
        Speed under load. [rad/s]
    rated_current
        Current under load. [A]
    brush_drop
        Drop over both brushes. [V]

    Returns
    -------
    PlateFit
        Constant, resistance, and drag taken as constant torque. [V·s/rad, Ω, N·m]

    Notes
    -----
    A slip of 1 % in the rated speed is 15 % of the resistance at 6 % droop. Values hold at the temperature of the test.

    References
    ----------
    .. [1] The two voltage balances solved for two unknowns.

    Examples
    --------
    A motor of 0.1 V·s/rad and 0.1 Ω on 33 V with 1 V brushes is found again:

    >>> fit = from_plate(33.0, 318.0, 2.0, 300.0, 20.0, 1.0)
    >>> round(fit.constant, 9), round(fit.resistance, 9), round(fit.drag, 9)
    (0.1, 0.1, 0.2)
    """
    determinant = rated_current * no_load_speed - no_load_current * rated_speed
    free = voltage - brush_drop
    constant = free * (rated_current - no_load_current) / determinant
    return PlateFit(constant, free * (no_load_speed - rated_speed) / determinant, constant * no_load_current)


@law(valid={"temperature": (213.0, 600.0)})
def winding_resistance(resistance_25: Scalar, temperature: Scalar) -> Scalar:
    r"""Return the resistance of a copper winding at its temperature.

    .. math:: R = R_{25}\,\frac{234.5 + t}{259.5}

    Parameters
    ----------
    resistance_25
        At 25 °C. [Ω]
    temperature
        Of the metal. [K]

    Returns
    -------
    Scalar
        Resistance. [Ω]

    Notes
    -----
    0.385 % for each kelvin about 25 °C; the often quoted 0.393 belongs to 20 °C.

    References
    ----------
    .. [1] IEC 60949, inferred zero-resistance temperature of copper.

    Examples
    --------
    >>> round(winding_resistance(1.0, 273.15 + 100.0), 3)
    1.289
    """
    return resistance_25 * (COPPER_ZERO + temperature - ZERO) / (COPPER_ZERO + REFERENCE)


@law(valid={"temperature": (213.0, 500.0), "magnet_slope": (-0.005, 0.0)})
def magnet_constant(constant_25: Scalar, magnet_slope: Scalar, temperature: Scalar) -> Scalar:
    r"""Return the motor constant at the temperature of its magnets.

    .. math:: k_e = k_{25}\,[1 + b\,(t - 25)]

    Parameters
    ----------
    constant_25
        At 25 °C. [V·s/rad]
    magnet_slope
        Change of remanence, about -0.002 for ferrite. [1/K]
    temperature
        Of the magnets. [K]

    Returns
    -------
    Scalar
        Motor constant. [V·s/rad]

    Notes
    -----
    Reversible loss only. A warm ferrite motor asks for more amps and turns faster.

    References
    ----------
    .. [1] Reversible temperature coefficient of remanence; slopes in tables/magnets.csv.

    Examples
    --------
    >>> round(magnet_constant(0.1, -0.002, 273.15 + 75.0), 6)
    0.09
    """
    return constant_25 * (1.0 + magnet_slope * (temperature - ZERO - REFERENCE))


@law(valid={"remanence_cold": (0.01, 20.0)})
def remanence_slope(remanence_cold: Scalar, remanence_hot: Scalar, cold: Scalar, hot: Scalar) -> Scalar:
    r"""Return the temperature coefficient of remanence from two points.

    .. math:: b = \frac{B_2 / B_1 - 1}{t_2 - t_1}

    Parameters
    ----------
    remanence_cold
        At the lower temperature. [T]
    remanence_hot
        At the higher temperature, in the same unit. [T]
    cold
        Lower temperature. [K]
    hot
        Higher temperature. [K]

    Returns
    -------
    Scalar
        Change for each kelvin, referred to the lower temperature. [1/K]

    Notes
    -----
    Mean over the range.

    References
    ----------
    .. [1] A magnet maker's technical page, worked example for sintered NdFeB.

    Examples
    --------
    >>> round(100 * remanence_slope(13.82, 11.69, 293.15, 423.15), 3)
    -0.119
    """
    return (remanence_hot / remanence_cold - 1.0) / (hot - cold)


@law(valid={"speed": (0.0, 20000.0)})
def rotation_torque(drag: Scalar, drag_slope: Scalar, drag_square: Scalar, speed: Scalar) -> Scalar:
    r"""Return the torque that turning the motor itself takes.

    .. math:: T_f = T_0 + k_1\,\omega + k_2\,\omega^2

    Parameters
    ----------
    drag
        Friction and hysteresis. [N·m]
    drag_slope
        Eddy currents. [N·m·s/rad]
    drag_square
        Own fan. [N·m·s²/rad²]
    speed
        Speed of the shaft. [rad/s]

    Returns
    -------
    Scalar
        Drag of the turning motor. [N·m]

    Notes
    -----
    Friction, hysteresis, eddy currents and fan; no-load current times constant is its value at no load.

    References
    ----------
    .. [1] Usual split of rotation losses.

    Examples
    --------
    >>> round(rotation_torque(0.2, 1e-4, 0.0, 300.0), 6)
    0.23
    """
    return drag + speed * (drag_slope + drag_square * speed)


@law(valid={"speed": (0.0, 20000.0)})
def rotation_loss(rotation_torque: Scalar, speed: Scalar) -> Scalar:
    r"""Return the power a drag takes.

    .. math:: P = T\,\omega

    Parameters
    ----------
    rotation_torque
        Drag. [N·m]
    speed
        Speed of the shaft. [rad/s]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    Also for bearings and seals.

    References
    ----------
    .. [1] Power is torque times speed.

    Examples
    --------
    >>> rotation_loss(0.2, 300.0)
    60.0
    """
    return rotation_torque * speed


@law(valid={"current": (0.0, 2000.0)})
def brush_loss(current: Scalar, brush_drop: Scalar) -> Scalar:
    r"""Return the power the brushes take.

    .. math:: P = V_b I

    Parameters
    ----------
    current
        Motor current. [A]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    In the commutator and brushes; counted to the winding's node.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> brush_loss(20.0, 1.0)
    20.0
    """
    return current * brush_drop


@law(valid={"voltage": (0.1, 2000.0)})
def best_current(voltage: Scalar, resistance: Scalar, no_load_current: Scalar) -> Scalar:
    r"""Return the current of best efficiency.

    .. math:: I = \sqrt{I_0 V / R}

    Parameters
    ----------
    voltage
        At the motor's terminals. [V]
    resistance
        Terminal to terminal, at its temperature. [Ω]
    no_load_current
        Current without load. [A]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Constant friction torque, no brush drop.

    References
    ----------
    .. [1] Linear direct-current motor.

    Examples
    --------
    >>> round(float(best_current(48.0, 0.03, 2.0)), 4)
    56.5685
    """
    return np.sqrt(voltage * no_load_current / resistance)


@law(valid={"voltage": (0.1, 2000.0)})
def best_efficiency(voltage: Scalar, resistance: Scalar, no_load_current: Scalar) -> Scalar:
    r"""Return the best efficiency a motor can have on a voltage.

    .. math:: \eta = \left(1 - \sqrt{I_0 R / V}\right)^2

    Parameters
    ----------
    voltage
        At the motor's terminals. [V]
    resistance
        Terminal to terminal, at its temperature. [Ω]
    no_load_current
        Current without load. [A]

    Returns
    -------
    Scalar
        Efficiency at the current of ``best_current``. [-]

    Notes
    -----
    Constant friction torque, no brush drop.

    References
    ----------
    .. [1] Linear direct-current motor.

    Examples
    --------
    >>> round(float(best_efficiency(48.0, 0.03, 2.0)), 6)
    0.930539
    """
    return (1.0 - np.sqrt(no_load_current * resistance / voltage)) ** 2


@law(valid={"thermal_resistance": (1e-4, 100.0)})
def runaway_current(resistance_25: Scalar, thermal_resistance: Scalar) -> Scalar:
    r"""Return the current above which a copper winding never settles.

    .. math:: I = \left(\frac{R_{25}}{259.5}\,R_{th}\right)^{-1/2}

    Parameters
    ----------
    resistance_25
        At 25 °C. [Ω]
    thermal_resistance
        Winding to air. [K/W]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Each kelvin adds resistance, each ohm adds heat; above this current heat grows faster than it is shed.

    References
    ----------
    .. [1] Heat balance of a winding with ``winding_resistance``.

    Examples
    --------
    >>> round(float(runaway_current(0.112, 0.85)), 0)
    52.0
    """
    return np.sqrt((COPPER_ZERO + REFERENCE) / (resistance_25 * thermal_resistance))


@law(valid={"thermal_resistance": (1e-4, 100.0)})
def steady_winding(resistance_25: Scalar, thermal_resistance: Scalar, current: Scalar, air: Scalar) -> Scalar:
    r"""Return the temperature at which a winding settles; inf where it never does.

    .. math:: T = T_a + \frac{R_{th} I^2 R(T_a)}{1 - R_{th} I^2 R_{25}/259.5}

    Parameters
    ----------
    resistance_25
        At 25 °C. [Ω]
    thermal_resistance
        Winding to air. [K/W]
    current
        Motor current. [A]
    air
        Temperature of the air. [K]

    Returns
    -------
    Scalar
        Temperature. [K]

    Notes
    -----
    Copper loss alone.

    References
    ----------
    .. [1] Heat balance of a winding with ``winding_resistance``.

    Examples
    --------
    >>> round(float(steady_winding(0.112, 0.85, 16.0, 298.15)) - 273.15, 0)
    52.0
    """
    heat = thermal_resistance * current**2
    gain = 1.0 - heat * resistance_25 / (COPPER_ZERO + REFERENCE)
    rise = heat * winding_resistance(resistance_25, air) / np.where(gain > 0.0, gain, 1.0)
    return np.where(gain > 0.0, air + rise, np.inf)


@law(valid={"rotor_share": (0.0, 1.0), "winding_to_case": (1e-4, 100.0), "case_to_air": (1e-4, 100.0)})
def rotation_rise(rotation_loss: Scalar, rotor_share: Scalar, winding_to_case: Scalar, case_to_air: Scalar) -> Scalar:
    r"""Return how far a winding settles above the air through turning alone.

    .. math:: \Delta T = P_{rot}\,(a R_1 + R_2)

    Parameters
    ----------
    rotation_loss
        Friction, iron and fan. [W]
    rotor_share
        Share of it that heats the winding's node. [-]
    winding_to_case
        Thermal resistance. [K/W]
    case_to_air
        Thermal resistance. [K/W]

    Returns
    -------
    Scalar
        Rise of the winding. [K]

    Notes
    -----
    A motor that turns fast is warm before it carries any load.

    References
    ----------
    .. [1] Steady state of the two bodies of ``headrace.physics.heat.two_node_step``.

    Examples
    --------
    >>> round(rotation_rise(80.0, 0.5, 0.25, 0.30), 6)
    34.0
    """
    return rotation_loss * (rotor_share * winding_to_case + case_to_air)


@law(valid={"thermal_resistance": (1e-4, 100.0)})
def continuous_current(
    resistance_25: Scalar,
    brush_drop: Scalar,
    thermal_resistance: Scalar,
    limit: Scalar,
    air: Scalar,
    rotation_rise: Scalar,
) -> Scalar:
    r"""Return the current at which a winding settles at a limit.

    .. math:: R(T)\,I^2 + V_b I = \frac{T - T_a - \Delta T_{rot}}{R_{th}}

    Parameters
    ----------
    resistance_25
        At 25 °C. [Ω]
    brush_drop
        Drop over both brushes; 0 without brushes. [V]
    thermal_resistance
        Winding to air. [K/W]
    limit
        Temperature allowed. [K]
    air
        Temperature of the air. [K]
    rotation_rise
        What turning alone adds to the winding. [K]

    Returns
    -------
    Scalar
        Current for hours; 0 where turning alone is too much. [A]

    Notes
    -----
    Copper, brushes and turning; nothing is left to a margin.

    References
    ----------
    .. [1] Heat balance of a winding with ``winding_resistance``.

    Examples
    --------
    >>> round(float(continuous_current(0.112, 1.0, 0.85, 413.15, 313.15, 0.0)), 1)
    24.1
    """
    resistance = winding_resistance(resistance_25, limit)
    heat = np.maximum(limit - air - rotation_rise, 0.0) / thermal_resistance
    return 2.0 * heat / np.maximum(brush_drop + np.sqrt(brush_drop**2 + 4.0 * resistance * heat), 1e-12)
