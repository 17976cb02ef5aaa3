"""Units against their definitions, typed in a second time, and the spellings people use."""

from __future__ import annotations

import math

import pytest

from headrace.machine.units import KINDS, from_si, kinds_of, pretty, spelled, to_si
from tests.machine.mutations import EQUAL

# Exact by definition: inch and pound (1959 agreement), standard gravity (CGPM 1901), the horsepower of 550 ft·lbf/s.
DEFINED = [
    ("length", "in", 0.0254),
    ("length", "ft", 0.3048),
    ("mass", "lb", 0.45359237),
    ("mass", "oz", 0.45359237 / 16.0),
    ("force", "lb", 0.45359237 * 9.80665),
    ("force", "kgf", 9.80665),
    ("torque", "lb·ft", 0.45359237 * 9.80665 * 0.3048),
    ("torque", "oz·in", 0.45359237 / 16.0 * 9.80665 * 0.0254),
    ("power", "hp", 550.0 * 0.45359237 * 9.80665 * 0.3048),
    ("speed", "mph", 1609.344 / 3600.0),
    ("speed", "ft/min", 0.3048 / 60.0),
    ("speed", "km/h", 1.0 / 3.6),
    ("rotation", "rpm", math.pi / 30.0),
    ("energy", "Wh", 3600.0),
    ("charge", "mAh", 3.6),
    ("sward", "t/ha", 0.1),
    ("sward", "lb/ft^2", 0.45359237 / 0.3048**2),
    ("area", "ha", 1e4),
    ("inertia", "lb·ft^2", 0.45359237 * 0.3048**2),
    ("thermal resistance", "°F/W", 5.0 / 9.0),
    ("motor constant", "V/krpm", 0.03 / math.pi),
    ("motor constant", "oz·in/A", 0.45359237 / 16.0 * 9.80665 * 0.0254),
    ("torque per speed squared", "mN·m/krpm^2", 1e-3 / (100.0 * math.pi / 3.0) ** 2),
    ("resistance per length", "ohm/kft", 1.0 / 304.8),
    ("film", "BTU/(h·ft^2·°F)", 5.678263341),  # of the international BTU, as handbooks print it
]


@pytest.mark.parametrize(("kind", "unit", "si"), DEFINED)
def test_one_of_a_unit_is_what_its_definition_says(kind: str, unit: str, si: float) -> None:
    assert to_si(1.0, kind, unit) == pytest.approx(si, rel=2e-7 if "BTU" in unit else 1e-12)


@pytest.mark.parametrize(("written", "kelvin"), [("°C", 293.15), ("°F", 293.15), ("K", 293.15)])
def test_temperatures_have_their_own_zero(written: str, kelvin: float) -> None:
    number = {"°C": 20.0, "°F": 68.0, "K": 293.15}[written]
    assert to_si(number, "temperature", written) == pytest.approx(kelvin, rel=1e-12)
    assert to_si(18.0, "temperature difference", "°F") == pytest.approx(10.0, rel=1e-12)


def test_turns_per_volt_are_the_reciprocal_of_volts_per_turn() -> None:
    assert to_si(96.0, "motor constant", "rpm/V") == pytest.approx(30.0 / (96.0 * math.pi), rel=1e-12)
    assert from_si(0.0, "motor constant", "rpm/V") == math.inf
    with pytest.raises(ZeroDivisionError):
        to_si(0.0, "motor constant", "rpm/V")


# NBS Handbook 100 (1966), solid wire: square millimetres by gauge, four digits.
@pytest.mark.parametrize(("gauge", "mm2"), [(-3, 107.2), (0, 53.49), (8, 8.367), (12, 3.309), (18, 0.8230)])
def test_a_gauge_is_the_metal_of_the_printed_table(gauge: int, mm2: float) -> None:
    assert to_si(float(gauge), "wire area", "AWG") * 1e6 == pytest.approx(mm2, rel=3e-4)


@pytest.mark.parametrize("kind", KINDS)
def test_every_unit_of_every_kind_goes_there_and_back(kind: str) -> None:
    for unit in KINDS[kind].units:
        if unit != "AWG":
            assert from_si(to_si(3.7, kind, unit), kind, unit) == pytest.approx(3.7, rel=1e-12), unit


@pytest.mark.parametrize("kind", KINDS)
def test_every_unit_is_spelled_as_it_is_looked_up(kind: str) -> None:
    for unit in KINDS[kind].units:
        assert spelled(unit) == unit
        assert spelled(pretty(unit)) == unit
        assert kind in kinds_of(unit) or not unit


@pytest.mark.parametrize(
    ("written", "unit"),
    [
        ("N m", "N·m"),
        ("N*m", "N·m"),
        ("N·m", "N·m"),
        ("N-m", "N·m"),
        ("lb-ft", "lb·ft"),
        ("kg m2", "kg·m^2"),
        ("kg·m²", "kg·m^2"),
        ("kg * m**2", "kg·m^2"),
        ("mm2", "mm^2"),
        ("mΩ", "mohm"),
        ("m\u2126", "mohm"),
        ("mOhm", "mohm"),
        ("µΩ·cm", "uohm·cm"),
        ("W / (m² K)", "W/(m^2·K)"),
        ("V s / rad", "V·s/rad"),
    ],
)
def test_the_ways_to_write_a_unit_are_one(written: str, unit: str) -> None:
    assert spelled(written) == unit


def test_milli_and_mega_are_not_confused() -> None:
    assert to_si(1.0, "power", "MW") == 1e9 * to_si(1.0, "power", "mW")


def test_the_rewrites_of_the_tests_know_the_same_factors() -> None:
    """The factors typed into the mutations are a second route to the library's."""
    for unit, others in EQUAL.items():
        kind = next(k for k in kinds_of(spelled(unit)) if k != "temperature")
        for other, factor in others:
            if kind in ("per kelvin",) or (other and spelled(other) not in KINDS[kind].units):
                continue
            assert to_si(factor, kind, spelled(other)) == pytest.approx(to_si(1.0, kind, spelled(unit)), rel=1e-12)
