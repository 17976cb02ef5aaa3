"""A chain as the solver sees it: a motor current that depends on speed, and volts that depend on both.

``work_terms`` walks the mechanical links once for each duty state; ``train`` adds what changes with temperature. Both
only hand values from law to law.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from headrace.drive.curve import Curve, CurveAtMotor
from headrace.drive.links import Parts, Wiring
from headrace.drive.tools import tool_of
from headrace.machine.records import Bearings, Cable, DutyState, Job, Lanes, Transmission
from headrace.machine.works import Work
from headrace.physics import bearings, conductors, converters, margins, motors, torque_terms, transmission
from headrace.physics.torque_terms import TorqueTerms


@dataclass(frozen=True)
class Warmth:
    """Temperatures the drive works at, in lanes. [K]"""

    winding: Lanes
    magnets: Lanes
    air: Lanes


@dataclass(frozen=True)
class Demand:
    """Torque asked for at the motor shaft in one duty state, motor friction included."""

    terms: TorqueTerms  # at the motor shaft, in its speed
    turns: Lanes  # motor turns per turn of the tool
    curve: Curve | None = None  # of the tool, at its own shaft, beyond the terms
    gain: Lanes = 1.0  # torque at the motor shaft for that at the tool's


@dataclass(frozen=True)
class Train:
    """One chain in one duty state at one warmth, reduced to what fixes its operating point."""

    current: TorqueTerms  # A, motor current asked for as terms in the motor speed
    turns: Lanes  # motor turns per turn of the tool
    constant: Lanes  # V s/rad, warm
    resistance: Lanes  # ohm, all that carries the motor's current
    brush_drop: Lanes  # V
    idle_power: Lanes  # W
    switching_share: Lanes  # -
    wiring: Lanes  # ohm, between the controller and the source
    set_speed: Lanes  # rad/s at the motor; inf at full voltage
    motor_limit: Lanes  # A
    battery_limit: Lanes  # A
    cut_out: Lanes  # V at the controller
    curve: CurveAtMotor | None = None  # motor current asked for beyond the terms

    def current_at(self, speed: Lanes) -> Lanes:
        """Return the motor current that holds a speed of the motor's shaft, above zero. [A]"""
        asked, _ = margins.current_asked(self.current, speed)
        return asked if self.curve is None else asked + self.curve.current(speed)


def work_terms(chain: Parts, work: Work, state: DutyState, job: Job, air: Lanes) -> Demand:
    """Walk the mechanical links from the tool to the motor shaft in one duty state."""
    tool = tool_of(work)
    terms = tool.torque(work, state, job, air)
    turns: Lanes = 1.0
    gain: Lanes = 1.0
    for link in chain.mechanical:
        if isinstance(link, Bearings):
            terms = torque_terms.with_drag(terms, bearing_drag(link), 0.0, 0.0)
        else:
            terms = torque_terms.at_input_shaft(
                terms, link.ratio, link.efficiency, link.creep, link.drag, link.drag_slope
            )
            turns = input_turns(link, turns)
            gain = transmission.input_torque(gain, link.ratio, link.efficiency, 0.0, 0.0, 0.0)
    motor = chain.motor
    terms = torque_terms.with_drag(terms, motor.drag, motor.drag_slope, motor.drag_square)
    return Demand(terms, turns, tool.curve(work, state) if state.loaded else None, gain)


def bearing_drag(link: Bearings) -> Lanes:
    """Return the drag of a bearing link at any speed. [N·m]"""
    return bearings.bearing_set_torque(link.count, link.friction, link.load, link.bore, link.seal_drag)


def input_turns(link: Transmission, turns: Lanes) -> Lanes:
    """Return turns of the input shaft per turn of the tool, from those of the output shaft."""
    return transmission.input_speed(turns, link.ratio, link.creep)


def train(chain: Parts, work: Demand, warmth: Warmth) -> Train:
    """Reduce a chain at one warmth."""
    motor, controller = chain.motor, chain.controller
    constant = motors.magnet_constant(motor.constant, motor.magnet_slope, warmth.magnets)
    winding = motors.winding_resistance(motor.resistance, warmth.winding)
    return Train(
        current=torque_terms.current_terms(work.terms, constant),
        turns=work.turns,
        constant=constant,
        resistance=winding + controller.resistance + ohms(chain.motor_leads),
        brush_drop=motor.brush_drop,
        idle_power=controller.idle_power,
        switching_share=converters.switching_share(controller.switching_time, controller.switching_frequency),
        wiring=ohms(chain.battery_leads),
        set_speed=controller.speed,
        motor_limit=controller.motor_current,
        battery_limit=controller.battery_current,
        cut_out=controller.cut_out,
        curve=None if work.curve is None else CurveAtMotor(work.curve, work.turns, work.gain / constant),
    )


def wiring_resistance(link: Wiring) -> Lanes:
    """Return the resistance a pair of conductors, or a row of contacts, puts in the way. [Ω]"""
    if isinstance(link, Cable):
        return conductors.pair_resistance(
            link.length, link.resistance_per_length, link.temperature_slope, link.temperature
        )
    return link.count * link.resistance


def ohms(links: Iterable[Wiring]) -> Lanes:
    """Add up the resistance of links in series. [Ω]"""
    total: Lanes = 0.0
    for link in links:
        total = total + wiring_resistance(link)
    return total
