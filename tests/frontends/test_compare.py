"""``compare`` as a person meets it: columns, refusals, exit codes, and the record."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest
from click.testing import CliRunner, Result

from headrace import design
from headrace.design.record import day_record
from headrace.frontends.cli.main import main
from headrace.frontends.cli.side_by_side import compared
from headrace.machine import edit, read
from tests.frontends.test_cli import UNITS, numbers
from tests.machines import EXAMPLE, SMALL_TEXT, small_file

ALONE = ("--draws", "0")
FEW = ("--draws", "4")
TWELVE = {"source.series": 12, "chains.blade.motor.constant": "81 rpm/V"}
VARIANTS = """
[[variants]]
name = "twelve in series"

[variants.set]
"source.series" = 12
"chains.blade.motor.constant" = "81 rpm/V"
"""


@cache
def folder() -> Path:
    return Path(mkdtemp())


def file_of(name: str, text: str) -> Path:
    file = folder() / name
    file.write_text(text, encoding="utf-8")
    return file


def varied() -> Path:
    return file_of("varied.toml", SMALL_TEXT + VARIANTS)


def twelve() -> Path:
    return file_of("twelve.toml", edit(SMALL_TEXT, {**TWELVE, "machine.name": "Twelve"}))


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["compare", *map(str, words)])


@cache
def answer(*words: object) -> Any:
    result = run(*words, "--json")
    assert result.exit_code in (0, 1), result.stderr
    return json.loads(result.stdout, parse_constant=lambda word: pytest.fail(word))


@cache
def printed() -> str:
    """Return what stands on the terminal for the file and its variant, with draws."""
    return run(varied(), *FEW).stdout


def test_a_files_variants_stand_beside_it_as_the_edited_files_would() -> None:
    own, other = answer(varied(), *ALONE)["machines"]
    first, second = answer(small_file(), twelve(), *ALONE)["machines"]
    assert [own["name"], other["name"]] == ["Alley mower", "twelve in series"]
    assert [first["name"], second["name"]] == ["Alley mower", "Twelve"]
    said_of_the_file = ("name", "file")
    for variant, edited in ((own, first), (other, second)):
        assert {k: v for k, v in variant.items() if k not in said_of_the_file} == {
            k: v for k, v in edited.items() if k not in said_of_the_file
        }
    assert own["source_W"] != other["source_W"]


def test_a_column_is_what_the_day_of_the_file_alone_is() -> None:
    plan = read(twelve()).machine
    alone = design.solve(plan)
    day = day_record(plan, alone.day, alone.lasts, alone.lowest_charges)
    second = answer(small_file(), twelve(), *ALONE)["machines"][1]
    assert second["day"].items() <= json.loads(json.dumps(day)).items()


def test_the_table_has_a_column_a_machine_and_a_sentence_each() -> None:
    said, _, _ = printed().partition("\n\nHow sure")
    head = next(line for line in said.splitlines() if "Alley mower" in line)
    assert "twelve in series" in head
    assert max(map(len, said.splitlines())) <= 80
    order = ["THE JOB", "THE ANSWER", "WATTS OVER THE JOB", "WHAT COSTS MOST", "FINDINGS", "Alley mower: air round the"]
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert "costs most, " in said
    assert "do not do the same job" not in said
    most = answer(varied(), *ALONE)["machines"][0]
    loss = next(loss for loss in most["losses"] if loss["name"] == most["costliest"])
    sentence = " ".join(said[said.index("Alley mower: ") :].split())
    assert sentence.startswith(
        f"Alley mower: {loss['name']} costs most, {loss['loss_W']:.0f} W over the job; without it "
        f"{loss['saves_removed_W']:.0f} W less from the cells; halved {loss['saves_halved_W']:.0f} W: {loss['how']}."
    )


def test_five_machines_stand_in_two_tables_within_80_columns() -> None:
    record = answer(varied(), *ALONE)
    many = {**record, "machines": [{**record["machines"][0], "name": f"a mower called {n}"} for n in range(5)]}
    said = compared(many)
    assert said.count("\nTHE JOB\n") == 2
    assert max(map(len, said.splitlines())) <= 80
    assert all(f"a mower called {n}: " in said for n in range(5))


def test_a_machine_without_a_link_shows_a_dash() -> None:
    brushless = {"chains.blade.motor.commutation": "electronic", "machine.name": "Brushless"}
    text = edit(SMALL_TEXT, brushless).replace('brush_drop = "1.0 V"\n', "")
    said = run(small_file(), file_of("brushless.toml", text), *ALONE).stdout
    (brushes,) = [line.split() for line in said.splitlines() if line.startswith("  motor: brushes")]
    assert brushes[:2] == ["motor:", "brushes"]
    assert brushes[2] != "–"
    assert brushes[-1] == "–"


def test_unlike_jobs_are_told_above_the_table_with_what_differs() -> None:
    other = file_of("more.toml", edit(SMALL_TEXT, {"job.area": "200 m²", "machine.name": "More"}))
    said = run(small_file(), other, *ALONE).stdout
    assert said.startswith("These machines do not do the same job")
    assert "  the job's area: 150 m² (Alley mower); 200 m² (More)\n" in said
    assert "  time wanted: 12 min (Alley mower); 16 min (More)\n" in said
    assert said.index("200 m² (More)") < said.index("THE JOB")
    record = answer(small_file(), other, *ALONE)
    assert not record["same_job"]
    assert {found["address"] for found in record["differs"]} == {"job.area", "limits.time_wanted"}
    assert answer(varied(), *ALONE)["same_job"]


def test_values_that_print_alike_are_told_in_more_digits() -> None:
    record = answer(varied(), *ALONE)
    differs = [{"address": "limits.time_wanted", "unit": "s", "values": [704.9, 706.0]}]
    said = compared({**record, "same_job": False, "differs": differs})
    assert "time wanted: 704.9 s (Alley mower); 706 s (twelve in series)" in said


def test_where_a_machine_does_not_work_is_said_once_a_reason() -> None:
    record = answer(varied(), *ALONE)
    stands = [{"name": name, "reason": "it opens"} for name in ("grass", "tall grass")]
    stuck = {
        **record["machines"][0],
        "costliest": None,
        "stands": [*stands, {"name": "turning", "reason": "it stalls"}],
    }
    said = " ".join(compared({**record, "machines": [stuck]}).split())
    assert said.endswith(
        "Alley mower: nothing works. In grass and in tall grass it does not work: it opens. "
        "In turning it does not work: it stalls."
    )


def test_draws_say_how_sure_each_column_is() -> None:
    record = answer(varied(), *FEW)
    assert record["draws"] == {"count": 4, "seed": 1}
    for one in record["machines"]:
        assert one["source_W"]["low"] <= one["source_W"]["typical"] <= one["source_W"]["high"]
        assert one["stopped"] in (0.0, 0.25, 0.5, 0.75, 1.0)
    assert printed().count("\nTHE JOB\n") == 1
    sure = printed()[printed().index("How sure: 4 machines drawn") :]
    assert "draws with a stop" in sure
    assert max(map(len, sure.splitlines()[2:])) <= 80


def test_the_same_draws_stand_behind_every_column() -> None:
    """A machine beside itself, under another name: every band is the same."""
    twin = file_of("twin.toml", edit(SMALL_TEXT, {"machine.name": "Twin"}))
    first, second = answer(small_file(), twin, *FEW)["machines"]
    assert {**first, "name": "", "file": ""} == {**second, "name": "", "file": ""}


def test_it_solves_each_machine_once_and_leaves_with_1_when_each_has_a_stop(monkeypatch: pytest.MonkeyPatch) -> None:
    solved: list[int] = []
    solve = design.solve

    def counting(*words: Any) -> Any:
        solved.append(1)
        return solve(*words)

    monkeypatch.setattr(design, "solve", counting)
    assert run(varied(), *ALONE).exit_code == 1  # each has a stop
    assert len(solved) == 2


def test_one_machine_without_a_stop_is_enough_for_exit_0() -> None:
    """The example has no stop; its like lacks a dead man's switch."""
    text = edit(EXAMPLE.read_text(encoding="utf-8"), {"job.area": "100 m²"})
    loose = {"safety.dead_man": False, "machine.name": "Loose"}
    result = run(file_of("sound.toml", text), file_of("loose.toml", edit(text, loose)), *ALONE)
    assert result.exit_code == 0
    (row,) = [line for line in result.stdout.splitlines() if line.startswith("  dead-man-missing")]
    assert row.split()[1:] == ["–", "stop"]


