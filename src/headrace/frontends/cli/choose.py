"""``headrace choose``: motor, winding, ratio and cells from the shelf, under the limits of a file."""

from __future__ import annotations

import sys
import textwrap
from pathlib import Path
from typing import Any

import click

from headrace.frontends.cli.talk import as_text, progress_of, reading_of, refuse
from headrace.paper.words import RPM, minutes, percent, plain, size, watts

Record = dict[str, Any]

NOTHING_WORKS = 1  # exit code
WIDE = 100
DROPPED = 3  # told of what a march did not let pass
BETTER = {"cost": "cheaper", "mass": "lighter", "time": "longer-lasting", "": "nearest"}


def choose(file: Path, draws: int, seed: int, as_json: bool) -> None:
    """Print what the shelf offers."""
    reading = reading_of(file)
    from headrace.drive.links import parts

    if reading.machine.source.endless:
        refuse(f"error: {file}: a {reading.machine.source.kind} has no cells to choose\n  way out: give [source] cells")
    row = parts(reading.machine.chains[0])
    if row.converter is not None or row.alternating:
        refuse(
            f"error: {file}: choose puts in a motor with magnets, and nothing it could run on stands before it\n"
            "  way out: leave out what makes the mains voltage, and write a controller in its place"
        )
    from headrace.explore.choosing import choose as chosen_from
    from headrace.explore.choosing_record import choice_record

    with progress_of("looking through the shelf") as progress:
        found = choice_record(chosen_from(reading, count=draws, seed=seed, progress=progress), draws, seed)
    click.echo(as_text(found) if as_json else told(found))
    if not found["candidates"]:
        sys.exit(NOTHING_WORKS)


def told(record: Record) -> str:
    """Return the choices as a table, and what nearly made it."""
    counts = [f"{record[key]:,}" for key in ("combinations", "looked_at", "works")]
    head = (
        f"{record['machine']}: of {counts[0]} combinations of the shelf {counts[1]} are not out of the question by "
        f"volts, mass, size or money; {counts[2]} work, and none beats {len(record['front'])} of them in cost, mass "
        f"and run time at once. Cost and mass are those of motor and pack; ask a shop for a motor of that many rpm/V."
    )
    lines = [textwrap.fill(head, WIDE)]
    if record["candidates"]:
        lines += ["", *_table(record)]
    lines += _dropped(record)
    if record["losers"]:
        lines += ["", "What nearly made it:"]
        lines += [_filled(f"{_name(loser)}, {BETTER[loser['better']]}: {_why(loser)}") for loser in record["losers"]]
    return "\n".join(lines)


def _table(record: Record) -> list[str]:
    drawn = record["draws"]["count"] > 0
    heads = [
        "",
        "motor",
        "rpm/V",
        "plate",
        "ratio",
        "pack",
        "cost",
        "mass",
        "to reserve",
        *(["works in"] if drawn else []),
    ]
    rows = [
        [
            one["name"],
            one["motor"],
            per_volt(one["constant_V_s_rad"]),
            watts(one["rated_W"]),
            "–" if one["ratio"] is None else f"{one['ratio']:.3g}",
            f"{size(one['series'], one['parallel'])} {one['cell']}",
            plain(one["cost"], "", 0),
            plain(one["mass_kg"], "kg"),
            minutes(one["lasts_to_reserve_s"]),
            *([percent(one["often"])] if drawn else []),
        ]
        for one in record["candidates"]
    ]
    widths = [max(len(row[k]) for row in [heads, *rows]) for k in range(len(heads))]
    return [
        "  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip() for row in [heads, *rows]
    ]


def _dropped(record: Record) -> list[str]:
    if not record["dropped"]:
        return []
    said = ["", "Looked well at a glance, and did not pass when the day was worked through:"]
    said += [_filled(f"{_name(one)}: {_why(one)}") for one in record["dropped"][:DROPPED]]
    left = len(record["dropped"]) - DROPPED
    return [*said, f"  and {left} more"] if left > 0 else said


def _name(one: Record) -> str:
    ratio = "" if one["ratio"] is None else f", ratio {one['ratio']:.3g}"
    motor = f"{one['motor']}, {per_volt(one['constant_V_s_rad'])} rpm/V"
    return f"{motor}{ratio}, {size(one['series'], one['parallel'])} of {one['cell']}"


def per_volt(constant: float) -> str:
    """Return a motor's constant as a shop says it, in rpm/V."""
    return f"{RPM / constant:.3g}"


def _why(one: Record) -> str:
    return " ".join(reason["says"] for reason in one["reasons"])


def _filled(text: str) -> str:
    return textwrap.fill(text, WIDE, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)
