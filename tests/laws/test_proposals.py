"""Wires that the file has no cable for: each size by hand from the rows of the tables, and what must not hang on them.

Rows: IEC 60364-5-52:2009, table B.52.2, method C, in air of 30 °C for 70 °C of PVC: 1.5 mm² 19.5 A, 2.5 mm² 27 A,
4 mm² 36 A, 6 mm² 46 A, 10 mm² 63 A. IEC 60228:2004, class 5: 7.98, 4.95 mΩ/m of 2.5, 4 mm². Length and warmth of a
cable that the file says nothing of: the table of defaults, 0.6 m one way and copper at 40 °C.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.netlist_record import CORD, netlist_record
from headrace.design.readings import readings
from headrace.design.record import design_record
from headrace.design.trial import trial_of
from headrace.design.wiring_record import wiring_record
from headrace.findings import Evidence, judge, raised
from headrace.machine import edit, read_text, starter
from headrace.machine.links import Cable
from headrace.paper.wiring import conductor
from headrace.physics.conductors import phase_current
from headrace.wiring.conductors import Conductor, Line
from headrace.wiring.fuse import SAFE, fused
from headrace.wiring.proposals import assumed, proposal
from tests.wiring.machines import ALL, evidence, machine

HOT = 308.15  # K of the air: what a size bears goes with the root of 35 K over 40 K
WARMER = 1.0 + 0.00393 * 20.0  # of copper at 40 °C, over 20 °C


def said_of(one: dict[str, Any]) -> str:
    return conductor(one, {"source": "cells"})


def without_cables(text: str) -> str:
    """Return a machine file without its cables."""
    head, *links = text.split("[[chains.links]]\n")
    kept = [head]
    for link in links:
        _, mark, rest = link.partition("\n[")
        kept.append(f"[{rest}" if mark and link.startswith('kind = "cable"') else f"[[chains.links]]\n{link}")
    return "".join(one for one in kept if not one.startswith('[[chains.links]]\nkind = "cable"'))


@cache
def bare(name: str = "mower") -> Evidence:
    return design.evidence(read_text(without_cables(starter(name))).machine)


def steady(
    amps: Any, volts: float = 36.0, rating: float | None = None, limit: float | None = None, *, phases: bool = False
) -> Conductor:
    """Return what is proposed for one steady current: its heating current is itself, whatever the size."""
    side = "motor" if rating is None else "source"
    line = Line("blade", side, assumed(), volts, 60.0, (1.0,), (amps,), phases=phases)
    return proposal(line, rating, HOT, 0.03, limit)


# --- by hand -----------------------------------------------------------------------------------------


def test_what_is_assumed_is_the_table_of_defaults() -> None:
    cable = assumed()
    assert (cable.length, cable.temperature, cable.rated_by) == (0.6, 313.15, Cable.rated_by)
    assert float(cable.temperature_slope) == pytest.approx(0.00393, abs=5e-6)


def test_a_size_by_heat_by_hand() -> None:
    """2.5 mm² bear 27 A · √(35/40) = 25.3 A, 4 mm² 33.7 A; 0.75 mm² would keep the volts (2.8 %), 0.5 mm² 4.2 %."""
    one = steady(30.0)
    assert (float(one.by_heat), float(one.needed), float(one.area)) == (4e-6, 4e-6, 4e-6)
    assert float(one.by_drop) == 0.75e-6
    assert (one.decided, one.planned, one.gauge) == ("heat", False, "10")
    assert float(one.carries) == pytest.approx(36.0 * math.sqrt(35.0 / 40.0), rel=1e-9)
    ohms = 2.0 * 0.6 * 4.95e-3 * WARMER
    assert float(one.resistance) == pytest.approx(ohms, rel=1e-4)
    assert float(one.drop) == pytest.approx(30.0 * ohms, rel=1e-4)
    assert float(one.loss) == pytest.approx(900.0 * ohms, rel=1e-4)


def test_a_size_by_drop_by_hand() -> None:
    """20 A at 6 V: 2.5 mm² bear them, and take 1.2 m · 7.98 mΩ/m · 1.079 · 20 A = 0.207 V, 3.4 %; 4 mm² 2.1 %."""
    one = steady(20.0, volts=6.0)
    assert (float(one.by_heat), float(one.by_drop), float(one.needed)) == (2.5e-6, 4e-6, 4e-6)
    assert one.decided == "drop"


def test_a_wire_of_the_main_line_bears_the_fuse_by_hand() -> None:
    """50 A: 6 mm² bear 46 A · 0.935 = 43 A, 10 mm² 58.9 A; so do 8.4 mm² of gauge 8 and not 6.6 mm² of gauge 9."""
    one = steady(30.0, rating=50.0)
    assert (float(one.by_heat), float(one.by_fuse), float(one.needed)) == (4e-6, 10e-6, 10e-6)
    assert (one.decided, one.gauge) == ("fuse", "8")
    assert float(one.carries) >= 50.0
    assert math.isnan(steady(30.0).by_fuse)


def test_three_phases_share_the_motor_s_amps() -> None:
    """Blocks flow for 120 of 180 degrees; a sine of the same torque has I = √(3/2) of its effective value."""
    angle = np.linspace(0.0, 2.0 * np.pi, 3_600, endpoint=False)
    block = np.where(np.abs((angle % np.pi) - np.pi / 2.0) < np.pi / 3.0, 30.0, 0.0)
    assert float(phase_current(30.0)) == pytest.approx(np.sqrt(np.mean(block**2)), rel=1e-3)
    assert math.sqrt(1.5) * float(phase_current(30.0)) == pytest.approx(30.0, rel=1e-12)
    three, two = steady(30.0, phases=True), steady(30.0)
    assert 3.0 * float(three.wire_rms) ** 2 == pytest.approx(2.0 * float(two.wire_rms) ** 2, rel=1e-12)  # same heat
    assert float(three.needed) == float(two.needed)


def test_what_no_size_can_do_is_none_with_words() -> None:
    one = steady(2000.0)
    assert (math.isnan(float(one.needed)), one.decided, one.gauge) == (True, "none", None)
    assert math.isnan(float(steady(30.0, rating=2000.0).needed))


def test_lanes_are_each_as_alone() -> None:
    lanes = steady(np.array([5.0, 30.0, 2000.0]), rating=50.0)
    for k, amps in enumerate((5.0, 30.0, 2000.0)):
        alone = steady(amps, rating=50.0)
        for name in ("needed", "by_heat", "by_drop", "carries", "loss"):
            got = float(np.broadcast_to(getattr(lanes, name), 3)[k])
            assert got == pytest.approx(float(getattr(alone, name)), rel=1e-12, nan_ok=True), name


# --- in a machine ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ALL)
def test_every_wire_with_amps_has_a_size_or_is_the_cord_of_a_mains_motor(name: str) -> None:
    found = evidence(name)
    record = netlist_record(found)["netlist"]
    for wire in record.get("wires", ()):
        if wire["carries"] in ("main", "motor", "feed"):
            assert (wire["area_m2"] is None) == (wire["reason"] is not None)
            assert wire["area_m2"] is not None or wire["reason"] == CORD, wire["name"]
    sides = [(wire.chain, wire.side) for wire in found.runs]
    assert all(sides.count((wire.chain, wire.side)) == 1 for wire in found.proposals)


def test_no_side_of_a_mains_motor_is_proposed_but_its_inverter_s_source() -> None:
    found = bare("corded")
    assert [wire.side for wire in found.proposals] == ["source"]
    wires = [one for one in netlist_record(found)["netlist"]["wires"] if one["carries"] in ("feed", "motor")]
    assert wires
    assert {one["reason"] for one in wires} == {CORD}


def test_no_finding_and_no_loss_hangs_on_a_proposal() -> None:
    """The rules look at the cables of the file alone, and the ledger knows no link that the file has not."""
    found = bare()
    assert {wire.side for wire in found.proposals} == {"motor", "source"}
    assert found.wires == ()
    slugs = {one.slug for one in raised(judge(found), ())}
    assert not slugs & {"wire-too-hot", "wire-drops-too-much", "fuse-above-wire", "fuse-too-slow"}
    (state, *_) = design.losses(found.machine, found.days.new)
    assert "cable" not in {line.kind for line in state.chains[0].ledger.lines}


@pytest.mark.parametrize("name", ["mower", "winch", "saw", "corded", "cart"])
def test_the_main_fuse_protects_the_main_line_that_is_proposed(name: str) -> None:
    """For long by its rating; into a short at the far end it opens before the insulation is spoiled."""
    found = bare(name)
    assert found.fused is not None
    assert found.netlist is not None
    sources = [wire for wire in found.proposals if wire.side == "source"]
    assert len(sources) == len(found.machine.chains)
    least = min(float(wire.area) for wire in found.netlist.wires if wire.carries == "main")
    assert least >= max(float(wire.needed) for wire in sources)
    for wire in sources:
        assert float(wire.carries) >= float(found.fused.rating)
        inside = float(found.full_voltage) / float(found.fused.asked.at_pack)
        far = float(found.full_voltage) / (inside + float(wire.resistance))
        asked = replace(found.fused.asked, far=far, wire=wire, carries=wire.carries)
        again = fused(asked, None, found.machine.limits.ambient_hot, present=False)
        assert again.full is not None
        assert again.full.becomes == SAFE


def test_behind_a_bare_switch_the_motor_s_wires_bear_the_main_fuse() -> None:
    """Nothing else limits what flows there: a stalled motor takes all that the fuse lets through."""
    text = starter("mower")
    limit = next(line for line in text.splitlines() if line.startswith("motor_current"))
    found = design.evidence(read_text(text.replace(f"{limit}\n", "")).machine)
    assert found.fused is not None
    one = next(wire for wire in found.proposals if wire.side == "motor")
    assert one.decided == "fuse"
    assert float(one.carries) >= float(found.fused.rating)
    assert np.isnan(one.limit)
    assert np.isnan(one.by_limit)
    limited = next(wire for wire in evidence("mower").proposals if wire.side == "motor")
    assert np.isnan(limited.by_fuse)
    assert limited.decided == "limit"


def test_a_wire_of_the_motor_bears_what_its_controller_lets_through() -> None:
    """80 A of the mower's limit in air of 35 °C: 16 mm² bear 85 A · 0.935 = 79.5 A, 25 mm² 104.8 A; by heat 2.5 mm²."""
    one = next(wire for wire in evidence("mower").proposals if wire.side == "motor")
    assert float(one.limit) == 80.0
    assert (float(one.by_heat), float(one.by_limit), float(one.needed), float(one.area)) == (
        2.5e-6,
        25e-6,
        25e-6,
        25e-6,
    )
    assert float(one.carries) == pytest.approx(112.0 * math.sqrt(35.0 / 40.0), rel=1e-9)
    assert one.decided == "limit"
    told = wiring_record(machine("mower"), evidence("mower"))["conductors"][1]
    said = said_of(told)
    assert "proposed are 25 mm² (of gauges 3 does), by what the controller lets through" in said
    assert "draws the 80 A that the controller lets through" in said
    assert "asks 2.5 mm² by heat" in said
    assert "may burn" not in said_of({**told, "decided": "heat"})
    assert "and 80 A that the controller lets through" in said_of({**told, "needed_m2": None})


