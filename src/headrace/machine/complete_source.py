"""From the form of the source to its record; what the file leaves out comes from the shelf and the tables."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial

import numpy as np

from headrace.machine.complete_cell import BLOCK, complete_cell
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
from headrace.machine.records import Cell, Origin, Source, Strips
from headrace.physics import arrangement


def complete_source(pedigree: Pedigree, table: AnySourceTable) -> Source:
    """Return the record of a source."""
    if isinstance(table, CellsTable):
        return _cells(pedigree, table)
    if isinstance(table, ReadyMadeTable):
        return _ready_made(pedigree, table)
    return _supply(pedigree, table)


def pack_mass(pedigree: Pedigree, at: str) -> float:
    """Note the mass of the pack, of a source that stands in the pedigree already; nothing of what never empties."""
    if "source.series" not in pedigree.origins:
        return pedigree.fixed(at, 0.0, "kg", "it carries no pack")
    cells = [pedigree.origins[f"source.{key}"] for key in ("series", "parallel", "cell.mass", "extra_mass")]
    return pedigree.work_out(at, _pack_mass, cells, "kg", "cells and what holds them")


def _pack_mass(series: Lanes, parallel: Lanes, cell_mass: Lanes, extra_mass: Lanes) -> Lanes:
    return arrangement.pack_mass(series * parallel, cell_mass, extra_mass)


def _cells(pedigree: Pedigree, table: CellsTable) -> Source:
    cell = complete_cell(pedigree, table.cell)
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
        in_turn=_in_turn(pedigree, table),
        frequency=pedigree.fixed("source.frequency", 0.0, "Hz", "cells give direct current"),
        scatter=get("scatter", default=_scatter(pedigree, cell)),
    )


def _scatter(pedigree: Pedigree, cell: Cell) -> str:
    """Return which usual scatter a cell has: one of its own, or that of all."""
    own = f"source.scatter.{cell.name}"
    return own if own in pedigree.defaults else "source.scatter"


def _ready_made(pedigree: Pedigree, table: ReadyMadeTable) -> Source:
    """Return a finished pack as cells as large as its label says, one in each group."""
    get = Fields(pedigree, table, "source", ("source",), "ready-made")
    cell = complete_cell(pedigree, CellTable.model_construct(shelf=table.cell, capacity=table.capacity), sized=True)
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
        in_turn=_in_turn(pedigree, table),
        frequency=pedigree.fixed("source.frequency", 0.0, "Hz", "cells give direct current"),
        ready_made=True,
        scatter=bare("scatter", default=_scatter(pedigree, cell)),
    )


def _in_turn(pedigree: Pedigree, table: CellsTable | ReadyMadeTable) -> float:
    return pedigree.fixed("source.in_turn", float(table.in_turn), "-", "packs, one after the other")


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
        charge_current=0.0,
        max_temperature=math.inf,
        charge_min_temperature=0.0,
        mass=0.0,
        specific_heat=1.0,
        diameter=0.0,
        length=0.0,
        price=0.0,
        wells=None,
    )


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
        metal=metal["name"],
    )
