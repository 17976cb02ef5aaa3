"""Board, pre-charge, switches and sense plug in words: the numbers of the record, and nothing of what is not there."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from headrace.design.protection_record import protection_record
from headrace.paper.protection import brief, joints, protection
from tests.machines import evidence_of, started


@cache
def record(name: str) -> dict[str, Any]:
    return protection_record(started(name), evidence_of(name))


def test_the_sentences_say_what_the_record_holds() -> None:
    said, found = " ".join(protection(record("mower"))), record("mower")
    bare, one = found["pre_charge"]["bare"], found["pre_charge"]["proposed"]
    assert "as the file names none" in said
    assert f"carries {found['board']['opens_at']['continuous_A']:.0f} A for long" in said
    assert f"lets {bare['current_A']:.0f} A into 1 mF, a spark of {bare['energy_J']:.1f} J" in said
    assert f"through {one['resistance_ohm']:.0f} Ω" in said
    assert f"breaks up to {found['switches']['breaks_A']:.0f} A" in said
    assert "pin 10, 42.0 V or" in said
    assert f"within {found['sense']['side_by_side']['gap_V']:.2f} V" in said


def test_batteries_have_no_board_and_no_pins_but_a_pre_charge_of_the_file() -> None:
    said = " ".join(protection(record("corded")))
    assert "lead-acid batteries have none" in said
    assert "The pre-charge fills them through 100 Ω" in said
    assert "Sense plug" not in said
    assert "Beside another pack like it" in said
    assert "board of its own" not in said
    assert "each with a board of its own" in " ".join(protection(record("mower")))


def test_each_joint_has_its_millivolts() -> None:
    one = record("mower")["switches"]["joints"][0]
    volts, amps = f"{1e3 * one['drop_V']:.1f} mV", f"{one['current_A']:.0f} A"
    (said,) = joints(record("mower"))
    assert said == f"Across each good joint of the lugs stand {volts} at {amps}; twice that is a bad one."


@pytest.mark.parametrize(
    ("seconds", "said"), [(43e-6, "43 µs"), (0.0406, "41 ms"), (2.0, "2.0 s"), (None, "as long as the work")]
)
def test_times_are_told_from_microseconds_up(seconds: float | None, said: str) -> None:
    assert brief(seconds) == said


def test_the_fuse_of_each_of_two_packs_is_said_with_its_numbers() -> None:
    pair = record("mower")["sense"]["side_by_side"]
    own, said = pair["fuse"], protection(record("mower"))[-1]
    assert f"{own['rating_A']:.0f} A, {own['speed']}, {own['max_voltage_V']:.0f} V of direct current" in said
    assert f"breaks {own['breaking_capacity_A']:.0f} A ({own['class']})" in said
    assert f"both together give {own['short_circuit_A']:.0f} A into a short" in said
    assert f"need {1e6 * own['wire_needed_m2']:.3g} mm² for it" in said


def test_a_pair_that_no_class_of_fuse_breaks_is_said_with_whom_to_ask() -> None:
    found = record("mower")
    none = {**found["sense"]["side_by_side"]["fuse"], "rating_A": None, "reason": "no class of the shelf does it"}
    sense = {**found["sense"], "side_by_side": {**found["sense"]["side_by_side"], "fuse": none}}
    said = protection({**found, "sense": sense})[-1]
    assert "Ask somebody licensed: no class of the shelf does it." in said
