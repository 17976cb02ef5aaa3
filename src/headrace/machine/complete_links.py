"""From the form of a chain to its records; what the file leaves out comes from the tables."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from typing import Any

import numpy as np

from headrace.machine.complete_corded import dc_dc, induction_motor, inverter, series_motor
from headrace.machine.complete_works import complete_work
from headrace.machine.efficiencies import filled
from headrace.machine.form_corded import DcDcTable, InductionMotorTable, InverterTable, SeriesMotorTable
from headrace.machine.form_links import (
    BearingsTable,
    CableTable,
    ChainTable,
    ContactsTable,
    ControllerTable,
    MotorTable,
    TransmissionTable,
    WormTable,
)
from headrace.machine.lanes import Lanes
from headrace.machine.links import AnyMotor, Bearings, Cable, Contacts, Controller, Link, Motor, Transmission
from headrace.machine.pedigree import EXACT, Fields, Pedigree, row_of
from headrace.machine.places import Path
from headrace.machine.records import Chain, Origin
from headrace.physics import motors, transmission
from headrace.tables import Row, load

# Magnets usual in each make of motor, where neither file nor shelf says; of the source of the defaults.
USUAL_MAGNET = {"brushed": "ferrite", "electronic": "neodymium"}


def complete_chain(pedigree: Pedigree, table: ChainTable, path: Path, source_frequency: float) -> Chain:
    """Return a chain on a source of a frequency, 0 of direct current; one without a controller hangs on a switch."""
    at = f"chains.{table.name}"
    work = complete_work(pedigree, table.work, f"{at}.work", (*path, "work"))
    frequency = _frequency(pedigree, table, source_frequency)
    links = [
        _link(pedigree, link, f"{at}.{link.name}", (*path, "links", place), frequency)
        for place, link in enumerate(table.links)
    ]
    if not any(isinstance(link, Controller) for link in links):
        motor = next(place for place, link in enumerate(links) if isinstance(link, AnyMotor))
        fed_back = isinstance(links[motor], Motor)  # nothing stands between its volts and the pack's
        links.insert(motor + 1, _bare_switch(pedigree, at, {link.name for link in links}, regenerates=fed_back))
    return Chain(table.name, work, tuple(links), alternating=frequency > 0.0)


def _frequency(pedigree: Pedigree, table: ChainTable, source_frequency: float) -> float:
    """Return the frequency a chain's motor runs on: that of its converter, else of its source. [Hz]"""
    for link in table.links:
        if isinstance(link, InverterTable):
            default = float(pedigree.defaults["inverter.frequency"]["typical"])
            return default if link.frequency is None else link.frequency.typical
        if isinstance(link, DcDcTable):
            return 0.0
    return source_frequency


def _link(pedigree: Pedigree, table: Any, at: str, path: Path, frequency: float) -> Link:
    table = filled(table)
    if isinstance(table, SeriesMotorTable):
        return series_motor(pedigree, table, at, path, frequency)
    return BUILDERS[type(table)](pedigree, table, at, path)


def _bearings(pedigree: Pedigree, table: BearingsTable, at: str, path: Path) -> Bearings:
    get = Fields(pedigree, table, at, path, "bearings")
    return Bearings(table.name, get("count"), get("load"), get("bore"), get("friction"), get("seal_drag"))


def _transmission(pedigree: Pedigree, table: TransmissionTable, at: str, path: Path) -> Transmission:
    get = Fields(pedigree, table, at, path, table.kind)
    ratio, efficiency, creep = get("ratio"), get("efficiency"), get("creep")
    return Transmission(table.name, table.kind, ratio, efficiency, creep, get("drag"), get("drag_slope"))


