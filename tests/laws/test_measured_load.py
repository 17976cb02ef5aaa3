"""A load known by a measured table: what is read off it, where it is solved, and what a file may not say."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from headrace import design, machine
from headrace.design.corners import points_at
from headrace.design.workings import addresses, worked_record
from headrace.drive.ledger import ledger
from headrace.drive.point import Outcome
from headrace.drive.tools import tool_of
from headrace.errors import MachineFileError
from headrace.findings import judge, raised
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.machine.values import first_lane, lanes_of, some_lanes
from headrace.machine.works import Measured
from tests.laws.test_corded import CAGE, SERIES, WALL
from tests.machines import book, point, terminals, warmth

TEXT = machine.starter("measured")
RPM = 2.0 * math.pi / 60.0
FALLING = [["0 rpm", "40 N·m"], ["300 rpm", "30 N·m"], ["500 rpm", "6 N·m"], ["900 rpm", "5 N·m"]]
AT = "chains.grinder.work.points"


def grinder(**changes: object) -> Machine:
    """Return the starter with other values; two underscores stand for a dot."""
    text = machine.edit(TEXT, {key.replace("__", "."): value for key, value in changes.items()})
    return machine.read_text(text, file="measured.toml").machine


def load_of(plan: Machine) -> Measured:
    work = plan.chains[0].work
    assert isinstance(work, Measured)
    return work


def amps(torque: float, turns: float) -> float:
    """Return the motor's amps by hand: the belt passes on 0.985 with a creep of 1 % and takes 0.04 N·m, 5 to 1; the
    motor makes 95 rpm a volt and takes 1.8 A without load."""  # fmt: skip
    motor = torque * turns / 0.985 / (1.0 - 0.01) / (turns * 5.0 / (1.0 - 0.01)) + 0.04
    return motor * 95.0 * RPM + 1.8


def volts(turns: float, current: float) -> float:
    """Return the volts it needs for them: its own, 60 mΩ and the controller's 5, and one volt of the brushes."""
    return turns * 5.0 / (1.0 - 0.01) / 95.0 + 0.065 * current + 1.0


# --- where it works ----------------------------------------------------------------------------------


def test_a_falling_table_is_solved_at_its_faster_crossing() -> None:
    """At 300 rpm it asks for more than the controller's 40 A, at 500 rpm for 14; both crossings lie above 300 rpm.

    The slow one by hand: (40 A - 1.8 A) / 9.948 A/N·m - 0.04 N·m leaves 3.80 N·m at the motor, 18.7 at the tool, and
    30 - (turns - 300) × 24 / 200 is that at 394 rpm. From there on it runs up to where the volts are used up.
    """
    plan = grinder(chains__grinder__work__points=FALLING)
    found = point(plan, plan.job.states[0])
    turns = float(found.tool_speed) / RPM
    assert amps(30.0, 300.0) > 40.0 > amps(6.0, 500.0)
    slow = 300.0 + (30.0 - ((40.0 - 1.8) / (95.0 * RPM) - 0.04) * 5.0 * 0.985) * 200.0 / 24.0
    assert slow == pytest.approx(394.0, abs=1.0)
    assert found.outcome == Outcome.FULL_VOLTAGE
    assert turns > 1.5 * slow
    torque = 6.0 - (turns - 500.0) / 400.0
    assert float(found.motor_current) == pytest.approx(amps(torque, turns), rel=0.02)
    assert float(found.bus_voltage) == pytest.approx(volts(turns, amps(torque, turns)), rel=0.02)
    assert float(book(plan, plan.job.states[0]).closure) < 1e-9


def test_what_holds_its_speed_and_cannot_reach_it_is_told() -> None:
    """The same table, with no state in which it gets to speed without load."""
    for idle, said in ((True, False), (False, True)):
        plan = grinder(chains__grinder__work__points=FALLING, job__filling__idle=idle)
        slugs = {finding.slug for finding in raised(judge(design.evidence(plan)), ())}
        assert ("cannot-start" in slugs) is said


def test_a_falling_table_that_is_too_much_at_every_speed_is_a_stall() -> None:
    """25 N·m at 900 rpm are 51 A, more than the controller's 40."""
    rows = [["0 rpm", "60 N·m"], ["300 rpm", "40 N·m"], ["900 rpm", "25 N·m"]]
    plan = grinder(chains__grinder__work__points=rows)
    found = point(plan, plan.job.states[0])
    assert amps(25.0, 900.0) > 50.0
    assert found.outcome in (Outcome.STALL, Outcome.NO_CROSSING)
    assert float(found.tool_speed) == 0.0
    assert float(found.motor_current) == pytest.approx(40.0)


