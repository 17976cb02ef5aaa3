"""A plan with a stop: no row of its papers reads as if the part that the stop is raised against were fine."""

from __future__ import annotations

import json
import re
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from headrace import design
from headrace.design.record import design_record
from headrace.findings import RULES, judge, raised
from headrace.machine import edit, read_text, starter
from headrace.machine.joins import run_of
from headrace.paper.charging import charging
from headrace.paper.report import report
from headrace.paper.sheets import papers
from headrace.paper.sheets.blocks import Sheet, Steps, Table, Words
from tests.findings.test_pages import patch
from tests.frontends.test_bad_mower import FILE, STOPS
from tests.paper.sheets.test_papers import blocks_of

Record = dict[str, Any]
NOT_SO = "Not as the file has it (stop): "


@cache
def record_of(text: str) -> Record:
    found: Record = json.loads(json.dumps(design_record(design.solve(read_text(text, file="one.toml").machine))))
    return {**found, "packs": None}


@cache
def sheets_of(text: str) -> dict[str, Sheet]:
    return {sheet.name: sheet for sheet in papers(record_of(text))[0].sheets}


def bad(*mended: str) -> str:
    """Return the bad mower's file, some of its faults mended."""
    text = FILE.read_text(encoding="utf-8")
    for slug in mended:
        text = edit(text, STOPS[slug])
    return text


def rows(sheet: Sheet) -> dict[str, str]:
    return {row[0]: " ".join(row[1:]) for block in blocks_of(sheet) if isinstance(block, Table) for row in block.rows}


def says(text: str, slug: str) -> str:
    found = next(one for one in record_of(text)["findings"] if one["slug"] == slug)
    return f"{NOT_SO}{found['says']} {found['action']}"


def steps(text: str) -> dict[str, str]:
    """Return what stands as a stop beside each step of the connecting order that has one, by the step's opening."""
    (found,) = [block for block in sheets_of(text)["connecting"].blocks if isinstance(block, Steps)]
    told = {step.does.split(";")[0]: dict(step.beside).get("stop", "") for step in found.steps}
    return {does: said for does, said in told.items() if said}


def stopped(text: str, sheet: str) -> dict[str, str]:
    """Return the rows of a sheet with a stop, without what stands behind it."""
    found = rows(sheets_of(text)[sheet]).items()
    return {
        name: said.partition(NOT_SO)[2].partition(" The file's own, not to be bought: ")[0]
        for name, said in found
        if NOT_SO in said
    }


def test_the_shopping_list_buys_nothing_that_a_stop_is_raised_against() -> None:
    list_ = rows(sheets_of(bad())["shopping"])
    assert {name for name, said in list_.items() if NOT_SO in said} == {
        "main fuse",
        "isolator",
        "charger",
        "sense wire",
    }
    for name, slug in (
        ("main fuse", "fuse-too-few-volts"),
        ("isolator", "switch-too-few-volts"),
        ("charger", "charger-too-high"),
    ):
        assert says(bad(), slug) in list_[name]
        assert " The file's own, not to be bought: " in list_[name]
    assert "holds at the end 46.2 V; gives 5 A; the pack is full at 42 V" in list_["charger"]


def test_the_connecting_order_puts_none_of_it_in_without_saying_so() -> None:
    told = steps(bad())
    assert told["Put the main fuse in."] == says(bad(), "fuse-too-few-volts")
    assert told["Close the isolator"] == says(bad(), "switch-too-few-volts")
    assert told["Read the charger's plug and its polarity before it goes in"] == says(bad(), "charger-too-high")
    assert told["Plug the sense plug in, once, straight. Then close the lid of the pack's box."] == says(
        bad(), "wired-sense-crossed"
    )
    assert "Read every pin of the loose sense plug against the one before." not in told  # which finds the fault


def test_with_the_sense_plug_in_order_it_may_be_plugged_in() -> None:
    assert "Plug the sense plug in, once, straight. Then close the lid of the pack's box." not in steps(
        bad("wired-sense-crossed")
    )


