"""The brake on release as it is wired: closed at rest, open while the control is held, and never across the source.

A resistor across a motor that turns as a generator brakes it: Kirchhoff's laws on the netlist, by what is connected.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.netlist_record import netlist_record
from headrace.findings import Evidence
from headrace.machine import read
from headrace.machine.joins import kind_by_name
from headrace.physics.fusing import withstand
from headrace.wiring.netlist import Netlist, Wire
from headrace.wiring.rules import connected, faults, fed
from tests.machines import evidence_of
from tests.wiring.machines import ALL, lines, lists
from tests.wiring.machines import evidence as wired

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
COIL = ("held control.out", "blade brake relay.coil-plus")


@cache
def evidence(name: str) -> Evidence:
    return design.evidence(read(EXAMPLES / name).machine)


def joined(found: Evidence) -> Netlist:
    assert found.netlist is not None
    return found.netlist


def one(value: Any) -> float:
    return float(np.asarray(value).flat[0])


def test_its_resistor_lies_across_the_motor_when_its_contact_is_closed_and_only_then() -> None:
    found = joined(evidence("alley-mower.toml"))
    shut, open_ = (
        connected(found, ("contactor", "resistor")),
        connected(found, ("contactor", "resistor", "brake relay")),
    )
    resistor = "blade brake resistor"
    assert shut[f"{resistor}.in"] == shut["blade motor.a"]
    assert shut[f"{resistor}.out"] == shut["blade motor.b"]
    assert open_[f"{resistor}.in"] != open_["blade motor.a"]
    assert shut["blade motor.a"] != shut["blade motor.b"]  # never shorted outright


def test_with_everything_closed_it_meets_neither_end_of_the_pack() -> None:
    side = connected(joined(evidence("alley-mower.toml")), ())
    for end in ("blade brake relay.in", "blade brake relay.out", "blade brake resistor.out"):
        assert side[end] not in (side["pack.plus"], side["pack.minus"])


@pytest.mark.parametrize("kind", ["control", "stop", "isolator", "fuse"])
def test_letting_go_and_losing_the_pack_both_let_its_contact_close(kind: str) -> None:
    """Its coil keeps the contact open: without volts it closes by itself, so that it brakes unplugged as well."""
    found = joined(evidence("alley-mower.toml"))
    coil = ("blade brake relay.coil-plus", "blade brake relay.coil-minus")
    assert fed(connected(found, ()), *coil)
    assert not fed(connected(found, (kind,)), *coil)


@pytest.mark.parametrize(
    ("feed", "rules"),
    [
        ("emergency stop.out", {"not-let-go"}),
        ("control fuse.out", {"not-let-go", "not-stopped"}),
        ("fuse.out", {"not-let-go", "not-stopped", "not-isolated"}),
    ],
)
def test_a_coil_fed_past_a_control_is_found_because_then_it_does_not_brake(feed: str, rules: set[str]) -> None:
    found = joined(evidence("alley-mower.toml"))
    wires = tuple(Wire((feed, COIL[1])) if wire.ends == COIL else wire for wire in found.wires)
    broken = faults(replace(found, wires=wires))
    assert {fault.rule for fault in broken} == rules
    assert any("does not brake" in fault.says for fault in broken)


def test_a_resistor_joined_across_the_source_is_found() -> None:
    found = joined(evidence("alley-mower.toml"))
    moved = {"blade brake relay.in": "contactor.out", "blade brake resistor.out": "board.load"}
    left = [wire for wire in found.wires if not set(wire.ends) & set(moved)]
    wires = (*left, *(Wire((place, end)) for end, place in moved.items()))
    assert "turned-round" in {fault.rule for fault in faults(replace(found, wires=wires))}


def test_it_bears_the_amps_at_release_and_the_joules_of_one_stop() -> None:
    """As the stop is told: Ohm's law at release, and what of the spin ends in the resistor."""
    found = evidence("alley-mower.toml")
    (stop,) = found.stops
    assert stop.planned is not None
    record = netlist_record(found)["netlist"]["parts"]
    resistor = next(part for part in record if part["name"] == "blade brake resistor")
    assert resistor["resistance_ohm"] == pytest.approx(0.3)  # safety.brake_resistance of the file
    assert resistor["takes_J"] == pytest.approx(one(stop.planned.heat))
    assert resistor["current_A"] == pytest.approx(one(stop.planned.peak_current))
    assert resistor["takes_J"] < one(stop.spin_energy)
    relay = next(part for part in record if part["kind"] == "brake relay")
    assert "before the contactor closes" in relay["note"]


