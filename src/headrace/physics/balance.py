"""Weights on two axles: where the centre of mass lies, what each axle carries, when a machine tips, what levels it.

Positions are counted along the machine from the front axle towards the rear, heights from the ground. The push that
rolling and a grade ask for are ``travel.rolling_force`` and ``travel.grade_force``, the pull of an axle
``travel.grip_limit``.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import numpy as np

from headrace.physics.heat import GRAVITY
from headrace.physics.law import Scalar, law

ROUNDING = 1e-9  # m, by which a centre may miss where it is wanted


@law(valid={"mass": (0.1, 1e5)})
def changed_mass(mass: Scalar, out: Sequence[Scalar], put_in: Sequence[Scalar]) -> Scalar:
    r"""Return the mass of a machine after parts went out and others came in.

    .. math:: M' = M - \sum m_o + \sum m_i

    Parameters
    ----------
    mass
        Before. [kg]
    out
        Masses of the parts taken out. [kg]
    put_in
        Masses of the parts put in. [kg]

    Returns
    -------
    Scalar
        Mass after; less than nothing where more was taken out than was there. [kg]

    Notes
    -----
    A list may be empty.

    References
    ----------
    .. [1] Conservation of mass.

    Examples
    --------
    An engine of 9 kg and a tank of 2 kg out of 32 kg, a motor of 4 kg and a pack of 5 kg in:

    >>> changed_mass(32.0, (9.0, 2.0), (4.0, 5.0))
    30.0
    """
    return mass - sum(out) + sum(put_in)


@law(valid={"mass": (0.1, 1e5), "centre": (-20.0, 20.0)})
def changed_centre(
    mass: Scalar,
    centre: Scalar,
    out: Sequence[Scalar],
    out_positions: Sequence[Scalar],
    put_in: Sequence[Scalar],
    put_in_positions: Sequence[Scalar],
) -> Scalar:
    r"""Return the centre of mass along one axis after parts went out and others came in.

    .. math:: x' = \frac{M x - \sum m_o x_o + \sum m_i x_i}{M - \sum m_o + \sum m_i}

    Parameters
    ----------
    mass
        Before. [kg]
    centre
        Of it, along the axis. [m]
    out
        Masses of the parts taken out. [kg]
    out_positions
        Of their centres, along the same axis and from the same mark. [m]
    put_in
        Masses of the parts put in. [kg]
    put_in_positions
        Of their centres. [m]

    Returns
    -------
    Scalar
        Centre after; no number where no mass is left. [m]

    Notes
    -----
    Serves along the machine as well as upwards.

    References
    ----------
    .. [1] Meriam and Kraige, Engineering Mechanics: Statics, centres of mass of composite bodies (from memory).

    Examples
    --------
    Five kilograms moved from 0.2 m to 0.6 m in a machine of 20 kg move its centre by a tenth of a metre:

    >>> round(float(changed_centre(20.0, 0.4, (5.0,), (0.2,), (5.0,), (0.6,))), 6)
    0.5
    """
    moments = (
        mass * centre
        - sum(m * x for m, x in zip(out, out_positions, strict=True))
        + sum(m * x for m, x in zip(put_in, put_in_positions, strict=True))
    )
    left = np.asarray(mass - sum(out) + sum(put_in))
    return np.where(left > 0.0, moments / np.where(left > 0.0, left, 1.0), np.nan)[()]


@law(valid={"front": (0.0, 1e5), "rear": (0.0, 1e5), "wheelbase": (0.01, 20.0)})
def centre_of_loads(front: Scalar, rear: Scalar, wheelbase: Scalar) -> Scalar:
    r"""Return the centre of mass of a machine that was weighed axle by axle.

    .. math:: x = L\,\frac{m_r}{m_f + m_r}

    Parameters
    ----------
    front
        What a scale under the front wheels reads, both together. [kg]
    rear
        The same of the rear wheels. [kg]
    wheelbase
        From the front axle to the rear axle. [m]

    Returns
    -------
    Scalar
        Distance of the centre behind the front axle. [m]

    Notes
    -----
    Weighed level: one scale under an axle, the other axle on blocks of the same height.

    References
    ----------
    .. [1] Balance of moments about the front axle.

    Examples
    --------
    >>> round(centre_of_loads(12.0, 20.0, 0.64), 3)
    0.4
    """
    return wheelbase * rear / (front + rear)


@law(valid={"centre": (-20.0, 20.0), "wheelbase": (0.01, 20.0)})
def axle_shares(centre: Scalar, wheelbase: Scalar) -> tuple[Scalar, Scalar]:
    r"""Return what shares of the weight the two axles carry on the level.

    .. math:: a_f = 1 - \frac{x}{L},\quad a_r = \frac{x}{L}

    Parameters
    ----------
    centre
        Of mass, behind the front axle. [m]
    wheelbase
        From the front axle to the rear axle. [m]

    Returns
    -------
    tuple
        Share on the front and on the rear axle; below nothing on one that lifts off. [-, -]

    Notes
    -----
    No hand on the handle, and at rest: a push at a high handle and braking load the front.

    References
    ----------
    .. [1] Balance of moments about the axles; Meriam and Kraige, Engineering Mechanics: Statics (from memory).

    Examples
    --------
    >>> [round(share, 3) for share in axle_shares(0.4, 0.64)]
    [0.375, 0.625]
    """
    return 1.0 - centre / wheelbase, centre / wheelbase


@law(valid={"height": (0.0, 5.0), "wheelbase": (0.01, 20.0), "angle": (-1.2, 1.2)})
def share_shift(height: Scalar, wheelbase: Scalar, angle: Scalar) -> Scalar:
    r"""Return the share of the weight that a slope moves to the lower axle.

    .. math:: \Delta a = \frac{h}{L} \tan\alpha

    Parameters
    ----------
    height
        Of the centre of mass above the ground. [m]
    wheelbase
        From axle to axle. [m]
    angle
        Of the slope. [rad]

    Returns
    -------
    Scalar
        Of the weight across the slope. [-]

    Notes
    -----
    Held on the slope by its wheels. A hand on the handle adds a moment of its own.

    References
    ----------
    .. [1] Balance of moments on the inclined plane.

    Examples
    --------
    A centre 40 cm up over 80 cm of wheelbase, on a slope of one in ten:

    >>> import math
    >>> round(float(share_shift(0.4, 0.8, math.atan(0.1))), 4)
    0.05
    """
    return height / wheelbase * np.tan(angle)


@law(valid={"mass": (0.0, 1e5), "share": (-5.0, 5.0)})
def axle_load(mass: Scalar, share: Scalar) -> Scalar:
    r"""Return the load on an axle on the level.

    .. math:: N = a\,m\,g

    Parameters
    ----------
    mass
        Of the whole machine. [kg]
    share
        Of the weight on that axle. [-]

    Returns
    -------
    Scalar
        Load, both wheels together. [N]

    Notes
    -----
    Below nothing where the machine would tip over the other axle.

    References
    ----------
    .. [1] Definition of weight.

    Examples
    --------
    >>> round(axle_load(30.0, 0.5), 2)
    147.1
    """
    return mass * GRAVITY * share


@law(valid={"wheelbase": (0.01, 20.0), "lever": (-20.0, 20.0)})
def handle_force(load: Scalar, wheelbase: Scalar, lever: Scalar) -> Scalar:
    r"""Return the upright force at a handle that takes the load off an axle, the machine turning about the other one.

    .. math:: F = \frac{N L}{l}

    Parameters
    ----------
    load
        On the axle that is lifted. [N]
    wheelbase
        From axle to axle. [m]
    lever
        From the axle that stays down to the handle, towards the axle that is lifted. [m]

    Returns
    -------
    Scalar
        Force upwards; negative where the handle has to be pressed down, infinite over the axle that stays. [N]

    Notes
    -----
    To just begin to lift; it falls as the machine tilts, because its centre of mass comes nearer to the axle.

    References
    ----------
    .. [1] Balance of moments about the axle that stays down.

    Examples
    --------
    A mower's front wheels carry 100 N; its handle is 80 cm behind the rear axle, 60 cm from the front one:

    >>> float(handle_force(100.0, 0.6, -0.8))
    -75.0
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.divide(load * wheelbase, lever)


