"""Cutting wood: circular saw, chipper, and the flywheel that carries a chipper or splitter through a hit.

The disc's fan power is ``loads.blade_windage_power``, the drag of its bearings and belt housing
``transmission.drag_loss``, the energy of a flywheel at one speed ``loads.spin_energy``.
"""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law
from headrace.physics.torque_terms import TorqueTerms


@law(valid={"kerf": (0.0, 0.05), "depth": (0.0, 1.0), "feed": (0.0, 10.0)})
def kerf_volume(kerf: Scalar, depth: Scalar, feed: Scalar) -> Scalar:
    r"""Return the volume of wood a saw turns into dust each second.

    .. math:: \dot V = k\,h\,v

    Parameters
    ----------
    kerf
        Width of the cut, set or tips included. [m]
    depth
        Height of the wood in the cut. [m]
    feed
        Speed of the wood against the saw. [m/s]

    Returns
    -------
    Scalar
        Volume each second. [m³/s]

    Notes
    -----
    Straight cut through full depth; a wane edge or a slanting blade changes the depth on the way.

    References
    ----------
    .. [1] Geometry of the cut.

    Examples
    --------
    >>> round(1e6 * kerf_volume(0.003, 0.08, 0.10), 6)
    24.0
    """
    return kerf * depth * feed


@law(valid={"volume_flow": (0.0, 1.0), "specific_energy": (0.0, 1e9)})
def sawing_power(volume_flow: Scalar, specific_energy: Scalar) -> Scalar:
    r"""Return the power that cuts the kerf.

    .. math:: P = u_s\,\dot V

    Parameters
    ----------
    volume_flow
        Volume of wood turned into dust each second. [m³/s]
    specific_energy
        Energy to cut a cubic metre of kerf; grows as teeth dull and as the dust gets finer. [J/m³]

    Returns
    -------
    Scalar
        Power at the saw. [W]

    Notes
    -----
    Rubbing of the plate in a closing kerf is left out. The dust's speed is in the energy.

    References
    ----------
    .. [1] Definition of specific cutting energy (its numbers are assumed).

    Examples
    --------
    >>> round(sawing_power(24e-6, 50e6), 3)
    1200.0
    """
    return specific_energy * volume_flow


@law(valid={"flow": (0.0, 50.0), "specific_energy": (0.0, 1e6)})
def chipping_power(flow: Scalar, specific_energy: Scalar) -> Scalar:
    r"""Return the mean power that turns wood into chips.

    .. math:: P = e_{ch}\,\dot m

    Parameters
    ----------
    flow
        Mass of fresh wood fed each second, gaps between branches counted. [kg/s]
    specific_energy
        Energy for a kilogram of fresh wood, the throw up the chute included. [J/kg]

    Returns
    -------
    Scalar
        Power at the chipper's shaft. [W]

    Notes
    -----
    A mean: each knife takes it in hits, see ``speed_droop``. Fresh mass, about half of it water.

    References
    ----------
    .. [1] Definition of specific energy (its numbers are assumed).

    Examples
    --------
    >>> chipping_power(0.1, 12000.0)
    1200.0
    """
    return specific_energy * flow


@law(valid={"speed": (0.1, 5000.0), "radius": (0.01, 2.0), "viscosity": (1e-6, 1e-4)})
def smooth_disc_windage(speed: Scalar, radius: Scalar, viscosity: Scalar) -> Scalar:
    r"""Return the fan coefficient of a smooth disc that turns in free air.

    .. math:: C_w = 0.073 \left(\frac{\nu}{\omega R^2}\right)^{1/5}

    Parameters
    ----------
    speed
        Of the disc. [rad/s]
    radius
        Of the disc. [m]
    viscosity
        Kinematic viscosity of the air. [m²/s]

    Returns
    -------
    Scalar
        Coefficient for ``loads.blade_windage_power``. [-]

    Notes
    -----
    Both faces wetted, turbulent: above a Reynolds number of about 300 000. The least a saw plate or a flywheel can
    have; teeth, spokes and paddles add to it, a close housing takes some away.

    References
    ----------
    .. [1] von Kármán, 1921, seventh-power law on a rotating disc; as a problem in Bird, Stewart, Lightfoot,
       Transport Phenomena, ch. 6.

    Examples
    --------
    >>> round(1e3 * smooth_disc_windage(150.0, 0.30, 1.5e-5), 2)
    4.7
    """
    return 0.073 * (viscosity / (speed * radius**2)) ** 0.2


