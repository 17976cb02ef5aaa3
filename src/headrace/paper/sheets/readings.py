"""Bench readings: what a meter should say, where it is held, and what it means when it says something else."""

from __future__ import annotations

from typing import Any

from headrace.paper.readings import AT_MAINS, meanings, two_loads, unread
from headrace.paper.readings import readings as rows_of
from headrace.paper.sheets.blocks import WRITE, Blanks, Block, Column, Sheet, Table, Words

Record = dict[str, Any]
COLUMNS = (
    Column("reading", 1.2),
    Column("where and when", 2.0),
    Column("expected", 0.8),
    Column("still fine", 1.2),
    Column("if it differs", 2.1),
    Column("read", 0.7),
)
CARE = (
    "Clip meters on while it is dead, and stand clear while it turns. A clamp meter for direct current is zeroed "
    "before each reading."
)


def readings(record: Record) -> Sheet:
    """Return the sheet."""
    mains = record["pack"]["source"] == "wall-socket"
    blocks: list[Block] = [
        Words(AT_MAINS if mains else CARE, "caution"),
        Table(COLUMNS, [_row(*row) for row in rows_of(record)]),
    ]
    blocks += [Words(says, "note") for says in (*meanings(record), *unread(record))]
    if two_loads(record):
        blocks.append(Words(two_loads(record), "note"))
    return Sheet(
        "readings",
        "Bench readings",
        "Once on the bench, and again each season: what drifts is found before it fails.",
        (*blocks, Blanks(("meters used", "by", "on"))),
        lying=True,
    )


def _row(name: str, where: str, expect: str, fine: str, differs: str) -> tuple[str, ...]:
    return name, where, expect, fine or "not told", differs, WRITE
