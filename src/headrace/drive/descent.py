"""Slopes and loads that drive a machine: what holds it at rest, what it gives back on its way down, how it runs away.

A motor with magnets whose controller feeds back holds a load at the set speed, or, at all the volts there are, a little
above its speed without load. What comes back goes into the source, whose volts rise by it. Every other motor, and every
motor without power, holds nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace.drive.demand import shaft_terms
from headrace.drive.links import Parts, parts
from headrace.drive.stopping import lossless, magnet_constant
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth, ohms
from headrace.machine.links import Motor, Transmission
from headrace.machine.records import Chain, DutyState, Job, Lanes
from headrace.physics import converters, descent, lifting, motors, torque_terms, transmission
from headrace.physics.torque_terms import TorqueTerms
from headrace.physics.working import solution

ROUNDS = 30  # of the speed at all the volts there are; each leaves less than a tenth of the gap


@dataclass(frozen=True)
class Standing:
    """A chain at rest on a slope, or under a load; in lanes.

    Attributes
    ----------
    weight_torque
        With which the weight pulls at the tool's shaft: what a brake there has to hold. [N·m]
    motor_torque
        The same at the motor's shaft, no friction counted. [N·m]
    passed_back
        Share of it that the stages between them pass back to the motor; 0 where one holds. [-]
    friction
        By how much drag and stages alone hold it, at the motor's shaft; below nothing where it runs. [N·m]
    """

    weight_torque: Lanes
    motor_torque: Lanes
    passed_back: Lanes
    friction: Lanes

    @property
    def holds(self) -> npt.NDArray[np.bool_]:
        """Lanes in which it stays where it is without a brake."""
        return np.asarray(np.asarray(self.friction) >= 0.0)


def standing(chain: Chain, state: DutyState, job: Job, air: Lanes) -> Standing:
    """Return what holds a chain at rest in a duty state with a slope, up or down, nothing pulled behind."""
    row, tool = parts(chain), tool_of(chain.work)
    rolling_back = replace(state, slope=-np.abs(state.slope), drawbar=0.0, power=0.0)
    free = shaft_terms(row, chain.work, rolling_back, job, air)
    weight = tool.weight(chain.work, state)
    passed: Lanes = 1.0
    for link in row.mechanical:
        if isinstance(link, Transmission):
            passed = lifting.energy_given_back(passed, transmission.back_efficiency(link.efficiency))
    return Standing(
        weight_torque=weight,
        motor_torque=transmission.input_torque(weight, free.turns, 1.0, 0.0, 0.0, 0.0),
        passed_back=passed,
        friction=free.terms.constant,
    )


@dataclass(frozen=True)
class Descent:
    """A chain driven by its load, held at a speed by its motor; in lanes. Feeding back, a current counts upwards.

    Attributes
    ----------
    motor_speed, pace
        Held. [rad/s, SI unit of the tool's pace]
    driving
        Torque the load gives at the motor's shaft, drags taken off; below nothing where the motor has to push. [N·m]
    load_power
        What the load gives at the tool's shaft at that speed. [W]
    motor_current
        That holds it. [A]
    within_limit
        Lanes in which the controller lets that current through.
    given_back
        At the battery's side of the controller. [W]
    current
        Into the source. [A]
    bus_voltage, inside_voltage
        At the controller, and inside the cells' own limits. [V]
    into_pack
        All that goes into the source in the state, of every chain that feeds back. [A]
    """

    motor_speed: Lanes
    pace: Lanes
    driving: Lanes
    load_power: Lanes
    motor_current: Lanes
    within_limit: npt.NDArray[np.bool_]
    given_back: Lanes
    current: Lanes
    bus_voltage: Lanes
    inside_voltage: Lanes
    into_pack: Lanes


@dataclass(frozen=True)
class Runaway:
    """A chain driven by its load with nothing that holds it, on a slope without end; in lanes.

    Attributes
    ----------
    pace
        At which drag takes all that the load gives; infinite where none grows with it. [SI unit of the tool's pace]
    voltage
        Of the motor then; none without magnets. [V]
    """

    pace: Lanes
    voltage: Lanes


def run_away(chain: Chain, state: DutyState, job: Job, warmth: Warmth) -> Runaway:
    """Return how a chain runs away in a duty state; what its stages lose by load is left out, to be safe."""
    row = parts(chain)
    held = shaft_terms(row, chain.work, state, job, warmth.air).terms.constant >= 0.0
    work = shaft_terms(lossless(row), chain.work, state, job, warmth.air)
    driving = np.where(held, 0.0, np.maximum(-work.terms.constant, 0.0))
    speed = descent.runaway_speed(driving, work.terms.linear, work.terms.square)
    volts = descent.generated_voltage(magnet_constant(row.motor, warmth), speed, 0.0, 0.0, 0.0)
    return Runaway(_pace(chain, speed / work.turns), volts if isinstance(row.motor, Motor) else np.nan)


def _pace(chain: Chain, speed: Lanes) -> Lanes:
    """Return the pace of a tool that its load drives. [SI unit of the tool's pace]"""
    tool = tool_of(chain.work)
    return (tool.pace_driven or tool.pace_at)(chain.work, speed)


def can_feed_back(row: Parts, terminals: Terminals) -> bool:
    """Return whether a chain could feed back at all, if its controller does: magnets, no converter, a pack."""
    return isinstance(row.motor, Motor) and row.converter is None and not row.alternating and not terminals.endless


def descend(chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals) -> Descent | None:
    """Return the descent of a chain in a duty state; None where its motor could not hold it."""
    row = parts(chain)
    if not can_feed_back(row, terminals):
        return None
    work = shaft_terms(row, chain.work, state, job, warmth.air)
    constant = magnet_constant(row.motor, warmth)
    resistance = motors.winding_resistance(row.motor.resistance, warmth.winding)
    resistance = resistance + row.controller.resistance + ohms(row.motor_leads)
    loop = terminals.resistance + ohms(row.battery_leads)
    controller = row.controller
    full = _held_at_all_volts(
        work.terms, constant, resistance, row.motor.brush_drop, terminals.voltage, loop, controller.idle_power
    )
    speed = np.minimum(controller.speed, full)
    driving = -torque_terms.torque_at(work.terms, speed)
    current = motors.motor_current(np.maximum(driving, 0.0), 0.0, constant)
    volts = descent.generated_voltage(constant, speed, current, resistance, row.motor.brush_drop)
    share = converters.switching_share(controller.switching_time, controller.switching_frequency)
    switching = converters.switching_loss(terminals.voltage, current, share, np.where(speed < full, 1.0, 0.0))
    back = descent.power_given_back(volts, current, controller.idle_power, switching)
    bus = converters.bus_voltage(terminals.voltage, loop, -back, 0.0)
    into = back / bus
    return Descent(
        motor_speed=speed,
        pace=_pace(chain, speed / work.turns),
        driving=driving,
        load_power=_given(chain, state, job, warmth, speed / work.turns),
        motor_current=current,
        within_limit=np.asarray(current <= controller.motor_current),
        given_back=back,
        current=into,
        bus_voltage=bus,
        inside_voltage=terminals.inside(-into),
        into_pack=into,
    )


@solution("speed at which a motor at all the volts there are holds its load: its volts those of the source it feeds")
def _held_at_all_volts(
    terms: TorqueTerms,
    constant: Lanes,
    resistance: Lanes,
    brush_drop: Lanes,
    voltage: Lanes,
    loop: Lanes,
    idle_power: Lanes,
) -> Lanes:
    """Return that speed of the motor's shaft. [rad/s]"""
    current: Lanes = 0.0
    speed: Lanes = voltage / constant
    for _ in range(ROUNDS):
        bus = converters.bus_voltage(voltage, loop, idle_power, -current)
        speed = descent.held_speed(bus, current, resistance, brush_drop * np.sign(current), constant)
        current = motors.motor_current(np.maximum(-torque_terms.torque_at(terms, speed), 0.0), 0.0, constant)
    return speed


def _given(chain: Chain, state: DutyState, job: Job, warmth: Warmth, speed: Lanes) -> Lanes:
    """Return what a load gives at the tool's shaft. [W]"""
    asked = tool_of(chain.work).torque(chain.work, state, job, warmth.air)
    return motors.rotation_loss(-torque_terms.torque_at(asked, speed), speed)
