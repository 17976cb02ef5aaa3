"""From the form of a cell to its record: what the file says, then a part of the builder's own, then the shelf's row."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from headrace.machine.form_source import CellTable
from headrace.machine.lanes import Lanes
from headrace.machine.pedigree import EXACT, Factors, Fields, Pedigree, row_of
from headrace.machine.records import Cell, Origin, Wells
from headrace.machine.shelf import Part
from headrace.physics import cells, charge_wells
from headrace.tables import Row, load

LONG_RATING, SHORT_RATING = 72_000.0, 3_600.0  # s, discharges between which wells follow an exponent
RATED = 3.6e5  # A s, any rating: wells of an exponent scale with it
VOLTS = ("full_voltage", "empty_voltage", "nominal_voltage")
PULSE = 10.0  # s into a pulse test at which its volts are noted
BLOCK = "block"  # form of what is made in every size, so that a capacity of its own sizes the rest of it
# How a block's numbers go with its capacity, as powers of it.
SIZED = {
    "resistance": -1.0,
    "continuous_current": 1.0,
    "peak_current": 1.0,
    "charge_current": 1.0,
    "mass": 1.0,
    "price": 1.0,
}
SIDES = {"diameter": 1.0 / 3.0, "length": 1.0 / 3.0}


def complete_cell(pedigree: Pedigree, table: CellTable, *, sized: bool = False) -> Cell:
    """Return a cell.

    Parameters
    ----------
    pedigree
        Where origins are noted.
    table
        As the form holds it.
    sized
        Take a cell as large as its capacity, whatever the form of the shelf's.
    """
    part = pedigree.shelf.part("cells", table.shelf)
    made = _Making(pedigree, part, part.under(table), sized=sized)
    get, shelf, row = made.get, made.shelf, part.row
    capacity, full, empty, nominal = (get(key) for key in ("capacity", *VOLTS))
    resistance, slow_resistance, slow_time = made.resistances()
    rest = [point for point in load("ocv") if point["table"] == row["ocv_table"]]
    entropy = [point for point in load("entropy") if point["table"] == row["entropy_table"]]
    return Cell(
        name=table.shelf,
        chemistry=row["chemistry"],
        form=BLOCK if made.sized else row["form"],
        ocv_table=row["ocv_table"],
        ocv_charge=np.array([point["charge"] for point in rest]),
        ocv_volts=np.array([point["volts"] for point in rest]),
        plateau=_plateau(pedigree, row_of("ocv_tables", str(row["ocv_table"]))),
        entropy_charge=np.array([point["charge"] for point in entropy]),
        entropy_slope=np.array([point["slope"] for point in entropy]),
        capacity=capacity,
        full_voltage=full,
        empty_voltage=empty,
        nominal_voltage=nominal,
        resistance=resistance,
        slow_resistance=slow_resistance,
        slow_time=slow_time,
        empty_rise=shelf("empty_rise", "-"),
        activation_energy=shelf("activation_energy", "J/mol"),
        cold_loss=shelf("cold_loss", "1/K"),
        continuous_current=made("continuous_current"),
        peak_current=made("peak_current"),
        charge_current=made.charging(),
        max_temperature=get("max_temperature"),
        charge_min_temperature=get("charge_min_temperature"),
        mass=made("mass"),
        specific_heat=get("specific_heat"),
        diameter=made("diameter"),
        length=made("length"),
        price=made("price"),
        wells=_wells(pedigree, row, made.bands),
    )


class _Making:
    """One cell on its way into its record: where a number is found, and how it goes with the size of the cell."""

    def __init__(self, pedigree: Pedigree, part: Part, table: CellTable, *, sized: bool) -> None:
        self.pedigree, self.part, self.table = pedigree, part, table
        self.bands = _bands(part.row)
        # what has no spread of its own on the shelf is a rating or a dimension
        spread = {key: self.bands.get(key, EXACT) for key in part.row}
        self.get = Fields(pedigree, table, "source.cell", ("source", "cell"), "cell", part.row, spread)
        self.sized = (sized or part.row["form"] == BLOCK) and table.capacity is not None

    def __call__(self, field: str) -> float:
        """Note a number that goes with the capacity where the thing is made in every size."""
        base = self._size_of(field)
        if base is None:
            return self.get(field)
        power = {**SIZED, **SIDES}[field]
        return self._scaled(self.get.origin(field), base, power, self.get.unit(field))

    def shelf(self, field: str, unit: str) -> float:
        """Note a number that only the shelf's row has."""
        return self.pedigree.note(self._of_the_row(field, field, unit))

    def resistances(self) -> tuple[float, tuple[float, float], tuple[float, float]]:
        """Note the resistance of the first second, and the two slow ones with their times."""
        times = [self._of_the_row(f"slow_time[{k}]", f"slow_time_{k + 1}", "s") for k in (0, 1)]
        slow = [self._of_the_row(f"slow_resistance[{k}]", f"slow_resistance_{k + 1}", "Ω") for k in (0, 1)]
        if self.table.pulse_drop is not None:
            first, *later = self._of_a_pulse(slow, times)
        else:
            first, base = self("resistance"), float(self.part.row["capacity"])
            later = [self._scaled(one, base, -1.0, "Ω") if self.sized else self.pedigree.note(one) for one in slow]
        return first, (later[0], later[1]), (self.pedigree.note(times[0]), self.pedigree.note(times[1]))

    def charging(self) -> float:
        """Note the most a cell takes on charge: as the file says, else at the usual rate of its chemistry."""
        if self.table.charge_current is not None:
            return self("charge_current")
        key = "cell.charge_rate.lead-acid" if self.part.row["chemistry"] == "lead-acid" else "cell.charge_rate"
        usual = self.pedigree.default("source.cell.usual_charge_rate", key, "1/s")
        parents = (self.pedigree.origins["source.cell.capacity"], usual)
        return self.pedigree.work_out(
            "source.cell.charge_current", operator.mul, parents, "A", "capacity and usual rate"
        )

    def _of_a_pulse(self, slow: list[Origin], times: list[Origin]) -> list[float]:
        """Note the three resistances in the proportion of the shelf's cell, of the size that the pulse showed."""
        get, unit = self.get, self.get.unit("resistance")
        usual = [_as_usual(one) for one in (self._of_the_row("resistance", "resistance", unit), *slow)]
        parents = [get.origin("pulse_drop"), get.origin("pulse_current"), *usual, *times]
        base = self._size_of("pulse_drop")  # of a part, put into a pack of another capacity
        if base is not None:
            parents.append(self.pedigree.origins["source.cell.capacity"])
        words = f"volts lost {PULSE:.0f} s into a pulse, parted as the shelf's cell does"
        return [
            self.pedigree.work_out(
                f"source.cell.{field}", partial(_part_of_a_pulse, k, base or 0.0), parents, "Ω", words
            )
            for k, field in enumerate(("resistance", "slow_resistance[0]", "slow_resistance[1]"))
        ]

    def _size_of(self, field: str) -> float | None:
        """Return the capacity at which a number is known, None where it is known at the cell's own. [A s]"""
        if not self.sized:
            return None
        written, capacity = getattr(self.table, field), self.table.capacity
        if written is None:
            return float(self.part.row["capacity"])
        own = self.part.typical["capacity"] if written.elsewhere and capacity and not capacity.elsewhere else None
        return None if own is None else float(own)

    def _scaled(self, usual: Origin, base: float, power: float, unit: str) -> float:
        """Note a number known at one capacity as that of a cell of another."""
        parents = (_as_usual(usual), self.pedigree.origins["source.cell.capacity"])
        return self.pedigree.work_out(usual.address, partial(_at_size, base, power), parents, unit, "size of the cell")

    def _of_the_row(self, field: str, column: str, unit: str) -> Origin:
        factors: Factors = self.bands.get(field.split("[")[0], EXACT)
        return self.pedigree.row(f"source.cell.{field}", self.part.row, column, unit, factors)


