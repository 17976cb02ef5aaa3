"""Choosing from the shelf: motor, winding, ratio, cells and their counts, under the limits of the file.

Motors and kinds of cell are gone through one by one; everything that is a number is a lane. Each combination is looked
at a glance (``runs.glance``) and held against the same findings as a plan; whichever work and are beaten by none in
cost, mass and run time at once are the front. A few of the front are then marched, as ``design`` would.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace import design
from headrace.design.days import four_days_at_a_glance
from headrace.drive.links import parts
from headrace.explore.packs import excess
from headrace.findings import Evidence, Finding, Judged, judge
from headrace.machine.draws import draws
from headrace.machine.links import Transmission
from headrace.machine.reading import Reading
from headrace.machine.records import Lanes, Machine
from headrace.machine.substitute import with_shelf_parts
from headrace.machine.values import value_at, with_numbers
from headrace.pack import arrangement
from headrace.physics import motors
from headrace.runs.march import Progress
from headrace.tables import Row

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]

WINDINGS = (0.6, 0.75, 0.9, 1.1, 1.35, 1.7)  # turns, over those of the shelf's motor
RATIOS = (0.6, 0.8, 1.0, 1.25, 1.6)  # over the ratio of the file
SERIES, PARALLEL = tuple(range(1, 21)), tuple(range(1, 13))
SHOWN = 8  # of the front, marched and named
NEARLY = 1e-6  # over a limit, so that only what certainly breaks it is left out before it is looked at
AXES = ("winding", "ratio", "series", "parallel")


@dataclass(frozen=True)
class Offer:
    """What may be combined."""

    motors: tuple[str, ...]
    cells: tuple[str, ...]
    windings: tuple[float, ...]
    ratios: tuple[float, ...]
    series: tuple[int, ...]
    parallel: tuple[int, ...]

    @property
    def count(self) -> int:
        """Number of combinations."""
        return int(np.prod([len(getattr(self, name)) for name in self.__dataclass_fields__]))


def whole_shelf(reading: Reading) -> Offer:
    """Return everything there is; the ratio only where the first chain has a belt, chain or gear to change."""
    return Offer(
        motors=tuple(reading.shelf.names("motors")),
        cells=tuple(reading.shelf.names("cells")),
        windings=WINDINGS,
        ratios=RATIOS if _stage(reading.machine) is not None else (1.0,),
        series=SERIES,
        parallel=PARALLEL,
    )


@dataclass(frozen=True)
class Choice:
    """One combination of the shelf."""

    motor: str
    cell: str
    winding: float  # turns, over those of the shelf's motor
    ratio: float  # over the ratio of the file
    series: int
    parallel: int


@dataclass(frozen=True)
class Looked:
    """What a look at combinations says; arrays over lanes."""

    judged: tuple[Judged, ...]
    works: Mask
    cost: Array  # money, motor and pack
    mass: Array  # kg, motor and pack
    time: Array  # s, down to the reserve with new cells


@dataclass(frozen=True)
class Group:
    """All combinations of one motor with one kind of cell that were looked at."""

    motor: str
    cell: str
    row: Row  # of the motor
    plan: Machine
    axes: Array  # [4, lane]: winding, ratio, series, parallel
    looked: Looked

    def choice(self, lane: int) -> Choice:
        """Return one of its combinations."""
        winding, ratio, series, parallel = (float(value) for value in self.axes[:, lane])
        return Choice(self.motor, self.cell, winding, ratio, round(series), round(parallel))


@dataclass(frozen=True)
class Pick:
    """One combination of the front."""

    choice: Choice
    cost: float  # money
    mass: float  # kg
    time: float  # s
    marched: Looked | None = None  # as ``design`` would have it
    often: float | None = None  # share of the draws in which it works, at a glance


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
    looked_at: int  # combinations that were not out of the question by volts, mass, size or money alone
    works: int
    front: tuple[Pick, ...]
    shown: tuple[Pick, ...]
    dropped: tuple[Pick, ...]  # of those to be shown, what a march does not let pass
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
    front = front_of(groups)
    marched = [_marched(group, pick) for group, pick in _spread(front)]
    shown = [pick for pick in marched if pick.marched is not None and bool(pick.marched.works.all())]
    by_parts = {(group.motor, group.cell): group for group in groups}
    if count > 0:
        shown = [_drawn(by_parts[pick.choice.motor, pick.choice.cell], pick, count, seed) for pick in shown]
    return Chosen(
        machine=reading.machine,
        offer=offer,
        looked_at=sum(group.axes.shape[1] for group in groups),
        works=sum(int(group.looked.works.sum()) for group in groups),
        front=tuple(pick for _, pick in front),
        shown=tuple(shown),
        dropped=tuple(pick for pick in marched if pick.marched is None or not pick.marched.works.all()),
        losers=tuple(_losers(groups, front)),
    )


def looked_through(reading: Reading, offer: Offer, progress: Progress | None = None) -> Iterator[Group]:
    """Yield every motor with every kind of cell, all of their combinations looked at."""
    pairs = [(motor, cell) for motor in offer.motors for cell in offer.cells]
    grid = np.meshgrid(*(np.array(getattr(offer, name), dtype=float) for name in _fields(offer)), indexing="ij")
    axes = np.stack([axis.ravel() for axis in grid])
    for place, (motor, cell) in enumerate(pairs):
        plan = with_shelf_parts(reading, motor, cell)
        likely, row = axes[:, thinkable(plan, axes)], reading.shelf.part("motors", motor).typical
        if likely.shape[1] > 0:
            yield Group(motor, cell, row, plan, likely, look(plan, likely, row))
        if progress is not None:
            progress((place + 1) / len(pairs))


def _fields(offer: Offer) -> tuple[str, ...]:
    return tuple(name for name in offer.__dataclass_fields__ if name not in ("motors", "cells"))


def thinkable(plan: Machine, axes: Array) -> Mask:
    """Return which combinations are not out of the question by volts, mass, size or money alone."""
    source = replace(plan.source, series=axes[2], parallel=axes[3])
    limits, cells = plan.limits, arrangement.count(source)
    over = 1.0 + NEARLY
    fits = arrangement.mass(source) <= limits.max_mass * over
    fits &= arrangement.cost(source) <= limits.budget * over
    fits &= cells <= arrangement.room_in_box(source, limits.box) * over
    ratings = [getattr(link, "max_voltage", np.inf) for chain in plan.chains for link in chain.links]
    return np.asarray(fits & (source.series * source.cell.full_voltage <= min(ratings) * over))


def look(plan: Machine, axes: Array, motor: Row) -> Looked:
    """Look at combinations of one plan at a glance.

    Parameters
    ----------
    plan
        The file with motor and cells of the shelf; one lane, or draws as a last axis.
    axes
        Winding, ratio, series and parallel, [4, lane...].
    motor
        Its row of the shelf, for price and mass.
    """
    lanes = combined(plan, axes)
    return _judged(lanes, design.gathered(lanes, four_days_at_a_glance(lanes), ()), motor)


def _judged(lanes: Machine, evidence: Evidence, motor: Row) -> Looked:
    judged = judge(evidence, packs_only=True)
    shape = evidence.shape
    source = lanes.source
    return Looked(
        judged=judged,
        works=np.broadcast_to(~np.any([j.failing for j in judged], axis=0), shape),
        cost=_wide(arrangement.cost(source) + float(motor["price"]), shape),
        mass=_wide(arrangement.mass(source) + float(motor["mass"]), shape),
        time=_wide(evidence.days.new.to_reserve, shape),
    )


def _wide(value: Lanes, shape: tuple[int, ...]) -> Array:
    return np.array(np.broadcast_to(value, shape), dtype=float)


def combined(plan: Machine, axes: Array) -> Machine:
    """Return a plan in lanes: rewound, geared and with its cells counted as asked.

    A motor rewound with a times the turns has a times the constant, a² times the resistance, and the same friction: its
    current without load goes the other way.
    """
    winding, ratio, series, parallel = axes
    chain = plan.chains[0]
    at = f"chains.{chain.name}.{parts(chain).motor.name}"
    values: dict[str, Lanes] = {
        f"{at}.constant": winding * value_at(plan, f"{at}.constant"),
        f"{at}.resistance": motors.rewound_resistance(value_at(plan, f"{at}.resistance"), winding),
        f"{at}.drag": value_at(plan, f"{at}.drag") * np.ones_like(winding),
        "source.series": series,
        "source.parallel": parallel,
    }
    stage = _stage(plan)
    if stage is not None:
        address = f"chains.{chain.name}.{stage.name}.ratio"
        values[address] = ratio * value_at(plan, address)
    return with_numbers(plan, values)


def _stage(machine: Machine) -> Transmission | None:
    """Return the stage next to the first chain's motor, None where it has none."""
    stages = [link for link in machine.chains[0].links if isinstance(link, Transmission)]
    return stages[-1] if stages else None


