"""Torque as a sum of powers of speed: T(w) = p/w + c + l w + s w².

Every load and drag a mowing chain knows fits these four terms, and passing a belt or a gear keeps the form. A whole
chain of links so becomes four numbers at the motor shaft, and the operating point one equation in one unknown. The
loss ledger does not use them: it asks the laws link by link, and the balance of the two is a test of both.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from headrace.physics.law import Scalar, law


class TorqueTerms(NamedTuple):
    """The four terms of a torque that depends on speed; floats or lanes."""

    power: Scalar  # W, torque p/w: power asked for whatever the speed
    constant: Scalar  # N m
    linear: Scalar  # N m s/rad
    square: Scalar  # N m s2/rad2


@law(valid={"radius": (0.01, 2.0), "density": (0.5, 2.0), "windage": (0.0, 0.2), "flow": (0.0, 50.0)})
def blade_torque_terms(
    radius: Scalar,
    density: Scalar,
    windage: Scalar,
    flow: Scalar,
    shear_energy: Scalar,
    throw_share: Scalar,
    wet_factor: Scalar,
    power: Scalar,
) -> TorqueTerms:
    r"""Return the torque a rotary blade asks for, as terms in its speed.

    .. math:: T = \frac{f \dot m e_0 + P}{\omega} + f \dot m c_k R^2\,\omega + C_w \rho R^5\,\omega^2

    Parameters
    ----------
    radius
        Radius of the tip circle. [m]
    density
        Density of the air. [kg/m³]
    windage
        Fan coefficient of the blade in its deck. [-]
    flow
        Mass of clippings cut each second. [kg/s]
    shear_energy
        Energy to cut a kilogram of fresh clippings. [J/kg]
    throw_share
        Share of the squared tip speed given to each kilogram. [-]
    wet_factor
        Multiplier on shearing and throwing, 1 when dry. [-]
    power
        Power asked for at the tool whatever the speed. [W]

    Returns
    -------
    TorqueTerms
        Terms at the blade's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    The sum of ``blade_windage_power``, ``shearing_power`` and ``throwing_power`` divided by the speed. A constant
    shearing energy is a model for tip speeds above about 30 m/s.

    References
    ----------
    .. [1] Derived from the three power laws of ``headrace.physics.loads``.

    Examples
    --------
    A 0.21 m blade without grass needs windage torque only:

    >>> blade_torque_terms(0.21, 1.2, 0.01, 0.0, 1000.0, 0.45, 1.0, 0.0).constant
    0.0
    >>> round(blade_torque_terms(0.21, 1.2, 0.01, 0.1, 1000.0, 0.45, 1.0, 0.0).power, 6)
    100.0
    """
    into_grass = wet_factor * flow
    return TorqueTerms(
        power=into_grass * shear_energy + power,
        constant=0.0 * radius,
        linear=into_grass * throw_share * radius**2,
        square=windage * density * radius**5,
    )


@law(valid={"constant": (0.0, 1000.0), "linear": (0.0, 100.0), "square": (0.0, 10.0)})
def with_drag(terms: TorqueTerms, constant: Scalar, linear: Scalar, square: Scalar) -> TorqueTerms:
    r"""Return the terms with the drag of something on the same shaft added.

    .. math:: T'(\omega) = T(\omega) + T_0 + k_1 \omega + k_2 \omega^2

    Parameters
    ----------
    terms
        Torque asked for so far. [W, N·m, N·m·s/rad, N·m·s²/rad²]
    constant
        Drag at any speed. [N·m]
    linear
        Drag in proportion to speed. [N·m·s/rad]
    square
        Drag in proportion to speed squared. [N·m·s²/rad²]

    Returns
    -------
    TorqueTerms
        The sum, at the same shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    Exact for any speed above zero.

    References
    ----------
    .. [1] Balance of torques on one shaft.

    Examples
    --------
    >>> with_drag(TorqueTerms(100.0, 0.0, 0.0, 1e-5), 0.06, 0.0, 0.0).constant
    0.06
    """
    return TorqueTerms(terms.power, terms.constant + constant, terms.linear + linear, terms.square + square)


@law(valid={"power": (0.0, 1e6)})
def with_power(terms: TorqueTerms, power: Scalar) -> TorqueTerms:
    r"""Return torque terms with a power added that is asked for whatever the speed.

    .. math:: T = T(\omega) + \frac{P}{\omega}

    Parameters
    ----------
    terms
        Terms of one shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]
    power
        Asked for at that shaft. [W]

    Returns
    -------
    TorqueTerms
        Terms of the same shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    For a demand known only in watts at a speed; at other speeds it is taken to ask for the same power.

    References
    ----------
    .. [1] Definition of mechanical power.

    Examples
    --------
    >>> with_power(TorqueTerms(200.0, 0.1, 0.0, 0.0), 300.0).power
    500.0
    """
    return TorqueTerms(terms.power + power, terms.constant, terms.linear, terms.square)


@law(valid={"ratio": (0.01, 500.0), "efficiency": (0.05, 1.0), "creep": (0.0, 0.2)})
def at_input_shaft(
    terms: TorqueTerms, ratio: Scalar, efficiency: Scalar, creep: Scalar, drag: Scalar, drag_slope: Scalar
) -> TorqueTerms:
    r"""Return the terms seen at the input shaft of a transmission stage.

    .. math:: T_{in}(\omega) = \frac{T_{out}(\omega\,(1-s)/i)}{i\,\eta} + T_0 + T_1\,\omega

    Parameters
    ----------
    terms
        Torque asked for at the output shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]
    ratio
        Input turns per output turn without creep. [-]
    efficiency
        Torque efficiency of the part that grows with load. [-]
    creep
        Share of output speed lost; 0 for toothed parts. [-]
    drag
        Drag at the input shaft at any speed. [N·m]
    drag_slope
        Drag at the input shaft in proportion to speed. [N·m·s/rad]

    Returns
    -------
    TorqueTerms
        Terms at the input shaft, in the input shaft's speed. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    Driving direction only: power flows from the input to the output.

    References
    ----------
    .. [1] Same stage as ``headrace.physics.transmission.input_torque`` and ``input_speed``.

    Examples
    --------
    A 2:1 reduction without losses halves a constant torque and turns twice as fast:

    >>> at_input_shaft(TorqueTerms(0.0, 2.0, 0.0, 0.0), 2.0, 1.0, 0.0, 0.0, 0.0).constant
    1.0
    """
    turns = ratio / (1.0 - creep)
    share = 1.0 / (ratio * efficiency)
    return TorqueTerms(
        power=terms.power * turns * share,
        constant=terms.constant * share + drag,
        linear=terms.linear * share / turns + drag_slope,
        square=terms.square * share / turns**2,
    )


@law(valid={"constant": (1e-4, 100.0)})
def current_terms(terms: TorqueTerms, constant: Scalar) -> TorqueTerms:
    r"""Return the motor current that carries a torque, as terms in the speed.

    .. math:: I(\omega) = T(\omega) / k_e

    Parameters
    ----------
    terms
        Torque at the motor shaft, the motor's own friction included. [W, N·m, N·m·s/rad, N·m·s²/rad²]
    constant
        Motor constant at the magnets' temperature. [V·s/rad]

    Returns
    -------
    TorqueTerms
        Current terms in the same speed. [A·rad/s, A, A·s/rad, A·s²/rad²]

    Notes
    -----
    Torque constant and voltage constant are one number in SI units. Saturation is left out.

    References
    ----------
    .. [1] Torque of a permanent-magnet motor, T = ke I.

    Examples
    --------
    >>> current_terms(TorqueTerms(0.0, 1.0, 0.0, 0.0), 0.1).constant
    10.0
    """
    return TorqueTerms(*(term / constant for term in terms))


@law(valid={"power": (0.0, 1e6), "known_speed": (0.1, 1e5), "growth": (0.0, 2.0)})
def known_point_terms(power: Scalar, known_speed: Scalar, growth: Scalar) -> TorqueTerms:
    r"""Return the torque of a load whose power is known at one speed.

    .. math:: T = \frac{P}{\omega_0} \left(\frac{\omega}{\omega_0}\right)^n

    Parameters
    ----------
    power
        At the known speed. [W]
    known_speed
        That speed. [rad/s]
    growth
        n: 0 for a torque that stays, 1 for one that grows with the speed, 2 for one that grows with its square. [-]

    Returns
    -------
    TorqueTerms
        Terms at the load's shaft. [W, N·m, N·m·s/rad, N·m·s²/rad²]

    Notes
    -----
    Presses, mills, hoists and conveyors keep their torque; what stirs something thick grows with the speed, what throws
    air or water with its square. Which it is has to be known: one point does not tell.

    References
    ----------
    .. [1] Power is torque times speed; the kinds of load are common practice, no source.

    Examples
    --------
    >>> float(known_point_terms(600.0, 150.0, 0.0).constant)
    4.0
    """
    torque = power / known_speed
    return TorqueTerms(
        0.0 * torque,
        np.where(np.equal(growth, 0.0), torque, 0.0),
        np.where(np.equal(growth, 1.0), torque / known_speed, 0.0),
        np.where(np.equal(growth, 2.0), torque / known_speed**2, 0.0),
    )


@law(valid={"speed": (0.0, 1e5), "power": (0.0, 1e6), "known_speed": (0.1, 1e5), "growth": (0.0, 2.0)})
def known_point_power(speed: Scalar, power: Scalar, known_speed: Scalar, growth: Scalar) -> Scalar:
    r"""Return the power at any speed of a load whose power is known at one.

    .. math:: P' = P \left(\frac{\omega}{\omega_0}\right)^{n+1}

    Parameters
    ----------
    speed
        Speed looked at. [rad/s]
    power
        At the known speed. [W]
    known_speed
        That speed. [rad/s]
    growth
        As in ``known_point_terms``. [-]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    As ``known_point_terms``.

    References
    ----------
    .. [1] Power is torque times speed.

    Examples
    --------
    >>> known_point_power(75.0, 600.0, 150.0, 2.0)
    75.0
    """
    return power * (speed / known_speed) ** (growth + 1.0)


@law(valid={"speed": (1e-6, 1e5)})
def torque_at(terms: TorqueTerms, speed: Scalar) -> Scalar:
    r"""Return the torque at one speed.

    .. math:: T = p/\omega + c + l\,\omega + s\,\omega^2

    Parameters
    ----------
    terms
        The four terms. [W, N·m, N·m·s/rad, N·m·s²/rad²]
    speed
        Speed of the shaft, above zero. [rad/s]

    Returns
    -------
    Scalar
        Torque. [N·m]

    Notes
    -----
    Grows without bound as the speed falls to zero when there is a power term: a blade in grass has no rest point.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> torque_at(TorqueTerms(300.0, 0.5, 0.0, 0.0), 300.0)
    1.5
    """
    return terms.power / speed + terms.constant + speed * (terms.linear + terms.square * speed)
