"""From the form of the source to its record; what the file leaves out comes from the shelf and the tables."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from headrace.machine.form_source import (
    AnySourceTable,
    CellsTable,
    CellTable,
    ReadyMadeTable,
    SocketTable,
    StripsTable,
    SupplyTable,
)
from headrace.machine.lanes import Lanes
from headrace.machine.pedigree import Fields, Pedigree, row_of
from headrace.machine.records import Cell, Origin, Source, Strips, Wells
from headrace.physics import arrangement, charge_wells
from headrace.tables import Row, load

LONG_RATING, SHORT_RATING = 72_000.0, 3_600.0  # s, discharges between which wells follow an exponent
RATED = 3.6e5  # A s, any rating: wells of an exponent scale with it
BLOCK = "block"  # form of what is made in every size, so that a capacity of its own sizes the rest of it
# How a block's numbers go with its capacity, as powers of it.
SIZED = {"resistance": -1.0, "continuous_current": 1.0, "peak_current": 1.0, "mass": 1.0, "price": 1.0}
SIDES = {"diameter": 1.0 / 3.0, "length": 1.0 / 3.0}


def complete_source(pedigree: Pedigree, table: AnySourceTable) -> Source:
    """Return the record of a source."""
    if isinstance(table, CellsTable):
        return _cells(pedigree, table)
    if isinstance(table, ReadyMadeTable):
        return _ready_made(pedigree, table)
    return _supply(pedigree, table)


def _cells(pedigree: Pedigree, table: CellsTable) -> Source:
    cell = _cell(pedigree, table.cell)
    get = Fields(pedigree, table, "source", ("source",), "source")
    gap, pitch = get("gap"), (pedigree.origins["source.cell.diameter"], get.origin("gap"))
    block = f".{BLOCK}" if cell.form == BLOCK else ""
    return Source(
        cell=cell,
        series=get("series"),
        parallel=get("parallel"),
        strips=_strips(pedigree, table.strips, pitch, block),
        extra_mass=get("extra_mass", default=f"source.extra_mass{block}"),
        extra_cost=get("extra_cost"),
        gap=gap,
        wall=get("wall"),
        film=get("film"),
        current_limit=get.or_else("current_limit", math.inf),
        in_turn=get.or_else("in_turn", 1.0),
        frequency=pedigree.fixed("source.frequency", 0.0, "Hz", "cells give direct current"),
    )


def _ready_made(pedigree: Pedigree, table: ReadyMadeTable) -> Source:
    """Return a finished pack as cells as large as its label says, one in each group."""
    get = Fields(pedigree, table, "source", ("source",), "ready-made")
    cell = _cell(pedigree, CellTable.model_construct(shelf=table.cell, capacity=table.capacity), sized=True)
    series = max(1.0, float(np.rint(table.voltage.typical / cell.nominal_voltage)))
    words = "volts of the label over those of a cell"
    number = pedigree.fixed("source.series", series, "-", words)
    packs = pedigree.fixed("source.parallel", float(table.packs), "-", "packs side by side")
    label = get.origin("current")
    limit = pedigree.fixed("source.current_limit", label.typical * table.packs, "A", "amps of the label", label.basis)
    extra = pedigree.note(pedigree.default("source.extra_mass", "source.extra_mass", "-"))
    if table.mass is not None:
        cell = replace(cell, mass=_shared(pedigree, get, "mass", series))
        extra = pedigree.fixed("source.extra_mass", 0.0, "-", "the mass is that of the whole pack")
    if table.price is not None:
        cell = replace(cell, price=_shared(pedigree, get, "price", series))
    bare = Fields(pedigree, CellsTable(cell=CellTable(shelf=table.cell), series=1, parallel=1), "source", (), "source")
    gap, pitch = bare("gap"), (pedigree.origins["source.cell.diameter"], bare.origin("gap"))
    return Source(
        cell=cell,
        series=number,
        parallel=packs,
        strips=_strips(pedigree, StripsTable(metal="copper"), pitch, f".{BLOCK}"),
        extra_mass=extra,
        extra_cost=bare("extra_cost"),
        gap=gap,
        wall=bare("wall"),
        film=bare("film"),
        current_limit=limit,
        in_turn=get.or_else("in_turn", 1.0),
        frequency=pedigree.fixed("source.frequency", 0.0, "Hz", "cells give direct current"),
    )


def _shared(pedigree: Pedigree, get: Fields, key: str, groups: float) -> float:
    """Note a number of a whole pack as that of each of its groups."""
    whole = replace(get.origin(key), address=f"source.pack_{key}")
    return pedigree.work_out(f"source.cell.{key}", partial(_part, groups), (whole,), get.unit(key), "the pack's label")


def _part(groups: float, whole: Lanes) -> Lanes:
    return whole / groups


def _supply(pedigree: Pedigree, table: SocketTable | SupplyTable) -> Source:
    """Return what never empties, as one cell without end."""
    get = Fields(pedigree, table, "source", ("source",), table.kind)
    voltage = get.origin("voltage")
    volts = pedigree.note(replace(voltage, address="source.cell.nominal_voltage"))
    ohms = pedigree.note(replace(get.origin("resistance"), address="source.cell.resistance"))
    socket = isinstance(table, SocketTable)
    frequency = get("frequency") if socket else pedigree.fixed("source.frequency", 0.0, "Hz", "direct current")
    return Source(
        cell=_endless(table.kind, volts, ohms),
        series=1.0,
        parallel=1.0,
        strips=Strips(0.0, 0.0, 1.0, 1.0, 0.0),
        extra_mass=0.0,
        extra_cost=0.0,
        gap=0.0,
        wall=0.0,
        film=1.0,
        current_limit=pedigree.note(replace(get.origin("current"), address="source.current_limit")),
        in_turn=1.0,
        frequency=frequency,
    )


def _endless(kind: str, volts: float, ohms: float) -> Cell:
    """Return a cell that never empties, warms, ages or weighs anything."""
    flat = np.array([0.0, 1.0])
    return Cell(
        name=kind,
        chemistry="none",
        form="supply",
        ocv_table="",
        ocv_charge=flat,
        ocv_volts=np.array([1.0, 1.0]),
        plateau=None,
        entropy_charge=flat,
        entropy_slope=0.0 * flat,
        capacity=math.inf,
        full_voltage=volts,
        empty_voltage=0.0,
        nominal_voltage=volts,
        resistance=ohms,
        slow_resistance=(0.0, 0.0),
        slow_time=(1.0, 1.0),
        empty_rise=0.0,
        activation_energy=0.0,
        cold_loss=0.0,
        continuous_current=math.inf,
        peak_current=math.inf,
        max_temperature=math.inf,
        charge_min_temperature=0.0,
        mass=0.0,
        specific_heat=1.0,
        diameter=0.0,
        length=0.0,
        price=0.0,
        wells=None,
    )


def _cell(pedigree: Pedigree, table: CellTable, *, sized: bool = False) -> Cell:
    row = row_of("cells", table.shelf)
    bands = _bands(row)
    # what has no spread of its own on the shelf is a rating or a dimension
    spread = {key: bands.get(key, (1.0, 1.0)) for key in row}
    get = Fields(pedigree, table, "source.cell", ("source", "cell"), "cell", row, spread)
    sized = (sized or row["form"] == BLOCK) and table.capacity is not None
    capacity = get("capacity")

    def made(field: str) -> float:
        """Note a number that goes with the capacity where the thing is made in every size."""
        return _of_its_size(pedigree, get, field) if sized else get(field)

    def shelf(field: str, unit: str, column: str = "") -> float:
        factors = bands.get(field.split("[")[0], (1.0, 1.0))
        origin = pedigree.row(f"source.cell.{field}", row, column or field, unit, factors)
        if sized and field.startswith("slow_resistance"):
            return _scaled(pedigree, get, origin, -1.0, unit)
        return pedigree.note(origin)

    curve = row_of("ocv_tables", str(row["ocv_table"]))
    rest = [point for point in load("ocv") if point["table"] == row["ocv_table"]]
    entropy = [point for point in load("entropy") if point["table"] == row["entropy_table"]]
    return Cell(
        name=table.shelf,
        chemistry=row["chemistry"],
        form=BLOCK if sized else row["form"],
        ocv_table=row["ocv_table"],
        ocv_charge=np.array([point["charge"] for point in rest]),
        ocv_volts=np.array([point["volts"] for point in rest]),
        plateau=_plateau(pedigree, curve),
        entropy_charge=np.array([point["charge"] for point in entropy]),
        entropy_slope=np.array([point["slope"] for point in entropy]),
        capacity=capacity,
        full_voltage=get("full_voltage"),
        empty_voltage=get("empty_voltage"),
        nominal_voltage=get("nominal_voltage"),
        resistance=made("resistance"),
        slow_resistance=(
            shelf("slow_resistance[0]", "Ω", "slow_resistance_1"),
            shelf("slow_resistance[1]", "Ω", "slow_resistance_2"),
        ),
        slow_time=(shelf("slow_time[0]", "s", "slow_time_1"), shelf("slow_time[1]", "s", "slow_time_2")),
        empty_rise=shelf("empty_rise", "-"),
        activation_energy=shelf("activation_energy", "J/mol"),
        cold_loss=shelf("cold_loss", "1/K"),
        continuous_current=made("continuous_current"),
        peak_current=made("peak_current"),
        max_temperature=get("max_temperature"),
        charge_min_temperature=get("charge_min_temperature"),
        mass=made("mass"),
        specific_heat=get("specific_heat"),
        diameter=made("diameter"),
        length=made("length"),
        price=made("price"),
        wells=_wells(pedigree, row, bands),
    )


def _bands(row: Row) -> dict[str, tuple[float, float]]:
    """Return the spread of each column of the shelf, that of the chemistry or of this cell where it has its own."""
    rows = sorted(load("cell_bands"), key=lambda band: (band["cell"] != "", band["chemistry"] != ""))
    return {
        str(band["field"]): (float(band["low"]), float(band["high"]))
        for band in rows
        if band["chemistry"] in ("", row["chemistry"]) and band["cell"] in ("", row["name"])
    }


def _of_its_size(pedigree: Pedigree, get: Fields, field: str) -> float:
    if getattr(get.table, field) is not None:
        return get(field)
    return _scaled(pedigree, get, get.origin(field), {**SIZED, **SIDES}[field], get.unit(field))


def _scaled(pedigree: Pedigree, get: Fields, usual: Origin, power: float, unit: str) -> float:
    """Note a number of the shelf as that of a cell of another capacity."""
    address = usual.address
    name = address.rpartition(".")[2].replace("[", "_").rstrip("]")
    usual = replace(usual, address=f"source.cell.usual_{name}")
    law = partial(_at_size, float(get.shelf["capacity"]), power)
    return pedigree.work_out(address, law, (usual, pedigree.origins["source.cell.capacity"]), unit, "size of the cell")


def _at_size(shelf: float, power: float, usual: Lanes, capacity: Lanes) -> Lanes:
    return usual * (capacity / shelf) ** power


def _wells(pedigree: Pedigree, row: Row, bands: dict[str, tuple[float, float]]) -> Wells | None:
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


def _strips(pedigree: Pedigree, table: StripsTable, pitch: tuple[Origin, Origin], block: str) -> Strips:
    get = Fields(pedigree, table, "source.strips", ("source", "strips"), "strips")
    metal = row_of("metals", table.metal or ("copper" if block else "nickel"))
    if table.length is None:
        at, words = "source.strips.length", "diameter and gap of the cells"
        length = pedigree.work_out(at, arrangement.square_pitch, pitch, "m", words)
    else:
        length = get("length")
    return Strips(
        resistivity=pedigree.note(pedigree.row("source.strips.resistivity", metal, "resistivity", "Ω·m")),
        temperature_slope=pedigree.note(
            pedigree.row("source.strips.temperature_slope", metal, "temperature_slope", "1/K", (1.0, 1.0))
        ),
        width=get("width", default=f"strips.width{block}"),
        thickness=get("thickness", default=f"strips.thickness{block}"),
        length=length,
    )
