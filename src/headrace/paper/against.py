"""What a stop says against a part of the plan, for the rows that would else read as something to buy or use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from headrace.paper.advice import plain_text

Record = dict[str, Any]


def against(record: Record, parts: Iterable[str]) -> str:
    """Return what the stops say against the file's own of some parts, and what to do; "" where none names one of them.

    Parameters
    ----------
    record
        With its ``findings``.
    parts
        Names as in the netlist, of runs as in the cut list, of what is in neither as on the shopping list.
    """
    said = " ".join(_said(record, set(parts)))
    return f"Not as the file has it (stop): {plain_text(said)}" if said else ""


def _said(record: Record, named: set[str]) -> Iterator[str]:
    """Yield of each stop what it says of the parts named, and after that what to do, each sentence once."""
    for finding in record["findings"]:
        if finding["level"] == "stop":
            found = [one for one in finding["parts"] if one["name"] in named]
            yield from dict.fromkeys([*(one["says"] for one in found), *(one["action"] for one in found)])
