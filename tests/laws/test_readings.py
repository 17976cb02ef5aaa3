"""What a meter says on the bench: drops by Ohm's law, resistance by two loads, rest volts by the table."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.pack_readings import PLATEAU, rested, two_loads
from headrace.design.readings import readings
from headrace.design.trial import Trial, trial_of
from headrace.design.trial_record import rest_volts_record, trial_record
from headrace.machine import edit, read, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.joins import parted
from headrace.machine.links import Cable, Contacts
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.physics import allowances
from headrace.tables import load
from headrace.wiring.readings import UNITS, Reading, reading
from tests.machines import EXAMPLE, alley, evidence_of, started, with_pack

EXAMPLES = EXAMPLE.parent


def rows_of(name: str) -> dict[str, Reading]:
    return {one.name: one for one in readings(started(name), evidence_of(name), tried(name)).rows}


def tried(name: str) -> Trial:
    return trial_of(started(name), evidence_of(name).days.new)


def mower(**values: Any) -> Machine:
    return read_text(edit(starter("mower"), {key.replace("__", "."): value for key, value in values.items()})).machine


# --- drops --------------------------------------------------------------------------------------------


def test_a_drop_is_the_amps_times_the_ohms() -> None:
    """Lugs of 0.15 mΩ at the amps of the heaviest state; ten square millimetres of copper, 1 m out and 1 m back."""
    found, plan = rows_of("mower"), started("mower")
    amps = float(found["lugs of blade"].current)
    heaviest = tried("mower").charged[0].states[1].points[0]
    assert amps == pytest.approx(float(heaviest.battery_current))
    assert float(found["lugs of blade"].expected) == pytest.approx(0.15e-3 * amps, rel=1e-9)
    cable = next(link for link in plan.chains[0].links if isinstance(link, Cable))
    by_table = 1.91e-3 * 2.0 * float(cable.length)  # IEC 60228 class 5, 10 mm², at 20 °C
    warm = 1.0 + 0.00393 * (float(cable.temperature) - 293.15)
    assert float(found["cable of blade"].expected) == pytest.approx(amps * by_table * warm, rel=0.002)


def test_the_volts_at_the_controller_are_those_of_the_pack_less_the_drops() -> None:
    found, plan = rows_of("mower"), started("mower")
    state = tried("mower").charged[0].states[1]
    count = next(link.count for link in plan.chains[0].links if isinstance(link, Contacts) and link.name == "lugs")
    lost = sum(
        float(found[f"{name} of blade"].expected) * n for name, n in (("cable", 1), ("lugs", count), ("fuse", 1))
    )
    at_controller = float(found["volts at controller of blade, pack full"].expected)
    assert at_controller == pytest.approx(float(state.voltage) - lost, abs=1e-6)


def test_a_joint_is_fine_up_to_twice_its_drop() -> None:
    found = rows_of("mower")["fuse of blade"]
    assert found.fine_by == "twice"
    assert float(found.low) == 0.0
    assert float(found.high) == pytest.approx(2.0 * float(found.expected))


@pytest.mark.parametrize("name", ["mower", "saw", "cart"])
def test_the_meter_is_held_at_terminals_that_there_are(name: str) -> None:
    found = evidence_of(name).netlist
    assert found is not None
    ends = {f"{part.name}.{end}" for part in found.parts for end in part.terminals}
    named = 0
    for one in rows_of(name).values():
        for said in one.where.split("; ")[0].replace(" added to ", " and ").split(" and "):
            if "." in said and " round " not in said and parted(said)[1].isidentifier():
                assert said in ends, one.name
                named += 1
    assert named > 8


def test_mains_is_not_read_by_hand() -> None:
    found = rows_of("corded")
    assert np.isnan(found["cord of mill"].expected)
    assert "licensed practice" in found["cord of mill"].reason
    assert np.isfinite(found["leads of mill"].expected)  # those of the batteries are


# --- the pack ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["mower", "tiller", "pump"])
def test_two_loads_say_the_resistance_of_the_cell_model(name: str) -> None:
    """Little more than what answers at once: the slow part has had a second of the heavy load, and ten of the light."""
    plan = started(name)
    found = two_loads(plan)
    assert found is not None
    once = pack.at(plan.source, pack.fresh(plan.job.ambient, 0.5)).resistance
    assert float(found.at_once) == pytest.approx(float(once), rel=1e-12)
    assert 1.0 < float(found.resistance) / float(once) < 1.05
    assert float(found.resistance) < float(found.after)
    settled = pack.at_length(plan.source, pack.fresh(plan.job.ambient, 0.5)).resistance
    assert float(found.after) < 1.1 * float(settled)


def test_two_loads_by_hand_on_cells_without_a_slow_part() -> None:
    """Then the standard's test gives the resistance, but for the volts the charge drawn takes along."""
    plan = started("mower")
    cell = replace(
        plan.source.cell, slow_resistance=(0.0, 0.0), ocv_volts=np.full_like(plan.source.cell.ocv_volts, 3.7)
    )
    bare = replace(plan, source=replace(plan.source, cell=cell))
    found = two_loads(bare)
    assert found is not None
    amp_hours = float(plan.source.parallel * plan.source.cell.capacity) / 3600.0
    assert float(found.first) == pytest.approx(0.2 * amp_hours)
    assert float(found.second) == pytest.approx(amp_hours)
    # the cells warm by thousandths of a kelvin between the two
    assert float(found.resistance) == pytest.approx(float(found.at_once), rel=2e-3)


