"""The map of packs as rows of shapes: cells in series across, in parallel upwards."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import OTHER, SHAPES, WORKS

MARGIN = 3  # columns and rows shown beyond what works


def window(record: dict[str, Any]) -> tuple[list[int], list[int]]:
    """Return the counts in series and parallel worth showing: what works, what is planned, and a margin around."""
    marked = [(c["series"], c["parallel"]) for c in record["candidates"] if c["works"]]
    marked.append((int(record["planned"]["series"]), int(record["planned"]["parallel"])))
    series = sorted({c["series"] for c in record["candidates"]})
    parallel = sorted({c["parallel"] for c in record["candidates"]})
    left, right = min(s for s, _ in marked) - MARGIN, max(s for s, _ in marked) + MARGIN
    top = max(min(p for _, p in marked), int(record["planned"]["parallel"])) + 2 * MARGIN
    return [s for s in series if left <= s <= right], [p for p in parallel if p <= top]


def grid(record: dict[str, Any]) -> list[str]:
    """Return the lines of the map and its key, from the record of ``packs``."""
    series, parallel = window(record)
    shape = {(c["series"], c["parallel"]): _shape(c) for c in record["candidates"]}
    planned = (int(record["planned"]["series"]), int(record["planned"]["parallel"]))
    lines = []
    for p in reversed(parallel):
        cells = "".join(f"[{shape[s, p]}] " if (s, p) == planned else f" {shape[s, p]}  " for s in series)
        lines.append(f"  {p:>3}  {cells}".rstrip())
    lines.append("       " + "".join(f"{s:>2}  " for s in series).rstrip())
    lines.append("       across: in series, volts and so speed;   upwards: in parallel, amps and minutes")
    shown = {shape[s, p] for s in series for p in parallel}
    limits = dict.fromkeys((*SHAPES.values(), OTHER))  # two reasons may share a sign
    key = [f"{WORKS} works", "[ ] planned"] + [f"{mark} {words}" for mark, words in limits if mark in shown]
    return lines + _folded(key)


def _shape(candidate: dict[str, Any]) -> str:
    return WORKS if candidate["works"] else SHAPES.get(candidate["reasons"][0]["slug"], OTHER)[0]


def _folded(key: list[str], columns: int = 76) -> list[str]:
    lines, line = [], "      "
    for entry in key:
        if len(line) + len(entry) > columns:
            lines.append(line)
            line = "      "
        line += f" {entry}  "
    return [*lines, line]
