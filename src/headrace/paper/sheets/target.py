"""The target sheet: what is asked of the machine, what the plan gives, and what is said against it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.machine.naming import LIMITS, named, spoken
from headrace.paper.advice import plain_text
from headrace.paper.measures import done, pace
from headrace.paper.sheets.blocks import WRITE, Block, Column, Heading, Sheet, Table, Words
from headrace.paper.sureness import stopped, stopping_most
from headrace.paper.told import told
from headrace.paper.words import ENDLESS, band, celsius, empties, minutes, pack_name, plain, typical, watt_hours, watts

Record = dict[str, Any]
ASKED = ("job.", "limits.")
OF_A_PACK = ("limits.reserve", "limits.end_of_life", "limits.box", "limits.max_mass", "limits.budget")
TYPICAL_ALONE = (
    "This paper is of the typical machine alone, every number as taken. How sure the plan is, headrace design tells: "
    "it draws machines from the bands of the numbers and counts the stops."
)
FIRST = 5  # numbers to measure first
HELD = {  # what a limit of speed is held against: of a pack, and of what never empties
    True: (("_min", "at least, at the reserve with worn cells"), ("_max", "at most, pack full, no load, motor hot")),
    False: (("_min", "at least, at work"), ("_max", "at most, no load, motor hot")),
}


def target(record: Record) -> Sheet:
    """Return the sheet."""
    lean = typical(record)
    return Sheet(
        "target",
        "Target",
        "What the machine has to do, what this plan gives, and what is still to be settled before anything is bought.",
        (
            Table((Column("asked", 1.4), Column("wanted"), Column("the plan gives", 2.2)), [*_pairs(record, lean)]),
            _sure(record),
            *_said(lean),
            Heading("As the file tells the job"),
            Table((Column("what", 1.6), Column("worked with", 0.8), Column("known by", 0.8)), [*_told(lean)]),
            Heading("To be measured first"),
            Table(
                (
                    Column("number", 2.0),
                    Column("taken as"),
                    Column("known by"),
                    Column("watts move by"),
                    Column("measured"),
                ),
                [*_first(lean)],
                "Those that move the watts drawn most; write down what you measure and put it into the file.",
            ),
        ),
    )


def _sure(record: Record) -> Words:
    """Return how sure the plan is; without draws, that it is the typical machine alone and who tells more."""
    if not record["draws"]["count"]:
        return Words(TYPICAL_ALONE, "note")
    return Words(f"{stopped(record)} {stopping_most(record)}".strip(), "caution")


def _pairs(record: Record, lean: Record) -> Iterator[tuple[str, str, str]]:
    day, pack = record["day"], record["pack"]
    known = {number["address"]: number for number in lean["numbers"]}

    def wanted(name: str) -> str:
        number = known.get(f"limits.{name}")
        return told(number) if number and number["value"] else "no limit set"

    yield "the work of a day", minutes(lean["day"]["wanted_s"]), f"{done(lean['day'])}; {lean['day']['reason']}"
    if empties(pack):
        yield "down to the reserve", wanted("time_wanted"), band(day["lasts_to_reserve_s"], minutes)
        yield "energy, full to empty", "as the work needs", band(pack["energy_J"], watt_hours)
        yield "mass of the pack", wanted("max_mass"), plain(lean["pack"]["mass_kg"], "kg")
        yield "what the cells cost", wanted("budget"), told({"value": lean["pack"]["cost"], "unit": "money"})
    said = pace(day)
    full, empty = (band(day[said.field(end)], said.say) for end in ("full", "empty"))
    ends = f"{full} full, motor cold; {empty} run out, motor warm" if empties(pack) else f"{full}, motor cold"
    yield f"{said.name} in the heaviest work", _between(wanted, said.name), ends
    judged = record["paces"][0]
    slow, fast = (band(judged[said.field(end)], said.say) for end in ("slowest", "fastest"))
    least, most = _ends(wanted, said.name)
    held = "at the reserve with worn cells, motor warm" if empties(pack) else "at work, motor warm"
    yield f"least {said.title.lower()}, {held}", least, slow
    yield f"most {said.title.lower()}, {HELD[empties(pack)][1][1].removeprefix('at most, ')}", most, fast
    hottest = band(day["highest_winding_temperature_K"], celsius)
    yield "hottest winding", "its own limit", f"{hottest}, in the usual weather"
    yield "what it runs on", "as planned", pack_name(lean["pack"])


def _ends(wanted: Any, name: str) -> tuple[str, str]:
    """Return the least and the greatest pace that is wanted."""
    low, high = (
        wanted(f"{name.replace(' ', '_')}_speed_{end}".replace("flow_speed", "flow")) for end in ("min", "max")
    )
    return low, high


def _between(wanted: Any, name: str) -> str:
    low, high = _ends(wanted, name)
    return f"{low} to {high}" if "no limit" not in low + high else low if "no limit" in high else f"up to {high}"


def _said(lean: Record) -> Iterator[Block]:
    if not lean["findings"]:
        yield Words("Nothing is said against the plan.", "note")
    for finding in lean["findings"]:
        yield Words(plain_text(f"{finding['says']} What to do: {finding['action']}"), finding["level"])


def _told(lean: Record) -> Iterator[tuple[str, str, str]]:
    for number in lean["numbers"]:
        asked = number["address"].startswith(ASKED) and number["value"] and number["basis"] != "assumed"
        if asked and (empties(lean["pack"]) or not number["address"].startswith(OF_A_PACK)):
            yield _named(number["address"], lean["pack"]["source"]), told(number), number["basis"]


def _first(lean: Record) -> Iterator[tuple[str, str, str, str, str]]:
    known = {number["address"]: number for number in lean["numbers"]}
    for swing in lean["swings"][:FIRST]:
        number = known[swing["address"]]
        yield (
            _named(swing["address"], lean["pack"]["source"]),
            told(number),
            swing["basis"],
            watts(swing["width_W"]),
            WRITE,
        )


def _named(address: str, source: str) -> str:
    """Return what a number of the file is called; a limit by what it is a limit of, and in which condition."""
    kind, _, name = address.partition(".")
    if kind != "limits":
        return named(address, source=source)
    if name in LIMITS:
        return LIMITS[name]
    for end, word in HELD[source not in ENDLESS]:
        if name.endswith(end):
            return f"{spoken(name.removesuffix(end))}, {word}"
    return named(address)
