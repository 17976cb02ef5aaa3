"""One lead-acid battery: five numbers from its fastest discharge, the next one predicted, the slowest one explained.

Measured, by somebody else (``lead_acid_logs`` names the source): discharges at 3.04, 2.04 and 1.03 A, one after the
other in that order, rests around them, a recharge after the first.

Fitted, from the file at 3.04 A alone: the five numbers of ``lead_acid_fit``. Predicted: the volts of the other two
files from full, above 11 V, where a straight line over charge is the least that a model has to beat. The aim for the
file at 2.04 A, 0.6 % root mean square, was set before it was run. What was reached stands in docs/measured.md, with
what the aim cannot tell.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from headrace.bench import discharges
from headrace.bench.discharges import Discharge, UnlikeDischarges
from headrace.physics import charge_wells, lead_acid
from headrace.physics.law import outside
from tests.measured import lead_acid_fit
from tests.measured.lead_acid_fit import Battery, root_mean_square, share_off, with_capacity_of
from tests.measured.lead_acid_logs import LOADED, Log, read
from tests.measured.logs import CELSIUS, HOUR
from tests.measured.page import PAGE, hold, rows_under

MV, PERCENT = 1e-3, 1e-2
CURRENTS = {"3.04 A": "cc_3p04A", "2.04 A": "cc_2p04A", "1.03 A": "cc_1p03A"}
COLD_LOSS = 0.008  # for each kelvin: common practice, no source


@pytest.fixture(scope="module")
def logs(data: Path) -> dict[str, Log]:
    return {name: read(data, file) for name, file in CURRENTS.items()}


@pytest.fixture(scope="module")
def found(logs: dict[str, Log]) -> tuple[Battery, ...]:
    return lead_acid_fit.fit(logs["3.04 A"])


@pytest.fixture(scope="module")
def battery(found: tuple[Battery, ...]) -> Battery:
    return found[0]


# --- the files ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "charge", "lasted"), [("3.04 A", 19.8, 6.5), ("2.04 A", 19.7, 9.65), ("1.03 A", 18.35, 17.75)]
)
def test_the_files_are_those_of_the_readme(logs: dict[str, Log], name: str, charge: float, lasted: float) -> None:
    """Charge to about 10.5 V and hours, as the README of the data gives them."""
    log = logs[name]
    assert log.charge / HOUR == pytest.approx(charge, abs=0.07)
    assert log.lasted / HOUR == pytest.approx(lasted, abs=0.02)
    assert float(np.min(log.volts)) == pytest.approx(10.5, abs=0.06)


def test_of_what_the_recharge_puts_in_nine_tenths_had_come_out(data: Path, logs: dict[str, Log]) -> None:
    """A coulombic efficiency of 0.85 to 0.95 and an energy efficiency of 0.7 to 0.85 are common practice."""
    log, back = logs["3.04 A"], read(data, "charge_after_3p04A")
    into = -back.current * back.seconds * (back.current < 0.0)
    out = log.current * log.seconds * (log.current > LOADED)
    assert 0.85 < np.sum(out) / np.sum(into) < 0.95
    assert 0.7 < np.sum(out * log.volts) / np.sum(into * back.volts) < 0.85


# --- the fit -----------------------------------------------------------------------------------------


def test_the_fit_is_one_place_wherever_the_search_begins(found: tuple[Battery, ...]) -> None:
    for one, other in zip(vars(found[0]).values(), vars(found[-1]).values(), strict=True):
        assert one == pytest.approx(other, rel=1e-3)
    assert len(found) == len(lead_acid_fit.TRIED)


def test_five_numbers_meet_the_discharge_and_the_rest_after_it(logs: dict[str, Log], battery: Battery) -> None:
    log = logs["3.04 A"]
    off = battery.volts(log) - log.volts
    assert root_mean_square(off, lead_acid_fit.loaded(log)) < 15.0 * MV  # the files count in 4 to 12 mV
    assert root_mean_square(off, lead_acid_fit.resting(log)) < 25.0 * MV


def test_the_five_numbers_are_those_of_such_a_battery(logs: dict[str, Log], battery: Battery) -> None:
    """Inside the search's bounds and the laws' ranges; acid of sealed batteries has 1.28 to 1.33 relative density."""
    for number, low, high in zip(vars(battery).values(), lead_acid_fit.LOW, lead_acid_fit.HIGH, strict=True):
        scaled = {battery.capacity: battery.capacity / HOUR, battery.rate: np.log(battery.rate)}.get(number, number)
        assert low + 0.01 * (high - low) < scaled < high - 0.01 * (high - low)
    assert not outside(charge_wells.wells_step, share=battery.share, rate=battery.rate)
    assert 6.0 < battery.full_molality < 7.8  # 37 to 43 % of the mass
    assert battery.capacity > logs["3.04 A"].charge  # acid is left when the discharge ends
    assert 60.0 < 1.0 / battery.rate < HOUR


def test_a_rest_gives_volts_back_as_the_wells_level(logs: dict[str, Log], battery: Battery) -> None:
    """Half a volt in an hour and a half, most of it in ten minutes; no charge went in meanwhile."""
    log = logs["3.04 A"]
    said = battery.volts(log)
    after = lead_acid_fit.resting(log)
    assert np.all(np.abs(log.current[after]) < 0.05)
    for volts in (log.volts, said):
        assert volts[after[-1]] - volts[log.on[1] - 1] > 0.5
        assert volts[after[0]] - volts[log.on[1] - 1] > 0.7 * (volts[after[-1]] - volts[log.on[1] - 1])


# --- 2.04 A ------------------------------------------------------------------------------------------


def test_the_discharge_at_2_a_is_predicted(logs: dict[str, Log], battery: Battery) -> None:
    """To 0.6 %, and closer than a straight line over charge, with or without the resistance, or the fitted curve."""
    first, log = logs["3.04 A"], logs["2.04 A"]
    reached = share_off(battery.volts(log), log)
    assert reached < 0.6 * PERCENT
    straight = lead_acid_fit.line(first)
    without_model = [
        straight.volts(log),
        straight.volts(log, battery.resistance),
        lead_acid_fit.same_curve(first, log),
    ]
    assert all(reached < share_off(volts, log) for volts in without_model)
    assert share_off(straight.volts(log), log) == pytest.approx(0.9 * PERCENT, abs=0.05 * PERCENT)


def test_what_is_missed_is_capacity_and_hardly_shape(logs: dict[str, Log], battery: Battery) -> None:
    """With the one capacity of the day the whole curve lies within 0.15 %; no line at all comes within 0.45 %."""
    log = logs["2.04 A"]
    told = with_capacity_of(battery, log)
    assert share_off(told.volts(log), log) < 0.15 * PERCENT
    rows = lead_acid_fit.judged(log)
    best = np.asarray(np.polyval(np.polyfit(log.drawn[rows], log.volts[rows], 1), log.drawn), dtype=np.float64)
    assert share_off(best, log) > 0.45 * PERCENT
    # the rest after it was no part of that search
    assert root_mean_square(told.volts(log) - log.volts, lead_acid_fit.resting(log)) < 35.0 * MV


def test_the_measured_curve_lifted_by_the_resistance_comes_closer_still(logs: dict[str, Log], battery: Battery) -> None:
    """So 0.6 % under load proves little: what the lift leaves out, and the capacity that went, have opposite signs."""
    log = logs["2.04 A"]
    lifted = lead_acid_fit.same_curve(logs["3.04 A"], log, battery.resistance)
    assert share_off(lifted, log) < share_off(battery.volts(log), log)
    assert share_off(lifted, log) > 2.0 * share_off(with_capacity_of(battery, log).volts(log), log)


# --- 1.03 A, and what changed between the discharges -------------------------------------------------


def test_the_battery_cooled_from_one_discharge_to_the_next(logs: dict[str, Log]) -> None:
    warmths = [log.warmth - CELSIUS for log in logs.values()]
    assert warmths == sorted(warmths, reverse=True)
    assert warmths[0] - warmths[-1] > 3.0
    slow = logs["1.03 A"].temperature - CELSIUS
    assert float(np.max(slow)) > 24.0
    assert float(np.min(slow)) < 19.5


def test_the_slowest_discharge_left_the_least_although_it_took_the_least(logs: dict[str, Log]) -> None:
    """Seen without a model: after equal rests the voltage is lower, so less acid is left, not less of it in reach."""
    rested = [log.rested(1.4 * HOUR) for log in logs.values()]
    assert rested[0] - rested[1] > 0.1
    assert rested[1] - rested[2] > 0.1
    assert logs["1.03 A"].charge < 0.94 * logs["2.04 A"].charge


def test_rests_and_loaded_curves_speak_of_the_same_capacities(logs: dict[str, Log], battery: Battery) -> None:
    """Two routes to what went: the rest alone, with the acid's curve; and the volts under load, with wells and ohms."""
    for log in logs.values():
        rested = lead_acid_fit.capacity_at_rest(battery, log, 1.4 * HOUR)
        assert rested == pytest.approx(with_capacity_of(battery, log).capacity, rel=0.02)


