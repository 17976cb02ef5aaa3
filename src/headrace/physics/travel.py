"""Travel on wheels: what slope, ground, air and drawbar ask of the axle, and what comes back downhill.

The torque of a force at a wheel is ``lifting.pull_torque``, the power of a force ``lifting.pull_power``.
"""

from __future__ import annotations

from math import inf

import numpy as np

from headrace.physics.heat import GRAVITY
from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms


@law(valid={"grade": (-2.0, 2.0)})
def grade_angle(grade: Scalar) -> Scalar:
    r"""Return the angle of a grade.

    .. math:: \alpha = \arctan G

    Parameters
    ----------
    grade
        Rise over level distance; 0.1 for ten per cent. [-]

    Returns
    -------
    Scalar
        Angle; negative downhill. [rad]

    Notes
    -----
    Rise over the level, as on road signs, not over the length of the slope.

    References
    ----------
    .. [1] Definition of grade.

    Examples
    --------
    >>> round(float(grade_angle(0.1)), 5)
    0.09967
    """
    return np.arctan(grade)


@law(valid={"mass": (0.0, 1e5), "angle": (-1.2, 1.2)})
def grade_force(mass: Scalar, angle: Scalar) -> Scalar:
    r"""Return the force a slope asks for.

    .. math:: F = m\,g \sin\alpha

    Parameters
    ----------
    mass
        Of machine, load and rider. [kg]
    angle
        Of the slope, up positive. [rad]

    Returns
    -------
    Scalar
        Force along the ground; negative downhill. [N]

    Notes
    -----
    Along the fall line. Its work comes back as height.

    References
    ----------
    .. [1] Statics of the inclined plane.

    Examples
    --------
    >>> round(float(grade_force(1000.0, grade_angle(0.01))), 2)
    98.06
    """
    return mass * GRAVITY * np.sin(angle)


@law(valid={"mass": (0.0, 1e5), "angle": (-1.5708, 1.5708), "rolling": (0.0, 1.0)})
def rolling_force(mass: Scalar, angle: Scalar, rolling: Scalar) -> Scalar:
    r"""Return the force that rolling takes.

    .. math:: F = m\,g\,C_{rr} \cos\alpha

    Parameters
    ----------
    mass
        On the wheels. [kg]
    angle
        Of the slope. [rad]
    rolling
        Rolling coefficient of these wheels on this ground. [-]

    Returns
    -------
    Scalar
        Force against the motion. [N]

    Notes
    -----
    Independent of speed, as it nearly is at walking pace. For a skid the coefficient is its sliding friction.

    References
    ----------
    .. [1] Definition of the rolling coefficient.

    Examples
    --------
    >>> round(float(rolling_force(150.0, 0.0, 0.08)), 2)
    117.68
    """
    return mass * GRAVITY * rolling * np.cos(angle)


@law(valid={"rolling": (0.0, 1.0), "diameter": (0.02, 3.0), "known_diameter": (0.02, 3.0)})
def rolling_of_wheel(rolling: Scalar, diameter: Scalar, known_diameter: Scalar) -> Scalar:
    r"""Return the rolling coefficient of a wheel of another size on the same ground.

    .. math:: C = C_k \sqrt{D_k / D}

    Parameters
    ----------
    rolling
        Coefficient of the known wheel. [-]
    diameter
        Of the wheel at hand. [m]
    known_diameter
        Of the known wheel. [m]

    Returns
    -------
    Scalar
        Rolling coefficient. [-]

    Notes
    -----
    Same load, width and kind of tyre on soft ground. On a hard road the tyre counts more than its size.

    References
    ----------
    .. [1] Common practice, no source; other rules take powers from one third to one.

    Examples
    --------
    >>> float(rolling_of_wheel(0.05, 0.25, 1.0))
    0.1
    """
    return rolling * np.sqrt(known_diameter / diameter)


