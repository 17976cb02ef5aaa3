"""What to buy, by ratings and at the file's own prices; and which pieces of cable to cut."""

from __future__ import annotations

import re
from typing import Any

from headrace.paper.bill import amount, buying, made_for, price, sums
from headrace.paper.bill import before as before_buying
from headrace.paper.cuts import before as before_cutting
from headrace.paper.cuts import pieces, runs, sizes
from headrace.paper.sheets.blocks import WRITE, Block, Column, Heading, Sheet, Table, Words
from headrace.paper.words import capital

Record = dict[str, Any]
NUMBER = re.compile(r"\d+")
BUYING = (
    Column("what", 1.2),
    Column("how many", 0.8),
    Column("made for at least; look for", 3.2),
    Column("price", 0.7, figures=True),
)
PIECES = (
    Column("from and to", 2.0),
    Column("cable; gauge of as much metal", 1.3),
    Column("its two ends", 1.5),
    Column("cut to", 0.7),
)
SIZES = (Column("cable"), Column("to buy"), Column("on its ends", 2.0))


def shopping(record: Record) -> Sheet:
    """Return the shopping list; a price that the file has not is left for the pen."""
    blocks: list[Block] = [Words(before_buying(record), "caution")]
    for group, lines in buying(record):
        rows = [(line["name"], amount(line), made_for(record, line), price(line) or WRITE) for line in lines]
        blocks += [Heading(capital(group)), Table(BUYING, rows)]
    blocks += [Heading("Comes to"), *(Words(says) for says in sums(record))]
    return Sheet(
        "shopping",
        "Shopping list",
        "Everything the plan needs, by what it has to bear. What has no price in the file has a line for the pen.",
        blocks,
    )


def cutting(record: Record) -> Sheet:
    """Return the cut list of cables and lugs."""
    reason = record["cuts"]["reason"]
    named = "" if record["netlist"]["reason"] else " Names of terminals are those of the wiring diagram."
    blocks: list[Block] = [Words(f"No cable to cut: {reason}.", "note")] if reason else _cuts(record)
    return Sheet(
        "cutting",
        "Cables and lugs" if any(size["ends"] for size in record["cuts"]["sizes"]) else "Cables",
        f"Each piece of wire, its ends, and what is bought of each size.{named}",
        blocks,
    )


def _alike(found: list[tuple[str, str, str, str]]) -> list[tuple[str, str, str, str]]:
    """Return the pieces with those that differ by their number alone, as sense wires do, in one row."""
    alike: dict[tuple[str, ...], list[tuple[str, str, str, str]]] = {}
    for row in found:
        alike.setdefault((NUMBER.sub("#", row[0]), *row[1:]), []).append(row)
    return [
        (f"{rows[0][0]}, and so on until {rows[-1][0]}: {len(rows)} pieces", *rows[0][1:]) if len(rows) > 2 else row
        for rows in alike.values()
        for row in (rows[:1] if len(rows) > 2 else rows)
    ]


def _cuts(record: Record) -> list[Block]:
    """Return the pieces, those of one length together, and what is bought of each size."""
    blocks: list[Block] = [Words(before_cutting(record), "caution"), *(Words(says) for says in runs(record))]
    found = _alike(pieces(record))
    for long in dict.fromkeys(row[2] for row in found):
        rows = [(way, cable, ends, WRITE) for way, cable, at, ends in found if at == long]
        blocks += [Heading(capital(long)), Table(PIECES, rows)]
    bought = [(name, metres, ends or "as the part asks") for name, metres, ends in sizes(record)]
    return [*blocks, Heading("Of each size"), Table(SIZES, bought)]