def test_cold_explains_a_sixth_of_the_capacity_that_went(logs: dict[str, Log], battery: Battery) -> None:
    """Two wells promise more charge at 1 A, not less; the capacity that meets each file says what went."""
    first = logs["3.04 A"]
    promised = [
        float(charge_wells.wells_capacity(battery.capacity, battery.share, battery.rate, amps)) for amps in (3.04, 1.03)
    ]
    assert promised[1] > 1.05 * promised[0]
    for name, least in (("2.04 A", 0.03), ("1.03 A", 0.12)):
        log = logs[name]
        lost = 1.0 - with_capacity_of(battery, log).capacity / battery.capacity
        warm, now = (float(lead_acid.lead_capacity_at(1.0, COLD_LOSS, run.warmth)) for run in (first, log))
        assert lost > least
        assert 0.1 < (1.0 - now / warm) / lost < 0.25


def test_the_discharge_at_1_a_is_missed_until_the_lost_capacity_is_told(logs: dict[str, Log], battery: Battery) -> None:
    log = logs["1.03 A"]
    assert share_off(battery.volts(log), log) > 1.5 * PERCENT  # no aim was set; the page says what it came to
    assert share_off(with_capacity_of(battery, log).volts(log), log) < 0.5 * PERCENT


def test_no_peukert_exponent_is_taken_from_these_discharges(logs: dict[str, Log]) -> None:
    runs = [Discharge(log.charge / log.lasted, log.lasted, log.warmth) for log in logs.values()]
    with pytest.raises(UnlikeDischarges, match=r"exponent of 0\.9\d+ is below 1.*20\.6 °C.*once more") as refused:
        discharges.fit(runs)
    assert "Missing at the least: 7%" in refused.value.why


