"""Hoisting and hauling: a drum winds rope and brings a load up, or lets it down where the slope is below nothing.

On a capstan a hand holds the tail and so takes a part of the pull off the drum; all watts here are the drum's part.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.tools.tool import Measure, Tool, Waste, idle, turning
from headrace.machine.records import DutyState, Job, Lanes
from headrace.machine.works import Winch
from headrace.physics import lifting, loads, torque_terms
from headrace.physics.torque_terms import TorqueTerms

TURN = 2.0 * np.pi  # rad


def _pull(winch: Winch, state: DutyState, friction: Lanes) -> Lanes:
    """Return the pull that brings the load up; none where it is let down. [N]"""
    pull = lifting.load_pull(state.load, np.maximum(state.slope, 0.0), friction, 0.0)
    return np.where(np.asarray(state.slope) < 0.0, 0.0, pull) if np.any(np.asarray(state.slope) < 0.0) else pull


def _let_down(winch: Winch, state: DutyState) -> Lanes:
    """Return the pull on the lead of a load let down; none where friction holds it, for a rope cannot push. [N]"""
    down = np.maximum(-state.slope, 0.0)
    pull = np.maximum(lifting.lowering_pull(state.load, down, winch.load_friction, 0.0), 0.0)
    felt = lifting.tackle_lowering_advantage(winch.parts, winch.sheave_efficiency, winch.leads)
    return lifting.rope_pull(pull, felt)


def _advantage(winch: Winch) -> Lanes:
    return lifting.tackle_advantage(winch.parts, winch.sheave_efficiency, winch.leads)


def _radius(winch: Winch) -> Lanes:
    return lifting.layer_radius(winch.diameter / 2.0, winch.rope, winch.layer, winch.spacing)


def tail_pull(winch: Winch, state: DutyState) -> Lanes:
    """Return what the hand on a capstan's tail has to hold; 0 of a drum that winds. [N]"""
    rope = lifting.rope_pull(_pull(winch, state, winch.load_friction), _advantage(winch))
    return _of_the_tail(winch, np.maximum(rope, _let_down(winch, state)))


def _of_the_tail(winch: Winch, rope: Lanes) -> Lanes:
    if np.all(np.asarray(winch.laps) == 0.0):
        return 0.0
    return lifting.capstan_tail_pull(rope, winch.rope_friction, TURN * winch.laps)


def _of_the_drum(winch: Winch) -> Lanes:
    """Return the share of the rope's pull that the drum feels. [-]"""
    return 1.0 - _of_the_tail(winch, 1.0)


def _torque(winch: Winch, state: DutyState, job: Job, air: Lanes) -> TorqueTerms:
    rope = lifting.rope_pull(_pull(winch, state, winch.load_friction), _advantage(winch))
    if np.any(np.asarray(state.slope) < 0.0):
        rope = np.where(np.asarray(state.slope) < 0.0, -_let_down(winch, state), rope)
    felt = rope * _of_the_drum(winch)
    return torque_terms.with_power(lifting.hoist_torque_terms(felt, _radius(winch), winch.idle_torque), state.power)


def _load_speed(winch: Winch, speed: Lanes) -> Lanes:
    return speed * _radius(winch) / winch.parts


def _speed(winch: Winch, load_speed: Lanes) -> Lanes:
    return lifting.rope_speed(load_speed, winch.parts) / _radius(winch)


def _hauled(winch: Winch, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    return _load_speed(winch, speed)


def _raising(winch: Winch, state: DutyState, job: Job, speed: Lanes) -> Lanes:
    """Return the useful power: raising the load. [W]"""
    watts = lifting.pull_power(_pull(winch, state, 0.0), _load_speed(winch, speed))
    return turning(speed, watts * _of_the_drum(winch) + state.power)


def _wastes(winch: Winch, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    pull, load_speed = _pull(winch, state, winch.load_friction), _load_speed(winch, speed)
    rubbing = lifting.pull_power(pull - _pull(winch, state, 0.0), load_speed)
    tackle = lifting.tackle_loss(pull, load_speed, winch.parts, _advantage(winch))
    drum = _of_the_drum(winch)
    return (
        Waste("load rubbing on the slope", "rubbing", rubbing * drum, "load_friction"),
        Waste("tackle", "tackle", tackle * drum, "sheave_efficiency"),
        idle(winch.idle_torque, speed),
    )


def _scaled(winch: Winch, kind: str, share: float) -> Winch:
    if kind == "rubbing":
        return replace(winch, load_friction=winch.load_friction * share)
    if kind == "tackle":
        return replace(winch, sheave_efficiency=1.0 - (1.0 - winch.sheave_efficiency) * share)
    return replace(winch, idle_torque=winch.idle_torque * share)


def _hanging(winch: Winch, state: DutyState) -> Lanes:
    return loads.carried_inertia(state.load, _load_speed(winch, 1.0))


def _pulling(winch: Winch, state: DutyState) -> Lanes:
    """Return the torque of the load's weight on its slope at the drum, friction left out. [N·m]"""
    pull = lifting.rope_pull(lifting.load_pull(state.load, np.abs(state.slope), 0.0, 0.0), winch.parts)
    return lifting.pull_torque(pull * _of_the_drum(winch), _radius(winch))


HAULING = Tool(
    pace=Measure("load_speed", "m_s"),
    amount=Measure("hauled", "m"),
    torque=_torque,
    pace_at=_load_speed,
    speed_at=_speed,
    rate=_hauled,
    useful=_raising,
    wastes=_wastes,
    scaled=_scaled,
    carried=_hanging,
    weight=_pulling,
    cuts=False,
)
