"""Board and pre-charge: what is refused at its line, and what stands for a number that the file leaves out."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.errors import MachineFileError
from headrace.machine import edit, read_text, starter
from headrace.machine.protection import Board
from headrace.machine.records import Machine


def read(values: dict[str, Any], name: str = "mower") -> Machine:
    return read_text(edit(starter(name), values)).machine


def board(values: dict[str, Any], name: str = "mower") -> Board:
    found = read(values, name).board
    assert found is not None
    return found


def test_a_board_left_out_is_for_what_its_cells_give_for_long() -> None:
    usual = board({})
    assert not usual.planned
    assert usual.continuous == pytest.approx(7 * 10.0)  # seven cells of 10 A
    assert usual.continuous < usual.peak < usual.short_circuit
    assert usual.under_voltage == 2.5
    assert usual.over_voltage == pytest.approx(4.2 * 1.0125)


def test_what_a_board_leaves_out_follows_from_what_it_says() -> None:
    given = board({"board.continuous": "30 A"})
    assert given.planned
    assert (given.continuous, given.peak, given.short_circuit) == (30.0, 60.0, 150.0)


def test_the_label_of_a_ready_made_pack_is_its_board() -> None:
    assert board({"source.current_limit": "40 A"}).continuous == 40.0


def test_lead_acid_has_a_board_only_where_the_file_names_one() -> None:
    assert read({}, "corded").board is None
    assert board({"board.continuous": "100 A"}, "corded").planned


@pytest.mark.parametrize(
    ("values", "key"),
    [
        ({"board.continuous": "60 A", "board.peak": "50 A"}, "board.peak"),
        ({"board.peak": "120 A", "board.short_circuit": "120 A"}, "board.short_circuit"),
        ({"board.continuous": "60 A", "board.short_circuit": "40 A"}, "board.short_circuit"),
        ({"board.under_voltage": "4.3 V", "board.over_voltage": "4.2 V"}, "board.over_voltage"),
    ],
)
def test_thresholds_come_in_order(values: dict[str, Any], key: str) -> None:
    with pytest.raises(MachineFileError) as caught:
        read(values)
    assert [problem.key for problem in caught.value.problems] == [key]
    assert "must be above" in caught.value.problems[0].limit


@pytest.mark.parametrize("key", ["board", "pre_charge"])
def test_a_supply_has_neither(key: str) -> None:
    text = starter("mower")
    cells = text[text.index("[source]") : text.index("# --- how it stands")]
    supply = '[source]\nkind = "bench-supply"\nvoltage = "42 V"\ncurrent = "60 A"\n\n'
    value = {"board": {"board.continuous": "60 A"}, "pre_charge": {"pre_charge.resistance": "100 ohm"}}[key]
    with pytest.raises(MachineFileError) as caught:
        read_text(edit(text.replace(cells, supply), value))
    assert [problem.key for problem in caught.value.problems] == [key]
