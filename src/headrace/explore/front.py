"""The front: what works, passes a march, and is beaten by nothing in cost, mass and run time at once."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace import design
from headrace.explore.looking import Choice, Group, Looked, combined, judged, look
from headrace.machine.draws import draws

Array = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

SHOWN = 8  # of the front, named
MARCHES = 240  # combinations marched before the front is left as it is
TRIED = 64  # draws in which everything that works is tried, to find the surest
SUREST = 6  # of those marched before it is left unsaid which is the surest
TOGETHER = 4096  # lanes of draws looked at together
AXES = ("winding", "ratio", "series", "parallel")


@dataclass(frozen=True)
class Pick:
    """One combination of the front."""

    choice: Choice
    cost: float  # money
    mass: float  # kg
    time: float  # s
    marched: Looked | None = None  # as ``design`` would have it, with others beside it
    lane: int = 0  # its own among them
    often: float | None = None  # share of the draws in which it works, at a glance

    @property
    def passes(self) -> bool:
        """Whether it has been marched and breaks no limit."""
        return self.marched is not None and bool(self.marched.works[self.lane])


def settled_front(groups: Sequence[Group]) -> tuple[list[tuple[Group, Pick]], list[Pick]]:
    """Return the front of what also passes a march, and what on the way to it did not."""
    passed: dict[Choice, Pick] = {}
    dropped: dict[Choice, Pick] = {}
    while len(passed) + len(dropped) < MARCHES:
        due = [(group, pick) for group, pick in front_of(groups, dropped) if pick.choice not in passed]
        if not due:
            break
        for group in {id(group): group for group, _ in due}.values():
            for pick in marched(group, [pick for its, pick in due if its is group]):
                (passed if pick.passes else dropped)[pick.choice] = pick
    front = [(group, passed[pick.choice]) for group, pick in front_of(groups, dropped) if pick.choice in passed]
    return front, list(dropped.values())


def front_of(groups: Sequence[Group], without: Container[Choice] = ()) -> list[tuple[Group, Pick]]:
    """Return the combinations that work and that none beats in cost, mass and time at once, cheapest first.

    Parameters
    ----------
    groups
        Looked at.
    without
        Left out.
    """
    working = [(group, int(lane)) for group in groups for lane in np.flatnonzero(group.looked.works)]
    picks = [(group, pick) for group, lane in working if (pick := pick_of(group, lane)).choice not in without]
    kept = unbeaten(np.array([[pick.cost, pick.mass, -pick.time] for _, pick in picks]).reshape(-1, 3))
    return sorted((picks[k] for k in kept), key=lambda pair: (pair[1].cost, pair[1].mass, -pair[1].time))


def pick_of(group: Group, lane: int) -> Pick:
    """Return one of the combinations of a group as seen at a glance."""
    cost, mass, time = (float(getattr(group.looked, name)[lane]) for name in ("cost", "mass", "time"))
    return Pick(group.choice(lane), cost, mass, time)


def unbeaten(costs: Array) -> Places:
    """Return the rows than which no other is as low in every column and lower in one; of equal rows the first.

    Parameters
    ----------
    costs
        [row, column], less is better.
    """
    order = np.lexsort((*costs.T[::-1],))
    kept: list[int] = []
    best = np.empty((0, costs.shape[1]))
    for row in order:
        here = costs[row]
        if best.size and bool(np.any(np.all(best <= here, axis=1))):
            continue
        kept.append(int(row))
        best = np.vstack([best, here])
    return np.array(kept, dtype=np.intp)


def spread(front: list[tuple[Group, Pick]]) -> list[tuple[Group, Pick]]:
    """Return a few of the front: cheapest, lightest, longest, and others spread over the cost between them."""
    if len(front) <= SHOWN:
        return list(front)
    picks = [pick for _, pick in front]
    ends = {0, min(range(len(picks)), key=lambda k: picks[k].mass), max(range(len(picks)), key=lambda k: picks[k].time)}
    cost = np.array([pick.cost for pick in picks])
    for due in np.linspace(cost[0], cost[-1], SHOWN):
        if len(ends) == SHOWN:
            break
        ends.add(int(np.argmin(np.abs(cost - due))))
    return [front[k] for k in sorted(ends)]


def _lanes(picks: Sequence[Pick]) -> Array:
    return np.array([[getattr(pick.choice, name) for pick in picks] for name in AXES], dtype=float)


def marched(group: Group, picks: Sequence[Pick]) -> list[Pick]:
    """Return picks of one group as ``design`` would have them."""
    lanes = combined(group.plan, _lanes(picks))
    found = judged(lanes, design.gathered(lanes, design.four_days(lanes), ()), group.row)
    return [replace(pick, marched=found, lane=lane) for lane, pick in enumerate(picks)]


def lasting(group: Group, pick: Pick) -> Pick:
    """Return a marched pick with the time it really lasts."""
    lasts = design.until_empty(combined(group.plan, _lanes([pick])), keep_trace=False)
    return replace(pick, time=float(lasts.to_reserve[0]))


def tried_in(group: Group, pick: Pick, count: int, seed: int) -> Pick:
    """Return a pick with the share of the draws in which it works."""
    return replace(pick, often=float(_often(group, _lanes([pick]), count, seed)[0]))


def _often(group: Group, axes: Array, count: int, seed: int) -> Array:
    """Return the share of the draws in which each of some combinations of a group works, at a glance."""
    drawn = draws(group.plan, count, seed)
    each = max(TOGETHER // count, 1)
    found = [
        np.mean(look(drawn, axes[:, start : start + each, np.newaxis], group.row).works[:, 1:], axis=1)
        for start in range(0, axes.shape[1], each)
    ]
    return np.concatenate(found)


def surest(
    groups: Sequence[Group], front: list[tuple[Group, Pick]], dropped: Sequence[Pick], count: int, seed: int
) -> list[tuple[Group, Pick]]:
    """Return the combination that works in most draws, marched; none where the front holds it, or none passes."""
    tried = []
    for group in groups:
        works = np.flatnonzero(group.looked.works)
        if works.size > 0:
            often = _often(group, group.axes[:, works], min(count, TRIED), seed)
            tried += [(-share, group.looked.cost[lane], group, lane) for share, lane in zip(often, works, strict=True)]
    out, on_it = {pick.choice for pick in dropped}, {pick.choice for _, pick in front}
    marches = 0
    for _, _, group, lane in sorted(tried, key=lambda one: one[:2]):
        pick = pick_of(group, int(lane))
        if pick.choice in on_it or marches == SUREST:
            return []
        if pick.choice not in out:
            (pick,) = marched(group, [pick])
            marches += 1
            if pick.passes:
                return [(group, pick)]
    return []