@law(
    valid={
        "power": (0.0, 1e6),
        "idle_torque": (0.0, 1000.0),
        "radius": (0.0, 2.0),
        "density": (0.5, 2.0),
        "windage": (0.0, 0.2),
    }
)
def cutter_torque_terms(
    power: Scalar, idle_torque: Scalar, radius: Scalar, density: Scalar, windage: Scalar
) -> TorqueTerms:
    r"""Return the torque a saw or chipper asks for, as terms in its speed.

    .. math:: T = \frac{P}{\omega} + T_0 + C_w \rho R^5\,\omega^2

    Parameters
    ----------
    power
        Power that goes into the wood. [W]
    idle_torque
        Drag of the tool's bearings and seals. [N·m]
    radius
        Radius of the disc or drum. [m]
    density
        Density of the air. [kg/m³]
    windage
        Fan coefficient of the disc with its teeth, knives and paddles. [-]

    Returns
    -------
    TorqueTerms
        Terms at the tool's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The sum of ``sawing_power`` or ``chipping_power``, ``loads.blade_windage_power`` and the idle torque's power over
    the speed. The feed is held by hand or by its own motor; with one geared to the disc the wood asks for a constant
    torque instead.

    References
    ----------
    .. [1] Derived from the laws named in the notes.

    Examples
    --------
    >>> terms = cutter_torque_terms(1200.0, 0.1, 0.2, 1.2, 0.008)
    >>> round(terms.power / 300.0 + terms.constant + terms.square * 300.0**2, 3)
    4.376
    """
    return TorqueTerms(power, idle_torque, 0.0 * idle_torque, windage * density * radius**5)


@law(valid={"speed": (0.0, 5000.0), "inertia": (1e-9, 1e5), "energy": (0.0, 1e9)})
def speed_droop(speed: Scalar, inertia: Scalar, energy: Scalar) -> Scalar:
    r"""Return by how much a flywheel slows when it alone pays for a hit.

    .. math:: \Delta\omega = \omega - \sqrt{\omega^2 - 2 E / J}

    Parameters
    ----------
    speed
        Before the hit. [rad/s]
    inertia
        Of all that turns, at the flywheel's shaft. [kg·m²]
    energy
        Work of the hit. [J]

    Returns
    -------
    Scalar
        Speed lost; all of it where the flywheel holds less than the hit takes. [rad/s]

    Notes
    -----
    Exact for a hit too short for the motor to help; E/(J w) for a small one. A stop is a jam, not a droop.

    References
    ----------
    .. [1] Balance of kinetic energy.

    Examples
    --------
    >>> round(float(speed_droop(100.0, 0.5, 475.0)), 6)
    10.0
    """
    taken = np.minimum(2.0 * energy / inertia, speed**2)
    at_rest = np.where(np.asarray(speed) > 0.0, 0.0, 1.0)
    # written on the energy taken, so that a small hit on a heavy wheel keeps its digits
    return taken / (speed + np.sqrt(speed**2 - taken) + at_rest)


@law(valid={"inertia": (0.0, 1e5), "fast": (0.0, 5000.0), "slow": (0.0, 5000.0)})
def flywheel_energy(inertia: Scalar, fast: Scalar, slow: Scalar) -> Scalar:
    r"""Return the energy a flywheel gives between two speeds.

    .. math:: E = \tfrac{1}{2}\,J\,(\omega_1 - \omega_2)(\omega_1 + \omega_2)

    Parameters
    ----------
    inertia
        Of all that turns, at the flywheel's shaft. [kg·m²]
    fast
        Speed before. [rad/s]
    slow
        Speed after. [rad/s]

    Returns
    -------
    Scalar
        Energy given; negative where it speeds up. [J]

    Notes
    -----
    Half the speed leaves a quarter of the energy.

    References
    ----------
    .. [1] Kinetic energy of rotation.

    Examples
    --------
    >>> flywheel_energy(0.5, 100.0, 90.0)
    475.0
    """
    return 0.5 * inertia * (fast - slow) * (fast + slow)


@law(valid={"energy": (0.0, 1e9), "fast": (1e-3, 5000.0), "slow": (0.0, 5000.0)})
def flywheel_inertia(energy: Scalar, fast: Scalar, slow: Scalar) -> Scalar:
    r"""Return the inertia that gives an energy between two speeds.

    .. math:: J = \frac{2 E}{(\omega_1 - \omega_2)(\omega_1 + \omega_2)}

    Parameters
    ----------
    energy
        Work of a hit. [J]
    fast
        Speed before. [rad/s]
    slow
        Lowest speed wanted after it, below the speed before. [rad/s]

    Returns
    -------
    Scalar
        Inertia at the flywheel's shaft. [kg·m²]

    Notes
    -----
    The rim has to stand its own speed: that is a matter of the wheel's maker.

    References
    ----------
    .. [1] The inverse of ``flywheel_energy``.

    Examples
    --------
    >>> flywheel_inertia(475.0, 100.0, 90.0)
    0.5
    """
    return 2.0 * energy / ((fast - slow) * (fast + slow))


