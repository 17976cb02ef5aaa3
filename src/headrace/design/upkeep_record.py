"""The record of what has to be looked at over a season; as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.findings.upkeep import NO_SEASON, Care, upkeep
from headrace.machine.records import Lanes
from headrace.tables import sources

Record = dict[str, Any]
BY_NO_TIME = {"use": "before each use", "season": "once a season", "work": None, "calendar": None}


def upkeep_record(evidence: Evidence, worked: Lanes) -> list[Record]:
    """Return a row for each thing to look at; ``worked`` is the time it works in a season, nan where unknown. [s]"""
    return [_care(one) for one in upkeep(evidence, worked)]


def _care(one: Care) -> Record:
    times = number(one.times)
    note = sources()[one.source]
    return {
        "name": one.name,
        "of": list(one.of),
        "when": one.when,
        "machine": one.machine,
        "first_s": number(one.first),
        "every_s": number(one.every),
        "reason": BY_NO_TIME[one.when],
        "times_a_season": times,
        "times_reason": NO_SEASON if times is None else None,
        "look": one.look,
        "why": one.why,
        "act": one.act,
        "limits": [{"name": what, f"value_{unit}": number(value)} for what, value, unit in one.limits],
        "source": note.title,
        "basis": "assumed" if note.seen == "memory" else "table",
    }
