"""A machine at a socket or on a supply: nothing it is handed speaks of a pack, and its sheets do not contradict."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.record import design_record
from headrace.findings import Evidence, judge
from headrace.frontends.cli import tables
from headrace.machine import edit, read_text
from headrace.paper.report import report
from headrace.paper.sheets import papers
from headrace.paper.sheets.blocks import Sheet
from tests.machines import SUPPLY, repacked
from tests.paper.sheets.test_papers import said

Record = dict[str, Any]
MILL = Path(__file__).parents[3] / "examples" / "cider-mill"
WALL = (MILL / "wall.toml").read_text(encoding="utf-8")
INVERTER = (MILL / "inverter.toml").read_text(encoding="utf-8")
BELT = (MILL / "belt.toml").read_text(encoding="utf-8")


def _on_a_supply(text: str, volts: str) -> str:
    """Return a file on a bench supply in place of its pack, its fuse called by another name."""
    kept = re.sub(r"\[(source|source\.cell|pre_charge)\]\n(?:(?!\[).*\n)*", "", text)
    kept = kept.replace('name = "fuse"', 'name = "clip"')
    return kept.replace("[job]\n", f"{SUPPLY.replace('42 V', volts).replace('60 A', '160 A')}[job]\n", 1)


TEXTS = {
    "wall": WALL,
    "wall, nothing held": edit(WALL, {"safety.dead_man": False}),
    "supply": _on_a_supply(BELT, "26 V"),
    "inverter on a supply": _on_a_supply(INVERTER, "26 V"),
}
EVERY = pytest.mark.parametrize("name", list(TEXTS))


@cache
def evidence(name: str) -> Evidence:
    return design.evidence(read_text(TEXTS[name]).machine)


@cache
def record(name: str) -> Record:
    found = design_record(design.solve(read_text(TEXTS[name]).machine))
    found["packs"] = None
    read: Record = json.loads(json.dumps(found))
    return read


def sheets(name: str) -> Iterator[tuple[str, Sheet]]:
    for one in papers(record(name)):
        for sheet in one.sheets:
            yield one.name, sheet


def text_of(name: str, sheet: str) -> str:
    return " ".join(part for _, one in sheets(name) if one.name == sheet for part in said(one))


# --- no word of a pack -------------------------------------------------------------------------------

PACK = re.compile(
    r"\b(packs?|cells?|batter\w+|lithium|charg\w+|reserve|pocket|board|sense (plug|wires?)|worn|(?<!lead )fuses?)\b",
    re.I,
)
# what may stand: old batteries of the machine that is converted, the socket's own fuse and that of a supply's leads,
# how a controller's limit is called, what wears, and the titles of two sources
MAY = re.compile(
    r"old batteries go outdoors|breaker or fuse of the socket|fuse of the leads|bolts of source and fuse|"
    r"battery current|a worn plug|plug that is worn|worn (brushes|to a third)|"
    r"Protection boards, capacitors and pre-charge as usually met|rates at which cells take charge",
    re.I,
)


def of_a_pack(text: str) -> str | None:
    found = PACK.search(MAY.sub("", text))
    return found and found[0]


@EVERY
def test_no_sheet_speaks_of_a_pack(name: str) -> None:
    read = [(set_, sheet.name, text) for set_, sheet in sheets(name) for text in said(sheet)]
    assert len(read) > 300
    assert [row for row in read if of_a_pack(row[2])] == []


@EVERY
def test_no_finding_that_is_judged_speaks_of_a_pack(name: str) -> None:
    """Its words are asked for at the value, at the limit and at nothing, whether it is raised or not."""
    spoken = []
    for one in judge(evidence(name)):
        for verdict in (one.verdict, *one.verdict.of) if one.verdict.held else ():
            limit = float(np.ravel(verdict.limit)[0])
            for value in (float(np.ravel(verdict.value)[0]), limit, 0.0):
                spoken += [(one.rule.slug, words(value, limit)) for words in (verdict.says, verdict.action)]
    assert len(spoken) > 60
    assert [row for row in spoken if of_a_pack(row[1])] == []


def visible(html: str) -> list[str]:
    """Return the lines of a page without its addresses, which are those of the file."""
    bare = re.sub(r"<(style|script|title|desc)\b.*?</\1>", "", html, flags=re.DOTALL)
    rows = re.sub(r"</(p|tr|h\d|li|caption|figcaption|dd|dt|text|td|th)>", "\n", bare)
    return [unescape(re.sub(r"<[^>]+>", "", row)) for row in rows.split("\n")]


@EVERY
def test_neither_the_page_nor_the_screen_speaks_of_a_pack(name: str) -> None:
    page = visible(report(record(name)))
    screen = tables.design(record(name)).splitlines()
    lines = [row for row in (*page, *screen) if not row.lstrip().startswith(("Not judged", "Looked at"))]
    addressed = re.compile(r"\b(limits|source|safety|chains|job)\.\S.*")
    assert len(lines) > 300
    assert [row for row in lines if of_a_pack(addressed.sub("", row))] == []


def test_a_pack_is_spoken_of_where_there_is_one() -> None:
    """The words that are looked for are found on the papers of the same mill on cells."""
    belt = design_record(design.solve(read_text(BELT).machine))
    belt["packs"] = None
    told = " ".join(
        text for one in papers(json.loads(json.dumps(belt))) for sheet in one.sheets for text in said(sheet)
    )
    found = {word.lower() for word in re.findall(PACK.pattern.replace("(plug|wires?)", "(?:plug|wires?)"), told)}
    assert {"pack", "cells", "charger", "fuse", "reserve", "pocket", "board"} <= found


# --- what is built is bought, and what is bought is told -----------------------------------------------


@EVERY
def test_what_a_hand_stops_it_by_is_bought_and_looked_after(name: str) -> None:
    built = next(step for step in record(name)["assembly"]["steps"] if step["name"] == "controls")["does"]
    bought = {line["name"]: line for line in record(name)["bill"]["lines"]}
    cared = {row["name"] for row in record(name)["upkeep"]}
    held = "the control that has to be held" in built
    assert held == (name != "wall, nothing held")
    assert ("held control" in bought) == ("held control" in cared) == held
    assert "emergency stop" in built
    assert "emergency stop" in bought.keys() & cared
    (volts,) = (rating for rating in bought["emergency stop"]["ratings"] if "value_V" in rating)
    assert volts["name"] == ("mains of" if name.startswith("wall") else "direct current of")
    assert volts["value_V"] == pytest.approx(230.0 if name.startswith("wall") else 26.0)


@EVERY
def test_every_cable_that_is_bought_stands_on_the_cut_list(name: str) -> None:
    metres = {line["name"] for line in record(name)["bill"]["lines"] if line["length_m"] is not None}
    pieces = {piece["size"] for piece in record(name)["cuts"]["pieces"]}
    assert metres == pieces != set()
    assert "No cable to cut" not in text_of(name, "cutting")
    laid = sum(piece["length_m"] for piece in record(name)["cuts"]["pieces"])
    assert sum(size["laid_m"] for size in record(name)["cuts"]["sizes"]) == pytest.approx(laid)


def test_the_motor_takes_what_its_switch_lets_through() -> None:
    """Between a mains motor and the socket stands a bare switch: both carry the same amps."""
    bought = {line["name"]: line for line in record("wall")["bill"]["lines"]}
    amps = [
        next(rating["value_A"] for rating in bought[part]["ratings"] if rating["name"] == "in the hardest work")
        for part in ("mill motor", "mill switch")
    ]
    assert amps[0] == amps[1] is not None


def test_cords_are_for_who_may() -> None:
    """At a socket nothing is pressed and no live part is reached by whoever builds: no tools, no gloves for it."""
    bought = {line["name"] for line in record("wall")["bill"]["lines"]}
    assert {"mains plug", "cord glands and clamps", "residual-current device", "power meter"} <= bought
    assert (
        not {"press for lugs", "crimp tool for ferrules and sleeves", "insulating gloves", "heat-shrink sleeves"}
        & bought
    )
    assert "joined by who may work on the mains" in text_of("wall", "cutting")
    live = [step for step in record("wall")["assembly"]["steps"] if step["live"]]
    assert all(step["touch"].startswith("Mains kills") for step in live)


@EVERY
def test_what_is_dead_is_dead_by_its_own_source(name: str) -> None:
    out = "plug out" if name.startswith("wall") else "supply off"
    assert f"Dead before you look: {out}," in text_of(name, "season")
    assert f"Before any hand goes near: {out}" in text_of(name, "risks")
    assert f"Before a hand goes near what was turning or warm: {out}" in text_of(name, "group-losses")


def test_a_class_at_a_socket_keeps_its_tips_off_mains() -> None:
    plan = text_of("wall", "lesson-plan")
    assert "residual-current device" in plan
    assert "No tip of a meter goes near it" in plan
    assert "without-cells" not in {sheet.name for _, sheet in sheets("wall")}


def test_the_head_of_the_page_names_the_socket() -> None:
    page = "\n".join(visible(report(record("wall"))))
    assert "On a wall socket of 230.0 V." in page
    assert "in series by" not in page
    assert "the socket's nominal voltage" in page


def test_a_planned_limit_of_a_pack_is_not_judged_without_one() -> None:
    judged = {one.rule.slug for one in judge(repacked("supply")) if one.verdict.held}
    of_packs = {"too-heavy", "over-budget", "too-short-aged", "cell-pulled-too-low", "charged-below-freezing"}
    assert not of_packs & judged
    assert {"too-short-new", "winding-too-hot", "wire-too-hot"} <= judged


# --- on batteries and an inverter --------------------------------------------------------------------


@cache
def lead() -> Record:
    found = design_record(design.solve(read_text(INVERTER).machine))
    found["packs"] = None
    read: Record = json.loads(json.dumps(found))
    return read


def test_a_reading_of_batteries_speaks_of_batteries() -> None:
    """Two volts are missing where one of a battery's six cells is dead; no group of it is wired by itself."""
    rested = {one["name"]: one["differs"] for one in lead()["bench_readings"]}
    for charge in ("full", "half full", "at the reserve"):
        assert "One battery's volts less" in rested[f"rest {charge}"]
        assert "group" not in rested[f"rest {charge}"]
    assert "groups apart" not in rested


def test_batteries_stand_in_a_tray_and_are_bought_with_it() -> None:
    bought = {line["name"] for line in lead()["bill"]["lines"]}
    assert {"tray and straps", "acid gloves and goggles"} <= bought
    assert not {"box with holders and insulation"} & bought
    told = [text for one in papers(lead()) for sheet in one.sheets for text in said(sheet)]
    assert not [text for text in told if "lithium pack" in text]
    log = next(sheet for one in papers(lead()) for sheet in one.sheets if sheet.name == "day-log")
    assert "25.6 V" in list(said(log))  # at rest and full, as the charging card has it; its charger ends at 28.8 V