def _as_usual(origin: Origin) -> Origin:
    """Return the origin of the shelf's number beside that of the cell's own, under an address of its own."""
    name = origin.address.rpartition(".")[2].replace("[", "_").rstrip("]")
    return replace(origin, address=f"source.cell.usual_{name}")


def _at_size(base: float, power: float, usual: Lanes, capacity: Lanes) -> Lanes:
    return usual * (capacity / base) ** power


def _part_of_a_pulse(which: int, base: float, drop: Lanes, current: Lanes, *usual: Lanes) -> Lanes:
    """Return one of three resistances, in the proportion of the usual ones, that together lose a pulse's volts. [Ω]"""
    first, slow_1, slow_2, time_1, time_2, *capacity = usual
    slow = sum(cells.rc_step(0.0, current, r, time, PULSE) for r, time in ((slow_1, time_1), (slow_2, time_2)))
    found = (first, slow_1, slow_2)[which] * drop / (current * first + slow)
    return found * base / capacity[0] if capacity else found


def _bands(row: Row) -> dict[str, Factors]:
    """Return the spread of each column of the shelf, that of the chemistry or of this cell where it has its own."""
    rows = sorted(load("cell_bands"), key=lambda band: (band["cell"] != "", band["chemistry"] != ""))
    return {
        str(band["field"]): (float(band["low"]), float(band["high"]))
        for band in rows
        if band["chemistry"] in ("", row["chemistry"]) and band["cell"] in ("", row["name"])
    }


def _wells(pedigree: Pedigree, row: Row, bands: dict[str, Factors]) -> Wells | None:
    """Return the two wells that follow a cell's exponent; None where all its charge is at hand."""
    if not math.isfinite(row["peukert_exponent"]):
        return None
    factors = bands["peukert_exponent"]
    exponent = pedigree.row("source.cell.peukert_exponent", row, "peukert_exponent", "-", factors)

    def worked(field: str, law: Callable[[Lanes], Lanes], unit: str) -> float:
        return pedigree.work_out(f"source.cell.wells.{field}", law, (exponent,), unit, "the exponent of its rate")

    return Wells(worked("share", _well_share, "-"), worked("rate", _well_rate, "1/s"), worked("excess", _excess, "-"))


def _well_rate(exponent: Lanes) -> Lanes:
    return charge_wells.rate_of_peukert(exponent, LONG_RATING, SHORT_RATING)


def _well_constants(exponent: Lanes) -> charge_wells.WellConstants:
    short = charge_wells.peukert_capacity(RATED, LONG_RATING, exponent, SHORT_RATING)
    return charge_wells.wells_of_ratings(RATED, LONG_RATING, short, SHORT_RATING, _well_rate(exponent))


def _well_share(exponent: Lanes) -> Lanes:
    return _well_constants(exponent).share


def _excess(exponent: Lanes) -> Lanes:
    return _well_constants(exponent).capacity / RATED


def _plateau(pedigree: Pedigree, curve: Row) -> tuple[float, float] | None:
    """Return the volts between which charge cannot be read from voltage, where the chemistry has such a stretch."""
    if not math.isfinite(curve["plateau_low"]):
        return None
    low, high = (
        pedigree.note(pedigree.row(f"source.cell.plateau[{place}]", curve, column, "V", (1.0, 1.0)))
        for place, column in enumerate(("plateau_low", "plateau_high"))
    )
    return low, high