def _worm(pedigree: Pedigree, table: WormTable, at: str, path: Path) -> Transmission:
    get = Fields(pedigree, table, at, path, "worm")
    if table.efficiency is not None:
        efficiency = get("efficiency")
    else:
        teeth = tuple(get.origin(key) for key in ("lead_angle", "friction", "pressure_angle"))
        efficiency = pedigree.work_out(
            f"{at}.efficiency", transmission.worm_efficiency, teeth, get.unit("efficiency"), "lead angle and friction"
        )
    creep = pedigree.note(pedigree.default(f"{at}.creep", "worm.creep", "-"))
    return Transmission(table.name, "worm", get("ratio"), efficiency, creep, get("drag"), get("drag_slope"))


def complete_motor(pedigree: Pedigree, table: MotorTable, at: str, path: Path) -> Motor:
    """Return a motor; what neither the file nor a part of the builder's own says comes from the shelf."""
    row: Row = {}
    if table.shelf is not None:
        part = pedigree.shelf.part("motors", table.shelf)
        row, table = part.row, part.under(table)
    commutation = table.commutation or str(row.get("commutation", "brushed"))
    get = Fields(pedigree, table, at, path, "dc-motor", row)
    magnet = row_of("magnets", table.magnet or str(row.get("magnet", USUAL_MAGNET[commutation])))
    constant, slope, square = get("constant"), get("drag_slope"), get("drag_square")  # of which the drag is made
    return Motor(
        name=table.name,
        commutation=commutation,
        constant=constant,
        resistance=get("resistance"),
        brush_drop=get("brush_drop", default=f"dc-motor.brush_drop.{commutation}"),
        drag=_drag(get, table),
        drag_slope=slope,
        drag_square=square,
        rotor_inertia=get("rotor_inertia"),
        magnet_slope=pedigree.note(pedigree.row(f"{at}.magnet_slope", magnet, "slope", "1/K")),
        winding_to_case=get("winding_to_case"),
        case_to_air=get("case_to_air"),
        winding_heat=get("winding_heat"),
        case_heat=get("case_heat"),
        rotor_share=get("rotor_share", default=f"dc-motor.rotor_share.{commutation}"),
        winding_limit=get("winding_limit"),
        magnet_rise=get("magnet_rise"),
        most_current=get.or_else("most_current", math.nan),
        most_multiple=pedigree.note(pedigree.default(f"{at}.most_multiple", "dc-motor.most_multiple", "-")),
        rated_power=get("rated_power") if row else get.or_else("rated_power", math.nan),
        continuous_mark=table.continuous_mark,
        max_voltage=get("max_voltage"),
    )


def _drag(get: Fields, table: MotorTable) -> float:
    """Return the motor's constant friction: given, or what the no-load current overcomes at the speed of that test."""
    if table.drag is not None:
        return get("drag")
    at, unit, words = f"{get.at}.drag", get.unit("drag"), "no-load current times constant"
    test = tuple(get.origin(key) for key in ("no_load_current", "constant"))
    growing = tuple(get.origin(key) for key in ("drag_slope", "drag_square"))
    if table.no_load_speed is None or not any(origin.high for origin in growing):
        return get.pedigree.work_out(at, operator.mul, test, unit, words)
    parents = (*test, *growing, get.origin("no_load_speed"))
    return get.pedigree.work_out(at, _constant_part, parents, unit, f"{words}, less what grows with speed")


def _constant_part(current: Lanes, constant: Lanes, slope: Lanes, square: Lanes, speed: Lanes) -> Lanes:
    """Return what a no-load current overcomes beside the drag that grows with speed. [N m]"""
    return np.maximum(constant * current - motors.rotation_torque(0.0, slope, square, speed), 0.0)


def _controller(pedigree: Pedigree, table: ControllerTable, at: str, path: Path) -> Controller:
    get = Fields(pedigree, table, at, path, "controller")
    return Controller(
        name=table.name,
        mode=table.mode,
        speed=get.or_else("speed", math.inf),
        motor_current=get.or_else("motor_current", math.inf),
        battery_current=get.or_else("battery_current", math.inf),
        resistance=get("resistance"),
        idle_power=get("idle_power"),
        switching_time=get("switching_time"),
        switching_frequency=get("switching_frequency"),
        cut_out=get("cut_out"),
        max_voltage=get("max_voltage"),
        capacitance=get("capacitance"),
        regenerates=table.regenerates,
    )


