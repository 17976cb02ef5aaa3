"""The wiring diagram on paper: ours, and beneath it the builder's own where the file tells it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.drawings.wiring_diagram import says, wiring_diagram
from headrace.paper.sheets.blocks import Block, Column, Drawing, Heading, Sheet, Table, Words
from headrace.paper.wired import CAUTION, FOLLOWS, READS, UNDRAWN, compared, differs, drawn_all, notes, wires, wrong

Record = dict[str, Any]


def diagram(record: Record) -> Sheet:
    """Return the sheet."""
    return Sheet(
        "diagram",
        "Wiring diagram",
        f"Every part, every terminal, every wire. {drawn_all(record['netlist'])} Sizes are those to be laid; ratings "
        "are the least a part has to bear.",
        (*_drawn(record),),
        lying=True,
    )


def _drawn(record: Record) -> Iterator[Block]:
    yield Words(CAUTION, "caution")
    yield Words(f"{FOLLOWS} {READS}")
    yield from _of(record, "netlist")
    if found := notes(record["netlist"]):
        yield Words(found)
    if not compared(record):
        return
    yield Heading("As built, by the file")
    yield from _of(record, "built")
    yield Words(compared(record))
    if differs(record):
        yield Table((Column("letter", 0.4), Column("wire", 3.0)), differs(record))
    for fault in wrong(record):
        yield Words(fault, "stop")


def _of(record: Record, which: str) -> Iterator[Block]:
    """Yield the drawing of a netlist; where too many wires meet in one place, its wires as a list."""
    drawing = wiring_diagram(record, which)
    if drawing:
        yield Drawing(drawing, says(record[which]))
        return
    yield Words(UNDRAWN, "note")
    yield Table((Column("from"), Column("to"), Column("metal")), wires(record[which]))
