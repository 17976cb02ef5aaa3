"""What is known of a tool under its load: what is left before it bogs down, and what it may be fed; in lanes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from headrace.drive.point import Codes
from headrace.drive.tools import tool_of
from headrace.drive.tools.tool import Feed
from headrace.machine.records import Chain, DutyState, Job, Lanes


@dataclass(frozen=True)
class PullOut:
    """The most a tool can be asked for beside its load.

    Attributes
    ----------
    torque
        At the tool's shaft, steadily. [N·m]
    outcome
        ``Outcome`` codes of what a little more comes to. [-]
    """

    torque: Lanes
    outcome: Codes


@dataclass(frozen=True)
class Hold:
    """A tool at work on one state of its pack; nan where its load stops it, or drives it.

    Attributes
    ----------
    speed
        Of the tool. [rad/s]
    load
        Torque it takes. [N·m]
    pull_out
        What it can be asked for beside that.
    share
        The same as a share of the load. [-]
    per_torque
        Speed lost for each newton metre more. [rad/(s·N·m)]
    drop
        Share of the speed lost under a tenth more load. [-]
    """

    speed: Lanes
    load: Lanes
    pull_out: PullOut
    share: Lanes
    per_torque: Lanes
    drop: Lanes


class Unfed(IntEnum):
    """Why there is no greatest feed to be advised; each with its words."""

    FED = 0
    NOT_FED = 1
    IN_WATTS = 2
    NO_LEAST = 3
    TOO_SLOW = 4


WHY_UNFED = {
    Unfed.NOT_FED: "nobody feeds its work to it",
    Unfed.IN_WATTS: "its load is told in watts, whatever the feed",
    Unfed.NO_LEAST: "[limits] gives no least pace to keep",
    Unfed.TOO_SLOW: "no feed keeps it fast enough when nearly empty",
}


@dataclass(frozen=True)
class Fed:
    """The greatest feed with which a tool keeps its least pace on a nearly empty pack.

    Attributes
    ----------
    feed
        What is fed; None of a tool that nobody feeds.
    now
        As the file has it, m/s or kg/s.
    greatest
        To be advised; nan where there is none.
    why
        ``Unfed`` of the first lane.
    motor_current, battery_current
        Taken there: a controller's limits below these are met first. [A]
    """

    feed: Feed | None
    now: Lanes
    greatest: Lanes
    why: Unfed
    motor_current: Lanes
    battery_current: Lanes


@dataclass(frozen=True)
class Bog:
    """One chain in one loaded duty state."""

    state: DutyState
    full: Hold  # new cells after a full charge
    empty: Hold  # at the reserve, cells at end of life
    fed: Fed


def feed_of(chain: Chain, state: DutyState, job: Job, least: Lanes) -> tuple[Feed | None, Unfed]:
    """Return what a tool is fed in a state, or why it makes no difference."""
    feed = tool_of(chain.work).fed
    if feed is None:
        return None, Unfed.NOT_FED
    if np.any(np.asarray(state.power) > 0.0) or not np.all(np.asarray(feed.of(state, job)) > 0.0):
        return feed, Unfed.IN_WATTS
    return feed, Unfed.FED if np.all(np.asarray(least) > 0.0) else Unfed.NO_LEAST
