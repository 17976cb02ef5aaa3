"""The fact sheet: what whoever carries, tests or insures the pack asks for; no claim that anything complies."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.facts import Row, limits, questions, volts
from headrace.paper.facts import facts as sentences
from headrace.paper.sheets.blocks import WRITE, Blanks, Block, Column, Heading, Sheet, Table, Words
from headrace.paper.words import capital

Record = dict[str, Any]
LIMITS = (
    Column("held against it", 1.3),
    Column("here", 0.8, figures=True),
    Column("limit", 0.8, figures=True),
    Column("is", 0.6),
    Column("what it means", 2.6),
)


def facts(record: Record) -> Sheet:
    """Return the sheet."""
    found = record["facts"]
    blocks: list[Block] = [Words(found["claim"], "caution"), *(Words(says) for says in sentences(found))]
    blocks += [*_limits(found), *_questions(found)]
    return Sheet(
        "facts",
        "Facts about the pack",
        "For who carries it, tests it, insures it or puts out a fire beside it.",
        (*blocks, Blanks(("serial number", "built by", "on", "seen by"))),
    )


def _limits(found: Record) -> Iterator[Block]:
    for title, rows in (("Limits of transport", limits(found)), ("Volts that hands may meet", volts(found))):
        if rows:
            yield Heading(title)
            yield Table(LIMITS, [_row(row) for row in rows])
    if found["thresholds_reason"]:
        yield Words(f"{capital(found['thresholds_reason'])}.", "note")


def _row(row: Row) -> tuple[str, ...]:
    return row.held, row.value, row.limit, row.mark, f"{row.says} {row.source}"


def _questions(found: Record) -> Iterator[Block]:
    yield Heading("To ask a test house, or the maker")
    columns = (Column("about", 0.7), Column("question", 3.0), Column("answer", 1.3))
    asked = [(name or title, asks, WRITE) for title, rows in questions(found) for name, asks in rows]
    yield Table(columns, asked)
