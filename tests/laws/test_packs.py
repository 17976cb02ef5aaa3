"""The map of packs, the findings and the day are one model: each says of a candidate what the others say."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headrace import design
from headrace.explore.packs import (
    PARALLEL,
    SERIES,
    PackMap,
    first_to_break,
    nearest,
    pack_map,
    smallest,
    squeezed,
    steps_down,
)
from headrace.explore.record import packs_record
from headrace.findings import RULES, judge, raised
from headrace.machine import edit, read_text
from headrace.runs.run import End
from tests.machines import EXAMPLE, alley

DRAW = np.random.default_rng(20)
CANDIDATES = [(int(s), int(p)) for s, p in zip(DRAW.integers(1, 25, 20), DRAW.integers(1, 21, 20), strict=True)]


@cache
def mapped() -> PackMap:
    return pack_map(alley())


def test_the_map_holds_480_candidates_and_some_work_and_some_do_not() -> None:
    assert len(SERIES) * len(PARALLEL) == 480 == mapped().works.size
    assert 0 < int(mapped().works.sum()) < 480


@pytest.mark.parametrize(("series", "parallel"), CANDIDATES)
def test_check_on_the_same_file_says_the_same(series: int, parallel: int) -> None:
    text = edit(EXAMPLE.read_text(encoding="utf-8"), {"source.series": series, "source.parallel": parallel})
    plan = read_text(text, file="candidate.toml").machine
    found = raised(judge(design.evidence(plan)), ())
    from_check = {f.slug: (f.value, f.says) for f in found if f.rejects_pack}
    from_map = {f.slug: (f.value, f.says) for f in mapped().reasons(series, parallel)}
    assert from_check.keys() == from_map.keys()
    assert bool(mapped().every_works[mapped().place(series, parallel)]) == (not from_check)
    for slug, (value, says) in from_map.items():
        assert value == pytest.approx(from_check[slug][0], rel=1e-9)
        assert says == from_check[slug][1]


def test_the_smallest_that_works_does_the_day_and_one_step_down_fails_as_named() -> None:
    pack = smallest(mapped())
    assert pack is not None
    text = EXAMPLE.read_text(encoding="utf-8")
    plan = read_text(edit(text, {"source.series": pack[0], "source.parallel": pack[1]})).machine
    run = design.day(plan)
    assert End(int(run.ended_because)) == End.JOB_DONE
    assert float(run.charge_left) >= float(plan.limits.reserve)
    assert not [f for f in raised(judge(design.evidence(plan)), ()) if f.rejects_pack]
    steps = steps_down(mapped(), pack)
    assert len(steps) == 2
    for step in steps:
        assert step.breaks_first is not None
        assert not mapped().every_works[mapped().place(step.series, step.parallel)]
        less = read_text(edit(text, {"source.series": step.series, "source.parallel": step.parallel})).machine
        slugs = {f.slug for f in raised(judge(design.evidence(less)), ())}
        assert step.breaks_first.slug in slugs
        assert first_to_break(mapped(), pack, (step.series, step.parallel)) == step.breaks_first


def test_no_smaller_pack_works() -> None:
    pack = smallest(mapped())
    assert pack is not None
    for i, k in zip(*np.nonzero(mapped().works), strict=True):
        assert SERIES[i] * PARALLEL[k] >= pack[0] * pack[1]


def test_right_series_with_one_cell_fails_for_amps_and_minutes_though_its_volts_are_right() -> None:
    pack = smallest(mapped())
    assert pack is not None
    slugs = {f.slug for f in mapped().reasons(pack[0], 1)}
    assert {"cell-current-continuous", "too-short-new", "too-short-aged"} <= slugs
    assert not slugs & {"tip-too-fast", "part-over-voltage"}


def test_right_parallel_with_one_in_series_fails_for_volts_though_its_amps_are_right() -> None:
    pack = smallest(mapped())
    assert pack is not None
    slugs = {f.slug for f in mapped().reasons(1, pack[1])}
    assert {"too-slow-when-empty", "cuts-out-under-load"} <= slugs
    assert not slugs & {"cell-current-continuous", "cell-current-peak"}


def test_every_reason_carries_its_number_its_limit_and_by_how_much() -> None:
    record = packs_record(mapped())
    for candidate in record["candidates"]:
        assert candidate["works"] == (not candidate["reasons"])
        for reason in candidate["reasons"]:
            assert reason["slug"] in RULES
            assert reason["by"] == pytest.approx(abs(reason["value"] - reason["limit"]))
            assert reason["says"].endswith(".")
    said = [lesson["says"] for lesson in record["lessons"]]
    assert "volts are right" in said[0]
    assert "amps are right" in said[1]


def test_more_in_parallel_never_breaks_amps_or_minutes() -> None:
    for slug in ("cell-current-continuous", "cell-current-peak", "too-short-new", "too-short-aged"):
        failing = next(j.failing for j in mapped().judged if j.rule.slug == slug)
        runs = failing[SERIES.index(8) : SERIES.index(12) + 1]
        assert np.all(np.diff(runs.astype(int), axis=1) <= 0)


def limited(**limits: object) -> PackMap:
    """Return the map of the example under other limits, a small one."""
    wishes = {f"limits.{key}": value for key, value in limits.items()}
    text = edit(EXAMPLE.read_text(), {**wishes, "job.area": "100 m²"})
    return pack_map(read_text(text, file="mower.toml").machine, tuple(range(6, 15)), tuple(range(3, 9)))


def test_where_no_pack_works_the_one_that_misses_by_least_is_named() -> None:
    """By looking at every candidate in turn."""
    packs = limited(max_mass="4.3 kg", tip_speed_max="200 m/s")  # what lasts weighs too much
    assert smallest(packs) is None
    misses = {
        (s, p): (len(broken), max(abs(f.value - f.limit) / abs(f.limit) if f.limit else np.inf for f in broken))
        for s in packs.series
        for p in packs.parallel
        if (broken := packs.reasons(s, p))
    }
    assert nearest(packs) == min(misses, key=lambda pack: misses[pack])
    record = packs_record(packs)
    assert (record["nearest"]["series"], record["nearest"]["parallel"]) == nearest(packs)
    assert record["nearest"]["reasons"]
    assert record["nearest"]["says"] == ""  # fewer limits of mass would do; no count is squeezed


def test_where_every_count_is_too_slow_or_too_fast_more_cells_are_not_the_advice() -> None:
    wide, narrow = limited(tip_speed_max="70 m/s"), limited(tip_speed_min="56 m/s", tip_speed_max="84 m/s")
    assert squeezed(wide) == (9, 8)  # eight run too fast when full, and nine still too slow when empty
    assert "govern" in packs_record(wide)["nearest"]["says"]
    assert squeezed(narrow) == (9, 10)
    assert "between two counts" in packs_record(narrow)["nearest"]["says"]
    assert squeezed(mapped()) is None
