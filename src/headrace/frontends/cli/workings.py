"""A working as an indented tree: each number, how it was made, and where its leaves come from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.working import told

Record = dict[str, Any]
DIGITS = 6


def working(tree: Record, file: str, source: str) -> str:
    """Return the lines of a working, the result on top under its address."""
    found = told(tree, file, DIGITS, source=source)
    address = tree["address"] or tree["name"]
    number = found["says"].rpartition(" = ")[2]
    return "\n".join(_lines({**found, "says": f"{address} = {number}"}, 0))


def _lines(line: Record, depth: int) -> Iterator[str]:
    how = ": ".join(part for part in (line["how"], line["formula"]) if part)
    yield f"{'  ' * depth}{line['says']}{'    ' if how else ''}{how}"
    for part in line["inputs"]:
        yield from _lines(part, depth + 1)
