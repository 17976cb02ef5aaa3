"""How a machine stands on its axles before and after its conversion, in all lanes."""

from __future__ import annotations

import math

import numpy as np

from headrace.findings import Balanced, Poise
from headrace.machine.records import Lanes, Machine
from headrace.machine.weights import Balance
from headrace.machine.works import Wheels
from headrace.physics import balance as physics
from headrace.physics import travel


def balance(machine: Machine) -> Balanced | None:
    """Return the balance of a machine, None where its file does not say what it weighs."""
    plan = machine.balance
    if plan is None:
        return None
    steepest = _steepest(machine, plan)
    before = _poise(machine, plan, steepest, plan.mass, plan.centre, plan.height)
    after = _converted(machine, plan, steepest)
    wanted = before.front_share if np.all(np.isnan(plan.front_share)) else plan.front_share
    centre = physics.centre_of_share(wanted, plan.wheelbase)
    place = plan.ballast_position
    if np.all(np.isnan(place)):
        place = physics.light_axle(after.centre, centre, plan.wheelbase)
    return Balanced(
        before=before,
        after=after,
        steepest=steepest,
        wanted=wanted,
        ballast_position=place,
        ballast=physics.ballast_mass(after.mass, after.centre, centre, place),
    )


def _converted(machine: Machine, plan: Balance, steepest: Lanes) -> Poise:
    """Return how it stands when the parts named are out and in, and the pack with them."""
    out = tuple(part.mass for part in plan.out)
    put_in = (plan.pack_mass, *(part.mass for part in plan.put_in))
    along = (tuple(part.position for part in plan.out), (plan.pack_position, *(p.position for p in plan.put_in)))
    up = (tuple(part.height for part in plan.out), (plan.pack_height, *(part.height for part in plan.put_in)))
    return _poise(
        machine,
        plan,
        steepest,
        physics.changed_mass(plan.mass, out, put_in),
        physics.changed_centre(plan.mass, plan.centre, out, along[0], put_in, along[1]),
        physics.changed_centre(plan.mass, plan.height, out, up[0], put_in, up[1]),
    )


def _steepest(machine: Machine, plan: Balance) -> Lanes:
    """Return the steepest slope it is held against: that of the balance, or a steeper one its wheels drive on. [rad]"""
    steepest = plan.slope
    for chain in machine.chains:
        if isinstance(chain.work, Wheels):
            for state in (state for state in machine.job.states if state.at_work(chain)):
                steepest = np.maximum(steepest, np.abs(state.slope))
    return steepest


def _poise(machine: Machine, plan: Balance, steepest: Lanes, mass: Lanes, centre: Lanes, height: Lanes) -> Poise:
    wheels = next((chain.work for chain in machine.chains if isinstance(chain.work, Wheels)), None)
    rolling = plan.rolling if wheels is None else wheels.rolling
    front_share, rear_share = physics.axle_shares(centre, plan.wheelbase)
    front, rear = physics.axle_load(mass, front_share), physics.axle_load(mass, rear_share)
    backward, forward = physics.tip_angles(centre, plan.wheelbase, height)
    pull: Lanes = math.nan
    climb_pull: Lanes = math.nan
    if wheels is not None and plan.driven:
        shift = physics.share_shift(height, plan.wheelbase, steepest)
        driven, uphill = {
            "front": (front_share, front_share - shift),
            "rear": (rear_share, rear_share + shift),
            "both": (1.0, 1.0),
        }[plan.driven]
        pull = travel.grip_limit(mass, 0.0, driven, wheels.grip)
        climb_pull = travel.grip_limit(mass, steepest, uphill, wheels.grip)
    return Poise(
        mass=mass,
        centre=centre,
        height=height,
        front=front,
        rear=rear,
        front_share=front_share,
        rear_share=rear_share,
        push=travel.rolling_force(mass, 0.0, rolling),
        climb=travel.rolling_force(mass, steepest, rolling) + travel.grade_force(mass, steepest),
        lift_front=physics.handle_force(front, plan.wheelbase, plan.wheelbase - plan.handle),
        lift_rear=physics.handle_force(rear, plan.wheelbase, plan.handle),
        tips_backward=backward,
        tips_forward=forward,
        pull=pull,
        climb_pull=climb_pull,
    )
