"""Going down: a slope or a load that drives the machine, what its motor then gives back, and what it runs away to.

Torques are those asked of a shaft, as everywhere: below nothing where the load gives more than it takes. A stage driven
from its output passes on less than it is given, so one that loses half or more of what it carries holds by itself.
"""

from __future__ import annotations

from math import inf

import numpy as np

from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms


@law(valid={"ratio": (0.01, 500.0), "efficiency": (0.05, 1.0), "creep": (0.0, 0.2)})
def driven_at_input_shaft(
    terms: TorqueTerms, ratio: Scalar, efficiency: Scalar, creep: Scalar, drag: Scalar, drag_slope: Scalar
) -> TorqueTerms:
    r"""Return the terms at the input shaft of a stage that is driven from its output.

    .. math:: T_{in}(\omega) = \eta_b\,\frac{1 - s}{i}\,c + \frac{T_{out}(\omega\,(1-s)/i) - c}{i\,\eta}
              + T_0 + T_1\,\omega, \quad \eta_b = 2 - 1 / \eta

    Parameters
    ----------
    terms
        Torque asked for at the output shaft, below nothing where it drives. [W, N·m, N·m·s/rad, N·m·s²/rad²]
    ratio
        Input turns per output turn without creep. [-]
    efficiency
        Torque efficiency in the driving direction. [-]
    creep
        Share of output speed lost in the driving direction. [-]
    drag
        Drag at the input shaft at any speed. [N·m]
    drag_slope
        Drag at the input shaft in proportion to speed. [N·m·s/rad]

    Returns
    -------
    TorqueTerms
        Terms at the input shaft, in its speed; above nothing where the motor has to drive the load down.
        [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The steady part c drives; what grows with speed is passed as a load, which is on the safe side of a motor that
    pushes, and small where the machine is slow. Below an efficiency of a half the share passed on is less than nothing:
    the stage holds, and a motor that lowers through it has to push. A worm's own back efficiency comes to the same
    within a few hundredths.

    References
    ----------
    .. [1] ``headrace.physics.transmission.back_efficiency``, balance of power over the stage.

    Examples
    --------
    Of 10 N·m that drive a 5:1 gear of 0.9, 1.78 N·m arrive, less the drag:

    >>> round(driven_at_input_shaft(TorqueTerms(0.0, -10.0, 0.0, 0.0), 5.0, 0.9, 0.0, 0.08, 0.0).constant, 3)
    -1.698
    """
    back = (2.0 - 1.0 / efficiency) * (1.0 - creep) / ratio
    share = 1.0 / (ratio * efficiency)
    turns = ratio / (1.0 - creep)
    return TorqueTerms(
        power=terms.power * turns * share,
        constant=terms.constant * back + drag,
        linear=terms.linear * share / turns + drag_slope,
        square=terms.square * share / turns**2,
    )


@law(valid={})
def left_to_motor(terms: TorqueTerms) -> TorqueTerms:
    r"""Return what is asked of a motor: nothing where the load drives it from standstill.

    .. math:: T' = 0 \text{ where } T_0 < 0, \quad T' = T \text{ elsewhere}

    Parameters
    ----------
    terms
        Torque asked for at the motor shaft, its own drag included. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Returns
    -------
    TorqueTerms
        Terms with nothing in those lanes in which the load drives. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    Drag that grows with speed is left to the load as well. Who holds the load back then, ``held_speed`` or a brake, is
    judged apart.

    References
    ----------
    .. [1] Balance of torques on one shaft.

    Examples
    --------
    >>> left_to_motor(TorqueTerms(0.0, -1.7, 0.001, 0.0)).linear
    0.0
    """
    driven = np.asarray(terms.constant) < 0.0
    if driven.ndim == 0:
        return TorqueTerms(*(0.0 * term for term in terms)) if driven else terms
    return TorqueTerms(*(np.where(driven, 0.0, term) for term in terms))


@law(valid={"driving": (0.0, 1e5), "linear": (0.0, 1e3), "square": (0.0, 1e2)})
def runaway_speed(driving: Scalar, linear: Scalar, square: Scalar) -> Scalar:
    r"""Return the speed at which drag takes all that a load gives, nothing else holding it.

    .. math:: \omega = \frac{2 T}{k_1 + \sqrt{k_1^2 + 4 k_2 T}}

    Parameters
    ----------
    driving
        Torque the load gives at any speed, constant drag already taken off. [N·m]
    linear
        Drag in proportion to speed. [N·m·s/rad]
    square
        Drag in proportion to speed squared. [N·m·s²/rad²]

    Returns
    -------
    Scalar
        Speed of the shaft; infinite where no drag grows with it, nothing where nothing drives. [rad/s]

    Notes
    -----
    On a slope without end. A short one is left before.

    References
    ----------
    .. [1] Root of a quadratic, balance of torques.

    Examples
    --------
    >>> float(runaway_speed(2.0, 0.0, 0.02))
    10.0
    """
    growing = linear + np.sqrt(linear**2 + 4.0 * square * np.maximum(driving, 0.0))
    some = np.asarray(growing) > 0.0
    speed: Scalar = np.where(
        np.asarray(driving) > 0.0, np.where(some, 2.0 * driving / np.where(some, growing, 1.0), inf), 0.0
    )
    return speed


