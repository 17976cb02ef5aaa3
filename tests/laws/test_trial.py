"""First power-up: a motor by itself by hand, what stays on it, what more volts do, what must not be run."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.readings import readings
from headrace.design.trial import Alone, Step, Trial, trial_of
from headrace.design.trial_record import trial_record
from headrace.drive.alone import running, without_tool
from headrace.drive.links import parts
from headrace.findings import Evidence
from headrace.machine import edit, read, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.links import Contacts, Controller, Motor, SeriesMotor
from headrace.machine.records import Machine
from headrace.runs.run import Run
from tests.machines import EXAMPLE, alley, motor, started, with_link

EXAMPLES = EXAMPLE.parent
STARTERS = ("mower", "tiller", "auger", "saw", "chipper", "fan", "winch", "cart", "pump", "shaft", "measured", "corded")
FILES = sorted(EXAMPLES.rglob("*.toml"))
RPM = math.pi / 30.0


@cache
def named(name: str) -> Machine:
    """Return a starter by its name, an example by its path."""
    return read(Path(name)).machine if name.endswith(".toml") else started(name)


EVERY = [*STARTERS, *(str(file) for file in FILES)]


@cache
def evidence_of(name: str) -> Evidence:
    return design.evidence(named(name))


@cache
def record_of(name: str) -> dict[str, Any]:
    return trial_record(named(name), evidence_of(name))


@cache
def tried(name: str) -> Trial:
    return trial_of(named(name), evidence_of(name).days.new)


def cold(plan: Machine) -> Trial:
    """Return the trial of a machine whose day has warmed nothing: a motor by itself does not depend on the day."""
    air, nought = np.asarray(plan.job.ambient, dtype=float), np.zeros(np.shape(plan.job.ambient))
    names = {field.name: nought for field in fields(Run)}
    warm = ("highest_winding", "highest_case", "highest_cell_temperature")
    return trial_of(plan, Run(**{**names, **dict.fromkeys(warm, air), "trace": None}))  # type: ignore[arg-type]


def step(plan: Machine, name: str, place: int = 0) -> Step:
    return next(one for one in cold(plan).alone[place].steps if one.name == name)


def pump(**values: Any) -> Machine:
    return read_text(edit(starter("pump"), {key.replace("__", "."): value for key, value in values.items()})).machine


# --- by hand -----------------------------------------------------------------------------------------

# The pump's motor: 100 rpm/V and 0.12 Ω at 25 °C, 1.2 A without load, two brushes of together 1 V (docs of the table).
CONSTANT, OHMS, AMPS = 1.0 / (100.0 * RPM), 0.12, 1.2


@pytest.mark.parametrize(("name", "volts"), [("low", 26.25), ("full", 42.0)])
def test_a_bare_motor_is_that_of_the_hand_calculation(name: str, volts: float) -> None:
    """U = K w + I0 R + U_brushes, everything at 25 °C; controller and leads take hundredths of a volt."""
    plan = pump(job__ambient="25 °C")
    found = step(plan, name)
    brushes = float(parts(plan.chains[0]).motor.brush_drop)
    by_hand = (volts - AMPS * OHMS - brushes) / CONSTANT
    assert float(found.voltage) == pytest.approx(volts)
    assert float(found.point.motor_current) == pytest.approx(AMPS, rel=0.005)
    assert float(found.point.motor_speed) == pytest.approx(by_hand, rel=0.005)


def test_the_supply_gives_the_motors_amps_and_what_the_controller_takes_awake() -> None:
    """A controller at full duty passes the motor's current on; its own watts come on top."""
    plan = pump(job__ambient="25 °C")
    found, idle = step(plan, "full"), float(parts(plan.chains[0]).controller.idle_power)
    assert float(found.point.battery_current) == pytest.approx(AMPS + idle / 42.0, rel=0.005)
    assert float(found.power) == pytest.approx(42.0 * AMPS + idle, rel=0.005)


