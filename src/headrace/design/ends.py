"""The ends of a charge that a chain's ratio, winding and reserve are looked at on: those of the findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headrace.design.corners import points_at, warm_magnets
from headrace.drive.terminals import Terminals
from headrace.drive.train import Warmth
from headrace.findings.evidence import Days
from headrace.machine.records import Chain, DutyState, Lanes, Machine
from headrace.pack import source as pack


@dataclass(frozen=True)
class Ends:
    """Sources and temperatures, warm from work.

    Attributes
    ----------
    full, half
        New cells in the job's weather.
    empty
        At the reserve, cells at end of life, in the job's weather.
    hot_full
        After a full charge in the hottest weather.
    warm, hot
        Temperatures of each chain: in the job's weather, and its magnets after work on the hottest day. [K]
    """

    full: Terminals
    half: Terminals
    empty: Terminals
    hot_full: Terminals
    warm: tuple[Warmth, ...]
    hot: tuple[Warmth, ...]


def ends(machine: Machine, days: Days) -> Ends:
    """Return the ends of a machine's charge."""
    limits, air, hot = machine.limits, machine.job.ambient, machine.limits.ambient_hot
    worn = pack.worn(machine.source, limits)
    return Ends(
        full=pack.at(machine.source, pack.fresh(air)),
        half=pack.at_length(machine.source, pack.fresh(air, pack.HALF_FULL)),
        empty=pack.at_length(worn, pack.fresh(air, limits.reserve)),
        hot_full=pack.at(machine.source, pack.fresh(hot)),
        warm=tuple(Warmth(days.aged.highest_winding, days.aged.highest_case, air) for _ in machine.chains),
        hot=tuple(Warmth(hot, warm_magnets(machine, chain, days), hot) for chain in machine.chains),
    )


def with_chain(machine: Machine, place: int, chain: Chain) -> Machine:
    """Return a machine with another chain in one of its places."""
    return replace(machine, chains=(*machine.chains[:place], chain, *machine.chains[place + 1 :]))


def tool_speed(
    machine: Machine, place: int, state: DutyState, terminals: Terminals, warmths: Sequence[Warmth]
) -> Lanes:
    """Return the speed of a chain's tool; 0 where its load, or what cuts out, stops it. [rad/s]"""
    point = points_at(machine, state, terminals, warmths)[place]
    return np.where(point.works, point.tool_speed, 0.0)