@law(valid={"cone_index": (1e3, 1e8), "width": (0.005, 2.0), "diameter": (0.02, 3.0), "wheel_load": (1.0, 1e6)})
def wheel_numeric(cone_index: Scalar, width: Scalar, diameter: Scalar, wheel_load: Scalar) -> Scalar:
    r"""Return how well soil carries a wheel.

    .. math:: C_n = \frac{C_I\,b\,d}{W}

    Parameters
    ----------
    cone_index
        Pressure that pushes the standard cone into the soil. [Pa]
    width
        Of the tyre, unloaded. [m]
    diameter
        Of the tyre, unloaded. [m]
    wheel_load
        Weight on the wheel. [N]

    Returns
    -------
    Scalar
        Wheel numeric; the higher the firmer. [-]

    Notes
    -----
    Cone index as the mean over the topmost 0.15 m, before the wheel has passed.

    References
    ----------
    .. [1] Wismer and Luth, Off-road traction prediction for wheeled vehicles, J. Terramechanics 10 (1973), from
       memory.

    Examples
    --------
    >>> wheel_numeric(400e3, 0.1, 0.4, 800.0)
    20.0
    """
    return cone_index * width * diameter / wheel_load


@law(valid={"numeric": (5.0, 200.0)})
def soil_rolling(numeric: Scalar) -> Scalar:
    r"""Return the rolling coefficient of a towed wheel on soil.

    .. math:: C_{rr} = \frac{1.2}{C_n} + 0.04

    Parameters
    ----------
    numeric
        Wheel numeric of wheel and soil. [-]

    Returns
    -------
    Scalar
        Rolling coefficient. [-]

    Notes
    -----
    Pneumatic tyres about a third as wide as high, on soil that does not shift under way. Fitted to tractor tyres:
    a wheelbarrow's lies outside.

    References
    ----------
    .. [1] Wismer and Luth, as in Liljedahl et al., Tractors and Their Power Units (range and tyre from memory).

    Examples
    --------
    >>> round(soil_rolling(20.0), 6)
    0.1
    """
    return 1.2 / numeric + 0.04


@law(valid={"density": (0.5, 2.0), "drag_area": (0.0, 20.0), "air_speed": (-60.0, 60.0)})
def air_force(density: Scalar, drag_area: Scalar, air_speed: Scalar) -> Scalar:
    r"""Return the force of the air on a machine.

    .. math:: F = \tfrac{1}{2}\,\rho\,C_d A\,v\,|v|

    Parameters
    ----------
    density
        Of the air. [kg/m³]
    drag_area
        Drag coefficient times frontal area. [m²]
    air_speed
        Of the air against the machine: travel speed plus headwind. [m/s]

    Returns
    -------
    Scalar
        Force against the motion; negative in a following wind that is faster. [N]

    Notes
    -----
    Half a newton for a rider at 1 m/s: nothing to speak of at walking pace.

    References
    ----------
    .. [1] Definition of the drag coefficient.

    Examples
    --------
    >>> round(float(air_force(1.2, 0.8, 1.0)), 2)
    0.48
    """
    return 0.5 * density * drag_area * air_speed * np.abs(air_speed)


@law(valid={"inertia": (0.0, 1e4), "turns": (0.0, 1e3), "wheel_radius": (0.01, 3.0)})
def rotating_mass(inertia: Scalar, turns: Scalar, wheel_radius: Scalar) -> Scalar:
    r"""Return the mass a turning part adds to what has to be sped up.

    .. math:: m_r = J\,\frac{n^2}{r^2}

    Parameters
    ----------
    inertia
        Of the part about its own axis. [kg·m²]
    turns
        Its turns for one of the wheels: 1 for a wheel, the ratio for a motor. [-]
    wheel_radius
        Loaded radius of the driven wheel. [m]

    Returns
    -------
    Scalar
        Mass to add to the machine's own. [kg]

    Notes
    -----
    A small rotor behind a high ratio may weigh more than the machine. Without slip.

    References
    ----------
    .. [1] Equal kinetic energy.

    Examples
    --------
    >>> round(rotating_mass(0.001, 30.0, 0.15), 6)
    40.0
    """
    return inertia * (turns / wheel_radius) ** 2