def test_the_limit_is_half_as_much_again_and_the_first_volts_are_above_the_cut_out() -> None:
    plan = pump()
    found = step(plan, "low")
    assert float(found.voltage) == pytest.approx(1.05 * 25.0)
    assert float(found.limit) == pytest.approx(1.5 * float(found.point.battery_current))
    free = with_link(plan, Controller, cut_out=0.0)
    assert float(step(free, "low").voltage) == pytest.approx(0.3 * 42.0)
    late = with_link(plan, Controller, cut_out=41.0)
    assert float(step(late, "low").voltage) == pytest.approx(42.0)  # never more than the pack has


def test_the_heat_of_a_run_is_that_of_two_bodies() -> None:
    """From the air's temperature on neither body is warmer than all the heat, kept in it, would make it."""
    found, body = step(alley(), "full"), motor(alley())
    air = float(alley().job.ambient)
    heat = float(found.power) * float(found.time)
    assert air < float(found.case) < air + heat / float(body.case_heat)
    assert air < float(found.winding) < air + heat / float(body.winding_heat)


# --- laws --------------------------------------------------------------------------------------------


def of_magnets(one: Alone) -> bool:
    return one.kind in ("brushed", "electronic")


@pytest.mark.parametrize("name", EVERY)
def test_more_volts_turn_a_bare_motor_faster(name: str) -> None:
    for one in tried(name).alone:
        if of_magnets(one):
            low, full = one.steps
            assert float(low.voltage) < float(full.voltage)
            assert float(low.point.motor_speed) < float(full.point.motor_speed)


def test_speed_climbs_with_every_volt() -> None:
    row = without_tool(parts(alley().chains[0]))
    found = running(row, np.linspace(26.0, 42.0, 40), alley().job.ambient)
    assert np.all(np.diff(found.motor_speed) > 0.0)


@pytest.mark.parametrize("name", ["mower", "pump", str(EXAMPLES / "alley-mower.toml")])
def test_amps_at_work_agree_with_the_middle_of_the_day(name: str) -> None:
    """Two routes: the ledger at the charge in the middle of a day, the trial at full and half charge, both warm.

    Cold the amps are fewer: magnets are stronger, so the motor turns slower.
    """
    plan = named(name)
    full, half = tried(name).charged[:2]
    middle = design.losses(plan, design.day(plan))
    for place, state in enumerate(middle):
        amps = sum(float(chain.point.battery_current) for chain in state.chains)
        there = [float(end.states[place].current) for end in (full, half)]
        if 0.5 < float(state.charge) < 1.0 and amps > 1.0:
            assert min(there) * 0.99 < amps < max(there) * 1.01, state.state.name
        assert float(full.states[place].cold_current) <= float(full.states[place].current)


def test_a_day_that_warms_nothing_leaves_the_amps_as_they_are() -> None:
    for end in cold(alley()).charged:
        for work in end.states:
            assert float(work.cold_current) == pytest.approx(float(work.current), rel=1e-12)
            for warm, first in zip(work.points, work.cold_points, strict=True):
                assert float(first.tool_speed) == pytest.approx(float(warm.tool_speed), rel=1e-12)


def test_friction_shows_as_amps_at_nearly_the_same_speed() -> None:
    tight = with_link(alley(), Motor, drag=2.0 * parts(alley().chains[0]).motor.drag)
    before, after = step(alley(), "full").point, step(tight, "full").point
    assert float(after.motor_current) > 1.8 * float(before.motor_current)
    assert float(after.motor_speed) == pytest.approx(float(before.motor_speed), rel=0.02)
    assert float(after.battery_current) > float(step(alley(), "full").limit)  # so the supply's limit catches it


def test_another_winding_shows_as_speed() -> None:
    fewer = with_link(alley(), Motor, constant=0.5 * motor(alley()).constant)
    before, after = step(alley(), "full").point, step(fewer, "full").point
    assert float(after.motor_speed) > 1.8 * float(before.motor_speed)


@pytest.mark.parametrize("name", EVERY)
def test_the_pack_sinks_under_load_and_more_when_it_is_emptier(name: str) -> None:
    found = tried(name).charged
    for one in found:
        for work in one.states:
            assert float(work.voltage) <= float(one.rest) + 1e-9
            assert float(work.current) >= 0.0
    rests = [float(one.rest) for one in found]
    assert rests == sorted(rests, reverse=True)


