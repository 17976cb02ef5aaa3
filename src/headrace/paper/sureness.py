"""How sure an answer is, in a sentence: how many draws a stop holds up, which packs work most often."""

from __future__ import annotations

from typing import Any

from headrace.machine.naming import spoken
from headrace.paper.words import percent, size, some

Record = dict[str, Any]
NAMED = 3  # findings that stop most draws
HALF = 0.5  # of the draws
TWICE = 2.0  # standard deviations of a share, within which two packs work alike as far as the draws can tell
MOST = 5  # packs named beside the first


def stopped(record: Record) -> str:
    """Return in a sentence how many of the draws a stop holds up."""
    share, whole = record["stopped"], f"Of {record['draws']['count']} machines drawn from the bands of the numbers"
    if share == 0.0:
        return f"{whole} none has a stop."
    if any(finding["level"] == "stop" for finding in record["findings"]):
        return f"{whole} {some(share)} have a stop, as the typical machine has."
    if share < HALF:
        return f"{whole} {some(share)} have a stop; the typical machine has none."
    return (
        f"{whole} {some(share)} have a stop, though the typical machine has none: the plan works only if the numbers "
        "turn out as typical. Measure what carries the answer before buying."
    )


def stopping_most(record: Record) -> str:
    """Return in a sentence which stops hold up most draws; "" where none does."""
    found = [one for one in (*record["findings"], *record["sometimes"]) if one["level"] == "stop" and one["share"]]
    first = sorted(found, key=lambda one: -one["share"])[:NAMED]
    named = ", ".join(f"{spoken(one['slug'])} ({some(one['share'])})" for one in first)
    return f"What stops most of them: {named}." if named else ""


def surest(record: Record) -> str:
    """Return in a sentence which packs work most often, and what else may well work as often."""
    ranked = sorted(record["candidates"], key=lambda c: (-c["often"], c["series"] * c["parallel"]))
    best = ranked[0]["often"]
    if best == 0.0:
        return "No pack works in any draw."
    count = record["draws"]["count"]
    likely = (best * count + 1.0) / (count + 2.0)  # never quite 1: the next draw may fail
    chance = TWICE * (likely * (1.0 - likely) / count) ** 0.5
    first, *others = [size(c["series"], c["parallel"]) for c in ranked if best - c["often"] <= chance]
    said = f"Works most often: {first}, {percent(best)} of the draws."
    if others:
        more = f" and {len(others) - MOST} more" if len(others) > MOST else ""
        said += f" So few draws cannot tell it from {', '.join(others[:MOST])}{more}."
    if best < HALF:
        said += " None works in most of them."
    return said