def test_the_charging_card_says_which_charger_instead() -> None:
    texts = [block for block in sheets_of(bad())["charging"].blocks if isinstance(block, Words)]
    (first,) = [block.text for block in texts if NOT_SO in block.text]
    assert first.startswith(says(bad(), "charger-too-high"))
    assert "This pack asks for one that ends at 42.0 V for NMC" in first
    assert not any("The charger holds" in block.text for block in texts)


def test_put_right_no_row_speaks_of_a_stop() -> None:
    sheets = sheets_of(bad(*STOPS))
    assert not any(NOT_SO in said for name in ("shopping", "cutting") for said in rows(sheets[name]).values())
    assert charging(record_of(bad(*STOPS)))[0].startswith("The charger holds 42.0 V")


def test_a_cable_too_thin_is_cut_from_what_does_and_the_row_says_that_the_file_s_does_not() -> None:
    thin = edit(starter("mower"), {"chains.blade.cable.area": "0.75 mm²"})
    assert stopped(thin, "cutting").keys() == {
        f"{piece['from']} to {piece['to']}"
        for piece in record_of(thin)["cuts"]["pieces"]
        if piece["run"] == run_of("blade", "source")
    }
    told = says(thin, "wire-too-hot").removeprefix(NOT_SO)
    assert all(said.startswith(told) for said in stopped(thin, "cutting").values())


def motor_cable(area: str, name: str = "motor cable") -> str:
    """Return the mower with a cable from its controller to its motor."""
    cable = f'[[chains.links]]\nkind = "cable"\nname = "{name}"\nlength = "0.6 m"\narea = "{area}"\n\n'
    return starter("mower").replace(
        '[[chains.links]]\nkind = "controller"', f'{cable}[[chains.links]]\nkind = "controller"'
    )


def test_a_motor_s_fault_is_not_its_cable_s() -> None:
    over = edit(motor_cable("25 mm²"), {"source.series": 16})
    assert {"blade motor", "blade controller"} <= stopped(over, "shopping").keys()
    assert any(piece["run"] == run_of("blade", "motor") for piece in record_of(over)["cuts"]["pieces"])
    assert not stopped(over, "cutting")


def test_a_cable_s_fault_is_not_its_motor_s() -> None:
    thin = motor_cable("0.75 mm²")
    assert "blade motor" not in stopped(thin, "shopping")
    assert stopped(thin, "cutting").keys() == {
        f"blade controller.motor-{end} to blade motor.{end}" for end in ("a", "b")
    }
    assert list(steps(thin).values()) == [says(thin, "wire-too-hot")]  # of the step that joins it


def test_each_part_is_told_of_its_own_volts() -> None:
    """Sixteen groups stand at 67.2 V: past the controller's 60 V and the motor's 66 V alike."""
    links = {"chains.blade.controller.max_voltage": "60 V", "chains.blade.motor.max_voltage": "66 V"}
    told = stopped(edit(starter("mower"), {"source.series": 16, **links}), "shopping")
    assert "the controller may have 60.0 V at most" in told["blade controller"]
    assert "the motor may have 66.0 V at most" in told["blade motor"]
    assert "66.0" not in told["blade controller"]
    assert "60.0" not in told["blade motor"]


def test_parts_of_one_rating_are_told_of_together_and_whose_is_assumed() -> None:
    """The mower's motor has no volts of its own in the file, and is taken to bear as many as its controller."""
    over = edit(starter("mower"), {"source.series": 16})
    told = stopped(over, "shopping")
    assumed = "motor (its rating is assumed, the file gives none)"
    assert f"the controller and the {assumed} may have 60.0 V at most" in told["blade controller"]
    assert f"the {assumed} and the controller may have 60.0 V at most" in told["blade motor"]
    assert says(over, "part-over-voltage").removeprefix(NOT_SO) == told["blade controller"]


def test_a_brake_too_weak_is_its_contact_s_and_its_resistor_s() -> None:
    told = stopped(edit(starter("mower"), {"safety.brake_resistance": "20 ohm"}), "shopping")
    assert told.keys() == {"blade brake relay", "blade brake resistor"}


