"""Two cards for the wall of the shed: how the pack is charged and put away, and what is looked at over a season."""

from __future__ import annotations

from typing import Any

from headrace.machine.fed import fed
from headrace.paper.charging import BATTERIES, charging, stopped, watched
from headrace.paper.readings import rested_for, resting
from headrace.paper.seasons import seasons
from headrace.paper.sheets.blocks import WRITE, Blanks, Block, Column, Heading, Sheet, Table, Words
from headrace.paper.upkeep import upkeep
from headrace.paper.words import capital

Record = dict[str, Any]
DEAD_FIRST = (
    "Dead before you look: {dead}, capacitors drained, what turns blocked. What a row wants read while it runs is read "
    "on meters that were put there while it was dead, from where nothing is thrown."
)
DATES = 3  # on which a row is ticked off
LIFE = 4  # sentences of the seasons that are about the life of the pack, not about money
LINES = 6  # checks of a stored pack


def charging_card(record: Record) -> Sheet:
    """Return the card."""
    blocks: list[Block] = [Words(watched(record), "caution")]
    blocks += [*_told(record), *_rest(record)]
    blocks += [
        Heading("Put away"),
        Table(
            (
                Column("on"),
                Column("volts at rest"),
                Column("charge, by the table"),
                Column("batteries apart" if record["pack"]["source"] == BATTERIES else "groups apart"),
                Column("by"),
            ),
            [(WRITE,) * 5] * LINES,
        ),
    ]
    return Sheet(
        "charging", "Charging and storage", "By the charger and on the shelf where the pack spends its winter.", blocks
    )


def _told(record: Record) -> list[Block]:
    """Return how it is charged; first, where a stop stands against the file's charger, what it says."""
    first, *others = charging(record)
    return [Words(first, "stop" if stopped(record) else ""), *(Words(says) for says in others)]


def _rest(record: Record) -> list[Block]:
    columns: tuple[Column, ...] = (
        Column("charge", 0.6),
        Column("pack at rest", 0.8, figures=True),
        Column("each battery" if record["pack"]["source"] == BATTERIES else "each group", 0.8, figures=True),
        Column("does it tell the charge?", 2.2),
    )
    found = resting(record)
    doubts = any(why for *_, why in found)
    rows = [(name, pack, cell, *([why or "yes"] if doubts else [])) for name, pack, cell, why in found]
    columns = columns if doubts else columns[:-1]
    return [Heading("Charge by volts"), Table(columns, rows, f"{capital(rested_for(record))}; new.")]


def season_card(record: Record) -> Sheet:
    """Return the card of what is looked at, and after how many hours."""
    columns = (
        Column("part", 1.0),
        Column("when", 0.9),
        Column("look at, and why", 2.4),
        Column("act when", 1.8),
        *(Column("done on", 0.5) for _ in range(DATES)),
    )
    years: list[Block] = [Words(says) for says in seasons(record["seasons"])[:LIFE]] if record["seasons"] else []
    return Sheet(
        "season",
        "Season card",
        "What shakes loose, wears or gets wet: after so many hours of work look at it, and write down what you did.",
        (
            Words(fed(record["pack"]["source"]).told(DEAD_FIRST), "caution"),
            Table(columns, [(*row, *(WRITE,) * DATES) for row in upkeep(record)]),
            *([Heading("What the years do"), *years] if years else []),
            Blanks(("hours at the start", "hours now", "by", "on")),
        ),
        lying=True,
    )
