"""How far each tool is from bogging down, state by state, on a full and on a nearly empty pack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from headrace.design.corners import points_at
from headrace.design.ends import ends
from headrace.drive.bogging import Bog, Fed, Hold, PullOut, Unfed, feed_of
from headrace.drive.looking import greatest
from headrace.drive.point import Outcome
from headrace.drive.terminals import Terminals
from headrace.drive.tools import paces_wanted, tool_of, torque_taken
from headrace.drive.tools.tool import Feed
from headrace.drive.train import Warmth
from headrace.findings.evidence import Days
from headrace.machine.records import DutyState, Lanes, Machine
from headrace.machine.values import lanes_of
from headrace.physics import bogging
from headrace.physics.working import solution

Array = npt.NDArray[np.float64]
EDGE = 1e-9  # of the least pace: what lies on it to within rounding keeps it
BEYOND = 1.001  # of the pull-out torque: what is asked to see what becomes of more


def bogs(machine: Machine, days: Days) -> tuple[tuple[Bog, ...], ...]:
    """Return every chain in each of its loaded states, in all lanes of a machine, warm from work."""
    at = ends(machine, days)
    return tuple(
        tuple(
            Bog(
                state,
                hold(machine, place, state, at.full, at.warm),
                hold(machine, place, state, at.empty, at.warm),
                fed(machine, place, state, at.empty, at.warm),
            )
            for state in machine.job.states
            if state.loads(chain)
        )
        for place, chain in enumerate(machine.chains)
    )


def hold(machine: Machine, place: int, state: DutyState, terminals: Terminals, warmths: Sequence[Warmth]) -> Hold:
    """Return how one chain holds its load."""
    chain = machine.chains[place]
    point = points_at(machine, state, terminals, warmths)[place]
    works = point.works & (point.tool_speed > 0.0)
    speed = np.where(works, point.tool_speed, np.nan)
    taken = torque_taken(chain.work, state, machine.job, warmths[place].air, speed)
    load = np.where(taken > 0.0, taken, np.nan)  # of what drives its motor nothing is said
    added = bogging.tenth_of_load(load)
    heavier = points_at(machine, state, terminals, warmths, {place: np.where(added > 0.0, added, 0.0)})[place]
    after = np.where(works & ~heavier.works, 0.0, heavier.tool_speed)
    most = pull_out(machine, place, state, terminals, warmths, load)
    return Hold(
        speed=speed,
        load=load,
        pull_out=most,
        share=bogging.share_in_reserve(most.torque, load),
        per_torque=bogging.speed_per_torque(speed, after, added),
        drop=bogging.speed_drop(speed, after),
    )


@solution("pull-out: the most torque beside the load with which there still is an operating point")
def pull_out(
    machine: Machine, place: int, state: DutyState, terminals: Terminals, warmths: Sequence[Warmth], load: Lanes
) -> PullOut:
    """Return the most a tool can be asked for beside its load, looked for over five decades of it."""
    shape = lanes_of((machine, terminals, tuple(warmths), load))
    there = np.broadcast_to(np.isfinite(load), shape)
    unit = np.where(there, load, 1.0)

    def works(factors: Array) -> npt.NDArray[np.bool_]:
        return np.asarray(points_at(machine, state, terminals, warmths, {place: factors * unit})[place].works & there)

    factor = greatest(works, shape)
    torque = np.where(there & np.isfinite(factor), factor * unit, np.nan)
    beyond = points_at(machine, state, terminals, warmths, {place: np.where(there, BEYOND * torque, 0.0)})[place]
    return PullOut(torque, np.where(there, beyond.outcome, np.int8(Outcome.OFF)))


def fed(machine: Machine, place: int, state: DutyState, terminals: Terminals, warmths: Sequence[Warmth]) -> Fed:
    """Return the greatest feed that keeps a tool's least pace, and the amps it asks for there."""
    chain, job = machine.chains[place], machine.job
    least, _ = paces_wanted(machine.limits, chain.work)
    feed, why = feed_of(chain, state, job, least)
    if feed is None or why is not Unfed.FED:
        now = np.nan if feed is None else feed.of(state, job)
        return Fed(feed, now, np.nan, why, np.nan, np.nan)
    most = greatest_feed(machine, place, feed, state, terminals, warmths)
    there = np.isfinite(most)
    changed, held = feed.at(state, job, np.where(there, most, 0.0))
    point = points_at(replace(machine, job=held), changed, terminals, warmths)[place]
    return Fed(
        feed=feed,
        now=feed.of(state, job),
        greatest=most,
        why=Unfed.FED if np.asarray(there).flat[0] else Unfed.TOO_SLOW,
        motor_current=np.where(there, point.motor_current, np.nan),
        battery_current=np.where(there, point.battery_current, np.nan),
    )


@solution("greatest feed: the most with which the tool still keeps its least pace")
def greatest_feed(
    machine: Machine, place: int, feed: Feed, state: DutyState, terminals: Terminals, warmths: Sequence[Warmth]
) -> Array:
    """Return the greatest feed that keeps the least pace; nan where even none at all is too much."""
    chain, job = machine.chains[place], machine.job
    least, _ = paces_wanted(machine.limits, chain.work)
    slowest = tool_of(chain.work).speed_at(chain.work, least) * (1.0 - EDGE)
    now = feed.of(state, job)

    def keeps(factors: Array) -> npt.NDArray[np.bool_]:
        changed, held = feed.at(state, job, factors * now)
        point = points_at(replace(machine, job=held), changed, terminals, warmths)[place]
        return point.works & (point.tool_speed >= slowest)

    shape = lanes_of((machine, terminals, tuple(warmths)))
    unfed = keeps(np.zeros((1, *(1 for _ in shape))))[0]
    factor = np.asarray(greatest(keeps, shape))
    return np.where(unfed & np.isfinite(factor), factor * now, np.nan)