# --- the page ----------------------------------------------------------------------------------------


def rows_of_the_page() -> list[list[str]]:
    """Discharge, part, °C, model, line, capacity, model with it; none before the page has its section."""
    lines = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith("| ")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return [row for row in cells if row[0] in CURRENTS]


@pytest.mark.parametrize("row", rows_of_the_page(), ids=lambda row: row[0])
def test_the_page_says_what_was_reached(logs: dict[str, Log], battery: Battery, row: list[str]) -> None:
    name, _, warmth, model, straight, capacity, with_it = row
    log = logs[name]
    told = with_capacity_of(battery, log)
    assert log.warmth - CELSIUS == pytest.approx(float(warmth), abs=0.06)
    assert share_off(battery.volts(log), log) / PERCENT == pytest.approx(float(model), abs=0.01)
    assert share_off(lead_acid_fit.line(logs["3.04 A"]).volts(log), log) / PERCENT == pytest.approx(
        float(straight), abs=0.01
    )
    assert told.capacity / HOUR == pytest.approx(float(capacity), abs=0.03)
    assert share_off(told.volts(log), log) / PERCENT == pytest.approx(float(with_it), abs=0.01)


def density(molality: float) -> float:
    """Return the relative density of sulphuric acid at 20 °C between two rows of handbooks, from memory. [-]"""
    mass = molality * 0.098079
    return float(np.interp(mass / (1.0 + mass), [0.40, 0.42], [1.3028, 1.3212]))


Logs = dict[str, Log]
FOUND: dict[str, Callable[[Battery, Logs], list[float]]] = {
    "acid when full": lambda b, _: [b.full_molality, density(b.full_molality)],
    "charge down to the last of the acid": lambda b, logs: [
        b.capacity / HOUR,
        logs["3.04 A"].charge / HOUR,
        float(np.min(logs["3.04 A"].volts)),
    ],
    "share of the available well": lambda b, _: [b.share],
    "time in which a rest levels the wells": lambda b, _: [1.0 / b.rate, 1.0 / b.rate / 60.0],
    "resistance": lambda b, _: [b.resistance / MV],
}
WENT = {"first": "3.04 A", "second": "2.04 A", "third": "1.03 A"}


def test_every_row_of_what_was_found_is_held() -> None:
    assert [row[0] for row in rows_under("What was found")] == list(FOUND)
    assert [row[0] for row in rows_under("Why the other two are missed")] == list(WENT)
    assert [row[0] for row in rows_of_the_page()] == list(CURRENTS)


@pytest.mark.parametrize("row", rows_under("What was found"), ids=lambda row: row[0])
def test_the_page_says_what_was_found(logs: Logs, battery: Battery, row: list[str]) -> None:
    hold(" ".join(row), FOUND[row[0]](battery, logs))


@pytest.mark.parametrize("row", rows_under("Why the other two are missed"), ids=lambda row: row[0])
def test_the_page_says_what_went(logs: Logs, battery: Battery, row: list[str]) -> None:
    first, log = logs["3.04 A"], logs[WENT[row[0]]]
    capacity = with_capacity_of(battery, log).capacity
    computed = [capacity / HOUR, lead_acid_fit.capacity_at_rest(battery, log, 1.4 * HOUR) / HOUR]
    if log is not first:
        warm, now = (float(lead_acid.lead_capacity_at(1.0, COLD_LOSS, run.warmth)) for run in (first, log))
        computed += [(1.0 - capacity / battery.capacity) / PERCENT, (1.0 - now / warm) / PERCENT]
    hold(" ".join(row), computed)
