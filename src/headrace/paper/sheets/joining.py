"""The connecting order: what is joined when, live or dead, and what the meter says."""

from __future__ import annotations

from typing import Any

from headrace.paper.against import against
from headrace.paper.connecting import BEFORE, reading
from headrace.paper.sheets.blocks import Sheet, Step, Steps, Words

Record = dict[str, Any]


def joining(record: Record) -> Sheet:
    """Return the sheet."""
    steps = [_step(record, step) for step in record["connecting"]]
    return Sheet(
        "connecting",
        "Connecting order",
        "One step at a time, in this order. Read, compare, tick; only then the next.",
        (Words(BEFORE, "caution"), Steps(steps)),
    )


def _step(record: Record, step: Record) -> Step:
    pairs = (
        ("stop", against(record, step["parts"])),
        ("cover", step["cover"]),
        ("read", reading(step)),
        ("if it differs", step["differs"]),
    )
    return Step(step["does"], step["live"], tuple((name, says) for name, says in pairs if says))
