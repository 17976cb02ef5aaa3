"""What is joined to what: a part or a terminal that is not there is refused at its line."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read_text, starter
from headrace.machine.problems import Problem


def problems(values: dict[str, Any], text: str = "") -> list[Problem]:
    with pytest.raises(MachineFileError) as caught:
        read_text(edit(text or starter("mower"), values))
    return list(caught.value.problems)


@pytest.mark.parametrize(
    ("end", "says", "hint"),
    [
        ("pakc.plus", "names no part of this machine", "pack"),
        ("blade contoller.plus", "names no part of this machine", "blade controller"),
        ("pack.pluss", "is no terminal of the pack", "plus"),
        ("left fuse.middle", "is no terminal of the left fuse", ""),
        ("blade controller.coil-plus", "is no terminal of the blade controller", "plus"),
    ],
)
def test_a_terminal_that_is_not_there_is_refused(end: str, says: str, hint: str) -> None:
    (only,) = problems({"wiring.joins": [["pack.minus", end]]})
    assert only.line > 0
    assert says in only.limit
    assert hint in only.hint


@pytest.mark.parametrize("ends", [["pack.plus"], ["pack.plus", "fuse.in", "fuse.out"], ["pack", "fuse.in"]])
def test_a_wire_has_two_ends_each_of_a_part(ends: list[str]) -> None:
    assert problems({"wiring.joins": [ends]})


@pytest.mark.parametrize(
    "values",
    [
        {"wiring.joins": [["pack.plus", "left fuse.in"], ["left fuse.out", "blade controller.plus"]]},
        {"wiring.joins": [["blade controller.motor-c", "blade motor.c"]]},
    ],
)
def test_other_fuses_and_a_third_phase_may_be_named(values: dict[str, Any]) -> None:
    assert read_text(edit(starter("mower"), values)).machine.wiring is not None


def test_an_auxiliary_is_a_part() -> None:
    lamp = {"auxiliaries": [{"name": "lamp", "power": "12 W"}], "wiring.joins": [["lamp fuse.out", "lamp.plus"]]}
    assert read_text(edit(starter("mower"), lamp)).machine.wiring is not None


def test_the_plug_has_a_pin_more_than_groups_and_no_boundary_past_the_last() -> None:
    (only,) = problems({"wiring.sense": [0, 1, 2]})
    assert "11 pins" in only.limit
    (only,) = problems({"wiring.sense": [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 11]})
    assert "0 to 10" in only.limit


def test_a_supply_has_no_wiring_of_its_own() -> None:
    text = starter("mower")
    cells = text[text.index("[source]") : text.index("# --- how it stands")]
    supply = '[source]\nkind = "bench-supply"\nvoltage = "42 V"\ncurrent = "60 A"\n\n'
    (only,) = problems({"wiring.joins": [["pack.plus", "fuse.in"]]}, text.replace(cells, supply))
    assert only.key == "wiring"