@law(valid={"energy": (0.0, 1e9), "interval": (1e-4, 1e5)})
def mean_hit_power(energy: Scalar, interval: Scalar) -> Scalar:
    r"""Return the mean power of hits that come one after the other.

    .. math:: \bar P = E / t

    Parameters
    ----------
    energy
        Work of one hit. [J]
    interval
        From hit to hit. [s]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    What the motor has to make good; windage and drag come on top.

    References
    ----------
    .. [1] Definition of mean power.

    Examples
    --------
    >>> mean_hit_power(475.0, 0.5)
    950.0
    """
    return energy / interval


@law(valid={"inertia": (0.0, 1e5), "loop_resistance": (1e-6, 1e3), "motor_constant": (1e-5, 100.0)})
def recovery_time_constant(inertia: Scalar, loop_resistance: Scalar, motor_constant: Scalar) -> Scalar:
    r"""Return the time constant with which a motor brings a flywheel back to speed.

    .. math:: \tau = \frac{J R}{k_e^2}

    Parameters
    ----------
    inertia
        Of all that turns, at the motor's shaft. [kg·m²]
    loop_resistance
        Winding, leads and source together, at full duty. [Ω]
    motor_constant
        Volts per speed. [V·s/rad]

    Returns
    -------
    Scalar
        Time constant. [s]

    Notes
    -----
    Without a limit of current: where one acts, ``recovery_time`` holds instead. Drag that grows with speed shortens
    it a little.

    References
    ----------
    .. [1] Mechanical time constant of a permanent-magnet motor.

    Examples
    --------
    >>> round(recovery_time_constant(0.5, 0.08, 0.2), 6)
    1.0
    """
    return inertia * loop_resistance / motor_constant**2


@law(valid={"inertia": (0.0, 1e5), "droop": (0.0, 5000.0), "spare_torque": (1e-6, 1e5)})
def recovery_time(inertia: Scalar, droop: Scalar, spare_torque: Scalar) -> Scalar:
    r"""Return the time a steady torque takes to bring a flywheel back to speed.

    .. math:: t = \frac{J\,\Delta\omega}{T}

    Parameters
    ----------
    inertia
        Of all that turns, at the shaft of the torque. [kg·m²]
    droop
        Speed to regain. [rad/s]
    spare_torque
        Torque left over above drag, as under a controller's limit of current. [N·m]

    Returns
    -------
    Scalar
        Time. [s]

    Notes
    -----
    Longer than the time between hits, and the speed walks down until the tool stalls.

    References
    ----------
    .. [1] Newton's second law of rotation.

    Examples
    --------
    >>> recovery_time(0.5, 10.0, 10.0)
    0.5
    """
    return inertia * droop / spare_torque


@law(valid={"interval": (1e-6, 1e5), "time_constant": (1e-6, 1e5)})
def hit_current_peak(interval: Scalar, time_constant: Scalar) -> Scalar:
    r"""Return the peak over the mean of the current that makes hits good.

    .. math:: \frac{\hat I}{\bar I} = \frac{x}{1 - e^{-x}}, \quad x = t / \tau

    Parameters
    ----------
    interval
        From hit to hit. [s]
    time_constant
        Of the recovery between hits. [s]

    Returns
    -------
    Scalar
        Ratio; near 1 where the wheel is slow against the hits, the battery then sees only the mean. [-]

    Notes
    -----
    Even hits on a steady voltage, once the swing repeats itself. Of the part of the current that hits ask for;
    drag is on top.

    References
    ----------
    .. [1] Exponential recovery between equal steps of speed, summed over one period.

    Examples
    --------
    >>> round(float(hit_current_peak(0.2, 1.0)), 3)
    1.103
    """
    periods = interval / time_constant
    return -periods / np.expm1(-periods)


@law(valid={"interval": (1e-6, 1e5), "time_constant": (1e-6, 1e5)})
def hit_current_rms(interval: Scalar, time_constant: Scalar) -> Scalar:
    r"""Return the root mean square over the mean of the current that makes hits good.

    .. math:: \frac{I_{rms}}{\bar I} = \sqrt{\frac{x}{2} \coth\frac{x}{2}}, \quad x = t / \tau

    Parameters
    ----------
    interval
        From hit to hit. [s]
    time_constant
        Of the recovery between hits. [s]

    Returns
    -------
    Scalar
        Ratio, for the heat in copper and cells. [-]

    Notes
    -----
    As ``hit_current_peak``. A light flywheel heats the winding more for the same work.

    References
    ----------
    .. [1] Exponential recovery between equal steps of speed, its square integrated over one period.

    Examples
    --------
    >>> round(float(hit_current_rms(4.0, 1.0)), 3)
    1.44
    """
    half = 0.5 * interval / time_constant
    return np.sqrt(half / np.tanh(half))
