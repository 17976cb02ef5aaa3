"""The facts about the pack for who carries, tests or touches it: sentences, and rows of limits."""

from __future__ import annotations

from typing import Any, NamedTuple

from headrace.paper.protection import brief
from headrace.paper.units_of_words import of_the_record, said_in
from headrace.paper.words import percent, plain, watt_hours

Record = dict[str, Any]

LIGHT = 1.0  # kg, below which a mass is told in grams
THERE = "of the usual kind, as the file has one but does not say which"
HOLDS = {"planned": "as the file plans it", "proposed": "of the usual kind, as the file names none"}
OF = {"cell": "a cell", "pack": "the pack", "stored": "as put away"}
COLD = {  # by whether the file says that something does
    True: "The file says that board or charger refuses to charge cells that are too cold (its cold lock).",
    False: "Nothing in the file refuses to charge cells that are too cold.",
}
ABOUT = {"test": "Tests", "paper": "Papers", "fault": "One thing fails", "label": "Labels"}


class Row(NamedTuple):
    """One limit as a line of a table."""

    held: str  # what is held against it
    value: str
    limit: str
    mark: str  # whether it is met, in a word: meaning is never by colour alone
    says: str
    source: str


def facts(record: Record) -> list[str]:
    """Return the sentences for the typical record; none of what never empties.

    Parameters
    ----------
    record
        What stands under ``facts``.
    """
    if record["reason"]:
        return []
    said = [_counts(record), _cell(record), *_protection(record["protection"]), *map(_mains, record["mains"])]
    return [*said, record["rule"]] if record["rule"] else said


def limits(record: Record) -> list[Row]:
    """Return the limits on watt-hours, mass and charge, as lines of a table."""
    return [_row(one) for one in record["thresholds"]] if not record["reason"] else []


def volts(record: Record) -> list[Row]:
    """Return the limits on volts that hands may meet, as lines of a table."""
    return [_row(one) for one in record["touch"]] if not record["reason"] else []


def questions(record: Record) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return what to ask a test house, under its headings: name and question, a name only of a test."""
    if record["reason"]:
        return []
    asked = [(one["about"], one["name"], one["asks"]) for one in record["questions"]]
    return [
        (title, [(name if about == "test" else "", asks) for of, name, asks in asked if of == about])
        for about, title in ABOUT.items()
        if any(of == about for of, _, _ in asked)
    ]


def _counts(record: Record) -> str:
    """Return what is counted as one piece, with its label's numbers."""
    amp_hours = said_in(record["capacity_A_s"], "Ah")
    nominal, full = plain(record["nominal_voltage_V"], "V"), plain(record["full_voltage_V"], "V")
    one = "The pack" if record["counted"] == "pack" else "Each battery"
    said = (
        f"{one} holds {watt_hours(record['energy_J'])} as rules count them: rated {amp_hours} times nominal {nominal}; "
        f"it weighs {mass(record['mass_kg'])} and stands at {full} when full. Chemistry: {record['chemistry']}."
    )
    if record["pieces"] != 1.0:
        said += f" The machine has {record['pieces']:.0f} of them, each counted by itself."
    if record["designation"]:
        said += f" By the open standard, from the sizes of the cell in the file, it is called {record['designation']}."
    return said


def _cell(record: Record) -> str:
    if record["cell_reason"]:
        return f"Of a cell nothing is told: {record['cell_reason']}."
    energy, each = said_in(record["cell_energy_J"], "Wh"), mass(record["cell_mass_kg"])
    cells = record["series"] * record["parallel"]
    counts = f"{record['series']:.0f} in series and {record['parallel']:.0f} in parallel"
    return f"It has {cells:.0f} cells, {counts}; a cell holds {energy} and weighs {each}."


def _protection(found: Record) -> list[str]:
    if found["board"]:
        opens = (
            f"Protection board, {HOLDS[found['board']]}: it opens above {plain(found['over_voltage_V'], 'V', 2)} and "
            f"below {plain(found['under_voltage_V'], 'V', 2)} of a group, and above "
            f"{plain(found['short_circuit_A'], 'A', 0)} after {brief(found['short_circuit_delay_s'])}; it bleeds "
            f"{said_in(found['balance_A'], 'mA', 0)} from a group that is ahead."
        )
    else:
        opens = f"Protection board: {found['board_reason']}."
    fuse = (
        f"Main fuse, {_held(found)}: {plain(found['fuse_A'], 'A', 0)}."
        if found["fuse"]
        else f"Main fuse: none, {found['fuse_reason']}."
    )
    locks = f" {COLD[bool(found['cold_lock'])]}" if found["board"] else ""
    return [f"{opens} {fuse}{locks}"]


def _held(found: Record) -> str:
    """Return how the main fuse comes about: planned, in the file without its kind, or not in it at all."""
    return THERE if found["fuse"] == "proposed" and found["fuse_present"] else HOLDS[found["fuse"]]


def _mains(one: Record) -> str:
    """Return that the rows on volts are of the pack, and what stands behind its inverter."""
    volts, limit = (plain(one[f"{end}_V"], "V") for end in ("value", "limit"))
    past = "below" if one["met"] else "far past"
    return (
        f"Behind the {one['name']} there are {volts}, {past} the {limit} from which live parts are guarded: "
        f"{one['says']}. The rows on volts are of the pack alone."
    )


def _row(one: Record) -> Row:
    value, limit = (_amount(one, end) for end in ("value", "limit"))
    mark = "Not over" if one["met"] else "Over"
    source = f"{one['source']} (from memory)" if one["basis"] == "assumed" else one["source"]
    held = one["words"] if "value_V" in one else f"{one['words']}, {OF[one['of']]}"
    return Row(held, value, limit, mark, one["says"], source)


def _amount(one: Record, end: str) -> str:
    """Return a value or a limit in the unit it is told in."""
    if f"{end}_J" in one:
        joules = one[f"{end}_J"]
        return said_in(joules, "Wh", 1 if joules < of_the_record(100.0, "Wh") else 0)
    if f"{end}_kg" in one:
        return mass(one[f"{end}_kg"])
    return plain(one[f"{end}_V"], "V") if f"{end}_V" in one else percent(one[end])


def mass(kilograms: float) -> str:
    """Return a mass, in grams where it is less than a kilogram."""
    return said_in(kilograms, "g", 0) if kilograms < LIGHT else plain(kilograms, "kg")
