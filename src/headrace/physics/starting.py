"""Starting: current at standstill, time and energy to come up to speed, and what it does to fuse and winding.

The current of a direct-current motor held still behind a controller is ``margins.standstill_current``, the direct
current an inverter asks for meanwhile ``inverters.constant_power_current``, and the voltage it leaves
``converters.bus_voltage``. The energy of what turns is ``loads.spin_energy``.
"""

from __future__ import annotations

from math import inf

import numpy as np

from headrace.physics.law import Scalar, law
from headrace.physics.motors import COPPER_ZERO, REFERENCE, ZERO


@law(
    valid={
        "voltage": (0.0, 1000.0),
        "resistance": (1e-6, 1e4),
        "reactance": (0.0, 1e4),
        "source_resistance": (0.0, 1e3),
        "brush_drop": (0.0, 10.0),
    }
)
def locked_rotor_current(
    voltage: Scalar, resistance: Scalar, reactance: Scalar, source_resistance: Scalar, brush_drop: Scalar
) -> Scalar:
    r"""Return the current of a motor held still on a voltage.

    .. math:: V^2 = (I R + V_b)^2 + (I X)^2, \quad R = R_m + R_s

    Parameters
    ----------
    voltage
        Behind the source's resistance. [V]
    resistance
        Of the motor, at its temperature. [Ω]
    reactance
        Of the motor; 0 on direct current. [Ω]
    source_resistance
        Of the source and its leads. [Ω]
    brush_drop
        Drop over both brushes. [V]

    Returns
    -------
    Scalar
        Steady value; 0 where the voltage does not pass the brushes. [A]

    Notes
    -----
    On the mains the first half wave may be higher. A winding of 20 °C takes a third more than a hot one. What an
    inverter lets through is less: it limits, folds back or trips.

    References
    ----------
    .. [1] Voltage balance at standstill.

    Examples
    --------
    >>> float(locked_rotor_current(25.0, 0.08, 0.0, 0.02, 1.0))
    240.0
    >>> float(locked_rotor_current(250.0, 3.0, 4.0, 0.0, 0.0))
    50.0
    """
    whole = resistance + source_resistance
    held = whole * brush_drop
    spare = np.maximum(voltage**2 - brush_drop**2, 0.0)
    return spare / (held + np.sqrt(held**2 + (whole**2 + reactance**2) * np.maximum(spare, 1e-30)))


@law(valid={"voltage": (0.0, 1000.0), "current": (0.0, 1e4)})
def apparent_power(voltage: Scalar, current: Scalar) -> Scalar:
    r"""Return the volt-amperes of a load.

    .. math:: S = V I

    Parameters
    ----------
    voltage
        At its terminals, effective value. [V]
    current
        Effective value. [A]

    Returns
    -------
    Scalar
        Volt-amperes, which size an inverter. [VA]

    Notes
    -----
    With the current at standstill, what a corded motor asks for in the moment of the start.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> apparent_power(230.0, 10.0)
    2300.0
    """
    return voltage * current


@law(valid={"current": (0.0, 1e4), "resistance": (0.0, 1e4), "brush_drop": (0.0, 10.0)})
def locked_rotor_power(current: Scalar, resistance: Scalar, brush_drop: Scalar) -> Scalar:
    r"""Return the power a motor held still turns into heat.

    .. math:: P = I^2 R + V_b I

    Parameters
    ----------
    current
        Effective value. [A]
    resistance
        Of the motor, at its temperature. [Ω]
    brush_drop
        Drop over both brushes. [V]

    Returns
    -------
    Scalar
        Power, all that the motor takes. [W]

    Notes
    -----
    Less than the volt-amperes by the reactance; an inverter's source has to give it, and the inverter's loss with it.

    References
    ----------
    .. [1] Power balance without motion.

    Examples
    --------
    >>> locked_rotor_power(10.0, 8.0, 2.0)
    820.0
    """
    return current * (current * resistance + brush_drop)


@law(valid={"inertia": (0.0, 1e5), "speed": (0.0, 20_000.0), "torque": (0.0, 1e5), "load_torque": (0.0, 1e5)})
def spin_up_time(inertia: Scalar, speed: Scalar, torque: Scalar, load_torque: Scalar) -> Scalar:
    r"""Return the time a constant torque takes to bring a load up to speed.

    .. math:: t = \frac{J\,\omega}{T - T_L}

    Parameters
    ----------
    inertia
        Of all that turns, at this shaft. [kg·m²]
    speed
        To reach from rest. [rad/s]
    torque
        Of the motor, under its limit of current. [N·m]
    load_torque
        Asked for by drag and tool meanwhile. [N·m]

    Returns
    -------
    Scalar
        Time; inf where the load takes all the torque. [s]

    Notes
    -----
    Up to the speed at which the voltage no longer holds the limit of current; beyond it the approach is exponential.

    References
    ----------
    .. [1] Newton's second law of rotation.

    Examples
    --------
    >>> float(spin_up_time(0.02, 300.0, 7.0, 1.0))
    1.0
    """
    spare = np.asarray(torque - load_torque)
    moving = spare > 0.0
    return np.where(moving, inertia * speed / np.where(moving, spare, 1.0), inf)