@law(valid={"centre": (-20.0, 20.0), "wheelbase": (0.01, 20.0), "height": (1e-3, 5.0)})
def tip_angles(centre: Scalar, wheelbase: Scalar, height: Scalar) -> tuple[Scalar, Scalar]:
    r"""Return the grades on which a machine at rest tips over backward, nose uphill, and forward, nose downhill.

    .. math:: \alpha_b = \arctan\frac{L - x}{h},\quad \alpha_f = \arctan\frac{x}{h}

    Parameters
    ----------
    centre
        Of mass, behind the front axle. [m]
    wheelbase
        From the front axle to the rear axle. [m]
    height
        Of the centre of mass above the ground. [m]

    Returns
    -------
    tuple
        Angle nose uphill and angle nose downhill; negative where it tips on the level. [rad, rad]

    Notes
    -----
    At rest, on hard ground, tyres stiff. Setting off uphill, a bump and a soaked rear wheel all come earlier; sideways
    it is another question.

    References
    ----------
    .. [1] Statics: the weight passes over the lower axle.

    Examples
    --------
    >>> import math
    >>> [round(math.degrees(angle), 1) for angle in tip_angles(0.3, 0.7, 0.4)]
    [45.0, 36.9]
    """
    return np.arctan2(wheelbase - centre, height), np.arctan2(centre, height)


