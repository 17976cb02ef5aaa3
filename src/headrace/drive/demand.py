"""From the tool to the motor shaft: what turning it asks for, link by link."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace.drive.curve import Curve
from headrace.drive.links import Parts
from headrace.drive.tools import tool_of
from headrace.machine.links import AnyMotor, Bearings, Motor, SeriesMotor, Transmission
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Work
from headrace.physics import bearings, descent, torque_terms, transmission
from headrace.physics.torque_terms import TorqueTerms

NO_TORQUE = TorqueTerms(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Demand:
    """Torque asked for at the motor shaft in one duty state, motor friction included."""

    terms: TorqueTerms  # at the motor shaft, in its speed
    turns: Lanes  # motor turns per turn of the tool
    curve: Curve | None = None  # of the tool, at its own shaft, beyond the terms
    gain: Lanes = 1.0  # torque at the motor shaft for that at the tool's


def work_terms(chain: Parts, work: Work, state: DutyState, job: Job, air: Lanes) -> Demand:
    """Return what is asked of the motor in one duty state: nothing where a slope or a load drives the machine.

    A series motor is asked for its own drag all the same: without any it would run up without end.
    """
    before = _walked(chain, work, state, job, air)
    if _keeps_its_drag(chain):
        return replace(before, terms=with_motor_drag(_left(before.terms), chain.motor))
    return replace(before, terms=_left(with_motor_drag(before.terms, chain.motor)))


def shaft_terms(chain: Parts, work: Work, state: DutyState, job: Job, air: Lanes) -> Demand:
    """Return what a duty state asks of the motor shaft; below nothing where the load drives it."""
    before = _walked(chain, work, state, job, air)
    return replace(before, terms=with_motor_drag(before.terms, chain.motor))


def left_alone(chain: Parts, work: Work, state: DutyState, job: Job, air: Lanes) -> npt.NDArray[np.bool_]:
    """Return the lanes in which the load takes all from the motor but what a series motor needs for itself."""
    asked = _walked if _keeps_its_drag(chain) else shaft_terms
    return driven(asked(chain, work, state, job, air).terms)


def driven(terms: TorqueTerms) -> npt.NDArray[np.bool_]:
    """Return the lanes in which a shaft is driven by its load, from standstill on."""
    return np.asarray(np.asarray(terms.constant) < 0.0)


def _keeps_its_drag(chain: Parts) -> bool:
    return isinstance(chain.motor, SeriesMotor)


def _left(terms: TorqueTerms) -> TorqueTerms:
    return descent.left_to_motor(terms) if np.any(driven(terms)) else terms


def _walked(chain: Parts, work: Work, state: DutyState, job: Job, air: Lanes) -> Demand:
    """Walk the mechanical links from the tool to the motor shaft, without the motor's own drag."""
    tool = tool_of(work)
    reached = _through_links(chain, tool.torque(work, state, job, air))
    return replace(reached, curve=tool.curve(work, state) if state.loaded else None)


def alone(chain: Parts) -> Demand:
    """Return what a motor is asked for whose tool is off: what stays on its shaft, and its own drag."""
    before = _through_links(chain, NO_TORQUE)
    return replace(before, terms=with_motor_drag(before.terms, chain.motor))


def _through_links(chain: Parts, terms: TorqueTerms) -> Demand:
    """Take what is asked for at the tool's shaft through the mechanical links, to the motor's."""
    turns: Lanes = 1.0
    gain: Lanes = 1.0
    for link in chain.mechanical:
        if isinstance(link, Bearings):
            terms = torque_terms.with_drag(terms, bearing_drag(link), 0.0, 0.0)
        else:
            terms = _through(link, terms)
            turns = input_turns(link, turns)
            gain = transmission.input_torque(gain, link.ratio, link.efficiency, 0.0, 0.0, 0.0)
    return Demand(terms, turns, gain=gain)


def heavier(work: Demand, added: Lanes) -> Demand:
    """Return a demand with torque added at the tool's shaft, whatever its speed. [N·m]"""
    return replace(work, terms=torque_terms.with_drag(work.terms, work.gain * added, 0.0, 0.0))


def _through(link: Transmission, terms: TorqueTerms) -> TorqueTerms:
    """Return terms at the input shaft of a stage, whichever of its two shafts drives."""
    stage = (link.ratio, link.efficiency, link.creep, link.drag, link.drag_slope)
    driving = torque_terms.at_input_shaft(terms, *stage)
    back = driven(terms)
    if not back.any():
        return driving
    held = descent.driven_at_input_shaft(terms, *stage)
    return TorqueTerms(*(np.where(back, h, d) for h, d in zip(held, driving, strict=True)))


def with_motor_drag(terms: TorqueTerms, motor: AnyMotor) -> TorqueTerms:
    """Add what the motor's own bearings, brushes and fan take; an induction motor's fan stands in its standing loss."""
    if isinstance(motor, Motor):
        return torque_terms.with_drag(terms, motor.drag, motor.drag_slope, motor.drag_square)
    if isinstance(motor, SeriesMotor):
        return torque_terms.with_drag(terms, motor.drag, 0.0, motor.drag_square)
    return torque_terms.with_drag(terms, motor.drag, 0.0, 0.0)


def bearing_drag(link: Bearings) -> Lanes:
    """Return the drag of a bearing link at any speed. [N·m]"""
    return bearings.bearing_set_torque(link.count, link.friction, link.load, link.bore, link.seal_drag)


def input_turns(link: Transmission, turns: Lanes) -> Lanes:
    """Return turns of the input shaft per turn of the tool, from those of the output shaft."""
    return transmission.input_speed(turns, link.ratio, link.creep)