@law(valid={"mass": (0.0, 1e6), "acceleration": (-20.0, 20.0)})
def acceleration_force(mass: Scalar, acceleration: Scalar) -> Scalar:
    r"""Return the force that speeds a machine up.

    .. math:: F = m\,\dot v

    Parameters
    ----------
    mass
        Of machine and load, with that of its rotating parts. [kg]
    acceleration
        Along the ground. [m/s²]

    Returns
    -------
    Scalar
        Force. [N]

    Notes
    -----
    Its work stays in the machine as motion until the brake turns it into heat.

    References
    ----------
    .. [1] Newton's second law.

    Examples
    --------
    >>> acceleration_force(190.0, 0.5)
    95.0
    """
    return mass * acceleration


@law(valid={"travel_speed": (0.0, 60.0), "wheel_radius": (0.01, 3.0), "slip": (0.0, 0.9)})
def axle_speed(travel_speed: Scalar, wheel_radius: Scalar, slip: Scalar) -> Scalar:
    r"""Return the speed of a driven axle.

    .. math:: \omega = \frac{v}{r\,(1 - s)}

    Parameters
    ----------
    travel_speed
        Over the ground. [m/s]
    wheel_radius
        Loaded radius of the driven wheel. [m]
    slip
        Share of the wheel's speed that is lost on the ground. [-]

    Returns
    -------
    Scalar
        Speed of the axle. [rad/s]

    Notes
    -----
    Slip grows with pull; here it is given.

    References
    ----------
    .. [1] Definition of slip.

    Examples
    --------
    >>> round(axle_speed(1.2, 0.2, 0.04), 6)
    6.25
    """
    return travel_speed / (wheel_radius * (1.0 - slip))


@law(valid={"speed": (0.0, 5000.0), "wheel_radius": (0.01, 3.0), "slip": (0.0, 0.9)})
def travel_speed_of_axle(speed: Scalar, wheel_radius: Scalar, slip: Scalar) -> Scalar:
    r"""Return the speed over the ground of a driven axle.

    .. math:: v = \omega\,r\,(1 - s)

    Parameters
    ----------
    speed
        Of the axle. [rad/s]
    wheel_radius
        Loaded radius of the driven wheel. [m]
    slip
        Share of the wheel's speed that is lost on the ground. [-]

    Returns
    -------
    Scalar
        Speed over the ground. [m/s]

    Notes
    -----
    Straight ahead; in a bend it is the mean of both wheels.

    References
    ----------
    .. [1] Definition of slip.

    Examples
    --------
    >>> round(travel_speed_of_axle(6.25, 0.2, 0.04), 6)
    1.2
    """
    return speed * wheel_radius * (1.0 - slip)


@law(valid={"travel_speed": (0.0, 60.0), "slip": (0.0, 0.9)})
def slip_loss(force: Scalar, travel_speed: Scalar, slip: Scalar) -> Scalar:
    r"""Return the power lost between wheel and ground.

    .. math:: P = F\,v\,\frac{s}{1 - s}

    Parameters
    ----------
    force
        Of the driven wheels on the ground. [N]
    travel_speed
        Over the ground. [m/s]
    slip
        Share of the wheel's speed that is lost on the ground. [-]

    Returns
    -------
    Scalar
        Power turned into heat and torn sward. [W]

    Notes
    -----
    On top of the power of the forces at the travel speed.

    References
    ----------
    .. [1] Balance of power at the wheel.

    Examples
    --------
    >>> round(slip_loss(250.0, 1.2, 0.04), 6)
    12.5
    """
    return force * travel_speed * slip / (1.0 - slip)


