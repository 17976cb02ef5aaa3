"""A chain on direct current behind its controller, whose load is a curve or whose motor is in series: how it is hunted.

At any one speed such a load is one current, and a series motor one constant; so each look is that of plain terms.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from headrace.drive.block import Block, cap_battery, fastest_of, finish, flat, inputs_of, margins_at
from headrace.drive.curve import CurveAtMotor, SeriesLoad
from headrace.drive.point import Array, Codes, Mask, Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.records import Lanes
from headrace.machine.values import in_one_row
from headrace.physics import margins, series_motor


class Chopped(NamedTuple):
    """A chain on direct current in one row of lanes."""

    lanes: Block
    curve: CurveAtMotor | None
    series: SeriesLoad | None
    size: Array  # of nothing, one in each lane, so that a row of floats is a row

    def fastest(self) -> Array:
        """Return a speed that nothing can pass: without load, or the set speed. [rad/s]"""
        lanes = self.lanes
        if self.series is None:
            return fastest_of(lanes) + self.size
        fan = self.series.load.terms.square
        bound = series_motor.fan_limited_speed(lanes.voltage, lanes.motor_resistance, lanes.brush_drop, fan)
        return np.asarray(np.minimum(bound, lanes.set_speed) + self.size)

    def at(self, speed: Array) -> Block:
        """Return the lanes with the whole load at a speed as one current."""
        if self.series is not None:
            return self.carrying(self.series.current(speed))
        asked: Lanes = margins.current_asked(self.lanes.current, speed)[0]
        return self.carrying(asked if self.curve is None else asked + self.curve.current(speed))

    def carrying(self, current: Lanes) -> Block:
        """Return the lanes with a motor current that does not ask for the speed."""
        held = self.lanes._replace(power=0.0, constant=current, linear=0.0, square=0.0)
        return held if self.series is None else held._replace(motor_constant=self.series.constant_at(current))

    def room(self, speed: Array) -> tuple[Array, Codes]:
        """Return the least of the margins at a speed, each as a share of what there is, and which one it is."""
        held, lanes = self.at(speed), self.lanes
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

    def point(self, speed: Array, moving: Mask) -> Point:
        """Return the point at a speed; that at standstill where the lane does not move."""
        held = np.where(speed >= self.lanes.set_speed, np.int8(Outcome.SET_SPEED), self.room(speed)[1])
        return finish(self.at(speed), speed, moving, held)


def hunt(train: Train, terminals: Terminals, shape: tuple[int, ...]) -> Chopped:
    """Return a chain on direct current in one row of lanes."""
    lanes = cap_battery(flat(inputs_of(train, terminals), shape))
    curve, series = in_one_row((train.curve, train.series), shape)
    return Chopped(lanes, curve, series, np.zeros(max(1, int(np.prod(shape)))))
