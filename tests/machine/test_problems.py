"""Problems of a file: all at once, in the order of its lines, each with key, value, what must be and the way out."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read, read_text, starter
from headrace.machine.form_links import LINK_KINDS
from headrace.tables import load

TEXT = (Path(__file__).parent / "plan.toml").read_text(encoding="utf-8")


KINDS = "not one of " + ", ".join(sorted(LINK_KINDS))
CELLS = "not one of " + ", ".join(str(row["name"]) for row in load("cells"))
MAGNETS = "not one of " + ", ".join(str(row["name"]) for row in load("magnets"))


def problems(text: str) -> list[Any]:
    with pytest.raises(MachineFileError) as trouble:
        read_text(text, "mower.toml")
    return list(trouble.value.problems)


def told(text: str) -> str:
    """Return the whole message."""
    with pytest.raises(MachineFileError) as trouble:
        read_text(text, "mower.toml")
    return str(trouble.value)


def line_with(text: str, part: str) -> int:
    return next(number for number, line in enumerate(text.split("\n"), start=1) if part in line)


def test_the_message_is_in_the_house_manner() -> None:
    text = edit(TEXT, {"limits.max_mass": "7 Nm", "source.series": "ten"})
    text = text.replace("max_mass", "max_mas").replace('diameter = "42 cm"', 'diameter = "42 m"')
    series, mass = line_with(text, "series ="), line_with(text, "max_mas")
    assert told(text) == (
        "error: mower.toml cannot be used (3 problems)\n"
        '  mower.toml:12  chains.blade.work.diameter = "42 m"\n'
        "    must be 0.1 to 1.5 m\n"
        '    way out: did you mean "42 cm"?\n'
        f'  mower.toml:{series}  source.series = "ten"\n'
        "    must be a whole number\n"
        f'  mower.toml:{mass}  limits.max_mas = "7 Nm"\n'
        "    no such key in [limits]\n"
        "    way out: did you mean max_mass?"
    )


def test_one_problem_is_called_one() -> None:
    assert told(edit(TEXT, {"source.series": True})).startswith("error: mower.toml cannot be used (1 problem)\n")


@pytest.mark.parametrize(
    ("changes", "key", "limit", "hint"),
    [
        ({"source.series": 10.0}, "source.series", "must be a whole number", ""),
        ({"source.series": 0}, "source.series", "must be at least 1", ""),
        ({"source.parallel": 1000}, "source.parallel", "must be at most 200", ""),
        ({"safety.dead_man": "yes"}, "safety.dead_man", "must be true or false", ""),
        ({"limits.box": ["1 m", "2 m"]}, "limits.box", "must have at least 3", ""),
        (
            {"limits.box": ["1 m", "2 kg", "3 m"]},
            "limits.box[1]",
            "must be a length; kg makes it a mass",
            'write it as "42 cm" is written',
        ),
        ({"machine.name": ""}, "machine.name", "must not be empty", ""),
        ({"machine.name": 3}, "machine.name", "must be text", ""),
        ({"chains.blade.name": "a.b"}, "chains[0].name", "must be a name on one line, without dots and brackets", ""),
        ({"chains.blade.motor.kind": "dc-moter"}, "chains.blade.motor.kind", KINDS, "did you mean dc-motor?"),
        ({"chains.blade.motor.magnet": "ferite"}, "chains.blade.motor.magnet", MAGNETS, "did you mean ferrite?"),
        (
            {"chains.blade.motor.resistence": "1 ohm"},
            "chains.blade.motor.resistence",
            "no such key in [chains.blade.motor]",
            "did you mean resistance?",
        ),
        ({"job.states": 3}, "job.states", "must be a list", ""),
        ({"limits": 3}, "limits", "must be a table", ""),
        ({"limit.reserve": 0.1}, "limit", "no such key in the file", "did you mean limits?"),
        ({"source.cell": "energy-21701"}, "source.cell", CELLS, "did you mean energy-21700?"),
        (
            {"source.cell.capacty": "5 Ah"},
            "source.cell.capacty",
            "no such key in [source.cell]",
            "did you mean capacity?",
        ),
        ({"source.strips.metal": "nickle"}, "source.strips.metal", None, "did you mean nickel?"),
        (
            {"chains.blade.work.windage": {"value": 0.01, "lo": 0.005}},
            "chains.blade.work.windage.lo",
            "no such key for a quantity",
            "known are value, low, high, unit, basis, source",
        ),
    ],
)
def test_the_forms_complaints_are_in_our_words(changes: dict[str, Any], key: str, limit: str | None, hint: str) -> None:
    found = problems(edit(TEXT, changes))
    assert len(found) == 1, found
    assert found[0].key == key
    assert found[0].hint == hint
    assert limit is None or found[0].limit == limit
    assert found[0].line > 0


def test_what_only_the_builder_knows_must_be_there() -> None:
    text = TEXT.replace('width = "38 cm"\n', "").replace("series = 10\n", "").replace('diameter = "42 cm"\n', "")
    assert {p.key for p in problems(text)} == {"job.width", "source.series", "chains.blade.work.diameter"}
    assert {p.key for p in problems("")} == {"machine", "chains", "source", "job"}


def link(kind: str, name: str, **keys: str) -> str:
    return f'[[chains.links]]\nkind = "{kind}"\nname = "{name}"\n' + "".join(f"{k} = {v}\n" for k, v in keys.items())


SPINDLE = '[[chains.links]]\nkind = "bearings"'
CONSTANT = next(line for line in TEXT.split("\n") if line.startswith("constant"))
CABLE = link("cable", "cable", length='"0.7 m"', area='"10 mm²"')


@pytest.mark.parametrize(
    ("old", "new", "key", "limit"),
    [
        (
            CABLE,
            CABLE + link("dc-motor", "other", shelf='"brushed-36v-medium"'),
            "chains.blade.links",
            "exactly one motor, dc-motor, series-motor, induction-motor; there are 2",
        ),
        (CABLE, CABLE + link("controller", "other"), "chains.blade.links", "one controller at most"),
        (
            CABLE,
            CABLE + link("v-belt", "belt", ratio="1.2"),
            "chains.blade.belt",
            "v-belt must stand before the motor",
        ),
        (
            SPINDLE,
            CABLE.replace('"cable"\nlength', '"lead"\nlength') + SPINDLE,
            "chains.blade.lead",
            "cable must stand behind the motor",
        ),
        (CABLE, CABLE + CABLE, "chains.blade.links[4].name", "stands 2 times"),
        ('name = "turning"', 'name = "tall-grass"', "job.states[2].name", 'has the same address as "tall grass"'),
        ('name = "spindle"', 'name = "work"', "chains.blade.links[0].name", "is the name of the work"),
        ('name = "tall grass"', 'name = "width"', "job.states[1].name", "is the name of a key of [job]"),
        (CONSTANT, "", "chains.blade.motor.constant", "is missing; give it, or a motor of the shelf"),
        ('brush_drop = "1.0 V"', 'drag = "0.2 N·m"', "chains.blade.motor.no_load_current", "says the same as drag"),
        (
            'brush_drop = "1.0 V"',
            'drag_square = "0.000001 N·m·s²/rad²"',
            "chains.blade.motor.no_load_current",
            "needs no_load_speed too",
        ),
        ('mode = "full"', 'mode = "governed"', "chains.blade.controller.speed", "is missing"),
        (
            'mode = "full"',
            'mode = "full"\nspeed = "3000 rpm"',
            "chains.blade.controller.speed",
            'only with mode = "governed"',
        ),
        ('of = "plug"\n', "", "chains.blade.plug.of", "is missing"),
        (
            SPINDLE,
            link("worm", "worm", ratio="20") + SPINDLE,
            "chains.blade.worm",
            "lead_angle, or a measured efficiency",
        ),
        (
            'diameter = "42 cm"',
            'diameter = "42 cm"\ninertia = "0.01 kg·m²"',
            "chains.blade.work.mass",
            "used for the inertia",
        ),
        ("share = 0.75", "share = 0.7", "job.states", "they add up to 0.95"),
        ("share = 0.75\n", "", "job.states", "each state a share"),
        ("share = 0.75", 'time = "40 min"', "job.states", "each state a share, or each a time"),
        ("turning = true", 'turning = true\npower = "5 W"', "job.turning.power", "without load"),
        (
            'sward = "0.18..0.45 kg/m²"',
            'sward = "0.3 kg/m²"\npower = "500 W"',
            "job.grass.power",
            "says the same as sward",
        ),
        ('area = "600 m²"\n', "", "limits.time", "give it, or job.area"),
        ('tip_speed_min = "55 m/s"', 'tip_speed_min = "99 m/s"', "limits.tip_speed_min", "must be below tip_speed_max"),
        ('ambient_cold = "5 °C"', 'ambient_cold = "36 °C"', "limits.ambient_cold", "must be below ambient_hot"),
        (
            'cell = "energy-21700"',
            'cell = { shelf = "energy-21700", empty_voltage = "3.9 V" }',
            "source.cell.empty_voltage",
            "at or below nominal_voltage",
        ),
        (
            'cell = "energy-21700"',
            'cell = { shelf = "energy-21700", peak_current = "5 A" }',
            "source.cell.peak_current",
            "keep continuous_current at or below",
        ),
    ],
)
def test_rules_between_keys(old: str, new: str, key: str, limit: str) -> None:
    assert old in TEXT
    found = problems(TEXT.replace(old, new, 1))
    assert len(found) == 1, found
    assert found[0].key == key
    assert limit in found[0].limit


def test_a_rule_speaks_even_where_another_key_is_wrong() -> None:
    text = edit(TEXT, {"source.series": "ten"}).replace("share = 0.75", "share = 0.7")
    assert {p.key for p in problems(text)} == {"source.series", "job.states"}


def test_the_nearest_line_is_named_for_what_is_missing() -> None:
    text = TEXT.replace('width = "38 cm"\n', "")
    assert problems(text)[0].line == line_with(text, "[job]")


def test_an_element_of_a_list_over_lines_has_its_own_line() -> None:
    text = TEXT.replace('box = ["34 cm", "20 cm", "9 cm"]', 'box = [\n  "34 cm",  # long\n  "20 kg",\n  "9 cm",\n]')
    assert problems(text)[0].line == line_with(text, '"20 kg"')


# --- no machine file at all ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("[machine]\nname = 'a'\nname = 'b'\n", 3),
        ("[machine\n", 1),
        ("a = 1\nb = \n", 2),
        ('a = "', 1),
        ("a = [\n1,\n", 3),
        ("a = 2024-13-01", 1),
        ("[" * 100_000, 0),
        ("x = " + "[" * 20_000, 0),
        ("x = " + "9" * 5000, 1),
        ("x = \u0000", 1),
    ],
)
def test_what_is_no_toml_is_one_problem_with_its_line(text: str, line: int) -> None:
    found = problems(text)
    assert len(found) == 1
    assert line in (0, found[0].line)
    assert "TOML" in found[0].limit or "nested" in found[0].limit


def test_numbers_beyond_the_format_are_refused_before_they_are_printed() -> None:
    assert problems("[source]\nseries = 0x" + "f" * 5000)[0].key == "source.series"


def test_a_file_that_cannot_be_read_is_a_problem_too(tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes("[machine]\nname = 'Mäher'\n".encode("latin-1"))
    for path, line, limit in (
        (tmp_path / "none.toml", 0, "cannot be read"),
        (tmp_path, 0, "cannot be read"),
        (tmp_path / "nul\0.toml", 0, "cannot be read"),
        (tmp_path / "latin.toml", 2, "must be text in UTF-8"),
    ):
        with pytest.raises(MachineFileError) as trouble:
            read(path)
        (found,) = trouble.value.problems
        assert found.line == line
        assert limit in found.limit


def test_a_mark_before_the_text_is_no_harm(tmp_path: Path) -> None:
    file = tmp_path / "notepad.toml"
    file.write_bytes(b"\xef\xbb\xbf" + starter("mower").replace("\n", "\r\n").encode())
    assert read(file).machine.name == "My mower"


@pytest.mark.parametrize(("written", "meant"), [("46 cm", '"46 cm"'), ("0,46", '"0,46"')])
def test_a_quantity_without_its_quotation_marks_is_named(written: str, meant: str) -> None:
    spoiled = re.sub(r'diameter = "[^"]*"', f"diameter = {written}", TEXT, count=1)
    with pytest.raises(MachineFileError) as refused:
        read_text(spoiled)
    (problem,) = refused.value.problems
    assert problem.hint.endswith(f"diameter = {meant}")
    assert spoiled.splitlines()[problem.line - 1].startswith("diameter")


@pytest.mark.parametrize(("right", "slip"), [("width", "widht"), ("diameter", "diametre"), ("constant", "constnat")])
def test_a_misspelt_key_is_one_problem(right: str, slip: str) -> None:
    spoiled = re.sub(rf"^{right} = ", f"{slip} = ", TEXT, count=1, flags=re.MULTILINE)
    assert spoiled != TEXT
    (found,) = problems(spoiled)
    assert found.hint == f"did you mean {right}?"


def test_what_is_no_file_or_no_toml_says_the_way_out(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("[machine]\nname =\n", encoding="utf-8")
    for path, limit, way_out in (
        (tmp_path / "none.toml", "there is no such file", f"headrace new mower {tmp_path / 'none.toml'}"),
        (tmp_path, "it is a folder", f"such as {tmp_path / 'mine.toml'}"),
        (tmp_path / "mine.toml", "is no sound TOML", "mend line 2"),
    ):
        with pytest.raises(MachineFileError) as trouble:
            read(path)
        (found,) = trouble.value.problems
        assert limit in found.limit
        assert way_out in found.hint
