"""What a machine file takes its cells and motors from: the classes of the tables, and a builder's own parts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from headrace.machine.form_links import MotorNumbers, MotorTable
from headrace.machine.form_source import CellNumbers, CellTable
from headrace.machine.quantities import Written
from headrace.tables import Row, load

Numbers = CellNumbers | MotorNumbers
Named = TypeVar("Named", CellTable, MotorTable)

NUMBERS: dict[str, type[CellNumbers] | type[MotorNumbers]] = {"cells": CellNumbers, "motors": MotorNumbers}
# Keys that say the same in two ways: where a machine file gives one of them, it has said what the others would.
SAME = ({"resistance", "pulse_current", "pulse_drop"}, {"drag", "no_load_current", "no_load_speed"})


@dataclass(frozen=True)
class Part:
    """One thing on the shelf.

    Attributes
    ----------
    kind
        Table it lies in: cells, motors.
    name
        By which a machine file names it.
    row
        Of the tables, asked for what the part does not say itself.
    own
        What a builder says of it; None of a class of the tables.
    file
        That says so, "" of a class of the tables.
    """

    kind: str
    name: str
    row: Row
    own: Numbers | None = None
    file: str = ""

    def under(self, table: Named) -> Named:
        """Return a table of a machine file with what the part says of itself where the file says nothing."""
        if self.own is None:
            return table
        said = table.model_fields_set
        told = {key for same in SAME if same & said for key in same} | said
        taken = {key: value for key, value in _said(self.own, self.kind).items() if key not in told}
        return table.model_copy(update=taken)

    @property
    def typical(self) -> Row:
        """Return the row with the part's own typical numbers and words in it."""
        own = _said(self.own, self.kind) if self.own is not None else {}
        numbers = {key: value.typical for key, value in own.items() if isinstance(value, Written)}
        return {**self.row, **numbers, **{key: value for key, value in own.items() if isinstance(value, str)}}


class Shelf:
    """The parts that a machine file may name.

    Parameters
    ----------
    own
        The builder's, beside those of the tables.
    whole
        False where some of the builder's could not be read, so that a name not found here may stand there.
    """

    def __init__(self, own: Iterable[Part] = (), *, whole: bool = True) -> None:
        self.whole = whole
        self._own = {(part.kind, part.name): part for part in own}

    def names(self, kind: str) -> list[str]:
        """Return the names of all cells, or all motors: of the tables, then the builder's."""
        return [*_rows(kind), *(name for own, name in self._own if own == kind)]

    def find(self, kind: str, name: object) -> Part | None:
        """Return a part, or None where there is none of that name."""
        if not isinstance(name, str):
            return None
        row = _rows(kind).get(name)
        return Part(kind, name, row) if row is not None else self._own.get((kind, name))

    def part(self, kind: str, name: str) -> Part:
        """Return a part that is known to be there.

        Raises
        ------
        KeyError
            It is not.
        """
        found = self.find(kind, name)
        if found is None:
            raise KeyError(name)
        return found


def _said(own: Numbers, kind: str) -> dict[str, object]:
    """Return what a part says of itself by key."""
    return {key: getattr(own, key) for key in NUMBERS[kind].model_fields if key in own.model_fields_set}


def _rows(kind: str) -> dict[str, Row]:
    return {str(row["name"]): row for row in load(kind)}
