"""Belts, chains, gears and worms: one stage between two shafts.

A stage loses power in three ways, each with its own law: a share that grows with the load, the speed lost to creep,
and a drag that is there without any load. The drag is what makes part-load efficiency fall.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"ratio": (0.01, 500.0), "creep": (0.0, 0.2)})
def input_speed(output_speed: Scalar, ratio: Scalar, creep: Scalar) -> Scalar:
    r"""Return the speed of the input shaft of a stage.

    .. math:: \omega_{in} = \frac{i\,\omega_{out}}{1 - s}

    Parameters
    ----------
    output_speed
        Speed of the output shaft. [rad/s]
    ratio
        Input turns per output turn without creep. [-]
    creep
        Share of output speed lost; 0 for toothed parts. [-]

    Returns
    -------
    Scalar
        Speed of the input shaft. [rad/s]

    Notes
    -----
    Creep is taken as constant; a belt's grows with load up to the slip limit.

    References
    ----------
    .. [1] Khurmi and Gupta, Theory of Machines, ch. 11, velocity ratio with slip.

    Examples
    --------
    >>> input_speed(100.0, 2.0, 0.0)
    200.0
    """
    return output_speed * ratio / (1.0 - creep)


@law(valid={"ratio": (0.01, 500.0), "efficiency": (0.05, 1.0)})
def input_torque(
    output_torque: Scalar,
    ratio: Scalar,
    efficiency: Scalar,
    drag: Scalar,
    drag_slope: Scalar,
    input_speed: Scalar,
) -> Scalar:
    r"""Return the torque at the input shaft of a driving stage.

    .. math:: T_{in} = \frac{T_{out}}{i\,\eta} + T_0 + T_1\,\omega_{in}

    Parameters
    ----------
    output_torque
        Torque asked for at the output shaft. [N·m]
    ratio
        Input turns per output turn without creep. [-]
    efficiency
        Torque efficiency of the part that grows with load. [-]
    drag
        Drag at the input shaft at any speed. [N·m]
    drag_slope
        Drag at the input shaft in proportion to speed. [N·m·s/rad]
    input_speed
        Speed of the input shaft. [rad/s]

    Returns
    -------
    Scalar
        Torque at the input shaft. [N·m]

    Notes
    -----
    Driving direction only.

    References
    ----------
    .. [1] Balance of power over the stage.

    Examples
    --------
    >>> input_torque(2.0, 2.0, 1.0, 0.05, 0.0, 300.0)
    1.05
    """
    return output_torque / (ratio * efficiency) + drag + drag_slope * input_speed


@law(valid={"efficiency": (0.05, 1.0)})
def back_efficiency(efficiency: Scalar) -> Scalar:
    r"""Return the efficiency of a stage driven from its output; negative when it holds.

    .. math:: \eta_b = 2 - 1 / \eta

    Parameters
    ----------
    efficiency
        Torque efficiency in the driving direction. [-]

    Returns
    -------
    Scalar
        Share of the load's torque that is passed back. [-]

    Notes
    -----
    The same friction torque both ways: below one half a stage holds its load at rest. A worm has
    ``worm_back_efficiency``. Shaking frees what friction holds, so neither is a brake.

    References
    ----------
    .. [1] Equal friction torque driving and driven, first order.

    Examples
    --------
    >>> round(back_efficiency(0.8), 6)
    0.75
    """
    return 2.0 - 1.0 / efficiency


@law(valid={"efficiency": (0.05, 1.0)})
def back_torque(load_torque: Scalar, efficiency: Scalar, drag: Scalar) -> Scalar:
    r"""Return the torque a stage passes on when it is driven from its output.

    .. math:: T_{back} = (2 - 1/\eta)\,T_{load} - T_0

    Parameters
    ----------
    load_torque
        Torque of the load, already divided by the ratio. [N·m]
    efficiency
        Torque efficiency in the driving direction. [-]
    drag
        Drag at the shaft it is passed on to. [N·m]

    Returns
    -------
    Scalar
        Torque passed on; negative when the stage holds the load. [N·m]

    Notes
    -----
    The same friction torque is taken in both directions, which holds near full efficiency. A worm has its own law.

    References
    ----------
    .. [1] Equal friction torque driving and driven, first order.

    Examples
    --------
    >>> round(back_torque(1.0, 0.5, 0.0), 6)
    0.0
    """
    return back_efficiency(efficiency) * load_torque - drag


@law(valid={"efficiency": (0.05, 1.0)})
def load_loss(output_torque: Scalar, output_speed: Scalar, efficiency: Scalar) -> Scalar:
    r"""Return the loss of a stage that grows with its load.

    .. math:: P = T_{out}\,\omega_{out}\,(1/\eta - 1)

    Parameters
    ----------
    output_torque
        Torque at the output shaft. [N·m]
    output_speed
        Speed of the output shaft. [rad/s]
    efficiency
        Torque efficiency of the part that grows with load. [-]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    Reckoned on the output; what creep takes comes on top.

    References
    ----------
    .. [1] Definition of efficiency.

    Examples
    --------
    >>> round(load_loss(2.0, 300.0, 0.96), 6)
    25.0
    """
    return output_torque * output_speed * (1.0 / efficiency - 1.0)


@law(valid={"efficiency": (0.05, 1.0), "creep": (0.0, 0.2)})
def creep_loss(output_torque: Scalar, output_speed: Scalar, efficiency: Scalar, creep: Scalar) -> Scalar:
    r"""Return the loss of a stage through creep: torque passed on at less speed.

    .. math:: P = \frac{T_{out}\,\omega_{out}}{\eta}\,\frac{s}{1 - s}

    Parameters
    ----------
    output_torque
        Torque at the output shaft. [N·m]
    output_speed
        Speed of the output shaft. [rad/s]
    efficiency
        Torque efficiency of the part that grows with load. [-]
    creep
        Share of output speed lost. [-]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    Zero for toothed parts.

    References
    ----------
    .. [1] Balance of power over the stage with ``input_speed`` and ``input_torque``.

    Examples
    --------
    >>> round(creep_loss(2.0, 294.0, 1.0, 0.02), 6)
    12.0
    """
    return output_torque * output_speed / efficiency * creep / (1.0 - creep)


@law(valid={"drag": (0.0, 100.0)})
def drag_loss(drag: Scalar, drag_slope: Scalar, input_speed: Scalar) -> Scalar:
    r"""Return the loss of a stage that is there without load.

    .. math:: P = (T_0 + T_1\,\omega_{in})\,\omega_{in}

    Parameters
    ----------
    drag
        Drag at the input shaft at any speed. [N·m]
    drag_slope
        Drag at the input shaft in proportion to speed. [N·m·s/rad]
    input_speed
        Speed of the input shaft. [rad/s]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    Hysteresis of a belt, churning of grease, seals.

    References
    ----------
    .. [1] Power is torque times speed.

    Examples
    --------
    >>> drag_loss(0.05, 0.0, 300.0)
    15.0
    """
    return (drag + drag_slope * input_speed) * input_speed


@law(valid={"driver": (0.001, 1e4), "driven": (0.001, 1e4)})
def ratio_of(driver: Scalar, driven: Scalar) -> Scalar:
    r"""Return the ratio of a stage from teeth or diameters.

    .. math:: i = z_{driven} / z_{driver}

    Parameters
    ----------
    driver
        Teeth, or diameter, of the wheel on the input shaft. [-]
    driven
        Teeth, or diameter in the same unit, of the wheel on the output shaft. [-]

    Returns
    -------
    Scalar
        Input turns per output turn. [-]

    Notes
    -----
    Diameters at the belt's neutral line.

    References
    ----------
    .. [1] Khurmi and Gupta, Theory of Machines, ch. 13, speed ratio of a gear train.

    Examples
    --------
    >>> ratio_of(20.0, 50.0)
    2.5
    """
    return driven / driver


@law(valid={"friction": (0.0, 2.0), "groove_angle": (0.2, 3.1416)})
def groove_friction(friction: Scalar, groove_angle: Scalar) -> Scalar:
    r"""Return the effective friction of a belt in a groove.

    .. math:: f = \mu / \sin(\beta / 2)

    Parameters
    ----------
    friction
        Raw friction of belt on pulley. [-]
    groove_angle
        Full angle of the groove. [rad]

    Returns
    -------
    Scalar
        Effective friction, for ``tension_ratio``. [-]

    Notes
    -----
    The usual "0.5 for V-belts" is already effective: never divide it by the sine again.

    References
    ----------
    .. [1] Euler-Eytelwein for a wedge.

    Examples
    --------
    >>> import math
    >>> round(float(groove_friction(1.0, math.radians(38.0))), 3)
    3.072
    """
    return friction / np.sin(groove_angle / 2.0)


@law(valid={"friction": (0.0, 5.0), "lap": (0.0, 100.0)})
def tension_ratio(friction: Scalar, lap: Scalar) -> Scalar:
    r"""Return the most the tight side may pull over the slack side before a belt or rope slips.

    .. math:: T_1 / T_2 = e^{f \theta}

    Parameters
    ----------
    friction
        Effective friction. [-]
    lap
        Angle wrapped. [rad]

    Returns
    -------
    Scalar
        Ratio of tensions, centrifugal part taken off both. [-]

    Notes
    -----
    A limit, not a working value; creep begins long before.

    References
    ----------
    .. [1] Euler-Eytelwein; Tayal, Engineering Mechanics, ch. 7.

    Examples
    --------
    >>> import math
    >>> round(float(1000.0 / tension_ratio(0.25, math.pi)), 1)
    455.9
    """
    return np.exp(friction * lap)


@law(valid={"large": (0.001, 10.0), "small": (0.001, 10.0), "distance": (0.001, 100.0)})
def lap_angles(large: Scalar, small: Scalar, distance: Scalar) -> tuple[Scalar, Scalar]:
    r"""Return the angles an open belt wraps on its two pulleys.

    .. math:: \theta = \pi \pm 2 \arcsin\frac{D - d}{2 a}

    Parameters
    ----------
    large
        Diameter of the large pulley. [m]
    small
        Diameter of the small pulley. [m]
    distance
        Between the shafts. [m]

    Returns
    -------
    tuple
        Angle on the large and on the small pulley. [rad]

    Notes
    -----
    The small pulley slips first.

    References
    ----------
    .. [1] Geometry; Tayal, Engineering Mechanics, ch. 7.

    Examples
    --------
    >>> import math
    >>> [round(math.degrees(a), 2) for a in lap_angles(0.24, 0.12, 0.30)]
    [203.07, 156.93]
    """
    lean = 2.0 * np.arcsin((large - small) / (2.0 * distance))
    return np.pi + lean, np.pi - lean


@law(valid={"lead": (1e-4, 1.0), "diameter": (1e-3, 1.0)})
def worm_lead_angle(lead: Scalar, diameter: Scalar) -> Scalar:
    r"""Return the lead angle of a worm.

    .. math:: \gamma = \arctan\frac{l}{\pi d}

    Parameters
    ----------
    lead
        Advance in one turn. [m]
    diameter
        Pitch diameter of the worm. [m]

    Returns
    -------
    Scalar
        Lead angle. [rad]

    Notes
    -----
    At the pitch line.

    References
    ----------
    .. [1] Mott, Machine Elements in Mechanical Design, 4th ed., p. 343.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(worm_lead_angle(1.5708, 2.0)), 2)
    14.04
    """
    return np.arctan(lead / (np.pi * diameter))


@law(valid={"lead_angle": (0.005, 1.2), "friction": (0.0, 0.5), "pressure_angle": (0.0, 0.6)})
def worm_efficiency(lead_angle: Scalar, friction: Scalar, pressure_angle: Scalar) -> Scalar:
    r"""Return the efficiency of a worm that drives.

    .. math:: \eta = \frac{\cos\alpha - \mu\tan\gamma}{\cos\alpha + \mu\cot\gamma}

    Parameters
    ----------
    lead_angle
        Lead angle of the worm. [rad]
    friction
        Sliding friction; falls as sliding gets faster. [-]
    pressure_angle
        Normal pressure angle. [rad]

    Returns
    -------
    Scalar
        Efficiency of the mesh alone. [-]

    Notes
    -----
    Bearings and churning come on top. Starting is far less efficient than running.

    References
    ----------
    .. [1] Shigley, Mechanical Engineering Design, eq. 13-46.

    Examples
    --------
    >>> import math
    >>> round(float(worm_efficiency(math.radians(14.04), 0.03, math.radians(20.0))), 4)
    0.8797
    """
    tangent, cosine = np.tan(lead_angle), np.cos(pressure_angle)
    return (cosine - friction * tangent) / (cosine + friction / tangent)


@law(valid={"lead_angle": (0.005, 1.2), "friction": (0.0, 0.5), "pressure_angle": (0.0, 0.6)})
def worm_back_efficiency(lead_angle: Scalar, friction: Scalar, pressure_angle: Scalar) -> Scalar:
    r"""Return the efficiency of a worm that is driven by its wheel; negative when it holds.

    .. math:: \eta' = \frac{\cos\alpha - \mu\cot\gamma}{\cos\alpha + \mu\tan\gamma}

    Parameters
    ----------
    lead_angle
        Lead angle of the worm. [rad]
    friction
        Sliding friction. [-]
    pressure_angle
        Normal pressure angle. [rad]

    Returns
    -------
    Scalar
        Efficiency driven backwards; negative: it locks itself. [-]

    Notes
    -----
    Take the lowest running friction: vibration frees a worm, so it is never the only brake of a load.

    References
    ----------
    .. [1] Force relations of a worm mesh, as in ``worm_efficiency``.

    Examples
    --------
    >>> import math
    >>> bool(worm_back_efficiency(math.radians(4.0), 0.08, math.radians(20.0)) < 0.0)
    True
    """
    tangent, cosine = np.tan(lead_angle), np.cos(pressure_angle)
    return (cosine - friction / tangent) / (cosine + friction * tangent)


@law(valid={"lead_angle": (0.005, 1.2), "friction": (0.0, 0.5), "pressure_angle": (0.0, 0.6)})
def worm_holds(lead_angle: Scalar, friction: Scalar, pressure_angle: Scalar) -> Scalar:
    r"""Return by how much a worm holds its load by friction alone.

    .. math:: m = \frac{\mu}{\cos\alpha_n} - \tan\gamma

    Parameters
    ----------
    lead_angle
        Lead angle of the worm. [rad]
    friction
        Lowest friction the flanks may have, running and shaken. [-]
    pressure_angle
        Normal pressure angle of the thread. [rad]

    Returns
    -------
    Scalar
        Margin: above 0 it holds, below 0 the load runs back. [-]

    Notes
    -----
    Shaking frees a worm that holds at rest, so it is never the only brake of a hoist. The usual advice is a lead
    angle under about 5 degrees.

    References
    ----------
    .. [1] SDP/SI, Elements of Metric Gear Technology, forces on worm gears.
    .. [2] Mott, Machine Elements in Mechanical Design, 4th ed., sec. 8, self-locking worms.

    Examples
    --------
    >>> bool(worm_holds(0.06, 0.10, 0.349) > 0.0)
    True
    """
    margin: Scalar = friction / np.cos(pressure_angle) - np.tan(lead_angle)
    return margin
