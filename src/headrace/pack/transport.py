"""The pack as those see it who carry, test or touch it: watt-hours, mass, volts, and the printed limits on each.

Sums held against printed numbers. Nothing here says that anything complies: that takes the whole rule, and tests.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from headrace.machine.printed import printed
from headrace.machine.records import Lanes, Source
from headrace.machine.values import first_number
from headrace.pack import arrangement
from headrace.tables import Row, load, sources

UNITS = {"energy": "J", "mass": "kg", "charge": ""}  # of a limit, by its column; a fraction has none


@dataclass(frozen=True)
class Threshold:
    """One printed limit, and what of the pack it is held against; arrays over lanes."""

    name: str
    of: str  # cell, pack, stored
    unit: str  # of value and limit; "" of a fraction
    value: Lanes
    limit: Lanes
    within: str  # what it means not to be past it
    past: str  # and to be
    source: str  # key of tables/sources.toml
    itself: bool = True  # whether the limit itself is still within it
    words: str = ""  # what it is of
    only: str = ""  # what it is printed for alone: lamps, vehicles; "" of any machine

    @property
    def met(self) -> bool:
        """Whether the typical pack is not past it."""
        value, limit = (first_number(one) for one in (self.value, self.limit))
        return value < limit or (self.itself and value == limit)

    @property
    def says(self) -> str:
        """What that means."""
        return self.within if self.met else self.past

    @property
    def basis(self) -> str:
        """Assumed of a limit that is only remembered."""
        return sources()[self.source].basis


@dataclass(frozen=True)
class Counted:
    """What is carried and counted as one piece; arrays over lanes, None where it is not known.

    Attributes
    ----------
    cell_energy, cell_mass
        Of one cell. [J, kg]
    energy, mass, capacity, voltage, full_voltage
        Of one piece: capacity times nominal volts, which is what rules count, whatever comes out. [J, kg, A·s, V, V]
    pieces
        Such pieces on the machine, those worked in turn as well. [-]
    """

    cell_energy: Lanes | None
    cell_mass: Lanes | None
    energy: Lanes
    mass: Lanes
    capacity: Lanes
    voltage: Lanes
    full_voltage: Lanes
    pieces: Lanes


def counted(source: Source) -> Counted:
    """Return what is counted as one piece: the pack, each labelled pack, or each battery of lead-acid.

    Parameters
    ----------
    source
        Anything that can be emptied.
    """
    cell, whole = source.cell, arrangement.mass(source)
    each = cell.capacity * cell.nominal_voltage
    if source.ready_made:
        one, volts = source.series * each, source.series * cell.nominal_voltage
        full, pieces = source.series * cell.full_voltage, source.parallel * source.in_turn
        return Counted(None, None, one, whole / source.parallel, cell.capacity, volts, full, pieces)
    if source.kind == "batteries":
        pieces = arrangement.count(source) * source.in_turn
        return Counted(
            None, None, each, cell.mass, cell.capacity, cell.nominal_voltage, cell.full_voltage, pieces
        )  # fmt: skip
    return Counted(
        cell_energy=each,
        cell_mass=cell.mass,
        energy=arrangement.energy(source),
        mass=whole,
        capacity=source.parallel * cell.capacity,
        voltage=source.series * cell.nominal_voltage,
        full_voltage=source.series * cell.full_voltage,
        pieces=source.in_turn,
    )


@cache
def class_of(chemistry: str) -> Row | None:
    """Return what a chemistry comes under when carried; None where the tables do not say."""
    return next((row for row in load("transport_classes") if row["chemistry"] == chemistry), None)


def thresholds(source: Source, found: Counted, stored: Lanes) -> tuple[Threshold, ...]:
    """Return every printed limit that watt-hours, mass or charge are held against; none where they do not count.

    Parameters
    ----------
    source
        The pack.
    found
        What is counted of it.
    stored
        Charge it is put away at as planned. [-]
    """
    known = class_of(source.cell.chemistry)
    if known is None or known["counted"] != "yes":
        return ()
    values: dict[tuple[str, str], Lanes | None] = {
        ("cell", "energy"): found.cell_energy,
        ("cell", "mass"): found.cell_mass,
        ("pack", "energy"): found.energy,
        ("pack", "mass"): found.mass,
        ("stored", "charge"): stored,
    }
    held = []
    for row in load("transport"):
        column = next(name for name in UNITS if np.isfinite(row[name]))
        value = values[str(row["of"]), column]
        if value is not None:
            held.append(_threshold(row, column, UNITS[column], value))
    return tuple(held)


def touch(full_voltage: Lanes) -> tuple[Threshold, ...]:
    """Return every printed limit on volts that hands may meet, held against the full pack.

    Parameters
    ----------
    full_voltage
        Of all there is in series, after a full charge. [V]
    """
    return tuple(_threshold(row, "voltage", "V", full_voltage) for row in load("touch_voltages"))


def touch_limit(name: str) -> Lanes:
    """Return one of the printed limits on volts, by its name in the table: "guarded" of live parts at work. [V]"""
    return printed(next(row for row in load("touch_voltages") if row["name"] == name), "voltage")


def _threshold(row: Row, column: str, unit: str, value: Lanes) -> Threshold:
    limit = printed(row, column)
    name, within, past, source = (str(row[key]) for key in ("name", "within", "past", "source"))
    words, only = str(row["words"]), str(row.get("only", ""))
    return Threshold(
        name,
        str(row.get("of", "pack")),
        unit,
        value,
        limit,
        within,
        past,
        source,
        row.get("itself") != "past",
        words,
        only,
    )
