"""Spoiled files through a verb end in an answer or a refusal; rewritten files end in the same answers."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from headrace import design
from headrace.design.record import design_record, losses_record
from headrace.errors import MachineFileError
from headrace.explore.packs import pack_map
from headrace.frontends.cli.main import main
from headrace.machine import read_text
from headrace.runs.march import march
from tests.machine.mutations import chance, mutate, rewrite
from tests.machines import SMALL_TEXT


def answer_or_refuse(text: str, file: Path, verb: str) -> bool:
    """Run a verb on a spoiled text; return whether it answered. Anything but an answer or a refusal fails."""
    file.write_text(text, encoding="utf-8", errors="surrogatepass")
    result = CliRunner().invoke(main, [verb, str(file), "--draws", "0", "--json"])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code in (0, 1, 2)
    if result.exit_code == 2:
        assert result.stdout == ""
        assert result.stderr.startswith("error: ")
        return False
    json.loads(result.stdout, parse_constant=lambda word: pytest.fail(word))
    return True


def test_a_spoiled_file_gets_an_answer_or_a_refusal(tmp_path: Path) -> None:
    answered = sum(
        answer_or_refuse(mutate(SMALL_TEXT, chance(seed)), tmp_path / "m.toml", "losses") for seed in range(100)
    )
    assert 0 < answered < 100


@cache
def usable() -> list[str]:
    """Return the spoiled texts that can still be read as a machine."""
    found = []
    for seed in range(100):
        text = mutate(SMALL_TEXT, chance(seed))
        try:
            read_text(text)
        except MachineFileError:
            continue
        found.append(text)
    return found


FEW = {"check": 4, "day": 3, "packs": 1}  # the campaign takes hundreds


@pytest.mark.parametrize("verb", list(FEW))
def test_a_spoiled_file_that_can_be_read_gets_an_answer(verb: str, tmp_path: Path) -> None:
    texts = usable()
    assert len(texts) > 4
    assert all(answer_or_refuse(text, tmp_path / "m.toml", verb) for text in texts[: FEW[verb]])


@pytest.mark.campaign
@pytest.mark.parametrize("verb", ["losses", "packs", "day", "check"])
def test_spoiled_files_by_the_hundred_through_every_verb(verb: str, tmp_path: Path) -> None:
    answered = sum(
        answer_or_refuse(mutate(SMALL_TEXT, chance(seed)), tmp_path / "m.toml", verb) for seed in range(1000, 1400)
    )
    assert 0 < answered < 400


def numbers(data: Any) -> list[float]:
    """Return every number of a record, in order."""
    if isinstance(data, dict):
        return [n for value in data.values() for n in numbers(value)]
    if isinstance(data, list):
        return [n for value in data for n in numbers(value)]
    return [float(data)] if isinstance(data, int | float) and not isinstance(data, bool) else []


def whole(text: str) -> list[float]:
    """Return every number of the whole record and of the map of packs."""
    plan = read_text(text).machine
    record = design_record(design.solve(plan))
    for state in record["losses"]["states"]:
        assert state.pop("closure") < 1e-9  # rounding itself, not an answer
    packs = pack_map(plan)
    return [*numbers(record), *(float(works) for works in packs.works.flat)]


def answers(text: str) -> list[float]:
    """Return every number of the work of one cycle, in which each state comes up, and of the ledgers in its middle."""
    plan = read_text(text).machine
    run = march(plan, plan.job.cycle, keep_trace=True)
    found = losses_record(plan, design.losses(plan, run))
    closures = [state.pop("closure") for state in found["states"]]  # rounding itself, not an answer
    assert all(gap < 1e-9 for gap in closures)
    return [*numbers(found), float(run.energy), float(run.charge_left), float(run.highest_winding), float(run.duration)]


def test_a_hundred_rewrites_leave_every_answer() -> None:
    plain = answers(SMALL_TEXT)
    for seed in range(100):
        again = answers(rewrite(SMALL_TEXT, chance(seed)))
        assert again == pytest.approx(plain, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", [pytest.param(k, marks=[pytest.mark.campaign] if k > 0 else []) for k in range(100)])
def test_a_rewrite_leaves_the_whole_record(seed: int, whole_record: list[float]) -> None:
    assert whole(rewrite(SMALL_TEXT, chance(seed))) == pytest.approx(whole_record, rel=1e-9, abs=1e-9)


@pytest.fixture(scope="module")
def whole_record() -> list[float]:
    return whole(SMALL_TEXT)