def test_a_limit_by_hand_and_what_a_thinner_wire_comes_to() -> None:
    """60 A: 10 mm² bear 63 A · 0.935 = 58.9 A, 16 mm² 79.5 A. A limit below what the work's size bears asks nothing.

    2.5 mm² bear 25.3 A for long. Held at 60 A from cold they are as warm as those make them at the end after
    τ · ln(60²/(60² − 25.3²)) = 0.195 τ, ten seconds: nobody lets go of a tool that is bogged down as soon as that.
    """
    one, none = steady(25.0, limit=60.0), steady(25.0, limit=25.0)
    assert (float(one.by_heat), float(one.by_limit), float(one.needed)) == (2.5e-6, 16e-6, 16e-6)
    assert (one.decided, one.gauge) == ("limit", "6")
    assert (float(none.needed), none.decided) == (2.5e-6, "heat")
    assert float(one.carries) >= 60.0
    bears = float(none.carries)
    lasts = float(none.time_constant) * math.log(60.0**2 / (60.0**2 - bears**2))
    assert 8.0 < lasts < 12.0
    assert math.isnan(float(steady(25.0, limit=2000.0).needed))  # no size bears that: none is proposed


@pytest.mark.parametrize("name", ALL)
def test_no_proposed_wire_bears_less_than_what_guards_it_lets_through(name: str) -> None:
    for wire in evidence(name).proposals:
        assert not float(wire.limit) > float(wire.carries), wire.chain
        assert float(wire.carries) >= float(wire.heating)