@law(valid={"constant": (1e-5, 100.0)})
def held_speed(voltage: Scalar, current: Scalar, resistance: Scalar, brush_drop: Scalar, constant: Scalar) -> Scalar:
    r"""Return the speed at which a motor driven by its load feeds a current back into a voltage.

    .. math:: \omega = \frac{U + I R + V_b}{k_e}

    Parameters
    ----------
    voltage
        Across the motor and all that carries its current. [V]
    current
        Fed back. [A]
    resistance
        Of all that carries it. [Ω]
    brush_drop
        Over both brushes. [V]
    constant
        Volts per speed. [V·s/rad]

    Returns
    -------
    Scalar
        Speed of the motor's shaft. [rad/s]

    Notes
    -----
    Above the speed without load: a motor at full voltage holds a load back only once it has run ahead of it.

    References
    ----------
    .. [1] Voltage balance of the loop.

    Examples
    --------
    >>> held_speed(40.0, 20.0, 0.1, 1.0, 0.1)
    430.0
    """
    return (voltage + current * resistance + brush_drop) / constant


@law(valid={"constant": (1e-5, 100.0)})
def generated_voltage(
    constant: Scalar, speed: Scalar, current: Scalar, resistance: Scalar, brush_drop: Scalar
) -> Scalar:
    r"""Return the voltage a motor driven by its load puts out under a current.

    .. math:: U = k_e \omega - I R - V_b

    Parameters
    ----------
    constant
        Volts per speed. [V·s/rad]
    speed
        Of the motor's shaft. [rad/s]
    current
        Fed back. [A]
    resistance
        Of all that carries it. [Ω]
    brush_drop
        Over both brushes. [V]

    Returns
    -------
    Scalar
        Voltage; below nothing where holding the load takes power instead of giving it. [V]

    Notes
    -----
    At a crawl all that the load gives stays in the winding.

    References
    ----------
    .. [1] Voltage balance of the loop.

    Examples
    --------
    >>> generated_voltage(0.1, 430.0, 20.0, 0.1, 1.0)
    40.0
    """
    return constant * speed - current * resistance - brush_drop


@law(valid={"idle_power": (0.0, 1e3), "switching_loss": (0.0, 1e4)})
def power_given_back(voltage: Scalar, current: Scalar, idle_power: Scalar, switching_loss: Scalar) -> Scalar:
    r"""Return the power a controller feeds back.

    .. math:: P = \max(0, U I - P_0 - P_{sw})

    Parameters
    ----------
    voltage
        The motor puts out. [V]
    current
        Of the motor. [A]
    idle_power
        The controller takes for itself. [W]
    switching_loss
        Of the controller. [W]

    Returns
    -------
    Scalar
        Power at its battery side; nothing where it gives none. [W]

    Notes
    -----
    Its path's resistance belongs to that behind the voltage.

    References
    ----------
    .. [1] Balance of power of a controller.

    Examples
    --------
    >>> float(power_given_back(40.0, 20.0, 4.0, 6.0))
    790.0
    """
    return np.maximum(voltage * current - idle_power - switching_loss, 0.0)


@law(valid={"speed": (0.0, 5000.0), "wheel_radius": (0.01, 3.0), "slip": (0.0, 0.9)})
def braked_travel_speed(speed: Scalar, wheel_radius: Scalar, slip: Scalar) -> Scalar:
    r"""Return the speed over the ground of an axle that holds a machine back.

    .. math:: v = \frac{\omega\,r}{1 - s}

    Parameters
    ----------
    speed
        Of the axle. [rad/s]
    wheel_radius
        Loaded radius of the wheel that holds. [m]
    slip
        Share of the travel speed by which the held wheel turns slower. [-]

    Returns
    -------
    Scalar
        Speed over the ground. [m/s]

    Notes
    -----
    Held wheels slip the other way round than driven ones.

    References
    ----------
    .. [1] Kinematics of a braked wheel.

    Examples
    --------
    >>> braked_travel_speed(8.0, 0.2, 0.2)
    2.0
    """
    return speed * wheel_radius / (1.0 - slip)