def test_a_controller_that_brakes_too_weakly_is_told_so() -> None:
    """The strip mower's blade hangs on three wires: its controller is the brake, and no resistor is bought for it."""
    file = Path(__file__).parents[3] / "examples" / "strip-mower.toml"
    weak = edit(file.read_text(encoding="utf-8"), {"safety.brake_resistance": "20 ohm"})
    assert stopped(weak, "shopping").keys() == {"blade controller"}
    assert list(steps(weak).values()) == [says(weak, "blade-coasts")]


def test_each_cable_is_told_of_its_own_size() -> None:
    thin = edit(motor_cable("0.75 mm²"), {"chains.blade.cable.area": "0.75 mm²"})
    told = stopped(thin, "cutting")
    ours = {
        piece["run"]: told[f"{piece['from']} to {piece['to']}"]
        for piece in record_of(thin)["cuts"]["pieces"]
        if piece["run"]
    }
    assert {run: run in said for run, said in ours.items()} == {
        run_of("blade", side): True for side in ("motor", "source")
    }
    assert len(set(ours.values())) == 2


def test_each_contact_is_told_of_its_own_amps() -> None:
    hot = {"of": "plug", "max_current": "15 A"}
    second = '[[chains.links]]\nkind = "contacts"\nname = "socket"\nof = "plug"\nmax_current = "12 A"\n\n'
    text = edit(starter("mower"), {f"chains.blade.lugs.{key}": value for key, value in hot.items()})
    told = stopped(text.replace("[source]", f"{second}[source]", 1), "shopping")
    assert "go through the lugs; for hours 12.0 A may" in told["blade lugs"]
    assert "go through the socket; for hours 9.6 A may" in told["blade socket"]
    assert "lugs" not in told["blade socket"]


def test_what_the_builder_allows_is_no_matter_of_connecting() -> None:
    dear = edit(starter("mower"), {"limits.budget": 10, "limits.max_mass": "500 g", "limits.box": 3 * ["10 cm"]})
    assert {"over-budget", "too-heavy", "does-not-fit"} <= {one["slug"] for one in record_of(dear)["findings"]}
    assert stopped(dear, "shopping").keys() == {"cells"}
    assert not steps(dear)


def test_the_report_tells_as_planned_what_a_stop_stands_against() -> None:
    found = unescape(report(record_of(bad())))
    fuse = next(row for row in re.findall(r"<tr>.*?</tr>", found) if "<b>main fuse</b>" in row)
    assert f"{says(bad(), 'fuse-too-few-volts')} The file's own, not to be bought: carries" in fuse


AGAINST = {  # of the parts named, what a patch of the finding's own page raises it against
    "part-over-voltage": {"blade motor", "blade controller"},
    "cells-too-hot": {"pack"},
    "too-heavy": {"cells"},
    "does-not-fit": {"cells"},
    "over-budget": {"cells"},
    "wired-sense-crossed": {"sense wire"},
    "blade-coasts": {"blade brake relay", "blade brake resistor"},
    "cuts-out-under-load": {"blade controller"},
    "cell-pulled-too-low": {"pack"},
    "volts-past-rating-downhill": {"axle controller"},
    "full-pack-downhill": {"axle controller"},
    "not-held-downhill": {"axle controller"},
    "winding-too-hot": {"blade motor"},
    "fuse-above-wire": {"fuse"},
    "fuse-too-slow": {"fuse"},
    "fuse-cannot-break": {"fuse"},
    "charger-too-fast": {"charger"},
    "plug-past-its-amps": {"blade lugs"},
    "too-short-new": set(),
    "dead-man-missing": set(),
}


@pytest.mark.parametrize("slug", list(AGAINST))
def test_a_finding_names_the_parts_it_is_raised_against(slug: str) -> None:
    example = patch(RULES[slug], "Raised by:")
    plan = read_text(edit(starter(example.pop("starter", "mower")), example)).machine
    (found,) = [one for one in raised(judge(design.evidence(plan)), ()) if one.slug == slug]
    assert {one.part for one in found.parts} == AGAINST[slug]
