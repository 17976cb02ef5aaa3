"""Spoiled files through a verb end in an answer or a refusal; rewritten files end in the same answers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from headrace import design
from headrace.design.record import losses_record
from headrace.frontends.cli.main import main
from headrace.machine import read_text
from headrace.runs.march import march
from tests.machine.mutations import chance, mutate, rewrite
from tests.machines import EXAMPLE

TEXT = EXAMPLE.read_text(encoding="utf-8")


def answer_or_refuse(text: str, file: Path, verb: str) -> bool:
    """Run a verb on a spoiled text; return whether it answered. Anything but an answer or a refusal fails."""
    file.write_text(text, encoding="utf-8", errors="surrogatepass")
    result = CliRunner().invoke(main, [verb, str(file), "--json"])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code in (0, 1, 2)
    if result.exit_code == 2:
        assert result.stdout == ""
        assert result.stderr.startswith("error: ")
        return False
    json.loads(result.stdout, parse_constant=lambda word: pytest.fail(word))
    return True


def test_a_spoiled_file_gets_an_answer_or_a_refusal(tmp_path: Path) -> None:
    answered = sum(answer_or_refuse(mutate(TEXT, chance(seed)), tmp_path / "m.toml", "losses") for seed in range(100))
    assert 0 < answered < 100


@pytest.mark.campaign
@pytest.mark.parametrize("verb", ["losses", "packs", "day", "check"])
def test_spoiled_files_by_the_hundred_through_every_verb(verb: str, tmp_path: Path) -> None:
    answered = sum(
        answer_or_refuse(mutate(TEXT, chance(seed)), tmp_path / "m.toml", verb) for seed in range(1000, 1400)
    )
    assert 0 < answered < 400


def numbers(data: Any) -> list[float]:
    """Return every number of a record, in order."""
    if isinstance(data, dict):
        return [n for value in data.values() for n in numbers(value)]
    if isinstance(data, list):
        return [n for value in data for n in numbers(value)]
    return [float(data)] if isinstance(data, int | float) and not isinstance(data, bool) else []


def answers(text: str) -> list[float]:
    """Return every number of ten minutes' work and of the ledgers in their middle."""
    plan = read_text(text).machine
    run = march(plan, 600.0, keep_trace=True)
    found = losses_record(plan, design.losses(plan, run))
    closures = [state.pop("closure") for state in found["states"]]  # rounding itself, not an answer
    assert all(gap < 1e-9 for gap in closures)
    return [*numbers(found), float(run.energy), float(run.charge_left), float(run.highest_winding), float(run.duration)]


def test_a_hundred_rewrites_leave_every_answer() -> None:
    plain = answers(TEXT)
    for seed in range(100):
        again = answers(rewrite(TEXT, chance(seed)))
        assert again == pytest.approx(plain, rel=1e-9, abs=1e-9)
