"""A plan with a stop: no row of its papers reads as if the part that the stop is raised against were fine."""

from __future__ import annotations

import json
import re
from functools import cache
from html import unescape
from typing import Any

import pytest

from headrace import design
from headrace.design.record import design_record
from headrace.findings import RULES, judge, raised
from headrace.machine import edit, read_text, starter
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


def test_the_shopping_list_buys_nothing_that_a_stop_is_raised_against() -> None:
    list_ = rows(sheets_of(bad())["shopping"])
    assert {name for name, said in list_.items() if NOT_SO in said} == {"main fuse", "isolator", "charger"}
    for name, slug in (
        ("main fuse", "fuse-too-few-volts"),
        ("isolator", "switch-too-few-volts"),
        ("charger", "charger-too-high"),
    ):
        assert says(bad(), slug) in list_[name]
        assert " As planned: " in list_[name]
    assert "holds at the end 46.2 V; gives 5 A; the pack is full at 42 V" in list_["charger"]


def test_the_connecting_order_puts_none_of_it_in_without_saying_so() -> None:
    (steps,) = [block for block in sheets_of(bad())["connecting"].blocks if isinstance(block, Steps)]
    stopped = {step.does.split(";")[0]: dict(step.beside).get("stop") for step in steps.steps}
    told = {does: said for does, said in stopped.items() if said}
    assert told["Put the main fuse in."] == says(bad(), "fuse-too-few-volts")
    assert told["Close the isolator"] == says(bad(), "switch-too-few-volts")
    assert told["Read the charger's plug and its polarity before it goes in"] == says(bad(), "charger-too-high")
    assert "Read every pin of the loose sense plug against the one before." not in told


def test_the_charging_card_says_which_charger_instead() -> None:
    texts = [block for block in sheets_of(bad())["charging"].blocks if isinstance(block, Words)]
    (first,) = [block.text for block in texts if NOT_SO in block.text]
    assert first.startswith(says(bad(), "charger-too-high"))
    assert "This pack asks for one that ends at 42.0 V for NMC" in first
    assert not any("The charger holds" in block.text for block in texts)


def test_the_report_tells_as_planned_what_a_stop_stands_against() -> None:
    found = unescape(report(record_of(bad())))
    fuse = next(row for row in re.findall(r"<tr>.*?</tr>", found) if "<b>main fuse</b>" in row)
    assert f"{says(bad(), 'fuse-too-few-volts')} As planned: carries" in fuse


def test_put_right_no_row_speaks_of_a_stop() -> None:
    sheets = sheets_of(bad(*STOPS))
    assert not any(NOT_SO in said for name in ("shopping", "cutting") for said in rows(sheets[name]).values())
    assert charging(record_of(bad(*STOPS)))[0].startswith("The charger holds 42.0 V")


def test_a_cable_too_thin_is_cut_from_what_does_and_the_row_says_that_the_file_s_does_not() -> None:
    thin = edit(starter("mower"), {"chains.blade.cable.area": "0.75 mm²"})
    cut = rows(sheets_of(thin)["cutting"])
    stopped = {way for way, said in cut.items() if says(thin, "wire-too-hot") in said}
    assert stopped == {
        f"{piece['from']} to {piece['to']}"
        for piece in record_of(thin)["cuts"]["pieces"]
        if piece["run"] == "blade source"
    }
    assert stopped


AGAINST = {  # of the parts named, what a patch of the finding's own page raises it against
    "part-over-voltage": {"blade motor", "blade controller"},
    "cells-too-hot": {"pack"},
    "too-heavy": {"pack"},
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
    assert set(found.parts) == AGAINST[slug]
