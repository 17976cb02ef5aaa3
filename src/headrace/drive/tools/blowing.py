"""Blowing: a fan on a duct."""

from __future__ import annotations

from dataclasses import replace

from headrace.drive.tools.tool import Measure, Tool, Waste, idle, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Fan
from headrace.physics import fans, torque_terms
from headrace.physics.torque_terms import TorqueTerms


def _torque(fan: Fan, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    terms = fans.fan_torque_terms(fan.duct, fan.flow_per_speed, fan.efficiency, fan.idle_torque)
    return torque_terms.with_power(terms, state.power)


def _flow(fan: Fan, speed: Lanes) -> Lanes:
    return fans.fan_flow(speed, fan.flow_per_speed)


def _speed(fan: Fan, flow: Lanes) -> Lanes:
    return flow / fan.flow_per_speed


def _moved(fan: Fan, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return _flow(fan, speed)


def _into_air(fan: Fan, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    flow = _flow(fan, speed)
    return turning(speed, fans.air_power(flow, fans.duct_pressure(flow, fan.duct)) + state.power)


def _wastes(fan: Fan, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    flow = _flow(fan, speed)
    lost = fans.fan_loss(flow, fans.duct_pressure(flow, fan.duct), fan.efficiency)
    return Waste("inside the fan", "fan", lost, "efficiency"), idle(fan.idle_torque, speed)


def _scaled(fan: Fan, kind: str, share: float) -> Fan:
    if kind == "fan":
        return replace(fan, efficiency=1.0 / (1.0 + (1.0 / fan.efficiency - 1.0) * share))
    return replace(fan, idle_torque=fan.idle_torque * share)


BLOWING = Tool(
    pace=Measure("flow", "m3_s"),
    amount=Measure("moved", "m3"),
    torque=_torque,
    pace_at=_flow,
    speed_at=_speed,
    rate=_moved,
    useful=_into_air,
    wastes=_wastes,
    scaled=_scaled,
)
