"""What is said of charging and of years: for a charger that is planned, one that is none, in the cold, of lead."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from headrace import design
from headrace.design.charging import charging
from headrace.design.charging_record import charging_record
from headrace.design.record import design_record
from headrace.machine import edit, read_text, starter
from headrace.machine.records import Machine
from headrace.paper.charging import charging as said_of
from headrace.paper.seasons import seasons as said_of_years
from tests.machines import SMALL_TEXT, started


def sentences(plan: Machine) -> str:
    record = charging_record(plan, charging(plan))
    assert record is not None
    return " ".join(said_of({"charging": record, "findings": []}))


def mower(**values: Any) -> Machine:
    changed = {key.replace("__", "."): value for key, value in values.items()}
    return read_text(edit(starter("mower"), changed)).machine


def test_a_planned_charger_is_said_with_its_volts_and_amps() -> None:
    said = sentences(mower())
    assert "The charger holds 42.0 V at the end and drives 5.0 A until then." in said
    assert "it is warm enough" in said
    assert "Put it away at 50 %" in said


def test_without_one_the_pack_says_which_it_asks_for() -> None:
    said = sentences(started("saw"))
    assert "No charger is planned. This pack asks for one that ends at " in said
    assert "told of that one" in said


def test_in_the_frost_it_must_not_be_charged_until_it_is_warm() -> None:
    said = sentences(mower(safety__charging__coldest="-8 °C"))
    assert "it must not be charged" in said
    assert "the cells' own temperature counts" in said.lower()


def test_a_charger_of_too_few_volts_is_said_not_to_charge() -> None:
    assert "It does not charge" in sentences(mower(charger__voltage="25 V"))


def moved(plan: Machine, gap: float = 0.02, room: float = 293.15) -> Machine:
    assert plan.charger is not None
    return replace(plan, charger=replace(plan.charger, gap=gap, room=room))


def test_the_gap_to_close_and_the_room_are_those_of_the_record() -> None:
    """Numbers that are typed into a sentence would stay when those of the machine move."""
    plan = mower(safety__charging__coldest="-8 °C")
    assert "a gap of 2.0 % between its groups" in sentences(plan)
    assert "in a room of 20 °C" in sentences(plan)
    assert "a gap of 3.5 % between its groups" in sentences(moved(plan, gap=0.035))
    assert "in a room of 26 °C" in sentences(moved(plan, room=299.15))


def test_the_sensor_and_the_spread_of_cells_are_those_of_the_record() -> None:
    plan = mower()
    cold = charging_record(plan, charging(plan))
    assert cold is not None
    cold["cold"]["sensor_of_ohm"] = 47_000.0
    assert "The usual sensor of 47 kΩ reads" in " ".join(said_of({"charging": cold, "findings": []}))
    years = design_record(design.solve(plan))["seasons"]
    assert (years["spread_low"], years["spread_high"]) == (0.5, 2.0)  # of the table of defaults
    assert "may age 3.0 times as fast, or 0.5 times" in " ".join(said_of_years({**years, "spread_high": 3.0}))


def test_lead_acid_is_put_away_full_and_its_last_tenth_is_late() -> None:
    said = sentences(started("corded"))
    assert "its last tenth takes hours" in said
    assert "more than this tells" not in said  # the charge is told to its end
    assert "Put it away at 100 %" in said
    assert "gap" not in said


def test_a_forgotten_pack_is_said_group_by_group_with_what_is_scrap() -> None:
    said = sentences(mower())
    assert "a group below 2.50 V, or the pack below 25.0 V" in said
    assert "only to 2.50 V of every group" in said
    assert "within 30 min" in said
    assert "With a group below 2.00 V, below empty for more than 7 days" in said
    assert "never charge it again" in said
    assert "from memory: the sheet of the cells comes first" in said


def test_where_empty_is_the_floor_nothing_is_brought_back() -> None:
    said = sentences(mower(source__cell="lfp-26650", charger__voltage="36.5 V", charger__chemistry="LFP"))
    assert "a group below 2.00 V, or the pack below 20.0 V: there is nothing to recover" in said
    assert "bring it back" not in said


def test_a_chemistry_without_a_rule_is_sent_to_the_sheet() -> None:
    assert "Found below empty: no usual rule is known for this chemistry" in sentences(started("corded"))


def test_years_are_said_with_what_is_missing_for_the_costs() -> None:
    plan = read_text(edit(SMALL_TEXT, {"prices.lead_pack": 120, "prices.spares": 20})).machine
    record = design_record(design.solve(plan))
    said = " ".join(said_of_years(record["seasons"]))
    assert "next year" in said
    assert "lead-acid batteries" in said
    assert "For what is not compared the file has to give the price of such a machine, bought." in said
    assert "prices." not in said  # a key of the file is no word
    assert "in the money of the file" in said
    assert "Beside that, in the same money: tools, once, 150, spares in a season 20." in said
    assert "another cell may age 2.0 times as fast, or 0.5 times" in said


def age(name: str, minutes: float, speed: float, *, cold: bool = False) -> dict[str, Any]:
    return {
        "name": name, "years": 3.0, "cold": cold, "capacity_left": 0.9, "resistance_grown": 1.1,
        "lasts_s": 60.0 * minutes, "to_reserve_s": 60.0 * minutes, "tool_speed_full_rad_s": speed,
    }  # fmt: skip


def test_a_cold_morning_that_lasts_longer_says_why() -> None:
    plan = read_text(SMALL_TEXT).machine
    found = design_record(design.solve(plan))["seasons"]
    assert all(one["tool_speed_full_rad_s"] > 0.0 for one in found["ages"])
    warm, slow = age("in-three-years", 80.0, 370.0), age("in-three-years-cold", 83.0, 350.0, cold=True)
    said = " ".join(said_of_years({**found, "ages": [warm, slow]}))
    assert "cold motor's magnets are stronger" in said
    assert "3342 rpm and not at 3533 rpm" in said
    shorter = " ".join(said_of_years({**found, "ages": [warm, {**slow, "to_reserve_s": 4000.0}]}))
    assert "cold morning lasts longer" not in shorter
    as_fast = " ".join(said_of_years({**found, "ages": [warm, {**slow, "tool_speed_full_rad_s": 380.0}]}))
    assert "magnets" not in as_fast


def test_the_sensor_is_said_in_ohms_at_the_lowest_temperature_and_as_assumed() -> None:
    """The printed point: 27.28 kΩ at 0 °C."""
    said = sentences(mower())
    assert "The usual sensor of 10 kΩ reads 27.3 kΩ at 0 °C" in said
    assert "That it is this sensor is assumed" in said
    assert "sensor" not in sentences(started("corded"))


def test_the_windows_of_a_charger_circuit_are_said_for_lithium_only() -> None:
    said = sentences(mower())
    assert "40.0 V from 45 °C to 60 °C; nothing below 0 °C or above 60 °C." in said
    assert "charger circuit" not in sentences(started("corded"))
