"""Anything that turns: a shaft known by the watts it takes at one speed."""

from __future__ import annotations

from headrace.drive.tools.tool import Measure, Tool, as_it_turns, no_wastes, nothing_to_scale, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Shaft
from headrace.physics import torque_terms
from headrace.physics.torque_terms import TorqueTerms


def _torque(shaft: Shaft, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    terms = torque_terms.known_point_terms(state.demand, shaft.speed, shaft.growth)
    return torque_terms.with_power(terms, state.power)


def _taken(shaft: Shaft, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the power that goes into the work. [W]"""
    return turning(speed, torque_terms.known_point_power(speed, state.demand, shaft.speed, shaft.growth) + state.power)


TURNING = Tool(
    pace=Measure("tool_speed", "rad_s"),
    amount=Measure("worked", "J"),
    torque=_torque,
    pace_at=as_it_turns,
    speed_at=as_it_turns,
    rate=_taken,
    useful=_taken,
    wastes=no_wastes,
    scaled=nothing_to_scale,
)
