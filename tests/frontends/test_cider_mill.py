"""One mill driven in four ways: ``examples/cider-mill`` is compared as one job, every link with its watts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from headrace.frontends.cli.main import main
from headrace.machine import read

HERE = Path(__file__).parent.parent.parent / "examples" / "cider-mill"
FILES = [HERE / f"{name}.toml" for name in ("wall", "inverter", "belt", "gear")]


@pytest.fixture(scope="module")
def compared() -> dict[str, Any]:
    """Return the record of the four, typical machines alone."""
    result = CliRunner().invoke(main, ["compare", *map(str, FILES), "--draws", "0", "--json"])
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_the_four_do_one_job(compared: dict[str, Any]) -> None:
    assert compared["same_job"]
    assert [one["name"] for one in compared["machines"]] == [read(file).machine.name for file in FILES]


def test_each_names_what_costs_it_most_and_what_mending_that_saves(compared: dict[str, Any]) -> None:
    for one in compared["machines"]:
        most = max(one["losses"], key=lambda loss: loss["loss_W"])
        assert one["costliest"] == most["name"]
        assert most["saves_removed_W"] > most["saves_halved_W"] > 0.0
        assert most["how"]


def test_every_link_has_its_watts_and_they_add_up(compared: dict[str, Any]) -> None:
    for one in compared["machines"]:
        lost = sum(loss["loss_W"] for loss in one["losses"])
        assert one["source_W"] == pytest.approx(one["useful_W"] + lost, rel=1e-9)
        assert len(one["losses"]) >= 8


def test_the_inverter_costs_watts_the_wall_does_not(compared: dict[str, Any]) -> None:
    by_name = {one["name"]: one for one in compared["machines"]}
    wall, lead = by_name["At the wall"], by_name["Inverter and lead"]
    assert lead["source_W"] > wall["source_W"]
    assert by_name["Belt and iron phosphate"]["source_W"] < wall["source_W"]
    assert lead["pack"]["mass_kg"] > 10.0 * by_name["Belt and iron phosphate"]["pack"]["mass_kg"]
    assert wall["pack"]["mass_kg"] == 0.0
