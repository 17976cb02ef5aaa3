"""Years of a pack, in a few sentences."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import minutes, percent, plain, typical, watt_hours

Record = dict[str, Any]

WHEN = {
    "next-year": "next year",
    "in-three-years": "in three years",
    "in-three-years-cold": "then, on the coldest morning",
}
WHAT = {
    "this": "this pack and its current",
    "fuel": "the engine's fuel",
    "lead_acid": "lead-acid batteries and their current",
    "bought": "a bought machine and its current",
}


def seasons(record: Record) -> list[str]:
    """Return the sentences for the record of seasons."""
    record = typical(record)
    aged = [
        f"{minutes(one['to_reserve_s'])} {WHEN[one['name']]} ({percent(one['capacity_left'])} of the capacity, "
        f"{one['resistance_grown']:.2f} times the resistance)"
        for one in record["ages"]
    ]
    jobs = plain(record["jobs"], "jobs", 0)
    new = minutes(record["new"]["to_reserve_s"])
    said = [
        f"Down to the reserve a full pack works {new} new, {', '.join(aged)}.",
        f"That is at {jobs} a year, each {percent(record['depth'])} of its charge.",
        _life(record["life"]),
        f"It is told by {record['model']}{_held(record['held'])}{_spread(record)}.",
        f"A job takes {watt_hours(record['mains_J'])} from the mains.",
    ]
    known = [one for one in record["costs"] if one["season"] is not None and one["hour"] is not None]
    if known:
        said.append(f"In a season, and in an hour of work, tools and spares apart: {'; '.join(map(_cost, known))}.")
    wants = dict.fromkeys(key for one in record["costs"] if one["wants"] for key in one["wants"].split(", "))
    if wants:
        said.append(f"For what is not compared give {', '.join(wants)}.")
    apart = [f"{what} {record[key]:.0f}" for key, what in APART.items() if record[key] is not None]
    return [*said, f"Beside that: {', '.join(apart)}."] if apart else said


APART = {"tools": "tools, once,", "spares": "spares in a season"}


def _spread(record: Record) -> str:
    if not record["modelled"]:
        return ""
    slow, quick = (plain(record[f"spread_{end}"], "times") for end in ("low", "high"))
    return f"; another cell may age {quick} as fast, or {slow}"


def _life(life: Record) -> str:
    if life["longer"]:
        return f"Its cells are not worn after {life['years']:.0f} years; such a long time nobody has tested."
    return f"Its cells are worn after {life['years']:.1f} years, {life['jobs']:.0f} jobs."


def _held(held: list[str]) -> str:
    return f" ({', and '.join(held)}: the edge of what was tested is held)" if held else ""


def _cost(one: Record) -> str:
    return f"{WHAT[one['name']]} {one['season']:.0f} and {one['hour']:.2f}"
