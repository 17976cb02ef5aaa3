"""Small circuits: each small fuse carries its load, each thin wire its fuse, and no sense wire is without one.

A wire is protected against overload where the rating of its fuse is no more than what the wire carries: IEC 60364-4-43,
433.1. The quarter on the load and the ampere of a sense wire are common practice (``sources.toml``).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.netlist_record import netlist_record
from headrace.findings import Evidence
from headrace.machine import edit, read_text, starter
from headrace.tables import load
from headrace.wiring.ampacities import listed
from headrace.wiring.branches import sense_fuse, small_fuse
from headrace.wiring.netlist import Netlist
from headrace.wiring.netlist_parts import Part
from headrace.wiring.rules import connected
from tests.machines import evidence_of

PACKED = ("mower", "tiller", "auger", "saw", "chipper", "fan", "pump", "winch", "cart", "shaft", "measured", "corded")
RATINGS = [float(row["rating"]) for row in load("fuse_ratings")]


def plan(**values: Any) -> Evidence:
    changed = {key.replace("__", "."): value for key, value in values.items()}
    return design.evidence(read_text(edit(starter("mower"), changed)).machine)


def joined(evidence: Evidence) -> Netlist:
    assert evidence.netlist is not None
    return evidence.netlist


def part(found: Netlist, name: str) -> Part:
    return next(one for one in found.parts if one.name == name)


def one(value: Any) -> float:
    return float(np.asarray(value).flat[0])


@pytest.mark.parametrize("name", PACKED)
def test_every_thin_wire_carries_its_fuse_in_the_hottest_weather_and_the_next_smaller_does_not(name: str) -> None:
    evidence = evidence_of(name)
    found, wire = joined(evidence), evidence.fused and evidence.fused.asked.wire
    table, hot = wire.rated_by if wire else "iec-surface", evidence.machine.limits.ambient_hot
    sizes = sorted(float(row["area"]) for row in load("conductors_iec60228_class5"))
    thin = [wire for wire in found.wires if wire.carries in ("control", "charge", "sense")]
    assert thin
    for wire_ in thin:
        rating, area = one(part(found, wire_.fuse).current), one(wire_.area)
        assert rating <= one(listed(table, area).carries(hot)), wire_.ends
        below = [size for size in sizes if size < area]
        assert not below or one(listed(table, below[-1]).carries(hot)) < rating, wire_.ends


@pytest.mark.parametrize("name", PACKED)
def test_every_small_fuse_carries_a_quarter_more_than_its_load_and_the_next_smaller_does_not(name: str) -> None:
    evidence = evidence_of(name)
    found = joined(evidence)
    assert evidence.machine.charger is not None
    assert evidence.guard is not None
    for fuse, load_ in (
        ("control fuse", evidence.guard.switches.coils),
        ("charge fuse", evidence.machine.charger.current),
    ):
        rating = one(part(found, fuse).current)
        assert rating >= 1.25 * one(load_)
        assert rating == min(RATINGS) or max(amps for amps in RATINGS if amps < rating) < 1.25 * one(load_)


def test_stop_and_held_control_break_all_coils_and_are_made_for_their_fuse() -> None:
    """13 W of contactor and thrice 1.8 W of relay (the table): pre-charge, delay, brake; at 25 V 0.736 A in all."""
    evidence = evidence_of("mower")
    assert evidence.guard is not None
    assert one(evidence.guard.switches.coils) == pytest.approx((13.0 + 3 * 1.8) / 25.0)
    for name in ("emergency stop", "held control", "delay relay"):
        assert one(part(joined(evidence), name).current) == one(part(joined(evidence), "control fuse").current) == 5.0


@pytest.mark.parametrize("name", PACKED)
def test_what_stands_behind_a_fuse_is_made_for_all_that_it_lets_through(name: str) -> None:
    """For hours a fuse carries its rating: what is made for less burns before it opens."""
    evidence = evidence_of(name)
    found, fused = joined(evidence), evidence.fused
    assert fused is not None
    pairs = {
        "isolator": "fuse",
        "contactor": "fuse",
        "charge port": "charge fuse",
        "pre-charge relay": "pre-charge fuse",
    }
    there = {one_.name for one_ in found.parts}
    for behind, fuse in pairs.items():
        if behind in there:
            assert one(part(found, behind).current) >= one(part(found, fuse).current), behind
    assert one(part(found, "contactor").current) >= one(fused.asked.rms)
    assert one(part(found, "contactor").current) >= one(fused.asked.peak)
    assert evidence.guard is not None
    contactor = evidence.guard.switches.contactor
    assert contactor is not None
    assert one(contactor.current) >= one(fused.rating)


@pytest.mark.parametrize("name", PACKED)
def test_the_pre_charge_has_thin_wires_and_a_fuse_that_bears_its_pulse(name: str) -> None:
    """Its resistor draws most at first and, with a short behind it, for good: volts over ohms."""
    evidence = evidence_of(name)
    found, guard = joined(evidence), evidence.guard
    assert guard is not None
    if guard.inrush is None:
        assert "pre-charge fuse" not in {one_.name for one_ in found.parts}
        return
    through = guard.planned or guard.proposed
    assert through is not None
    first = one(guard.inrush.voltage) / one(through.resistance)
    assert one(part(found, "pre-charge fuse").current) >= 1.25 * first
    main = max(one(wire.area) for wire in found.wires if wire.carries == "main")
    branch = [wire for wire in found.wires if wire.fuse == "pre-charge fuse"]
    assert len(branch) == 4
    assert all(one(wire.area) < main or main <= 0.5e-6 for wire in branch)


def test_a_lamp_s_wire_is_its_fuse_s_and_a_strong_one_s_is_thicker() -> None:
    """30 W at 25 V ask for 5 A; 400 W for 16 A and a quarter, 20 A: 2.5 mm² carries 27 A in air of 30 °C."""
    lamps = [{"name": "horn", "power": "30 W"}, {"name": "heater", "power": "400 W"}]
    found = joined(plan(auxiliaries=lamps))
    sizes = {wire.fuse: one(wire.area) for wire in found.wires if wire.fuse}
    assert one(part(found, "heater fuse").current) == 20.0
    assert sizes["horn fuse"] == pytest.approx(0.5e-6)
    assert sizes["heater fuse"] > 3.0 * sizes["horn fuse"]
    assert one(part(found, "heater").current) == pytest.approx(16.0)
    ends = [wire.ends for wire in found.wires if wire.fuse == "heater fuse"]
    assert ends == [
        ("isolator.out", "heater fuse.in"),
        ("heater fuse.out", "heater.plus"),
        ("heater.minus", "board.load"),
    ]


@pytest.mark.parametrize(("balancing", "rating"), [("50 mA", 1.0), ("0.8 A", 1.0), ("0.81 A", 5.0), ("5 A", 7.5)])
def test_a_sense_wire_has_an_ampere_or_what_the_balancing_asks_for(balancing: str, rating: float) -> None:
    board = plan(**{"board.balance_current": balancing}).machine.board
    assert board is not None
    assert one(sense_fuse(board)) == rating


def test_every_pin_of_the_pack_meets_a_fuse_and_nothing_else() -> None:
    """Two leads that touch short all groups between them; only a fuse at the pack's end is in that loop."""
    found = joined(evidence_of("mower"))
    side = connected(found)
    for pin in range(11):
        end = f"pack.pin-{pin}"
        met = [other for other, place in side.items() if place == side[end] and other != end]
        assert met == [f"sense {pin} fuse.in"]
        assert side[f"board.pin-{pin}"] == side[f"sense {pin} fuse.out"]


