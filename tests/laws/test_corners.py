"""The corners a machine is held against: each is the hardest of what may happen, and what the file plans counts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headrace import design
from headrace.drive.point import Outcome
from headrace.findings import Judged, judge
from headrace.machine import edit, read_text
from headrace.machine.links import Controller
from headrace.machine.records import Machine
from tests.machines import EXAMPLE, alley, point, state, with_link

TEXT = EXAMPLE.read_text(encoding="utf-8")


def judged(plan: Machine, slug: str) -> Judged:
    return next(found for found in judge(design.evidence(plan)) if found.rule.slug == slug)


def changed(**values: object) -> Machine:
    addresses = {address.replace("__", "."): value for address, value in values.items()}
    return read_text(edit(TEXT, addresses)).machine


def test_a_held_speed_is_judged_where_it_draws_most_which_is_near_empty() -> None:
    slowest = float(point(alley(), state(alley(), heaviest=True), 0.1).motor_speed)
    held = with_link(alley(), Controller, mode="governed", speed=0.8 * slowest)
    full = point(held, state(held, heaviest=True), 1.0)
    assert Outcome(int(full.outcome)) == Outcome.SET_SPEED
    in_cell = float(full.battery_current) / float(held.source.parallel)
    assert float(judged(held, "cell-current-peak").verdict.value) > 1.05 * in_cell


def test_the_hot_winding_is_that_of_the_harder_of_two_hot_days() -> None:
    days = design.four_days(alley())
    assert float(days.hottest_winding) == max(float(days.hot.highest_winding), float(days.hot_aged.highest_winding))
    assert float(days.hot.highest_winding) > float(days.new.highest_winding)
    assert float(days.hot_aged.highest_cell_temperature) > float(days.aged.highest_cell_temperature)


def test_a_brake_that_needs_the_pack_is_no_brake() -> None:
    braked = judged(changed(), "blade-coasts")
    assert float(braked.verdict.value) < 3.0
    needs_pack = judged(changed(safety__brake_works_unplugged=False), "blade-coasts")
    assert float(needs_pack.verdict.value) > 3.0
    assert bool(needs_pack.failing)
    assert "unplugged" in needs_pack.at(()).action


def test_a_plate_marked_s1_is_taken_at_its_word() -> None:
    unmarked = judged(changed(chains__blade__motor__rated_power="200 W"), "motor-past-continuous")
    assert unmarked.verdict.unit == "A"
    marked = judged(
        changed(chains__blade__motor__rated_power="200 W", chains__blade__motor__continuous_mark=True),
        "motor-past-continuous",
    )
    assert marked.verdict.unit == "W"
    assert bool(marked.failing)


def test_a_rating_nobody_gave_is_told_as_assumed() -> None:
    text = TEXT.replace('max_voltage = "60 V"\n', "")
    assert text != TEXT
    found = judged(read_text(edit(text, {"source.series": 16})).machine, "part-over-voltage")
    assert "assumed" in found.at(()).says


def test_a_job_in_which_nothing_is_cut_is_still_judged() -> None:
    plan = alley()
    bare = tuple(replace(s, sward=0.0) for s in plan.job.states)
    found = judge(design.evidence(replace(plan, job=replace(plan.job, states=bare))))
    assert all(np.all(np.isfinite(np.asarray(j.failing, dtype=float))) for j in found)


@pytest.mark.parametrize("edge", ["-30 °C", "60 °C", "-22 °F", "140 °F"])
def test_a_limit_in_its_own_unit_lies_inside(edge: str) -> None:
    assert changed(job__ambient=edge).job.ambient > 0.0
