"""How a chain starts and stalls, in a sentence."""

from __future__ import annotations

from typing import Any

from headrace.paper.units_of_words import said_in
from headrace.paper.words import plain

Record = dict[str, Any]
FEW = 0.01  # s, below which milliseconds are told
WHOLE, SHORT = 10.0, 1.0  # s, from which on no digit stands behind the point; below which two do


def starting(one: Record, source: str, *, several: bool) -> str:
    """Return the sentence for one chain on a source, "the cells"; with its name where there are several."""
    name = f"{one['name'].capitalize()}: " if several else ""
    held = (
        f"Held fast the motor takes {plain(one['stall_current_A'], 'A', 0)}, and its winding is too hot within "
        f"{seconds(one['stall_time_s'])}."
    )
    if one["time_s"] is None:
        return f"{name}It does not get to speed. {held}"
    motor, pack = (plain(one[f"{side}_current_A"], "A", 0) for side in ("motor", "battery"))
    amps = f"{motor} in the motor and {pack} from {source}"
    return f"{name}A start takes {seconds(one['time_s'])}, up to {amps}. {held}"


def seconds(value: float | None) -> str:
    """Return a time, with more digits the shorter it is."""
    if value is None:
        return "no time that can be told"
    if value < FEW:
        return said_in(value, "ms", 0 if value >= FEW / 10.0 else 1)
    return plain(value, "s", 0 if value >= WHOLE else 1 if value >= SHORT else 2)
