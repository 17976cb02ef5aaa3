"""Energies, charges and powers of a file said back once, in a second unit and beside something plain."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.machine.form import File, quantity_of
from headrace.machine.form_source import CellsTable
from headrace.machine.form_table import Table
from headrace.machine.quantities import Written
from headrace.machine.units import from_si, pretty, spelled
from headrace.tables import load

# The unit to say it in, and the one for those who wrote it in that.
SECOND = {"energy": ("Wh", "kJ"), "charge": ("Ah", "A·s"), "power": ("hp", "W")}


def said_back(file: File) -> Iterator[str]:
    """Yield a line for each energy, charge and power the file gives."""
    for address, written, kind in _given(file):
        yield f"{address}: {pretty(written.text)}, that is {_second(written, kind)}: {_plainly(written, kind)}"


def _second(written: Written, kind: str) -> str:
    usual, other = SECOND[kind]
    unit = other if spelled(written.text).endswith(usual) else usual
    value = from_si(written.typical, kind, unit)
    return f"{value:,.0f} {unit}" if abs(value) >= 1000.0 else f"{value:.3g} {unit}"


def _plainly(written: Written, kind: str) -> str:
    """Return the amount as a share, or a multiple, of something everybody knows."""
    compared = next(row for row in load("comparisons") if row["kind"] == kind)
    times, words = written.typical / float(compared["amount"]), str(compared["words"])
    if words.startswith("times "):
        return f"{times:.2g} {words}"
    return f"{max(100.0 * times, 0.01):.2g} % {words}" if times < 0.995 else f"{times:.2g} times that {words}"


def _given(file: File) -> Iterator[tuple[str, Written, str]]:
    """Yield address, quantity and kind of each energy, charge and power."""
    tables: list[tuple[str, Table]] = [
        (f"chains.{chain.name}.{link.name}", link) for chain in file.chains for link in chain.links
    ]
    source = file.source
    tables.append(("source.cell", source.cell) if isinstance(source, CellsTable) else ("source", source))
    tables += [(f"job.{state.name}", state) for state in file.job.states]
    for address, table in tables:
        for key in type(table).model_fields:
            written, quantity = getattr(table, key), quantity_of(type(table), key)
            if isinstance(written, Written) and quantity is not None and quantity.kind in SECOND:
                yield f"{address}.{key}", written, quantity.kind
