"""The map of packs: every count in series and parallel, whether it works, and why not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace import design
from headrace.findings import TOO_FAST, Evidence, Finding, Judged, judge
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import with_numbers
from headrace.runs.march import Progress

SERIES = tuple(range(1, 25))
PARALLEL = tuple(range(1, 21))
USUAL_AIR = 293.15  # K


@dataclass(frozen=True)
class Step:
    """One step down from the smallest pack that works."""

    series: int
    parallel: int
    breaks_first: Finding | None


@dataclass(frozen=True)
class PackMap:
    """Verdicts over all candidates; lanes are [series, parallel, draw], the first of the draws typical."""

    machine: Machine
    series: tuple[int, ...]
    parallel: tuple[int, ...]
    evidence: Evidence
    judged: tuple[Judged, ...]  # only what rejects a pack
    every_works: npt.NDArray[np.bool_]

    @property
    def works(self) -> npt.NDArray[np.bool_]:
        """Which candidates work, [series, parallel], for the typical machine."""
        return self.every_works[..., 0]

    @property
    def often(self) -> npt.NDArray[np.float64]:
        """How often each works among the draws, [series, parallel]; 0 or 1 without draws."""
        drawn = self.every_works[..., 1:] if self.every_works.shape[-1] > 1 else self.every_works
        return np.asarray(drawn.mean(axis=-1))

    def place(self, series: int, parallel: int) -> tuple[int, int, int]:
        """Return the lane of one candidate of the typical machine."""
        return self.series.index(series), self.parallel.index(parallel), 0

    def reasons(self, series: int, parallel: int) -> tuple[Finding, ...]:
        """Return why a candidate does not work, in the order of the list of findings."""
        lane = self.place(series, parallel)
        return tuple(j.at(lane) for j in self.judged if j.failing[lane])


def pack_map(
    machine: Machine,
    series: tuple[int, ...] | None = None,
    parallel: tuple[int, ...] | None = None,
    progress: Progress | None = None,
) -> PackMap:
    """Judge every pack of a machine's cells, all at once.

    Parameters
    ----------
    machine
        The machine, one lane or draws; its own counts are set aside.
    series, parallel
        Counts to look at; left out, 24 by 20, or as far as the plan goes.
    progress
        Told the share of the work done.
    """
    usual = tried(machine)
    series, parallel = series or usual[0], parallel or usual[1]
    rows, columns = np.meshgrid(np.array(series, dtype=float), np.array(parallel, dtype=float), indexing="ij")
    rows, columns = rows[..., np.newaxis], columns[..., np.newaxis]  # the last axis is for the draws
    lanes = with_numbers(machine, {"source.series": rows, "source.parallel": columns})
    found = design.evidence(lanes, progress)
    judged = judge(found, packs_only=True)
    works = ~np.any([j.failing for j in judged], axis=0)
    return PackMap(machine, series, parallel, found, judged, works)


def tried(machine: Machine) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the counts in series and in parallel that a map looks at."""
    return _up_to(machine.source.series, SERIES), _up_to(machine.source.parallel, PARALLEL)


def _up_to(planned: Lanes, usual: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(range(1, max(usual[-1], int(np.max(planned))) + 1))


def smallest(packs: PackMap) -> tuple[int, int] | None:
    """Return series and parallel of the working pack with the fewest cells; of equals, the one with more margin.

    More margin means more volts above the speed wanted, so more in series. None when nothing works.
    """
    found = [(packs.series[i], packs.parallel[k]) for i, k in zip(*np.nonzero(packs.works), strict=True)]
    return min(found, key=lambda pack: (pack[0] * pack[1], -pack[0])) if found else None


def nearest(packs: PackMap) -> tuple[int, int]:
    """Return series and parallel of the pack that misses by least: fewest limits broken, then the smallest excess.

    The excess is that of the limit broken by most, as a share of the limit.
    """
    shape = packs.every_works.shape
    failing = np.array([j.failing[..., 0] for j in packs.judged])
    over = np.array([excess(j, shape)[..., 0] for j in packs.judged])
    broken, worst = failing.sum(axis=0), np.where(failing, over, 0.0).max(axis=0)
    series, parallel = np.unravel_index(np.lexsort((worst.ravel(), broken.ravel()))[0], broken.shape)
    return packs.series[int(series)], packs.parallel[int(parallel)]


def excess(judged: Judged, shape: tuple[int, ...]) -> npt.NDArray[np.float64]:
    """Return how far a verdict's value lies from its limit, as a share of the limit; heat is counted from the air."""
    value, limit = (np.broadcast_to(number, shape) for number in (judged.verdict.value, judged.verdict.limit))
    if judged.verdict.unit == "K":
        value, limit = value - USUAL_AIR, limit - USUAL_AIR  # heat is counted from the air
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.abs(value - limit) / np.abs(limit)
    return np.asarray(np.where(np.isfinite(share), share, np.inf))


def squeezed(packs: PackMap) -> tuple[int, int] | None:
    """Return the last count in series that is too slow at any count in parallel, and the first that is too fast.

    None where some count is neither. No count of cells helps then: what spreads the speed between a full and an empty
    pack has to change.
    """
    fast = _everywhere(packs, *TOO_FAST)
    slow = _everywhere(packs, "too-slow-when-empty")
    if not fast.any() or not slow.any() or not np.all(fast | slow):
        return None
    return packs.series[int(np.flatnonzero(slow)[-1])], packs.series[int(np.flatnonzero(fast)[0])]


def _everywhere(packs: PackMap, *slugs: str) -> npt.NDArray[np.bool_]:
    """Return for which counts in series one of some findings is raised whatever stands in parallel."""
    failing = np.any([j.failing[..., 0] for j in packs.judged if j.rule.slug in slugs], axis=0)
    return np.asarray(failing.all(axis=1))


def steps_down(packs: PackMap, pack: tuple[int, int]) -> tuple[Step, ...]:
    """Return what one cell less in series, and one less in parallel, breaks first."""
    series, parallel = pack
    fewer = ((series - 1, parallel), (series, parallel - 1))
    tried = [counts for counts in fewer if counts[0] in packs.series and counts[1] in packs.parallel]
    return tuple(Step(*counts, first_to_break(packs, pack, counts)) for counts in tried)


def first_to_break(packs: PackMap, working: tuple[int, int], failing: tuple[int, int]) -> Finding | None:
    """Return the reason whose limit is met first on the way from a pack that works to one that does not.

    Values are taken to change evenly between the two; the limit crossed after the smallest part of the way is first.
    """
    here, there = packs.place(*working), packs.place(*failing)
    broken = [j for j in packs.judged if j.failing[there]]
    if not broken:
        return None

    def part_of_the_way(judged: Judged) -> float:
        shape = packs.every_works.shape
        value = np.broadcast_to(judged.verdict.value, shape)
        limit = float(np.broadcast_to(judged.verdict.limit, shape)[there])
        start, end = float(value[here]), float(value[there])
        return (limit - start) / (end - start) if end != start else 0.0

    return min(broken, key=part_of_the_way).at(there)
