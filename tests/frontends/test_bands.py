"""Answers with their bands: the typical machine first and unmoved, every draw counted."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from headrace import design
from headrace.design.bands import HIGH, LOW
from headrace.design.trace import trace_record
from headrace.findings import judge
from headrace.frontends.cli import bands as bands_of
from headrace.frontends.cli.main import main
from headrace.machine.draws import draws
from headrace.paper.sureness import stopped, stopping_most, surest
from headrace.paper.words import typical
from tests.machines import EXAMPLE, alley, small, small_file

DRAWS = 12
FEW = ("--draws", str(DRAWS))


@cache
def answer(verb: str, *more: str) -> Any:
    # the example has no stop, which check says with its exit code; elsewhere its small sister does
    file = EXAMPLE if verb == "check" else small_file()
    result = CliRunner().invoke(main, [verb, str(file), *more, "--json"])
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout, parse_constant=lambda word: pytest.fail(word))


def bands(data: Any) -> list[dict[str, float]]:
    """Return every band of a record."""
    if isinstance(data, dict):
        if data.keys() == {"typical", "low", "high"}:
            return [data]
        return [band for value in data.values() for band in bands(value)]
    return [band for value in data for band in bands(value)] if isinstance(data, list) else []


def sentences(record: Any) -> list[str]:
    """Return what a record says of its packs and findings."""
    return [found["says"] for found in record["findings"]] if "findings" in record else []


def without_draws(record: Any) -> Any:
    """Return a record without what only draws say: its bands, shares and outcomes."""
    drops = {"draws", "outcomes", "lasts_outcomes", "share", "stopped", "sometimes", "in_order", "often", "closure"}
    if isinstance(record, dict):
        return {key: without_draws(value) for key, value in record.items() if key not in drops}
    return [without_draws(item) for item in record] if isinstance(record, list) else record


@pytest.mark.parametrize("verb", ["losses", "day", "check"])
def test_the_typical_machine_is_that_of_the_answer_without_draws(verb: str) -> None:
    drawn = answer(verb, *FEW)
    assert drawn["draws"] == {"count": DRAWS, "seed": 1}
    plain = without_draws(answer(verb, "--draws", "0"))
    alone = answer(verb, "--draws", "0")
    assert sentences(drawn) == sentences(alone)
    assert flat(without_draws(typical(drawn))) == pytest.approx(flat(plain), rel=1e-9, abs=1e-9)


def flat(data: Any) -> dict[str, float]:
    """Return every number of a record by its path."""
    if isinstance(data, dict | list):
        parts = data.items() if isinstance(data, dict) else enumerate(data)
        return {f"{key}.{path}": value for key, part in parts for path, value in flat(part).items()}
    return {"": float(data)} if isinstance(data, float) else {}


def test_bands_lie_in_order_and_the_same_seed_gives_the_same_draws() -> None:
    first = answer("day", *FEW)
    found = bands(first)
    assert len(found) > 10
    assert all(band["low"] <= band["high"] for band in found)
    assert first == answer("day", "--seed", "1", *FEW)
    assert first["lasts_to_reserve_s"] != answer("day", *FEW, "--seed", "2")["lasts_to_reserve_s"]


def test_every_draw_is_counted_in_an_outcome() -> None:
    """A draw that stalls or trips is an outcome, not a gap."""
    day = answer("day", *FEW)
    assert sum(day["outcomes"].values()) == pytest.approx(1.0)
    assert 0.0 < day["outcomes"]["job-done"] < 1.0
    for state in answer("losses", *FEW)["states"]:
        assert sum(state["outcomes"].values()) == pytest.approx(1.0)


def test_each_pack_says_how_often_it_works() -> None:
    record = answer("packs", "--draws", "4")
    assert all(candidate["often"] in (0.0, 0.25, 0.5, 0.75, 1.0) for candidate in record["candidates"])
    assert all(candidate["works"] for candidate in record["candidates"] if candidate["often"] == 1.0)
    sometimes = [c for c in record["candidates"] if 0.0 < c["often"] < 1.0]
    assert sometimes


def test_the_tables_say_how_sure_they_are() -> None:
    said = CliRunner().invoke(main, ["losses", str(small_file()), *FEW]).stdout
    assert said.index("Alley mower") < said.index(f"How sure: {DRAWS} machines drawn")
    for words in (bands_of.day(answer("day", *FEW)), bands_of.check(answer("check", *FEW))):
        assert words.startswith(f"How sure: {DRAWS} machines drawn")
        assert "%" in words


def test_a_sentence_says_how_many_draws_a_stop_holds_up() -> None:
    """As the findings of each draw taken alone have it."""
    record = answer("check", *FEW)
    judged = [j for j in judge(design.evidence(draws(alley(), DRAWS, 1))) if j.rule.level == "stop"]
    held_up = sum(any(j.failing[lane] for j in judged) for lane in range(1, DRAWS + 1))
    assert record["stopped"] == held_up / DRAWS
    assert 0 < held_up < DRAWS
    assert "the typical machine has none" in bands_of.check(record)
    assert "Measure what carries the answer" in stopped({**record, "stopped": 0.6})
    assert "Measure" not in stopped({**record, "stopped": 0.4})
    assert stopped({**record, "stopped": 0.0}).endswith(" none has a stop.")
    stop = {**record, "findings": [{"level": "stop"}], "stopped": 0.9}
    assert stopped(stop).endswith(" 90 % have a stop, as the typical machine has.")
    assert "< 1 % have a stop" in stopped({**record, "stopped": 0.004})


def test_what_stops_most_draws_is_named_first_and_no_more_than_three() -> None:
    def one(slug: str, share: float, level: str = "stop") -> dict[str, Any]:
        return {"slug": slug, "level": level, "share": share}

    record = {
        "findings": [one("blade-coasts", 0.2), one("too-heavy", 0.9, "caution")],
        "sometimes": [one("tip-too-fast", 0.5), one("winding-too-hot", 0.3), one("cells-too-hot", 0.1)],
    }
    said = stopping_most(record)
    assert said.endswith("tip too fast (50 %), winding too hot (30 %), blade coasts (20 %).")
    assert stopping_most({"findings": [], "sometimes": [one("no-fuse", 0.4, "caution")]}) == ""


def test_packs_that_few_draws_cannot_tell_apart_are_not_sold_as_one() -> None:
    def candidate(parallel: int, often: float) -> dict[str, Any]:
        return {"series": 10, "parallel": parallel, "often": often}

    record = {"draws": {"count": 100}, "candidates": [candidate(5, 0.38), candidate(6, 0.40), candidate(7, 0.25)]}
    said = surest(record)  # two standard deviations of 40 % in 100 draws are 9.8 %
    assert "10s6p, 40 %" in said
    assert "cannot tell it from 10s5p." in said
    assert "None works in most of them." in said
    sure = {"draws": {"count": 10_000}, "candidates": [candidate(5, 0.58), candidate(6, 0.62)]}
    assert surest(sure) == "Works most often: 10s6p, 62 % of the draws."


def test_bands_of_the_trace_are_those_of_the_draws_that_still_run() -> None:
    """As a library has it, step by step over the draws that are there."""
    plan = draws(small(), DRAWS, 1)
    run = design.until_empty(plan)
    record, trace = trace_record(plan, run), run.trace
    assert trace is not None
    steps = trace.running[:, 0]
    there = np.where(trace.running, trace.charge, np.nan)[steps, 1:]
    left = np.count_nonzero(np.isfinite(there), axis=1)
    assert left[0] == DRAWS
    assert np.min(left) < DRAWS
    for end, share in (("low", LOW), ("high", HIGH)):
        some = left > 0
        seen = np.array(record["charge"][end])
        assert seen[some] == pytest.approx(np.nanquantile(there[some], share, axis=1), rel=1e-12)
        assert seen[~some] == pytest.approx(trace.charge[steps, 0][~some], rel=1e-12)


def test_stops_have_their_bands_under_check_and_a_resistor_with_a_band_is_said_by_its_middle() -> None:
    record = json.loads(json.dumps(answer("check", *FEW)))
    said = bands_of.check(record)
    planned = record["stops"][0]["planned"]
    assert "blade to rest" in said
    assert f"with a resistor of {planned['resistance_ohm']:.2g} Ω" in said
    planned["resistance_ohm"] = {"typical": planned["resistance_ohm"], "low": 0.2, "high": 0.4}
    assert bands_of.check(record) == said


@pytest.mark.parametrize("name", ["wall", "inverter"])
def test_a_machine_on_mains_is_designed_with_draws_and_without(name: str, tmp_path: Path) -> None:
    """A socket has no map of packs to say how often it works, and an inverter draws while its tool is off."""
    file = Path(__file__).parents[2] / "examples" / "cider-mill" / f"{name}.toml"
    for count in ("0", "2"):
        result = CliRunner().invoke(main, ["design", str(file), "--draws", count, "--out", str(tmp_path / count)])
        assert result.exit_code == 0, result.output
        assert (tmp_path / count / "papers-A4.pdf").exists()
