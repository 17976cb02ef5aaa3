"""The order in which a pack is connected, as a table to work through with the meter in hand."""

from __future__ import annotations

from typing import Any

from headrace.paper.against import against
from headrace.paper.quantity import quantity
from headrace.paper.readings import at_rest
from headrace.paper.words import plain

Record = dict[str, Any]
LITTLE = 0.5  # V, below which a meter on a machine reads what it likes

BEFORE = (
    "A pack, of cells or of batteries, cannot be switched off: work with eye protection, one hand, insulated tools, "
    "one wire at a time. Local codes and licensed practice come first. At a reading that differs go no further; a pack "
    "that is neither full nor half full reads what the table of its charge says, on the charging card."
)


def connecting(record: Record) -> list[tuple[str, str, str, str]]:
    """Return a row for each step: what to do, live or dead; what to cover, what to read, what another reading means."""
    return [
        (
            f"{'Live' if step['live'] else 'Dead'}. {doing(record, step)}",
            step["cover"],
            reading(step),
            step["differs"] or "",
        )
        for step in record.get("connecting", ())
    ]


def doing(record: Record, step: Record) -> str:
    """Return what to do in a step, behind what a stop says against the parts that are put to use in it."""
    return f"{against(record, step['parts'])} {step['does']}".strip()


def reading(step: Record) -> str:
    """Return what the meter says in a step, full and half full, and what else is read; "" where nothing is."""
    more = "; ".join(f"{one['name']}: {quantity(one)}" for one in step["expects"])
    return "; ".join(said for said in (_volts(step), more) if said)


def _volts(step: Record) -> str:
    between = ", ".join(said for said in (step["between"], at_rest(step)) if said)
    full, half = step["full_V"], step["half_V"]
    if full is None:
        return between
    if full == 0.0:
        return f"{between}: 0 V"
    if half is None and full < LITTLE:
        return f"{between}: a few tenths of a volt at most"
    if half is None or half == full:
        return f"{between}: {plain(full, 'V')}" + (" at most" if half is None else "")
    digits = 2 if full < 10.0 else 1
    return f"{between}: {plain(full, 'V', digits)} full, {plain(half, 'V', digits)} half full"
