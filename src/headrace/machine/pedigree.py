"""Where each number of a machine comes from: the file, a shelf, a default, or worked out of another number.

A number is found as an ``Origin`` and noted when it becomes a field of a record; one that only serves to work out
another is found and not noted.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from headrace.machine.form import quantity_of
from headrace.machine.form_table import Table
from headrace.machine.places import Path, line_of
from headrace.machine.quantities import Written, usual_band
from headrace.machine.records import Origin
from headrace.machine.shelf import Shelf
from headrace.machine.units import KINDS
from headrace.machine.worked import Law, Worked, in_quadrature
from headrace.tables import Row, load, sources

FILE = "the machine file"
OPEN = "the file sets none"  # of a number that may be left open
Factors = tuple[float, float]
EXACT: Factors = (1.0, 1.0)


def row_of(table: str, name: str) -> Row:
    """Return the row of a table by its name; the file has been held against the table already."""
    return next(row for row in load(table) if row["name"] == name)


class Pedigree:
    """Collects the origin of every number of one machine."""

    def __init__(self, lines: Mapping[Path, int], shelf: Shelf) -> None:
        self.lines, self.shelf = dict(lines), shelf
        self.origins: dict[str, Origin] = {}
        self.worked: dict[str, Worked] = {}
        self.defaults = {str(row["key"]): row for row in load("defaults")}

    def note(self, origin: Origin) -> float:
        """Write an origin down and return its number."""
        self.origins[origin.address] = origin
        return origin.typical

    def work_out(self, address: str, law: Law, parents: Sequence[Origin], unit: str, source: str) -> float:
        """Note a number that is worked out of others, with the basis of the one that moves it most, and return it.

        Parameters
        ----------
        address
            Of the new number.
        law
            From the others to it, floats or lanes.
        parents
            The others; one that is no field of a record is noted as well.
        unit
            Of the new number.
        source
            In words: from what.
        """
        for parent in parents:
            self.origins.setdefault(parent.address, replace(parent, inner=True))
        low, typical, high, leading = in_quadrature(law, parents)
        self.worked[address] = Worked(law, tuple(parent.address for parent in parents))
        words = f"{source} ({leading.source})"
        return self.note(Origin(address, leading.basis, words, typical, low, high, unit, leading.written, leading.line))

    def fixed(self, address: str, value: float, unit: str, source: str, basis: str = "given") -> float:
        """Note a number without a band: a count, or what stands for "none"."""
        return self.note(Origin(address, basis, source, value, value, value, unit, "", 0))

    def written(self, address: str, written: Written | int, path: Path, unit: str) -> Origin:
        """Return the origin of a number of the file."""
        if isinstance(written, int):
            value = float(written)
            line = line_of(self.lines, path)
            return Origin(address, "given", FILE, value, value, value, unit, str(written), line)
        line = 0 if written.elsewhere else line_of(self.lines, path)
        return Origin(
            address,
            written.basis,
            written.source or FILE,
            written.typical,
            written.low,
            written.high,
            unit,
            written.text,
            line,
        )

    def default(self, address: str, key: str, unit: str) -> Origin:
        """Return the origin of a number that the file leaves out."""
        row = self.defaults[key]
        low, typical, high = (float(row[end]) for end in ("low", "typical", "high"))
        return Origin(address, str(row["basis"]), str(row["source"]), typical, low, high, unit, "", 0)

    def row(self, address: str, row: Row, column: str, unit: str, factors: Factors | None = None) -> Origin:
        """Return the origin of a number of a table's row; without factors with the usual band of its basis."""
        value, source = float(row[column]), str(row["source"])
        basis = sources()[source].basis
        low, high = usual_band(value, basis) if factors is None else sorted((value * factors[0], value * factors[1]))
        return Origin(address, basis, source, value, low, high, unit, "", 0)


class Fields:
    """One table of the file on its way into one record.

    Parameters
    ----------
    pedigree
        Where origins are noted.
    table
        As the form holds it.
    at, path
        Address of the record, and path of the table in the file.
    kind
        First part of the keys of defaults.
    row
        Of a shelf, asked for what the file leaves out before the defaults are.
    bands
        Factors of low and high for columns of that row; a column that is not named has the usual band.
    """

    def __init__(
        self,
        pedigree: Pedigree,
        table: Table,
        at: str,
        path: Path,
        kind: str,
        row: Row | None = None,
        bands: Mapping[str, Factors] | None = None,
    ) -> None:
        self.pedigree, self.table, self.at, self.path, self.kind = pedigree, table, at, path, kind
        self.shelf, self.bands = row or {}, bands or {}

    def __call__(self, key: str, *, field: str = "", default: str = "") -> float:
        """Note a number and return it; ``field`` and ``default`` name it otherwise than the file's key does."""
        return self.pedigree.note(self.origin(key, field=field, default=default))

    def origin(self, key: str, *, field: str = "", default: str = "") -> Origin:
        """Return where a number comes from: the file, else the shelf, else the defaults."""
        origin = self._found(f"{self.at}.{field or key}", key, default)
        quantity = quantity_of(type(self.table), key)
        return origin if quantity is None else replace(origin, least=quantity.low, most=quantity.high)

    def _found(self, address: str, key: str, default: str) -> Origin:
        unit, written = self.unit(key), getattr(self.table, key)
        if written is not None:
            return self.pedigree.written(address, written, (*self.path, key), unit)
        if key in self.shelf and math.isfinite(self.shelf[key]):
            return self.pedigree.row(address, self.shelf, key, unit, self._factors(key))
        return self.pedigree.default(address, default or f"{self.kind}.{key}", unit)

    def or_else(self, key: str, value: float, *, field: str = "") -> float:
        """Note a number that the file may leave open, with what then stands for it."""
        if getattr(self.table, key) is None:
            return self.pedigree.fixed(f"{self.at}.{field or key}", value, self.unit(key), OPEN)
        return self(key, field=field)

    def unit(self, key: str) -> str:
        """Return the SI unit of a key."""
        quantity = quantity_of(type(self.table), key)
        return KINDS[quantity.kind].si if quantity is not None else "-"

    def _factors(self, key: str) -> Factors | None:
        quantity = quantity_of(type(self.table), key)
        banded = quantity is not None and quantity.band == "usual"
        return self.bands.get(key, None if banded else EXACT)
