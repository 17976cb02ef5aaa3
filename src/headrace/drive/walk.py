"""The operating point: the highest speed at which every limit still holds, in any number of lanes.

Unknown is the motor's speed alone; currents and volts follow from it in closed form. Newton's method starts where
nothing can turn faster, at no-load speed or at the set speed, and walks down on the tightest margin. The margins are
concave (see ``physics.margins``), so the walk stops at the fast crossing, or shows that there is none by running past
the top of a margin that is still negative. Nothing is ever bisected blindly, and a lane without a solution is an
outcome, never a number.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from headrace.drive.block import (
    BLOCK,
    Block,
    blocks,
    cap_battery,
    fastest_of,
    finish,
    flat,
    inputs_of,
    margins_at,
    some,
)
from headrace.drive.point import Array, Codes, Mask, Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import AnyTrain, Train
from headrace.machine.values import lanes_of
from headrace.physics.working import solution

ROUNDS = 60  # Newton needs 4 to 8; a lane still moving after this many is reported, not believed
SETTLED = 1e-12  # relative step at which the walk ends; Newton doubles its digits, so the next step is none
BELIEVED = 1e-9  # relative step still taken for a crossing after all rounds: a load that just touches what there is
TINY = 1e-300  # a step of nothing, to divide by
KEEP = 0.7  # share of lanes still walking below which they are gathered


def walk(train: Train, terminals: Terminals) -> Point:
    """Return the operating point of one chain whose load is terms in the speed; shapes as in ``solve``."""
    inputs = inputs_of(train, terminals)
    shape = np.broadcast(*inputs).shape
    lanes = flat(inputs, shape)
    point = _solve_lanes(lanes, fastest_of(lanes), limited=False)
    over = np.flatnonzero(point.battery_current > np.asarray(lanes.battery_limit))
    if over.size > 0:  # what asks for more than the battery's limit walks on under it, from where it stands
        held = _solve_lanes(cap_battery(some(lanes, over)), point.motor_speed[over], limited=True)
        for field in fields(Point):
            getattr(point, field.name)[over] = getattr(held, field.name)
    return point.reshaped(shape)


def _solve_lanes(lanes: Block, fastest: Array, limited: bool) -> Point:
    """Solve flat lanes block by block, each from a speed on its fast side."""
    if fastest.size <= BLOCK:
        return finish(lanes, *_walk_down(lanes, fastest, limited))
    blank = {f.name: np.empty(fastest.size, np.int8 if f.name == "outcome" else np.float64) for f in fields(Point)}
    point = Point(**blank)  # type: ignore[arg-type]  # names and kinds are those of its own fields
    for block, part in blocks(lanes):
        solved = finish(part, *_walk_down(part, fastest[block], limited))
        for field in fields(Point):
            getattr(point, field.name)[block] = getattr(solved, field.name)
    return point


@solution("slow crossing: the speed below which the load asks for more than there is")
def slow_crossing(train: AnyTrain, terminals: Terminals) -> Array:
    """Return the tool speed of the slow, unstable crossing, nan where there is none. [rad/s]

    Below it the load asks for more than there is, and a tool slowed that far goes on to a stop. The walk is the same
    as in ``walk`` but starts from the slow end, where a load of constant power outgrows any torque. It is not looked
    for where the load is a curve, or the motor no magnet one.
    """
    if not (isinstance(train, Train) and train.plain):
        return np.full(lanes_of((train, terminals)), np.nan)
    inputs = inputs_of(train, terminals)
    shape = np.broadcast(*inputs).shape
    walked = [_walk_up(part) for _, part in blocks(flat(inputs, shape))]
    return np.concatenate(walked).reshape(shape)


def _walk_up(b: Block) -> Array:
    """Walk up from below the slow crossing; nan where the load has no power term or no crossing."""
    limited = bool(np.all(np.isfinite(b.battery_limit)))
    b = cap_battery(b) if limited else b
    shape = np.broadcast(*b).shape
    least = np.maximum(b.power * (b.motor_resistance + b.loop) / b.voltage, b.power / b.motor_limit)
    there = np.broadcast_to(np.asarray(b.power) > 0.0, shape)
    speed = np.where(there, least, 1.0)
    for _ in range(ROUNDS):
        step = np.zeros(shape)
        for _, margin, slope in margins_at(b, speed, limited):
            behind = margin < 0.0
            there = there & ~(behind & (slope <= 0.0))
            with np.errstate(divide="ignore", invalid="ignore"):
                step = np.maximum(step, np.where(behind & (slope > 0.0), -margin / slope, 0.0))
        speed = np.where(there, speed + step, speed)
        if not np.any(there & (step > SETTLED * speed)):
            break
    else:
        there = there & (step <= 1e-9 * speed)
    return np.where(there & (speed < b.set_speed), speed / b.turns, np.nan)


def _walk_down(b: Block, start: Array, limited: bool) -> tuple[Array, Mask, Codes]:
    """Return speed, whether the drive turns at all, and which margin stopped the walk from a start on the fast side."""
    moving = start > 0.0
    speed = np.where(moving, start, 1.0)
    tightest = np.full(speed.shape, Outcome.SET_SPEED, dtype=np.int8)
    walking = np.flatnonzero(moving)
    part = b if walking.size == moving.size else some(b, walking)
    here = fastest = speed[walking]
    before = np.full(here.size, TINY)
    for _ in range(ROUNDS):
        step, outcome, lost = _step_down(part, here, limited)
        lower = np.minimum(here - step, fastest)
        lost |= lower <= 0.0
        moved = np.abs(here - lower)
        # a walk that doubles its digits has this much left to go after the step just taken
        left = moved * np.square(moved / np.maximum(before, moved))
        restless = (left > SETTLED * here) & ~lost
        here, before = np.where(lost, here, lower), np.maximum(moved, TINY)
        on = np.flatnonzero(restless)
        if on.size == 0 or on.size < KEEP * here.size:  # note down who has settled; the others walk on
            speed[walking], tightest[walking] = here, outcome
            moving[walking[lost]] = False
            if on.size == 0:
                break
            walking, part = walking[on], some(part, on)
            here, fastest, before = here[on], fastest[on], before[on]
    else:
        # a load that just touches what there is halves its way to the crossing; any other is no crossing
        moving[walking[before > BELIEVED * here]] = False
        speed[walking] = here
    return speed, moving, np.where(speed >= b.set_speed, np.int8(Outcome.SET_SPEED), tightest)


def _step_down(b: Block, speed: Array, limited: bool) -> tuple[Array, Codes, Mask]:
    """Return Newton's step on the tightest margin, which margin it is, and the lanes that ran past its top."""
    step = np.full(speed.shape, -np.inf)
    tightest = np.full(speed.shape, Outcome.SET_SPEED, dtype=np.int8)
    lost = np.zeros(speed.shape, dtype=bool)
    for outcome, margin, slope in margins_at(b, speed, limited):
        falling = slope < 0.0
        lost |= ~falling & (margin < 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            here = np.where(falling, margin / slope, -np.inf)
        tightest[here > step] = outcome
        np.maximum(step, here, out=step)
    return step, tightest, lost
