"""Digging: what a rotary tiller and an earth auger ask of their shaft.

Soil is loosened at so many joules a cubic metre, an auger also lifts it. Seals and grease of the tool's own box stand
in ``transmission.drag_loss``. What the soil asks is a power as long as the feed does not follow the tool's speed, and
a torque where both come off one shaft.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.heat import GRAVITY
from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms


@law(valid={"width": (0.0, 5.0), "depth": (0.0, 1.0), "travel_speed": (0.0, 5.0)})
def loosened_volume(width: Scalar, depth: Scalar, travel_speed: Scalar) -> Scalar:
    r"""Return the volume of soil a tiller loosens each second.

    .. math:: \dot V = W\,d\,v

    Parameters
    ----------
    width
        Width of work. [m]
    depth
        Depth of work, from the surface before the pass. [m]
    travel_speed
        Speed over the ground. [m/s]

    Returns
    -------
    Scalar
        Volume of settled soil each second. [m³/s]

    Notes
    -----
    Volume as it lay: loosened soil fills a fifth to a half more.

    References
    ----------
    .. [1] Geometry of the pass.

    Examples
    --------
    >>> round(loosened_volume(0.4, 0.12, 0.25), 6)
    0.012
    """
    return width * depth * travel_speed


@law(valid={"diameter": (0.0, 2.0), "feed": (0.0, 1.0)})
def bored_volume(diameter: Scalar, feed: Scalar) -> Scalar:
    r"""Return the volume of soil an auger loosens each second.

    .. math:: \dot V = \tfrac{\pi}{4} D^2 v

    Parameters
    ----------
    diameter
        Diameter of the hole. [m]
    feed
        Speed at which the hole deepens. [m/s]

    Returns
    -------
    Scalar
        Volume of settled soil each second. [m³/s]

    Notes
    -----
    A hole without a core. Side walls that crumble add to it.

    References
    ----------
    .. [1] Geometry of the hole.

    Examples
    --------
    >>> round(bored_volume(0.2, 0.02), 6)
    0.000628
    """
    return 0.25 * np.pi * diameter**2 * feed


@law(valid={"volume_flow": (0.0, 10.0), "specific_work": (0.0, 5e6)})
def digging_power(volume_flow: Scalar, specific_work: Scalar) -> Scalar:
    r"""Return the power that loosens soil.

    .. math:: P = e_s\,\dot V

    Parameters
    ----------
    volume_flow
        Volume of settled soil loosened each second. [m³/s]
    specific_work
        Work to loosen a cubic metre. [J/m³]

    Returns
    -------
    Scalar
        Power at the tool. [W]

    Notes
    -----
    The specific work is taken as constant. It rises with dry clay and with short bites, and depends on the direction
    of rotation; roots and stones are the business of ``rough_torque``.

    References
    ----------
    .. [1] Definition of specific work (its numbers are assumed).

    Examples
    --------
    >>> round(digging_power(0.012, 150e3), 3)
    1800.0
    """
    return specific_work * volume_flow


@law(valid={"volume_flow": (0.0, 10.0), "soil_density": (500.0, 3000.0)})
def spoil_flow(volume_flow: Scalar, soil_density: Scalar) -> Scalar:
    r"""Return the mass of soil an auger brings up each second.

    .. math:: \dot m = \rho_s\,\dot V

    Parameters
    ----------
    volume_flow
        Volume of settled soil loosened each second. [m³/s]
    soil_density
        Density of the soil as it lies, water included. [kg/m³]

    Returns
    -------
    Scalar
        Mass flow. [kg/s]

    Notes
    -----
    Steady: all that is loosened comes up. A slow auger packs it on the flights and has to be drawn out.

    References
    ----------
    .. [1] Balance of mass in the hole.

    Examples
    --------
    >>> round(spoil_flow(0.001, 1700.0), 6)
    1.7
    """
    return soil_density * volume_flow


@law(valid={"flow": (0.0, 1000.0), "height": (0.0, 20.0)})
def spoil_lift_power(flow: Scalar, height: Scalar) -> Scalar:
    r"""Return the power that goes into the height of the spoil.

    .. math:: P = \dot m\,g\,h

    Parameters
    ----------
    flow
        Mass of soil brought up each second. [kg/s]
    height
        From the bottom of the hole to where the spoil is thrown off. [m]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    What is left over as height; the rubbing on the way stands in ``spoil_rubbing_loss``.

    References
    ----------
    .. [1] Potential energy.

    Examples
    --------
    >>> round(spoil_lift_power(1.7, 0.6), 2)
    10.0
    """
    return flow * GRAVITY * height


@law(valid={"flow": (0.0, 1000.0), "height": (0.0, 20.0), "lift_factor": (1.0, 20.0)})
def spoil_rubbing_loss(flow: Scalar, height: Scalar, lift_factor: Scalar) -> Scalar:
    r"""Return the power lost as the spoil rubs on the flights and on the wall of the hole.

    .. math:: P = (k_l - 1)\,\dot m\,g\,h

    Parameters
    ----------
    flow
        Mass of soil brought up each second. [kg/s]
    height
        From the bottom of the hole to where the spoil is thrown off. [m]
    lift_factor
        All the work of lifting over the work of the height alone. [-]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    One factor for flights and wall. A full, sticky hole has a larger one.

    References
    ----------
    .. [1] Definition of the factor (its number is assumed).

    Examples
    --------
    >>> round(spoil_rubbing_loss(1.7, 0.6, 3.0), 2)
    20.01
    """
    return (lift_factor - 1.0) * flow * GRAVITY * height


@law(
    valid={
        "width": (0.0, 5.0),
        "depth": (0.0, 1.0),
        "travel_speed": (0.0, 5.0),
        "specific_work": (0.0, 5e6),
        "idle_torque": (0.0, 1000.0),
    }
)
def tiller_torque_terms(
    width: Scalar, depth: Scalar, travel_speed: Scalar, specific_work: Scalar, idle_torque: Scalar
) -> TorqueTerms:
    r"""Return the torque a rotary tiller asks for, as terms in its speed.

    .. math:: T = \frac{e_s W d\,v}{\omega} + T_0

    Parameters
    ----------
    width
        Width of work. [m]
    depth
        Depth of work. [m]
    travel_speed
        Speed over the ground, held by something else than the tool's shaft. [m/s]
    specific_work
        Work to loosen a cubic metre. [J/m³]
    idle_torque
        Torque of the tool's own box, seals and grease, out of the ground. [N·m]

    Returns
    -------
    TorqueTerms
        Terms at the tiller's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The sum of ``digging_power`` and the idle torque's power over the speed. Where the wheels are geared to the tines
    the soil asks for ``geared_digging_torque`` instead, a constant. Tines that push the machine forward are left out.

    References
    ----------
    .. [1] Derived from the laws of this file.

    Examples
    --------
    >>> round(tiller_torque_terms(0.4, 0.12, 0.25, 150e3, 3.0).power, 3)
    1800.0
    """
    none = 0.0 * idle_torque
    return TorqueTerms(specific_work * width * depth * travel_speed, idle_torque, none, none)


@law(
    valid={
        "diameter": (0.0, 2.0),
        "feed": (0.0, 1.0),
        "specific_work": (0.0, 5e6),
        "soil_density": (500.0, 3000.0),
        "height": (0.0, 20.0),
        "lift_factor": (1.0, 20.0),
        "idle_torque": (0.0, 1000.0),
    }
)
def auger_torque_terms(
    diameter: Scalar,
    feed: Scalar,
    specific_work: Scalar,
    soil_density: Scalar,
    height: Scalar,
    lift_factor: Scalar,
    idle_torque: Scalar,
) -> TorqueTerms:
    r"""Return the torque an earth auger asks for, as terms in its speed.

    .. math:: T = \frac{\tfrac{\pi}{4} D^2 v\,(e_s + k_l \rho_s g h)}{\omega} + T_0

    Parameters
    ----------
    diameter
        Diameter of the hole. [m]
    feed
        Speed at which the hole deepens, held by the hand on it. [m/s]
    specific_work
        Work to loosen a cubic metre. [J/m³]
    soil_density
        Density of the soil as it lies. [kg/m³]
    height
        From the bottom of the hole to where the spoil is thrown off. [m]
    lift_factor
        All the work of lifting over the work of the height alone. [-]
    idle_torque
        Torque of the tool's own box, out of the ground. [N·m]

    Returns
    -------
    TorqueTerms
        Terms at the auger's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The sum of ``digging_power``, ``spoil_lift_power``, ``spoil_rubbing_loss`` and the idle torque's power over the
    speed. An auger that screws itself in feeds with its turns and asks for ``geared_digging_torque``.

    References
    ----------
    .. [1] Derived from the laws of this file.

    Examples
    --------
    >>> round(auger_torque_terms(0.2, 0.02, 150e3, 1700.0, 0.6, 3.0, 1.0).power, 1)
    113.1
    """
    volume = 0.25 * np.pi * diameter**2 * feed
    none = 0.0 * idle_torque
    return TorqueTerms(
        volume * (specific_work + lift_factor * soil_density * GRAVITY * height), idle_torque, none, none
    )


@law(valid={"travel_speed": (0.0, 5.0), "speed": (1e-3, 5000.0), "blades": (1.0, 20.0)})
def bite_length(travel_speed: Scalar, speed: Scalar, blades: Scalar) -> Scalar:
    r"""Return how far the machine moves on between two blades.

    .. math:: b = \frac{2 \pi v}{z\,\omega}

    Parameters
    ----------
    travel_speed
        Speed over the ground, or of the feed. [m/s]
    speed
        Of the tiller's shaft. [rad/s]
    blades
        Blades that follow each other in one track. [-]

    Returns
    -------
    Scalar
        Length of a bite. [m]

    Notes
    -----
    Shorter bites make a finer tilth and cost more work for each cubic metre. With one blade it is the advance in a
    turn.

    References
    ----------
    .. [1] Kinematics of a rotary tiller: advance in the time between two blades.

    Examples
    --------
    >>> round(float(bite_length(0.25, 20.0, 2.0)), 4)
    0.0393
    """
    return 2.0 * np.pi * travel_speed / (blades * speed)


@law(valid={"section": (0.0, 10.0), "advance": (0.0, 5.0), "specific_work": (0.0, 5e6)})
def geared_digging_torque(section: Scalar, advance: Scalar, specific_work: Scalar) -> Scalar:
    r"""Return the torque that loosens soil where the feed is geared to the tool.

    .. math:: T = \frac{e_s A\,a}{2 \pi}

    Parameters
    ----------
    section
        Width times depth of work, or the area of the hole. [m²]
    advance
        Feed in one turn of the tool. [m]
    specific_work
        Work to loosen a cubic metre. [J/m³]

    Returns
    -------
    Scalar
        Torque at the tool's shaft, whatever its speed. [N·m]

    Notes
    -----
    For tines geared to the wheels and for an auger that screws itself in: a tool that slows takes less soil, so the
    torque does not climb as the speed falls. Goes into the constant term.

    References
    ----------
    .. [1] Work in one turn over the angle of one turn.

    Examples
    --------
    >>> round(float(geared_digging_torque(0.048, 0.08, 150e3)), 2)
    91.67
    """
    return specific_work * section * advance / (2.0 * np.pi)


@law(valid={"mean_torque": (0.0, 1e5), "variation": (0.0, 2.0), "deviate": (-6.0, 6.0)})
def rough_torque(mean_torque: Scalar, variation: Scalar, deviate: Scalar) -> Scalar:
    r"""Return the torque that soil with stones and roots stays below for a given share of the time.

    .. math:: T = \frac{\bar T}{\sqrt{1 + c^2}}\,\exp\bigl(z \sqrt{\ln(1 + c^2)}\bigr)

    Parameters
    ----------
    mean_torque
        Mean over the work. [N·m]
    variation
        Standard deviation over the mean. [-]
    deviate
        Standard normal deviate of the share: 0 for half the time, 1.645 for 95 %, 2.326 for 99 %. [-]

    Returns
    -------
    Scalar
        Torque. [N·m]

    Notes
    -----
    Lognormal with the given mean. A stone that wedges the tool is a stall and no matter of spread.

    References
    ----------
    .. [1] Quantile of the lognormal distribution; that torque follows it is assumed.

    Examples
    --------
    >>> round(float(rough_torque(30.0, 0.5, 1.645)), 1)
    58.4
    """
    square = 1.0 + variation**2
    return mean_torque / np.sqrt(square) * np.exp(deviate * np.sqrt(np.log(square)))


@law(valid={"mean_torque": (0.0, 1e5), "variation": (0.0, 2.0)})
def rough_torque_rms(mean_torque: Scalar, variation: Scalar) -> Scalar:
    r"""Return the root mean square of a torque that jumps about its mean.

    .. math:: T_{rms} = \bar T \sqrt{1 + c^2}

    Parameters
    ----------
    mean_torque
        Mean over the work. [N·m]
    variation
        Standard deviation over the mean. [-]

    Returns
    -------
    Scalar
        Torque whose square is the mean of the squares. [N·m]

    Notes
    -----
    Holds for any distribution. Copper heats with this torque, not with the mean.

    References
    ----------
    .. [1] Definition of the variance.

    Examples
    --------
    >>> round(float(rough_torque_rms(30.0, 0.5)), 2)
    33.54
    """
    return mean_torque * np.sqrt(1.0 + variation**2)
