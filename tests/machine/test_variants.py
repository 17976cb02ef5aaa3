"""Variants of a file: read like the file edited, refused by name and line, and left alone by everything else."""

from __future__ import annotations

from pathlib import Path

import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read_text, read_variants

TEXT = (Path(__file__).parent / "plan.toml").read_text(encoding="utf-8")
TWO = """
[[variants]]
name = "twelve in series"

[variants.set]
"source.series" = 12
"chains.blade.motor.constant" = "81 rpm/V"

[[variants]]
name = "more grass"
set = { "job.tall grass.sward" = "0.5..1.0 kg/m²" }
"""


def refused(tail: str) -> str:
    """Return why the file with a tail, or a variant of it, is refused."""
    with pytest.raises(MachineFileError) as trouble:
        read_variants(read_text(TEXT + tail, "mower.toml"))
    return str(trouble.value)


def one(values: str) -> str:
    return f'\n[[variants]]\nname = "other"\nset = {{ {values} }}\n'


def test_a_variant_is_the_file_edited() -> None:
    found = read_variants(read_text(TEXT + TWO))
    values = {"source.series": 12, "chains.blade.motor.constant": "81 rpm/V"}
    by_hand = read_text(edit(TEXT, values)).machine
    assert list(found) == ["twelve in series", "more grass"]
    assert {a: o.typical for a, o in found["twelve in series"].machine.pedigree.items()} == {
        a: o.typical for a, o in by_hand.pedigree.items()
    }
    assert found["twelve in series"].machine.source.series == 12.0
    assert found["more grass"].machine.source.series == read_text(TEXT).machine.source.series


def test_the_file_itself_reads_as_if_it_had_none() -> None:
    plain, varied = read_text(TEXT), read_text(TEXT + TWO)
    assert varied.machine.pedigree == plain.machine.pedigree
    assert varied.doubts == plain.doubts
    assert plain.variants == {}
    assert read_variants(plain) == {}


def test_a_variant_asks_only_what_the_file_does_not_ask_already() -> None:
    """A cell label of 18 Wh against 5 Ah at 3.6 V agrees; 30 Wh does not, and is asked about at the variant's line."""
    tail = one('"source.cell.energy" = "30 Wh"')
    (asked,) = read_variants(read_text(TEXT + tail))["other"].doubts
    assert 'variant "other": source.cell.energy' in str(asked)
    assert asked.line == (TEXT + tail).split("\n").index('set = { "source.cell.energy" = "30 Wh" }') + 1


def test_every_variant_that_cannot_be_read_is_refused_by_name_at_its_line() -> None:
    tail = one('"source.series" = "ten", "limits.reserve" = 0.2') + one('"limits.max_mass" = "7 m"').replace(
        "other", "heavy"
    )
    lines = (TEXT + tail).split("\n")
    series, mass = (next(n for n, line in enumerate(lines, 1) if part in line) for part in ('"ten"', '"7 m"'))
    assert refused(tail) == (
        "error: mower.toml cannot be used (2 problems)\n"
        f'  mower.toml:{series}  variant "other": source.series = "ten"\n'
        "    must be a whole number\n"
        f'  mower.toml:{mass}  variant "heavy": limits.max_mass = "7 m"\n'
        "    must be a mass; m makes it a length\n"
        '    way out: write it as "0.65 kg" is written'
    )


@pytest.mark.parametrize(
    ("values", "key", "way_out"),
    [
        ('"chains.blade.moter.constant" = "90 rpm/V"', "chains.blade.moter.constant", "did you mean motor?"),
        ('"job.tal grass.sward" = "1 kg/m²"', "job.tal grass.sward", "did you mean tall grass?"),
        ('"source.series.x" = 3', "source.series.x", "known are blade, work, "),
        ('"chains.blade" = 3', "chains.blade", "known are blade, work, "),
    ],
)
def test_an_address_that_leads_nowhere_is_refused_with_the_names_there_are(values: str, key: str, way_out: str) -> None:
    said = refused(one(values))
    assert f'variant "other": {key} = ' in said
    assert "leads nowhere" in said
    assert f"way out: {way_out}" in said


@pytest.mark.parametrize(
    ("tail", "key", "limit"),
    [
        ("\n[[variants]]\nset = { 'source.series' = 12 }\n", "variants[0].name", "is missing"),
        ('\n[[variants]]\nname = "other"\n', "variants.other.set", "is missing"),
        (one(""), "variants.other.set", "must have at least 1"),
        (one('"source.series" = 12') * 2, "variants[1].name", "stands 2 times in variants; each name is used once"),
        (one("source.series = 12"), "variants.other.set.source", 'quotation marks: "source.series" = 12'),
        (
            one('"machine.name" = "x"'),
            "variants.other.set.machine.name",
            "must begin with one of auxiliaries, balance, board,",
        ),
        (one('"source..series" = 12'), "variants.other.set.source..series", "must have a name between any two dots"),
        ("\n[variants]\na = 1\n", "variants", "must be a list"),
    ],
)
def test_the_shape_of_the_variants_is_held_by_the_files_own_form(tail: str, key: str, limit: str) -> None:
    with pytest.raises(MachineFileError) as trouble:
        read_text(TEXT + tail, "mower.toml")
    assert f"  {key}" in str(trouble.value)
    assert limit in str(trouble.value)
