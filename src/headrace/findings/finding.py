"""What a finding is, and the list of all of them.

A finding is one function of the evidence. It returns a ``Verdict`` for all lanes at once: a value, the limit it is held
against, and words for one lane. ``check`` words it for lane 0; the map of packs reads the same arrays as reasons. Its
docstring is its page: what is wrong, what to do, what is compared, how it comes about, a patch to a starter file (the
mower's, or the one it names) that raises it and one that silences it, where it does not hold, whom the limit is from. A
test runs both patches.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from headrace.findings.evidence import Evidence
from headrace.machine.records import Lanes

EDGE = 1e-9  # of a limit: what lies on it to within rounding is neither above nor below
MOST_DIGITS = 4  # behind the point, of a value that all but meets its limit
LEVELS = ("stop", "caution", "note")

Words = Callable[[float, float], str]


@dataclass(frozen=True)
class Verdict:
    """What one finding function has to say, in lanes.

    Attributes
    ----------
    value, limit
        What is, and what may be, in ``unit``.
    failing
        Lanes in which it is to be raised.
    unit
        SI unit of both.
    says
        Sentence for one lane, from its value and limit.
    action
        What to do about it, for one lane.
    of, which
        Where it is the gravest of several: those, and which of them it is in each lane.
    strain
        Of one of several: how far it has come towards its limit. [-]
    parts
        What of the plan it is raised against: names as in the netlist, of runs as in the cut list, of what is in
        neither as on the shopping list; none where it is not one thing's fault.
    """

    value: Lanes
    limit: Lanes
    failing: Lanes | npt.NDArray[np.bool_]
    unit: str
    says: Words
    action: Words
    of: tuple[Verdict, ...] = ()
    which: npt.NDArray[np.intp] | None = None
    strain: Lanes = 0.0
    parts: tuple[str, ...] = ()

    @property
    def held(self) -> bool:
        """Whether there was a limit to hold anything against."""
        return bool(np.any(np.isfinite(self.limit)))

    def at(self, lane: tuple[int, ...], shape: tuple[int, ...]) -> Verdict:
        """Return the verdict whose words are those of one lane."""
        return self if self.which is None else self.of[int(np.broadcast_to(self.which, shape)[lane])].at(lane, shape)

    def against(self, lane: tuple[int, ...], shape: tuple[int, ...]) -> dict[str, Verdict]:
        """Return what fails in one lane by the part it is raised against: of several against one part the gravest."""
        raised = [one for one in self._each() if np.broadcast_to(np.asarray(one.failing), shape)[lane]]
        strains = [float(np.nan_to_num(np.broadcast_to(one.strain, shape)[lane], nan=-np.inf)) for one in raised]
        found: dict[str, Verdict] = {}
        for place in sorted(range(len(raised)), key=strains.__getitem__, reverse=True):
            for part in raised[place].parts:
                found.setdefault(part, raised[place])
        return found

    def _each(self) -> Iterator[Verdict]:
        """Yield those that it is the gravest of, or itself where it is one."""
        for one in self.of:
            yield from one._each()
        if not self.of:
            yield self


NOT_HELD = Verdict(0.0, np.inf, False, "-", lambda v, m: "", lambda v, m: "")  # against nothing: there is no limit


def gravest(verdicts: Sequence[Verdict], strains: Sequence[Lanes]) -> Verdict:
    """Return in each lane the verdict under the greatest strain; one against nothing when there is none.

    Parameters
    ----------
    verdicts
        Of the same rule, each on another part of the machine.
    strains
        How far each has come towards its limit. [-]
    """
    if len(verdicts) < 2:
        return verdicts[0] if verdicts else NOT_HELD
    shape = np.broadcast_shapes(
        *(np.shape(row) for v, s in zip(verdicts, strains, strict=True) for row in (v.value, v.limit, v.failing, s))
    )
    rows = np.stack([np.broadcast_to(np.nan_to_num(strain, nan=-np.inf), shape) for strain in strains])
    several = tuple(replace(verdict, strain=strain) for verdict, strain in zip(verdicts, strains, strict=True))
    which = np.asarray(np.argmax(rows, axis=0))
    if shape == ():
        return replace(verdicts[int(which)], of=several)  # its numbers as they are: a traced one is kept

    def worst(numbers: Sequence[Lanes | npt.NDArray[np.bool_]]) -> npt.NDArray[Any]:
        stacked = np.stack([np.broadcast_to(number, shape) for number in numbers])
        return np.asarray(np.take_along_axis(stacked, which[np.newaxis], axis=0)[0])

    return replace(
        verdicts[int(which.flat[0])],
        value=worst([v.value for v in verdicts]),
        limit=worst([v.limit for v in verdicts]),
        failing=worst([v.failing for v in verdicts]),
        of=several,
        which=which,
    )


@dataclass(frozen=True)
class Rule:
    """A finding function with its name and weight."""

    slug: str
    level: str
    rejects_pack: bool
    source: str
    judge: Callable[[Evidence], Verdict]

    @property
    def page(self) -> str:
        """The docstring: what is wrong, what to do about it, and what stands behind that."""
        return self.judge.__doc__ or ""


@dataclass(frozen=True)
class Judged:
    """One rule's verdict over all lanes, ready to be read lane by lane."""

    rule: Rule
    verdict: Verdict
    failing: npt.NDArray[np.bool_]  # broadcast over the lanes

    def at(self, lane: tuple[int, ...]) -> Finding:
        """Return the finding as worded for one lane."""
        shape = self.failing.shape
        value, limit = (self._of(number, lane) for number in (self.verdict.value, self.verdict.limit))
        told = self.verdict.at(lane, shape)
        return Finding(
            slug=self.rule.slug,
            level=self.rule.level,
            value=value,
            limit=limit,
            unit=told.unit,
            says=told.says(value, limit),
            action=told.action(value, limit),
            source=self.rule.source,
            rejects_pack=self.rule.rejects_pack,
            parts=tuple(self._against(part, one, lane) for part, one in self.verdict.against(lane, shape).items()),
        )

    def _against(self, part: str, verdict: Verdict, lane: tuple[int, ...]) -> Against:
        value, limit = (self._of(number, lane) for number in (verdict.value, verdict.limit))
        return Against(part, verdict.says(value, limit), verdict.action(value, limit))

    def _of(self, number: Lanes, lane: tuple[int, ...]) -> float:
        if isinstance(number, float):
            return number  # the same in every lane; a traced one keeps its working
        return float(np.broadcast_to(number, self.failing.shape)[lane])


