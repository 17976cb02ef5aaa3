"""Charging: charge in is charge out, the taper by two routes, and what the cold and the winter do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headrace import design
from headrace.design.charging import charging
from headrace.design.charging_record import charging_record
from headrace.errors import MachineFileError
from headrace.findings.upkeep import upkeep
from headrace.machine import edit, read, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.records import Cell, Lanes, Machine
from headrace.pack import charging as pack_charging
from headrace.pack import source as pack
from headrace.physics import charging as physics
from headrace.physics import thermistors
from headrace.runs.charge import Charge, Charging, Ended, charge
from headrace.tables import load
from tests.machines import EXAMPLE, SMALL_TEXT, alley, started

WARM = 308.15  # K, from which no cooling of its own takes a cell below 25 °C: its capacity stays the rated one
CELSIUS = 273.15


def mower(**values: object) -> Machine:
    """The mower's starter with other values, spoken "charger__voltage" for "charger.voltage"."""
    changed = {key.replace("__", "."): value for key, value in values.items()}
    return read_text(edit(starter("mower"), changed), file="mower.toml").machine


def charged(plan: Machine, start: float = 0.1, **changes: Lanes) -> Charge:
    assert plan.charger is not None
    kept = changes.get("kept", plan.charger.kept)
    return charge(plan.source, replace(plan.charger, kept=kept), start, WARM)


def all_of(plan: Machine) -> Charging:
    found = charging(plan)
    assert found is not None
    return found


@pytest.mark.parametrize("kept", [1.0, 0.85])
def test_charge_in_is_charge_out(kept: float) -> None:
    plan = mower()
    once = charged(plan, kept=kept)
    capacity = plan.source.parallel * plan.source.cell.capacity
    assert once.put_in * kept == pytest.approx(capacity * (once.charge - 0.1), rel=1e-9)
    # and taken out again at a steady current it comes to the same
    state, seconds = pack.fresh(WARM, float(once.charge)), 60.0
    out = 0.0
    while state.charge > 0.1:
        state = pack.advance(plan.source, state, 5.0, WARM, seconds)
        out += 5.0 * seconds
    assert out == pytest.approx(float(once.put_in) * kept, abs=5.0 * seconds)


def test_the_energy_is_between_what_rests_in_the_cells_and_that_at_the_full_voltage() -> None:
    plan = mower()
    once = charged(plan, kept=1.0)
    source = plan.source
    level = np.linspace(0.1, float(once.charge), 2001)
    rest = np.trapezoid(pack.open_voltage(source.cell, level), level) * source.series
    resting = rest * source.parallel * source.cell.capacity
    assert resting < float(once.energy) < float(once.put_in) * 42.0
    assert float(once.mains) == pytest.approx(float(once.energy) / 0.9, rel=1e-12)


def straight(cell: Cell, slope: float) -> Cell:
    """A cell whose rest voltage is one straight line up to 4.2 V, of a resistance that answers at once."""
    charges = np.array([0.0, 1.0])
    return replace(
        cell, ocv_charge=charges, ocv_volts=np.array([4.2 - slope, 4.2]), slow_resistance=(0.0, 0.0),
        empty_rise=0.0, activation_energy=0.0,
    )  # fmt: skip


