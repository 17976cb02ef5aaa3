"""What a machine file may leave out: pinned, ordered, of a known basis."""

from __future__ import annotations

import math

import pytest

from headrace.tables import Row, load

BASES = ("given", "measured", "datasheet", "table", "assumed")
DEFAULTS = load("defaults")


def test_defaults_are_the_table_we_typed_in() -> None:
    assert len(DEFAULTS) == 268
    assert len({row["key"] for row in DEFAULTS}) == 268
    for kind, rows, total in (
        ("mowing-blade.", 4, 1001.16),
        ("bearings.", 5, 102.0515),
        ("v-belt.", 4, 1.035),
        ("gears.", 4, 0.945),
        ("worm.", 5, 0.4390658504),
        ("controller.", 7, 20064.006001),
        ("series-motor.", 17, 1251.62782),
        ("induction-motor.", 14, 8463.613),
        ("inverter.", 13, 343.428),
        ("dc-dc.", 4, 2.1305),
        ("cell.", 2, 0.000195),
        ("wall-socket.", 4, 290.6),
        ("tiller.", 3, 150_001.52),
        ("auger.", 5, 151_704.01),
        ("chipper.", 4, 12_000.26),
        ("fan.", 3, 0.483),
        ("winch.", 6, 2.734),
        ("centrifugal-pump.", 6, 297.841),
        ("shaft.", 2, 0.51),
        ("measured.", 2, 1.01),
        ("contacts.", 8, 1.0038),
        ("board.", 7, 9.5628),
        ("pre_charge.", 3, 29.0),
        ("charger.", 19, 606902.5151),
        ("prices.", 7, 2406.0),
        ("relay.", 1, 1.8),
        ("sense.", 1, 1.0),
        ("cuts.", 3, 0.7),
        ("trial.", 6, 364.65),
        ("source.scatter", 2, 0.055),
        ("readings.", 4, 93_610.5),
        ("sensor.", 1, 298.15),
    ):
        found = [row["typical"] for row in DEFAULTS if row["key"].startswith(kind)]
        assert len(found) == rows, kind
        assert sum(found) == pytest.approx(total), kind


@pytest.mark.parametrize("row", DEFAULTS, ids=lambda row: str(row["key"]))
def test_a_default_has_its_band_in_order(row: Row) -> None:
    assert row["low"] <= row["typical"] <= row["high"]
    assert row["unit"]
    assert row["basis"] in BASES


@pytest.mark.parametrize(
    "row", [row for row in DEFAULTS if "efficiency" in row["key"]], ids=lambda row: str(row["key"])
)
def test_an_efficiency_stays_under_one(row: Row) -> None:
    assert 0.0 < row["low"] < row["high"] < 1.0


def default(key: str) -> Row:
    """Return one row by its key."""
    return next(row for row in DEFAULTS if row["key"] == key)


def test_the_tip_speed_limit_is_nineteen_thousand_feet_a_minute() -> None:
    assert default("limits.tip_speed_max")["typical"] == pytest.approx(19000.0 * 0.3048 / 60.0, rel=1e-12)


@pytest.mark.parametrize(("end", "share"), [("low", 0.005), ("typical", 0.01), ("high", 0.02)])
def test_switching_takes_half_to_two_per_cent(end: str, share: float) -> None:
    time, frequency = default("controller.switching_time")[end], default("controller.switching_frequency")[end]
    assert 0.5 * time * frequency == pytest.approx(share)


def test_the_pressure_angle_is_twenty_degrees() -> None:
    assert math.degrees(default("worm.pressure_angle")["typical"]) == pytest.approx(20.0, abs=1e-7)


def test_the_usual_slope_is_ten_degrees() -> None:
    assert math.degrees(default("balance.slope")["typical"]) == pytest.approx(10.0, rel=1e-12)


def test_the_winding_limit_is_class_f() -> None:
    assert default("dc-motor.winding_limit")["typical"] == 273.15 + 155.0  # IEC 60085, class 155


def test_windage_of_the_blade_covers_what_its_shape_gives() -> None:
    """Drag of two arms: Cd (h/R) f / 4, with Cd about 1, h/R 0.06 to 0.1 and f 0.3 to 0.7."""
    windage = default("mowing-blade.windage")
    assert windage["low"] == pytest.approx(1.0 * 0.06 * 0.3 / 4.0, rel=0.15)
    assert windage["high"] == pytest.approx(1.0 * 0.1 * 0.7 / 4.0, rel=0.15)


def test_every_basis_has_its_usual_band() -> None:
    bands = {row["basis"]: (row["low"], row["high"]) for row in load("usual_bands")}
    assert tuple(bands) == BASES
    assert bands["measured"] == (0.97, 1.03)
    assert bands["given"] == bands["datasheet"] == bands["table"] == (0.9, 1.1)
    assert bands["assumed"] == (0.7, 1.3)


def test_comparisons_are_what_their_words_say() -> None:
    amounts = {row["kind"]: row["amount"] for row in load("comparisons")}
    assert amounts["energy"] == pytest.approx(4186.0 * (100.0 - 14.0), rel=0.001)  # a litre of water to the boil, J
    assert amounts["power"] == 230.0 * 10.0
    assert amounts["charge"] == 50.0 * 3600.0


def test_charging_in_the_cold_is_the_table_we_typed_in() -> None:
    """A tenth, a quarter and half of the capacity in an hour from 0, 5 and 10 °C; from 15 °C no band holds it back."""
    rows = load("charge_bands")
    assert [row["temperature"] - 273.15 for row in rows] == pytest.approx([0.0, 5.0, 10.0, 15.0])
    assert [row["rate"] * 3600.0 for row in rows[:-1]] == pytest.approx([0.1, 0.25, 0.5], rel=0.002)
    assert rows[-1]["rate"] == 1.0
    assert rows[2]["rate"] == default("cell.charge_rate")["typical"]