def test_machines_of_one_name_are_told_apart_by_their_files() -> None:
    copy = file_of("copy.toml", SMALL_TEXT)
    names = [one["name"] for one in answer(small_file(), copy, *ALONE)["machines"]]
    assert names == [f"Alley mower ({small_file()})", f"Alley mower ({copy})"]


@pytest.mark.parametrize(
    ("tail", "said"),
    [
        ("", "has no variants, so there is nothing to compare it with\n  way out: name another file beside it"),
        ('\n[[variants]]\nname = "odd"\nset = { "source.series" = "ten" }\n', 'variant "odd": source.series = "ten"'),
        ('\n[[variants]]\nname = "odd"\nset = { "chains.blade.moter.constant" = 1 }\n', "way out: did you mean motor?"),
        ('\n[[variants]]\nname = "odd"\n', "variants.odd.set\n    is missing"),
    ],
)
def test_what_cannot_be_compared_is_refused_with_the_way_out(tail: str, said: str) -> None:
    result = run(file_of("refused.toml", SMALL_TEXT + tail), *ALONE)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert said in result.stderr


def test_all_files_that_cannot_be_used_are_refused_at_once() -> None:
    bad = file_of("bad.toml", edit(SMALL_TEXT, {"source.series": "ten"}))
    result = run(bad, folder() / "nowhere.toml", small_file())
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "bad.toml:" in result.stderr
    assert "nowhere.toml" in result.stderr
    assert "Traceback" not in result.stderr


