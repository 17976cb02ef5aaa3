"""The records of a file: every number with its origin, what is left out from the tables, what is worked out right."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headrace.machine import edit, read_text, starter
from headrace.machine.form import JobTable, LimitsTable, quantity_of
from headrace.machine.form_source import CellTable
from headrace.machine.form_works import LOADS
from headrace.machine.links import Bearings, Cable, Contacts, Controller, Motor, Transmission
from headrace.machine.records import DutyState, Machine
from headrace.machine.values import with_values
from headrace.physics import cells
from headrace.physics.law import law_of
from headrace.tables import load, sources

TEXT = (Path(__file__).parent / "plan.toml").read_text(encoding="utf-8")
BASES = ("given", "measured", "datasheet", "table", "assumed")
GEARED = """
[machine]
name = "Two tools"

[[chains]]
name = "blade"
[chains.work]
kind = "mowing-blade"
diameter = "18 in"
[[chains.links]]
kind = "v-belt"
ratio = 1.5
[[chains.links]]
kind = "dc-motor"
shelf = "brushless-48v-large"

[[chains]]
name = "trimmer"
[chains.work]
kind = "mowing-blade"
diameter = "30 cm"
inertia = "0.002 kg·m²"
[[chains.links]]
kind = "worm"
ratio = 10
lead_angle = "20 °"
[[chains.links]]
kind = "dc-motor"
constant = "0.1 N·m/A"
resistance = "0.1 ohm"
no_load_current = "3 A"
no_load_speed = "3000 rpm"
drag_square = "0.000001 N·m·s²/rad²"
[[chains.links]]
kind = "controller"
mode = "governed"
speed = "2500 rpm"
[[chains.links]]
kind = "cable"
area = "8 AWG"
[[chains.links]]
kind = "contacts"
resistance = "1 mΩ"

[source]
cell = "lfp-26650"
series = 15
parallel = 4

[job]
kind = "mowing"
width = "40 cm"
[[job.states]]
name = "grass"
time = "30 min"
[[job.states]]
name = "hauling"
time = "10 min"
power = "400 W"