@law(valid={"inertia": (0.0, 1e5), "load_share": (0.0, 1.0)})
def start_energy(inertia: Scalar, speed: Scalar, ideal_speed: Scalar, load_share: Scalar) -> Scalar:
    r"""Return the energy a source on a steady voltage gives in one start.

    .. math:: W = \frac{J\,\omega\,\omega_i}{1 - x}

    Parameters
    ----------
    inertia
        Of all that turns, at the motor's shaft. [kg·m²]
    speed
        Reached from rest. [rad/s]
    ideal_speed
        At which back voltage is the source's; of an induction motor, that of the field. [rad/s]
    load_share
        Torque of the load over torque of the motor while it starts, below 1. [-]

    Returns
    -------
    Scalar
        Energy, that of ``spin_energy``, ``start_heat`` and ``start_work`` together. [J]

    Notes
    -----
    Of a permanent-magnet motor, without its brushes, whatever the course of its current; of an induction motor, the
    energy through the air gap. A controller that limits the current draws less: there only the winding's heat is lost.

    References
    ----------
    .. [1] Source power is ideal speed times torque; integrated over the start (derived).

    Examples
    --------
    Without load up to the ideal speed, half of it is heat:

    >>> float(start_energy(0.02, 300.0, 300.0, 0.0))
    1800.0
    """
    return inertia * speed * ideal_speed * _stretch(load_share)


@law(valid={"inertia": (0.0, 1e5), "load_share": (0.0, 1.0)})
def start_heat(inertia: Scalar, speed: Scalar, ideal_speed: Scalar, load_share: Scalar) -> Scalar:
    r"""Return the part of a start's energy that becomes heat.

    .. math:: Q = \frac{J\,\omega\,(\omega_i - \omega/2)}{1 - x}

    Parameters
    ----------
    inertia
        Of all that turns, at the motor's shaft. [kg·m²]
    speed
        Reached from rest. [rad/s]
    ideal_speed
        At which back voltage is the source's; of an induction motor, that of the field. [rad/s]
    load_share
        Torque of the load over torque of the motor while it starts, below 1. [-]

    Returns
    -------
    Scalar
        Heat in winding, leads and source in the ratio of their resistances; in the rotor of an induction motor. [J]

    Notes
    -----
    No resistor makes it less: a larger one only shares it out otherwise.

    References
    ----------
    .. [1] As ``start_energy``.

    Examples
    --------
    >>> float(start_heat(0.02, 300.0, 300.0, 0.0))
    900.0
    """
    return inertia * speed * (ideal_speed - 0.5 * speed) * _stretch(load_share)


@law(valid={"inertia": (0.0, 1e5), "load_share": (0.0, 1.0)})
def start_work(inertia: Scalar, speed: Scalar, load_share: Scalar) -> Scalar:
    r"""Return the work a load takes while it is brought up to speed.

    .. math:: W_L = \frac{x}{1 - x}\,\tfrac{1}{2}\,J \omega^2

    Parameters
    ----------
    inertia
        Of all that turns, at the motor's shaft. [kg·m²]
    speed
        Reached from rest. [rad/s]
    load_share
        Torque of the load over torque of the motor while it starts, below 1. [-]

    Returns
    -------
    Scalar
        Work done on the load besides the motion. [J]

    Notes
    -----
    The share taken as constant.

    References
    ----------
    .. [1] As ``start_energy``.

    Examples
    --------
    >>> float(start_work(0.02, 300.0, 0.5))
    900.0
    """
    return 0.5 * inertia * speed**2 * load_share * _stretch(load_share)


def _stretch(load_share: Scalar) -> Scalar:
    """Return by how much longer a start takes under load; inf where it never ends."""
    share = np.asarray(load_share)
    ends = share < 1.0
    longer: Scalar = np.where(ends, 1.0 / np.where(ends, 1.0 - share, 1.0), inf)
    return longer


