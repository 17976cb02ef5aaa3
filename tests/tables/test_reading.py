"""A table that breaks its own rules is refused, with its name and row."""

from __future__ import annotations

import math

import pytest

from headrace.errors import TableError
from headrace.tables import load, read_rows, read_sources

KNOWN = read_sources(
    '[handbook]\ntitle = "A handbook"\nwhere = "table 1"\nkind = "handbook"\nseen = "original"\nchecked = "twice"\n'
)
HEAD = "name,mass,source\n,kg,\n"


def test_a_number_column_gives_floats_and_a_text_column_text() -> None:
    (row,) = read_rows("parts", HEAD + "7,2.5,handbook\n", KNOWN)
    assert dict(row) == {"name": "7", "mass": 2.5, "source": "handbook"}


def test_an_empty_number_is_nan_and_an_empty_text_empty() -> None:
    (row,) = read_rows("parts", HEAD + ",,handbook\n", KNOWN)
    assert row["name"] == ""
    assert math.isnan(row["mass"])


@pytest.mark.parametrize(
    ("text", "row", "says"),
    [
        ("", 0, "row of names and a row of units"),
        ("name,source\n", 0, "row of names and a row of units"),
        ("name,mass\n,kg\n", 0, "no column named source"),
        ("name,name,source\n,,\n", 0, "name of its own"),
        ("name,,source\n,,\n", 0, "name of its own"),
        ("name,source\n\n", 0, "cell in the units row"),
        (HEAD + "a,1,handbook\nb,2\n", 2, "2 cells for 3 columns"),
        (HEAD + 'a,"3,5",handbook\n', 1, "mass = '3,5' is no number"),
        (HEAD + "a,nan,handbook\n", 1, "not finite"),
        (HEAD + "a,-inf,handbook\n", 1, "not finite"),
        (HEAD + "a,1,handbok\n", 1, "source 'handbok' is not in sources.toml"),
        (HEAD + "a,1,\n", 1, "source '' is not in sources.toml"),
    ],
)
def test_a_broken_table_is_refused_by_name_and_row(text: str, row: int, says: str) -> None:
    with pytest.raises(TableError) as caught:
        read_rows("parts", text, KNOWN)
    assert (caught.value.table, caught.value.row) == ("parts", row)
    assert says in caught.value.what


def test_a_table_nobody_wrote_is_refused() -> None:
    with pytest.raises(TableError, match="table brands: no such table"):
        load("brands")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("checked", "held"), "must have checked, kind, seen, title, where"),
        (("[handbook]", "[handbook]\npage = 3"), "and nothing else"),
        (('kind = "handbook"', 'kind = "rumour"'), "kind 'rumour' is not one of standard"),
        (('seen = "original"', 'seen = "once"'), "seen 'once' is not one of original"),
    ],
)
def test_a_source_that_does_not_say_all_is_refused(change: tuple[str, str], says: str) -> None:
    text = '[handbook]\ntitle = "A"\nwhere = "B"\nkind = "handbook"\nseen = "original"\nchecked = "C"\n'
    with pytest.raises(TableError) as caught:
        read_sources(text.replace(*change))
    assert says in caught.value.what


def test_rows_are_read_once_and_cannot_be_changed() -> None:
    assert load("magnets") is load("magnets")
    with pytest.raises(TypeError):
        load("magnets")[0]["slope"] = 0.0  # type: ignore[index]
