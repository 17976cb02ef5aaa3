"""What can go wrong with what people hand in, drawn as one tree.

::

    HeadraceError
    ├── MachineFileError   fix the machine file: .file, .problems
    ├── TableError         fix the data: .table, .row, .what
    ├── OutOfRange         a law called by hand outside its range: .law, .parameter, .value, .low, .high
    ├── NotSettled         a loop between stages would not close: .loop, .number
    ├── NoWorking          ask for another number: .address, .why, .way_out, .unknown
    └── Unprintable        papers that cannot be set: .papers, .why

A stall, a trip, or no operating point is an answer and stands in the record; none of these is ever raised for it.
Every error carries its fields, so a face words it as it likes; ``str`` gives one plain sentence.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


class HeadraceError(Exception):
    """The root: catch this to catch everything the house raises on purpose."""


class MachineFileError(HeadraceError):
    """A machine file that cannot be used, with all its problems at once.

    Parameters
    ----------
    file
        The file as the builder named it.
    problems
        One record per problem, in the order of the file; each prints as its own line.
    """

    def __init__(self, file: str, problems: Sequence[Any]) -> None:
        self.file = file
        self.problems = tuple(problems)
        count = len(self.problems)
        super().__init__(f"{file} cannot be used ({count} problem{'' if count == 1 else 's'})")


class TableError(HeadraceError):
    """A table of ours that breaks its own rules.

    Parameters
    ----------
    table
        Name of the table.
    row
        Number of the row, counted from 1 below the units row; 0 when the table as a whole is meant.
    what
        What is wrong, in words.
    """

    def __init__(self, table: str, row: int, what: str) -> None:
        self.table = table
        self.row = row
        self.what = what
        place = f"table {table}, row {row}" if row else f"table {table}"
        super().__init__(f"{place}: {what}")


class OutOfRange(HeadraceError):  # noqa: N818 - reads as the outcome it is
    """A law called by hand with a number it does not hold for.

    Parameters
    ----------
    law
        Name of the law.
    parameter
        Name of the parameter.
    value
        The first value that is out of range, in the parameter's SI unit.
    low, high
        Ends of the range, both allowed.
    """

    def __init__(self, law: str, parameter: str, value: float, low: float, high: float) -> None:
        self.law = law
        self.parameter = parameter
        self.value = value
        self.low = low
        self.high = high
        super().__init__(f"{law}: {parameter} = {value:g} is outside {low:g} to {high:g}")


class NotSettled(HeadraceError):  # noqa: N818 - reads as the outcome it is
    """A loop between stages that would not close within its limit of rounds.

    Parameters
    ----------
    loop
        Which loop.
    number
        The number that would not settle.
    """

    def __init__(self, loop: str, number: str) -> None:
        self.loop = loop
        self.number = number
        super().__init__(f"{loop}: {number} does not settle")


class NoWorking(HeadraceError):  # noqa: N818 - reads as the outcome it is
    """A number that has no working, asked for by its address.

    Parameters
    ----------
    address
        As it was asked for.
    why
        What is not there, in words.
    way_out
        What to ask for instead, in words.
    unknown
        Whether nothing of that name is known, so that a slip is likely.
    """

    def __init__(self, address: str, why: str, way_out: str, *, unknown: bool = False) -> None:
        self.address = address
        self.unknown = unknown
        self.why = why
        self.way_out = way_out
        super().__init__(f"{address}: {why}; {way_out}")


class Unprintable(HeadraceError):  # noqa: N818 - reads as the outcome it is
    """Papers that cannot be set as they should be: a letter that the type lacks, a drawing that cannot be read.

    Parameters
    ----------
    papers
        Which papers.
    why
        What is wrong, in words.
    """

    def __init__(self, papers: str, why: str) -> None:
        self.papers = papers
        self.why = why
        super().__init__(f"{papers} cannot be printed: {why}")
