"""The class's tasks: what is known leads to the answers by plain arithmetic, as a pupil would do it."""

from __future__ import annotations

import copy
import re

import pytest

from headrace.paper.sheets import papers
from headrace.paper.sheets.blocks import Words
from headrace.paper.sheets.lessons import NO_TASKS
from headrace.paper.sheets.task import PAPER, Task
from headrace.paper.sheets.tasks import tasks
from headrace.paper.words import typical
from tests.paper.sheets.test_papers import record

MACHINES = ["mower", "pump", "winch", "corded", "examples/cider-mill/wall.toml", "examples/wood-cart.toml"]
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def task(name: str, of: str) -> Task | None:
    return next((one for one in tasks(typical(record(of))) if one.name == name), None)


def value(text: str) -> float:
    found = NUMBER.search(text)
    assert found is not None, text
    return float(found[0]) * (1000.0 if "kW" in text else 1.0)


def known(one: Task, start: str) -> float:
    return value(next(says for what, says in one.known if what.startswith(start)))


def answer(one: Task, start: str) -> float:
    return value(next(asked.answer for asked in one.asked if asked.what.startswith(start)))


@pytest.mark.parametrize("of", MACHINES)
def test_watts_are_volts_times_amps_and_what_is_lost_is_missing_at_the_work(of: str) -> None:
    one = task("work", of)
    assert one is not None
    whole = answer(one, "watts at")
    # rounding of what stands on paper: 0.05 A of a few; alternating current has a power factor besides
    assert whole == pytest.approx(known(one, "volts") * known(one, "amps"), rel=0.02)
    lost = [value(says) for what, says in one.known if what.startswith("lost in")]
    assert answer(one, "watts into") == pytest.approx(whole - sum(lost), abs=0.5 * len(lost) + 1.0)


@pytest.mark.parametrize("of", MACHINES)
def test_in_series_volts_add_up_and_in_parallel_amps(of: str) -> None:
    volts, amps = task("volts", of), task("amps", of)
    if volts is not None:
        for end in ("full", "half full"):
            per_cell = known(volts, f"a cell at rest, {end}")
            assert answer(volts, f"volts of the pack, {end}") == pytest.approx(
                known(volts, "cells in series") * per_cell, abs=0.06 + 0.005 * known(volts, "cells in series")
            )
    if amps is not None:
        if any(what.startswith("cells or batteries") for what, _ in amps.known):
            each = answer(amps, "amps of the pack") / known(amps, "cells or batteries")
            assert answer(amps, "amps of one of them") == pytest.approx(each, abs=0.06)
        # watts to three digits, volts to a tenth
        assert answer(amps, "amps of the pack") == pytest.approx(known(amps, "watts") / known(amps, "volts"), rel=0.01)


@pytest.mark.parametrize("of", MACHINES)
def test_a_motor_alone_turns_a_little_slower_than_its_volts_let_it(of: str) -> None:
    one = task("volts", of)
    if one is None or not any(what.startswith("turns") for what, _ in one.known):
        return
    constant = known(one, "turns")
    alone = [(value(asked.what), value(asked.answer)) for asked in one.asked if asked.what.startswith("speed")]
    assert alone
    assert all(0.75 * constant * volts < turns < constant * volts for volts, turns in alone)


@pytest.mark.parametrize("of", MACHINES)
def test_a_wire_takes_volts_with_the_amps_and_watts_with_their_square(of: str) -> None:
    one = task("wires", of)
    if one is None:
        return
    ohms = known(one, "resistance") / 1000.0
    assert answer(one, "volts lost") == pytest.approx(known(one, "amps at most") * ohms, rel=0.02, abs=0.0006)
    assert answer(one, "watts lost") == pytest.approx(known(one, "amps as") ** 2 * ohms, rel=0.02, abs=0.06)


@pytest.mark.parametrize("of", MACHINES)
def test_a_short_is_volts_by_ohms(of: str) -> None:
    one = task("fuse", of)
    if one is None:
        return
    ohms = known(one, "ohms of the pack") / 1000.0
    assert answer(one, "amps of a short") == pytest.approx(known(one, "volts at rest") / ohms, rel=0.01)


@pytest.mark.parametrize("of", MACHINES)
def test_every_task_asks_for_something_and_warns(of: str) -> None:
    for one in tasks(typical(record(of))):
        assert one.known
        assert one.asked
        assert one.care.endswith(".")
        assert one.slip.endswith(".")
        assert one.title.endswith("?")


def test_nobody_takes_a_brake_off_to_time_the_tool_without_it() -> None:
    one = task("stopping", "mower")
    assert one is not None
    free, braked = one.asked
    assert (free.what, free.how) == ("seconds without a brake", PAPER)
    assert "stopwatch" in braked.how
    assert value(braked.answer) < value(free.answer)


def test_which_machine_has_which_tasks() -> None:
    whole = {"work", "losses", "volts", "amps", "wires", "fuse", "minutes", "charging"}
    assert {one.name for one in tasks(typical(record("mower")))} == whole | {"stopping"}
    assert {one.name for one in tasks(typical(record("winch")))} == whole
    no_groups = whole - {"volts"}  # batteries are not wired group by group
    assert {one.name for one in tasks(typical(record("corded")))} == no_groups | {"stopping"}
    wall = tasks(typical(record("examples/cider-mill/wall.toml")))
    assert {one.name for one in wall} == {"work", "losses", "stopping"}


def test_a_plan_whose_tool_never_turns_sets_no_tasks_and_says_so() -> None:
    still = copy.deepcopy(record("mower"))
    for state in still["losses"]["states"]:
        state["tool_speed_rad_s"] = 0.0
    assert tasks(typical(still)) == ()
    _, lessons, teacher = papers(still)
    assert [sheet.name for sheet in lessons.sheets] == ["lesson-plan", "gathering"]
    for sheet in (*lessons.sheets, teacher.sheets[0]):
        assert any(isinstance(block, Words) and block.text == NO_TASKS for block in sheet.blocks)
