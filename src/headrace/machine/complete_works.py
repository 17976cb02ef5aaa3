"""From the form of a tool to its record; what the file leaves out comes from the tables."""

from __future__ import annotations

import operator
from collections.abc import Callable
from dataclasses import fields
from functools import partial
from typing import Any

import numpy as np

from headrace.machine.complete_source import pack_mass
from headrace.machine.form_table import Table
from headrace.machine.form_works import (
    AugerTable,
    BladeTable,
    ChipperTable,
    FanTable,
    MeasuredTable,
    PumpTable,
    SawTable,
    ShaftTable,
    TillerTable,
    WheelsTable,
    WinchTable,
)
from headrace.machine.lanes import Lanes
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.places import Path
from headrace.machine.works import Auger, Blade, Chipper, Fan, Measured, Pump, Saw, Shaft, Tiller, Wheels, Winch, Work
from headrace.physics import fans, loads, pipes, pumping


def complete_work(pedigree: Pedigree, table: Table, at: str, path: Path) -> Work:
    """Return the tool of a chain."""
    return BUILDERS[type(table)](pedigree, table, at, path)


def _blade(pedigree: Pedigree, table: BladeTable, at: str, path: Path) -> Blade:
    get = Fields(pedigree, table, at, path, "mowing-blade")
    diameter = get("diameter")
    if table.inertia is not None:
        inertia = get("inertia")
    else:
        bar = (get.origin("mass"), get.origin("diameter"))
        inertia = pedigree.work_out(f"{at}.inertia", loads.bar_inertia, bar, get.unit("inertia"), "mass of a bar")
    return Blade(table.name, diameter, inertia, get("windage"), get("shear_energy"), get("throw_share"))


def _field_by_field(record: type[Any], kind: str, pedigree: Pedigree, table: Any, at: str, path: Path) -> Work:
    """Return a record whose fields are the keys of its table."""
    get = Fields(pedigree, table, at, path, kind)
    work: Work = record(table.name, *(get(field.name) for field in fields(record) if field.name != "name"))
    return work


def _fan(pedigree: Pedigree, table: FanTable, at: str, path: Path) -> Fan:
    get = Fields(pedigree, table, at, path, "fan")
    flow, pressure, speed = (get.origin(key, field=f"measured_{key}") for key in ("flow", "pressure", "speed"))
    return Fan(
        name=table.name,
        flow_per_speed=pedigree.work_out(
            f"{at}.flow_per_speed", operator.truediv, (flow, speed), "m³/rad", "one point"
        ),
        duct=pedigree.work_out(f"{at}.duct", fans.duct_coefficient, (pressure, flow), "Pa·s²/m⁶", "one point"),
        efficiency=get("efficiency"),
        idle_torque=get("idle_torque"),
        inertia=get("inertia"),
    )


def _wheels(pedigree: Pedigree, table: WheelsTable, at: str, path: Path) -> Wheels:
    get = Fields(pedigree, table, at, path, "wheels")
    share = f"{at}.driven_share"  # there already where it follows from the balance
    return Wheels(
        name=table.name,
        diameter=get("diameter"),
        mass=get("mass"),
        pack_mass=pack_mass(pedigree, f"{at}.pack_mass"),
        rolling=get("rolling", default=f"wheels.rolling.{table.ground}"),
        slip=get("slip"),
        drag_area=get("drag_area"),
        driven_share=pedigree.origins[share].typical if share in pedigree.origins else get("driven_share"),
        grip=get("grip", default=f"wheels.grip.{table.ground}"),
        inertia=get("inertia"),
    )


def _pump(pedigree: Pedigree, table: PumpTable, at: str, path: Path) -> Pump:
    get = Fields(pedigree, table, at, path, "centrifugal-pump")
    best = (get.origin("flow"), get.origin("head"))
    if table.shut_off_head is not None:
        shut_off = get("shut_off_head")
    else:
        ratio = pedigree.default(f"{at}.head_ratio", "centrifugal-pump.head_ratio", "-")
        shape = (best[1], ratio)
        shut_off = pedigree.work_out(f"{at}.shut_off_head", operator.mul, shape, "m", "usual shape of a curve")
    water = get.origin("water")
    lift = get.origin("lift")
    wall = get.origin("roughness", default=f"{table.wall}.roughness")
    pipe = (get.origin("length"), get.origin("bore"), wall, get.origin("fittings"), water)
    through = (pedigree.origins[f"{at}.shut_off_head"], *best, lift, *pipe)
    return Pump(
        name=table.name,
        speed=get("speed"),
        shut_off_head=shut_off,
        flow=pedigree.note(best[0]),
        head=pedigree.note(best[1]),
        efficiency=get("efficiency"),
        no_flow_share=get("no_flow_share"),
        lift=pedigree.note(lift),
        pipe=pedigree.work_out(f"{at}.pipe", _pipe, through, "s²/m⁵", "pipe at the flow of the curve's speed"),
        density=pedigree.work_out(f"{at}.density", pipes.water_density, (water,), "kg/m³", "temperature of the water"),
        inertia=get("inertia"),
    )


def _pipe(
    shut_off: Lanes, flow: Lanes, head: Lanes, lift: Lanes, length: Lanes, bore: Lanes, wall: Lanes, fittings: Lanes,
    water: Lanes,
) -> Lanes:  # fmt: skip
    """Return what a pipe loses for the square of the flow, at the flow of the speed the pump's curve was taken at."""
    kinematic = pipes.kinematic_viscosity(pipes.water_viscosity(water), pipes.water_density(water))
    fall = pumping.pump_curve_fall(shut_off, flow, head)
    passing = pipes.flow_under_head(shut_off - lift, fall, length, bore, wall, fittings, kinematic)
    return pipes.pipe_coefficient(passing, length, bore, wall, fittings, kinematic)


def _shaft(pedigree: Pedigree, table: ShaftTable, at: str, path: Path) -> Shaft:
    get = Fields(pedigree, table, at, path, "shaft")
    growth = float(GROWTHS.index(table.torque))
    return Shaft(
        name=table.name,
        speed=get("speed"),
        growth=pedigree.fixed(f"{at}.growth", growth, "-", f"torque {table.torque}"),
        inertia=get("inertia"),
    )


def _measured(pedigree: Pedigree, table: MeasuredTable, at: str, path: Path) -> Measured:
    get = Fields(pedigree, table, at, path, "measured")
    speeds, torques = zip(*((speed.typical, torque.typical) for speed, torque in table.points), strict=True)
    return Measured(table.name, np.array(speeds), np.array(torques), get("spread"), get("inertia"))


GROWTHS = ("the-same", "grows-with-speed", "grows-with-its-square")
BUILDERS: dict[type, Callable[..., Work]] = {
    BladeTable: _blade,
    TillerTable: partial(_field_by_field, Tiller, "tiller"),
    AugerTable: partial(_field_by_field, Auger, "auger"),
    SawTable: partial(_field_by_field, Saw, "circular-saw"),
    ChipperTable: partial(_field_by_field, Chipper, "chipper"),
    FanTable: _fan,
    WinchTable: partial(_field_by_field, Winch, "winch"),
    WheelsTable: _wheels,
    PumpTable: _pump,
    ShaftTable: _shaft,
    MeasuredTable: _measured,
}
