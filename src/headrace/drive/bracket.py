"""The operating point of a chain whose load is a curve: searched for between standstill and the fastest there is.

A load that takes more torque the faster it turns leaves less of every margin the faster it turns, so there is one
crossing, and it lies between two speeds of which one holds and the other does not. Slopes are not asked for: the curve
of a pump has none where its flow starts.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from headrace.drive.block import Block, cap_battery, fastest_of, finish, flat, inputs_of, margins_at, some
from headrace.drive.curve import CurveAtMotor
from headrace.drive.point import Array, Codes, Mask, Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.values import in_one_row, lanes_of, some_lanes
from headrace.physics import margins

SLOWEST = 1e-3  # of the fastest: below it a shaft is taken to stand
CLOSE = 1e-13  # relative step at which the search ends
FALSE_POSITIONS = 30  # tried before the bracket is halved instead; 6 to 9 do
ROUNDS = 90
KEEP = 0.7  # share of lanes still on below which they are gathered


def search(train: Train, load: CurveAtMotor, terminals: Terminals) -> Point:
    """Return the operating point of one chain whose load is a curve; shapes as in ``walk``."""
    shape = lanes_of((train, terminals))
    lanes = cap_battery(flat(inputs_of(train, terminals), shape))
    size = math.prod(shape)
    curve = in_one_row(load, shape)
    fastest = np.array(fastest_of(lanes), dtype=float)
    turning = fastest > 0.0
    fastest = np.where(turning, fastest, 1.0)
    slowest = SLOWEST * fastest
    at_fastest, at_slowest = _room(lanes, curve, fastest)[0], _room(lanes, curve, slowest)[0]
    at_once = at_fastest >= 0.0
    moving = turning & (at_once | (at_slowest >= 0.0))
    speed = np.where(moving, fastest, slowest)
    between = np.flatnonzero(moving & ~at_once)
    if between.size > 0:
        ends = _Hunt(slowest, at_slowest, fastest, at_fastest, fastest, np.zeros(size, dtype=bool), fastest)
        speed[between] = _crossing(some(lanes, between), *some_lanes((curve, ends), (size,), between))
    tightest = np.where(speed >= lanes.set_speed, np.int8(Outcome.SET_SPEED), _room(lanes, curve, speed)[1])
    point = finish(_with_load(lanes, curve, speed), speed, moving, tightest)
    return point.reshaped(shape)


class _Hunt(NamedTuple):
    """Brackets under way, one in each lane: some margin is left at the low end, none at the high one."""

    low: Array  # rad/s
    at_low: Array
    high: Array  # rad/s
    at_high: Array
    here: Array  # rad/s, looked at last
    was_low: Mask  # whether that became the low end
    moved: Array  # rad/s, from the one before


def _crossing(lanes: Block, curve: CurveAtMotor, hunt: _Hunt) -> Array:
    """Return the speed at which the tightest margin is used up, from brackets that hold it.

    False position after Anderson and Björck (BIT 13 (1973) 253, from memory): an end that stays where it is counts for
    less from step to step, so that both close in.
    """
    found, place = hunt.high.copy(), np.arange(hunt.high.size)
    for step in range(ROUNDS):
        hunt = _closer(lanes, curve, hunt, halved=step >= FALSE_POSITIONS)
        found[place] = hunt.here
        on = np.flatnonzero(hunt.moved > CLOSE * hunt.here)
        if on.size == 0:
            break
        if on.size < KEEP * place.size:
            size = (place.size,)
            lanes, curve, hunt = some(lanes, on), some_lanes(curve, size, on), some_lanes(hunt, size, on)
            place = place[on]
    return found


def _closer(lanes: Block, curve: CurveAtMotor, hunt: _Hunt, *, halved: bool) -> _Hunt:
    """Return brackets that are one look narrower."""
    low, at_low, high, at_high, before, was_low, _ = hunt
    here = 0.5 * (low + high) if halved else high - at_high * (high - low) / (at_high - at_low)
    left = _room(lanes, curve, here)[0]
    is_low = left >= 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        shrunk = 1.0 - left / np.where(is_low, at_low, at_high)
    less = np.where(is_low == was_low, np.where(shrunk > 0.0, shrunk, 0.5), 1.0)
    return _Hunt(
        low=np.where(is_low, here, low),
        at_low=np.where(is_low, left, at_low * less),
        high=np.where(is_low, high, here),
        at_high=np.where(is_low, at_high * less, left),
        here=here,
        was_low=is_low,
        moved=np.abs(here - before),
    )


def _with_load(lanes: Block, curve: CurveAtMotor, speed: Array) -> Block:
    """Return the lanes with the whole load at a speed as one current."""
    of_terms, _ = margins.current_asked(lanes.current, speed)
    return lanes._replace(power=0.0, constant=of_terms + curve.current(speed), linear=0.0, square=0.0)


def _room(lanes: Block, curve: CurveAtMotor, speed: Array) -> tuple[Array, Codes]:
    """Return the least of the margins at a speed, each as a share of what there is, and which one it is."""
    held = _with_load(lanes, curve, speed)
    whole = {
        Outcome.FULL_VOLTAGE: lanes.voltage,
        Outcome.MOTOR_LIMIT: lanes.motor_limit,
        Outcome.BATTERY_LIMIT: lanes.voltage * lanes.battery_limit,
    }
    least, tightest = np.full(speed.shape, np.inf), np.full(speed.shape, Outcome.SET_SPEED, dtype=np.int8)
    for outcome, margin, _ in margins_at(held, speed, bool(np.any(np.isfinite(lanes.battery_limit)))):
        with np.errstate(invalid="ignore"):
            share = np.where(np.isfinite(margin), margin / whole[outcome], np.inf)
        tightest = np.where(share < least, np.int8(outcome), tightest)
        least = np.minimum(least, share)
    return least, tightest
