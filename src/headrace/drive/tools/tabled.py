"""Anything that turns: a load known by a table somebody measured, torque over speed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

from headrace.drive.tools.tool import Measure, Tool, as_it_turns, no_wastes, nothing_to_scale, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Measured
from headrace.physics import measured_load
from headrace.physics.torque_terms import TorqueTerms


@dataclass(frozen=True, eq=False)
class Points:
    """The points of a table, which run over speed and not over lanes."""

    table_speed: Any  # rad/s, rising
    table_torque: Any  # N m


class Tabled(NamedTuple):
    """The curve of a table, scaled."""

    points: Points
    factor: Lanes

    def torque(self, speed: Lanes) -> Lanes:
        """Return the torque at a speed of the load's shaft. [N·m]"""
        return measured_load.measured_torque(speed, self.points.table_speed, self.points.table_torque, self.factor)


def _curve(work: Measured, state: DutyState) -> Tabled:
    return Tabled(Points(work.table_speed, work.table_torque), state.portion * work.spread)


def _extra(work: Measured, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    return TorqueTerms(state.power, 0.0, 0.0, 0.0)


def _taken(work: Measured, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the power that goes into the work. [W]"""
    factor = state.portion * work.spread
    by_table = measured_load.measured_power(speed, work.table_speed, work.table_torque, factor)
    return turning(speed, by_table + state.power)


BY_TABLE = Tool(
    pace=Measure("tool_speed", "rad_s"),
    amount=Measure("worked", "J"),
    torque=_extra,
    pace_at=as_it_turns,
    speed_at=as_it_turns,
    rate=_taken,
    useful=_taken,
    wastes=no_wastes,
    scaled=nothing_to_scale,
    curve=_curve,
    meets_its_load=True,
)