def test_a_file_named_twice_is_refused() -> None:
    result = run(small_file(), small_file())
    assert result.exit_code == 2
    assert "is named twice\n  way out: name each file once" in result.stderr


def test_other_verbs_leave_the_variants_alone() -> None:
    def losses(file: Path) -> str:
        return CliRunner().invoke(main, ["losses", str(file), *ALONE, "--json"]).stdout

    assert losses(varied()) == losses(small_file())


def test_every_number_of_the_record_says_its_unit() -> None:
    bare = {"share", "stopped", "lowest_charge", "charge_left", "series", "parallel", "cells", "room", "reserve"}
    bare |= {"points", "largest_gap", "outcomes", "lasts_outcomes", "cost", "charge"}
    for name, _ in numbers(answer(varied(), *FEW)):
        assert name in bare or name.endswith(UNITS), name


def test_the_page_shows_what_the_verb_prints() -> None:
    """Its variants on a shorter job: every row up to the findings, whatever its numbers, in the page's order."""
    page = (EXAMPLE.parent.parent / "docs" / "compare.md").read_text(encoding="utf-8")
    (tail,) = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)
    shown, sure = re.findall(r"```text\n(.*?)```", page, re.DOTALL)
    said = run(file_of("page.toml", f"{SMALL_TEXT}\n{tail}"), *ALONE).stdout

    def labels(text: str) -> list[str]:
        whole = text[: text.index("\nFINDINGS\n")].split("\n")
        return [line[:24].rstrip() for line in whole if line[:24].strip()]

    assert labels(said) == labels(shown)
    assert shown.split("\n")[0] == said.split("\n")[0]
    assert sure.startswith("How sure: 256 machines drawn")


def test_the_help_says_what_it_does() -> None:
    said = " ".join(run("--help").stdout.split())
    assert "FILE..." in said
    assert "Put machines side by side on the same job, or a file and its own variants." in said
    assert "Exit 1 when each has a stop." in said
