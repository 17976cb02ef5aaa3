"""Mowing: a rotary blade that turns air, and grass when there is some."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.tools.tool import WALKED, Measure, Tool, Waste
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Blade
from headrace.physics import loads, torque_terms
from headrace.physics.torque_terms import TorqueTerms


def clippings(state: DutyState, job: Job) -> Lanes:
    """Return the clippings cut each second in a duty state. [kg/s]"""
    return loads.clippings_flow(state.sward, job.width, job.travel_speed)


def _torque(blade: Blade, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    return torque_terms.blade_torque_terms(
        blade.diameter / 2.0,
        loads.air_density(air),
        blade.windage,
        clippings(state, job),
        blade.shear_energy,
        blade.throw_share,
        state.wet_factor,
        state.power,
    )


def _tip(blade: Blade, speed: Lanes) -> Lanes:
    return loads.tip_speed(speed, blade.diameter / 2.0)


def _speed(blade: Blade, tip: Lanes) -> Lanes:
    return loads.speed_of_tip(tip, blade.diameter / 2.0)


def _mown(blade: Blade, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return job.width * job.travel_speed


def _into_grass(blade: Blade, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the useful power: cutting and throwing the grass. [W]"""
    flow = clippings(state, job)
    work = loads.shearing_power(flow, blade.shear_energy, state.wet_factor) + state.power
    work = work + loads.throwing_power(flow, blade.throw_share, _tip(blade, speed), state.wet_factor)
    return np.where(speed > 0.0, work, 0.0)


def _air(blade: Blade, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    watts = loads.blade_windage_power(speed, blade.diameter / 2.0, loads.air_density(air), blade.windage)
    return (Waste("air round the blade", "windage", watts, "windage"),)


def _scaled(blade: Blade, kind: str, share: float) -> Blade:
    return replace(blade, windage=blade.windage * share)


MOWING = Tool(
    pace=Measure("tip_speed", "m_s"),
    amount=Measure("area", "m2"),
    torque=_torque,
    pace_at=_tip,
    speed_at=_speed,
    rate=_mown,
    useful=_into_grass,
    wastes=_air,
    scaled=_scaled,
    fed=WALKED,
    must_stop=3.0,  # 16 CFR 1205.5(a)(1)(iii)
)