@law(
    valid={
        "wheel_radius": (0.01, 3.0),
        "density": (0.5, 2.0),
        "drag_area": (0.0, 20.0),
        "slip": (0.0, 0.9),
    }
)
def travel_torque_terms(
    steady_force: Scalar, wheel_radius: Scalar, density: Scalar, drag_area: Scalar, slip: Scalar
) -> TorqueTerms:
    r"""Return the torque travel asks of the axle, as terms in the axle's speed.

    .. math:: T = F\,r + \tfrac{1}{2}\,\rho\,C_d A\,r^3 (1 - s)^2\,\omega^2

    Parameters
    ----------
    steady_force
        Rolling, grade, drawbar and acceleration together. [N]
    wheel_radius
        Loaded radius of the driven wheel. [m]
    density
        Of the air. [kg/m³]
    drag_area
        Drag coefficient times frontal area. [m²]
    slip
        Share of the wheel's speed that is lost on the ground. [-]

    Returns
    -------
    TorqueTerms
        Terms at the driven axle. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    Slip costs speed, not torque. In still air; a steady wind is best taken as a force at the speed looked at.

    References
    ----------
    .. [1] Derived from the forces of this file.

    Examples
    --------
    >>> travel_torque_terms(250.0, 0.2, 1.2, 0.8, 0.04).constant
    50.0
    """
    none = 0.0 * slip
    air = 0.5 * density * drag_area * wheel_radius**3 * (1.0 - slip) ** 2
    return TorqueTerms(none, steady_force * wheel_radius, none, air)


@law(valid={"mass": (0.0, 1e5), "angle": (-1.2, 1.2), "driven_share": (0.0, 1.0), "grip": (0.0, 1.5)})
def grip_limit(mass: Scalar, angle: Scalar, driven_share: Scalar, grip: Scalar) -> Scalar:
    r"""Return the most force the driven wheels can put on the ground.

    .. math:: F = \mu\,a\,m\,g \cos\alpha

    Parameters
    ----------
    mass
        Of machine, load and rider. [kg]
    angle
        Of the slope. [rad]
    driven_share
        Share of the weight on the driven, or the braked, axle. [-]
    grip
        Force over weight before the wheels spin. [-]

    Returns
    -------
    Scalar
        Force. [N]

    Notes
    -----
    Give the share as it is on the slope: a climb moves weight to the lower axle. With an open differential the wheel
    with less weight decides for both.

    References
    ----------
    .. [1] Coulomb friction (the coefficient is assumed).

    Examples
    --------
    >>> round(float(grip_limit(150.0, 0.0, 0.6, 0.4)), 1)
    353.0
    """
    return grip * driven_share * mass * GRAVITY * np.cos(angle)


@law(
    valid={
        "mass": (0.0, 1e5),
        "angle": (0.0, 1.2),
        "rolling": (0.0, 1.0),
        "air": (-1e4, 1e4),
        "wheel_radius": (0.01, 3.0),
    }
)
def holding_torque(mass: Scalar, angle: Scalar, rolling: Scalar, air: Scalar, wheel_radius: Scalar) -> Scalar:
    r"""Return the torque that holds a steady speed down a slope.

    .. math:: T = \bigl[m\,g\,(\sin\alpha - C_{rr} \cos\alpha) - F_a\bigr]\,r

    Parameters
    ----------
    mass
        Of machine, load and rider. [kg]
    angle
        Of the slope, as a positive angle. [rad]
    rolling
        Rolling coefficient. [-]
    air
        Force of the air against the motion. [N]
    wheel_radius
        Loaded radius of the wheel that holds. [m]

    Returns
    -------
    Scalar
        Torque at the axle; negative where it has to be driven even downhill. [N·m]

    Notes
    -----
    Steady speed: slowing down comes on top. No more can be held than ``grip_limit`` of that axle allows.

    References
    ----------
    .. [1] Statics of the inclined plane.

    Examples
    --------
    >>> round(float(holding_torque(150.0, grade_angle(0.2), 0.05, 0.0, 0.2)), 2)
    43.27
    """
    return (mass * GRAVITY * (np.sin(angle) - rolling * np.cos(angle)) - air) * wheel_radius


