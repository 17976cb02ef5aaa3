"""The shelf as a person meets it: classes, parts, every number of a part, and the same as a record in SI."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from headrace.explore.shelf import CLASSES, names_in
from headrace.frontends.cli.main import main
from headrace.frontends.cli.shelf import LEADING
from headrace.machine import read_text, starter
from headrace.machine.naming import UNIT
from headrace.machine.shelf import Shelf
from headrace.tables import load, sources, units

PARTS = [(kind, name) for kind in CLASSES for name in names_in(Shelf(), kind)]
# numbers without a unit: ratios, exponents, shares, and money
BARE = {
    "price",
    "efficiency",
    "ratio",
    "surge_multiple",
    "empty_rise",
    "most_multiple",
    "rotor_share",
    "peukert_exponent",
}
BARE |= {"wells_share", "wells_excess"}


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["shelf", *words])


def answer(*words: str) -> Any:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout, parse_constant=lambda word: pytest.fail(word))


def numbers(part: dict[str, Any]) -> dict[str, dict[str, float]]:
    return {key: value for key, value in part.items() if isinstance(value, dict) and key != "origins"}


def test_the_classes_are_listed_with_their_parts_and_what_they_are_for() -> None:
    lines = run().stdout.splitlines()
    for kind in CLASSES:
        line = next(line for line in lines if line.split()[0] == kind)
        assert line.split()[1] == str(len(names_in(Shelf(), kind)))
        assert len(line.split()) > 5
    listed = {one["name"]: one["names"] for one in answer()["classes"]}
    assert list(listed) == list(CLASSES)
    assert set(LEADING) == set(CLASSES)
    in_the_tables = {str(row["name"]) for one in CLASSES.values() for row in load(one.table)}
    assert {name for names in listed.values() for name in names} == in_the_tables
    assert sum(len(names) for names in listed.values()) == len(in_the_tables)


@pytest.mark.parametrize("kind", CLASSES)
def test_a_class_has_a_line_for_each_part_with_its_leading_numbers(kind: str) -> None:
    result = run(kind)
    assert result.exit_code == 0
    for name in names_in(Shelf(), kind):
        (line,) = [line for line in result.stdout.splitlines() if line.split()[0] == name]
        assert "–" not in line  # no number it is chosen by is missing
        assert len(re.findall(r"  +", line.strip())) == len(LEADING[kind])
    assert [part["name"] for part in answer(kind)["parts"]] == names_in(Shelf(), kind)


@pytest.mark.parametrize(("kind", "name"), PARTS)
def test_a_part_shows_every_number_with_its_band_basis_and_source(kind: str, name: str) -> None:
    record, said = answer(kind, name), run(kind, name).stdout
    assert record["class"] == kind
    assert record["name"] == name
    assert set(record["origins"]) == set(numbers(record))
    for key, band in numbers(record).items():
        assert set(band) == {"typical", "low", "high"}
        assert band["low"] <= band["typical"] <= band["high"], key
        assert key in BARE or UNIT.search(key), key
    for origin in record["origins"].values():
        assert origin["basis"] in ("assumed", "table")
        assert f"] {origin['source']}\n" in said
        assert not any(origin["source"] == key for key in sources())  # a title, no key
    assert len(re.findall(r"\[\d+\]$", said, re.M)) == len(numbers(record))


def test_the_words_are_in_units_of_the_bench() -> None:
    said = run("cells", "lfp-prismatic").stdout
    assert re.search(r"^  capacity +100  Ah +95 +103  assumed  \[1\]$", said, re.M)
    assert re.search(r"^  resistance +0.7  mΩ +0.42 +1.12  assumed", said, re.M)
    assert re.search(r"^  max temperature +60  °C +assumed", said, re.M)
    assert re.search(r"^  mass +2  kg +1.84 +2.24", said, re.M)
    motor = run("motors", "brushed-36v-medium").stdout
    assert re.search(
        r"^  constant +96.5  rpm/V +74.2 +138  assumed", motor, re.M
    )  # 0.099 V·s/rad; more of it, fewer turns
    assert re.search(r"^  magnet rise +40  K +25 +50", motor, re.M)  # a difference: 40 K is not -233 °C


def test_a_record_holds_the_rows_numbers_in_si() -> None:
    for table in ("controllers", "inverters", "drives", "connectors", "fuses", "contactors"):
        for row in load(table):
            part = answer(table, str(row["name"]))
            typed = [column for column, unit in units(table).items() if unit and not column.endswith(("_low", "_high"))]
            assert len(typed) == len(numbers(part))
            for column, band in zip(typed, numbers(part).values(), strict=True):
                assert list(band.values()) == [row[column], row[f"{column}_low"], row[f"{column}_high"]]


@pytest.mark.parametrize("name", names_in(Shelf(), "cells"))
def test_a_cell_of_the_shelf_is_what_a_machine_file_gets(name: str) -> None:
    before, _, after = starter("mower").partition("[source.cell]")
    machine = read_text(
        before + f'[source.cell]\nshelf = "{name}"\n' + after[after.index("\n[source.strips]") :]
    ).machine
    shown = numbers(answer("cells", name))
    origins = machine.pedigree
    assert shown["capacity_A_s"]["low"] == origins["source.cell.capacity"].low
    assert shown["resistance_ohm"]["high"] == origins["source.cell.resistance"].high
    assert shown["slow_resistance_2_ohm"]["typical"] == machine.source.cell.slow_resistance[1]


NOT_THERE = """cannot be read: there is no such file
    way out: name a file of parts that is there; docs/shelf.md shows how to write one"""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("cels", "cels is no class of the shelf\n  way out: did you mean cells?"),
        ("bolts", f"bolts is no class of the shelf\n  way out: classes are: {', '.join(CLASSES)}"),
        ("gel-12v", "gel-12v is a part, not a class of the shelf\n  way out: headrace shelf batteries gel-12v"),
        (
            "cells energy-2170",
            "energy-2170 is not among the cells of the shelf\n  way out: did you mean energy-21700 or energy-18650?",
        ),
        (
            "fuses xyz",
            "xyz is not among the fuses of the shelf\n  way out: fuses are: " + ", ".join(names_in(Shelf(), "fuses")),
        ),
        (
            "cells --parts nowhere.toml",
            f"nowhere.toml cannot be used (1 problem)\n  nowhere.toml  the file\n    {NOT_THERE}",
        ),
    ],
)
def test_what_is_not_on_the_shelf_is_refused_with_the_way_out(words: str, said: str) -> None:
    result = run(*words.split())
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr == f"error: {said}\n"


OWN = """
[[cells]]
name = "my-cell"
like = "energy-21700"
capacity = "4.8 Ah"
mass = { value = "68 g", basis = "measured", source = "kitchen scale" }

