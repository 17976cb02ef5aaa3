"""What was typed in about carrying, touching and sensing a pack: counts, sums, order, and one check against physics."""

from __future__ import annotations

import math

import pytest

from headrace.tables import load, sources

HOUR = 3600.0
ICE = 273.15


def test_limits_on_carrying_are_those_we_typed_in() -> None:
    """Eight limits printed or quoted and three remembered: 500 g, 12 kg, 6200 Wh, which say so."""
    rows = load("transport")
    hours = [row["energy"] / HOUR for row in rows if math.isfinite(row["energy"])]
    assert hours == [20.0, 100.0, 60.0, 300.0, 100.0, 160.0, 6200.0]
    assert [row["mass"] for row in rows if math.isfinite(row["mass"])] == [30.0, 0.5, 12.0]
    assert [row["charge"] for row in rows if math.isfinite(row["charge"])] == [0.3]
    remembered = {row["name"] for row in rows if sources()[row["source"]].seen == "memory"}
    assert remembered == {"large-cell", "large-battery", "assembled"}


def test_every_limit_is_on_one_thing_and_says_both_ways_in_a_sentence() -> None:
    for row in load("transport"):
        assert sum(math.isfinite(row[column]) for column in ("energy", "mass", "charge")) == 1
        assert row["of"] in ("cell", "pack", "stored")
    for row in (*load("transport"), *load("touch_voltages")):
        for way in ("within", "past"):
            assert row[way][0].isupper()
            assert row[way].endswith(".")
        assert row["within"] != row["past"]


def test_limits_on_volts_are_those_we_typed_in() -> None:
    """Sum of the column by hand, and which of them begin at their number."""
    rows = load("touch_voltages")
    assert len(rows) == 11
    assert sum(row["voltage"] for row in rows) == 50 + 0 + 35 + 70 + 30 + 60 + 30 + 60 + 120 + 60 + 60
    assert [row["name"] for row in rows if row["itself"] == "past"] == ["guarded"]
    remembered = {row["name"] for row in rows if sources()[row["source"]].seen == "memory"}
    assert remembered == {"equipment", "vehicle"}


def test_every_chemistry_of_the_shelf_has_its_class() -> None:
    assert {row["chemistry"] for row in load("transport_classes")} == {cell["chemistry"] for cell in load("cells")}
    assert {row["chemistry"] for row in load("transport_classes") if row["counted"] == "yes"} == {"NMC", "LFP"}
    assert {row["chemistry"]: row["letter"] for row in load("designations")} == {"NMC": "N", "LFP": "F"}


def test_the_eight_tests_are_asked_in_order_and_every_question_asks() -> None:
    rows = load("transport_questions")
    assert [row["name"] for row in rows if row["about"] == "test"] == [f"T.{place}" for place in range(1, 9)]
    assert {row["about"] for row in rows} == {"test", "paper", "fault", "label"}
    assert all(row["asks"].endswith("?") for row in rows)
    assert len({row["name"] for row in rows}) == len(rows) == 22


def test_the_thermistor_is_the_table_we_typed_in_and_of_its_own_exponent() -> None:
    """Falls with the temperature; its points at 25 and 85 °C give the exponent of the catalogue, 3435 K."""
    rows = load("thermistor")
    ohms = {round(row["temperature"] - ICE): row["resistance"] for row in rows}
    assert len(ohms) == 14
    assert sum(ohms.values()) == pytest.approx(204_299.7)
    assert list(ohms.values()) == sorted(ohms.values(), reverse=True)
    exponent = math.log(ohms[25] / ohms[85]) / (1.0 / (ICE + 25.0) - 1.0 / (ICE + 85.0))
    assert exponent == pytest.approx(3435.0, abs=1.0)


def test_the_windows_of_charging_join_without_a_gap() -> None:
    rows = load("charge_windows")
    assert [row["name"] for row in rows] == ["cold", "cool", "usual", "warm", "hot"]
    ends, starts = ([row[key] for row in rows] for key in ("to_temperature", "from_temperature"))
    assert ends[:-1] == starts[1:]
    assert math.isnan(starts[0])
    assert math.isnan(ends[-1])
    assert [row["current_share"] for row in rows] == [0.0, 0.2, 1.0, 1.0, 0.0]
