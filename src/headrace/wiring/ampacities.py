"""What the published tables let a wire carry, each on its own: no number is a mix of two."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from headrace.machine.records import Lanes
from headrace.physics import ampacity, conductors
from headrace.physics.working import leaves
from headrace.tables import Row, load, sources

ICE = 273.15  # K at 0 °C
Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Rating:
    """One column of one table."""

    table: str
    column: str
    insulation: float  # K that it bears for long
    air: float  # K around the wires of the table
    says: str  # what it is for


def _by_insulation(table: str, short: str, degrees: tuple[int, ...], says: str) -> dict[str, Rating]:
    return {f"{short}-{c}": Rating(table, f"rated_{c}", ICE + c, ICE + 30.0, says.format(c)) for c in degrees}


RATINGS: dict[str, Rating] = {
    "iec-surface": Rating("ampacity_iec60364_5_52", "surface", ICE + 70.0, ICE + 30.0, "PVC, on a surface"),
    "iec-conduit": Rating("ampacity_iec60364_5_52", "conduit", ICE + 70.0, ICE + 30.0, "PVC, in conduit on a wall"),
    **_by_insulation("ampacity_nec_310_16", "nec", (60, 75, 90), "insulation for {} °C, in a raceway or cable"),
    **_by_insulation(
        "ampacity_cfr33_183_425", "cfr", (60, 75, 80, 90, 105, 125, 200), "insulation for {} °C, in open air"
    ),
}


@cache
def sizes_of(table: str) -> Array:
    """Return the sizes of a table of ampacities, rising. [m²]"""
    return np.array(sorted(_area(row) for row in load(table)))


@cache
def _amps(name: str) -> Array:
    rating = RATINGS[name]
    return np.array([row[rating.column] for row in sorted(load(rating.table), key=_area)])


def _area(row: Row) -> float:
    if "area" in row:
        return float(row["area"])
    return float(conductors.wire_area(conductors.awg_diameter(row["gauge"])))


def source_of(name: str) -> str:
    """Return the title of the table behind a rating; where it carries another on, that of its main part."""
    return sources()[str(load(RATINGS[name].table)[-1]["source"])].title


@dataclass(frozen=True)
class Listed:
    """What a table says of one size, in the table's own air."""

    current: Lanes  # A
    insulation: Lanes  # K
    air: Lanes  # K

    def carries(self, ambient: Lanes) -> Lanes:
        """Return what the wire carries for long in other air. [A]"""
        return ampacity.ampacity_in(self.current, ampacity.ambient_factor(ambient, self.insulation, self.air))


def listed(name: str, area: Lanes) -> Listed:
    """Return the line of a table for a size; between two sizes, and beyond the last, on a power of the size."""
    sizes, amps, rating = sizes_of(RATINGS[name].table), _amps(name), RATINGS[name]
    above = np.clip(np.searchsorted(sizes, np.asarray(area, dtype=float)), 1, len(sizes) - 1)
    lines = (sizes[above - 1], sizes[above], amps[above - 1], amps[above])
    title = source_of(name)
    current = ampacity.power_between(area, *leaves(lines, "table", title))
    return Listed(current, *leaves((rating.insulation, rating.air), "table", title))


def strands(area: Lanes) -> Lanes:
    """Return the most a metre of flexible copper of a size resists at 20 °C, by the nearest standard size. [Ω/m]"""
    rows = load("conductors_iec60228_class5")
    sizes, ohms = (np.array([row[column] for row in rows]) for column in ("area", "resistance_20"))
    nearest = np.searchsorted(np.sqrt(sizes[:-1] * sizes[1:]), np.asarray(area, dtype=float))
    near = leaves((sizes[nearest], ohms[nearest]), "table", sources()[rows[0]["source"]].title)
    return ampacity.resistance_of_size(area, *near)
