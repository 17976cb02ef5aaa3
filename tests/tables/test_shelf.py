"""Controllers, inverters, drives, connectors, fuses and contactors of the shelf: pinned, and held against physics."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from pathlib import Path

import pytest

from headrace.machine.form_links import LINK_KINDS
from headrace.tables import Row, load, sources, units

# Rows, and the sum of each typical column.
TYPED_IN: dict[str, tuple[int, dict[str, float]]] = {
    "controllers": (7, {"max_voltage": 396, "continuous_current": 600, "peak_current": 1125, "price": 1015}),
    "inverters": (6, {"power": 11600, "input": 156, "idle_power": 111, "efficiency": 5.36, "price": 2565}),
    "drives": (11, {"efficiency": 9.895, "ratio": 78, "power": 14900, "price": 1080}),
    "connectors": (10, {"current": 737, "area": 0.0001205, "price": 33.2}),
    "fuses": (7, {"current": 545, "voltage": 1363, "breaking_current": 50000, "price": 64.4}),
    "contactors": (8, {"current": 890, "voltage": 1194, "break_current": 4630, "price": 492}),
}
ROWS = [(table, row) for table in TYPED_IN for row in load(table)]


def triples(table: str) -> list[str]:
    """Return the columns that have a low and a high beside them."""
    names = list(units(table))
    return [name for name in names if f"{name}_low" in names and f"{name}_high" in names]


def name_of(value: object) -> str:
    return str(value["name"]) if isinstance(value, Mapping) else str(value)


@pytest.mark.parametrize("table", TYPED_IN)
def test_a_table_of_the_shelf_is_the_one_we_typed_in(table: str) -> None:
    count, sums = TYPED_IN[table]
    rows = load(table)
    assert len({row["name"] for row in rows}) == len(rows) == count
    for column, total in sums.items():
        assert sum(row[column] for row in rows) == pytest.approx(total), column


@pytest.mark.parametrize("table", TYPED_IN)
def test_every_number_of_the_shelf_has_its_two_ends_and_a_unit(table: str) -> None:
    for column, unit in units(table).items():
        if unit:
            assert column.removesuffix("_low").removesuffix("_high") in triples(table), column
            assert unit == units(table)[column.removesuffix("_low").removesuffix("_high")]


@pytest.mark.parametrize(("table", "row"), ROWS, ids=name_of)
def test_a_part_has_its_bands_in_order_and_says_where_they_are_from(table: str, row: Row) -> None:
    for column in triples(table):
        low, typical, high = row[f"{column}_low"], row[column], row[f"{column}_high"]
        assert 0.0 <= low <= typical <= high, column
        assert math.isfinite(high), column
    assert row["basis"] == "assumed"
    assert sources()[row["source"]].seen == "memory"  # so that nothing here poses as a print
    assert row["priced"] == "2026"
    assert row["price"] > 0.0


@pytest.mark.parametrize(("table", "row"), ROWS, ids=name_of)
def test_a_part_that_carries_its_amps_stays_cool_enough(table: str, row: Row) -> None:
    """Watts at the amps for long: a plug gives off 3 W at most, a fuse or contactor 15 W, a controller 80 W on fins."""
    watts = {"connectors": 3.0, "fuses": 15.0, "contactors": 15.0, "controllers": 80.0}.get(table)
    if watts is not None:
        current = row["continuous_current" if table == "controllers" else "current"]
        assert current**2 * row["resistance"] < watts


@pytest.mark.parametrize("row", load("connectors"), ids=name_of)
def test_a_connector_goes_with_the_copper_it_takes(row: Row) -> None:
    assert 3e6 < row["current"] / row["area"] < 15e6  # A/m², of a cable in air


def default(key: str) -> Row:
    return next(row for row in load("defaults") if row["key"] == key)


@pytest.mark.parametrize("row", load("drives"), ids=name_of)
def test_a_drive_is_a_link_of_a_machine_file_and_loses_no_less_than_it(row: Row) -> None:
    assert row["kind"] in LINK_KINDS
    assert row["efficiency_high"] < 1.0
    assert row["ratio_low"] >= 1.0
    if row["kind"] in ("v-belt", "toothed-belt", "flat-belt", "roller-chain"):
        # a machine file's efficiency leaves out the drag, which takes a few per cent more at the drive's own load
        assert 0.94 < row["efficiency"] / default(f"{row['kind']}.efficiency")["typical"] < 1.0


# Ranges of whole drives that tests/published holds the laws against.
PUBLISHED = {
    "v-belt": "vbelt_new",
    "spur-gears": "gear_spur",
    "helical-gears": "gear_helical",
    "worm-quick": "gear_worm",
}


@pytest.mark.parametrize(("name", "check"), PUBLISHED.items())
def test_the_typical_drive_lies_in_the_published_range(name: str, check: str) -> None:
    text = (Path(__file__).parents[1] / "published" / "transmission.toml").read_text(encoding="utf-8")
    low, high = next(entry["value"] for entry in tomllib.loads(text)["check"] if entry["id"] == check)
    row = next(row for row in load("drives") if row["name"] == name)
    assert low - 0.011 <= row["efficiency"] <= high  # a belt that has run in lies a point below a new one


def test_contacts_of_the_shelf_hold_the_machine_files_defaults_inside() -> None:
    for of, table, named in (
        ("plug", "connectors", "moulded-pair-50a"),
        ("lug", "connectors", "lug-m6"),
        ("fuse", "fuses", "strip-bolted"),
        ("contactor", "contactors", "open-96v-200a"),
    ):
        usual = default(f"contacts.resistance.{of}")["typical"]
        row = next(row for row in load(table) if row["name"] == named)
        assert row["resistance_low"] <= usual <= row["resistance_high"], of


def test_controllers_of_the_shelf_hold_the_machine_files_defaults_inside() -> None:
    for field in ("resistance", "idle_power", "switching_frequency", "max_voltage"):
        usual = default(f"controller.{field}")["typical"]
        row = next(row for row in load("controllers") if row["name"] == "brushless-48v-40a")
        assert row[f"{field}_low"] <= usual <= row[f"{field}_high"], field


@pytest.mark.parametrize("row", load("inverters"), ids=name_of)
def test_an_inverter_cuts_out_where_its_system_is_empty_and_draws_what_the_files_assume(row: Row) -> None:
    cells = row["input"] / 2.0
    assert 1.6 < row["cut_out"] / cells < 1.85  # volts of a lead cell that is empty
    idle = default("inverter.idle_power")  # watts for each watt of the plate
    assert row["idle_power_low"] / row["power"] < idle["high"]
    assert row["idle_power_high"] / row["power"] > idle["low"]


@pytest.mark.parametrize("row", load("fuses"), ids=name_of)
def test_a_fuse_breaks_far_more_than_it_carries(row: Row) -> None:
    assert row["breaking_current_low"] > 3.0 * row["current_high"]
