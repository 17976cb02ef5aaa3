"""How long a motor bears one duty state without a pause, and how long it then wants to cool.

A motor's losses are known cold, with a hot winding, and with hot magnets too; between the three they are taken as
straight in both temperatures. So a warming is some hundred exact steps of two bodies, and no operating point has to be
solved on the way.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from headrace.drive.links import Parts
from headrace.drive.point import Point
from headrace.drive.train import Warmth
from headrace.machine.links import AnyMotor
from headrace.machine.records import Lanes
from headrace.runs.motor_warmth import after, heat_of
from headrace.runs.run import Array

LONGEST = 12 * 3600.0  # s; a winding that is still below its limit after so long is said never to reach it
STEPS = 240  # from a second on, each a little longer than the one before
COOLED = 20.0  # K above the air: cool enough to begin anew


@dataclass(frozen=True)
class Heats:
    """What a motor's losses make in its winding and in the rest of it, at temperatures of the two. [K, W]"""

    winding: Lanes
    case: Lanes
    inner: Lanes
    outer: Lanes


@dataclass(frozen=True)
class Losses:
    """A motor's losses in one duty state: cold all through, with a hot winding, and with a hot case besides."""

    cold: Heats
    hot: Heats
    through: Heats

    def at(self, winding: Lanes, case: Lanes) -> tuple[Lanes, Lanes]:
        """Return the heat made in the winding and in the case at their temperatures. [W]"""
        inside = (winding - self.cold.winding) / (self.hot.winding - self.cold.winding)
        beside = (case - self.hot.case) / (self.through.case - self.hot.case)
        inner = inside * (self.hot.inner - self.cold.inner) + beside * (self.through.inner - self.hot.inner)
        outer = inside * (self.hot.outer - self.cold.outer) + beside * (self.through.outer - self.hot.outer)
        return self.cold.inner + inner, self.cold.outer + outer


@dataclass(frozen=True)
class Warming:
    """A motor kept at one duty state from cold; arrays over lanes.

    Attributes
    ----------
    hottest
        Of the winding, after half a day or at its limit. [K]
    case
        Then, and the magnets with it. [K]
    to_limit
        Until the winding is at its limit; nan where it never is. [s]
    to_cool
        From there until the winding stands no more than 20 K above the air, motor off. [s]
    """

    hottest: Array
    case: Array
    to_limit: Array
    to_cool: Array


def heats(row: Parts, point: Point, warmth: Warmth) -> Heats:
    """Return what the losses at a point heat."""
    return Heats(warmth.winding, warmth.magnets, *heat_of(row, point, warmth))


def warming(motor: AnyMotor, losses: Losses, air: Lanes) -> Warming:
    """Return how a motor warms that is kept at one duty state, and how it cools.

    Parameters
    ----------
    motor
        The motor.
    losses
        What heats it.
    air
        Temperature around it, and of the motor at the start. [K]
    """
    shape = np.broadcast_shapes(*(np.shape(v) for v in (*losses.at(air, air), motor.winding_limit, air)))
    winding, case = (np.broadcast_to(air, shape) + np.zeros(shape) for _ in range(2))
    to_limit = np.full(shape, np.nan)
    for begun, ended in pairwise(_times()):
        inner, outer = losses.at(winding, case)
        there, beside = _step(motor, winding, case, inner, outer, air, ended - begun)
        over, part = _passing(winding, there, motor.winding_limit, ended - begun)
        to_limit = np.where(np.isnan(to_limit) & over, begun + part, to_limit)
        going = np.isnan(to_limit)  # who is at the limit is switched off there
        winding = np.where(going, there, np.where(over, motor.winding_limit, winding))
        case = np.where(going, beside, case)
    return Warming(winding, case, to_limit, _cooling(motor, winding, case, air))


def _cooling(motor: AnyMotor, winding: Array, case: Array, air: Lanes) -> Array:
    """Return the time until the winding is cool enough to begin anew. [s]"""
    cool = np.asarray(air) + COOLED
    found = np.where(winding > cool, np.nan, 0.0)
    for begun, ended in pairwise(_times()):
        there, beside = _step(motor, winding, case, 0.0, 0.0, air, ended - begun)
        under, part = _passing(winding, there, cool, ended - begun)
        found = np.where(np.isnan(found) & under, begun + part, found)
        winding, case = there, beside
    return found


def _times() -> Array:
    return np.concatenate([[0.0], np.geomspace(1.0, LONGEST, STEPS)])


def _step(
    motor: AnyMotor, winding: Array, case: Array, inner: Lanes, outer: Lanes, air: Lanes, seconds: float
) -> tuple[Array, Array]:
    there, beside = after(motor, winding, case, inner, outer, air, seconds)
    return np.asarray(there), np.asarray(beside)


def _passing(start: Array, end: Array, mark: Lanes, seconds: float) -> tuple[Array, Array]:
    """Return whether a temperature passes a mark within a step, and when in it, on a straight line. [-, s]"""
    passes = (start - mark) * (end - mark) <= 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(passes & (end != start), seconds * (mark - start) / (end - start), 0.0)
    return np.asarray(passes), part
