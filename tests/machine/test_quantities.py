"""The grammar of quantities: what is read, what is refused, and what the refusal says."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.machine.quantities import NotAQuantity, Quantity, Written, Wrong, usual_band
from headrace.machine.units import KINDS
from headrace.tables import load

EVERY = {kind: Quantity(kind, -math.inf, math.inf, "written") for kind in KINDS}


def read(value: Any, kind: str, low: float = -math.inf, high: float = math.inf) -> Written:
    return Quantity(kind, low, high, "written").read(value)


def refused(value: Any, kind: str, low: float = -math.inf, high: float = math.inf) -> Wrong:
    with pytest.raises(NotAQuantity) as trouble:
        read(value, kind, low, high)
    assert len(trouble.value.wrongs) == 1
    return trouble.value.wrongs[0]


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("42 cm", "length", 0.42),
        ("42cm", "length", 0.42),
        (" 42  cm ", "length", 0.42),
        ("+4.2e1 cm", "length", 0.42),
        (".42 m", "length", 0.42),
        ("42. cm", "length", 0.42),
        ("1.1e-3 kg·m²", "inertia", 1.1e-3),
        ("-10 °C", "temperature", 263.15),
        ("5°", "angle", math.radians(5.0)),
        ("10 %", "fraction", 0.1),
        ("10%", "fraction", 0.1),
        ("0.1", "fraction", 0.1),
        (0.1, "fraction", 0.1),
        (1, "fraction", 1.0),
        (250, "money", 250.0),
    ],
)
def test_numbers_with_units_are_read(text: Any, kind: str, si: float) -> None:
    assert read(text, kind).typical == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "hint"),
    [
        ("3,5 A", "current", 'write "3.5 A"'),
        ("1 1/4 in", "length", 'write "1.25 in"'),
        ("3/4 in", "length", 'write "0.75 in"'),
        ("1/0 in", "length", ""),
        ("5 C", "temperature", 'write "5 °C"'),
        ("5 C", "current", "a multiple of the capacity is no current here; write amperes"),
        ("5 C", "charge", 'C may be coulombs or a multiple of the capacity; write "5 A·s" or "5 Ah"'),
        ("1 PS", "power", "write hp or kW; one PS is 0.7355 kW"),
        ("2 h 30 min", "time", 'write "150 min"'),
        ("5 ft 3 in", "length", 'write "63 in"'),
        ("19,000 ft/min", "speed", 'write "19000 ft/min" or "19.000 ft/min"'),
        ("19 000 ft/min", "speed", 'write "19000 ft/min"'),
        ("1,234,567 m²", "area", 'write "1234567 m²"'),
        ("10-20 A", "current", 'write "10..20 A"'),
        ("10 to 20 A", "current", 'write "10..20 A"'),
        ("5 ± 1 A", "current", 'write "4..6 A"'),
        ("20..10 A", "current", 'write "10..20 A"'),
        ("AWG 12", "wire area", 'write "12 AWG"'),
        ("800 Wh", "power", "that is an energy; did you mean 800 W?"),
        ("1 kWh", "power", "that is an energy; did you mean 1 kW?"),
        ("15 W", "energy", "that is a power; did you mean 15 Wh?"),
        ("4.2 A", "charge", "that is a current; did you mean 4.2 Ah?"),
        ("1000 m", "area", "that is a length; did you mean 1000 m²?"),
        ("7 KG", "mass", 'did you mean "7 kg"?'),
        ("250 EUR", "money", "write a bare number, for example 250"),
        ("7 stone", "mass", "known are kg, g, t, lb, lbs, oz"),
    ],
)
def test_what_a_lenient_reader_gets_wrong_is_refused_with_the_way_out(text: str, kind: str, hint: str) -> None:
    assert refused(text, kind).hint == hint


@pytest.mark.parametrize(
    "value",
    [
        *(True, False, [], ["1 A"], None, "", "A", "one A", "nan A", "inf A", "1e400 A", math.nan, math.inf, "1_000 A"),
        *("٣ A", "½ A", "0x10 A", "1 A A", "1..2..3 A", "1.. A", "..1 A", "- 1 A", "--1 A", "1 A; 2 A", "1\u0000 A"),
    ],
)
def test_what_is_no_quantity_is_refused(value: Any) -> None:
    assert refused(value, "current").limit


def test_a_bare_number_needs_its_unit() -> None:
    assert refused(42, "length").limit == 'needs a unit, for example "42 cm"'
    assert refused("42", "length").limit == 'needs a unit, for example "42 cm"'


def test_wrong_kind_says_both_kinds() -> None:
    assert refused("7 N", "mass").limit == "must be a mass; N makes it a force"


@pytest.mark.parametrize(
    ("text", "kind", "low", "high", "limit", "hint"),
    [
        ("3000 rad/s", "rotation", 1.0, 1500.0, "must be 1 to 1500 rad/s", '3000 looks like rev/min; write "3000 rpm"'),
        ("90000 rpm", "rotation", 0.0, 1000.0 * math.pi, "must be 0 to 30000 rpm", ""),
        ("96 V/rpm", "motor constant", 0.002, 5.0, "must be 0.00020944 to 0.523599 V/rpm", 'did you mean "96 rpm/V"?'),
        ("96000 rpm/V", "motor constant", 0.002, 5.0, "must be 1.90986 to 4774.65 rpm/V", ""),
        ("15 kWh", "energy", 360.0, 36e4, "must be 0.0001 to 0.1 kWh", 'did you mean "15 Wh"?'),
        ("42 m", "length", 0.1, 1.5, "must be 0.1 to 1.5 m", 'did you mean "42 cm"?'),
        (10, "fraction", 0.0, 1.0, "must be 0 to 1", 'did you mean "10 %"?'),
        ("-1 A", "current", 0.0, math.inf, "must be at least 0 A", ""),
        ("40 AWG", "wire area", 1e-6, 1e-3, "must be 1 to 1000 mm²", ""),
    ],
)
def test_limits_are_told_in_the_unit_that_was_used(
    text: Any, kind: str, low: float, high: float, limit: str, hint: str
) -> None:
    wrong = refused(text, kind, low, high)
    assert (wrong.limit, wrong.hint) == (limit, hint)


@pytest.mark.parametrize("gauge", ["12.5 AWG", "41 AWG", "-1 AWG", "5/0 AWG", "1e300 AWG"])
def test_only_gauges_of_the_scale_are_wires(gauge: str) -> None:
    refused(gauge, "wire area")


def test_four_thick_gauges_are_written_with_noughts() -> None:
    assert (
        read("4/0 AWG", "wire area").typical > read("1/0 AWG", "wire area").typical > read("1 AWG", "wire area").typical
    )


# --- bands ------------------------------------------------------------------------------------------


def test_a_band_has_its_middle() -> None:
    both = read("0.2..0.8 kg/m²", "sward")
    assert (both.low, both.typical, both.high) == pytest.approx((0.2, 0.4, 0.8), rel=1e-12)
    warm = read("10 .. 30 °C", "temperature")
    assert (warm.low, warm.typical, warm.high) == pytest.approx((283.15, 293.15, 303.15), rel=1e-12)
    assert read("0..1 A", "current").typical == 0.5
    turns = read("90..100 rpm/V", "motor constant")
    assert turns.low < turns.typical < turns.high


def test_a_table_says_all_of_it() -> None:
    table = {"value": "3 A", "low": "2 A", "high": "5000 mA", "basis": "measured", "source": "clamp meter"}
    assert read(table, "current") == Written("3 A", 3.0, 2.0, 5.0, "measured", "clamp meter")
    apart = {"value": 1000, "low": 990, "high": 1010, "unit": "J/kg"}
    assert read(apart, "specific energy") == Written("1000 J/kg", 1000.0, 990.0, 1010.0)
    assert read({"low": "2 A", "high": "8 A"}, "current").typical == pytest.approx(4.0)
    wide = read({"value": "2..8 A", "basis": "table"}, "current")
    assert (wide.low, wide.high, wide.basis) == (2.0, 8.0, "table")
    assert wide.typical == pytest.approx(4.0)


@pytest.mark.parametrize(
    "table",
    [
        {},
        {"basis": "measured"},
        {"low": "1 A"},
        {"value": "1 A", "low": "2 A", "high": "3 A"},
        {"value": "1 A", "low": "0 A"},
        {"value": "1..2 A", "low": "0 A", "high": "3 A"},
        {"value": {"value": "1 A"}},
        {"value": "1 A", "unit": 3},
        {"value": 1, "unit": "kg"},
    ],
)
def test_half_a_table_is_refused(table: dict[str, Any]) -> None:
    refused(table, "current")


def test_everything_wrong_in_a_table_is_told_with_its_key() -> None:
    with pytest.raises(NotAQuantity) as trouble:
        read({"value": "3,5 A", "lo": "1 A", "basis": "sure", "source": 3}, "current")
    assert {wrong.inside for wrong in trouble.value.wrongs} == {("value",), ("lo",), ("basis",), ("source",)}


@pytest.mark.parametrize("row", load("usual_bands"), ids=lambda row: str(row["basis"]))
def test_a_bare_number_has_the_band_of_its_basis(row: Any) -> None:
    usual = Quantity("current", 0.0, 100.0)
    found = usual.read({"value": "10 A", "basis": row["basis"]})
    assert (found.low, found.high) == pytest.approx((10.0 * row["low"], 10.0 * row["high"]))
    assert usual_band(-1.0, str(row["basis"])) == pytest.approx((-row["high"], -row["low"]))


def test_a_usual_band_stays_within_what_can_be() -> None:
    assert Quantity("fraction", 0.3, 1.0).read(0.97).high == 1.0


@pytest.mark.parametrize(
    "value", ["1..2 A", {"value": "1 A", "low": "0 A", "high": "2 A"}, {"low": "0 A", "high": "2 A"}]
)
def test_a_wish_or_a_count_takes_no_band(value: Any) -> None:
    wish = Quantity("current", 0.0, 100.0, "none")
    assert (wish.read("1 A").low, wish.read("1 A").high) == (1.0, 1.0)
    with pytest.raises(NotAQuantity, match="one number"):
        wish.read(value)


@given(st.floats(1e-6, 1e6), st.sampled_from(sorted(KINDS)))
def test_a_number_written_in_any_unit_is_read_back(number: float, kind: str) -> None:
    for unit in KINDS[kind].units:
        if unit != "AWG":
            found = EVERY[kind].read(f"{number!r} {unit}")
            assert math.isfinite(found.typical)
            assert found.low == found.typical == found.high


@given(st.text(max_size=30), st.sampled_from(sorted(KINDS)))
def test_any_text_is_read_or_refused(text: str, kind: str) -> None:
    try:
        found = EVERY[kind].read(text).typical
    except NotAQuantity as trouble:
        found, said = 0.0, trouble.wrongs[0].limit
    else:
        said = "read"
    assert math.isfinite(found)
    assert said