# --- the front ---------------------------------------------------------------------------------------


def front_of(groups: Sequence[Group]) -> list[tuple[Group, Pick]]:
    """Return the combinations that work and that none beats in cost, mass and time at once, cheapest first."""
    working = [(group, int(lane)) for group in groups for lane in np.flatnonzero(group.looked.works)]
    picks = [(group, _pick(group, lane)) for group, lane in working]
    kept = unbeaten(np.array([[pick.cost, pick.mass, -pick.time] for _, pick in picks]).reshape(-1, 3))
    return sorted((picks[k] for k in kept), key=lambda pair: (pair[1].cost, pair[1].mass, -pair[1].time))


def _pick(group: Group, lane: int) -> Pick:
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


def _spread(front: list[tuple[Group, Pick]]) -> list[tuple[Group, Pick]]:
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


def _lanes(pick: Pick) -> Array:
    choice = pick.choice
    return np.array([[getattr(choice, name)] for name in AXES], dtype=float)


def _marched(group: Group, pick: Pick) -> Pick:
    """Return a pick as ``design`` would have it."""
    lanes = combined(group.plan, _lanes(pick))
    found = _judged(lanes, design.gathered(lanes, design.four_days(lanes), ()), group.row)
    lasts = design.until_empty(lanes, keep_trace=False)
    return replace(pick, marched=replace(found, time=np.asarray(lasts.to_reserve)))


def _drawn(group: Group, pick: Pick, count: int, seed: int) -> Pick:
    """Return a pick with the share of the draws in which it works."""
    drawn = draws(group.plan, count, seed)
    works = look(drawn, _lanes(pick), group.row).works
    return replace(pick, often=float(np.mean(works.reshape(-1)[1:])))


# --- what nearly made it -----------------------------------------------------------------------------


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
        yield from _nearest(groups, near, better)


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
