"""Risks: every number equals the rest of the record, what a design lacks is said, and nothing is scored."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from headrace import design
from headrace.design.check_record import check_record
from headrace.design.facts_record import facts_record
from headrace.design.record import pack_record
from headrace.design.rest_record import rest_record
from headrace.design.risks_record import risks_record
from headrace.design.trial_record import trial_record
from headrace.findings import RULES, Evidence, Timed, cautions, judge, raised
from headrace.findings.risk_measures import BY_DESIGN, BY_GUARD, BY_INFORMATION, MEASURES, STOPPED
from headrace.findings.risk_numbers import AS_TIMED, AT_WORST, NUMBERS
from headrace.findings.risks import APPLIES, LEFT_OPEN, listed
from headrace.machine import edit, read, read_text, starter
from headrace.machine.values import first_number
from headrace.machine.works import Blade
from headrace.tables import load
from tests.laws.test_netlist import PACKED
from tests.machines import EXAMPLE, PACKS, Record, evidence_of, repacked, shown, started

EXAMPLES = ("alley-mower.toml", "strip-mower.toml", "wood-cart.toml", "cider-mill/belt.toml", "cider-mill/wall.toml")
BAD = Path(__file__).parents[1] / "frontends" / "bad-mower.toml"
Find = Callable[[str], Evidence]
EVERY = (
    *(pytest.param(evidence_of, name, id=name) for name in PACKED),
    *(pytest.param(repacked, name, id=name) for name in (*PACKS, "supply")),
    *(pytest.param(shown, name, id=name) for name in EXAMPLES),
)
SEVERAL = (("mower", evidence_of), ("winch", evidence_of), ("corded", evidence_of), ("wood-cart.toml", shown))


def of(evidence: Evidence) -> Record:
    return risks_record(evidence, raised(judge(evidence), ()))


def hazards(evidence: Evidence) -> dict[str, Record]:
    return {one["name"]: one for one in of(evidence)["hazards"]}


def numbers(hazard: Record) -> dict[str, float]:
    return {n["name"]: next(n[key] for key in n if key.startswith("value")) for n in hazard["numbers"]}


def measures(hazard: Record) -> dict[str, Record]:
    return {one["name"]: one for one in hazard["measures"]}


@cache
def changed(name: str, changes: tuple[tuple[str, Any], ...]) -> Evidence:
    return design.evidence(read_text(edit(starter(name), dict(changes))).machine)


@cache
def checked(name: str, find: Find) -> Record:
    evidence = find(name)
    record = check_record(evidence.machine, evidence, judge(evidence))
    return {**record, "pack": pack_record(evidence.machine, evidence)}


# --- the table ---------------------------------------------------------------------------------------


def test_the_table_is_the_one_typed_in() -> None:
    table = load("hazards")
    assert len(table) == 23
    assert len({(row["name"], row["of"]) for row in table}) == 23
    names = [str(row["name"]) for row in table]
    assert set(names) == set(NUMBERS) == set(MEASURES)
    assert {of for row in table for of in listed(str(row["of"]))} == set(APPLIES)
    for row in table:
        assert all(str(row[key]).endswith(".") for key in ("harm", "people", "caution")), row["name"]
        assert row["severity"]


def test_every_finding_named_beside_a_hazard_is_one() -> None:
    for row in load("hazards"):
        assert set(listed(str(row["touches"]))) <= set(RULES), row["name"]


def test_every_finding_that_stops_a_machine_for_safety_stands_beside_a_hazard() -> None:
    beside = {slug for row in load("hazards") for slug in listed(str(row["touches"]))}
    rooms = ("safety", "fuses", "joined", "holding", "slopes", "wires")
    hurting = {slug for slug, rule in RULES.items() if rule.judge.__module__.rpartition(".")[2] in rooms}
    assert hurting - beside == {"wire-drops-too-much"}  # costs watts and hurts nobody


# --- every machine -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_every_machine_has_a_whole_assessment(find: Find, name: str) -> None:
    evidence = find(name)
    record = of(evidence)
    assert record["cautions"] == list(cautions(evidence.machine))
    assert {"moving tool", "unexpected start", "lifting", "water", "classroom"} <= hazards(evidence).keys()
    for one in record["hazards"]:
        assert one["measures"]
        assert {measure["by"] for measure in one["measures"]} <= {BY_DESIGN, BY_GUARD, BY_INFORMATION}
        assert len(measures(one)) == len(one["measures"])
        assert len({told["name"] for told in one["numbers"]}) == len(one["numbers"])
        assert one["basis"] == "assumed"
        for told in one["numbers"]:
            assert (next(told[key] for key in told if key.startswith("value")) is None) == bool(told["reason"])


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_nothing_is_scored_and_the_blanks_are_left_open(find: Find, name: str) -> None:
    for one in of(find(name))["hazards"]:
        assert one["left_open"] == dict.fromkeys(LEFT_OPEN)
        assert not any(isinstance(value, int | float) for value in one.values())


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_only_findings_that_are_raised_stand_beside_a_hazard(find: Find, name: str) -> None:
    slugs = {found.slug for found in raised(judge(find(name)), ())}
    assert {slug for one in of(find(name))["hazards"] for slug in one["findings"]} <= slugs


# --- which hazards -----------------------------------------------------------------------------------


def test_hazards_follow_the_source_and_the_tool() -> None:
    mower, corded, wall = (hazards(e) for e in (evidence_of("mower"), evidence_of("corded"), shown(EXAMPLES[-1])))
    assert "battery fire" in mower
    assert "gas and acid" not in mower
    assert "mains" not in mower
    assert "thrown objects" in mower
    assert {"gas and acid", "mains"} <= corded.keys()
    assert "battery fire" not in corded
    assert "mains" in wall
    assert not {"battery fire", "gas and acid", "charging", "storage and transport", "short circuit"} & wall.keys()
    assert "hoisted load" in hazards(evidence_of("winch"))
    assert "runaway" in hazards(evidence_of("cart"))
    assert "hoisted load" not in hazards(evidence_of("cart"))
    assert "runaway" not in mower


# --- numbers -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "find"), SEVERAL)
def test_what_is_stored_is_what_the_pack_holds(name: str, find: Find) -> None:
    evidence, pack = find(name), checked(name, find)["pack"]
    found = numbers(hazards(evidence)["classroom"])
    assert found["energy of the pack"] == pack["energy_J"]
    assert found["volts when full"] == pack["full_voltage_V"]
    assert found["count of cells"] == pack["cells"]
    assert numbers(hazards(evidence)["lifting"])["mass of the pack"] == pack["mass_kg"]


@pytest.mark.parametrize(("name", "find"), SEVERAL)
def test_short_circuit_and_spark_are_those_of_fuse_and_pre_charge(name: str, find: Find) -> None:
    record, found = checked(name, find), hazards(find(name))
    short = numbers(found["short circuit"])
    assert short["short circuit at the terminals"] == record["fuse"]["short_circuit_A"]
    assert short["main fuse"] == record["fuse"]["rating_A"]
    if record["fuse"]["full"] is not None:
        assert short["the fuse has opened after"] == record["fuse"]["full"]["opens_after_s"]
        assert short["the wire is by then at"] == record["fuse"]["full"]["wire_temperature_K"]
    bare = record["pre_charge"]["bare"]
    assert ("spark at connecting" in found) == (bare is not None)
    if bare is not None:
        spark = numbers(found["spark at connecting"])
        assert spark["energy of the spark, without pre-charge"] == bare["energy_J"]
        assert spark["amps into empty capacitors, without pre-charge"] == bare["current_A"]


def one_of(evidence: Evidence, chain: str) -> Timed:
    """Return the stop of a chain as somebody times it."""
    return next(one.timed for one in evidence.stops if one.chain == chain)


@pytest.mark.parametrize(("name", "find"), SEVERAL)
def test_what_turns_is_what_has_to_stop(name: str, find: Find) -> None:
    record, found = checked(name, find), numbers(hazards(find(name))["moving tool"])
    for stop in record["stops"]:
        assert found[f"energy in what turns of {stop['name']}, at worst"] == stop["spin_energy_J"]
        worst, typical = (f"{stop['name']} stands after, {{}}, {case}" for case in ("at worst", "as timed"))
        assert found[worst.format("without a brake")] == stop["coast_time_s"]
        comparable = one_of(find(name), stop["name"]).care == "" and stop["timed"]["reason"] is None
        assert (typical.format("without a brake") in found) == comparable
        if comparable:
            assert found[typical.format("without a brake")] == stop["timed"]["coast_time_s"]
            assert found[f"release speed of {stop['name']}, as timed"] == stop["timed"]["tool_speed_rad_s"]
        assert found[f"release speed of {stop['name']}, at worst"] == stop["tool_speed_rad_s"]
        if stop["planned"] is not None:
            assert found[worst.format("with its brake")] == stop["planned"]["time_s"]
            assert found[typical.format("with its brake")] == stop["timed"]["braked_time_s"] < stop["planned"]["time_s"]
    started = numbers(hazards(find(name))["unexpected start"])
    assert started == {f"{one['name']} is at speed after": one["time_s"] for one in record["starts"]}


@pytest.mark.parametrize(("name", "find"), SEVERAL)
def test_heat_and_charging_are_those_of_the_record(name: str, find: Find) -> None:
    record, found = checked(name, find), hazards(find(name))
    hot = numbers(found["hot parts"])
    for one in record["warming"]:
        hottest = max(state["hottest_winding_K"] for state in one["states"])
        assert hot[f"hottest winding of {one['name']}"] == hottest
    charging = numbers(found["charging"])
    assert charging["a charge takes"] == record["charging"]["duration_s"]
    assert charging["from the outlet"] == record["charging"]["outlet_W"]
    assert charging["coldest the cells are put on charge"] == record["charging"]["cold"]["coldest_K"]
    away = numbers(found["storage and transport"])
    assert away["looked at again while it stands, every"] == record["charging"]["storage"]["look_after_s"]
    assert away["down to its check charge after"] == record["charging"]["storage"]["check_after_s"]


def test_slopes_and_loads_are_those_of_the_record() -> None:
    record, found = checked("wood-cart.toml", shown), hazards(shown("wood-cart.toml"))
    held = numbers(found["runaway"])
    for slope in record["slopes"]:
        assert held[f"to be held at the tool of {slope['chain']} in {slope['state']}"] == slope["hold_tool_N_m"]
    assert numbers(found["hoisted load"])["heaviest load of winch"] == 90.0  # the file's


def test_the_tip_is_the_one_held_against_its_limit() -> None:
    evidence = evidence_of("mower")
    found = numbers(hazards(evidence)["thrown objects"])["tip speed of blade"]
    held = next(one for one in judge(evidence) if one.rule.slug == "tip-too-fast")
    assert found == pytest.approx(first_number(held.verdict.value))


MOVES = re.compile(
    "speed of|stands after|runs away|at speed after|energy in what turns|hottest winding|short circuit|"
    "fuse has opened|wire is by then|volts left|into empty capacitors|of the spark"
)


@pytest.mark.parametrize(("name", "find"), SEVERAL)
def test_what_moves_with_charge_and_warmth_says_in_which_condition_it_is(name: str, find: Find) -> None:
    told = [number for one in hazards(find(name)).values() for number in one["numbers"]]
    assert all(number["case"] for number in told if MOVES.search(number["name"]))
    assert not any(number["case"] for number in told if number["name"].startswith(("mass of", "count of")))


def test_release_and_tip_speed_are_two_numbers_in_two_conditions() -> None:
    """At worst friction is at the low end of its band, so that the tip of a 50 cm blade is faster then."""
    found = {n["name"]: n for one in hazards(evidence_of("mower")).values() for n in one["numbers"]}
    release, tip = found["release speed of blade, at worst"], found["tip speed of blade"]
    assert release["case"] == f"pack full, {AT_WORST}" != tip["case"] == "pack full, no load, motor hot"
    assert found["release speed of blade, as timed"]["case"] == f"pack full, {AS_TIMED}"
    blade = started("mower").chains[0].work
    assert isinstance(blade, Blade)
    assert release["value_rad_s"] * first_number(blade.diameter) / 2.0 > tip["value_m_s"]


def test_what_never_empties_is_never_full() -> None:
    told = [n["case"] for one in hazards(shown("cider-mill/wall.toml")).values() for n in one["numbers"] if n["case"]]
    assert told
    assert not any("pack" in case for case in told)


# --- measures ----------------------------------------------------------------------------------------


def test_a_design_without_a_brake_says_so() -> None:
    there = measures(hazards(evidence_of("mower"))["moving tool"])["brake on release of blade"]
    assert there["there"] is True
    bare = changed("mower", (("safety.brake_works_unplugged", False),))
    gone = hazards(bare)["moving tool"]
    missing = measures(gone)["brake on release of blade"]
    assert missing["there"] is False
    seconds = first_number(bare.stops[0].coast_time)
    assert f"it runs on for {seconds:.1f} s" in missing["says"]
    assert "blade-coasts" in gone["findings"]
    assert not [name for name in numbers(gone) if "with its brake" in name]
    assert missing["says"].startswith("the file's brake does not work unplugged, and is not counted")
    (stop,) = rest_record(bare.machine, bare)["stops"]
    assert (stop["planned"], stop["timed"]["brake"]) == (None, "proposed")  # what is drawn in its place
    three = changed(
        "mower", (("safety.brake_works_unplugged", False), ("chains.blade.motor.commutation", "electronic"))
    )
    (stop,) = rest_record(three.machine, three)["stops"]
    assert (stop["planned"], stop["timed"]["braked_time_s"]) == (None, None)
    assert "does not work with the pack unplugged" in stop["timed"]["braked_reason"]
    rows = {row["name"]: row for row in trial_record(three.machine, three)["bench_readings"]}
    assert "blade to rest, braked" not in rows
    assert "the brake that does not work unplugged" in rows["blade to rest, coasting"]["differs"]


def test_a_file_without_any_brake_is_told_from_one_whose_brake_is_not_counted() -> None:
    text = "\n".join(line for line in starter("mower").splitlines() if not line.startswith("brake_resistance"))
    bare = design.evidence(read_text(text).machine)
    says = measures(hazards(bare)["moving tool"])["brake on release of blade"]["says"]
    assert says.startswith("the file plans none")
    (stop,) = rest_record(bare.machine, bare)["stops"]
    assert (stop["timed"]["brake"], stop["timed"]["braked_reason"]) == ("proposed", None)
    three = design.evidence(read_text(edit(text, {"chains.blade.motor.commutation": "electronic"})).machine)
    (stop,) = rest_record(three.machine, three)["stops"]
    assert stop["timed"]["braked_reason"] == "the file plans no brake for it, and none is drawn"


@pytest.mark.parametrize(
    ("name", "hazard", "measure", "key", "value"),
    [
        ("mower", "moving tool", "held control", "safety.dead_man", False),
        ("winch", "hoisted load", "mechanical brake", "safety.friction_brake", False),
        ("mower", "charging", "cold lock", "safety.charging.cold_lock", False),
    ],
)
def test_what_the_file_lacks_is_said(name: str, hazard: str, measure: str, key: str, value: object) -> None:
    assert measures(hazards(evidence_of(name))[hazard])[measure]["there"] is True
    assert measures(hazards(changed(name, ((key, value),)))[hazard])[measure]["there"] is False


def test_a_fuse_in_the_file_is_told_from_one_that_is_proposed() -> None:
    planned = measures(hazards(shown("wood-cart.toml"))["short circuit"])
    assert planned["main fuse in the file"]["there"] is True
    assert planned["fuse at the pack"]["there"] is True


def test_switches_are_there_where_links_or_wiring_have_them() -> None:
    silent = measures(hazards(evidence_of("mower"))["unexpected start"])
    assert silent["isolator, contactor and emergency stop"]["there"] is None
    assert "see whether they are fitted" in silent["isolator, contactor and emergency stop"]["says"]
    joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "blade controller.plus"]]
    wired = design.evidence(read_text(edit(starter("mower"), {"wiring": {"joins": joins}})).machine)
    told = measures(hazards(wired)["unexpected start"])
    assert told["isolator"]["there"] is True
    assert told["contactor and emergency stop"]["there"] is False


def test_a_switch_at_a_socket_has_to_stay_off_when_the_power_comes_back() -> None:
    look = measures(hazards(shown("cider-mill/wall.toml"))["unexpected start"])["switch that stays off"]
    assert look["there"] is None
    assert "when the power comes back nothing starts" in look["says"]
    assert "switch that stays off" not in measures(hazards(evidence_of("corded"))["unexpected start"])


def test_what_mains_feeds_can_burn_too() -> None:
    for find, name in ((shown, "cider-mill/wall.toml"), (evidence_of, "corded")):
        fire = hazards(find(name))["electrical fire"]
        assert {"breaker or fuse of the socket", "earth and residual-current device"} <= measures(fire).keys()
        assert any(what.startswith("volts of the socket") or "volts behind" in what for what in numbers(fire))
    assert "electrical fire" not in hazards(evidence_of("mower"))


def test_a_board_that_nobody_names_has_to_be_looked_for() -> None:
    assert measures(hazards(evidence_of("mower"))["battery fire"])["board that opens"]["there"] is None
    assert measures(hazards(shown("alley-mower.toml"))["battery fire"])["board that opens"]["there"] is True


def test_guards_are_never_taken_for_granted() -> None:
    for name in PACKED:
        guards = measures(hazards(evidence_of(name))["moving tool"])["guards over all that turns"]
        assert guards["there"] is None


def test_a_fuse_that_the_file_has_without_saying_which_is_told_alike_on_every_paper() -> None:
    """Contacts of a fuse in the leads, and no ``[fuse]``: there, and nobody knows which."""
    found = evidence_of("mower")
    assert found.fused is not None
    assert found.fused.present
    assert not found.fused.planned
    told = [
        one for hazard in of(found)["hazards"] for one in hazard["measures"] if one["name"] == "main fuse in the file"
    ]
    assert told
    assert {one["there"] for one in told} == {None}
    assert all("does not say which" in one["says"] for one in told)
    protection = facts_record(found.machine, found)["protection"]
    assert (protection["fuse"], protection["fuse_present"]) == ("proposed", True)


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_what_nobody_knows_to_be_there_has_its_reason(find: Find, name: str) -> None:
    for hazard in of(find(name))["hazards"]:
        for one in hazard["measures"]:
            assert (one["there"] is None) == bool(one["reason"]), (hazard["name"], one["name"])


def test_hot_parts_are_kept_apart_and_not_tried_with_a_rod() -> None:
    """A rod tells whether a finger reaches what turns; what is hot has to be out of reach and to have air."""
    for name in PACKED:
        against = measures(hazards(evidence_of(name))["hot parts"])
        assert "guards over all that turns" not in against
        assert against["room and guards around what gets hot"]["there"] is None


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_water_comes_to_every_volt_there_is(find: Find, name: str) -> None:
    found = hazards(find(name))
    assert numbers(found["water"]), name
    for other in ("shock", "mains"):
        assert numbers(found.get(other, {"numbers": ()})).items() <= numbers(found["water"]).items()


def test_what_a_stop_is_raised_against_is_no_measure() -> None:
    """The bad mower: a fuse of too few volts, a charger one cell too high, a switch for alternating current."""
    found = hazards(design.evidence(read(BAD).machine))
    short, charge, spark = (measures(found[name]) for name in ("short circuit", "charging", "spark at connecting"))
    for one in (short["main fuse in the file"], charge["charger in the file"], spark["isolator"]):
        assert (one["there"], one["says"]) == (False, STOPPED)
    assert numbers(found["short circuit"])["the fuse has opened after"] is None
    for name in ("mower", "strip-mower.toml"):  # a resistor, and a controller that brakes
        slow = edit(
            starter(name) if name == "mower" else (EXAMPLE.parent / name).read_text(encoding="utf-8"),
            {"safety.brake_resistance": "20 ohm"},
        )
        moving = measures(hazards(design.evidence(read_text(slow).machine))["moving tool"])
        brake = moving["brake on release of blade"]
        assert (brake["there"], brake["says"]) == (False, STOPPED)
    good = measures(hazards(evidence_of("mower"))["short circuit"])["main fuse in the file"]
    assert good["there"] is not False