def test_more_strings_less_resistance() -> None:
    one, two = (two_loads(with_pack(alley(), 10.0, parallel)) for parallel in (3.0, 6.0))
    assert one is not None
    assert two is not None
    assert float(two.resistance) == pytest.approx(0.5 * float(one.resistance), rel=0.01)


def test_a_load_past_what_the_cells_may_give_is_not_asked_for() -> None:
    found = two_loads(started("corded"))  # lead-acid: an hour's current is more than it gives for long
    assert found is not None
    assert found.limited
    plan = started("corded")
    assert float(found.second) == pytest.approx(float(plan.source.parallel * plan.source.cell.continuous_current))


@pytest.mark.parametrize("share", [0.1, 1.0])
def test_two_loads_that_are_alike_tell_nothing(share: float) -> None:
    """The light load draws a fifth of the capacity in an hour; a pack that gives no more has no heavy one."""
    source = started("mower").source
    least = float(source.parallel * source.cell.capacity) / 5.0 / 3600.0
    soft = replace(started("mower"), source=replace(source, current_limit=share * least))
    with np.errstate(all="raise"):
        small = two_loads(soft)
    assert small is not None
    assert np.isnan(small.resistance)
    assert "tell the two apart" in small.reason


@pytest.mark.parametrize("name", ["mower", "cart", "pump", "winch", "corded"])
def test_the_heavy_load_stays_under_what_main_fuse_and_board_let_through(name: str) -> None:
    """A fifth under the fuse's plate, as everything that carries amps for hours; the cart's fuse is one of 20 A."""
    evidence = evidence_of(name)
    found = two_loads(evidence.machine, evidence.fused)
    assert found is not None
    assert evidence.fused is not None
    assert found.reason or float(found.second) <= 0.8 * float(evidence.fused.rating) + 1e-9
    board = evidence.machine.board
    assert board is None or found.reason or float(found.second) <= float(np.asarray(board.continuous))


def test_rest_volts_fall_with_the_charge_and_are_those_of_the_table() -> None:
    source = alley().source
    found = rested(source)
    assert [one.name for one in found] == [f"{p} %" for p in range(100, -1, -10)]
    volts = [float(one.voltage) for one in found]
    assert volts == sorted(volts, reverse=True)
    assert volts[0] == pytest.approx(42.0)
    table = {row["charge"]: row["volts"] for row in load("ocv") if row["table"] == source.cell.ocv_table}
    known = [one for one in found if float(one.charge) in table]
    assert known
    assert all(float(one.cell) == pytest.approx(table[float(one.charge)]) for one in known)


