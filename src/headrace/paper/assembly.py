"""The building of a machine as a table: what is done, with what, what is covered, what is read."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import plain

Record = dict[str, Any]
Row = tuple[str, str, str, str]

BEFORE = (
    "Dead steps first, the pack last: cells are live from the first one on, and nothing switches them off. Somebody is "
    "within call at every live step. Local codes and licensed practice come first."
)
FINE = 10.0  # V, below which a second digit is read


def building(record: Record) -> list[Row]:
    """Return a row for each step: what is done; with what and how; what is covered; what is read."""
    return [_row(step) for step in _of(record).get("steps", ())]


def without_cells(record: Record) -> list[Row]:
    """Return the rows that take the place of the bare cells where nobody handles one; none where nobody does anyway."""
    found = _of(record)
    if not found.get("bare_cells"):
        return []
    return [_row(step) for step in found["without_cells"] if step["live"]]


def kept_away(record: Record) -> list[str]:
    """Return what is never on body or bench, a sentence for the steps of each kind."""
    found: dict[tuple[str, ...], list[bool]] = {}
    for step in _of(record).get("steps", ()):
        found.setdefault(tuple(step["never"]), []).append(step["live"])
    return [f"Never at {'the live' if all(live) else 'the dead'} steps: {', '.join(n)}." for n, live in found.items()]


def touching(record: Record) -> str:
    """Return what is said of the most volts within reach at any step; "" below every limit."""
    said = [step["touch"] for step in _of(record).get("steps", ()) if step["touch"]]
    return max(said, key=len, default="")


def _of(record: Record) -> Record:
    found: Record = record.get("assembly") or {}
    return found


def _row(step: Record) -> Row:
    return (
        f"{'Live' if step['live'] else 'Dead'}. {step['does']}",
        f"{', '.join(step['tools']).capitalize()}. {step['hands'].capitalize()}.",
        step["cover"],
        reading(step),
    )


def reading(step: Record) -> str:
    """Return what is read at a step, and what it means when it says something else; "" where nothing is."""
    if step["read"] is None:
        return step["differs"] or ""
    read = str(step["read"])
    full, storage = step["full_V"], step["storage_V"]
    if full is not None:
        digits = 2 if full < FINE else 1
        read += f": {plain(full, 'V', digits)}"
        read += "" if storage is None else f" full, {plain(storage, 'V', digits)} half full"
    said = f"{read[0].upper()}{read[1:]}".rstrip(".") + "."
    return f"{said} If not: {step['differs']}" if step["differs"] else said