def test_a_sense_fuse_breaks_the_volts_of_the_whole_pack() -> None:
    found = joined(evidence_of("mower"))
    assert {one(fuse.voltage) for fuse in found.of("fuse") if fuse.name.startswith("sense")} == {42.0}


def test_no_board_has_no_sense_fuses() -> None:
    assert not [one.name for one in joined(evidence_of("corded")).parts if one.name.startswith("sense")]


def test_past_the_last_rating_there_is_none() -> None:
    assert one(small_fuse(max(RATINGS) / 1.25)) == max(RATINGS)
    assert np.isnan(one(small_fuse(max(RATINGS))))


def test_each_lane_has_its_own_rating() -> None:
    assert list(np.asarray(small_fuse(np.array([1.0, 5.0, 21.0])))) == [5.0, 7.5, 30.0]


@pytest.mark.parametrize("name", PACKED)
def test_every_part_and_wire_of_the_record_has_its_number_or_the_reason(name: str) -> None:
    record = netlist_record(evidence_of(name))["netlist"]
    for part_ in record["parts"]:
        assert (part_["reason"] is None) == (part_["current_A"] is not None and part_["voltage_V"] is not None)
    for wire in record["wires"]:
        assert (wire["reason"] is None) == (wire["area_m2"] is not None)
        assert wire["area_m2"] is not None or wire["carries"] in ("main", "motor", "feed")
    asked = ("fuse", "isolator", "contactor", "relay", "resistor", "stop", "control", "port", "board", "auxiliary")
    assert all(part_["current_A"] for part_ in record["parts"] if part_["kind"] in asked)
