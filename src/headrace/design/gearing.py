"""How a tool is geared, and how it should be for the pace that is wanted of it.

Of the typical machine alone. The corners are those the findings hold a plan against: full pack without load on a hot
day with warm magnets, and the slowest loaded state at the reserve with worn cells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from headrace.design.corners import NO_LOAD
from headrace.design.ends import Ends, ends, tool_speed, with_chain
from headrace.drive.demand import work_terms
from headrace.drive.gearing import Pair, geared, pairs_for, stage_of, usual_stage, wanted_pace
from headrace.drive.links import parts
from headrace.drive.looking import greatest
from headrace.drive.pulling import puller
from headrace.drive.starting import CRAWL
from headrace.drive.terminals import Terminals
from headrace.drive.tools import paces_wanted, tool_of, torque_taken
from headrace.drive.train import Warmth, train
from headrace.findings.evidence import Days
from headrace.machine.links import Motor, Transmission
from headrace.machine.records import Chain, DutyState, Lanes, Machine
from headrace.machine.values import first_lane
from headrace.physics import bogging
from headrace.physics.working import leaves, solution

Array = npt.NDArray[np.float64]
FITS = 0.1  # a ratio nearer than this to one, or to what can be bought, is as good as met
RATIOS = np.geomspace(0.02, 500.0, 601)  # of the stage, looked through; nearer than 2 % no two crossings are told apart
SLOW = 1e-6  # turns of the tool for one of the motor, below which nobody gears
NOT_A_MAGNET = "only the speed of a motor with magnets goes by its volts so that a ratio can be told from them"
NO_WINDOW = "[limits] gives no least and greatest pace, and no set speed holds one"
NO_RATIO = "no ratio brings the tool to that pace in its hardest work: the motor, its limits or the volts are too weak"
DIRECT = "within a tenth one to one is right, and no stage is worth its loss"
TWO_STAGES = "no pair of stocked wheels comes within a tenth of that ratio: make it in two stages"
NOT_IN_WHEELS = "gear sets, worms and flat belts come in their makers' own ratios: take the nearest"


@dataclass(frozen=True)
class Geared:
    """A tool at one ratio, at the corners of its pack.

    Attributes
    ----------
    ratio
        Of the stage next to the motor. [-]
    full, empty
        Speed of the tool in its hardest state, after a full charge and at the reserve; nan where that stops it. [rad/s]
    full_bare, empty_bare
        The same without load; when full on a hot day with warm magnets. [rad/s]
    torque
        That the tool takes in that state after a full charge. [N·m]
    held_fast
        What its shaft gets from the motor when held, with all that the limits let through, on a full pack. [N·m]
    """

    ratio: Lanes
    full: Lanes
    full_bare: Lanes
    empty: Lanes
    empty_bare: Lanes
    torque: Lanes
    held_fast: Lanes


@dataclass(frozen=True)
class Gearing:
    """How a chain is geared and how it might be.

    Attributes
    ----------
    stage
        What would be changed; None where the chain has none.
    state
        Its hardest: the slowest of the loaded ones at half charge.
    pace, wanted
        The pace it is to have there, and the speed of the tool for it. [rad/s]
    ratio
        With which it has it; held back to ``least``. [-]
    least
        Ratio below which the tool is too fast on a full pack; nan without a greatest pace. [-]
    now
        The chain as it is.
    pairs
        What can be bought for that ratio, nearest first.
    why
        Where something is missing, why.
    """

    chain: Chain
    stage: Transmission | None = None
    state: DutyState | None = None
    pace: Lanes = np.nan
    wanted: Lanes = np.nan
    ratio: Lanes = np.nan
    least: Lanes = np.nan
    now: Geared | None = None
    pairs: tuple[tuple[Pair, Geared], ...] = ()
    why: str = ""


def gearings(machine: Machine, days: Days) -> tuple[Gearing, ...]:
    """Return how every chain of the typical machine is geared and might be."""
    machine, days = first_lane((machine, days))
    at = ends(machine, days)
    return tuple(_gearing(machine, place, at) for place in range(len(machine.chains)))


def some_gearing(chain: Chain) -> Gearing:
    """Return a gearing of a chain with every number one may have, for whoever wants their names."""
    stage = stage_of(chain) or usual_stage()
    at = Geared(*(0.0 for _ in fields(Geared)))
    return Gearing(chain, now=at, pairs=tuple((pair, at) for pair in pairs_for(stage.kind, 1.0)))


def _gearing(machine: Machine, place: int, at: Ends) -> Gearing:
    chain = machine.chains[place]
    if not isinstance(parts(chain).motor, Motor):
        return Gearing(chain, why=NOT_A_MAGNET)
    pace = wanted_pace(chain, machine.limits)
    if pace is None:
        return Gearing(chain, why=NO_WINDOW)
    own = stage_of(chain)
    stage, state = own or usual_stage(), _hardest(machine, place, at)
    wanted = tool_of(chain.work).speed_at(chain.work, pace)
    found = Gearing(chain, own, state, pace, wanted)
    found = replace(
        found, now=_at_ratio(machine, place, state, own.ratio if own else leaves(1.0, "constant", "direct"), at)
    )
    ratio = fitting_ratio(machine, place, stage, state, at.half, at.warm, wanted)
    if not np.isfinite(ratio):
        return replace(found, why=NO_RATIO)
    least = least_ratio(machine, place, stage, at.hot_full, at.hot)
    if least > ratio:
        ratio = least
    found = replace(found, ratio=ratio, least=least)
    if own is None and abs(ratio - 1.0) <= FITS:
        return replace(found, why=DIRECT)
    pairs = pairs_for(stage.kind, float(ratio), 0.0 if np.isnan(least) else float(least))
    tried = [with_chain(machine, place, geared(chain, stage, pair.ratio)) for pair in pairs]
    return replace(
        found,
        pairs=tuple(
            (pair, _at_ratio(plan, place, state, pair.ratio, at)) for pair, plan in zip(pairs, tried, strict=True)
        ),
        why=NOT_IN_WHEELS if not pairs else TWO_STAGES if abs(pairs[0].ratio / ratio - 1.0) > FITS else "",
    )


def _hardest(machine: Machine, place: int, at: Ends) -> DutyState:
    """Return the loaded state in which a tool is slowest at half charge."""
    loaded = [state for state in machine.job.states if state.loads(machine.chains[place])]
    return min(loaded, key=lambda state: float(tool_speed(machine, place, state, at.half, at.warm)))


@solution("the ratio of the stage with which the hardest work at half charge goes at the wanted speed")
def fitting_ratio(
    machine: Machine,
    place: int,
    stage: Transmission,
    state: DutyState,
    terminals: Terminals,
    warmths: Sequence[Warmth],
    wanted: Lanes,
) -> Array:
    """Return the largest ratio with which a tool reaches a speed in a state; nan where none does.

    A larger one is too slow; a smaller one asks the motor for more torque, up to where it is slower again.
    """
    chain = machine.chains[place]

    def too_slow(fast: Array) -> npt.NDArray[np.bool_]:
        plan = with_chain(machine, place, geared(chain, stage, 1.0 / np.maximum(fast, SLOW)))
        return np.asarray(tool_speed(plan, place, state, terminals, warmths) < wanted)

    fast = greatest(too_slow, (), 1.0 / RATIOS[::-1])
    return np.asarray(np.where(np.isfinite(fast), 1.0 / np.maximum(fast, SLOW), np.nan))


@solution("the ratio of the stage below which the tool without load is too fast on a full pack")
def least_ratio(
    machine: Machine, place: int, stage: Transmission, terminals: Terminals, warmths: Sequence[Warmth]
) -> Array:
    """Return the smallest ratio with which a tool keeps its greatest pace; nan where it always does."""
    chain = machine.chains[place]
    tool, (_, most) = tool_of(chain.work), paces_wanted(machine.limits, chain.work)

    def slow_enough(fast: Array) -> npt.NDArray[np.bool_]:
        plan = with_chain(machine, place, geared(chain, stage, 1.0 / np.maximum(fast, SLOW)))
        return np.asarray(tool.pace_at(chain.work, tool_speed(plan, place, NO_LOAD, terminals, warmths)) <= most)

    fast = greatest(slow_enough, (), 1.0 / RATIOS[::-1])
    return np.asarray(np.where(np.isfinite(fast), 1.0 / np.maximum(fast, SLOW), np.nan))


def _at_ratio(machine: Machine, place: int, state: DutyState, ratio: Lanes, at: Ends) -> Geared:
    chain = machine.chains[place]

    def turning(duty: DutyState, terminals: Terminals, warmths: Sequence[Warmth]) -> Lanes:
        speed = tool_speed(machine, place, duty, terminals, warmths)
        return np.where(speed > 0.0, speed, np.nan)

    full = turning(state, at.full, at.warm)
    return Geared(
        ratio=ratio,
        full=full,
        full_bare=turning(NO_LOAD, at.hot_full, at.hot),
        empty=turning(state, at.empty, at.warm),
        empty_bare=turning(NO_LOAD, at.empty, at.warm),
        torque=torque_taken(chain.work, state, machine.job, at.warm[place].air, full),
        held_fast=_held_fast(machine, place, at.full, at.warm[place]),
    )


def _held_fast(machine: Machine, place: int, terminals: Terminals, warmth: Warmth) -> Lanes:
    """Return the torque at the shaft of a tool held fast, with all that the limits let through. [N·m]"""
    chain = machine.chains[place]
    row = parts(chain)
    work = work_terms(row, chain.work, NO_LOAD, machine.job, warmth.air)
    pull, drag = _pulled(chain, machine, terminals, warmth)
    return bogging.torque_at_tool(pull, drag, work.gain)


@solution("held fast: torque in the motor with all the current the limits let through, and what friction takes of it")
def _pulled(chain: Chain, machine: Machine, terminals: Terminals, warmth: Warmth) -> tuple[Lanes, Lanes]:
    row = parts(chain)
    case = train(row, work_terms(row, chain.work, NO_LOAD, machine.job, warmth.air), warmth)
    found = puller(case, terminals, ())(np.full(1, CRAWL))
    return float(found.pull[0]), float(found.load[0])
