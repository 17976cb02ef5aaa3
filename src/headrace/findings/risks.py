"""A risk assessment filled from the design: hazard, harm, what the design has against it, what is left to people.

The order of thought is that of ISO 12100: take the hazard away by design, then guard it, then tell people. How likely
and how bad it is are for the people to say who know the place; no number of ours stands for it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from headrace.findings.evidence import Evidence
from headrace.findings.finding import Finding
from headrace.findings.risk_measures import Measure, measures
from headrace.findings.risk_numbers import NUMBERS, Number
from headrace.machine.fed import fed
from headrace.machine.works import Blade, Chipper, Saw, Tiller, Wheels, Winch, Work
from headrace.tables import load

LEFT_OPEN = ("how likely", "how bad", "by whom checked", "on which day")


@dataclass(frozen=True)
class Risk:
    """One hazard of a machine.

    Attributes
    ----------
    name, harm, severity
        What it is called, what could happen to whom, and how bad that can be at worst, in words.
    numbers
        Of the design.
    measures
        What the design has against it.
    people, caution
        What is left to do by people, and the usual caution.
    findings
        Those of this machine that touch it, by their slugs.
    source
        Key of ``tables/sources.toml``.
    """

    name: str
    harm: str
    severity: str
    numbers: tuple[Number, ...]
    measures: tuple[Measure, ...]
    people: str
    caution: str
    findings: tuple[str, ...]
    source: str


def risks(evidence: Evidence, raised: Collection[Finding]) -> tuple[Risk, ...]:
    """Return the hazards of a machine.

    Parameters
    ----------
    evidence
        Of it.
    raised
        The findings that are raised.
    """
    slugs = {found.slug for found in raised}
    stopped = {one.part for found in raised if found.level == "stop" for one in found.parts}
    words = fed(evidence.machine.source.kind)
    return tuple(
        Risk(
            name=str(row["name"]),
            harm=str(row["harm"]),
            severity=str(row["severity"]),
            numbers=tuple(NUMBERS[str(row["name"])](evidence)),
            measures=tuple(measures(evidence, str(row["name"]), stopped)),
            people=words.told(str(row["people"])),
            caution=words.told(str(row["caution"])),
            findings=tuple(slug for slug in listed(str(row["touches"])) if slug in slugs),
            source=str(row["source"]),
        )
        for row in load("hazards")
        if all(APPLIES[of](evidence) for of in listed(str(row["of"])))
    )


def listed(cell: str) -> tuple[str, ...]:
    """Return what a cell of the table lists."""
    return tuple(one for one in cell.split(";") if one)


def _has(*kinds: type[Work]) -> Callable[[Evidence], bool]:
    return lambda evidence: any(isinstance(chain.work, kinds) for chain in evidence.machine.chains)


APPLIES: dict[str, Callable[[Evidence], bool]] = {
    "any": lambda e: True,
    "lithium": lambda e: e.machine.source.kind == "cells",
    "lead": lambda e: e.machine.source.kind == "batteries",
    "pack": lambda e: not e.machine.source.endless,
    "supplied": lambda e: e.machine.source.endless,
    "capacitors": lambda e: e.guard is not None and e.guard.inrush is not None,
    "mains": lambda e: any(chain.alternating for chain in e.machine.chains) or e.machine.source.at_a_socket,
    "throws": _has(Blade, Saw, Chipper, Tiller),
    "slopes": lambda e: bool(e.slopes) or _has(Wheels, Winch)(e),
    "rope": _has(Winch),
    "charged": lambda e: e.machine.charger is not None,
}