@law(valid={"travel_speed": (0.0, 60.0), "wheel_radius": (0.01, 3.0), "slip": (0.0, 0.9)})
def descent_power(holding_torque: Scalar, travel_speed: Scalar, wheel_radius: Scalar, slip: Scalar) -> Scalar:
    r"""Return the power an axle gives back while it holds a machine on a slope.

    .. math:: P = T\,\frac{v\,(1 - s)}{r}

    Parameters
    ----------
    holding_torque
        At the axle. [N·m]
    travel_speed
        Over the ground. [m/s]
    wheel_radius
        Loaded radius of the wheel that holds. [m]
    slip
        Share of the travel speed by which the held wheel turns slower. [-]

    Returns
    -------
    Scalar
        Power at the axle, towards the motor. [W]

    Notes
    -----
    Held wheels slip the other way round. What reaches the pack is less by every stage, and a full pack takes none.

    References
    ----------
    .. [1] Balance of power at a braked wheel.

    Examples
    --------
    >>> round(descent_power(43.0, 1.2, 0.2, 0.0), 6)
    258.0
    """
    return holding_torque * travel_speed * (1.0 - slip) / wheel_radius


@law(valid={"mass": (0.0, 1e6), "travel_speed": (-60.0, 60.0)})
def motion_energy(mass: Scalar, travel_speed: Scalar) -> Scalar:
    r"""Return the energy of a machine in motion.

    .. math:: E = \tfrac{1}{2}\,m v^2

    Parameters
    ----------
    mass
        Of machine and load, with that of its rotating parts. [kg]
    travel_speed
        Over the ground. [m/s]

    Returns
    -------
    Scalar
        Energy. [J]

    Notes
    -----
    The most one stop on the level can put into the brakes.

    References
    ----------
    .. [1] Kinetic energy.

    Examples
    --------
    >>> motion_energy(200.0, 2.0)
    400.0
    """
    return 0.5 * mass * travel_speed**2


@law(
    valid={
        "mass": (0.0, 1e6),
        "travel_speed": (0.0, 60.0),
        "brake_force": (0.0, 1e6),
        "reaction_time": (0.0, 10.0),
    }
)
def stopping_distance(
    mass: Scalar, travel_speed: Scalar, brake_force: Scalar, resistance: Scalar, reaction_time: Scalar
) -> Scalar:
    r"""Return the distance in which a friction brake stops a machine.

    .. math:: d = v\,t_r + \frac{m v^2}{2\,(F_b + F_r)}

    Parameters
    ----------
    mass
        Of machine and load, with that of its rotating parts. [kg]
    travel_speed
        Over the ground when the need is seen. [m/s]
    brake_force
        Of the brakes at the ground, no more than the grip of the braked axle. [N]
    resistance
        Rolling and grade together; negative on a steep way down. [N]
    reaction_time
        Until the brake bites. [s]

    Returns
    -------
    Scalar
        Distance; infinite where the slope is stronger than the brake. [m]

    Notes
    -----
    Steady forces; speed is taken as held until the brake bites. Air, which only helps, and fading are left out.

    References
    ----------
    .. [1] Balance of work and kinetic energy.

    Examples
    --------
    >>> float(stopping_distance(200.0, 2.0, 300.0, 100.0, 0.5))
    2.0
    """
    force = np.asarray(brake_force + resistance)
    holds = force > 0.0
    braked = 0.5 * mass * travel_speed**2 / np.where(holds, force, 1.0)
    rolled: Scalar = travel_speed * reaction_time + np.where(holds, braked, inf)
    return np.where(np.asarray(travel_speed) > 0.0, rolled, 0.0)
