"""Tilling and boring: tools that loosen soil."""

from __future__ import annotations

from dataclasses import replace

from headrace.drive.tools.tool import PUSHED, WALKED, Measure, Tool, Waste, counted, idle, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Auger, Tiller
from headrace.physics import loads, tillage, torque_terms
from headrace.physics.torque_terms import TorqueTerms

# --- tilling -----------------------------------------------------------------------------------------


def _till(tiller: Tiller, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    terms = tillage.tiller_torque_terms(
        tiller.width, state.depth, job.travel_speed, tiller.specific_work, tiller.idle_torque
    )
    return torque_terms.with_power(terms, state.power)


def _tips(tiller: Tiller, speed: Lanes) -> Lanes:
    return loads.tip_speed(speed, tiller.diameter / 2.0)


def _tines_at(tiller: Tiller, tip: Lanes) -> Lanes:
    return loads.speed_of_tip(tip, tiller.diameter / 2.0)


def _tilled(tiller: Tiller, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return job.width * job.travel_speed


def _into_soil(tiller: Tiller, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    soil = tillage.loosened_volume(tiller.width, state.depth, job.travel_speed)
    return turning(speed, tillage.digging_power(soil, tiller.specific_work) + state.power)


def _tiller_wastes(tiller: Tiller, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    return (idle(tiller.idle_torque, speed),)


def _tiller_scaled(tiller: Tiller, kind: str, share: float) -> Tiller:
    return replace(tiller, idle_torque=tiller.idle_torque * share)


TILLING = Tool(
    pace=Measure("tip_speed", "m_s"),
    amount=Measure("area", "m2"),
    torque=_till,
    pace_at=_tips,
    speed_at=_tines_at,
    rate=_tilled,
    useful=_into_soil,
    wastes=_tiller_wastes,
    scaled=_tiller_scaled,
    fed=WALKED,
)

# --- boring ------------------------------------------------------------------------------------------


def _bore(auger: Auger, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    terms = tillage.auger_torque_terms(
        auger.diameter,
        state.feed,
        auger.specific_work,
        auger.soil_density,
        auger.height,
        auger.lift_factor,
        auger.idle_torque,
    )
    return torque_terms.with_power(terms, state.power)


def _as_it_turns(auger: Auger, speed: Lanes) -> Lanes:
    return speed


def _bored(auger: Auger, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return counted(state, turning(speed, state.feed))


def _spoil(auger: Auger, state: DutyState) -> Lanes:
    """Return the soil brought up each second. [kg/s]"""
    return tillage.spoil_flow(tillage.bored_volume(auger.diameter, state.feed), auger.soil_density)


def _out_of_the_hole(auger: Auger, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the useful power: loosening the soil and lifting it. [W]"""
    digging = tillage.digging_power(tillage.bored_volume(auger.diameter, state.feed), auger.specific_work)
    return turning(speed, digging + tillage.spoil_lift_power(_spoil(auger, state), auger.height) + state.power)


def _auger_wastes(auger: Auger, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    rubbing = tillage.spoil_rubbing_loss(_spoil(auger, state), auger.height, auger.lift_factor)
    return (
        Waste("soil rubbing in the hole", "rubbing", turning(speed, rubbing), "lift_factor"),
        idle(auger.idle_torque, speed),
    )


def _auger_scaled(auger: Auger, kind: str, share: float) -> Auger:
    if kind == "rubbing":
        return replace(auger, lift_factor=1.0 + (auger.lift_factor - 1.0) * share)
    return replace(auger, idle_torque=auger.idle_torque * share)


BORING = Tool(
    pace=Measure("tool_speed", "rad_s"),
    amount=Measure("bored", "m"),
    torque=_bore,
    pace_at=_as_it_turns,
    speed_at=_as_it_turns,
    rate=_bored,
    useful=_out_of_the_hole,
    wastes=_auger_wastes,
    scaled=_auger_scaled,
    fed=PUSHED,
)
