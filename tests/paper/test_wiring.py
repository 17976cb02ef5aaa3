"""The words for wires and the main fuse say what the record holds, and name every way a short circuit ends."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from headrace import design
from headrace.design.wiring_record import wiring_record
from headrace.machine import edit, read_text, starter
from headrace.paper.wiring import BECOMES, DECIDED, SIDES, conductor, fuse
from headrace.wiring.fuse import ARCS, MELTED, SAFE, SPOILED, UNCUT

CELLS = {"source": "cells"}
FUSE = {"fuse__rating": "50 A", "fuse__kind": "stud-block", "fuse__max_voltage": "58 V"}


@cache
def record(**changes: Any) -> dict[str, Any]:
    text = edit(starter("mower"), {key.replace("__", "."): value for key, value in changes.items()})
    plan = read_text(text, file="mower.toml").machine
    return wiring_record(plan, design.evidence(plan))


def test_a_run_is_told_with_the_size_it_needs_and_what_decided() -> None:
    one, _ = record()["conductors"]
    said = conductor(one, CELLS)
    assert f"{1e6 * one['needed_m2']:.3g} mm²" in said
    assert DECIDED[one["decided"]] in said
    assert f"of gauges {one['gauge']} does" in said
    assert f"{1000.0 * one['drop_V']:.0f} mV" in said
    assert one["source"] in said


def test_a_run_too_much_for_any_size_is_said_to_be() -> None:
    one, _ = record(chains__blade__cable__length="150 m")["conductors"]
    assert one["needed_m2"] is None
    assert "no size of its table does" in conductor(one, CELLS)


@pytest.mark.parametrize(
    ("source", "side"),
    [
        ("cells", "pack's side"),
        ("batteries", "pack's side"),
        ("wall-socket", "socket's side"),
        ("bench-supply", "supply's side"),
    ],
)
def test_the_side_a_run_is_drawn_from_goes_by_the_source(source: str, side: str) -> None:
    one, _ = record()["conductors"]
    assert one["side"] == "source"
    assert f", {side}: " in conductor(one, {"source": source})


def test_every_side_and_decision_has_words() -> None:
    assert set(SIDES) == {"motor", "feed"}
    assert set(DECIDED) == {"heat", "drop", "both", "fuse", "limit"}
    assert set(BECOMES) == {SAFE, SPOILED, MELTED, UNCUT, ARCS}


def test_a_fuse_is_said_to_be_planned_only_where_the_file_has_it() -> None:
    proposed, planned = (record(**changes)["fuse"] for changes in ({}, FUSE))
    assert fuse(proposed)[0].startswith("The file has a fuse but does not say which. From the shelf")
    assert fuse(planned)[0].startswith("Main fuse as planned: 50 A")
    assert "local codes come first" in fuse(planned)[-1]
    assert fuse(None) == []


@pytest.mark.parametrize("rating", ["50 A", "90 A", "300 A"])
def test_a_short_circuit_is_told_to_its_end(rating: str) -> None:
    found = record(**{**FUSE, "fuse__rating": rating})["fuse"]
    story = fuse(found)[-1]
    for end in ("full", "empty"):
        assert f"{found[end]['current_A']:.0f} A" in story
    assert ("nothing promises" in story) == (found["empty"]["opens_after_s"] is None)


@pytest.mark.parametrize("amiss", [{"fuse__max_voltage": "32 V"}, {"fuse__breaking_capacity": "300 A"}])
def test_a_fuse_that_cannot_break_is_promised_no_opening(amiss: dict[str, str]) -> None:
    found = record(**{**FUSE, **amiss})["fuse"]
    story = fuse(found)[-1]
    assert "opens within" in fuse(record(**FUSE)["fuse"])[-1]
    assert "opens within" not in story
    assert story.count("an arc burns on") == 2
    assert found["full"]["opens_after_s"] is found["full"]["wire_temperature_K"] is None


def test_where_no_class_will_do_it_says_so() -> None:
    found = record(source__parallel=60)["fuse"]
    assert found["class"] is None
    assert found["reason"] in fuse(found)[0]
