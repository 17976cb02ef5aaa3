"""The record of what has to be looked at over a season; as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.findings.upkeep import Care, no_times, upkeep
from headrace.machine.records import Lanes
from headrace.pack.resting import UNRESTED
from headrace.tables import sources

Record = dict[str, Any]
BY_NO_TIME = {"use": "before each use", "season": "once a season", "work": None, "calendar": None}
FROM_THE_START = "the first time comes after as long as every other"
UNREAD = "it is not known of this machine"


def upkeep_record(evidence: Evidence, worked: Lanes) -> list[Record]:
    """Return a row for each thing to look at; ``worked`` is the time it works in a season, nan where unknown. [s]"""
    return [_care(evidence, one) for one in upkeep(evidence, worked)]


def _care(evidence: Evidence, one: Care) -> Record:
    first, times, rested = number(one.first), number(one.times), number(one.rested)
    note = sources()[one.source]
    return {
        "name": one.name,
        "of": list(one.of),
        "when": one.when,
        "machine": one.machine,
        "first_s": first,
        "first_reason": None if first is not None else BY_NO_TIME[one.when] or FROM_THE_START,
        "every_s": number(one.every),
        "reason": BY_NO_TIME[one.when],
        "times_a_season": times,
        "times_reason": no_times(evidence, one) if times is None else None,
        "look": one.look,
        "why": one.why,
        "act": one.act,
        "limits": [_limit(*limit) for limit in one.limits],
        "rested_s": rested,
        "rested_reason": UNRESTED if rested is None else None,
        "source": note.title,
        "basis": note.basis,
    }


def _limit(what: str, limit: Lanes, unit: str) -> Record:
    value = number(limit)
    return {"name": what, f"value_{unit}": value, "reason": UNREAD if value is None else None}
