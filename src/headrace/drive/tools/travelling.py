"""Travel: driven wheels against rolling, grade, drawbar and air.

Where a slope pushes the machine on, the torque asked of the wheels lies below nothing; what holds it back is judged
apart.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.tools.tool import Measure, Tool, Waste, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Wheels
from headrace.physics import descent, lifting, loads, torque_terms, travel
from headrace.physics.torque_terms import TorqueTerms


def total_mass(wheels: Wheels, state: DutyState) -> Lanes:
    """Return what moves: the machine, its pack and its load. [kg]"""
    return wheels.mass + wheels.pack_mass + state.load


def _climb(wheels: Wheels, state: DutyState) -> Lanes:
    """Return grade and drawbar, less than nothing downhill. [N]"""
    return travel.grade_force(total_mass(wheels, state), state.slope) + state.drawbar


def _given(wheels: Wheels, state: DutyState) -> Lanes:
    """Return that part of grade and drawbar which the wheels give. [N]"""
    return np.maximum(_climb(wheels, state), 0.0)


def _rolling(wheels: Wheels, state: DutyState) -> Lanes:
    return 0.0 if state.lifted else travel.rolling_force(total_mass(wheels, state), state.slope, wheels.rolling)


def steady_force(wheels: Wheels, state: DutyState) -> Lanes:
    """Return the force the wheels put on the ground at a steady pace, without that against the air. [N]"""
    return np.maximum(_climb(wheels, state) + _rolling(wheels, state), 0.0)


def held_force(wheels: Wheels, state: DutyState) -> Lanes:
    """Return the force that holds the machine back at a steady pace, without that of the air; none uphill. [N]"""
    return np.maximum(-(_climb(wheels, state) + _rolling(wheels, state)), 0.0)


def force_gripped(wheels: Wheels, state: DutyState) -> Lanes:
    """Return the most they can put on it before they spin. [N]"""
    return travel.grip_limit(total_mass(wheels, state), state.slope, wheels.driven_share, wheels.grip)


def _torque(wheels: Wheels, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    terms = travel.travel_torque_terms(
        _climb(wheels, state) + _rolling(wheels, state),
        wheels.diameter / 2.0,
        loads.air_density(air),
        wheels.drag_area,
        wheels.slip,
    )
    return torque_terms.with_power(terms, state.power)


def _pace(wheels: Wheels, speed: Lanes) -> Lanes:
    return travel.travel_speed_of_axle(speed, wheels.diameter / 2.0, wheels.slip)


def _speed(wheels: Wheels, pace: Lanes) -> Lanes:
    return travel.axle_speed(pace, wheels.diameter / 2.0, wheels.slip)


def _travelled(wheels: Wheels, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return _pace(wheels, speed)


def _climbing(wheels: Wheels, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the useful power: against grade and drawbar, as far as the wheels give it. [W]"""
    return turning(speed, _given(wheels, state) * _pace(wheels, speed) + state.power)


def _wastes(wheels: Wheels, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    pace, steady = _pace(wheels, speed), steady_force(wheels, state)
    blown = travel.air_force(loads.air_density(air), wheels.drag_area, pace)
    rolling = steady - _given(wheels, state)  # downhill the ground gives some of it
    return (
        Waste("rolling on the ground", "rolling", rolling * pace, "rolling"),
        Waste("air round the machine", "air", blown * pace, "drag_area"),
        Waste("slip of the wheels", "slip", travel.slip_loss(steady + blown, pace, wheels.slip), "slip"),
    )


def _scaled(wheels: Wheels, kind: str, share: float) -> Wheels:
    field = {"rolling": "rolling", "air": "drag_area", "slip": "slip"}[kind]
    return replace(wheels, **{field: getattr(wheels, field) * share})


def _pulling(wheels: Wheels, state: DutyState) -> Lanes:
    """Return the torque of the machine's weight on its slope, up or down, at the axle. [N·m]"""
    pull = np.abs(travel.grade_force(total_mass(wheels, state), state.slope))
    return lifting.pull_torque(pull, wheels.diameter / 2.0)


def _pace_driven(wheels: Wheels, speed: Lanes) -> Lanes:
    return descent.braked_travel_speed(speed, wheels.diameter / 2.0, wheels.slip)


def _moved(wheels: Wheels, state: DutyState) -> Lanes:
    return 0.0 if state.lifted else loads.carried_inertia(total_mass(wheels, state), _pace(wheels, 1.0))


TRAVELLING = Tool(
    pace=Measure("travel_speed", "m_s"),
    amount=Measure("travelled", "m"),
    torque=_torque,
    pace_at=_pace,
    speed_at=_speed,
    rate=_travelled,
    useful=_climbing,
    wastes=_wastes,
    scaled=_scaled,
    carried=_moved,
    weight=_pulling,
    pace_driven=_pace_driven,
    cuts=False,
)