def test_a_cable_in_the_file_takes_the_place_of_the_proposal() -> None:
    """With what was proposed written into the file, the same wire is planned and needs what it was given."""
    before = next(wire for wire in evidence("mower").proposals if wire.side == "motor")
    lead = f'kind = "cable"\nname = "lead"\nlength = "0.6 m"\narea = "{1e6 * float(before.needed):g} mm²"\n\n'
    text = starter("mower")
    at = text.index('[[chains.links]]\nkind = "controller"') if 'kind = "controller"' in text else text.rindex("[[")
    found = design.evidence(read_text(f"{text[:at]}[[chains.links]]\n{lead}{text[at:]}").machine)
    assert "motor" not in [wire.side for wire in found.proposals]
    after = next(wire for wire in found.wires if wire.side == "motor")
    assert after.planned
    assert float(after.needed) == float(before.needed)
    assert float(after.peak) == pytest.approx(float(before.peak), rel=0.02)  # now its own ohms are in the way


def test_the_record_and_the_sentence_say_that_it_is_a_proposal() -> None:
    plan = machine("mower")
    planned, proposed = wiring_record(plan, evidence("mower"))["conductors"]
    assert (planned["planned"], proposed["planned"]) == (True, False)
    assert (proposed["one_way_m"], proposed["by_fuse_m2"]) == (0.6, None)
    assert "the limit of the controller or converter guards it" in proposed["by_fuse_reason"]
    said = said_of(proposed)
    assert "the file has no cable there; proposed are" in said
    assert f"{1e6 * proposed['needed_m2']:.3g} mm² (of gauges {proposed['gauge']} does)" in said
    assert "0.6 m one way as assumed; its loss is counted nowhere" in said
    assert said_of(planned).startswith("Blade, cable, pack's side")
    none = {**proposed, "needed_m2": None}
    assert "no size of the table does for" in said_of(none)


