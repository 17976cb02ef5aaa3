"""Motor controllers: duty, bus voltage and losses of a chopper between a source and a motor."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law


@law(valid={"switching_time": (0.0, 1e-3), "frequency": (0.0, 1e6)})
def switching_share(switching_time: Scalar, frequency: Scalar) -> Scalar:
    r"""Return the switching loss as a share of bus volts times motor amps.

    .. math:: k = \tfrac{1}{2}\,t\,f

    Parameters
    ----------
    switching_time
        Rise and fall together. [s]
    frequency
        Switching frequency. [Hz]

    Returns
    -------
    Scalar
        Share. [-]

    Notes
    -----
    Straight edges, current constant while switching.

    References
    ----------
    .. [1] Usual estimate of hard switching.

    Examples
    --------
    >>> round(switching_share(1e-6, 20e3), 6)
    0.01
    """
    return 0.5 * switching_time * frequency


@law(valid={"share": (0.0, 0.5), "switched": (0.0, 1.0)})
def switching_loss(bus_voltage: Scalar, current: Scalar, share: Scalar, switched: Scalar) -> Scalar:
    r"""Return the switching loss of a controller.

    .. math:: P = s\,k\,U I

    Parameters
    ----------
    bus_voltage
        At the controller's input. [V]
    current
        Motor current. [A]
    share
        Switching loss over bus volts times motor amps. [-]
    switched
        Share of the time that is switched; 0 at full duty. [-]

    Returns
    -------
    Scalar
        Power turned into heat. [W]

    Notes
    -----
    None at full duty; a diode's drop while freewheeling is left out (synchronous path).

    References
    ----------
    .. [1] Usual estimate of hard switching.

    Examples
    --------
    >>> switching_loss(40.0, 20.0, 0.01, 1.0)
    8.0
    """
    return bus_voltage * current * share * switched


@law(valid={"open_voltage": (0.0, 2000.0)})
def bus_voltage(open_voltage: Scalar, source_resistance: Scalar, power: Scalar, steady_current: Scalar) -> Scalar:
    r"""Return the bus voltage under a constant power and a constant current.

    .. math:: U = \frac{b}{2} + \sqrt{\frac{b^2}{4} - R P}, \quad b = E - R I_k

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the bus. [Ω]
    power
        Power asked for at the bus. [W]
    steady_current
        Current asked for whatever the bus voltage. [A]

    Returns
    -------
    Scalar
        Bus voltage; b/2 where the power is more than there is. [V]

    Notes
    -----
    The higher of two voltages; the lower one is unstable. Whether there is enough ``most_power`` says.

    References
    ----------
    .. [1] Quadratic of a source with resistance under constant power.

    Examples
    --------
    >>> float(bus_voltage(40.0, 0.1, 390.0, 0.0))
    39.0
    """
    half = 0.5 * (open_voltage - source_resistance * steady_current)
    return half + np.sqrt(np.maximum(half**2 - source_resistance * power, 0.0))


@law(valid={"source_resistance": (1e-9, 1e3)})
def power_at_voltage(open_voltage: Scalar, source_resistance: Scalar, voltage: Scalar) -> Scalar:
    r"""Return the power a source gives when pulled down to a voltage.

    .. math:: P = \frac{U\,(E - U)}{R}

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the bus. [Ω]
    voltage
        Bus voltage. [V]

    Returns
    -------
    Scalar
        Power. [W]

    Notes
    -----
    With the voltage of a cut-out: the power at which it opens.

    References
    ----------
    .. [1] Kirchhoff's voltage law.

    Examples
    --------
    >>> round(power_at_voltage(12.2, 0.031, 10.5), 0)
    576.0
    """
    return voltage * (open_voltage - voltage) / source_resistance


@law(valid={"source_resistance": (1e-9, 1e3)})
def most_power(open_voltage: Scalar, source_resistance: Scalar) -> Scalar:
    r"""Return the most power a source can give.

    .. math:: P = \frac{E^2}{4 R}

    Parameters
    ----------
    open_voltage
        Voltage of the source without current. [V]
    source_resistance
        Everything between that voltage and the bus. [Ω]

    Returns
    -------
    Scalar
        Power at half the open voltage. [W]

    Notes
    -----
    On paper: fuses, boards and cut-outs open long before.

    References
    ----------
    .. [1] Maximum power transfer.

    Examples
    --------
    >>> round(most_power(12.2, 0.031), 0)
    1200.0
    """
    return open_voltage**2 / (4.0 * source_resistance)


@law(valid={"duty": (0.0, 1.0)})
def chopped(duty: Scalar, bus_voltage: Scalar, current: Scalar) -> tuple[Scalar, Scalar]:
    r"""Return motor volts and battery amps of a chopper without losses.

    .. math:: V = d\,U, \quad I_b = d\,I

    Parameters
    ----------
    duty
        Share of the bus voltage given to the motor. [-]
    bus_voltage
        At the controller's input. [V]
    current
        Motor current. [A]

    Returns
    -------
    tuple
        Motor voltage and battery current. [V, A]

    Notes
    -----
    Battery amps are duty times motor amps, so the two limits of a controller are two numbers.

    References
    ----------
    .. [1] Identity of a lossless chopper.

    Examples
    --------
    >>> chopped(0.5, 48.0, 40.0)
    (24.0, 20.0)
    """
    return duty * bus_voltage, duty * current