def _bare_switch(pedigree: Pedigree, at: str, taken: set[str], *, regenerates: bool) -> Controller:
    """Return what stands for a controller where there is none: nothing limits, and nothing is lost but in contacts."""
    name = next(name for name in ("switch", "bare switch", "plain switch", "no controller") if name not in taken)

    units = Fields(pedigree, ControllerTable(kind="controller"), at, (), "controller")

    def none(field: str, value: float) -> float:
        source = "a bare switch: the file has no controller"
        return pedigree.fixed(f"{at}.{name}.{field}", value, units.unit(field), source)

    return Controller(
        name=name,
        mode="full",
        speed=none("speed", math.inf),
        motor_current=none("motor_current", math.inf),
        battery_current=none("battery_current", math.inf),
        resistance=none("resistance", 0.0),
        idle_power=none("idle_power", 0.0),
        switching_time=none("switching_time", 0.0),
        switching_frequency=none("switching_frequency", 0.0),
        cut_out=none("cut_out", 0.0),
        max_voltage=none("max_voltage", math.inf),
        capacitance=none("capacitance", 0.0),
        regenerates=regenerates,
    )


def _cable(pedigree: Pedigree, table: CableTable, at: str, path: Path) -> Cable:
    get = Fields(pedigree, table, at, path, "cable")
    length, area = get("length"), get("area")
    copper = row_of("metals", "copper")
    if table.resistance_per_length is not None:
        ohms = get("resistance_per_length")
    else:
        strands = (_class_5(pedigree, f"{at}.resistivity", area), get.origin("area"))
        unit = get.unit("resistance_per_length")
        ohms = pedigree.work_out(f"{at}.resistance_per_length", operator.truediv, strands, unit, "area and strands")
    return Cable(
        name=table.name,
        length=length,
        area=area,
        resistance_per_length=ohms,
        temperature_slope=pedigree.note(
            pedigree.row(f"{at}.temperature_slope", copper, "temperature_slope", "1/K", EXACT)
        ),
        temperature=get("temperature"),
        rated_by=table.rated_by,
    )


def _class_5(pedigree: Pedigree, address: str, area: float) -> Origin:
    """Return ohms times metal of a flexible copper conductor, by the most that the standard lets the nearest size have.

    The least is that of solid copper: strands are never better than that.
    """
    row = min(load("conductors_iec60228_class5"), key=lambda size: abs(math.log(size["area"] / area)))
    most, solid = row["resistance_20"] * row["area"], row_of("metals", "copper")["resistivity"]
    size: dict[str, Any] = {"resistivity": most, "source": row["source"]}
    return pedigree.row(address, size, "resistivity", "Ω·m", (min(1.0, solid / most), 1.0))


def _contacts(pedigree: Pedigree, table: ContactsTable, at: str, path: Path) -> Contacts:
    get = Fields(pedigree, table, at, path, "contacts")
    ohms = get("resistance", default=f"contacts.resistance.{table.of}")
    volts, amps = (get.or_else(key, math.inf) for key in ("max_voltage", "max_current"))
    return Contacts(table.name, get("count"), ohms, volts, amps, table.of or "", table.alternating)


BUILDERS: dict[type, Callable[..., Link]] = {
    BearingsTable: _bearings,
    TransmissionTable: _transmission,
    WormTable: _worm,
    MotorTable: complete_motor,
    InductionMotorTable: induction_motor,
    ControllerTable: _controller,
    InverterTable: inverter,
    DcDcTable: dc_dc,
    CableTable: _cable,
    ContactsTable: _contacts,
}
