"""Lead-acid batteries, against the few numbers that pages print: nominal voltage and Peukert's law."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.physics import charge_wells, lead_acid
from headrace.tables import load
from tests.published.rows import Calculation, Row, cases, every_row_has_its_calculation, holds

HOUR = 3600.0  # s
FULL_ACID = 6.0  # mol/kg, a relative density of about 1.27


def half_full(_row: Row) -> float:
    """Nominal volts are said to a tenth."""
    acid = lead_acid.acid_molality(FULL_ACID, 0.5)
    return round(float(lead_acid.acid_rest_voltage(acid, 1.0)), 1)


def hours(charge: float, rated: float, exponent: float, amps: float) -> Any:
    return charge_wells.peukert_time(charge * HOUR, rated * HOUR, exponent, amps) / HOUR


def at_one_ampere(row: Row) -> list[Any]:
    """A capacity at 1 A lasts as many hours as it has ampere-hours."""
    given = row["inputs"]
    time = hours(given["C"], given["C"], given["n"], given["I"])
    return [time, time * given["I"]]


def at_one_ampere_again(row: Row) -> Any:
    given = row["inputs"]
    return hours(given["Cp"], given["Cp"], given["k"], given["I"])


def rated(row: Row) -> Any:
    given = row["inputs"]
    return hours(given["C"], given["H"], given["k"], given["I"])


def observed(row: Row) -> Any:
    given = row["inputs"]
    return charge_wells.peukert_exponent(given["I1"], given["t1"] * HOUR, given["I2"], given["t2"] * HOUR)


def there_and_back(row: Row) -> Any:
    """Two times by the exponent, and from them the exponent by the page's formula, which is our law."""
    amps = (5.0, 30.0)
    slow, fast = (hours(100.0, 20.0, row["value"], current) for current in amps)
    return charge_wells.peukert_exponent(amps[0], slow * HOUR, amps[1], fast * HOUR)


def through_two_wells(exponent: float) -> float:
    """Wells made from an exponent between 20 hours and one, discharged in both, and the exponent that they show."""
    capacity, slow, fast = 100.0 * HOUR, 20.0 * HOUR, HOUR
    less = charge_wells.peukert_capacity(capacity, slow, exponent, fast)
    rate = charge_wells.rate_of_peukert(exponent, slow, fast)
    wells = charge_wells.wells_of_ratings(capacity, slow, less, fast, rate)
    assert wells.solved
    amps = (capacity / slow, less / fast)
    lasted = [charge_wells.wells_capacity(wells.capacity, wells.share, rate, current) / current for current in amps]
    return float(charge_wells.peukert_exponent(amps[0], lasted[0], amps[1], lasted[1]))


def end_of_discharge(_row: Row) -> float:
    """One cell of six, of every battery of the shelf."""
    (volts,) = {cell["empty_voltage"] for cell in load("cells") if cell["chemistry"] == "lead-acid"}
    return float(volts) / 6.0


def sealed_energy(_row: Row) -> list[float]:
    """W·h/kg of the two sealed batteries of the shelf; its flooded one has 46."""
    sealed = [cell for cell in load("cells") if cell["name"] in ("agm-12v", "gel-12v")]
    return [cell["capacity"] * cell["nominal_voltage"] / HOUR / cell["mass"] for cell in sealed]


CALCULATIONS: dict[str, Calculation] = {
    "v_lead": half_full,
    "v_lead_eod": end_of_discharge,
    "lead_wh_kg": sealed_energy,
    "peukert_unit": at_one_ampere,
    "peukert_unit2": at_one_ampere_again,
    "peukert_rated": rated,
    "peukert_observed": observed,
    "peukert_n_formula": there_and_back,
    "peukert_ranges": lambda row: [[through_two_wells(number) for number in line[1:]] for line in row["value"]],
}


@pytest.mark.parametrize("row", cases("lead_acid"))
def test_lead_acid_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_lead_acid_row_is_used() -> None:
    every_row_has_its_calculation("lead_acid", CALCULATIONS)


def test_the_form_without_a_rated_time_contradicts_a_rating() -> None:
    """The trap beside ``peukert_unit2``: 100 A·h at 20 hours are 5 A for 20 hours, whatever the exponent."""
    assert hours(100.0, 20.0, 1.2, 5.0) == pytest.approx(20.0, rel=1e-12)
    assert hours(100.0, 100.0, 1.2, 5.0) < 15.0
