"""Lifting and hauling: rope on a drum, load on a slope, tackle, capstan, and what comes back on the way down.

The speed of rope at a drum is ``loads.tip_speed``, the drum's speed for it ``loads.speed_of_tip``. Of a pull up a slope
the part that becomes height is ``travel.grade_force``, the part that rubs ``travel.rolling_force`` with the friction
of the skid. Whether a worm holds its load is told by ``transmission.worm_holds``.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.heat import GRAVITY
from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms
from headrace.physics.transmission import tension_ratio

WHOLE = 1e-9  # a count this close to a whole number is that number: lengths come out of decimal fractions


@law(valid={"core_radius": (0.0, 5.0), "rope": (1e-4, 0.2), "layer": (1.0, 100.0), "spacing": (0.8, 1.0)})
def layer_radius(core_radius: Scalar, rope: Scalar, layer: Scalar, spacing: Scalar) -> Scalar:
    r"""Return the radius at which rope leaves a drum.

    .. math:: r_k = r + d\,\bigl[\tfrac{1}{2} + s\,(k - 1)\bigr]

    Parameters
    ----------
    core_radius
        Of the bare drum. [m]
    rope
        Diameter of the rope. [m]
    layer
        Number of the layer, 1 on the bare drum. [-]
    spacing
        Height of a layer over the rope's diameter. [-]

    Returns
    -------
    Scalar
        To the middle of the rope. [m]

    Notes
    -----
    Turns that lie in the grooves of the layer below stand 0.866 of a diameter above it, crossed turns a whole one.
    Flattening under load is left out.

    References
    ----------
    .. [1] Geometry of circles stacked in grooves: half the square root of three.

    Examples
    --------
    >>> round(layer_radius(0.05, 0.006, 3.0, 0.866), 6)
    0.063392
    """
    return core_radius + rope * (0.5 + spacing * (layer - 1.0))


@law(valid={"drum_width": (1e-3, 10.0), "rope": (1e-4, 0.2)})
def turns_per_layer(drum_width: Scalar, rope: Scalar) -> Scalar:
    r"""Return the turns of rope that lie side by side on a drum.

    .. math:: n = \lfloor b / d \rfloor

    Parameters
    ----------
    drum_width
        Between the flanges. [m]
    rope
        Diameter of the rope. [m]

    Returns
    -------
    Scalar
        Whole turns. [-]

    Notes
    -----
    Tight and even. Slack winding takes fewer.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> float(turns_per_layer(0.10, 0.006))
    16.0
    """
    return np.floor(drum_width / rope * (1.0 + WHOLE))


@law(
    valid={
        "core_radius": (0.0, 5.0),
        "rope": (1e-4, 0.2),
        "turns": (1.0, 1e4),
        "layers": (0.0, 100.0),
        "spacing": (0.8, 1.0),
    }
)
def drum_capacity(core_radius: Scalar, rope: Scalar, turns: Scalar, layers: Scalar, spacing: Scalar) -> Scalar:
    r"""Return the rope that fills whole layers of a drum.

    .. math:: L = 2 \pi n K \bigl[r + \tfrac{1}{2} d + \tfrac{1}{2} s d\,(K - 1)\bigr]

    Parameters
    ----------
    core_radius
        Of the bare drum. [m]
    rope
        Diameter of the rope. [m]
    turns
        Turns in a layer. [-]
    layers
        Full layers. [-]
    spacing
        Height of a layer over the rope's diameter. [-]

    Returns
    -------
    Scalar
        Length of rope. [m]

    Notes
    -----
    Every layer with the same number of turns, each a circle; the rise along the drum adds less than a thousandth for
    rope up to a quarter of the core's radius. The turns that must stay on the drum are not for use.

    References
    ----------
    .. [1] Sum of the circumferences of the layers.

    Examples
    --------
    >>> round(float(drum_capacity(0.05, 0.006, 16.0, 3.0, 0.866)), 2)
    17.55
    """
    return 2.0 * np.pi * turns * layers * (core_radius + rope * (0.5 + 0.5 * spacing * (layers - 1.0)))


@law(
    valid={
        "length": (0.0, 1e5),
        "core_radius": (1e-3, 5.0),
        "rope": (1e-4, 0.2),
        "turns": (1.0, 1e4),
        "spacing": (0.8, 1.0),
    }
)
def layer_reached(length: Scalar, core_radius: Scalar, rope: Scalar, turns: Scalar, spacing: Scalar) -> Scalar:
    r"""Return the layer on which a length of rope ends.

    .. math:: k = \left\lceil \frac{2 c}{b + \sqrt{b^2 + 4 a c}} \right\rceil, \quad a = \tfrac{1}{2} s d,
              \quad b = r + \tfrac{1}{2} d - a, \quad c = \frac{L}{2 \pi n}

    Parameters
    ----------
    length
        Rope on the drum. [m]
    core_radius
        Of the bare drum. [m]
    rope
        Diameter of the rope. [m]
    turns
        Turns in a layer. [-]
    spacing
        Height of a layer over the rope's diameter. [-]

    Returns
    -------
    Scalar
        Number of the layer, 1 on the bare drum; also for no rope at all. [-]

    Notes
    -----
    A winch pulls least on its top layer and runs slowest on the first. Whether the flanges are high enough is for
    the caller to compare.

    References
    ----------
    .. [1] The quadratic of ``drum_capacity``, solved for the layers.

    Examples
    --------
    >>> float(layer_reached(15.0, 0.05, 0.006, 16.0, 0.866))
    3.0
    """
    rise = 0.5 * spacing * rope
    first = core_radius + 0.5 * rope - rise
    wound = length / (2.0 * np.pi * turns)
    layers = 2.0 * wound / (first + np.sqrt(first**2 + 4.0 * rise * wound))
    return np.maximum(np.ceil(layers * (1.0 - WHOLE)), 1.0)


@law(valid={"mass": (0.0, 1e6), "angle": (0.0, 1.5708), "friction": (0.0, 2.0), "acceleration": (-20.0, 20.0)})
def load_pull(mass: Scalar, angle: Scalar, friction: Scalar, acceleration: Scalar) -> Scalar:
    r"""Return the pull that takes a load up a slope.

    .. math:: F = m\,\bigl[g\,(\sin\alpha + \mu \cos\alpha) + \dot v\bigr]

    Parameters
    ----------
    mass
        Of the load with its hook or sledge. [kg]
    angle
        Of the slope; a right angle for a free lift. [rad]
    friction
        Of the load on the slope, sliding or rolling. [-]
    acceleration
        Of the load, up the slope. [m/s²]

    Returns
    -------
    Scalar
        Pull along the slope. [N]

    Notes
    -----
    Pull parallel to the slope. Breaking a load loose takes more than keeping it moving; the weight of the rope is
    left out.

    References
    ----------
    .. [1] Statics of the inclined plane; Newton's second law.

    Examples
    --------
    >>> import math
    >>> round(float(load_pull(300.0, math.pi / 2, 0.3, 0.0)), 1)
    2942.0
    """
    return mass * (GRAVITY * (np.sin(angle) + friction * np.cos(angle)) + acceleration)


@law(valid={"mass": (0.0, 1e6), "angle": (0.0, 1.5708), "friction": (0.0, 2.0), "slowing": (-20.0, 20.0)})
def lowering_pull(mass: Scalar, angle: Scalar, friction: Scalar, slowing: Scalar) -> Scalar:
    r"""Return the pull that holds a load back on its way down a slope.

    .. math:: F = m\,\bigl[g\,(\sin\alpha - \mu \cos\alpha) + b\bigr]

    Parameters
    ----------
    mass
        Of the load with its hook or sledge. [kg]
    angle
        Of the slope; a right angle for a free hoist. [rad]
    friction
        Of the load on the slope. [-]
    slowing
        Rate at which the descent is slowed; 0 at steady speed. [m/s²]

    Returns
    -------
    Scalar
        Pull along the slope; negative where the load stays and must be pushed down. [N]

    Notes
    -----
    A load stopped with a jerk pulls far harder: the rope's stretch decides, and is left out.

    References
    ----------
    .. [1] Statics of the inclined plane; Newton's second law.

    Examples
    --------
    >>> import math
    >>> round(float(lowering_pull(300.0, math.pi / 2, 0.3, 0.0)), 1)
    2942.0
    """
    return mass * (GRAVITY * (np.sin(angle) - friction * np.cos(angle)) + slowing)


def _parts_felt(parts: Scalar, passed_on: Scalar, leads: Scalar) -> Scalar:
    """Return the sum of the parts' tensions over the lead's, each part that share of the one before."""
    excess = np.asarray(passed_on) - 1.0
    alike = excess == 0.0
    # on the excess over one, so that good sheaves keep their digits
    logarithm = np.log1p(excess)
    series = np.where(alike, parts, np.expm1(parts * logarithm) / np.where(alike, 1.0, excess))
    felt: Scalar = series * np.exp(leads * logarithm)
    return felt


@law(valid={"parts": (1.0, 20.0), "sheave_efficiency": (0.3, 1.0), "leads": (0.0, 10.0)})
def tackle_advantage(parts: Scalar, sheave_efficiency: Scalar, leads: Scalar) -> Scalar:
    r"""Return how many times the pull on the lead a tackle lifts.

    .. math:: N_e = e^{s}\,\frac{1 - e^N}{1 - e}

    Parameters
    ----------
    parts
        Parts of rope that carry the load. [-]
    sheave_efficiency
        Tension passed on over one sheave. [-]
    leads
        Fixed sheaves the lead runs over before the winch: 1 where it leaves a fixed block, 0 where it leaves the
        moving one. [-]

    Returns
    -------
    Scalar
        Load over pull on the lead, while lifting. [-]

    Notes
    -----
    Every sheave alike. N without friction. One part over one fixed sheave lifts e times the pull.

    References
    ----------
    .. [1] Pipeline Rules of Thumb Handbook, block and tackle with pull-out friction, p. 6: the same series, the lead
       leaving the upper block.

    Examples
    --------
    >>> round(float(tackle_advantage(4.0, 0.917, 1.0)), 2)
    3.24
    """
    return _parts_felt(parts, sheave_efficiency, leads)


@law(valid={"parts": (1.0, 20.0), "sheave_efficiency": (0.3, 1.0), "leads": (0.0, 10.0)})
def tackle_lowering_advantage(parts: Scalar, sheave_efficiency: Scalar, leads: Scalar) -> Scalar:
    r"""Return how many times the pull on the lead a tackle lets down.

    .. math:: N_e' = e^{-s}\,\frac{1 - e^{-N}}{1 - e^{-1}}

    Parameters
    ----------
    parts
        Parts of rope that carry the load. [-]
    sheave_efficiency
        Tension passed on over one sheave. [-]
    leads
        Fixed sheaves the lead runs over before the winch. [-]

    Returns
    -------
    Scalar
        Load over pull on the lead, while lowering. [-]

    Notes
    -----
    The friction of the sheaves now helps to hold: less pull comes back than went in.

    References
    ----------
    .. [1] The series of ``tackle_advantage`` with each sheave turning the other way.

    Examples
    --------
    >>> round(float(tackle_lowering_advantage(2.0, 0.95, 0.0)), 4)
    2.0526
    """
    return _parts_felt(parts, 1.0 / np.asarray(sheave_efficiency), leads)


@law(valid={"advantage": (0.01, 100.0)})
def rope_pull(pull: Scalar, advantage: Scalar) -> Scalar:
    r"""Return the pull on the lead of a tackle.

    .. math:: F_r = F / N_e

    Parameters
    ----------
    pull
        On the load. [N]
    advantage
        Load over pull on the lead, for the direction it moves in; 1 without a tackle. [-]

    Returns
    -------
    Scalar
        Tension of the rope that goes to the winch. [N]

    Notes
    -----
    Size rope and drum by the pull while lifting, brakes by the pull while lowering at its largest.

    References
    ----------
    .. [1] Definition of the advantage.

    Examples
    --------
    >>> rope_pull(3000.0, 2.5)
    1200.0
    """
    return pull / advantage


@law(valid={"load_speed": (0.0, 20.0), "parts": (1.0, 20.0)})
def rope_speed(load_speed: Scalar, parts: Scalar) -> Scalar:
    r"""Return the speed of the lead of a tackle.

    .. math:: v_r = N\,v

    Parameters
    ----------
    load_speed
        Of the load. [m/s]
    parts
        Parts of rope that carry the load. [-]

    Returns
    -------
    Scalar
        Speed of the rope at the winch. [m/s]

    Notes
    -----
    Friction costs pull, never rope: the whole number of parts counts here.

    References
    ----------
    .. [1] Rope that does not stretch.

    Examples
    --------
    >>> rope_speed(0.1, 4.0)
    0.4
    """
    return load_speed * parts


@law(valid={"parts": (1.0, 20.0), "advantage": (0.01, 100.0)})
def tackle_loss(pull: Scalar, load_speed: Scalar, parts: Scalar, advantage: Scalar) -> Scalar:
    r"""Return the power the sheaves of a tackle turn into heat while lifting.

    .. math:: P = F\,v\,\Bigl(\frac{N}{N_e} - 1\Bigr)

    Parameters
    ----------
    pull
        On the load. [N]
    load_speed
        Of the load. [m/s]
    parts
        Parts of rope that carry the load. [-]
    advantage
        Load over pull on the lead while lifting. [-]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    While lowering the advantage is above the number of parts and the sign turns: take the negative.

    References
    ----------
    .. [1] Balance of power over the tackle.

    Examples
    --------
    >>> round(tackle_loss(3000.0, 0.1, 4.0, 3.2), 6)
    75.0
    """
    return pull * load_speed * (parts / advantage - 1.0)


@law(valid={"radius": (0.0, 5.0)})
def pull_torque(pull: Scalar, radius: Scalar) -> Scalar:
    r"""Return the torque of a pull at a radius.

    .. math:: T = F\,r

    Parameters
    ----------
    pull
        Rope at a drum, or ground at a wheel. [N]
    radius
        Of the rope's layer, or of the loaded wheel. [m]

    Returns
    -------
    Scalar
        Torque at the drum's shaft or the axle. [N·m]

    Notes
    -----
    Bending stiffness of the rope is left out.

    References
    ----------
    .. [1] Definition of torque.

    Examples
    --------
    >>> pull_torque(1200.0, 0.05)
    60.0
    """
    return pull * radius


@law(valid={"speed": (-100.0, 100.0)})
def pull_power(pull: Scalar, speed: Scalar) -> Scalar:
    r"""Return the power of a pull on something that moves along it.

    .. math:: P = F\,v

    Parameters
    ----------
    pull
        On the rope, the drawbar or the ground. [N]
    speed
        Along the pull. [m/s]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    Only the part of the pull along the motion counts.

    References
    ----------
    .. [1] Definition of power.

    Examples
    --------
    >>> round(pull_power(500.0, 4 / 3.6), 1)
    555.6
    """
    return pull * speed


@law(valid={"radius": (0.0, 5.0), "idle_torque": (0.0, 1e4)})
def hoist_torque_terms(pull: Scalar, radius: Scalar, idle_torque: Scalar) -> TorqueTerms:
    r"""Return the torque a winch's drum asks for, as terms in its speed.

    .. math:: T = F_r\,r_k + T_0

    Parameters
    ----------
    pull
        Of the rope at the drum. [N]
    radius
        Of the layer the rope leaves from. [m]
    idle_torque
        Drag of the drum's bearings. [N·m]

    Returns
    -------
    TorqueTerms
        Terms at the drum's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    A load on a rope asks for the same torque at any speed, standstill included.

    References
    ----------
    .. [1] Derived from ``pull_torque``.

    Examples
    --------
    >>> hoist_torque_terms(1200.0, 0.05, 0.5).constant
    60.5
    """
    none = 0.0 * idle_torque
    return TorqueTerms(none, pull * radius + idle_torque, none, none)


@law(valid={"tail_pull": (0.0, 1e6), "friction": (0.0, 2.0), "lap": (0.0, 100.0)})
def capstan_line_pull(tail_pull: Scalar, friction: Scalar, lap: Scalar) -> Scalar:
    r"""Return the most a turning capstan hauls for a pull on its tail.

    .. math:: F = F_t\,e^{\mu \theta}

    Parameters
    ----------
    tail_pull
        Of the hand on the tail. [N]
    friction
        Of rope on drum, at its lowest. [-]
    lap
        Angle wrapped; a turn is 2 pi. [rad]

    Returns
    -------
    Scalar
        Pull on the line before the rope slips. [N]

    Notes
    -----
    A limit. Wet rope has far less friction, and it stands in the exponent.

    References
    ----------
    .. [1] Euler-Eytelwein, as ``transmission.tension_ratio``; Tayal, Engineering Mechanics, ch. 7.

    Examples
    --------
    >>> import math
    >>> round(float(capstan_line_pull(100.0, 0.2, 6.0 * math.pi)), 0)
    4338.0
    """
    return tail_pull * tension_ratio(friction, lap)


@law(valid={"line_pull": (0.0, 1e6), "friction": (0.0, 2.0), "lap": (0.0, 100.0)})
def capstan_tail_pull(line_pull: Scalar, friction: Scalar, lap: Scalar) -> Scalar:
    r"""Return the least pull on the tail that keeps a rope from slipping on a drum.

    .. math:: F_t = F\,e^{-\mu \theta}

    Parameters
    ----------
    line_pull
        Of the load on the line. [N]
    friction
        Of rope on drum, at its lowest. [-]
    lap
        Angle wrapped; a turn is 2 pi. [rad]

    Returns
    -------
    Scalar
        Pull on the tail. [N]

    Notes
    -----
    The same for holding a load on a fixed drum and for what the clamp on a winch's drum feels under its dead turns.

    References
    ----------
    .. [1] Euler-Eytelwein, as ``transmission.tension_ratio``; Tayal, Engineering Mechanics, ch. 7.

    Examples
    --------
    >>> import math
    >>> round(float(capstan_tail_pull(1000.0, 0.25, math.pi)), 1)
    455.9
    """
    return line_pull / tension_ratio(friction, lap)


@law(valid={"line_pull": (1e-6, 1e6), "tail_pull": (1e-6, 1e6), "friction": (1e-3, 2.0)})
def capstan_lap(line_pull: Scalar, tail_pull: Scalar, friction: Scalar) -> Scalar:
    r"""Return the angle a rope has to wrap to haul one pull with another.

    .. math:: \theta = \frac{1}{\mu} \ln\frac{F}{F_t}

    Parameters
    ----------
    line_pull
        Of the load on the line. [N]
    tail_pull
        Of the hand on the tail. [N]
    friction
        Of rope on drum, at its lowest. [-]

    Returns
    -------
    Scalar
        Angle wrapped; a turn is 2 pi. [rad]

    Notes
    -----
    Round up to whole turns, and one more for a wet rope.

    References
    ----------
    .. [1] The inverse of ``capstan_line_pull``.

    Examples
    --------
    >>> round(float(capstan_lap(4338.0, 100.0, 0.2)) / 6.2832, 2)
    3.0
    """
    return np.log(line_pull / tail_pull) / friction


@law(valid={"mass": (0.0, 1e6), "height": (-1e4, 1e4)})
def lifting_work(mass: Scalar, height: Scalar) -> Scalar:
    r"""Return the work a lift puts into a load.

    .. math:: E = m\,g\,h

    Parameters
    ----------
    mass
        Of the load, a counterweight taken off. [kg]
    height
        Straight up. [m]

    Returns
    -------
    Scalar
        Energy. [J]

    Notes
    -----
    Whatever the way up; friction and drives come on top.

    References
    ----------
    .. [1] Potential energy.

    Examples
    --------
    >>> round(lifting_work(200.0, 4.0), 1)
    7845.3
    """
    return mass * GRAVITY * height


@law(valid={"back_efficiency": (-100.0, 1.0), "drag": (0.0, 1e4), "drag_slope": (0.0, 100.0), "speed": (0.0, 1e5)})
def lowering_torque(
    load_torque: Scalar, back_efficiency: Scalar, drag: Scalar, drag_slope: Scalar, speed: Scalar
) -> Scalar:
    r"""Return the torque a load gives back through a stage on its way down.

    .. math:: T = \eta_b\,T_{load} - T_0 - T_1\,\omega

    Parameters
    ----------
    load_torque
        Of the load, already divided by the ratio. [N·m]
    back_efficiency
        Share passed back, from ``transmission.back_efficiency`` or ``worm_back_efficiency``. [-]
    drag
        Drag at the shaft it is given to, at any speed. [N·m]
    drag_slope
        Drag at that shaft in proportion to speed. [N·m·s/rad]
    speed
        Of that shaft. [rad/s]

    Returns
    -------
    Scalar
        Torque to be held by motor or brake; negative: the motor has to drive the load down. [N·m]

    Notes
    -----
    A holding brake is sized for the load's whole torque, not for what friction leaves of it.

    References
    ----------
    .. [1] Balance of power over the stage, driven from its output.

    Examples
    --------
    >>> round(lowering_torque(10.0, 0.75, 0.2, 0.0, 100.0), 6)
    7.3
    """
    return back_efficiency * load_torque - drag - drag_slope * speed


@law(valid={"work": (0.0, 1e12), "back_efficiency": (-100.0, 1.0)})
def energy_given_back(work: Scalar, back_efficiency: Scalar) -> Scalar:
    r"""Return the energy a load gives back on its way down.

    .. math:: E_b = \max(0, \eta_b)\,E

    Parameters
    ----------
    work
        Height times weight of the descent. [J]
    back_efficiency
        Of all stages from the load to where it is counted. [-]

    Returns
    -------
    Scalar
        Energy; none where a stage holds. [J]

    Notes
    -----
    Into a full pack or past an open protection it cannot go: the bus voltage climbs. Drag without load is left out.

    References
    ----------
    .. [1] Definition of efficiency.

    Examples
    --------
    >>> float(energy_given_back(1000.0, 0.75))
    750.0
    """
    return np.maximum(back_efficiency, 0.0) * work
