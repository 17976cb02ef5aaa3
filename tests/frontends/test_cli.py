"""The verbs as a person meets them: tables, records, exit codes, and nothing half written."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from contextlib import nullcontext
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from headrace.frontends.cli import tables, verbs
from headrace.frontends.cli.main import main
from headrace.machine import STARTERS, edit
from tests.machines import EXAMPLE, small_file

VERBS = ("losses", "packs", "day", "check")
UNITS = (
    "_W",
    "_J",
    "_V",
    "_A",
    "_ohm",
    "_F",
    "_H",
    "_s",
    "_rad_s",
    "_m_s",
    "_N_m",
    "_kg",
    "_K",
    "_m2",
    "_m",
    "_V_s_rad",
)


ALONE = ("--draws", "0")  # the typical machine only; tests/frontends/test_bands.py draws


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


@cache
def answer(verb: str, file: Path) -> Any:
    """Return the record of a verb for the typical machine."""
    result = run(verb, str(file), *ALONE, "--json")
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout, parse_constant=lambda word: pytest.fail(word))


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("new") / "mower.toml"
    assert run("new", "mower", str(file)).exit_code == 0
    return file


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_answers_on_the_example_and_on_a_new_file(verb: str, started: Path) -> None:
    plain = run(verb, str(started), *ALONE)
    assert plain.exit_code == 0, plain.stderr
    assert plain.stdout.strip()
    assert answer(verb, EXAMPLE)["machine"] == "Alley mower"


def test_what_was_understood_is_said_back_where_the_plan_is_checked() -> None:
    for verb in VERBS:
        said = run(verb, str(small_file()), *ALONE).stderr
        assert ("rated_power: 1000 W, that is" in said) == (verb == "check"), verb


def test_findings_name_numbers_as_people_do() -> None:
    said = [words for found in answer("check", EXAMPLE)["findings"] for words in (found["says"], found["action"])]
    assert any("the blade's windage" in words for words in said)
    assert not any(re.search(r"[a-z]\.[a-z]|[a-z]_[a-z]", words) for words in said)


def test_losses_has_the_fields_the_record_promises() -> None:
    record = answer("losses", EXAMPLE)
    for state in record["states"]:
        assert {"outcome", "tool_speed_rad_s", "tip_speed_m_s", "useful_W", "source_W", "links"} <= state.keys()
        total = state["useful_W"] + sum(link["loss_W"] for link in state["links"])
        assert total == pytest.approx(state["source_W"], rel=1e-9)
        for link in state["links"]:
            assert {"name", "kind", "power_in_W", "power_out_W", "loss_W", "basis"} <= link.keys()


def test_packs_and_day_have_the_fields_the_record_promises() -> None:
    packs = answer("packs", EXAMPLE)
    assert len(packs["candidates"]) == 480
    assert all({"series", "parallel", "works", "reasons"} <= c.keys() for c in packs["candidates"])
    day = answer("day", EXAMPLE)
    assert {"ended_because", "duration_s", "energy_J", "area_well_done_m2", "lowest_cell_voltage_V"} <= day.keys()
    assert all("lowest_charge" in state for state in day["states"])


@pytest.fixture(scope="module")
def designed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("design") / "out"
    result = run("design", str(EXAMPLE), *ALONE, "--out", str(out))
    assert result.exit_code == 0, result.stderr
    return out


def test_design_writes_the_record_and_the_report(designed: Path) -> None:
    record = json.loads((designed / "results.json").read_text(encoding="utf-8"))
    page = (designed / "report.html").read_text(encoding="utf-8")
    assert record["day"] == answer("day", EXAMPLE)
    assert record["losses"] == answer("losses", EXAMPLE)
    assert record["packs"] == answer("packs", EXAMPLE)
    assert "http" not in page.replace("http://www.w3.org", "")
    assert all(finding["says"] in unescape(page) for finding in record["findings"])


def test_design_writes_the_papers_and_sheets_writes_the_same_alone(designed: Path, tmp_path: Path) -> None:
    result = run("sheets", str(EXAMPLE), "--out", str(tmp_path))
    assert result.exit_code == 0, result.stderr
    assert result.stdout == ""
    alone = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert alone == {path.name: path.read_bytes() for path in designed.glob("*.pdf")}
    assert {"papers-A4.pdf", "papers-Letter.pdf"} <= alone.keys()
    assert all(pdf.startswith(b"%PDF") for pdf in alone.values())


def numbers(data: Any, name: str = "") -> list[tuple[str, float]]:
    if isinstance(data, dict):
        keeps = data.keys() == {"typical", "low", "high"} or name.endswith("outcomes")  # parts of one number
        return [pair for key, value in data.items() for pair in numbers(value, name if keeps else key)]
    if isinstance(data, list):
        return [pair for value in data for pair in numbers(value, name)]
    return [(name, float(data))] if isinstance(data, float) else []


def test_every_number_with_a_unit_says_it_and_all_are_finite(designed: Path) -> None:
    record = json.loads((designed / "results.json").read_text(encoding="utf-8"))
    bare = {
        "charge",
        "share",
        "duty",
        "closure",
        "lowest_charge",
        "charge_left",
        "series",
        "parallel",
        "cells",
        "room",
        "pieces",
    }
    bare |= {"points", "largest_gap", "often", "running", "outcomes", "lasts_outcomes", "stopped", "stops_when_warm"}
    bare |= {"ratio", "least_ratio", "driver", "driven", "in_reserve", "drop", "times_a_season"}
    bare |= {"jobs", "years", "depth", "check_charge", "capacity_left", "resistance_grown"}
    bare |= {"season", "hour", "tools", "spares", "price", "spares_cost"}  # money
    bare |= {"count", "lines", "unpriced", "allowance"}
    bare |= {"gap", "spread_low", "spread_high"}  # a share of the charge; how many times as fast a cell ages
    bare |= {"drop_share", "most_drop_share", "start_strain", "most_start_strain"}
    bare |= {"cost", "value", "limit", "by", "low", "high"}  # these stand beside their own unit, as in a working
    for name, value in numbers(record):
        assert math.isfinite(value)
        assert name in bare or name.endswith(UNITS), name


def test_a_stop_finding_is_exit_1_and_nothing_that_works_is_exit_1(tmp_path: Path) -> None:
    text = edit(EXAMPLE.read_text(encoding="utf-8"), {"job.area": "50 m²"})
    loose = tmp_path / "loose.toml"
    loose.write_text(edit(text, {"safety.dead_man": False}), encoding="utf-8")
    assert run("check", str(loose), *ALONE).exit_code == 1
    tight = tmp_path / "tight.toml"
    tight.write_text(edit(text, {"limits.max_mass": "300 g"}), encoding="utf-8")
    result = run("packs", str(tight), *ALONE)
    assert result.exit_code == 1
    assert "No pack" in result.stdout


@pytest.mark.parametrize("verb", VERBS)
def test_bad_input_is_exit_2_with_file_and_line_and_nothing_on_stdout(verb: str, tmp_path: Path) -> None:
    file = tmp_path / "bad.toml"
    file.write_text(edit(EXAMPLE.read_text(encoding="utf-8"), {"source.series": "ten"}), encoding="utf-8")
    result = run(verb, str(file))
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "bad.toml:" in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("verb", VERBS)
def test_the_bar_runs_once_from_nothing_to_full(verb: str, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[float] = []
    monkeypatch.setattr(verbs, "progress_of", lambda _: nullcontext(told.append))
    assert run(verb, str(small_file()), *ALONE).exit_code in (0, 1)  # a pack that small has its stops
    assert told == sorted(told)
    assert 0.0 < told[0] < 0.5
    assert told[-1] == 1.0
    assert told.count(1.0) <= 2  # the last step may be the whole


def test_new_never_writes_over_a_file(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("mine", encoding="utf-8")
    assert run("new", "mower", str(file)).exit_code == 2
    assert file.read_text(encoding="utf-8") == "mine"


def test_a_state_that_works_down_to_nothing_is_not_told_why_it_fails_below() -> None:
    low = {"name": "turning", "works_when_full": True, "fails_with": "cut-out", "fails_because": "it opens"}
    assert any("nothing left" in line for line in tables.day(_day(low, 0.001)).splitlines())
    assert any("4 %, below it it opens" in line for line in tables.day(_day(low, 0.04)).splitlines())


def _day(low: dict[str, Any], charge: float) -> dict[str, Any]:
    return {**answer("day", EXAMPLE), "states": [{**low, "lowest_charge": charge}]}


def test_new_offers_every_starter_there_is() -> None:
    (kinds,) = (parameter.type for parameter in main.commands["new"].params if parameter.name == "starter")
    assert isinstance(kinds, click.Choice)
    assert tuple(kinds.choices) == STARTERS


def test_help_loads_no_numpy() -> None:
    code = (
        "import sys\nfrom headrace.frontends.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\nsys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == 0
