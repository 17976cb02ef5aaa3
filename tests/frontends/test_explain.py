"""The verb that shows a working."""

from __future__ import annotations

import json

from click.testing import CliRunner, Result

from headrace.findings import RULES
from headrace.frontends.cli.main import main
from headrace.paper.words import formula
from tests.machines import EXAMPLE


def explain(*words: str) -> Result:
    return CliRunner().invoke(main, ["explain", *words])


def test_a_number_is_explained_down_to_the_line_of_the_file() -> None:
    said = explain(str(EXAMPLE), "losses.grass.motor-copper.loss").stdout
    assert said.startswith("losses.grass.motor-copper.loss = ")
    assert "by joule_loss: P = I^2 R" in said
    line = next(line for line in said.splitlines() if line.strip().startswith("resistance_25 = "))
    assert f"({EXAMPLE.name}:" in line
    assert " to " in line  # its band


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
    assert "did you mean day.lasts_to_reserve" in wrong.stderr
    assert wrong.stdout == ""


def test_a_slug_shows_the_page_of_its_finding() -> None:
    for slug in RULES:
        said = explain(slug).stdout
        assert said.startswith(slug)
        assert "Why:" in said
    assert json.loads(explain("blade-coasts", "--json").stdout)["slug"] == "blade-coasts"
    nothing = explain("no-such-thing")
    assert nothing.exit_code == 2
    assert "blade-coasts" in nothing.stderr


def test_formulas_are_said_in_plain_text() -> None:
    assert formula(r"R = \rho\,\frac{L}{A}\,[1 + \alpha_{20}\,(T - 293.15)]") == "R = ρ (L)/(A) [1 + α_20 (T - 293.15)]"
    assert formula(r"P = \tfrac{1}{2}\,\bigl(a + b\bigr)") == "P = ½ (a + b)"
