"""The wiring diagram on paper: ours, and beneath it the builder's own where the file tells it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.drawings.wiring_diagram import says, wiring_diagram
from headrace.paper.sheets.blocks import Block, Drawing, Heading, Sheet, Words

Record = dict[str, Any]


def diagram(record: Record) -> Sheet:
    """Return the sheet; of what comes with its own wiring the reason."""
    netlist = record["netlist"]
    reason = netlist["reason"]
    blocks: list[Block] = [Words(f"Nothing to draw: {reason}.", "note")] if reason else [*_drawn(record)]
    return Sheet(
        "diagram",
        "Wiring diagram",
        "Every part, every terminal, every wire. What is not drawn is not joined. Sizes are those to be laid; ratings "
        "are the least a part has to bear.",
        blocks,
        lying=True,
    )


def _drawn(record: Record) -> Iterator[Block]:
    yield Drawing(wiring_diagram(record), says(record["netlist"]))
    built = record.get("built")
    if not built:
        return
    yield Heading("As built, by the file")
    drawing = wiring_diagram(record, "built")
    if drawing:
        yield Drawing(drawing, says(built))
    for fault in built["faults"]:
        yield Words(f"{fault['says'][:1].upper()}{fault['says'][1:]}.", "stop")
    if not built["faults"]:
        yield Words("It breaks no rule that ours keeps.", "note")
