"""Pumping: a centrifugal pump that lifts water through a pipe."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from headrace.drive.tools.tool import Measure, Tool, Waste, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Pump
from headrace.physics import pump_power, pumping
from headrace.physics.torque_terms import TorqueTerms


class Pumped(NamedTuple):
    """The curve of a pump against a height and a pipe, in the order of its law."""

    reference_speed: Lanes
    shut_off_head: Lanes
    best_flow: Lanes
    best_head: Lanes
    best_efficiency: Lanes
    no_flow_share: Lanes
    static_head: Lanes
    coefficient: Lanes
    density: Lanes

    def torque(self, speed: Lanes) -> Lanes:
        """Return the torque at a speed of the pump's shaft. [N·m]"""
        return pump_power.pump_shaft_torque(speed, *self)


def _curve(pump: Pump, state: DutyState) -> Pumped:
    return Pumped(
        pump.speed,
        pump.shut_off_head,
        pump.flow,
        pump.head,
        pump.efficiency,
        pump.no_flow_share,
        pump.lift,
        pump.pipe,
        pump.density,
    )


def _extra(pump: Pump, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    return TorqueTerms(state.power, 0.0, 0.0, 0.0)


def _fall(pump: Pump) -> Lanes:
    return pumping.pump_curve_fall(pump.shut_off_head, pump.flow, pump.head)


def _flow(pump: Pump, speed: Lanes) -> Lanes:
    return pumping.pump_flow(speed, pump.speed, pump.shut_off_head, _fall(pump), pump.lift, pump.pipe)


def _speed(pump: Pump, flow: Lanes) -> Lanes:
    return pumping.speed_for_flow(flow, pump.speed, pump.shut_off_head, _fall(pump), pump.lift, pump.pipe)


def _pumped(pump: Pump, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return _flow(pump, speed)


def _lifting(pump: Pump, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the useful power: raising the water. [W]"""
    return turning(speed, pumping.hydraulic_power(_flow(pump, speed), pump.lift, pump.density) + state.power)


def _wastes(pump: Pump, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    flow = _flow(pump, speed)
    head = pumping.system_head(flow, pump.lift, pump.pipe)
    asked = pump_power.pump_shaft_power(speed, *_curve(pump, state)) if state.loaded else 0.0
    friction = pumping.flow_friction_power(flow, pump.pipe, pump.density)
    inside = pump_power.pump_loss(asked, flow, head, pump.density)
    return (
        Waste("pipe friction", "pipe", turning(speed, friction), "pipe"),
        Waste("inside the pump", "pump", turning(speed, inside), "efficiency"),
    )


def _scaled(pump: Pump, kind: str, share: float) -> Pump:
    if kind == "pipe":
        return replace(pump, pipe=pump.pipe * share)
    return replace(pump, efficiency=1.0 / (1.0 + (1.0 / pump.efficiency - 1.0) * share))


PUMPING = Tool(
    pace=Measure("flow", "m3_s"),
    amount=Measure("moved", "m3"),
    torque=_extra,
    pace_at=_flow,
    speed_at=_speed,
    rate=_pumped,
    useful=_lifting,
    wastes=_wastes,
    scaled=_scaled,
    curve=_curve,
    cuts=False,
)
