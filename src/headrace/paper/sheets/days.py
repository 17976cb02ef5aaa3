"""The day log: what the plan expects of a job, and lines to write down what came of it."""

from __future__ import annotations

from typing import Any

from headrace.paper.charging import hours
from headrace.paper.measures import amount, amounts
from headrace.paper.sheets.blocks import WRITE, Column, Sheet, Table, Words
from headrace.paper.words import celsius, empties, giver, minutes, percent, plain, watt_hours

Record = dict[str, Any]
AT_REST = "Read volts at rest, {} after the work, nothing connected, at the same two terminals each time."
LINES = 13  # jobs on a sheet


def day_log(record: Record) -> Sheet:
    """Return the sheet."""
    day = record["day"]
    whole, _, say = amounts(day)
    rows = [
        ("a job takes", minutes(day["duration_s"])),
        ("done in it", say(whole) if whole is not None else "not counted: the file tells the work in watts"),
        (f"energy from {giver(record['pack'])}", watt_hours(day["energy_J"])),
        ("hottest winding", f"{celsius(day['highest_winding_temperature_K'])}, in the usual weather"),
    ]
    if empties(record["pack"]):
        rows[2:2] = [
            ("down to the reserve", minutes(day["lasts_to_reserve_s"])),
            ("charge left after a job", percent(day["charge_left"])),
        ]
        rows += [("volts at rest, full", plain(record["pack"]["rest"][0]["voltage_V"], "V"))]
    worn = "cells, " if empties(record["pack"]) else ""
    return Sheet(
        "day-log",
        "Day log",
        f"A line for each job. What drifts from the plan over the weeks says what wears: {worn}belts, blades, brushes.",
        (
            Table((Column("planned", 1.0), Column("of the typical machine", 2.0)), rows),
            Table(_columns(record), [(WRITE,) * len(_columns(record))] * LINES),
            *([Words(AT_REST.format(hours(record["pack"]["rested_s"])), "note")] if empties(record["pack"]) else []),
        ),
        lying=True,
    )


def _columns(record: Record) -> list[Column]:
    """Return the columns of a line: a source that never empties has no volts to watch and nothing to put in."""
    pack = empties(record["pack"])
    columns = (
        ("on", 0.8),
        ("by", 0.8),
        ("work and weather, °C", 1.8),
        *((("V before", 0.8),) if pack else ()),
        ("min", 0.6),
        (amount(record["day"]).title, 0.8),
        *((("V after", 0.8), ("Wh put in", 0.9)) if pack else (("Wh of the meter", 1.0),)),
        ("seen, heard, smelt", 2.2),
    )
    return [Column(title, wide) for title, wide in columns]
