"""The working behind a headline, as lines to read."""

from __future__ import annotations

from headrace.paper import words
from headrace.paper.working import MOST, lines
from tests.paper.records import working


def test_a_working_names_the_number_the_law_the_formula_and_where_its_leaves_come_from() -> None:
    found = lines(working(), "mower.toml")
    assert found["says"] == "energy = 3.888e+06 J"
    assert found["how"] == "energy of"
    assert str(found["formula"]) == "E = (Q<sub>0</sub> U)/(2) &lt;1&gt;"
    (leaf,) = found["inputs"]
    assert leaf["says"] == "capacity = 100 C"
    assert leaf["how"] == "datasheet, 90 to 110: the machine file (mower.toml, line 41)"
    assert leaf["inputs"] == []


def test_a_long_working_is_cut_where_it_is_deepest_and_says_so() -> None:
    tree = working()
    leaf = tree["inputs"][0]
    tree["inputs"] = [{**leaf, "inputs": [leaf] * 20} for _ in range(20)]
    found = lines(tree, "mower.toml")
    assert len(found["inputs"]) == 20
    assert all(part["cut"] and not part["inputs"] for part in found["inputs"])
    assert MOST < 1 + 20 + 400


def test_a_band_says_its_unit_once_and_a_number_without_a_band_says_nothing() -> None:
    assert words.spread({"typical": 5280.0, "low": 2820.0, "high": 7380.0}, words.minutes) == "47 to 123"
    assert words.spread({"typical": 5280.0, "low": 60.0, "high": 7380.0}, words.minutes) == "60 s to 123 min"
    assert words.spread({"typical": 100.0, "low": 99.9, "high": 100.1}, words.watts) == ""
    assert words.spread(5280.0, words.minutes) == ""