@dataclass(frozen=True)
class Against:
    """What a finding raised in one lane says of one part of the plan, and what to do about that part."""

    part: str
    says: str
    action: str


@dataclass(frozen=True)
class Finding:
    """A finding raised in one lane."""

    slug: str
    level: str
    value: float
    limit: float
    unit: str
    says: str
    action: str
    source: str
    rejects_pack: bool
    parts: tuple[Against, ...] = ()


def above(value: Lanes, limit: Lanes) -> npt.NDArray[np.bool_]:
    """Return where a value lies above a limit by more than rounding; never where either does not exist."""
    return np.asarray(np.asarray(value) > np.asarray(limit) * (1.0 + EDGE))


def below(value: Lanes, limit: Lanes) -> npt.NDArray[np.bool_]:
    """Return where a value lies below a limit by more than rounding; never where either does not exist."""
    return np.asarray(np.asarray(value) < np.asarray(limit) * (1.0 - EDGE))


def share_of(value: Lanes, limit: Lanes) -> Lanes:
    """Return a value as a share of its limit; infinite of none. [-]"""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.divide(value, limit)


def apart(value: float, limit: float, fewest: int = 1) -> tuple[str, str]:
    """Return a value and its limit, each with as many digits as tell one from the other."""
    digits = next((d for d in range(fewest, MOST_DIGITS) if f"{value:.{d}f}" != f"{limit:.{d}f}"), MOST_DIGITS)
    return f"{value:.{digits}f}", f"{limit:.{digits}f}"


def by_source(evidence: Evidence, pack: str, supplied: str) -> str:
    """Return words that speak of a pack, or those of a source that never empties."""
    return supplied if evidence.machine.source.endless else pack


def one_of(evidence: Evidence) -> str:
    """Return what a pack is made of: cells, or batteries that are bought whole."""
    return "battery" if evidence.machine.source.kind == "batteries" else "cell"


def at_its_worst(evidence: Evidence) -> str:
    """Return when the volts are lowest, as the opening of a sentence."""
    return by_source(evidence, "With worn cells on the coldest day, only the reserve left,", "On the coldest day")


RULES: dict[str, Rule] = {}


def finding(
    slug: str, *, level: str, source: str, rejects_pack: bool = False
) -> Callable[[Callable[[Evidence], Verdict]], Callable[[Evidence], Verdict]]:
    """Register a function as a finding.

    Parameters
    ----------
    slug
        Its name in records, docs and pages; never changes.
    level
        stop, caution or note.
    source
        Where the limit comes from, as printed beside the words.
    rejects_pack
        Whether it is a reason for which a pack does not work.
    """

    def register(function: Callable[[Evidence], Verdict]) -> Callable[[Evidence], Verdict]:
        RULES[slug] = Rule(slug, level, rejects_pack, source, function)
        return function

    return register


def judge(evidence: Evidence, *, packs_only: bool = False) -> tuple[Judged, ...]:
    """Ask every rule, or those for which a pack is rejected, for its verdict over the lanes of the evidence."""
    judged = []
    for rule in RULES.values():
        if packs_only and not rule.rejects_pack:
            continue
        verdict = rule.judge(evidence)
        failing = np.broadcast_to(np.asarray(verdict.failing, dtype=bool), evidence.shape)
        judged.append(Judged(rule, verdict, failing))
    return tuple(judged)


def raised(judged: Sequence[Judged], lane: tuple[int, ...]) -> tuple[Finding, ...]:
    """Return the findings of one lane, gravest first."""
    found = [j.at(lane) for j in judged if j.failing[lane]]
    return tuple(sorted(found, key=lambda f: LEVELS.index(f.level)))
