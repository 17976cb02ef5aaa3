"""From the form of a tool to its record; what the file leaves out comes from the tables."""

from __future__ import annotations

import operator
from collections.abc import Callable

from headrace.machine.form_table import Table
from headrace.machine.form_works import (
    AugerTable,
    BladeTable,
    ChipperTable,
    FanTable,
    SawTable,
    TillerTable,
    WheelsTable,
    WinchTable,
)
from headrace.machine.lanes import Lanes
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.places import Path
from headrace.machine.works import Auger, Blade, Chipper, Fan, Saw, Tiller, Wheels, Winch, Work
from headrace.physics import arrangement, fans, loads


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


def _tiller(pedigree: Pedigree, table: TillerTable, at: str, path: Path) -> Tiller:
    get = Fields(pedigree, table, at, path, "tiller")
    return Tiller(table.name, get("diameter"), get("width"), get("specific_work"), get("idle_torque"), get("inertia"))


def _auger(pedigree: Pedigree, table: AugerTable, at: str, path: Path) -> Auger:
    get = Fields(pedigree, table, at, path, "auger")
    return Auger(
        name=table.name,
        diameter=get("diameter"),
        height=get("height"),
        specific_work=get("specific_work"),
        soil_density=get("soil_density"),
        lift_factor=get("lift_factor"),
        idle_torque=get("idle_torque"),
        inertia=get("inertia"),
    )


def _saw(pedigree: Pedigree, table: SawTable, at: str, path: Path) -> Saw:
    get = Fields(pedigree, table, at, path, "circular-saw")
    return Saw(
        name=table.name,
        diameter=get("diameter"),
        kerf=get("kerf"),
        specific_energy=get("specific_energy"),
        windage=get("windage"),
        idle_torque=get("idle_torque"),
        inertia=get("inertia"),
    )


def _chipper(pedigree: Pedigree, table: ChipperTable, at: str, path: Path) -> Chipper:
    get = Fields(pedigree, table, at, path, "chipper")
    return Chipper(
        table.name, get("diameter"), get("specific_energy"), get("windage"), get("idle_torque"), get("inertia")
    )


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


def _winch(pedigree: Pedigree, table: WinchTable, at: str, path: Path) -> Winch:
    get = Fields(pedigree, table, at, path, "winch")
    return Winch(
        name=table.name,
        diameter=get("diameter"),
        rope=get("rope"),
        layer=get("layer"),
        spacing=get("spacing"),
        parts=get("parts"),
        leads=get("leads"),
        sheave_efficiency=get("sheave_efficiency"),
        friction=get("friction"),
        idle_torque=get("idle_torque"),
        inertia=get("inertia"),
    )


def _wheels(pedigree: Pedigree, table: WheelsTable, at: str, path: Path) -> Wheels:
    get = Fields(pedigree, table, at, path, "wheels")
    cells = [pedigree.origins[f"source.{key}"] for key in ("series", "parallel", "cell.mass", "extra_mass")]
    return Wheels(
        name=table.name,
        diameter=get("diameter"),
        mass=get("mass"),
        pack_mass=pedigree.work_out(f"{at}.pack_mass", _pack_mass, cells, "kg", "cells and what holds them"),
        rolling=get("rolling", default=f"wheels.rolling.{table.ground}"),
        slip=get("slip"),
        drag_area=get("drag_area"),
        driven_share=get("driven_share"),
        grip=get("grip", default=f"wheels.grip.{table.ground}"),
        inertia=get("inertia"),
    )


def _pack_mass(series: Lanes, parallel: Lanes, cell_mass: Lanes, extra_mass: Lanes) -> Lanes:
    return arrangement.pack_mass(series * parallel, cell_mass, extra_mass)


BUILDERS: dict[type, Callable[..., Work]] = {
    BladeTable: _blade,
    TillerTable: _tiller,
    AugerTable: _auger,
    SawTable: _saw,
    ChipperTable: _chipper,
    FanTable: _fan,
    WinchTable: _winch,
    WheelsTable: _wheels,
}