def test_the_ends_of_the_table_are_held() -> None:
    """With the rows cut off above 500 rpm, it runs on with the 4.4 N·m of the last of them."""
    rows = [["300 rpm", "4.1 N·m"], ["500 rpm", "4.4 N·m"]]
    plan = grinder(chains__grinder__work__points=rows)
    found, paid = point(plan, plan.job.states[0]), book(plan, plan.job.states[0])
    assert float(found.tool_speed) > 600.0 * RPM
    assert float(paid.useful) == pytest.approx(4.4 * float(found.tool_speed), rel=1e-12)
    slow = tool_of(plan.chains[0].work).useful(plan.chains[0].work, plan.job.states[0], plan.job, 100.0 * RPM)
    assert float(slow) == pytest.approx(4.1 * 100.0 * RPM, rel=1e-12)


# --- what a state asks of it -------------------------------------------------------------------------


def test_a_state_asks_for_a_portion_of_the_table_or_for_watts_of_its_own() -> None:
    half, more = (grinder(job__grinding__portion=portion) for portion in ("50 %", 1.5))
    turns = 600.0 * RPM
    for plan, portion in ((half, 0.5), (grinder(), 1.0), (more, 1.5)):
        work, state = plan.chains[0].work, plan.job.states[0]
        assert float(tool_of(work).rate(work, state, plan.job, turns)) == pytest.approx(portion * 4.8 * turns)
        paid = book(plan, state)
        assert float(paid.closure) < 1e-9
        assert float(paid.useful) > 0.0
    assert float(point(half, half.job.states[0]).tool_speed) > float(point(more, more.job.states[0]).tool_speed)
    watts = grinder(job__grinding__power="200 W")
    assert float(book(watts, watts.job.states[0]).useful) == pytest.approx(200.0)
    idle = next(state for state in watts.job.states if not state.loaded)
    assert float(book(watts, idle).useful) == 0.0


@pytest.mark.parametrize("changes", [{"job__grinding__portion": 3.5}, {"job__grinding__portion": -0.1}])
def test_a_portion_stays_between_nothing_and_three_times_the_table(changes: dict[str, object]) -> None:
    with pytest.raises(MachineFileError, match="must be 0 to 3"):
        grinder(**changes)


def test_the_state_that_takes_most_of_a_table_is_named_as_the_heaviest() -> None:
    """Two states under load, the second with more of the table; it is the one that is too slow."""
    text = machine.edit(TEXT, {"job.grinding.portion": 0.5, "job.filling.idle": False, "job.filling.portion": 2.5})
    text = machine.edit(text, {"limits.tool_speed_min": "700 rpm"})
    found = raised(judge(design.evidence(machine.read_text(text, file="measured.toml").machine)), ())
    said = {finding.slug: finding.says for finding in found}
    assert "in filling, 250 % of its table" in said["too-slow-when-empty"]


# --- lanes -------------------------------------------------------------------------------------------


def test_the_spread_moves_the_whole_curve_and_the_table_is_in_every_lane_whole() -> None:
    """As many lanes as the table has rows: the one case in which cutting it up would not be noticed by its shape."""
    plan = draws(grinder(chains__grinder__work__spread="0.7..1.4"), 5, 4)
    work = load_of(plan)
    assert lanes_of(plan) == (6,) == work.table_speed.shape
    state = plan.job.states[0]
    found, paid = point(plan, state), book(plan, state)
    by_hand = np.interp(found.tool_speed, work.table_speed, work.table_torque) * np.asarray(work.spread)
    assert np.allclose(paid.useful, by_hand * found.tool_speed, rtol=1e-12)
    assert np.max(paid.closure) < 1e-9
    assert np.ptp(np.asarray(work.spread)) > 0.2
    for lane in range(6):
        alone = first_lane(some_lanes(plan, (6,), np.array([lane])))
        assert load_of(alone).table_torque.shape == (6,)
        assert float(point(alone, state).tool_speed) == pytest.approx(float(found.tool_speed[lane]), rel=1e-11)


def test_a_stronger_curve_runs_slower_in_every_draw() -> None:
    plan = grinder()
    weak, strong = (
        replace(plan, chains=(replace(plan.chains[0], work=replace(load_of(plan), spread=spread)),))
        for spread in (0.9, 1.1)
    )
    charges = np.linspace(0.1, 1.0, 7)
    speeds = [point(case, case.job.states[0], charges).tool_speed for case in (weak, strong)]
    assert np.all(speeds[0] > speeds[1])