def test_a_lane_is_the_machine_by_itself() -> None:
    drawn = draws(alley(), 3, 7)
    together = cold(drawn)
    alone = cold(alley())
    for one, other in zip(together.alone[0].steps, alone.alone[0].steps, strict=True):
        assert np.shape(one.point.motor_speed) == (4,)
        assert float(one.point.motor_speed[0]) == pytest.approx(float(other.point.motor_speed), rel=1e-9)
    assert len({float(v) for v in together.alone[0].steps[1].point.motor_speed}) > 1


# --- what comes off, what stays on ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "off", "stays"),
    [
        ("mower", "Take the blade off", ()),
        ("saw", "Take the reduction off", ()),  # a belt, with all that hangs behind it
        ("winch", "Nothing on the rope, the rope off the drum", ("reduction",)),
        ("cart", "Jack the driven wheels off the ground", ("reduction",)),
        ("pump", "must not run dry", ()),
        ("corded", "Undo the coupling", ("gearbox",)),
    ],
)
def test_the_tool_comes_off_and_what_is_bolted_on_stays(name: str, off: str, stays: tuple[str, ...]) -> None:
    one = tried(name).alone[0]
    assert off in one.off
    assert one.stays == stays


def test_a_belt_beyond_the_gears_takes_only_what_hangs_behind_it() -> None:
    found = {one.chain: one for one in tried(str(EXAMPLES / "wood-cart.toml")).alone}
    assert found["axle"].stays == ("gearbox",)
    assert found["axle"].off.endswith("so that it cannot come down; then take the chain off")


@pytest.mark.parametrize("name", ["winch", "cart"])
def test_a_belt_comes_off_only_once_no_weight_pulls_at_it(name: str) -> None:
    """With the brake at the motor, a hanging load or a slope is held through the belt alone."""
    (bare,) = tried(name).alone
    (one,) = cold(behind_a_chain(name)).alone
    assert one.off == f"{bare.off}; then take the drive off"
    assert bare.off.startswith(("Nothing on the rope", "Jack the driven wheels"))
    assert "as no weight drives it" in one.brake
    assert one.stays == ()


def behind_a_chain(name: str) -> Machine:
    """Return a starter whose motor turns its tool by a roller chain in place of its gears, with a brake in the file."""
    text = edit(starter(name), {"safety.friction_brake": True})
    one, two = 'kind = "gears"', 'kind = "roller-chain"'
    assert text.count(one) == 1
    return read_text(text.replace(one, two).replace('name = "reduction"', 'name = "drive"')).machine


def test_gears_that_stay_on_drag() -> None:
    plan = started("winch")
    row = parts(plan.chains[0])
    stays = float(running(without_tool(row), 42.0, plan.job.ambient).motor_current)
    bare = float(running(replace(row, mechanical=()), 42.0, plan.job.ambient).motor_current)
    assert stays > bare > 0.0


def test_each_of_several_chains_is_tried_by_itself() -> None:
    plan = named(str(EXAMPLES / "strip-mower.toml"))
    found = cold(plan).alone
    assert [one.chain for one in found] == [chain.name for chain in plan.chains]
    assert {one.at for one in found} == {"contactor.out and board.load, isolator open, main fuse out"}


def test_what_hangs_on_the_same_terminals_is_kept_off_and_stands_in_the_netlist() -> None:
    """On the supply at contactor.out every controller would be fed, not only that of the motor that is tried."""
    for name, others in (
        ("strip-mower.toml", {"blade": ("axle controller.plus",), "axle": ("blade controller.plus",)}),
        ("wood-cart.toml", {"axle": ("winch controller.plus",), "winch": ("axle controller.plus",)}),
    ):
        path = str(EXAMPLES / name)
        assert {one.chain: one.beside for one in tried(path).alone} == others
        netlist = evidence_of(path).netlist
        assert netlist is not None
        fed = {end for wire in netlist.wires if "contactor.out" in wire.ends for end in wire.ends}
        assert all(set(ends) <= fed for ends in others.values())
    assert all(one.beside == () for name in STARTERS for one in tried(name).alone)


