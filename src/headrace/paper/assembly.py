"""The building of a machine as a table: what is done, with what, what is covered, what is read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any, NamedTuple

from headrace.paper.words import capital, plain

Record = dict[str, Any]
Row = tuple[str, str, str, str]

LIVE = {
    "wall-socket": "mains is joined by who may work on it, and the plug stays out until then",
    "bench-supply": "the supply stays off until its own step",
}
OF_A_PACK = (
    "cells and batteries are live from the first one on, and nothing switches them off; mains is joined by who may"
)
FEW = 3  # steps, of fewer of which nothing is usual
FINE = 10.0  # V, below which a second digit is read


def before(record: Record) -> str:
    """Return what is said before anything is built."""
    live = LIVE.get(record["pack"]["source"], OF_A_PACK)
    return (
        f"Dead steps first, what has volts last: {live}. Somebody is within call at every live step. Local codes and "
        "licensed practice come first."
    )


def building(record: Record) -> list[Row]:
    """Return a row for each step: what is done; with what and how; what is covered; what is read."""
    ready = usual(record)
    return [_row(step, ready) for step in _of(record).get("steps", ())]


def without_cells(record: Record) -> list[Row]:
    """Return the rows that take the place of the bare cells where nobody handles one; none where nobody does anyway."""
    found = _of(record)
    if not found.get("bare_cells"):
        return []
    return [_row(step, {}) for step in found["without_cells"] if step["live"]]


class Usual(NamedTuple):
    """What lies ready at most steps of a kind, and how the hands work at most of them."""

    tools: tuple[str, ...]
    hands: str


def usual(record: Record) -> dict[bool, Usual]:
    """Return what is usual at the live steps and at the dead ones; a kind of which there are few is left out."""
    found = {}
    for live in (False, True):
        steps = [step for step in _of(record).get("steps", ()) if step["live"] is live]
        if len(steps) < FEW:
            continue
        tools = Counter(tool for step in steps for tool in step["tools"])
        most = tuple(tool for tool, count in tools.items() if 2 * count > len(steps))
        found[live] = Usual(most, Counter(step["hands"] for step in steps).most_common(1)[0][0])
    return found


def besides(step: Record, ready: Mapping[bool, Usual]) -> tuple[str, str]:
    """Return the tools of a step and how its hands work, as far as they are not the usual ones; "" where they are."""
    if step["live"] not in ready:
        return ", ".join(step["tools"]), str(step["hands"])
    known = ready[step["live"]]
    tools = ", ".join(tool for tool in step["tools"] if tool not in known.tools)
    return tools, "" if step["hands"] == known.hands else str(step["hands"])


def at_hand(record: Record) -> list[str]:
    """Return what lies ready at the steps of each kind, which a step does not say again."""
    return [
        f"Ready at {'the live' if live else 'the dead'} steps: {', '.join(one.tools)}; {one.hands}. A step says what "
        "it wants besides, or otherwise."
        for live, one in usual(record).items()
    ]


def kept_away(record: Record) -> list[str]:
    """Return what lies ready, and what is never on body or bench, a sentence for the steps of each kind."""
    found: dict[tuple[str, ...], list[bool]] = {}
    for step in _of(record).get("steps", ()):
        found.setdefault(tuple(step["never"]), []).append(step["live"])
    never = [f"Never at {'the live' if all(live) else 'the dead'} steps: {', '.join(n)}." for n, live in found.items()]
    return [*at_hand(record), *never]


def touching(record: Record) -> str:
    """Return what is said of the most volts within reach at any step; "" below every limit."""
    said = [step for step in _of(record).get("steps", ()) if step["touch"]]
    return str(max(said, key=lambda step: step["reach_V"])["touch"]) if said else ""


def _of(record: Record) -> Record:
    found: Record = record.get("assembly") or {}
    return found


def _row(step: Record, ready: Mapping[bool, Usual]) -> Row:
    said = (f"{capital(part)}." for part in besides(step, ready) if part)
    return (
        f"{'Live' if step['live'] else 'Dead'}. {step['does']}",
        " ".join(said),
        step["cover"],
        reading(step),
    )


def reading(step: Record) -> str:
    """Return what is read at a step, and what it means when it says something else; "" where nothing is."""
    if step["read"] is None:
        return step["differs"] or ""
    read = str(step["read"])
    full, half = step["full_V"], step["half_V"]
    if full is not None:
        digits = 2 if full < FINE else 1
        read += f": {plain(full, 'V', digits)}"
        read += "" if half is None else f" full, {plain(half, 'V', digits)} half full"
    said = capital(read).rstrip(".") + "."
    return f"{said} If not: {step['differs']}" if step["differs"] else said
