"""The operating point of a chain whose load is a curve: searched for between standstill and the fastest there is.

A load that takes more torque the faster it turns leaves less of every margin the faster it turns, so there is one
crossing, and it lies between two speeds of which one holds and the other does not. Slopes are not asked for: the curve
of a pump has none where its flow starts.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from headrace.drive.block import Block, cap_battery, fastest_of, finish, flat, inputs_of, margins_at, some
from headrace.drive.curve import CurveAtMotor
from headrace.drive.point import Array, Codes, Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.values import lanes_of, some_lanes

SLOWEST = 1e-3  # of the fastest: below it a shaft is taken to stand
CLOSE = 1e-13  # relative width of the bracket at which the search ends


def search(train: Train, load: CurveAtMotor, terminals: Terminals) -> Point:
    """Return the operating point of one chain whose load is a curve; shapes as in ``walk``."""
    shape = lanes_of((train, terminals))
    lanes = cap_battery(flat(inputs_of(train, terminals), shape))
    size = int(np.prod(shape, dtype=int))
    curve = some_lanes(load, shape, np.arange(size))
    fastest = np.array(fastest_of(lanes), dtype=float)
    turning = fastest > 0.0
    fastest = np.where(turning, fastest, 1.0)
    slowest = SLOWEST * fastest
    at_once = _room(lanes, curve, fastest)[0] >= 0.0
    moving = turning & (at_once | (_room(lanes, curve, slowest)[0] >= 0.0))
    speed = np.where(moving, fastest, slowest)
    between = np.flatnonzero(moving & ~at_once)
    if between.size > 0:
        speed[between] = _crossing(some(lanes, between), some_lanes(curve, (size,), between), fastest[between])
    tightest = np.where(speed >= lanes.set_speed, np.int8(Outcome.SET_SPEED), _room(lanes, curve, speed)[1])
    point = finish(_with_load(lanes, curve, speed), speed, moving, tightest)
    return point.reshaped(shape)


def _crossing(lanes: Block, curve: CurveAtMotor, fastest: Array) -> Array:
    """Return the speed at which the tightest margin is used up; it is not at the slowest, and more than so at most."""
    from scipy.optimize import elementwise

    size = fastest.size

    def room(speed: Array, lane: npt.NDArray[np.intp]) -> Array:
        chosen = np.ravel(lane)
        here = some(lanes, chosen)
        return _room(here, some_lanes(curve, (size,), chosen), np.ravel(speed))[0].reshape(np.shape(speed))

    bounds = {"xatol": 0.0, "xrtol": CLOSE, "fatol": 0.0, "frtol": 0.0}
    found = elementwise.find_root(room, (SLOWEST * fastest, fastest), args=(np.arange(size),), tolerances=bounds)
    return np.asarray(found.x)


def _with_load(lanes: Block, curve: CurveAtMotor, speed: Array) -> Block:
    """Return the lanes with the whole load at a speed as one current."""
    current = curve.current(speed) + lanes.constant + speed * (lanes.linear + speed * lanes.square)
    return lanes._replace(power=0.0, constant=current + lanes.power / speed, linear=0.0, square=0.0)


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