def test_a_mechanical_brake_is_let_off_where_it_can_be_and_none_where_none_is() -> None:
    winch = tried("winch").alone[0].brake
    assert started("winch").safety.friction_brake
    assert "nothing hangs on the drum" in winch
    assert "not let off by hand" in winch
    found = {one.chain: one.brake for one in tried(str(EXAMPLES / "wood-cart.toml")).alone}
    assert found["axle"].startswith("Its mechanical brake stays on where it sits behind the chain")
    assert found["winch"] == winch
    assert all("has its coil fed" in found[name] and "not forced" in found[name] for name in found)
    found = {one.chain: one.brake for one in tried(str(EXAMPLES / "strip-mower.toml")).alone}
    assert found["axle"].startswith("The file plans no mechanical brake")
    assert found["blade"] == ""
    assert tried("pump").alone[0].brake == ""


def test_a_mechanical_brake_that_was_let_off_is_set_and_tried_before_anything_hangs_on_it() -> None:
    back = {one.chain: one.brake_back for one in tried(str(EXAMPLES / "wood-cart.toml")).alone}
    assert back["axle"].startswith(
        "When the chain goes on again, with the tool in the connecting order, all dead, set its"
    )
    assert back["axle"].endswith("it holds. The wheels come down where the connecting order says so.")
    assert back["winch"].startswith("Supply off and the motor standing, set its mechanical brake or pawl again")
    assert back["winch"].endswith("it holds. The rope goes back where the connecting order says so.")
    unbraked = read_text(edit(starter("winch"), {"safety.friction_brake": False})).machine
    assert [one.brake_back for one in cold(unbraked).alone] == [""]
    assert [one.brake_back for one in tried("pump").alone] == [""]


@pytest.mark.parametrize("name", EVERY)
def test_a_brake_is_set_again_wherever_one_is_let_off(name: str) -> None:
    for one in record_of(name)["trial"]["chains"]:
        let_off = "let off by its own lever" in (one["mechanical_brake"] or "")
        assert let_off == (one["mechanical_brake_back"] is not None)


# --- mains -------------------------------------------------------------------------------------------


def test_a_corded_motor_is_read_at_its_socket_in_watts() -> None:
    (one,) = tried("corded").alone
    (found,) = one.steps
    assert (one.supply, found.name, float(found.voltage)) == ("inverter", "socket", 230.0)
    assert np.isnan(found.limit)
    loaded = tried("corded").charged[0].states[0].points[0]
    assert float(found.point.motor_speed) > float(loaded.motor_speed)  # a series motor runs up without its load
    assert float(found.power) < float(found.voltage) * float(found.point.battery_current)


def without_gears(text: str) -> Machine:
    """Return a corded machine whose motor turns its tool by a belt: with that off nothing but its fan holds it."""
    return read_text(text.replace('kind = "gears"', 'kind = "v-belt"', 1)).machine


def test_a_universal_motor_is_not_run_with_nothing_on_its_shaft() -> None:
    plan = without_gears(starter("corded"))
    found = cold(plan).alone[0].steps[0]
    assert isinstance(parts(plan.chains[0]).motor, SeriesMotor)
    assert np.isnan(found.point.motor_speed)
    assert np.isnan(found.power)
    assert "runs up until it bursts" in found.reason


def test_one_whose_fan_holds_it_late_is_not_run_either() -> None:
    slick = with_link(started("corded"), SeriesMotor, drag_square=5e-10, drag=1e-4, iron=1e-5)
    found = cold(slick).alone[0].steps[0]
    assert "runs up" in found.reason
    assert np.isnan(found.point.motor_speed)


