"""What is said of the facts about a pack: of one of cells, of lead-acid, of what never empties."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from headrace import design
from headrace.design.facts_record import facts_record
from headrace.design.record import design_record
from headrace.machine import read
from headrace.machine.records import Machine
from headrace.paper.facts import facts, limits, mass, questions, volts
from headrace.paper.report import report
from headrace.paper.words import celsius
from tests.machines import EXAMPLE, evidence_of, shown, small, started

Record = dict[str, Any]


def of(plan: Machine) -> Record:
    return facts_record(plan, design.evidence(plan))


@cache
def small_facts() -> Record:
    return of(small())


@cache
def lead() -> Record:
    return facts_record(started("corded"), evidence_of("corded"))


def test_the_pack_is_said_with_its_watt_hours_mass_and_name() -> None:
    """Twenty cells of 5 Ah and 3.6 V: 360 Wh."""
    said = " ".join(facts(small_facts()))
    assert "The pack holds 360 Wh as rules count them: rated 10.0 Ah times nominal 36.0 V" in said
    assert "it is called 10INR22/71-2" in said
    assert "It has 20 cells, 10 in series and 2 in parallel; a cell holds 18.0 Wh and weighs 70 g." in said
    assert "UN 3480" in said


def test_every_number_said_is_one_of_the_record() -> None:
    rows = limits(small_facts())
    held = small_facts()["thresholds"]
    assert len(rows) == len(held) == 11
    for row, one in zip(rows, held, strict=True):
        assert row.mark == ("Not over" if one["met"] else "Over")
        assert row.says == one["says"]
    small_battery = next(row for row in rows if row.held.startswith("small battery"))
    assert (small_battery.value, small_battery.limit, small_battery.mark) == ("360 Wh", "100 Wh", "Over")


def test_a_limit_from_memory_is_marked() -> None:
    marked = {row.held for row in limits(small_facts()) if "from memory" in row.source}
    assert marked == {
        "large cell in the tests of UN 38.3, a cell",
        "large battery in the tests of UN 38.3, the pack",
        "made of tested batteries, in the tests of UN 38.3, the pack",
    }


def test_volts_are_held_against_each_limit() -> None:
    """42 V when full: over 35 V on wet skin, below 50 V."""
    marks = {row.held: row.mark for row in volts(small_facts())}
    assert (marks["wet skin"], marks["live parts at work"], marks["under water"]) == ("Over", "Not over", "Over")


def test_a_limit_that_is_met_never_reads_as_safe() -> None:
    """Each sentence of a limit on volts that is met says what it does not cover; no name is a slug."""
    shown_cart = facts_record(shown("wood-cart.toml").machine, shown("wood-cart.toml"))
    for found in (small_facts(), lead(), shown_cart):
        for row in volts(found):
            assert row.mark in ("Not over", "Over")
            assert "-" not in row.held.replace("extra-low", "")
            for soothing in ("need no guard", "at most", "is within this rule", "are within this rule", "no harm"):
                assert soothing not in row.says
    said = " ".join(row.says for row in volts(small_facts()))
    assert "shorted" in said
    assert "United States" in small_facts()["claim"]


def test_rows_of_lamps_and_vehicles_stand_where_there_are_any() -> None:
    cart = {row.held for row in volts(facts_record(shown("wood-cart.toml").machine, shown("wood-cart.toml")))}
    plain = {row.held for row in volts(small_facts())}
    assert {"lamps of class III", "class A of road vehicles"} <= cart  # it has wheels and a lamp
    assert not {held for held in plain if "lamps" in held or "vehicles" in held}


def test_the_mains_behind_an_inverter_are_judged_as_well() -> None:
    (one,) = lead()["mains"]
    assert (one["value_V"], one["limit_V"], one["met"]) == (230.0, 50.0, False)
    said = " ".join(facts(lead()))
    assert "Behind the inverter there are 230.0 V, far past the 50.0 V" in said
    assert small_facts()["mains"] == []


def test_cold_is_said_with_a_minus() -> None:
    asked = " ".join(asks for _, rows in questions(small_facts()) for _, asks in rows)
    assert "72 °C to −40 °C" in asked
    assert celsius(263.15) == "−10 °C"


def test_lead_acid_is_said_as_batteries_each_by_itself() -> None:
    said = " ".join(facts(lead()))
    assert "Each battery holds 1200 Wh" in said
    assert "The machine has 2 of them" in said
    assert "too cold" not in said
    assert limits(lead()) == []
    assert "Tests" not in {title for title, _ in questions(lead())}


def test_what_never_empties_is_passed_over() -> None:
    found = of(read(EXAMPLE.parent / "cider-mill" / "wall.toml").machine)
    assert (facts(found), limits(found), volts(found), questions(found)) == ([], [], [], [])


def test_questions_stand_under_their_headings_and_tests_by_their_names() -> None:
    asked = dict(questions(small_facts()))
    assert list(asked) == ["Tests", "Papers", "One thing fails", "Labels"]
    assert [name for name, _ in asked["Tests"]] == [f"T.{place}" for place in range(1, 9)]
    assert all(not name for name, _ in asked["Papers"])


@pytest.mark.parametrize(("kilograms", "said"), [(0.07, "70 g"), (0.999, "999 g"), (1.0, "1.0 kg"), (30.0, "30.0 kg")])
def test_a_mass_is_said_in_grams_below_a_kilogram(kilograms: float, said: str) -> None:
    assert mass(kilograms) == said


def test_the_report_has_the_facts_and_says_that_nothing_is_claimed() -> None:
    solved = design.solve(small())
    page = report({**design_record(solved), "packs": None})
    assert 'id="facts"' in page
    assert "no claim that anything complies" in page
    assert page.count("T.1") == 1
    assert "10INR22/71-2" in page


def test_what_refuses_to_charge_in_the_cold_is_named() -> None:
    protection = {**small_facts()["protection"]}
    locked, open_ = (
        " ".join(facts({**small_facts(), "protection": {**protection, "cold_lock": cold}})) for cold in (True, False)
    )
    assert "board or charger refuses to charge cells that are too cold (its cold lock)" in locked
    assert "Nothing in the file refuses" in open_