@law(
    valid={
        "current": (0.0, 1e4),
        "resistance_25": (0.0, 1e4),
        "brush_drop": (0.0, 10.0),
        "capacity": (1e-3, 1e6),
        "start": (213.0, 600.0),
        "limit": (213.0, 600.0),
    }
)
def stall_time(
    current: Scalar, resistance_25: Scalar, brush_drop: Scalar, capacity: Scalar, start: Scalar, limit: Scalar
) -> Scalar:
    r"""Return the time a winding held still takes to reach a temperature.

    .. math:: t = \int_{T_0}^{T_1} \frac{C\,dT}{I^2 R(T) + V_b I}

    Parameters
    ----------
    current
        Held, as by a controller's limit. [A]
    resistance_25
        Of the winding at 25 °C. [Ω]
    brush_drop
        Drop over both brushes, counted to the winding. [V]
    capacity
        Heat capacity of the winding's node. [J/K]
    start
        Temperature at the beginning. [K]
    limit
        Temperature not to pass. [K]

    Returns
    -------
    Scalar
        Time; 0 above the limit, inf without current. [s]

    Notes
    -----
    No heat leaves: right for a fraction of the winding's time constant and short of the truth beyond. On a fixed
    voltage the current falls as the copper warms and the time is a little longer.

    References
    ----------
    .. [1] Heat balance of a winding with ``motors.winding_resistance``, integrated.

    Examples
    --------
    >>> round(float(stall_time(60.0, 0.1, 0.0, 250.0, 298.15, 428.15)), 1)
    73.2
    """
    slope = np.asarray(current**2 * resistance_25 / (COPPER_ZERO + REFERENCE))
    begin = slope * (COPPER_ZERO + start - ZERO) + brush_drop * current
    rise = np.maximum(limit - start, 0.0)
    heated = np.asarray(begin) > 0.0
    first = np.where(heated, begin, 1.0)
    warming = np.where(slope > 0.0, slope, 1.0)
    growing = np.log1p(slope * rise / first) / warming
    return np.where(heated, capacity * np.where(slope > 0.0, growing, rise / first), np.where(rise > 0.0, inf, 0.0))


@law(valid={"peak": (0.0, 1e5), "running": (0.0, 1e5), "time_constant": (1e-6, 1e5), "duration": (0.0, 1e5)})
def start_joule_integral(peak: Scalar, running: Scalar, time_constant: Scalar, duration: Scalar) -> Scalar:
    r"""Return what a start's current does to a fuse.

    .. math:: \int_0^t \bigl[I_r + (I_p - I_r)\,e^{-t/\tau}\bigr]^2 dt

    Parameters
    ----------
    peak
        Current at standstill. [A]
    running
        Current it settles at. [A]
    time_constant
        Of the fall from one to the other, as ``sawing.recovery_time_constant``. [s]
    duration
        From the start on. [s]

    Returns
    -------
    Scalar
        Integral of the current squared. [A²·s]

    Notes
    -----
    A start straight on a voltage. Under a limit of current peak and running are that limit, and the time constant
    drops out. Compare with the fuse's melting integral only for times shorter than its own warming.

    References
    ----------
    .. [1] Integral of an exponential, by hand.

    Examples
    --------
    >>> float(start_joule_integral(60.0, 60.0, 1.0, 0.5))
    1800.0
    """
    above = peak - running
    once = -np.expm1(-duration / time_constant)
    twice = -np.expm1(-2.0 * duration / time_constant)
    return running**2 * duration + above * time_constant * (2.0 * running * once + 0.5 * above * twice)


@law(valid={"trip": (0.0, 1e5), "peak": (0.0, 1e5), "running": (0.0, 1e5), "time_constant": (1e-6, 1e5)})
def time_above(trip: Scalar, peak: Scalar, running: Scalar, time_constant: Scalar) -> Scalar:
    r"""Return how long a start's current stays above the level of a trip.

    .. math:: t = \tau \ln\frac{I_p - I_r}{I_t - I_r}

    Parameters
    ----------
    trip
        Level at which a board, an inverter or a breaker begins to count. [A]
    peak
        Current at standstill. [A]
    running
        Current it settles at. [A]
    time_constant
        Of the fall from one to the other. [s]

    Returns
    -------
    Scalar
        Time; 0 below the level from the start, inf where it settles above. [s]

    Notes
    -----
    Longer than the trip's delay, and the start fails although the mean is far within the rating.

    References
    ----------
    .. [1] Exponential fall solved for the time.

    Examples
    --------
    >>> round(float(time_above(100.0, 300.0, 20.0, 0.5)), 4)
    0.6264
    """
    over = np.asarray(trip - running)
    falls = over > 0.0
    ratio = np.maximum(np.asarray(peak - running) / np.where(falls, over, 1.0), 1.0)
    settled = np.where(np.maximum(peak, running) > trip, inf, 0.0)
    return np.where(falls, time_constant * np.log(ratio), settled)