[limits]
time = "40 min"
"""
FILES = {"example": TEXT, "starter": starter("mower"), "geared": GEARED}


NOT_OF_A_BLADE = set(LOADS) - {"sward", "wet_factor"}  # what other tools take of a duty state


def numbers(record: Any, at: str) -> Iterator[tuple[str, float]]:
    """Yield address and value of every number of a record."""
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(record, DutyState) and field.name in NOT_OF_A_BLADE:
            assert value == 0.0
            continue
        if isinstance(value, bool) or field.name.startswith(("ocv_", "entropy_")) or field.name == "pedigree":
            continue
        if isinstance(value, tuple) and value and is_dataclass(value[0]):
            for part in value:
                yield from numbers(part, f"job.{part.name}" if at == "job" else f"{at}.{part.name}")
        elif isinstance(value, tuple):
            yield from ((f"{at}.{field.name}[{k}]", float(part)) for k, part in enumerate(value))
        elif is_dataclass(value):
            yield from numbers(value, f"{at}.{field.name}")
        elif isinstance(value, int | float | np.ndarray):
            yield f"{at}.{field.name}", float(value)


def every_number(plan: Machine) -> Iterator[tuple[str, float]]:
    for chain in plan.chains:
        yield from numbers(chain.work, f"chains.{chain.name}.work")
        for link in chain.links:
            yield from numbers(link, f"chains.{chain.name}.{link.name}")
    for name in ("source", "job", "limits", "safety", "charger", "prices", "board", "pre_charge"):
        if getattr(plan, name) is not None:
            yield from numbers(getattr(plan, name), name)


@pytest.mark.parametrize("name", FILES)
def test_every_number_of_every_record_has_its_origin(name: str) -> None:
    plan = read_text(FILES[name]).machine
    found = dict(every_number(plan))
    assert found.keys() == {address for address, origin in plan.pedigree.items() if not origin.inner}
    assert len(found) > 90
    for address, value in found.items():
        origin = plan.pedigree[address]
        assert origin.address == address
        assert origin.typical == value or (math.isnan(origin.typical) and math.isnan(value)), address
        assert origin.basis in BASES
        assert origin.source
        assert origin.unit
        if math.isfinite(value):
            assert origin.low <= value <= origin.high, address
        assert (origin.line > 0) == bool(origin.written), address


@pytest.mark.parametrize("name", FILES)
def test_every_address_can_be_written_to(name: str) -> None:
    plan = read_text(FILES[name]).machine
    for address, origin in plan.pedigree.items():
        if not origin.inner and address not in ("source.cell.plateau[0]", "source.cell.plateau[1]"):
            assert dict(every_number(with_values(plan, {address: 0.123})))[address] == 0.123


@pytest.mark.parametrize("name", FILES)
def test_a_number_of_the_file_names_the_line_it_stands_on(name: str) -> None:
    lines = FILES[name].split("\n")
    for origin in read_text(FILES[name]).machine.pedigree.values():
        if origin.written:
            assert origin.written.split("..")[0].split()[0] in lines[origin.line - 1], origin


def test_what_the_file_leaves_out_is_of_a_source_in_the_tables() -> None:
    plan = read_text(GEARED).machine
    for origin in plan.pedigree.values():
        if not origin.written and origin.basis in ("table", "assumed") and "(" not in origin.source:
            assert origin.source in sources() or origin.source == "diameter and gap of the cells", origin
    row = next(row for row in load("defaults") if row["key"] == "v-belt.efficiency")
    belt = plan.pedigree["chains.blade.transmission.efficiency"]
    assert (belt.low, belt.typical, belt.high, belt.basis) == (row["low"], row["typical"], row["high"], "assumed")


def test_a_bar_has_its_inertia_from_its_mass() -> None:
    plan = read_text(TEXT).machine
    assert plan.chains[0].work.inertia == pytest.approx(0.62 * 0.42**2 / 12.0, rel=1e-12)
    origin = plan.pedigree["chains.blade.work.inertia"]
    assert (origin.low / origin.typical, origin.high / origin.typical) == pytest.approx((0.60 / 0.62, 0.64 / 0.62))
    assert origin.basis == "measured"


def chain(plan: Machine, place: int, kind: type) -> Any:
    return next(link for link in plan.chains[place].links if isinstance(link, kind))


def test_the_motors_friction_is_what_the_no_load_current_overcomes() -> None:
    plain, fanned = chain(read_text(TEXT).machine, 0, Motor), chain(read_text(GEARED).machine, 1, Motor)
    assert plain.drag == pytest.approx(plain.constant * 2.4, rel=1e-12)
    speed = 3000.0 * math.pi / 30.0
    assert fanned.drag + fanned.drag_square * speed**2 == pytest.approx(0.1 * 3.0, rel=1e-12)


def test_a_motor_of_the_shelf_is_its_row() -> None:
    row = next(row for row in load("motors") if row["name"] == "brushless-48v-large")
    motor = chain(read_text(GEARED).machine, 0, Motor)
    for field in (
        "constant",
        "resistance",
        "brush_drop",
        "rotor_inertia",
        "winding_heat",
        "rated_power",
        "max_voltage",
    ):
        assert getattr(motor, field) == row[field]
    assert motor.commutation == "electronic"
    assert motor.rotor_share == 0.0
    assert motor.magnet_slope == next(m["slope"] for m in load("magnets") if m["name"] == "neodymium")


def test_a_chain_without_a_controller_hangs_on_a_bare_switch() -> None:
    plan = read_text(GEARED).machine
    switch = plan.chains[0].links[2]
    assert isinstance(switch, Controller)
    assert switch.mode == "full"
    assert switch.resistance == switch.idle_power == switch.cut_out == 0.0
    assert switch.motor_current == switch.battery_current == switch.max_voltage == math.inf


def test_a_worms_efficiency_comes_from_its_lead_and_friction() -> None:
    worm = chain(read_text(GEARED).machine, 1, Transmission)
    lead, pressure, friction = math.radians(20.0), math.radians(20.0), 0.06
    a, t = math.cos(pressure), math.tan(lead)
    assert worm.efficiency == pytest.approx((a - friction * t) / (a + friction / t), rel=1e-9)
    origin = read_text(GEARED).machine.pedigree["chains.trimmer.worm.efficiency"]
    assert origin.low < origin.typical < origin.high


@pytest.mark.parametrize(("area", "per_km"), [("10 mm²", 1.91), ("2.5 mm²", 7.98), ("8 AWG", 1.91 * 10.0 / 8.367)])
def test_a_cable_has_the_standards_resistance(area: str, per_km: float) -> None:
    plan = read_text(edit(TEXT, {"chains.blade.cable.area": area})).machine
    assert chain(plan, 0, Cable).resistance_per_length == pytest.approx(per_km * 1e-3, rel=3e-4)
    origin = plan.pedigree["chains.blade.cable.resistance_per_length"]
    assert origin.low == pytest.approx(1.7241e-8 / chain(plan, 0, Cable).area, rel=1e-9)  # strands are never better


def test_contacts_have_the_resistance_of_what_they_are() -> None:
    plan = read_text(TEXT).machine
    lugs = chain(plan, 0, Contacts)
    assert lugs.count == 6.0
    assert lugs.resistance == next(r["typical"] for r in load("defaults") if r["key"] == "contacts.resistance.lug")


def test_bearings_count_what_the_file_says() -> None:
    assert chain(read_text(TEXT).machine, 0, Bearings).count == 1.0


def test_shares_are_of_the_whole_time_and_turning_takes_the_rest() -> None:
    states = read_text(TEXT).machine.job.states
    assert [s.share for s in states] == pytest.approx([0.75 * 0.7, 0.25 * 0.7, 0.3])
    assert [s.loaded for s in states] == [True, True, False]
    timed = read_text(GEARED).machine.job.states
    # a file without a turning state gets one for the time its field efficiency leaves
    assert [s.share for s in timed] == pytest.approx([0.75 * 0.7, 0.25 * 0.7, 0.3])
    assert [s.power for s in timed] == [0.0, 400.0, 0.0]
    assert not timed[2].loaded
    assert timed[1].sward == 0.0


def test_the_wanted_time_is_what_the_area_takes() -> None:
    limits = read_text(TEXT).machine.limits
    assert limits.time_wanted == pytest.approx(600.0 / (0.38 * 0.8 * 0.7))
    assert read_text(edit(TEXT, {"limits.time": "40 min"})).machine.limits.time_wanted == 2400.0


def test_what_is_left_open_is_open() -> None:
    plan = read_text(GEARED).machine
    assert plan.limits.max_mass == plan.limits.budget == math.inf
    assert plan.limits.box == (math.inf, math.inf, math.inf)
    assert math.isnan(plan.safety.brake_resistance)
    assert plan.safety.dead_man is None
    assert math.isnan(plan.job.area)


def test_the_cell_is_the_shelfs_but_for_what_the_file_knows_better() -> None:
    row = next(row for row in load("cells") if row["name"] == "lfp-26650")
    cell = read_text(GEARED).machine.source.cell
    assert cell.slow_resistance == (row["slow_resistance_1"], row["slow_resistance_2"])
    assert cell.capacity == row["capacity"]
    assert cell.plateau == (3.20, 3.36)
    assert np.all(np.diff(cell.ocv_charge) > 0.0)
    known = {"source.cell": {"shelf": "lfp-26650", "capacity": "2.8 Ah", "resistance": "15..20 mΩ"}}
    better = read_text(edit(GEARED, known)).machine
    assert better.source.cell.capacity == 2.8 * 3600.0
    assert better.source.cell.mass == row["mass"]
    assert better.pedigree["source.cell.resistance"].basis == "given"
    assert better.pedigree["source.cell.mass"].basis == "assumed"


def test_wishes_and_counts_have_no_band_but_measures_do() -> None:
    pedigree = read_text(TEXT).machine.pedigree
    for address in ("source.series", "limits.reserve", "limits.max_mass", "limits.box[0]", "job.area", "job.cycle"):
        assert pedigree[address].low == pedigree[address].high, address
    for address in ("chains.blade.cable.length", "chains.blade.work.diameter"):  # read off a tape
        assert pedigree[address].low == pedigree[address].high, address
    for address in ("chains.blade.cable.resistance_per_length", "job.width", "job.grass.sward"):
        assert pedigree[address].low < pedigree[address].high, address


def test_strips_reach_from_cell_to_cell() -> None:
    source = read_text(TEXT).machine.source
    assert source.strips.length == pytest.approx(float(source.cell.diameter + source.gap))
    nickel = next(row for row in load("metals") if row["name"] == "nickel")
    assert source.strips.resistivity == nickel["resistivity"]


def test_the_file_admits_no_weather_the_cells_laws_do_not_hold_for() -> None:
    coldest, hottest = law_of(cells.arrhenius_factor).valid["temperature"]
    for table, key in ((JobTable, "ambient"), (LimitsTable, "ambient_cold"), (LimitsTable, "ambient_hot")):
        quantity = quantity_of(table, key)
        assert quantity is not None
        assert coldest <= quantity.low
        assert quantity.high <= hottest
    limit = quantity_of(CellTable, "max_temperature")
    assert limit is not None
    assert limit.high <= hottest + 0.15
