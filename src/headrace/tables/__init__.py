"""What did someone publish or measure? CSV files in SI, a source in every row.

First row names, second row SI units ("-" for a bare number, empty for text), then the data. An empty cell in a number
column is nan: nobody said. ``sources.toml`` says what each source is, how it was seen and how it was checked.
"""

from __future__ import annotations

import csv
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from headrace.errors import TableError

Row = Mapping[str, Any]  # a float where the column has a unit, text where it has none

KINDS = ("standard", "datasheet", "paper", "measured", "handbook", "trade-practice", "convention")
SEEN = ("original", "secondary", "memory")


@dataclass(frozen=True)
class SourceNote:
    """One entry of sources.toml."""

    key: str
    title: str
    where: str  # which part of it, and what of a row it does not cover
    kind: str  # one of KINDS
    seen: str  # one of SEEN
    checked: str  # against what

    @property
    def basis(self) -> str:
        """How a number of it is known: assumed of common practice and of what is only remembered."""
        return "assumed" if self.kind == "trade-practice" or self.seen == "memory" else "table"


@cache
def sources() -> Mapping[str, SourceNote]:
    """Return every source by its key.

    Raises
    ------
    TableError
        An entry lacks a field, has one too many, or is of an unknown kind.
    """
    return read_sources((files(__name__) / "sources.toml").read_text(encoding="utf-8"))


@cache
def load(name: str) -> tuple[Row, ...]:
    """Return the rows of a table, numbers in SI; read once and not to be changed.

    Parameters
    ----------
    name
        File name without its ending.

    Raises
    ------
    TableError
        No such table, or one that breaks the rules of ``read_rows``.
    """
    file = files(__name__) / f"{name}.csv"
    if not file.is_file():
        raise TableError(name, 0, "no such table")
    return read_rows(name, file.read_text(encoding="utf-8"), sources())


@cache
def units(name: str) -> Mapping[str, str]:
    """Return the units of a table's columns as its second row has them, "" of text.

    Parameters
    ----------
    name
        File name without its ending.
    """
    load(name)  # by whose rules the two head rows are known to be there
    names, units_row, *_ = csv.reader((files(__name__) / f"{name}.csv").read_text(encoding="utf-8").splitlines())
    return MappingProxyType(dict(zip(names, units_row, strict=True)))


def read_sources(text: str) -> Mapping[str, SourceNote]:
    """Return the sources that a TOML text describes.

    Raises
    ------
    TableError
        An entry lacks a field, has one too many, or is of an unknown kind.
    """
    wanted = {field.name for field in fields(SourceNote)} - {"key"}
    found = {}
    for key, entry in tomllib.loads(text).items():
        if set(entry) != wanted:
            raise TableError("sources", 0, f"{key} must have {', '.join(sorted(wanted))} and nothing else")
        note = SourceNote(key, **entry)
        if note.kind not in KINDS:
            raise TableError("sources", 0, f"{key}: kind {note.kind!r} is not one of {', '.join(KINDS)}")
        if note.seen not in SEEN:
            raise TableError("sources", 0, f"{key}: seen {note.seen!r} is not one of {', '.join(SEEN)}")
        found[key] = note
    return MappingProxyType(found)


def read_rows(table: str, text: str, known: Mapping[str, SourceNote]) -> tuple[Row, ...]:
    """Return the rows of a CSV text.

    Parameters
    ----------
    table
        Name for messages.
    text
        A row of names, a row of units, then the data.
    known
        The sources a row may name.

    Raises
    ------
    TableError
        No two head rows, a name missing or twice, no column for the source, a row of the wrong length, a number that
        is none or not finite, or a source nobody wrote down.
    """
    lines = list(csv.reader(text.splitlines()))
    if len(lines) < 2:
        raise TableError(table, 0, "needs a row of names and a row of units")
    names, units, *rows = lines
    if "" in names or len(set(names)) != len(names) or len(units) != len(names):
        raise TableError(table, 0, "every column needs a name of its own and a cell in the units row")
    if "source" not in names:
        raise TableError(table, 0, "there is no column named source")
    return tuple(_row(table, number, names, units, cells, known) for number, cells in enumerate(rows, start=1))


def _row(
    table: str, number: int, names: list[str], units: list[str], cells: list[str], known: Mapping[str, SourceNote]
) -> Row:
    if len(cells) != len(names):
        raise TableError(table, number, f"{len(cells)} cells for {len(names)} columns")
    row: dict[str, Any] = {}
    for name, unit, cell in zip(names, units, cells, strict=True):
        row[name] = _number(table, number, name, cell) if unit else cell
    if row["source"] not in known:
        raise TableError(table, number, f"source {row['source']!r} is not in sources.toml")
    return MappingProxyType(row)


def _number(table: str, number: int, name: str, cell: str) -> float:
    if not cell:
        return math.nan
    try:
        value = float(cell)
    except ValueError as trouble:
        raise TableError(table, number, f"{name} = {cell!r} is no number") from trouble
    if not math.isfinite(value):
        raise TableError(table, number, f"{name} = {cell!r} is not finite; leave the cell empty where nobody said")
    return value