[[motors]]
name = "my-motor"
like = "brushed-36v-medium"
constant = "110 rpm/V"
"""


def test_parts_of_ones_own_stand_beside_the_shelfs(tmp_path: Path) -> None:
    file = tmp_path / "my-parts.toml"
    file.write_text(OWN, encoding="utf-8")
    asked = ("--parts", str(file))
    assert "my-cell" not in run("cells").stdout
    assert re.search(r"^  my-cell +4.8 Ah +3.6 V +28 mΩ", run("cells", *asked).stdout, re.M)
    assert re.search(r"^  my-motor +36 V +110 rpm/V", run("motors", *asked).stdout, re.M)
    cell = answer("cells", "my-cell", *asked)
    assert (cell["like"], cell["file"]) == ("energy-21700", "my-parts.toml")
    assert cell["capacity_A_s"]["typical"] == pytest.approx(4.8 * 3600.0)
    assert cell["origins"]["capacity_A_s"] == {"basis": "datasheet", "source": "my-parts.toml, line 5"}
    assert cell["origins"]["mass_kg"] == {"basis": "measured", "source": "kitchen scale (my-parts.toml, line 6)"}
    assert cell["origins"]["resistance_ohm"]["basis"] == "assumed"
    assert "like: energy-21700" in run("cells", "my-cell", *asked).stdout


def test_a_file_of_parts_that_cannot_be_used_is_refused_like_a_machine_file(tmp_path: Path) -> None:
    file = tmp_path / "my-parts.toml"
    file.write_text(OWN.replace("4.8 Ah", "4.8 kg"), encoding="utf-8")
    result = run("cells", "--parts", str(file))
    assert result.exit_code == 2
    assert result.stdout == ""
    assert '  my-parts.toml:5  cells.my-cell.capacity = "4.8 kg"\n' in result.stderr


def test_the_page_of_the_shelf_says_what_the_verb_says(tmp_path: Path) -> None:
    page = (Path(__file__).parents[2] / "docs" / "shelf.md").read_text(encoding="utf-8")
    _, parts, *_ = re.findall(r"```toml\n(.*?)```", page, re.S)
    classes, cell = re.findall(r"```text\n(.*?)```", page, re.S)
    file = tmp_path / "my-parts.toml"
    file.write_text(parts, encoding="utf-8")
    assert run().stdout == classes
    assert run("cells", "shed-cell", "--parts", str(file)).stdout == cell
    assert answer("motors", "shed-motor", "--parts", str(file))["file"] == "my-parts.toml"