@law(valid={"front_share": (0.0, 1.0), "wheelbase": (0.01, 20.0)})
def centre_of_share(front_share: Scalar, wheelbase: Scalar) -> Scalar:
    r"""Return where the centre of mass lies for a share of the weight on the front axle.

    .. math:: x = L (1 - a_f)

    Parameters
    ----------
    front_share
        Of the weight, on the front axle. [-]
    wheelbase
        From the front axle to the rear axle. [m]

    Returns
    -------
    Scalar
        Distance of the centre behind the front axle. [m]

    Notes
    -----
    On the level.

    References
    ----------
    .. [1] Balance of moments about the axles.

    Examples
    --------
    >>> round(centre_of_share(0.25, 0.8), 3)
    0.6
    """
    return wheelbase * (1.0 - front_share)


@law(valid={"centre": (-20.0, 20.0), "wanted": (-20.0, 20.0), "wheelbase": (0.01, 20.0)})
def light_axle(centre: Scalar, wanted: Scalar, wheelbase: Scalar) -> Scalar:
    r"""Return where the axle stands that is lighter than wanted.

    .. math:: x_b = 0 \text{ if } x > x_w \text{ else } L

    Parameters
    ----------
    centre
        Of mass, behind the front axle. [m]
    wanted
        Where it should be. [m]
    wheelbase
        From the front axle to the rear axle. [m]

    Returns
    -------
    Scalar
        Its distance behind the front axle. [m]

    Notes
    -----
    Over the light axle itself ballast takes nothing off the other; farther out less of it does as much.

    References
    ----------
    .. [1] Balance of moments about the axles.

    Examples
    --------
    >>> float(light_axle(0.5, 0.4, 0.7))
    0.0
    """
    return np.where(np.asarray(centre) > np.asarray(wanted), 0.0 * wheelbase, wheelbase)[()]


@law(valid={"mass": (0.1, 1e5), "centre": (-20.0, 20.0), "wanted": (-20.0, 20.0), "position": (-20.0, 20.0)})
def ballast_mass(mass: Scalar, centre: Scalar, wanted: Scalar, position: Scalar) -> Scalar:
    r"""Return the ballast at one place that moves the centre of mass to another.

    .. math:: m_b = M\,\frac{x - x_w}{x_w - x_b}

    Parameters
    ----------
    mass
        Of the machine without it. [kg]
    centre
        Of that mass. [m]
    wanted
        Where the centre should come to lie. [m]
    position
        Of the ballast. [m]

    Returns
    -------
    Scalar
        Mass of the ballast; infinite where none at that place does it. [kg]

    Notes
    -----
    The place must lie beyond where the centre should be. Moving the pack does the same without a gram.

    References
    ----------
    .. [1] Balance of moments about the wanted centre.

    Examples
    --------
    >>> round(float(ballast_mass(30.0, 0.44, 0.40, 0.0)), 3)
    3.0
    >>> float(ballast_mass(30.0, 0.44, 0.40, 0.6))
    inf
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        needed = np.asarray(np.divide(mass * (centre - wanted), wanted - position))
    needed = np.where(np.abs(centre - wanted) <= ROUNDING, 0.0, needed)
    return np.where(needed >= 0.0, needed, np.where(np.isnan(needed), np.nan, inf))[()]
