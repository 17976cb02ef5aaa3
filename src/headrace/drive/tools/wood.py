"""Sawing and chipping: discs in wood, with what they store in their own mass."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from headrace.drive.tools.tool import PUSHED, STOKED, Measure, Tool, Waste, counted, idle, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Chipper, Saw
from headrace.physics import loads, sawing
from headrace.physics.torque_terms import TorqueTerms

Disc = TypeVar("Disc", Saw, Chipper)


def _rim(disc: Saw | Chipper, speed: Lanes) -> Lanes:
    return loads.tip_speed(speed, disc.diameter / 2.0)


def _speed(disc: Saw | Chipper, rim: Lanes) -> Lanes:
    return loads.speed_of_tip(rim, disc.diameter / 2.0)


def _terms(disc: Saw | Chipper, power: Lanes, air: Lanes) -> TorqueTerms:
    return sawing.cutter_torque_terms(
        power, disc.idle_torque, disc.diameter / 2.0, loads.air_density(air), disc.windage
    )


def _wastes(disc: Saw | Chipper, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    watts = loads.blade_windage_power(speed, disc.diameter / 2.0, loads.air_density(air), disc.windage)
    return Waste("air round the disc", "windage", watts, "windage"), idle(disc.idle_torque, speed)


def _scaled(disc: Disc, kind: str, share: float) -> Disc:
    if kind == "windage":
        return replace(disc, windage=disc.windage * share)
    return replace(disc, idle_torque=disc.idle_torque * share)


# --- sawing ------------------------------------------------------------------------------------------


def _saw_power(saw: Saw, state: DutyState) -> Lanes:
    kerf = sawing.kerf_volume(saw.kerf, state.depth, state.feed)
    return sawing.sawing_power(kerf, saw.specific_energy) + state.power


def _saw_torque(saw: Saw, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    return _terms(saw, _saw_power(saw, state), air)


def _sawn(saw: Saw, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return counted(state, turning(speed, state.depth * state.feed))


def _into_kerf(saw: Saw, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return turning(speed, _saw_power(saw, state))


SAWING = Tool(
    pace=Measure("tip_speed", "m_s"),
    amount=Measure("sawn", "m2"),
    torque=_saw_torque,
    pace_at=_rim,
    speed_at=_speed,
    rate=_sawn,
    useful=_into_kerf,
    wastes=_wastes,
    scaled=_scaled,
    fed=PUSHED,
)

# --- chipping ----------------------------------------------------------------------------------------


def _chip_power(chipper: Chipper, state: DutyState) -> Lanes:
    return sawing.chipping_power(state.material, chipper.specific_energy) + state.power


def _chip_torque(chipper: Chipper, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    return _terms(chipper, _chip_power(chipper, state), air)


def _chipped(chipper: Chipper, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return counted(state, turning(speed, state.material))


def _into_chips(chipper: Chipper, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return turning(speed, _chip_power(chipper, state))


CHIPPING = Tool(
    pace=Measure("tip_speed", "m_s"),
    amount=Measure("chipped", "kg"),
    torque=_chip_torque,
    pace_at=_rim,
    speed_at=_speed,
    rate=_chipped,
    useful=_into_chips,
    wastes=_wastes,
    scaled=_scaled,
    fed=STOKED,
)
