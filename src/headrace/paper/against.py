"""What a stop says against a part of the plan, for the rows that would else read as something to buy or use."""

from __future__ import annotations

from collections.abc import Iterable
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
    named = set(parts)
    said = [
        f"{one['says']} {one['action']}"
        for one in record["findings"]
        if one["level"] == "stop" and named & set(one["parts"])
    ]
    return f"Not as the file has it (stop): {plain_text(' '.join(said))}" if said else ""
