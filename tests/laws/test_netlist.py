"""What is joined to what: our own wiring keeps every rule, each rule finds what breaks it, and the order fits both."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.netlist_record import netlist_record
from headrace.findings import Evidence, judge, raised
from headrace.machine import edit, read, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.joins import parted
from headrace.machine.records import Machine
from headrace.wiring.built import built
from headrace.wiring.netlist import Netlist, Wire
from headrace.wiring.netlist_parts import Part
from headrace.wiring.rules import RULES, connected, faults, fed, without
from tests.laws.test_dc_dc import winch
from tests.machines import alley, evidence_of, small, started

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
PACKED = ("mower", "tiller", "auger", "saw", "chipper", "fan", "pump", "winch", "cart", "shaft", "measured", "corded")
CONTROLLERS = ("controller", "three-phase controller")
LAMP = {"auxiliaries": [{"name": "lamp", "power": "12 W"}, {"name": "horn", "power": "30 W"}]}


@cache
def ours(name: str) -> Netlist:
    found = evidence_of(name).netlist
    assert found is not None
    return found


def with_lamp() -> Netlist:
    found = design.evidence(read_text(edit(starter("mower"), LAMP)).machine).netlist
    assert found is not None
    return found


def rewired(found: Netlist, old: tuple[str, str], *new: tuple[str, str]) -> Netlist:
    """Return a netlist with one wire taken out and others put in."""
    left = tuple(wire for wire in found.wires if wire.ends != old)
    assert len(left) == len(found.wires) - 1, old
    return replace(found, wires=(*left, *(Wire(ends) for ends in new)))


def broken(found: Netlist) -> set[str]:
    return {fault.rule for fault in faults(found)}


# --- our own -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PACKED)
def test_our_own_wiring_of_every_starter_keeps_every_rule(name: str) -> None:
    assert faults(ours(name)) == ()


@pytest.mark.parametrize("file", sorted(EXAMPLES.rglob("*.toml")), ids=lambda file: file.stem)
def test_our_own_wiring_of_every_example_keeps_every_rule(file: Path) -> None:
    machine = read(file).machine
    found = design.evidence(machine).netlist
    assert (found is None) == machine.source.endless
    assert found is None or faults(found) == ()


def test_everything_is_fed_when_all_is_closed_and_nothing_when_the_contactor_is_open() -> None:
    """The rules say what must not be connected; this says that the wiring works at all."""
    found = with_lamp()
    closed, opened = connected(found, ()), connected(found, ("contactor", "relay"))
    loads = ["blade controller", "lamp", "horn"]
    assert all(fed(closed, f"{name}.plus", f"{name}.minus") for name in [*loads, "charge port"])
    assert fed(closed, "contactor.coil-plus", "contactor.coil-minus")
    assert not fed(opened, "blade controller.plus", "blade controller.minus")
    assert fed(opened, "lamp.plus", "lamp.minus")


def test_what_an_inverter_gives_is_apart_from_the_pack() -> None:
    found = design.evidence(read(EXAMPLES / "cider-mill" / "inverter.toml").machine).netlist
    assert found is not None
    kinds = {part.kind for part in found.parts}
    assert {"inverter", "mains switch", "mains motor"} <= kinds
    side = connected(found, ())
    live = next(end for end in side if end.endswith(".live"))
    assert side[live] not in (side["pack.plus"], side["pack.minus"])


def test_what_a_direct_converter_gives_is_apart_from_the_pack_s_plus() -> None:
    found = design.evidence(winch()).netlist
    assert found is not None
    assert faults(found) == ()
    box, control = (next(part.name for part in found.of(*kinds)) for kinds in (("dc-dc",), CONTROLLERS))
    side = connected(found, ())
    assert fed(side, f"{box}.plus", f"{box}.minus")
    assert side[f"{box}.out-plus"] == side[f"{control}.plus"] != side["pack.plus"]


def test_names_are_the_same_each_time_and_every_wire_ends_at_a_terminal() -> None:
    one, other = (design.evidence(small()).netlist for _ in range(2))
    assert one is not None
    assert other is not None
    assert [part.name for part in one.parts] == [part.name for part in other.parts]
    assert [wire.ends for wire in one.wires] == [wire.ends for wire in other.wires]
    ends = {f"{part.name}.{end}" for part in one.parts for end in part.terminals}
    assert len(ends) == sum(len(part.terminals) for part in one.parts)
    assert {end for wire in one.wires for end in wire.ends} == ends


def test_main_wires_bear_the_main_fuse_and_small_fuses_their_load() -> None:
    found, evidence = ours("mower"), evidence_of("mower")
    assert evidence.fused is not None
    areas = [float(np.asarray(wire.area)) for wire in found.wires if wire.carries == "main"]
    assert min(areas) >= float(np.asarray(evidence.fused.wire_area))
    assert min(areas) >= max(float(np.asarray(wire.needed)) for wire in evidence.wires if wire.side == "source")
    horn = next(part for part in with_lamp().parts if part.name == "horn fuse")
    assert horn.current == 5.0  # 30 W at 25 V and a quarter on it is 1.5 A; no usual rating is smaller
    charge = next(part for part in found.parts if part.name == "charge fuse")
    assert charge.current == 7.5  # 5 A and a quarter on it


def test_lanes_give_what_one_machine_gives() -> None:
    known = design.evidence(draws(small(), 4, 1))
    alone = design.evidence(small())
    assert known.netlist is not None
    assert alone.netlist is not None
    for many, one in zip(known.netlist.parts, alone.netlist.parts, strict=True):
        first = np.asarray(many.current, dtype=float).flat[0]
        assert first == pytest.approx(float(np.asarray(one.current)), nan_ok=True), one.name


# --- each rule broken --------------------------------------------------------------------------------

COIL = ("delay relay.out", "contactor.coil-plus")
RELAY = ("held control.out", "pre-charge relay.coil-plus")
TURNED = ("contactor.out", "blade controller.plus")
BREAKS: dict[str, list[tuple[tuple[str, str], tuple[tuple[str, str], ...]]]] = {
    "unfused": [
        (("pack.plus", "fuse.in"), (("pack.plus", "fuse.in"), ("pack.plus", "isolator.in"))),
        (("charge fuse.out", "charge port.plus"), (("fuse.out", "charge port.plus"),)),
    ],
    "turned-round": [(TURNED, (("contactor.out", "blade controller.minus"),))],
    "no-pre-charge": [
        (("pre-charge resistor.out", "contactor.out"), ()),
        (("pre-charge relay.out", "pre-charge resistor.in"), (("contactor.in", "pre-charge resistor.in"),)),
        (("pre-charge relay.out", "pre-charge resistor.in"), (("pre-charge relay.out", "contactor.out"),)),
    ],
    "not-let-go": [
        (COIL, (("emergency stop.out", "contactor.coil-plus"),)),
        (TURNED, (("isolator.out", "blade controller.plus"),)),
    ],
    "not-stopped": [
        (("emergency stop.out", "held control.in"), (("control fuse.out", "held control.in"),)),
        (("pack.plus", "fuse.in"), (("pack.plus", "fuse.in"), ("isolator.out", "contactor.out"))),
    ],
    "through-pre-charge": [
        (RELAY, (("emergency stop.out", "pre-charge relay.coil-plus"),)),  # past the held control
        (RELAY, (("isolator.out", "pre-charge relay.coil-plus"),)),  # past both
        (
            ("pre-charge fuse.out", "pre-charge relay.in"),
            (("pre-charge fuse.out", "pre-charge resistor.in"),),
        ),  # never lets go
    ],
    "not-isolated": [
        (("isolator.out", "control fuse.in"), (("fuse.out", "control fuse.in"),)),
        (("isolator.out", "contactor.in"), (("fuse.out", "contactor.in"),)),
    ],
    "senses-crossed": [(("sense 4 fuse.out", "board.pin-4"), (("sense 5 fuse.out", "board.pin-4"),))],
    "left-open": [(("contactor.coil-minus", "board.load"), ()), (("pack.minus", "board.cells"), ())],
    "joined-twice": [
        (COIL, (COIL, (COIL[1], COIL[0]))),
        (COIL, (COIL, ("fuse.in", "fuse.in"))),
    ],
}


@pytest.mark.parametrize(("rule", "old", "new"), [(rule, *case) for rule, cases in BREAKS.items() for case in cases])
def test_each_rule_finds_what_breaks_it(rule: str, old: tuple[str, str], new: tuple[tuple[str, str], ...]) -> None:
    assert rule in broken(rewired(ours("mower"), old, *new))


@pytest.mark.parametrize("kind", ["control", "stop"])
def test_letting_go_drops_every_coil_and_nothing_has_volts(kind: str) -> None:
    found = ours("mower")
    dropped = without(found, kind)
    assert dropped == {"contactor", "pre-charge relay", "delay relay"}
    side = connected(found, (kind,), dropped)
    assert side["contactor.out"] != side["pack.plus"]
    assert without(found, "board") == dropped  # a board that has opened takes the coils' minus
    assert without(found, "port") == set()  # while nothing is opened all stay


def test_a_push_button_across_the_contactor_feeds_the_tool_past_both_controls() -> None:
    """The usual way, and the fault: a contact that a hand can close at any time, with a resistor behind it."""
    found = ours("mower")
    relay = next(part for part in found.parts if part.name == "pre-charge relay")
    button = replace(relay, kind="contact", terminals=("in", "out"))
    coil = ("pre-charge relay.coil-plus", "pre-charge relay.coil-minus")
    wires = tuple(wire for wire in found.wires if not set(coil) & set(wire.ends))
    pressed = Netlist(tuple(button if part is relay else part for part in found.parts), wires)
    assert broken(pressed) == {"through-pre-charge"}
    says = [fault.says for fault in faults(pressed)]
    assert len(says) == 2
    assert "held control" in says[0]
    assert "emergency stop" in says[1]


def test_a_pre_charge_fed_from_the_held_control_holds_the_contactor_through_its_own_resistor() -> None:
    """Looks safe, as both controls are before it: but the closed contactor feeds its coil backwards through it."""
    found = rewired(
        ours("mower"), ("pre-charge fuse.out", "pre-charge relay.in"), ("held control.out", "pre-charge relay.in")
    )
    assert {"not-let-go", "not-stopped"} <= broken(found)


def test_a_machine_without_a_held_control_is_judged_by_its_stop() -> None:
    found = ours("mower")
    out = {"held control.in": "emergency stop.out", "held control.out": "emergency stop.out"}
    wires = tuple(Wire((out.get(one.ends[0], one.ends[0]), out.get(one.ends[1], one.ends[1]))) for one in found.wires)
    left = Netlist(
        tuple(part for part in found.parts if part.kind != "control"),
        tuple(wire for wire in wires if len(set(wire.ends)) == 2),
    )
    assert "through-pre-charge" not in broken(left)
    past = rewired(
        left, ("emergency stop.out", "pre-charge relay.coil-plus"), ("isolator.out", "pre-charge relay.coil-plus")
    )
    assert "through-pre-charge" in broken(past)


def test_a_part_for_alternating_current_is_found_in_the_pack_s_line_and_only_there() -> None:
    found = ours("mower")
    parts = tuple(replace(part, alternating=part.name == "isolator") for part in found.parts)
    assert broken(replace(found, parts=parts)) == {"alternating"}


def test_mains_on_the_pack_s_side_is_found() -> None:
    found = design.evidence(read(EXAMPLES / "cider-mill" / "inverter.toml").machine).netlist
    assert found is not None
    live = next(f"{part.name}.live" for part in found.of("inverter"))
    assert "alternating" in broken(replace(found, wires=(*found.wires, Wire((live, "contactor.out")))))


def test_every_rule_is_broken_by_a_test() -> None:
    assert set(RULES) == {*BREAKS, "alternating"}


def test_a_netlist_of_anything_is_judged() -> None:
    """Two wires from a pack to a converter, and nothing else."""
    parts = (Part("pack", "pack", ("plus", "minus")), Part("box", "inverter", ("plus", "minus"), fills=True))
    found = Netlist(parts, (Wire(("pack.plus", "box.plus")), Wire(("pack.minus", "box.minus"))))
    assert broken(found) == {"unfused", "not-let-go", "not-stopped", "not-isolated"}


# --- what the file says ------------------------------------------------------------------------------


def joined(joins: list[list[str]], **others: Any) -> Machine:
    return read_text(edit(starter("mower"), {"wiring.joins": joins, **others})).machine


def test_our_own_wiring_read_back_from_a_file_raises_nothing() -> None:
    wires = [list(wire.ends) for wire in ours("mower").wires if wire.carries != "sense"]
    machine = joined(wires, **{"wiring.sense": list(range(11))})
    found = built(machine)
    assert found is not None
    assert faults(found) == ()
    slugs = {one.slug for one in raised(judge(design.evidence(machine)), ())}
    assert not [slug for slug in slugs if slug.startswith("wired-")]


def test_only_what_the_file_says_is_judged() -> None:
    by_slug = {one.rule.slug: one.verdict for one in judge(evidence_of("mower"))}
    assert not any(verdict.held for slug, verdict in by_slug.items() if slug.startswith("wired-"))
    sense = read_text(edit(starter("mower"), {"wiring.sense": list(range(11))})).machine
    held = {one.rule.slug for one in judge(design.evidence(sense)) if one.verdict.held}
    assert {slug for slug in held if slug.startswith("wired-")} == {"wired-sense-crossed"}


# --- the order ---------------------------------------------------------------------------------------


def test_the_volts_of_the_order_are_those_of_the_pack_and_of_its_parts() -> None:
    evidence = design.evidence(alley())
    steps = {step.name: step for step in evidence.order}
    assert evidence.guard is not None
    assert steps["pack"].full == pytest.approx(42.0)
    assert steps["pack"].storage == evidence.guard.pins[-1].storage
    assert steps["sense"].full == pytest.approx(4.2)
    assert evidence.guard.proposed is not None
    assert steps["pre-charge"].full == evidence.guard.proposed.left
    assert steps["charger"].full == 42.0
    assert "No volts at all: some chargers wait" in steps["charger"].differs


def test_nothing_is_live_before_all_is_joined_and_the_tool_comes_last() -> None:
    steps = list(evidence_of("mower").order)
    names = [step.name for step in steps]
    first = next(place for place, step in enumerate(steps) if step.live)
    assert names[:first] == ["apart", "wires", "power-up"]
    assert names.index("sense") < names.index("plug") < names.index("ends") < names.index("fuse")
    assert names.index("pre-charge") + 1 == names.index("contactor")
    assert names[-3:] == ["tool", "run free", "work"]
    assert not steps[-3].live


def test_the_meter_is_held_at_terminals_that_there_are() -> None:
    found = ours("mower")
    ends = {f"{part.name}.{end}" for part in found.parts for end in part.terminals}
    for step in evidence_of("mower").order:
        if "." in step.between:
            said = step.between.removesuffix(", in ohms").split(" and ")
            assert set(said) <= ends, step.name


@pytest.mark.parametrize(
    ("name", "opened"),
    [
        ("ends", ("fuse",)),
        ("fuse", ("isolator",)),
        ("isolator", ("contactor", "relay", "control", "stop")),
        ("let go", ("control",)),
        ("stop", ("stop",)),
        ("tool", ("fuse", "isolator")),
    ],
)
def test_nothing_reads_nothing_because_the_netlist_says_so(name: str, opened: tuple[str, ...]) -> None:
    step = next(step for step in evidence_of("mower").order if step.name == name)
    assert step.full == 0.0
    first, second = step.between.split(" and ")
    plus = first if parted(first)[1] != "minus" else second
    assert not fed(connected(ours("mower"), opened), plus, second)


@pytest.mark.parametrize(("name", "kind"), [("pre-charge stopped", "stop"), ("pre-charge let go", "control")])
def test_the_pre_charge_is_off_because_the_netlist_says_so(name: str, kind: str) -> None:
    """The wire of the contactor's coil is off at these steps, and one of the two controls is closed."""
    found, step = ours("mower"), next(step for step in evidence_of("mower").order if step.name == name)
    off = replace(found, wires=tuple(wire for wire in found.wires if wire.ends != COIL))
    side = connected(off, (kind,), without(off, kind))
    first, second = step.between.split(" and ")
    assert step.full == 0.0
    assert not fed(side, first, second)
    closed = connected(off, (), {"contactor"})
    assert fed(closed, first, second)  # and with both closed the pre-charge does feed it


