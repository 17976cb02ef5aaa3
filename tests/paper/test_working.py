"""The working behind a headline, as lines to read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from headrace.design import evidence, solve
from headrace.design.workings import addresses, tree, units, worked_judged, worked_record, working_at
from headrace.paper import words
from headrace.paper.working import MOST, lines, told
from headrace.physics.working import Traced
from tests.machines import alley
from tests.paper.records import working


def test_a_working_names_the_number_the_law_the_formula_and_where_its_leaves_come_from() -> None:
    found = lines(working(), "mower.toml")
    assert found["says"] == "energy = 3.888e+06 J"
    assert found["how"] == "energy of"
    assert str(found["formula"]) == "E = (Q<sub>0</sub> U)/(2) &lt;1&gt;"
    (leaf,) = found["inputs"]
    assert leaf["says"] == "the cell's capacity = 100 C"
    assert leaf["how"] == "datasheet, 90 to 110: the machine file (mower.toml, line 41)"
    assert leaf["inputs"] == []


@cache
def record() -> Any:
    return worked_record(solve(alley()))


@cache
def example() -> dict[str, Any]:
    """Return the workings of every fifth number of the example in words."""
    known, unit = addresses(record()), units(record())
    some = [address for address in known if not address.startswith("trace.")][::5]
    found = {address: working_at(known, address) for address in some}
    return {a: told(tree(node, address=a, unit=unit[a]), "mower.toml") for a, node in found.items() if node is not None}


def every(line: dict[str, Any]) -> Iterator[dict[str, Any]]:
    yield line
    for part in line["inputs"]:
        yield from every(part)


PROGRAM = re.compile(
    r"[a-z]_[a-z]|[a-z]\.\d|[a-z]\.[a-z]|\b(mul|add|sub|truediv|neg|interp|values|constant constant)\b"
)


def test_no_line_of_a_working_names_what_only_the_program_does() -> None:
    for address, found in example().items():
        for line in every(found):
            name, said = line["says"].rpartition(" = ")[0], line["how"]
            assert not PROGRAM.search(name), (address, line["says"])
            assert not PROGRAM.search(said.partition(": ")[0]), (address, said)


def test_a_sum_with_nothing_in_it_is_not_told_and_a_term_without_a_name_is_what_it_is_the_sum_of() -> None:
    says = [line["says"] for found in example().values() for line in every(found)]
    hows = [line["how"] for found in example().values() for line in every(found)]
    assert any(" × " in line.rpartition(" = ")[0] for line in says)
    assert not any(
        line.startswith("0 + ") or line.endswith(" + 0") for line in [*hows, *(s.rpartition(" = ")[0] for s in says)]
    )


def number(name: str, value: float, says: str = "", *inputs: dict[str, Any]) -> dict[str, Any]:
    own = {"name": name, "value": value, "says": says, "unit": "W", "kind": "arithmetic" if inputs else "search"}
    return {**own, "address": None, "inputs": list(inputs), "repeated": False}


def test_a_row_of_sums_is_one_sum_and_what_is_taken_up_again_keeps_its_line() -> None:
    a, b, c = (number(f"{k}", float(k), f"a power of {k}, searched") for k in (1, 2, 4))
    inner = number("1", 3.0, "add", a, b)
    total = told({**number("1", 7.0, "add", inner, c), "address": "losses.power_in_W"}, "mower.toml")
    assert total["how"] == "1 W + 2 W + 4 W"
    assert len(total["inputs"]) == 3
    again = {**inner, "inputs": [], "repeated": True}
    kept = number("1", 10.0, "add", number("1", 7.0, "add", inner, c), number("2", 9.0, "mul", again, c))
    assert "3 W + 4 W" in told(kept, "mower.toml")["says"]


def test_a_number_worked_out_of_one_of_the_file_says_so_once() -> None:
    for line in (line for found in example().values() for line in every(found)):
        assert line["how"].count("machine file") <= 1, line
        assert not re.search(r"\([\w-]+-\d{4}[\w-]*\)", line["how"]), line


def test_what_is_added_up_is_in_the_unit_of_the_sum() -> None:
    known, unit = addresses(record()), units(record())
    address = next(a for a in known if a.startswith("swings.") and a.endswith(".width"))
    node = working_at(known, address)
    assert node is not None
    found = told(tree(node, address=address, unit=unit[address]), "mower.toml")
    assert unit[address] == "W"
    assert all(line["says"].endswith(" W") for line in every(found))


def test_a_long_working_is_cut_where_it_is_deepest_and_says_so() -> None:
    long = working()
    leaf = long["inputs"][0]
    long["inputs"] = [{**leaf, "inputs": [leaf] * 20} for _ in range(20)]
    found = lines(long, "mower.toml")
    assert len(found["inputs"]) == 20
    assert all(part["cut"] and not part["inputs"] for part in found["inputs"])
    assert MOST < 1 + 20 + 400


def test_a_band_says_its_unit_once_and_a_number_without_a_band_says_nothing() -> None:
    assert words.spread({"typical": 5280.0, "low": 2820.0, "high": 7380.0}, words.minutes) == "47 to 123"
    assert words.spread({"typical": 5280.0, "low": 60.0, "high": 7380.0}, words.minutes) == "60 s to 123 min"
    assert words.spread({"typical": 100.0, "low": 99.9, "high": 100.1}, words.watts) == ""
    assert words.spread(5280.0, words.minutes) == ""


def test_workings_speak_the_words_of_the_trade() -> None:
    said = [text for found in example().values() for line in every(found) for text in (line["says"], line["how"])]
    for inside in ("lane by lane", "one of the four days", "as a power", "left open"):
        assert not any(inside in text for text in said), inside
    assert "the file sets none" in said
    assert any(text.startswith("torque that falls as speed grows = ") for text in said)


def test_the_numbers_of_a_reason_say_which_day_they_are_of() -> None:
    plan = alley()
    judged = worked_judged(plan, evidence(plan))
    nodes = [part for v in judged for n in (v.at(()).value,) if isinstance(n, Traced) for part in n.node.all()]
    words = [node.name for node in nodes if node.kind == "march"]
    assert any("a day with worn cells in the hottest weather" in name for name in words)
    least = next(node for node in nodes if node.name == "least")
    assert told(tree(least), "mower.toml")["how"].startswith("least of several numbers")


def test_what_rounds_to_nothing_is_nothing_without_a_sign() -> None:
    said = [
        words.percent(-0.004),
        words.watts(-0.04),
        words.plain(-0.004, "V", 2),
        words.celsius(273.0),
        words.rpm(-0.01),
    ]
    assert said == ["0 %", "0.0 W", "0.00 V", "0 °C", "0 rpm"]
    assert [words.percent(-0.006), words.plain(-0.02, "V", 2)] == ["-1 %", "-0.02 V"]  # a sign that is there is said


def test_the_constant_of_a_motor_is_not_told_as_a_steady_part() -> None:
    def node(name: str) -> dict[str, Any]:
        return {"name": name, "kind": "march", "says": "", "value": 0.1, "unit": "V·s/rad", "inputs": []}

    assert told(node("trains.0.constant"), "mower.toml")["says"].startswith("motor constant")
    assert told(node("trains.0.current.constant"), "mower.toml")["says"].startswith("current at every speed")