def test_bench_readings_shopping_list_and_cut_list_have_its_size() -> None:
    plan = machine("mower")
    record = design_record(design.solve(plan))
    motor = next(one for one in record["conductors"] if not one["planned"])
    found = readings(plan, evidence("mower"), trial_of(plan, evidence("mower").days.new))
    reading = next(one for one in found.rows if one.name == "proposed motor cable of blade")
    assert float(reading.expected) == pytest.approx(float(reading.current) * motor["resistance_ohm"], rel=1e-9)
    assert "motor-a" in reading.where
    name = f"cable {1e6 * motor['needed_m2']:.3g} mm²"
    assert name in [line["name"] for line in record["bill"]["lines"]]
    pieces = [one for one in record["cuts"]["pieces"] if one["from"].startswith("blade controller.motor")]
    assert {(one["size"], one["length_m"], one["basis"]) for one in pieces} == {(name, 0.6, "assumed")}
    line = next(one for one in record["bill"]["lines"] if one["name"] == "blade motor")
    rating = next(one for one in line["ratings"] if one["name"] == "in the hardest work")
    assert rating["value_A"] == pytest.approx(motor["peak_A"])


def test_an_edit_of_the_drop_allowed_moves_what_is_proposed() -> None:
    """At a thirtieth of the share the volts ask a thicker wire, and the greatest of all counts."""
    tight = design.evidence(read_text(edit(starter("mower"), {"limits.cable_drop": 0.001})).machine)
    one = next(wire for wire in tight.proposals if wire.side == "motor")
    usual = next(wire for wire in evidence("mower").proposals if wire.side == "motor")
    assert float(one.by_drop) > float(usual.by_drop)
    assert float(one.needed) == max(float(one.by_heat), float(one.by_drop), float(one.by_limit))