def test_the_shopping_list_and_the_cut_list_have_both() -> None:
    bill, cut = lists("alley-mower")
    found = lines(bill)
    assert found["blade brake relay"]["parts"] == ["blade brake relay"]
    ratings = {rating["name"]: rating for rating in found["blade brake resistor"]["ratings"]}
    assert ratings["of"]["value_ohm"] == pytest.approx(0.3)
    assert ratings["takes in one stop"]["value_J"] > 0.0
    pieces = [piece for piece in cut["pieces"] if "brake" in piece["name"] and piece["carries"] == "motor"]
    assert len(pieces) == 3
    motor = next(piece for piece in cut["pieces"] if piece["from"] == "blade controller.motor-a")
    assert {piece["area_m2"] for piece in pieces} == {motor["area_m2"]}


def test_a_motor_of_three_phases_has_no_resistor_and_its_controller_is_told() -> None:
    found = evidence("strip-mower.toml")
    assert not [part.name for part in joined(found).parts if "brake" in part.name]
    record = netlist_record(found)["netlist"]["parts"]
    (box,) = (part for part in record if part["kind"] == "three-phase controller")
    assert "brake on release" in box["note"]


def test_where_nothing_cuts_and_no_brake_is_planned_there_is_none() -> None:
    assert not [part.name for part in joined(evidence_of("pump")).parts if "brake" in part.name]
    assert evidence_of("pump").brakes == ()


def test_a_file_may_name_it_and_its_kind_is_not_that_of_another_relay() -> None:
    assert kind_by_name("blade brake relay") == "brake relay"
    assert kind_by_name("lamp relay") == "relay"
    assert kind_by_name("mill mains breaker") == "mains breaker"


# --- behind an inverter ------------------------------------------------------------------------------


def test_behind_an_inverter_stand_a_breaker_for_both_poles_and_the_protective_conductor() -> None:
    """13 A are what 3000 W at 230 V take; neither pole gets past the breaker."""
    found = joined(evidence("cider-mill/inverter.toml"))
    breaker, switch = (
        next(part for part in found.parts if part.kind == kind) for kind in ("mains breaker", "mains switch")
    )
    for part in (breaker, switch):
        assert one(part.current) == pytest.approx(3000.0 / 230.0)
        assert one(part.voltage) == 230.0
    assert "licensed practice" in breaker.note
    side = connected(found, ())
    for pole in ("live", "neutral"):
        assert side[f"mill inverter.{pole}"] == side[f"mill mains breaker.{pole}-in"]
        assert side[f"mill inverter.{pole}"] != side[f"mill motor.{pole}"]
    assert side["mill inverter.earth"] == side["mill motor.earth"]
    assert side["mill inverter.earth"] not in (side["pack.plus"], side["pack.minus"], side["mill inverter.live"])
    assert faults(found) == ()


def test_one_stop_hardly_warms_the_wires_of_a_brake() -> None:
    """I²t of a stop is its heat over the resistor's ohms; k of copper under PVC, 115 A·√s/mm², IEC 60364-4-43, 43A."""
    seen = 0
    for name in ALL:
        found = wired(name)
        for brake in () if found.netlist is None or found.guard is None else found.guard.brakes:
            if brake.by_controller:
                continue
            resistor = f"{brake.chain} brake resistor."
            wires = [wire for wire in joined(found).wires if any(end.startswith(resistor) for end in wire.ends)]
            let_through = one(brake.brake.heat) / one(brake.brake.resistance)
            assert let_through < 0.01 * min(one(withstand(wire.area, 115e6)) for wire in wires), name
            seen += len(wires)
    assert seen >= 2
