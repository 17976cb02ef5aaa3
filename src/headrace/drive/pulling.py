"""All that volts and limits let a motor pull at a speed: what a start and a stall are made of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from headrace.drive.alternating import OnInduction, OnSeries, induction_hunt, series_hunt
from headrace.drive.block import Block, finish
from headrace.drive.chopped import Chopped, hunt
from headrace.drive.converting import loss, output
from headrace.drive.curve import SeriesLoad
from headrace.drive.point import Array, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Converted, InductionTrain, Turning
from headrace.machine.records import Lanes
from headrace.machine.values import in_one_row
from headrace.physics import converters, margins, motors, series_motor


@dataclass(frozen=True)
class Pull:
    """A motor at one speed with all that is let through, in one row of lanes.

    Attributes
    ----------
    motor_current, battery_current
        In the motor, and out of the source. [A]
    in_phase
        Part of the source's current in phase with its voltage. [A]
    bus_voltage
        At the first electronics on the source's leads. [V]
    pull, load
        Torque in the motor, and what load and drag ask of it. [N·m]
    apparent
        Asked of a converter; 0 without one. [VA]
    """

    motor_current: Array
    battery_current: Array
    in_phase: Array
    bus_voltage: Array
    pull: Array
    load: Array
    apparent: Array


Puller = Callable[[Array], Pull]


def puller(case: Turning, terminals: Terminals, shape: tuple[int, ...]) -> Puller:
    """Return a function of the motor's speed, in one row of lanes, that gives what is pulled there."""
    if isinstance(case, Converted):
        return _behind(case, terminals, shape)
    if isinstance(case, InductionTrain):
        return _by_slip(induction_hunt(case, terminals, shape))
    if case.alternating and case.series is not None:
        return _in_series(series_hunt(case, case.series, terminals, shape))
    return _chopped(hunt(case, terminals, shape))


def pulling(lanes: Block, speed: Array) -> Point:
    """Return the point at which all is drawn that the limits let through at a speed."""
    current = np.minimum(_most(lanes, speed), lanes.motor_limit)
    return _carrying(lanes._replace(power=0.0, constant=current, linear=0.0, square=0.0), speed)


def _most(lanes: Block, speed: Array) -> Lanes:
    """Return the current that the volts and the battery's limit let through at a speed. [A]"""
    back = motors.motor_voltage(lanes.motor_constant, speed, 0.0, lanes.motor_resistance, lanes.brush_drop)
    return margins.standstill_current(
        lanes.voltage,
        lanes.loop,
        lanes.motor_resistance,
        back,
        lanes.idle_power,
        lanes.switching_share,
        lanes.battery_limit,
    )


def _carrying(held: Block, speed: Array) -> Point:
    """Return the point at which a current is held at a speed, whatever cuts out."""
    everywhere = np.ones(speed.shape, dtype=bool)
    return finish(held._replace(cut_out=0.0), speed.copy(), everywhere, np.zeros(speed.shape, dtype=np.int8))


def _chopped(chain: Chopped) -> Puller:
    def pull(speed: Array) -> Pull:
        load = chain.at(speed)
        if chain.series is None:
            point = pulling(chain.lanes, speed)
            constant = chain.lanes.motor_constant
        else:
            point = _carrying(chain.carrying(_series_current(chain, chain.series, speed)), speed)
            constant = chain.series.constant_at(point.motor_current)
        asked = motors.airgap_torque(load.motor_constant, load.constant)
        return _pull(point, motors.airgap_torque(constant, point.motor_current), asked)

    return pull


def _series_current(chain: Chopped, series: SeriesLoad, speed: Array) -> Lanes:
    """Return the current a controller lets through a motor in series; the battery's limit at the field of that. [A]"""
    lanes = chain.lanes
    motor = _motor(series, lanes.motor_resistance + lanes.loop, 0.0)
    current = series_motor.series_current_at(motor, lanes.voltage, speed, lanes.brush_drop)
    current = np.minimum(current, lanes.motor_limit)
    return np.minimum(current, _most(lanes._replace(motor_constant=series.constant_at(current)), speed))


def _motor(series: SeriesLoad, resistance: Lanes, reactance: Lanes) -> series_motor.SeriesMotor:
    return series_motor.SeriesMotor(resistance, reactance, series.constant, series.saturation_current, series.iron)


def _pull(point: Point, torque: Lanes, asked: Lanes) -> Pull:
    return Pull(
        motor_current=point.motor_current,
        battery_current=point.battery_current,
        in_phase=point.battery_current,
        bus_voltage=point.bus_voltage,
        pull=np.asarray(torque),
        load=np.asarray(asked) + 0.0 * point.motor_current,
        apparent=np.zeros(point.motor_current.shape),
    )


def _in_series(chain: OnSeries) -> Puller:
    series, loop = chain.load, chain.wiring + chain.source

    def pull(speed: Array) -> Pull:
        motor = _motor(series, chain.resistance + loop, chain.reactance)
        current = np.asarray(series_motor.series_current_at(motor, chain.voltage, speed, chain.brush_drop))
        constant = series.constant_at(current)
        at_motor, whole = (
            motors.motor_voltage(constant, speed, current, ohms, chain.brush_drop)
            for ohms in (chain.resistance, chain.resistance + loop)
        )
        iron = series_motor.series_drag_terms(0.0, 0.0, series.iron, constant).linear * speed
        return Pull(
            motor_current=current,
            battery_current=current.copy(),
            in_phase=np.asarray(whole * current / chain.voltage),
            bus_voltage=np.asarray(series_motor.mains_voltage(at_motor, current, chain.reactance)),
            pull=np.asarray(motors.airgap_torque(constant, current) - iron),
            load=np.asarray(series.load.torque(speed)) + 0.0 * current,
            apparent=np.zeros(current.shape),
        )

    return pull


def _by_slip(chain: OnInduction) -> Puller:
    def pull(speed: Array) -> Pull:
        current, in_phase, torque = chain.pulling(speed)
        return Pull(
            motor_current=current,
            battery_current=current.copy(),
            in_phase=in_phase,
            bus_voltage=np.asarray(chain.voltage - (chain.wiring + chain.source) * current**2 / in_phase),
            pull=np.asarray(torque),
            load=np.asarray(chain.load.torque(speed)) + 0.0 * current,
            apparent=np.zeros(current.shape),
        )

    return pull


def _behind(case: Converted, terminals: Terminals, shape: tuple[int, ...]) -> Puller:
    inner = puller(case.inner, output(case.box), shape)
    box, voltage, loop = in_one_row((case.box, terminals.voltage, case.wiring + terminals.resistance), shape)

    def pull(speed: Array) -> Pull:
        found = inner(speed)
        apparent = box.voltage * found.battery_current
        asked = box.voltage * found.in_phase
        asked = asked + loss(box, asked, apparent)
        bus = converters.bus_voltage(voltage, loop, asked, 0.0)
        current = asked / bus
        return replace(
            found,
            battery_current=np.asarray(current),
            in_phase=np.asarray(current),
            bus_voltage=np.asarray(bus),
            apparent=np.asarray(apparent),
        )

    return pull
