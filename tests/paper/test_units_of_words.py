"""Units of the bench: SI prefixes and the hour by their definitions (BIPM, The International System of Units, 2019)."""

from __future__ import annotations

import math

import pytest

from headrace.paper.units_of_words import ALIKE, HOLDS, of_the_record, said_in, symbol, turned

PREFIXES = {"m": 1e-3, "µ": 1e-6, "c": 1e-2}


@pytest.mark.parametrize(
    ("value", "unit", "digits", "said"),
    [
        (3.24e6, "Wh", 0, "900 Wh"),
        (18_000.0, "Ah", 1, "5.0 Ah"),
        (0.0286, "ms", 0, "29 ms"),
        (0.0182, "mV", 1, "18.2 mV"),
        (0.125, "g", 0, "125 g"),
        (0.00025, "µs", 0, "250 µs"),
        (1e-3, "l/min", 0, "60 l/min"),
        (math.pi / 6.0, "°", 0, "30 °"),
        (86_400.0 * 30.0, "days", 0, "30 days"),
    ],
)
def test_a_number_is_said_in_a_unit_of_the_bench(value: float, unit: str, digits: int, said: str) -> None:
    assert said_in(value, unit, digits) == said


def test_a_prefix_is_that_of_the_system_of_units() -> None:
    for unit, holds in HOLDS.items():
        if unit in ("ms", "µs", "mV", "mA", "mΩ", "mF", "cm", "mm"):
            assert holds == PREFIXES[unit[0]], unit


def test_twelve_months_are_a_year_of_the_calendar_on_average() -> None:
    """The Julian year, 365.25 days."""
    assert of_the_record(12.0, "months") == pytest.approx(of_the_record(365.25, "days"))


@pytest.mark.parametrize("unit", HOLDS)
def test_there_and_back_is_the_same_number(unit: str) -> None:
    assert turned(of_the_record(7.5, unit), unit) == pytest.approx(7.5)


def test_what_is_nothing_is_never_minus_nothing() -> None:
    assert said_in(-1e-9, "mV") == "0.0 mV"


def test_a_unit_is_the_sign_of_the_trade() -> None:
    assert [symbol(ending) for ending in ("ohm", "N_m", "m2", "V", "")] == ["Ω", "N·m", "m²", "V", ""]
    assert set(ALIKE) == {"W", "K", "rad_s"}
