"""Capacitors behind a switch: what rushes in when it closes, and how a resistor before it takes the blow."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"resistance": (1e-6, 1e6), "voltage": (0.0, 1000.0)})
def inrush_current(voltage: Scalar, resistance: Scalar) -> Scalar:
    r"""Return the first current into an empty capacitor.

    .. math:: I_0 = \frac{U}{R}

    Parameters
    ----------
    voltage
        Across the gap that closes. [V]
    resistance
        Of the whole loop: cells, joints, leads, what else is in series. [Ω]

    Returns
    -------
    Scalar
        Current at the moment the loop closes. [A]

    Notes
    -----
    The most there can be: the inductance of the leads and the capacitor's own resistance, left out here, hold it
    back a little.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    A pack of 54.6 V with 60 mΩ in all:

    >>> round(inrush_current(54.6, 0.06), 1)
    910.0
    """
    return voltage / resistance


@law(valid={"resistance": (0.0, 1e6), "capacitance": (0.0, 10.0)})
def charging_time_constant(resistance: Scalar, capacitance: Scalar) -> Scalar:
    r"""Return the time constant with which a capacitor fills through a resistance.

    .. math:: \tau = R C

    Parameters
    ----------
    resistance
        In series with the capacitor. [Ω]
    capacitance
        Of the capacitor. [F]

    Returns
    -------
    Scalar
        Time in which the gap falls to 37 %. [s]

    Notes
    -----
    Leaves out what the capacitor's own resistance adds.

    References
    ----------
    .. [1] Loop equation of a resistance and a capacitor.

    Examples
    --------
    >>> charging_time_constant(100.0, 1e-3)
    0.1
    """
    return resistance * capacitance


@law(valid={"capacitance": (0.0, 10.0), "voltage": (0.0, 1000.0)})
def capacitor_energy(capacitance: Scalar, voltage: Scalar) -> Scalar:
    r"""Return the energy a capacitor holds, which is also what filling it leaves in the resistance before it.

    .. math:: E = \tfrac{1}{2} C U^2

    Parameters
    ----------
    capacitance
        Of the capacitor. [F]
    voltage
        It is filled to, from empty. [V]

    Returns
    -------
    Scalar
        Energy held; as much again has become heat, or a spark. [J]

    Notes
    -----
    Filled from a steady voltage the loss is this whatever the resistance is: a resistor moves the heat from the
    contact into itself, it does not lessen it.

    References
    ----------
    .. [1] Energy given by the source, C U², less what the capacitor holds.

    Examples
    --------
    >>> round(capacitor_energy(1e-3, 54.6), 2)
    1.49
    """
    return 0.5 * capacitance * voltage**2


@law(valid={"power": (0.0, 1e4), "voltage": (0.1, 1000.0)})
def standby_current(power: Scalar, voltage: Scalar) -> Scalar:
    r"""Return the current electronics draw while nothing turns.

    .. math:: I_s = \frac{P}{U}

    Parameters
    ----------
    power
        Taken by the electronics while nothing turns. [W]
    voltage
        At its terminals. [V]

    Returns
    -------
    Scalar
        Current. [A]

    Notes
    -----
    Electronics that hold their watts take more current at fewer volts; this is the current near the full voltage.
    The coil of a contactor at its own voltage goes by the same law.

    References
    ----------
    .. [1] Definition of power.

    Examples
    --------
    >>> round(standby_current(4.0, 54.6), 4)
    0.0733
    """
    return power / voltage


@law(valid={"resistance": (0.0, 1e6), "time_constant": (1e-9, 1e6), "seconds": (0.0, 1e5)})
def pre_charged_voltage(
    voltage: Scalar, resistance: Scalar, time_constant: Scalar, seconds: Scalar, standby: Scalar
) -> Scalar:
    r"""Return the voltage a capacitor has reached at the end of a pre-charge.

    .. math:: U_c = \max\bigl[0, (U - R I_s)\,(1 - e^{-t/\tau})\bigr]

    Parameters
    ----------
    voltage
        Of the source at rest. [V]
    resistance
        Of the pre-charge. [Ω]
    time_constant
        Of resistance and capacitor. [s]
    seconds
        That it is held. [s]
    standby
        Current the electronics behind draw meanwhile. [A]

    Returns
    -------
    Scalar
        Voltage of the capacitor. [V]

    Notes
    -----
    The current of the electronics is taken as steady from the start, though they wake only on the way up. It never
    gets closer than R I_s, however long it is held.

    References
    ----------
    .. [1] Loop equation of a resistance and a capacitor with a steady drain.

    Examples
    --------
    Held for five time constants, with and without a drain of 70 mA through 100 Ω:

    >>> round(float(pre_charged_voltage(54.6, 100.0, 0.1, 0.5, 0.0)), 2)
    54.23
    >>> round(float(pre_charged_voltage(54.6, 100.0, 0.1, 0.5, 0.07)), 2)
    47.28
    """
    return np.maximum((voltage - resistance * standby) * -np.expm1(-seconds / time_constant), 0.0)


@law(valid={"time_constant": (0.0, 1e6), "voltage": (0.1, 1000.0), "step": (1e-3, 1000.0), "sag": (0.0, 1e4)})
def hold_time(time_constant: Scalar, voltage: Scalar, step: Scalar, sag: Scalar) -> Scalar:
    r"""Return how long a pre-charge is held until only a step is left.

    .. math:: t = \tau \ln\frac{U - U_s}{\Delta U - U_s}

    Parameters
    ----------
    time_constant
        Of resistor and capacitor. [s]
    voltage
        Of the source at rest. [V]
    step
        Left between source and capacitor when the main contact closes. [V]
    sag
        What the electronics' own current takes in the resistor. [V]

    Returns
    -------
    Scalar
        Time; infinite where the sag alone is more than the step. [s]

    Notes
    -----
    Without sag a step of 2 V from 54.6 V takes 3.3 time constants; five leave less than one per cent.

    References
    ----------
    .. [1] Exponential rise solved for the time.

    Examples
    --------
    >>> round(float(hold_time(0.1, 54.6, 2.0, 0.0)), 3)
    0.331
    >>> float(hold_time(0.1, 54.6, 2.0, 3.0))
    inf
    """
    left = np.asarray(step - sag)
    reached = left > 0.0
    ratio = np.maximum((voltage - sag) / np.where(reached, left, 1.0), 1.0)
    return np.where(reached, time_constant * np.log(ratio), np.inf)


@law(valid={"seconds": (0.0, 1e4), "capacitance": (1e-9, 10.0), "step": (1e-3, 1000.0)})
def pre_charge_resistance(
    seconds: Scalar, capacitance: Scalar, voltage: Scalar, step: Scalar, standby: Scalar
) -> Scalar:
    r"""Return the most a pre-charge resistor may have.

    .. math:: R = \min\Bigl[\frac{t}{C \ln(U/\Delta U)},\ \frac{\Delta U}{2 I_s}\Bigr]

    Parameters
    ----------
    seconds
        In which it is to be done. [s]
    capacitance
        To be filled. [F]
    voltage
        Of the source at rest. [V]
    step
        That may be left. [V]
    standby
        Current the electronics draw meanwhile. [A]

    Returns
    -------
    Scalar
        Largest resistance. [Ω]

    Notes
    -----
    Half of the step is left to the electronics' own current. The largest that does is the best: it takes the least
    peak of watts.

    References
    ----------
    .. [1] The law of the pre-charged voltage solved for the resistance.

    Examples
    --------
    >>> round(float(pre_charge_resistance(1.0, 1e-3, 54.6, 2.0, 0.0)), 1)
    302.4
    """
    by_time = seconds / (capacitance * np.log(np.maximum(voltage / step, 1.0 + 1e-9)))
    return np.minimum(by_time, 0.5 * step / np.maximum(standby, 1e-12))


@law(valid={"resistance": (1e-6, 1e7), "voltage": (0.0, 1000.0)})
def resistor_power(voltage: Scalar, resistance: Scalar) -> Scalar:
    r"""Return the watts of a resistor across a voltage.

    .. math:: P = \frac{U^2}{R}

    Parameters
    ----------
    voltage
        Across the resistor. [V]
    resistance
        Of it. [Ω]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    Of a pre-charge: the peak at its start; and what it takes for good where the load starts, or stands shorted,
    while the main contact is still open.

    References
    ----------
    .. [1] Joule's law.

    Examples
    --------
    >>> round(resistor_power(54.6, 100.0), 1)
    29.8
    """
    return voltage**2 / resistance


@law(valid={"power": (0.0, 1e5), "seconds": (0.0, 1e5)})
def burst_energy(power: Scalar, seconds: Scalar) -> Scalar:
    r"""Return the energy of a steady power that lasts a while.

    .. math:: E = P t

    Parameters
    ----------
    power
        Steady. [W]
    seconds
        That it lasts. [s]

    Returns
    -------
    Scalar
        Energy. [J]

    Notes
    -----
    What a resistor takes in one go is told the same way: its rated watts over so many seconds, from cold, nothing
    carried off.

    References
    ----------
    .. [1] Definition of power.

    Examples
    --------
    >>> burst_energy(10.0, 25.0)
    250.0
    """
    return power * seconds
