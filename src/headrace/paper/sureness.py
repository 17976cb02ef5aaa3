"""How sure an answer is, in a sentence: how many draws a stop holds up, which packs work most often."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import percent, size

Record = dict[str, Any]
HALF = 0.5  # of the draws
TWICE = 2.0  # standard deviations of a share, within which two packs work alike as far as the draws can tell
MOST = 5  # packs named beside the first


def stopped(record: Record) -> str:
    """Return in a sentence how many of the draws a stop holds up."""
    share = record["stopped"]
    if share == 0.0:
        return "No stop in any of them."
    if any(finding["level"] == "stop" for finding in record["findings"]):
        return f"The typical machine has a stop, and so have {percent(share)} of them."
    if share < HALF:
        return f"The typical machine has no stop; {percent(share)} of them have one."
    return (
        f"The typical machine has no stop, yet {percent(share)} of them have one: the plan works only if the "
        "numbers turn out as typical. Measure what carries the answer before buying."
    )


def surest(record: Record) -> str:
    """Return in a sentence which packs work most often, and what else may well work as often."""
    ranked = sorted(record["candidates"], key=lambda c: (-c["often"], c["series"] * c["parallel"]))
    best = ranked[0]["often"]
    if best == 0.0:
        return "No pack works in any draw."
    chance = TWICE * (best * (1.0 - best) / record["draws"]["count"]) ** 0.5
    first, *others = [size(c["series"], c["parallel"]) for c in ranked if best - c["often"] <= chance]
    said = f"Works most often: {first}, {percent(best)} of the draws."
    if others:
        said += f" So few draws cannot tell it from {', '.join(others[:MOST])}."
    if best < HALF:
        said += " None works in most of them."
    return said
