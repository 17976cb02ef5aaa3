"""Choosing from the shelf: what none beats among all combinations, the surest of them, and what nearly made it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.explore.front import Pick, lasting, settled_front, spread, surest, tried_in
from headrace.explore.looking import Choice, Group, Offer, looked_through, whole_shelf
from headrace.explore.packs import excess
from headrace.findings import Finding
from headrace.machine.reading import Reading
from headrace.machine.records import Machine
from headrace.runs.march import Progress
from headrace.tables import Row

Mask = npt.NDArray[np.bool_]
NEARLY = 0.3  # of a limit, by which what nearly made it may miss


@dataclass(frozen=True)
class Loser:
    """A combination that would beat the front if it worked, and what it breaks."""

    choice: Choice
    better: str  # cost, mass or time
    reasons: tuple[Finding, ...]


@dataclass(frozen=True)
class Chosen:
    """What the shelf offers."""

    machine: Machine
    offer: Offer
    motors: Mapping[str, Row]  # of the shelf, by name
    looked_at: int  # combinations that were not out of the question by volts, mass, size or money alone
    works: int
    front: tuple[Pick, ...]  # marched
    shown: tuple[Pick, ...]
    dropped: tuple[Pick, ...]  # what a march did not let pass
    losers: tuple[Loser, ...]


def choose(
    reading: Reading, offer: Offer | None = None, count: int = 0, seed: int = 1, progress: Progress | None = None
) -> Chosen:
    """Look at every combination of a shelf and return the front.

    Parameters
    ----------
    reading
        The file.
    offer
        What may be combined; left out, the whole shelf.
    count, seed
        Draws in which each shown choice is tried; none where 0.
    progress
        Told the share of the work done.
    """
    offer = offer or whole_shelf(reading)
    groups = list(looked_through(reading, offer, progress))
    front, dropped = settled_front(groups)
    shown = spread(front)
    if count > 0:
        shown += surest(groups, front, dropped, count, seed)
    picks = [lasting(group, pick) for group, pick in shown]
    if count > 0:
        picks = [tried_in(group, pick, count, seed) for (group, _), pick in zip(shown, picks, strict=True)]
    return Chosen(
        machine=reading.machine,
        offer=offer,
        motors={group.motor: group.row for group in groups},
        looked_at=sum(group.axes.shape[1] for group in groups),
        works=sum(int(group.looked.works.sum()) for group in groups),
        front=tuple(pick for _, pick in front),
        shown=tuple(picks),
        dropped=tuple(dropped),
        losers=tuple(_losers(groups, front)),
    )


def _losers(groups: Sequence[Group], front: list[tuple[Group, Pick]]) -> Iterator[Loser]:
    """Yield, for each thing the front is judged by, the combination that would beat all of it and misses by least.

    It breaks one limit only. Where nothing works there is one loser: what breaks the fewest limits, by least.
    """
    if not front:
        near = [_near(group, np.ones(group.looked.works.shape, dtype=bool)) for group in groups]
        yield from _nearest(groups, near, "")
        return
    for better, sign in (("cost", 1.0), ("mass", 1.0), ("time", -1.0)):
        best = min(sign * getattr(pick, better) for _, pick in front)
        ahead = [sign * getattr(group.looked, better) < best for group in groups]
        one_only = [np.sum([j.failing for j in group.looked.judged], axis=0) == 1 for group in groups]
        near = [_near(group, a & b) for group, a, b in zip(groups, ahead, one_only, strict=True)]
        yield from _nearest(groups, [miss if miss and miss[1] <= NEARLY else None for miss in near], better)


Miss = tuple[int, float, int]  # limits broken, the greatest excess over one of them as a share of it, lane


def _near(group: Group, among: Mask) -> Miss | None:
    """Return how the combination that misses by least misses, of some of a group."""
    lanes = np.flatnonzero(among)
    if lanes.size == 0:
        return None
    failing = np.array([j.failing[lanes] for j in group.looked.judged])
    over = np.array([excess(j, among.shape)[lanes] for j in group.looked.judged])
    broken, worst = failing.sum(axis=0), np.where(failing, over, 0.0).max(axis=0)
    first = int(np.lexsort((worst, broken))[0])
    return int(broken[first]), float(worst[first]), int(lanes[first])


def _nearest(groups: Sequence[Group], near: Sequence[Miss | None], better: str) -> Iterator[Loser]:
    """Yield the loser that misses by least of those of all groups, where there is one."""
    there = [(miss, group) for miss, group in zip(near, groups, strict=True) if miss is not None]
    if there:
        (_, _, lane), group = min(there, key=lambda pair: pair[0][:2])
        reasons = tuple(j.at((lane,)) for j in group.looked.judged if j.failing[lane])
        yield Loser(group.choice(lane), better, reasons)
