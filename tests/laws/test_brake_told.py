"""What is told of a brake on release agrees with what is wired: a resistor across two wires, or the controller."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from headrace import design
from headrace.design.bill_record import bill_record
from headrace.design.netlist_record import netlist_record
from headrace.design.rest_record import rest_record
from headrace.design.risks_record import risks_record
from headrace.design.trial_record import trial_record
from headrace.design.upkeep_record import upkeep_record
from headrace.findings import Evidence, judge, raised
from headrace.frontends.cli import bands
from headrace.machine import edit, read_text, starter
from headrace.machine.values import first_number
from headrace.paper.resting import stopping
from headrace.wiring.cuts import cuts
from tests.machines import EXAMPLE, Record, evidence_of, shown

PHASES, BRUSHES = "strip-mower.toml", "mower"
HOURS = 3600.0
HARDLY_AT_ONCE = 5.0  # s
UNPLANNED = "proposed here, not yet in the file"


@cache
def unbraked(commutation: str) -> Evidence:
    """Return the starter mower without the brake of its file, its motor with brushes or with three wires."""
    changes = {"safety.brake_works_unplugged": False, "chains.blade.motor.commutation": commutation}
    return design.evidence(read_text(edit(starter("mower"), changes)).machine)


def stop_of(evidence: Evidence) -> Record:
    return next(one for one in rest_record(evidence.machine, evidence)["stops"] if one["name"] == "blade")


def hazards(evidence: Evidence) -> dict[str, Record]:
    return {one["name"]: one for one in risks_record(evidence, ())["hazards"]}


def brake_of(evidence: Evidence) -> str:
    told = {one["name"]: one["says"] for one in hazards(evidence)["moving tool"]["measures"]}
    return str(told["brake on release of blade"])


def notes(evidence: Evidence) -> dict[str, str]:
    return {part["name"]: part["note"] or "" for part in netlist_record(evidence)["netlist"]["parts"]}


def looked_for(evidence: Evidence) -> dict[str, str]:
    """Return what the shopping list says to look for, by the names of its lines."""
    cut = cuts(evidence.machine, evidence.netlist, evidence.runs)
    return {line["name"]: line["says"] or "" for line in bill_record(evidence.machine, evidence, cut)["lines"]}


def banded(evidence: Evidence) -> str:
    """Return what ``check`` tells with draws of how its chains come to rest."""
    return " ".join(bands._rest(rest_record(evidence.machine, evidence)))


def braked(evidence: Evidence) -> str:
    rows = trial_record(evidence.machine, evidence)["bench_readings"]
    return str(next(one["differs"] for one in rows if one["name"] == "blade to rest, braked"))


def test_of_three_wires_nothing_speaks_of_a_resistor_that_is_not_wired() -> None:
    evidence = shown(PHASES)
    assert "blade brake resistor" not in notes(evidence)
    assert stop_of(evidence)["by_controller"] is True
    cared = {row["name"]: row for row in upkeep_record(evidence, 100.0 * HOURS)}
    assert "stopping time" not in cared
    told = (
        braked(evidence),
        cared["stopping time by its controller"]["why"],
        stopping(stop_of(evidence), several=False).split("By the watch")[0],
        brake_of(evidence),
        *(number["name"] for number in hazards(evidence)["hot parts"]["numbers"]),
    )
    assert not any("resistor" in said for said in told)
    assert all("controller" in said for said in told[:4])
    assert "into the brake of blade at each stop" in told
    assert "its controller braking as 0.80 Ω across the motor would, stops it in" in told[2]
    assert "braking as 0.8 Ω would" in banded(evidence)


def test_of_two_wires_the_resistor_that_is_wired_is_spoken_of() -> None:
    evidence = evidence_of(BRUSHES)
    assert "blade brake resistor" in notes(evidence)
    assert stop_of(evidence)["by_controller"] is False
    cared = {row["name"]: row for row in upkeep_record(evidence, 100.0 * HOURS)}
    assert "stopping time by its controller" not in cared
    assert "resistor" in cared["stopping time"]["why"]
    assert "the resistor, its contact or a brush is open" in braked(evidence)
    assert "into the brake's resistor" in stopping(stop_of(evidence), several=False)
    assert "with a resistor of 0.3 Ω" in banded(evidence)


def test_a_proposed_brake_is_wired_bought_and_told_as_one_that_the_file_has_not() -> None:
    evidence = unbraked("brushed")
    assert stop_of(evidence)["proposed"] is not None
    told = notes(evidence)
    assert all(told[name].endswith(UNPLANNED) for name in ("blade brake relay", "blade brake resistor"))
    assert UNPLANNED in looked_for(evidence)["blade brake resistor"]
    assert "stands on the wiring diagram and the shopping list, not yet in the file" in brake_of(evidence)
    assert not any(UNPLANNED in note for note in notes(evidence_of(BRUSHES)).values())


def test_one_by_the_controller_is_proposed_where_it_stands() -> None:
    evidence = unbraked("electronic")
    assert notes(evidence)["blade controller"].endswith(UNPLANNED)
    assert notes(evidence)["blade controller"] in looked_for(evidence)["blade controller"]
    assert "one by its controller is proposed here: it stands on the wiring diagram" in brake_of(evidence)
    assert "On release its controller, braking as " in stopping(stop_of(evidence), several=False)


@pytest.mark.parametrize("name", [PHASES, "alley-mower.toml"])
def test_why_none_is_proposed_speaks_of_the_brake_that_its_motor_can_have(name: str) -> None:
    """Ten amperes are less than any brake draws at first that stops such a blade in time."""
    text = (EXAMPLE.parent / name).read_text(encoding="utf-8")
    changes = {"safety.brake_works_unplugged": False, "chains.blade.motor.most_current": "10 A"}
    evidence = design.evidence(read_text(edit(text, changes)).machine)
    stop = next(one for one in evidence.stops if one.chain == "blade")
    assert stop.why == "harms"
    told = [one.action for one in raised(judge(evidence), ()) if one.slug == "blade-coasts"]
    told += [stop_of(evidence)["reason"], replace(stop, why="too-weak").reason]
    for says in told:
        assert ("resistor" in says) is not stop.by_controller
        assert ("its controller" in says.lower()) is stop.by_controller
    assert len(told) == 3


# --- a brake that is proposed and drawn ----------------------------------------------------------------


def readings_of(evidence: Evidence) -> dict[str, Record]:
    return {one["name"]: one for one in trial_record(evidence.machine, evidence)["bench_readings"]}


def run_free(evidence: Evidence) -> dict[str, float]:
    step = next(one for one in evidence.order if one.name == "run free")
    return {name: first_number(value) for name, value, _ in step.expects}


@pytest.mark.parametrize("name", ["saw", "shaft", "measured"])
def test_a_drawn_brake_is_read_with_it_everywhere(name: str) -> None:
    """It is bought, wired and tried by the papers: what a watch shows is the time with it."""
    evidence = evidence_of(name)
    stop = evidence.stops[0]
    assert (stop.planned, stop.drawn) == (None, True)
    assert stop.proposed is not None
    chain, timed = stop.chain, stop.timed
    braked, coasts = first_number(timed.braked_time), first_number(timed.coast_time)
    assert braked < first_number(stop.proposed.time) < coasts  # cold and typical, at worst, without a brake
    found = run_free(evidence)
    assert found[f"{chain} stands after, braked"] == pytest.approx(braked)
    assert found[f"{chain} would stand after, its brake failing"] == pytest.approx(coasts)
    assert readings_of(evidence)[f"{chain} to rest, braked"]["expected_s"] == pytest.approx(braked)
    assert f"{chain} to rest, coasting" not in readings_of(evidence)
    record = rest_record(evidence.machine, evidence)["stops"][0]
    assert record["timed"]["brake"] == "proposed"
    assert "with the brake proposed" in stopping(record, several=False)
    rows = {row["name"]: row for row in upkeep_record(evidence, 25.0 * HOURS)}
    assert rows["stopping time"]["of"] == [chain]
    assert "coasting time" not in rows
    assert rows["emergency stop"]["limits"][0]["value_s"] == pytest.approx(first_number(stop.proposed.time))
    numbers = {one["name"] for one in hazards(evidence)["moving tool"]["numbers"]}
    assert f"{chain} stands after, with the brake proposed, as timed" in numbers


def test_what_nothing_draws_a_brake_for_is_timed_without() -> None:
    """Three wires take no resistor: what its controller may do is no reading yet."""
    text = edit(starter("saw"), {"chains.saw.motor.commutation": "electronic"})
    three = design.evidence(read_text(text).machine)
    assert three.stops[0].proposed is not None
    assert three.stops[0].built is None
    assert "a brake is fitted, as is proposed" in readings_of(three)["saw to rest, coasting"]["differs"]


@pytest.mark.parametrize(("name", "coasts"), [("chipper", True), ("fan", True), ("mower", False)])
def test_what_runs_on_is_timed_and_not_called_faulty(name: str, coasts: bool) -> None:
    evidence = evidence_of(name)
    rows = {row["name"]: row for row in upkeep_record(evidence, 25.0 * HOURS)}
    stop = evidence.stops[0]
    assert ("coasting time" in rows, "stopping time" in rows) == (coasts, not coasts)
    for row in (rows[of] for of in ("emergency stop", "held control") if of in rows):
        assert "at once" not in row["act"]
        assert row["limits"][0]["value_s"] == pytest.approx(first_number(stop.built_time))
    if coasts:
        assert first_number(stop.built_time) > HARDLY_AT_ONCE
        assert rows["coasting time"]["limits"][0]["value_s"] == pytest.approx(first_number(stop.timed.coast_time))


# --- words that fit the machine ------------------------------------------------------------------------


def test_a_pump_that_runs_on_does_so_dry_and_hardly_with_water() -> None:
    pump = evidence_of("pump")
    hazard = hazards(pump)["moving tool"]
    told = {one["name"]: one["case"] for one in hazard["numbers"] if "at worst" in one["name"]}
    assert told
    assert all(case.startswith("run dry, which it must not") for case in told.values())
    (brake,) = [one["says"] for one in hazard["measures"] if one["name"].startswith("brake on release")]
    assert "dry, which it must not run" in brake
    assert "run dry" not in str(hazards(evidence_of("fan"))["moving tool"]["numbers"])


def test_what_a_jam_does_stands_beside_the_tool() -> None:
    mower = evidence_of("mower")
    (start,) = mower.starts
    found = {one["name"]: one for one in hazards(mower)["moving tool"]["numbers"]}
    assert found["blade jammed: its motor takes"]["value_A"] == first_number(start.stall_current)
    hot = found["blade jammed, let go at once: its winding is too hot after"]
    assert hot["value_s"] == first_number(start.stall_time)


@pytest.mark.parametrize("name", ["fan", "chipper", "corded"])
def test_no_brake_is_spoken_of_where_there_is_none(name: str) -> None:
    evidence = evidence_of(name)
    assert all(one.built is None for one in evidence.stops)
    assert "brake resistor" not in hazards(evidence)["hot parts"]["harm"]
    steps = [one.differs for one in evidence.order if one.name == "run free"]
    assert all("brake" not in says for says in steps)
    braked = next(one.differs for one in evidence_of("mower").order if one.name == "run free")
    assert "until its brake is mended" in braked


def test_a_motor_without_magnets_is_hot_and_its_magnets_are_not_spoken_of() -> None:
    evidence = shown("cider-mill/wall.toml")
    (stop,) = rest_record(evidence.machine, evidence)["stops"]
    assert "magnets" not in stop["case"]
    assert "motor hot" in stop["case"]
