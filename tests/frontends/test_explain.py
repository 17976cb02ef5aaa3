"""The verb that shows a working."""

from __future__ import annotations

import json
from contextlib import nullcontext
from functools import cache

import pytest
from click.testing import CliRunner, Result

from headrace.findings import RULES
from headrace.frontends.cli import explain as explaining
from headrace.frontends.cli.main import main
from headrace.paper.words import formula
from headrace.paper.working import told
from tests.machines import small_file

EXAMPLE = small_file()


@cache
def explain(*words: str) -> Result:
    return CliRunner().invoke(main, ["explain", *words])


def test_a_number_is_explained_down_to_the_line_of_the_file() -> None:
    said = explain(str(EXAMPLE), "losses.grass.motor-copper.loss").stdout
    assert said.startswith("losses.grass.motor-copper.loss = ")
    assert "heat of a current in a resistance: P = I^2 R" in said.splitlines()[0]
    line = next(line for line in said.splitlines() if line.strip().startswith("the motor's resistance = "))
    assert f"({EXAMPLE.name}, line " in line
    assert " to " in line  # its band


def test_the_terminal_tells_a_working_in_the_words_of_the_page_with_more_digits() -> None:
    tree = json.loads(explain(str(EXAMPLE), "pack.energy", "--json").stdout)
    said = explain(str(EXAMPLE), "pack.energy").stdout.splitlines()
    assert said[0] == "pack.energy = 1.296e+06 J    10 × 2 × 18000 A·s × 3.6 V"
    page = told(tree, EXAMPLE.name, 6)
    assert [line.strip().partition("    ")[0] for line in said[1:3]] == [part["says"] for part in page["inputs"][:2]]


def test_the_ends_of_bands_are_of_the_draws_that_are_asked_for() -> None:
    asked = explain(str(EXAMPLE), "day.lasts.low", "--draws", "6", "--seed", "3").stdout
    assert "5% of 6 draws (seed 3) lie below" in asked.splitlines()[0]
    other = explain(str(EXAMPLE), "day.lasts.low", "--draws", "6", "--seed", "4").stdout
    assert asked.splitlines()[0].partition("    ")[0] != other.splitlines()[0].partition("    ")[0]
    none = explain(str(EXAMPLE), "day.lasts.low", "--draws", "0")
    assert none.exit_code == 2
    assert "without draws there is no band\n  way out: ask with --draws" in none.stderr


def test_a_number_of_the_file_ends_where_the_file_says() -> None:
    said = explain(str(EXAMPLE), "chains.blade.motor.constant.low").stdout
    assert said.startswith(
        "chains.blade.motor.constant.low = 0.095493 V·s/rad    datasheet, 0.095493 to 0.101588: plate"
    )
    none = explain(str(EXAMPLE), "limits.reserve.low")
    assert none.exit_code == 2
    assert "limits.reserve.low: this number has no band\n  way out: ask for limits.reserve" in none.stderr


def test_the_record_of_a_working_is_a_tree() -> None:
    found = json.loads(explain(str(EXAMPLE), "pack.energy", "--json").stdout)
    assert found["address"] == "pack.energy"
    assert found["kind"] == "arithmetic"
    assert len(found["inputs"]) == 2


def test_the_list_holds_every_address_and_a_slip_is_met_with_the_nearest() -> None:
    known = explain(str(EXAMPLE), "--list").stdout.splitlines()
    assert "day.lasts_to_reserve" in known
    wrong = explain(str(EXAMPLE), "day.lasts_to_reserv")
    assert wrong.exit_code == 2
    assert "  way out: did you mean day.lasts_to_reserve" in wrong.stderr
    assert wrong.stdout == ""


def test_a_slug_shows_the_page_of_its_finding() -> None:
    for slug in RULES:
        said = explain(slug).stdout
        assert said.startswith(slug)
        assert said.split("\n\n")[2].startswith("To do: ")
    assert json.loads(explain("blade-coasts", "--json").stdout)["slug"] == "blade-coasts"
    nothing = explain("no-such-thing")
    assert nothing.exit_code == 2
    assert "blade-coasts" in nothing.stderr


def test_formulas_are_said_in_plain_text() -> None:
    assert formula(r"R = \rho\,\frac{L}{A}\,[1 + \alpha_{20}\,(T - 293.15)]") == "R = ρ (L)/(A) [1 + α_20 (T - 293.15)]"
    assert formula(r"P = \tfrac{1}{2}\,\bigl(a + b\bigr)") == "P = ½ (a + b)"


def test_a_near_miss_of_a_finding_is_met_with_the_nearest_and_a_file_with_how_to_list_its_numbers() -> None:
    assert "did you mean blade-coasts?" in explain("blade-coast").stderr
    assert f"headrace explain {EXAMPLE} --list" in explain(str(EXAMPLE)).stderr
    assert "headrace new mower mine.toml" in explain("mine.toml").stderr


def test_a_finding_asked_for_as_a_number_is_refused_with_where_its_page_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(explaining, "reading_of", lambda _: pytest.fail("read"))
    asked = explain(str(EXAMPLE), "blade-coasts")
    assert asked.exit_code == 2
    assert asked.stderr.endswith("way out: headrace explain blade-coasts   shows its page\n")


def test_a_number_of_a_pack_is_explained_with_its_unit_and_the_list_says_how_such_are_asked_for() -> None:
    assert " kg " in explain(str(EXAMPLE), "packs.9s6p.mass").stdout.splitlines()[0]
    said = explain(str(EXAMPLE), "--list").stderr.splitlines()
    assert len(said) == 2
    assert "packs.<series>s<parallel>p." in said[0]
    assert "carries.<answer>." in said[1]


def test_the_bar_says_when_all_draws_are_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []

    def bar(what: str) -> nullcontext[None]:
        told.append(what)
        return nullcontext(None)

    monkeypatch.setattr(explaining, "progress_of", bar)
    explain(str(EXAMPLE), "day.nonsense.low", "--draws", "6")
    explain(str(EXAMPLE), "day.nonsense", "--draws", "6")
    assert told == ["working it out, 6 machines drawn from the bands", "working it out"]
