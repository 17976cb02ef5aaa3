"""A handful of draws through every verb, for machines at the edge: each gets an answer, as a table and as a record."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from click.testing import CliRunner

from headrace.frontends.cli import verbs
from headrace.frontends.cli.main import main
from headrace.frontends.cli.talk import reading_of
from headrace.machine import Reading, edit, read_text
from headrace.machine.draws import banded
from tests.machines import EXAMPLE, without_bands

TEXT = EXAMPLE.read_text(encoding="utf-8")
FEW = 4
VERBS = ("losses", "packs", "day", "check", "design")


def never_moves() -> str:
    """Five cells in series: the controller cuts out at once, full or not, whatever the draw."""
    return edit(TEXT, {"source.series": 5})


def never_starts() -> str:
    """Air drag that no pack on this motor gets going."""
    return edit(TEXT, {"chains.blade.work.windage": 0.1, "chains.blade.motor.constant": "400 rpm/V"})


def two_chains() -> str:
    """The blade's chain once more, with another name, on the same source, for a job of two minutes."""
    text = edit(TEXT, {"job.area": "25 m²"})
    document = tomlkit.parse(text)
    other: Any = tomlkit.parse(text)["chains"]
    other[0]["name"] = "second blade"
    document["chains"].append(other[0])
    return tomlkit.dumps(document)


MACHINES: dict[str, Callable[[], str]] = {
    "never moves": never_moves,
    "never starts": never_starts,
    "two chains": two_chains,
}


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ask for what carries the answers with a few samples, for a small map, and for two minutes to empty.

    None of them is what these tests are of.
    """
    from headrace.design import days
    from headrace.explore import packs, shares

    monkeypatch.setattr(shares.shares, "__defaults__", (None, 2, 4))
    monkeypatch.setattr(days, "LONGEST_RUN", 120.0)
    monkeypatch.setattr(shares, "LONGEST_RUN", 120.0)
    monkeypatch.setattr(packs, "SERIES", (1, 2, 3, 4, 5, 6))
    monkeypatch.setattr(packs, "PARALLEL", (1, 2, 3))


def run(*words: str) -> str:
    """Run a verb that has to end in an answer; return what it says."""
    result = CliRunner().invoke(main, [*words, "--draws", str(FEW)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    assert result.exit_code in (0, 1), result.stderr
    return result.stdout


def answers(verb: str, file: Path, out: Path) -> dict[str, Any]:
    """Run a verb for its table and for its record, which design writes beside its table; return the record."""
    folder = ("--out", str(out)) if verb == "design" else ()
    table = run(verb, str(file), *folder)
    assert f"How sure: {FEW} machines" in table
    assert "nan" not in table
    if verb == "design":
        assert "</html>" in (out / "report.html").read_text(encoding="utf-8")
    text = (out / "results.json").read_text(encoding="utf-8") if folder else run(verb, str(file), "--json")
    record: dict[str, Any] = json.loads(text, parse_constant=lambda word: pytest.fail(word))
    return record


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize("name", list(MACHINES))
def test_a_machine_at_the_edge_gets_an_answer(name: str, verb: str, tmp_path: Path) -> None:
    file = tmp_path / "m.toml"
    file.write_text(MACHINES[name](), encoding="utf-8")
    assert answers(verb, file, tmp_path / "out")["draws"]["count"] == FEW


@pytest.mark.parametrize("verb", VERBS)
def test_a_machine_without_any_band_gets_an_answer_without_any(
    verb: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def certain(file: Path, **how: Any) -> Reading:
        found = reading_of(file, **how)
        return replace(found, machine=without_bands(found.machine))

    monkeypatch.setattr(verbs, "reading_of", certain)
    file = tmp_path / "mower.toml"
    file.write_text(edit(TEXT, {"job.area": "25 m²"}), encoding="utf-8")
    record = answers(verb, file, tmp_path / "out")
    assert '"typical"' not in json.dumps(record if "trace" not in record else {**record, "trace": {}})


def test_the_machines_are_what_they_are_called() -> None:
    from headrace import design

    for name, text in MACHINES.items():
        plan = read_text(text()).machine
        assert len(plan.chains) == (2 if name == "two chains" else 1)
        assert len(banded(plan)) > 10
        assert (float(design.day(plan).duration) > 0.0) == (name == "two chains"), name
    assert not banded(without_bands(read_text(TEXT).machine))
    assert len(tomllib.loads(two_chains())["chains"]) == 2