@pytest.mark.parametrize("slope", [0.6, 1.0, 1.5])
def test_the_taper_by_two_routes(slope: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """The march on a straight rest voltage fades as the closed form says: tau ln(I0/I1)."""
    monkeypatch.setattr("headrace.runs.charge.STEP", 0.0002)
    plan = mower()
    source = replace(
        plan.source, cell=straight(plan.source.cell, slope), strips=replace(plan.source.strips, length=0.0)
    )
    assert plan.charger is not None
    once = charge(source, replace(plan.charger, kept=1.0, current=10.0, end_current=1.0), 0.5, WARM)
    closed = physics.taper_time(source.cell.resistance, source.cell.capacity, slope, 10.0, 1.0)
    assert int(once.ended_because) == Ended.TAPERED
    assert float(once.duration - once.steady) == pytest.approx(float(closed), rel=0.02)  # its last step is 2 % of it


# A general text on batteries: a sealed lead-acid battery takes 12 to 16 hours, with higher currents 8 to 10. From a
# reserve of 30 % and not from empty; a tenth of the capacity in an hour is the slow charger, a fifth the quick one.
@pytest.mark.parametrize(("rate", "least", "most"), [(0.1, 12.0, 16.0), (0.2, 8.0, 10.0)])
def test_the_last_tenth_of_lead_acid_takes_hours(rate: float, least: float, most: float) -> None:
    plan = read(EXAMPLE.parent / "cider-mill" / "inverter.toml").machine
    assert plan.charger is not None
    amps = rate * float(plan.source.parallel * plan.source.cell.capacity) / 3600.0
    start = float(plan.limits.reserve)
    once = charge(plan.source, replace(plan.charger, current=amps, end_current=0.05 * amps), start, WARM)
    assert int(once.ended_because) == Ended.TAPERED
    assert least < float(once.duration) / 3600.0 < most
    assert float(once.steady) < 0.5 * float(once.duration)
    # second route: what stays, over the whole charge, is the 0.85 of a general text give or take its 0.05
    kept = (float(once.charge) - start) * float(plan.source.parallel * plan.source.cell.capacity) / float(once.put_in)
    assert 0.8 < kept < 0.9


def test_lead_acid_takes_no_more_amps_than_it_lacks_ampere_hours() -> None:
    plan = read(EXAMPLE.parent / "cider-mill" / "inverter.toml").machine
    state = pack.fresh(WARM, 0.95)
    current, _ = pack_charging.accepted(plan.source, state, 100.0, 40.0, 60.0)
    assert float(current) == pytest.approx(0.05 * float(plan.source.cell.capacity) / 3600.0)
    lithium = started("mower")
    freely, _ = pack_charging.accepted(lithium.source, pack.fresh(WARM, 0.95), 1.0, 60.0, 60.0)
    assert float(freely) == 1.0


# --- putting away --------------------------------------------------------------------------------------


@pytest.mark.parametrize("drain", ["0.1 mA", "50 mA"])
def test_a_stored_pack_is_looked_at_after_one_time_everywhere(drain: str) -> None:
    """The least of what practice asks for and of the way down to the check charge."""
    plan = mower(charger__drain=drain)
    evidence = design.evidence(plan)
    found = evidence.charging
    assert found is not None
    row = next(row for row in load("upkeep") if row["name"] == "storage charge")
    assert float(found.look) == pytest.approx(min(float(found.stored), float(row["every"])))
    (care,) = [one for one in upkeep(evidence) if one.name == "storage charge"]
    assert float(care.every) == float(found.look)
    record = charging_record(plan, found)
    assert record is not None
    assert record["storage"]["look_after_s"] == float(found.look)


def test_shorter_steps_do_not_move_the_charge(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = charged(mower())
    monkeypatch.setattr("headrace.runs.charge.STEP", 0.0005)
    finer = charged(mower())
    assert float(usual.duration) == pytest.approx(float(finer.duration), rel=0.01)
    assert float(usual.mains) == pytest.approx(float(finer.mains), rel=0.002)


def test_the_voltage_is_never_passed() -> None:
    """Iron phosphate has a flat curve and slow parts larger than its quick one; a step that reckons late swings."""
    plan = read_text(edit(starter("mower"), {"source.cell.shelf": "lfp-prismatic", "charger.chemistry": "LFP"})).machine
    source, state = plan.source, pack.fresh(WARM, 0.9)
    for _ in range(400):
        current, volts = pack_charging.accepted(source, state, 200.0, 36.5, 120.0)
        assert float(volts) <= 36.5 + 1e-9
        assert float(current) >= 0.0
        state = pack_charging.put_in(source, state, current, WARM, 120.0, 1.0)


def test_a_slower_charger_takes_longer_and_loses_less() -> None:
    quick, slow = charged(mower(charger__current="10 A")), charged(mower(charger__current="5 A"))
    assert slow.duration > 1.8 * quick.duration * 0.9
    assert slow.energy / slow.put_in < quick.energy / quick.put_in


def test_a_charger_of_too_few_volts_says_so() -> None:
    once = charged(mower(charger__voltage="30 V"), start=0.5)
    assert int(once.ended_because) == Ended.TOO_LOW
    assert float(once.duration) == 0.0
    assert float(once.charge) == 0.5


def test_below_full_it_ends_below_full() -> None:
    lower, full = charged(mower(charger__voltage="41 V")), charged(mower())
    assert lower.charge < 0.95 < full.charge


@pytest.mark.parametrize(
    ("celsius", "rate"), [(-1.0, 0.0), (2.0, 0.1), (7.0, 0.25), (12.0, 0.5), (20.0, 0.5)]
)  # PHYSICS 7.5, common practice; a cell of the shelf takes half its capacity in an hour
def test_the_cold_limit_of_the_bands(celsius: float, rate: float) -> None:
    cell = started("mower").source.cell
    amps = pack_charging.cold_limit(cell, CELSIUS + celsius)
    assert float(amps) == pytest.approx(rate * cell.capacity / 3600.0, rel=0.005)


def test_lead_acid_and_sodium_have_no_bands_but_a_lowest() -> None:
    for shelf in ("sodium-18650", "agm-12v"):
        cell = read_text(edit(starter("mower"), {"source.cell.shelf": shelf})).machine.source.cell
        low = float(cell.charge_min_temperature)
        assert float(pack_charging.cold_limit(cell, low - 1.0)) == 0.0
        assert float(pack_charging.cold_limit(cell, low + 1.0)) == cell.charge_current


def test_a_pack_that_is_warm_enough_needs_no_warming() -> None:
    cold, warm = (all_of(mower(safety__charging__coldest=f"{at} °C")) for at in (-5, 18))
    assert float(cold.cold_limit) == 0.0
    assert float(cold.ready) == CELSIUS + 5.0  # 5 A into seven cells of 5 Ah: a seventh of the capacity in an hour
    assert float(cold.warming_heat) == pytest.approx(70 * 0.070 * 1000.0 * 10.0)
    assert float(cold.warming_time) > 0.0
    assert float(warm.warming_time) == float(warm.warming_heat) == 0.0
    assert float(warm.cold_limit) == pytest.approx(float(warm.cell_limit))


def test_the_warming_time_is_that_of_the_march() -> None:
    """The closed form against the pack's own step: cells with no current, brought into a room."""
    plan = mower(safety__charging__coldest="1 °C", charger__current="10 A")
    found = all_of(plan)
    assert plan.charger is not None
    state, seconds = pack.fresh(CELSIUS + 1.0, 0.5), 0.0
    while state.temperature < found.ready:
        state = pack.advance(plan.source, state, 0.0, plan.charger.room, 10.0)
        seconds += 10.0
    assert float(found.warming_time) == pytest.approx(seconds, abs=10.0)


def test_more_drain_less_time_in_the_shed() -> None:
    found = [all_of(mower(charger__drain=f"{drain} mA")).stored for drain in (0.1, 1.0, 10.0)]
    assert found == sorted(found, reverse=True)
    group = 7 * 5.0 * 3600.0
    assert float(found[2]) == pytest.approx(0.3 * group / (10e-3 + 3.8e-9 * group), rel=1e-9)


def test_lanes_are_the_machines_one_by_one() -> None:
    drawn = draws(alley(), 3, 5)
    together = all_of(drawn).once
    assert together.duration.shape == (4,)
    assert float(together.duration[0]) == pytest.approx(float(all_of(alley()).once.duration), rel=1e-9)
    assert np.all(np.isfinite(together.mains))


def test_a_socket_is_not_charged() -> None:
    plan = read(EXAMPLE.parent / "cider-mill" / "wall.toml").machine
    assert plan.charger is None
    assert charging(plan) is None
    text = (EXAMPLE.parent / "cider-mill" / "wall.toml").read_text(encoding="utf-8")
    with pytest.raises(MachineFileError, match="never empties"):
        read_text(edit(text, {"charger.voltage": "42 V"}))


# --- found below empty: the sentences are common practice from memory (``trade-forgotten``), the sums are not ---------


def test_below_empty_it_is_brought_back_to_empty_and_below_two_volts_never_again() -> None:
    """Ten groups of two cells of 2.5 V empty: 25 V, and a floor of 2 V each; a tenth of what both take on charge."""
    plan = mower()
    found = all_of(plan).forgotten
    assert found is not None
    assert (found.empty, float(found.floor)) == (2.5, 2.0)
    assert (found.pack_empty, found.pack_floor) == (25.0, 20.0)
    assert found.current == pytest.approx(0.1 * plan.source.parallel * plan.source.cell.charge_current)
    assert found.time < found.too_long


@pytest.mark.parametrize("name", ["mower", "saw", "tiller", "auger", "winch", "cart", "pump"])
def test_the_current_that_brings_a_group_back_cannot_fill_it_in_its_time(name: str) -> None:
    """Half an hour at a tenth of half the capacity in an hour is a fortieth of it: a step, no charge."""
    plan = started(name)
    found = all_of(plan).forgotten
    assert found is not None
    capacity = plan.source.parallel * plan.source.cell.capacity
    assert found.current * found.time < 0.1 * capacity


def test_a_sheet_that_calls_less_empty_leaves_nothing_between() -> None:
    found = all_of(mower(source__cell="lfp-26650", charger__voltage="36.5 V", charger__chemistry="LFP")).forgotten
    assert found is not None
    assert float(found.floor) == found.empty == 2.0
    low = all_of(mower(source__cell={"shelf": "energy-21700", "empty_voltage": "1.8 V"})).forgotten
    assert low is not None
    assert float(low.floor) == low.empty == 1.8


@pytest.mark.parametrize(
    "values",
    [{"source__cell": "sodium-18650", "charger__voltage": "40 V", "charger__chemistry": "sodium"}],
)
def test_a_chemistry_without_a_rule_says_so(values: dict[str, object]) -> None:
    plan = mower(**values)
    assert all_of(plan).forgotten is None
    record = charging_record(plan, charging(plan))
    assert record is not None
    storage = record["storage"]
    assert "no usual rule" in storage["reason"]
    assert storage["scrap_of_a_group_V"] is None
    assert storage["recover_current_A"] is None


def test_lead_acid_has_none_either() -> None:
    assert all_of(started("corded")).forgotten is None


def test_what_is_only_remembered_shows_as_assumed() -> None:
    plan = mower()
    for key in ("scrap", "recover_share", "recover_time", "scrap_after"):
        assert plan.pedigree[f"charger.{key}"].basis == "assumed"


def test_draws_leave_the_limits_where_they_are() -> None:
    """They are rules, not guesses at a number of nature: they have no band."""
    many, one = all_of(draws(mower(), 8, 1)).forgotten, all_of(mower()).forgotten
    assert many is not None
    assert one is not None
    assert np.all(np.asarray(many.floor) == one.floor)
    assert np.all(np.asarray(many.too_long) == one.too_long)


def test_the_sensor_reads_the_printed_ohms_at_the_lowest_temperature_of_the_cell() -> None:
    """27.28 kΩ at 0 °C and 42.47 kΩ at -10 °C are printed; one exponent over all would say 28.7 kΩ at 0 °C, 1 K off."""
    assert float(all_of(mower()).sensor) == pytest.approx(27_280.0, rel=1e-9)
    assert float(pack_charging.sensor_at(CELSIUS - 10.0)) == pytest.approx(42_470.0, rel=1e-9)
    assert np.isnan(all_of(started("corded")).sensor)


def test_a_point_of_the_sensors_table_lies_where_its_neighbours_put_it() -> None:
    """Each inner point left out in turn and read off between its neighbours: within 2 % of the print."""
    rows = load("thermistor")
    warm, ohms = ([float(row[column]) for row in rows] for column in ("temperature", "resistance"))
    for place in range(1, len(rows) - 1):
        others = [[value for k, value in enumerate(column) if k != place] for column in (warm, ohms)]
        between = float(thermistors.thermistor_by_table(warm[place], *others))
        assert between == pytest.approx(ohms[place], rel=0.02)
    halfway = np.linspace(warm[0], warm[-1], 501)
    assert np.all(np.diff(thermistors.thermistor_by_table(halfway, warm, ohms)) < 0.0)


def test_the_bands_in_the_cold_against_the_printed_window() -> None:
    """From 0 to 5 °C both say a fifth of what warm cells take; from 5 to 10 °C common practice lets through more."""
    plan = mower()
    cell = plan.source.cell
    cool = next(one for one in pack_charging.windows(plan.source) if one.name == "cool")
    printed = float(cool.current) / float(plan.source.parallel)
    just, later = (float(pack_charging.cold_limit(cell, CELSIUS + degrees)) for degrees in (2.0, 7.0))
    assert just == pytest.approx(printed, rel=0.002)
    assert later == pytest.approx(2.5 * printed, rel=0.002)
    assert float(pack_charging.cold_limit(cell, CELSIUS - 1.0)) == 0.0


@pytest.mark.parametrize(("cell", "volts"), [("energy-18650", 4.0), ("lfp-26650", 3.65)])
def test_the_window_of_warm_cells_is_lower_only_where_it_is_printed(cell: str, volts: float) -> None:
    plan = mower(source__cell=cell)
    warm = next(one for one in pack_charging.windows(plan.source) if one.name == "warm")
    assert float(warm.voltage) == pytest.approx(volts * float(plan.source.series))


@pytest.mark.parametrize("cell", ["sodium-26650", "agm-12v"])
def test_other_cells_have_no_windows(cell: str) -> None:
    assert pack_charging.windows(replace(mower().source, cell=_cell(cell))) == ()


def _cell(name: str) -> Cell:
    series = 1 if name.endswith("12v") else 10
    return read_text(edit(SMALL_TEXT, {"source.cell": name, "source.series": series})).machine.source.cell