def test_the_pre_charge_alone_is_tried_before_the_contactor_and_only_where_there_is_one() -> None:
    names = [step.name for step in evidence_of("mower").order]
    assert names.index("isolator") + 1 == names.index("pre-charge stopped")
    assert names.index("pre-charge let go") + 1 == names.index("pre-charge")
    assert "Hold the control" in next(step.does for step in evidence_of("mower").order if step.name == "contactor")
    bare = design.evidence(read_text(edit(starter("mower"), {"chains.blade.controller.capacitance": "0 F"})).machine)
    assert not [step for step in bare.order if step.name.startswith("pre-charge")]
    assert bare.netlist is not None
    assert not list(bare.netlist.of("relay"))
    assert faults(bare.netlist) == ()


def test_batteries_without_a_board_have_no_step_for_one() -> None:
    names = [step.name for step in evidence_of("corded").order]
    assert "board" not in names
    assert "sense" not in names
    assert started("corded").board is None


@pytest.mark.parametrize("name", PACKED)
def test_a_wire_names_its_small_fuse_or_says_why_it_has_none(name: str) -> None:
    found = netlist_record(evidence_of(name))
    for side in ("netlist", "built"):
        for wire in (found[side] or {}).get("wires", ()):
            assert (wire["fuse"] is None) == bool(wire["fuse_reason"]), wire["name"]


def test_what_never_empties_says_why_it_has_none() -> None:
    wall: Evidence = design.evidence(read(EXAMPLES / "cider-mill" / "wall.toml").machine)
    found = netlist_record(wall)
    assert found["netlist"]["reason"]
    assert found["connecting"] == []
