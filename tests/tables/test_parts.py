"""Motors, magnets, metals, conductors and preferred values: pinned, and held against physics."""

from __future__ import annotations

import math

import pytest

from headrace.tables import Row, load


@pytest.mark.parametrize("motor", load("motors"), ids=lambda motor: str(motor["name"]))
def test_a_motor_class_gives_its_own_plate_power(motor: Row) -> None:
    """Voltage less brushes less back-EMF drives the current; it must carry the plate's watts within 5 %."""
    constant, speed = motor["constant"], motor["rated_speed"]
    current = (motor["voltage"] - motor["brush_drop"] - constant * speed) / motor["resistance"]
    output = constant * (current - motor["no_load_current"]) * speed
    assert output == pytest.approx(motor["rated_power"], rel=0.05)


# Rated efficiency of the classes and the current above which copper runs away, A; noted with them.
NOTED_MOTORS = {
    "brushed-24v-small": (0.77, 36.0),
    "brushed-36v-medium": (0.80, 52.0),
    "brushed-48v-medium": (0.82, 45.0),
    "brushed-48v-large-fan": (0.85, 91.0),
    "brushless-48v-large": (0.88, 126.0),
}


@pytest.mark.parametrize("motor", load("motors"), ids=lambda motor: str(motor["name"]))
def test_a_motor_class_has_the_efficiency_and_heat_path_noted_with_it(motor: Row) -> None:
    efficiency, runaway = NOTED_MOTORS[motor["name"]]
    current = (motor["voltage"] - motor["brush_drop"] - motor["constant"] * motor["rated_speed"]) / motor["resistance"]
    output = motor["constant"] * (current - motor["no_load_current"]) * motor["rated_speed"]
    assert output / (current * motor["voltage"]) == pytest.approx(efficiency, abs=0.006)
    heat_path = motor["winding_to_case"] + motor["case_to_air"]
    assert 1.0 / math.sqrt(0.00385 * heat_path * motor["resistance"]) == pytest.approx(runaway, abs=0.5)


def test_the_motor_classes_are_the_ones_we_typed_in() -> None:
    motors = load("motors")
    assert [m["name"] for m in motors] == list(NOTED_MOTORS)
    assert sum(m["resistance"] for m in motors) == pytest.approx(0.525)
    assert sum(m["constant"] for m in motors) == pytest.approx(0.557)
    assert sum(m["rotor_inertia"] for m in motors) == pytest.approx(0.0086)
    assert sum(m["winding_heat"] + m["case_heat"] for m in motors) == 10070.0
    assert {m["magnet"] for m in motors} <= {row["name"] for row in load("magnets")}
    assert [m["brush_drop"] for m in motors] == [float(m["commutation"] == "brushed") for m in motors]


def test_magnets_lose_remanence_with_heat() -> None:
    slopes = {row["name"]: row["slope"] for row in load("magnets")}
    assert slopes == {"ferrite": -0.002, "neodymium": -0.0011, "samarium-cobalt": -0.0004, "alnico": -0.0002}


def test_metals_are_the_table_we_typed_in() -> None:
    metals = load("metals")
    assert len(metals) == 11
    assert sum(m["resistivity"] for m in metals) == pytest.approx(97.3841e-8)
    assert sum(m["temperature_slope"] for m in metals) == pytest.approx(0.04623)
    assert sum(m["density"] for m in metals) == 88921.0
    assert sum(m["specific_heat"] for m in metals) == 4433.0
    assert sum(m["conductivity"] for m in metals) == pytest.approx(1677.4)


@pytest.mark.parametrize("metal", load("metals"), ids=lambda metal: str(metal["name"]))
def test_a_metal_that_carries_current_carries_heat(metal: Row) -> None:
    """Wiedemann and Franz: conductivity times resistivity over temperature is 2.44e-8 W·ohm/K² for every metal."""
    assert metal["conductivity"] * metal["resistivity"] / 293.15 == pytest.approx(2.44e-8, rel=0.13)


def test_copper_is_the_international_standard() -> None:
    copper = next(m for m in load("metals") if m["name"] == "copper")
    assert copper["resistivity"] == pytest.approx(1.0 / 58e6, rel=1e-5)  # IEC 60028: 58 MS/m
    assert copper["temperature_slope"] == 0.00393


def test_iec60228_class5_is_the_table_we_typed_in() -> None:
    rows = load("conductors_iec60228_class5")
    ohms = [row["resistance_20"] for row in rows]
    areas = [row["area"] for row in rows]
    assert len(rows) == 14
    assert sum(ohms) == pytest.approx(0.119348)
    assert sum(areas) == pytest.approx(317.25e-6)
    assert areas == sorted(areas)
    assert ohms == sorted(ohms, reverse=True)
    # strand lay and the maker's allowance: 4 to 20 % above solid annealed copper of the nominal area
    assert all(1.04 < row["resistance_20"] / (1.0 / 58e6 / row["area"]) < 1.20 for row in rows)


def test_preferred_values_are_twelfths_of_a_decade() -> None:
    values = [row["value"] for row in load("preferred_e12")]
    assert len(values) == 12
    assert sum(values) == pytest.approx(42.9)
    assert values == pytest.approx([10.0 ** (k / 12.0) for k in range(12)], rel=0.05)


def wheels(kind: str, by: str) -> list[float]:
    return [row[by] for row in load("wheels") if row["kind"] == kind]


def test_stocked_wheels_are_the_ones_we_typed_in() -> None:
    counts = {
        "roller-chain": ("teeth", 37, 1253),
        "toothed-belt": ("teeth", 27, 1106),
        "v-belt": ("diameter", 34, 6.335),
    }
    for kind, (by, count, total) in counts.items():
        sizes = wheels(kind, by)
        assert len(sizes) == count
        assert sum(sizes) == pytest.approx(total), kind
        assert sizes == sorted(set(sizes))
    assert len(load("wheels")) == sum(count for _, count, _ in counts.values())
    assert {row["kind"]: (row["teeth"], row["diameter"]) for row in load("least_wheels")} == {
        "roller-chain": (17.0, pytest.approx(math.nan, nan_ok=True)),
        "toothed-belt": (18.0, pytest.approx(math.nan, nan_ok=True)),
        "v-belt": (pytest.approx(math.nan, nan_ok=True), 0.071),
    }


def test_v_belt_pulleys_are_preferred_numbers() -> None:
    """Of the fortieth series, as rounded: ISO 3, from memory, rounds by up to 1.3 % from steps of 10 to the 1/40."""
    for diameter in wheels("v-belt", "diameter"):
        step = 40.0 * math.log10(diameter)
        assert abs(10.0 ** ((step - round(step)) / 40.0) - 1.0) < 0.013, diameter


def test_teeth_are_whole() -> None:
    for kind in ("roller-chain", "toothed-belt"):
        assert all(teeth == round(teeth) for teeth in wheels(kind, "teeth"))
