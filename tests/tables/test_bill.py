"""What is bought: the table as it was typed in, in groups of a closed list, from memory and saying so."""

from __future__ import annotations

import pytest

from headrace.machine.naming import ENDINGS
from headrace.tables import load, sources
from headrace.wiring.bill import GROUPS
from headrace.wiring.bill_line import METRE
from headrace.wiring.cuts import FOR, PRESSED, SENSE_WIRE

ROWS = load("bill")
WHEN = (
    *(
        "",
        "pack",
        "cells",
        "batteries",
        "socket",
        "supply",
        "wires",
        "lugs",
        "ferrules",
        "alternating",
        "tried",
        "mains",
    ),
    "the file",
)


def test_the_table_is_the_one_we_typed_in() -> None:
    assert len(ROWS) == len({row["name"] for row in ROWS}) == 77
    assert sum(row["count"] for row in ROWS if row["count"] == row["count"]) == 33
    assert sum(row["spare"] for row in ROWS) == pytest.approx(7.53)


def test_groups_and_words_are_of_closed_lists() -> None:
    assert list(dict.fromkeys(row["group"] for row in ROWS)) == list(GROUPS)
    assert {row["sold"] for row in ROWS} == {METRE, "by the piece"}
    assert {row["for"] for row in ROWS} == set(WHEN)


def test_only_what_stands_in_every_such_list_has_a_count_of_its_own() -> None:
    for row in ROWS:
        if row["group"] in ("tools", "protection of people"):
            assert row["count"] >= 1, row["name"]
        if row["for"] == "the file" or row["sold"] == METRE:
            assert row["count"] != row["count"], row["name"]


def test_cable_of_no_known_size_and_its_ends_have_their_rows() -> None:
    names = {row["name"] for row in ROWS}
    assert {f"cable for {what}" for carries, what in FOR.items() if carries != "sense"} | {SENSE_WIRE} <= names
    ends = {f"lugs for {what}" for carries, what in FOR.items() if carries != "sense"}
    ends |= {f"ferrules for {FOR[carries]}" for carries in ("motor", "feed", "control", "charge", "sense")}
    ends.add("push-on sleeves for control")
    assert ends <= names
    assert all(name.startswith(PRESSED) for name in ends)


def test_no_name_ends_like_a_unit() -> None:
    """An address drops what looks like a unit at its end."""
    assert not [row["name"] for row in ROWS if any(str(row["name"]).endswith(f"_{unit}") for unit in ENDINGS)]


def test_it_is_from_memory_and_says_so() -> None:
    (key,) = {row["source"] for row in ROWS}
    note = sources()[key]
    assert (note.kind, note.seen) == ("trade-practice", "memory")
    assert "no source" in note.checked
