"""Years of a pack, in a few sentences."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import minutes, percent, plain, rpm, typical, watt_hours

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
        *_longer_in_the_cold(record["ages"]),
        f"That is at {jobs} a year, each {percent(record['depth'])} of its charge.",
        _life(record["life"]),
        f"It is told by {record['model']}{_held(record['held'])}{_spread(record)}.",
        f"A job takes {watt_hours(record['mains_J'])} from the mains.",
    ]
    known = [one for one in record["costs"] if one["season"] is not None and one["hour"] is not None]
    if known:
        costs = "; ".join(map(_cost, known))
        said.append(f"In a season, and in an hour of work, in the money of the file, tools and spares apart: {costs}.")
    wants = dict.fromkeys(key for one in record["costs"] if one["wants"] for key in one["wants"].split(", "))
    if wants:
        said.append(f"For what is not compared the file has to give {', '.join(WANTS[key] for key in wants)}.")
    apart = [f"{what} {plain(record[key], '', 0)}" for key, what in APART.items() if record[key] is not None]
    return [*said, f"Beside that, in the same money: {', '.join(apart)}."] if apart else said


WANTS = {
    "prices.electricity": "the price of electricity",
    "prices.fuel": "the price of the fuel",
    "prices.fuel_use": "what the engine used of it",
    "prices.lead_pack": "the price of lead-acid batteries for it",
    "prices.bought": "the price of such a machine, bought",
}
APART = {"tools": "tools, once,", "spares": "spares in a season"}


def _longer_in_the_cold(ages: list[Record]) -> list[str]:
    """Return why a cold morning lasts longer than a warm day with cells as old; nothing where it does not."""
    cold = next((one for one in ages if one["cold"]), None)
    warm = next((one for one in ages if cold is not None and one["years"] == cold["years"] and not one["cold"]), None)
    if cold is None or warm is None or cold["to_reserve_s"] <= warm["to_reserve_s"]:
        return []
    turns = [one["tool_speed_full_rad_s"] for one in (warm, cold)]
    if None in turns or turns[1] >= turns[0]:
        return ["In the cold it draws less than the cells lose by it, so that morning lasts longer."]
    slower, usual = rpm(turns[1]), rpm(turns[0])
    said = (
        "The cold morning lasts longer because less is done in a minute: the cold motor's magnets are stronger, the "
        f"tool starts on a full pack at {slower} and not at {usual}, and that saves more than cold cells lose."
    )
    return [said]


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