def test_on_the_plateau_the_volts_tell_nothing() -> None:
    plan = mower(source__cell__shelf="lfp-26650", source__series=13)
    flat = [one.name for one in rested(plan.source) if one.reason == PLATEAU]
    assert "50 %" in flat
    assert "100 %" not in flat
    assert "0 %" not in flat
    assert not any(one.reason for one in rested(alley().source))


def test_groups_may_lie_apart_what_two_per_cent_of_charge_make() -> None:
    cell = started("mower").source.cell
    gap = float(pack.open_voltage(cell, 0.5)) - float(pack.open_voltage(cell, 0.48))
    assert float(rows_of("mower")["groups apart"].expected) == pytest.approx(gap)
    assert "groups apart" not in rows_of("corded")  # batteries have no sense wires


def test_what_never_empties_says_why_it_has_no_rest_volts() -> None:
    wall = read(EXAMPLES / "cider-mill" / "wall.toml").machine
    found = rest_volts_record(wall.source)
    assert found["rest"] == []
    assert found["rest_reason"]
    assert two_loads(wall) is None


@pytest.mark.parametrize("name", ["mower", "corded"])
def test_a_reading_without_amps_says_so(name: str) -> None:
    evidence = evidence_of(name)
    for one in trial_record(evidence.machine, evidence)["bench_readings"]:
        assert (one["current_A"] is None) == bool(one["current_reason"]), one["name"]


# --- time, warmth, bands -------------------------------------------------------------------------------


def test_a_brake_that_is_planned_stops_sooner_than_coasting() -> None:
    found = rows_of("mower")
    braked, stop = found["blade to rest, braked"], evidence_of("mower").stops[0]
    assert "blade to rest, coasting" not in found  # nobody takes a brake off to time the tool without it
    assert float(braked.expected) < float(stop.timed.coast_time)
    assert "past 3 s" in braked.differs
    # judged at the low ends of all drag and with a hot motor, so later than what is expected on the bench
    assert float(stop.timed.coast_time) < float(stop.coast_time)


def test_a_brake_is_read_only_on_the_chain_that_has_it() -> None:
    plan = read(EXAMPLES / "strip-mower.toml").machine
    evidence = design.evidence(plan)
    found = {one.name for one in readings(plan, evidence, trial_of(plan, evidence.days.new)).rows}
    assert "blade to rest, braked" in found
    assert "axle to rest, braked" not in found


def test_warmth_is_counted_from_the_air() -> None:
    found, air = rows_of("mower")["motor's case after the work"], float(started("mower").job.ambient)
    rise = float(found.expected) - air
    assert float(found.low) == pytest.approx(air + 0.5 * rise)
    assert float(found.high) == pytest.approx(air + 1.3 * rise)


def test_every_kind_of_reading_has_its_row() -> None:
    assert {row["kind"] for row in load("reading_bands")} == set(UNITS)
    assert all(row["low"] <= 1.0 <= row["high"] for row in load("reading_bands"))


def test_a_reading_that_is_none_keeps_its_reason_and_one_that_is_has_none() -> None:
    none = reading("a", "speed", "there", "then", np.nan, "so", reason="because")
    some = reading("a", "speed", "there", "then", 100.0, "so", reason="because")
    assert (none.reason, some.reason) == ("because", "")
    assert np.isnan(none.low)
    assert float(some.low) < 100.0 < float(some.high)
    assert allowances.end_of_reading(100.0, 1.0, 20.0) == 100.0


def test_with_draws_the_band_says_what_is_fine() -> None:
    drawn = draws(started("mower"), 8, 1)
    rows = {one["name"]: one for one in trial_record(drawn, design.evidence(drawn))["bench_readings"]}
    amps = rows["amps in grass"]
    assert amps["fine_by"] == "draws"
    assert amps["expected_A"]["low"] < amps["expected_A"]["typical"] < amps["expected_A"]["high"]
    assert isinstance(amps["usual_from_A"], float)  # of the typical machine