@pytest.mark.parametrize("other", ["shaft", "pump"])
def test_two_chains_on_one_pack_each_have_their_own_load(other: str) -> None:
    """The volts both leave are those the source holds under both, and each ledger closes on its share."""
    plan = grinder()
    beside = machine.read_text(machine.starter(other), file=f"{other}.toml").machine.chains[0]
    both = replace(plan, chains=(plan.chains[0], beside))
    state = replace(both.job.states[0], demand=200.0)
    source = terminals(both, np.linspace(0.2, 1.0, 6))
    found = points_at(both, state, source, [warmth(both)] * 2)
    total = sum(each.battery_current for each in found)
    assert np.allclose(source.voltage - source.resistance * total, found[0].terminal_voltage, rtol=1e-9)
    for chain, each, next_to in zip(both.chains, found, found[::-1], strict=True):
        paid = ledger(chain, state, both.job, warmth(both), each, source, next_to.battery_current)
        assert np.all(each.works)
        assert np.max(paid.closure) < 1e-9


@pytest.mark.parametrize("motor", [SERIES, CAGE])
def test_a_corded_motor_turns_it_too(motor: str) -> None:
    """The drum of the mains tests by a table about the 2 N·m it had, behind its gears of 12 to 1."""
    text = WALL.replace("MOTOR", motor).replace('kind = "shaft"', 'kind = "measured"').replace('demand = "300 W"', "")
    rows = 'points = [["50 rpm", "1.8 N·m"], ["900 rpm", "2 N·m"], ["1500 rpm", "2.4 N·m"]]'
    text = text.replace('speed = "1400 rpm"\ntorque = "the-same"', rows)
    plan = draws(machine.read_text(text).machine, 8, 2)
    found, paid = point(plan, plan.job.states[0]), book(plan, plan.job.states[0])
    assert np.all(found.works)
    assert np.max(paid.closure) < 1e-9


# --- its working -------------------------------------------------------------------------------------


def test_its_watts_are_explained_down_to_the_table() -> None:
    known = addresses(worked_record(design.solve(grinder(limits__time="3 min"))))
    useful = known["losses.grinding.useful"]
    behind = list(useful.node.all())
    assert "measured_power" in {node.name for node in behind}
    assert "measured torque in chains.grinder.work.points" in {node.name for node in behind if node.kind == "table"}
    assert "chains.grinder.work.spread" in {getattr(node.origin, "address", "") for node in behind}
    assert useful.node.again() == pytest.approx(float(useful), rel=1e-12)


# --- what a file may not say -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "said", "key"),
    [
        ('["300 rpm", "4.1 kg"],', "must be a torque; kg makes it a mass", f"{AT}[2][1]"),
        ('["300 rpm", "-4.1 N·m"],', "must be 0 to 5000 N·m", f"{AT}[2][1]"),
        ('["300 rpm", "4..5 N·m"],', "a point of a table has no low and high", f"{AT}[2][1]"),
        ('["30 rpm", "4.1 N·m"],', 'must be faster than the row before it, "100 rpm"', f"{AT}[2][0]"),
        ('["100 rpm", "4.1 N·m"],', 'must be faster than the row before it, "100 rpm"', f"{AT}[2][0]"),
        ('["300 rpm"],', "is missing; a row is a pair", f"{AT}[2][1]"),
        ('["300 rpm", "4 N·m", "5 N·m"],', "must have at most 2", f"{AT}[2]"),
        ('"300 rpm",', "must be a pair", f"{AT}[2]"),
        ('["300", "4.1 N·m"],', "", f"{AT}[2][0]"),
    ],
)
def test_a_row_that_cannot_be_is_told_at_its_line(row: str, said: str, key: str) -> None:
    text = TEXT.replace('["300 rpm", "4.1 N·m"],', row)
    with pytest.raises(MachineFileError) as trouble:
        machine.read_text(text, file="measured.toml")
    (found,) = trouble.value.problems
    assert found.key == key
    assert found.line == next(n for n, line in enumerate(text.split("\n"), 1) if line.strip() == row.strip())
    assert said in found.limit


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([["100 rpm", "1 N·m"]], "must have at least 2"),
        ([[f"{n} rpm", "1 N·m"] for n in range(1, 62)], "must have at most 60"),
        ([["1 rpm", "0 N·m"], ["2 rpm", "0 N·m"]], "must have a torque above zero"),
        ("4 N·m", "must be a list"),
        ([], "must have at least 2"),
    ],
)
def test_a_table_that_is_none_is_refused(points: object, said: str) -> None:
    with pytest.raises(MachineFileError, match=said):
        machine.read_text(machine.edit(TEXT, {AT: points}), file="measured.toml")


def test_a_portion_and_watts_say_the_same_and_other_tools_take_none() -> None:
    with pytest.raises(MachineFileError, match="says the same as portion"):
        machine.read_text(machine.edit(TEXT, {"job.grinding.portion": 1.0, "job.grinding.power": "1 W"}))
    with pytest.raises(MachineFileError, match="is nothing that shaft takes"):
        machine.read_text(machine.edit(machine.starter("shaft"), {"job.grinding.portion": 1.0}))
    with pytest.raises(MachineFileError, match="is nothing that measured takes"):
        machine.read_text(machine.edit(TEXT, {"job.grinding.demand": "100 W"}))