@pytest.mark.parametrize("name", EVERY)
def test_nothing_is_empty_without_a_reason(name: str) -> None:
    found = record_of(name)
    for one in found["trial"]["chains"]:
        assert one["off"]
        assert one["higher"]
        assert one["lower"]
        for at in one["steps"]:
            empty = [key for key, value in at.items() if value is None and "reason" not in key]
            assert at["reason"] or empty == ["limit_A"] * bool(at["limit_reason"]), (name, empty)
    for charge in found["trial"]["charges"]:
        assert (charge["charge"] is None) == bool(charge["reason"])
        assert charge["rest_V"] is not None
        for state in charge["states"]:
            for chain in state["chains"]:
                assert chain["reason"]
                assert None not in chain.values()
    for one in found["bench_readings"]:
        assert one["where"]
        assert one["when"]
        assert one["differs"]
        expected, low = (next(one[key] for key in one if key.startswith(name)) for name in ("expected_", "usual_from_"))
        assert (expected is None) == bool(one["reason"]), one["name"]
        assert (expected is None) == (low is None), one["name"]
    assert found["two_loads"].get("resistance_ohm") is not None or found["two_loads"]["reason"]


def test_a_motor_that_is_cut_out_is_said_so() -> None:
    plan = with_link(alley(), Controller, cut_out=60.0)
    found: Trial = cold(plan)
    assert found.alone[0].steps[0].reason == "the under-voltage cut-out opens"
    assert np.isnan(found.alone[0].steps[0].point.motor_speed)
    names = [one.name for one in readings(plan, design.evidence(alley()), found).rows if one.reason]
    assert "amps in grass" in names


def test_a_joint_of_no_kind_has_no_terminals_of_the_netlist() -> None:
    plan = started("mower")
    assert any(isinstance(link, Contacts) and link.of == "lug" for link in plan.chains[0].links)
    rows = {one["name"]: one for one in record_of("mower")["bench_readings"]}
    assert rows["lugs of blade"]["where"].startswith("over each joint")
    assert rows["fuse of blade"]["where"] == "fuse.in and fuse.out"


@pytest.mark.parametrize("name", EVERY)
def test_a_contact_that_is_closed_at_rest_is_opened_before_its_motor_is_fed(name: str) -> None:
    """What is taken off parts the motor from its brake; where the stop is tried, the coils are fed as in the field.

    Walked on the netlist: without the wire at that terminal nothing joins the motor's end to the contact any more,
    and the contact of the brake opens by the control, which hangs on the same wire as the contactor's in.
    """
    found = evidence_of(name)
    parts_of = {part.name: part for part in found.netlist.parts} if found.netlist else {}
    for one in record_of(name)["trial"]["chains"]:
        relay, brake = f"{one['name']} brake relay", one["brake"]
        assert (brake is None) == (relay not in parts_of)
        assert (brake is None) == (one["brake_reason"] is not None)
        if brake is None:
            continue
        assert found.netlist is not None
        wires = [set(wire.ends) for wire in found.netlist.wires]
        motor = f"{one['name']} {one['motor']}"
        assert [end for end in wires if brake["off"] in end] == [{f"{motor}.a", brake["off"]}]
        start, end = brake["read"].split(" and ")
        assert {f"{relay}.out", f"{one['name']} brake resistor.in"} in wires
        assert (start, end) == (f"{relay}.in", f"{one['name']} brake resistor.out")
        assert brake["resistance_ohm"] == pytest.approx(float(parts_of[f"{one['name']} brake resistor"].resistance))
        plus, minus = brake["stop_at"].split(" and ")
        line = [pair for pair in wires if plus in pair]
        assert any("isolator.out" in pair for pair in line)  # from which the control hangs
        assert any("isolator.out" in pair and any("control" in at for at in pair) for pair in wires)
        assert {f"{relay}.coil-minus", minus} in wires


def test_a_motor_that_turns_alone_is_not_told_to_be_unable_to_turn() -> None:
    """A winch geared six to one: its motor turns at the bench, and cannot start the load on the rope."""
    plan = read_text(edit(starter("winch"), {"chains.winch.reduction.ratio": 6})).machine
    found = trial_record(plan, design.evidence(plan))["trial"]
    assert all(step["reason"] is None and step["motor_speed_rad_s"] > 0.0 for step in found["chains"][0]["steps"])
    reasons = [one["reason"] for state in found["charges"][0]["states"] for one in state["chains"] if not one["works"]]
    assert "the motor cannot start that load from a standstill" in reasons
