"""The connecting order in words: a row for each step, with the volts of the record."""

from __future__ import annotations

from typing import Any

from headrace.design.netlist_record import netlist_record
from headrace.paper.connecting import BEFORE, connecting
from tests.machines import evidence_of


def record_of(name: str) -> dict[str, Any]:
    """Return what the connecting order is told of: a plan that no finding is raised against."""
    return {**netlist_record(evidence_of(name)), "findings": []}


def test_every_step_has_its_row_and_says_whether_it_is_live() -> None:
    record = record_of("mower")
    rows = connecting(record)
    assert len(rows) == len(record["connecting"])
    for step, (does, cover, reading, differs) in zip(record["connecting"], rows, strict=True):
        assert does.startswith("Live." if step["live"] else "Dead.")
        assert cover == step["cover"]
        assert bool(differs) == bool(reading) == (step["between"] is not None or bool(step["expects"]))


def test_the_readings_are_those_of_the_record() -> None:
    record = record_of("mower")
    by_name = dict(zip((step["name"] for step in record["connecting"]), connecting(record), strict=True))
    steps = {step["name"]: step for step in record["connecting"]}
    assert by_name["pack"][2].endswith(f": 42.0 V full, {steps['pack']['half_V']:.1f} V half full")
    assert "4.20 V full" in by_name["sense"][2]
    assert by_name["isolator"][2] == "contactor.out and board.load: 0 V"
    assert by_name["pre-charge"][2].endswith(f"{steps['pre-charge']['full_V']:.1f} V at most")
    assert by_name["charger"][2].endswith(": 42.0 V")
    assert by_name["apart"][2] == ""


def test_the_pack_is_read_rested_for_as_long_as_it_takes() -> None:
    """Told as on the charging card: it is a condition of the reading, not another one."""
    for name, rest in (("mower", "2.0 h"), ("corded", "24 h")):
        (step,) = (one for one in record_of(name)["connecting"] if one["rested_s"] is not None)
        assert (step["name"], step["expects"], step["rested_reason"]) == ("pack", [], None)
        assert by_name(name)["pack"][2].startswith(f"pack.plus and pack.minus, rested for {rest}: ")
    assert all(one["rested_reason"] for one in record_of("mower")["connecting"] if one["rested_s"] is None)


def by_name(name: str) -> dict[str, tuple[str, str, str, str]]:
    found = record_of(name)
    return dict(zip((step["name"] for step in found["connecting"]), connecting(found), strict=True))


def test_the_brake_is_tried_before_any_work() -> None:
    """Mower: to a stand within the three seconds of its rule, from the speed that its full pack gives it."""
    rows, timed = by_name("mower"), evidence_of("mower").stops[0].timed
    assert list(rows)[-2:] == ["run free", "work"]
    read = rows["run free"][2]
    assert f"blade stands after, braked: {float(timed.braked_time):.1f} s" in read
    assert "blade has to stand within: 3.0 s" in read
    assert "speed of blade: " in read
    assert "no work until its brake is mended" in rows["run free"][3]


def test_a_cart_is_off_its_wheels_and_a_pump_never_runs_free() -> None:
    assert "the driven wheels off the ground" in by_name("cart")["run free"][0]
    pump = by_name("pump")
    assert "run free" not in pump
    assert "pump never dry" in pump["work"][0]


def test_the_mains_side_of_an_inverter_is_tried_by_who_may() -> None:
    """The netlist has wires from the inverter to breaker, switch and motor, and no socket."""
    does, cover, read, differs = by_name("corded")["mains side of mill inverter"]
    assert "mill switch off: who may work on the mains" in does
    assert "residual-current device" in does
    assert read.startswith("mill mains breaker.live-out and mill mains breaker.neutral-out")
    assert read.endswith(": 230.0 V")
    assert not [said for said in (does, cover, read, differs) if "socket" in said or "plugged" in said]
    assert not [name for name in by_name("mower") if name.startswith("mains side")]
    assert "power-up" not in by_name("corded")  # nothing of it is run without the pack


def test_words_of_lithium_are_not_said_of_batteries() -> None:
    said = " ".join(" ".join(row) for row in by_name("corded").values())
    assert "sense plug" not in said
    assert "batteries miscounted" in said
    assert "cells miscounted" not in said
    assert "lithium" not in BEFORE.lower()


def test_without_a_pack_there_is_nothing_to_connect() -> None:
    assert connecting({"connecting": []}) == []
    assert connecting({}) == []
