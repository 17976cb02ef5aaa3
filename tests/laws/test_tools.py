"""Every kind of tool through its starter file: its ledger, its wastes, its day, what it is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from headrace import design, machine
from headrace.design.losses import losses
from headrace.design.workings import addresses, worked_record
from headrace.drive.point import Outcome
from headrace.drive.tools import TOOLS, tool_of
from headrace.errors import MachineFileError
from headrace.explore.packs import pack_map
from headrace.explore.shares import of_the_tool
from headrace.findings import judge, raised
from headrace.machine.draws import draws
from headrace.machine.values import lanes_of
from headrace.machine.works import Pump, Wheels
from headrace.machine.writing import STARTERS
from tests.machines import book, evidence_of, point, started, terminals


def test_every_kind_of_tool_has_a_starter() -> None:
    kinds = {type(chain.work) for name in STARTERS for chain in started(name).chains}
    assert kinds == set(TOOLS)


@pytest.mark.parametrize("name", STARTERS)
def test_the_ledger_closes_in_every_state_and_every_draw(name: str) -> None:
    plan = draws(started(name), 20, 3)
    for duty in plan.job.states:
        if plan.chains[0].name in duty.off:
            continue
        found, ledger = point(plan, duty), book(plan, duty)
        assert np.max(np.where(found.works, ledger.closure, 0.0)) < 1e-9, duty.name
        paid = np.asarray(ledger.useful + sum(line.loss for line in ledger.lines))
        assert np.allclose(paid[found.works], np.broadcast_to(ledger.source, paid.shape)[found.works], rtol=1e-9)
        assert all(np.all(np.asarray(line.loss) >= -1e-9) for line in ledger.lines), duty.name


@pytest.mark.parametrize("name", STARTERS)
def test_a_waste_scaled_to_nothing_is_gone_and_halved_is_half(name: str) -> None:
    """At one pace of the tool; slip and sheaves are scaled by what makes them, so only nearly.

    A pump of efficiency 1 still pays for a flow that is not its best one.
    """
    plan = started(name)
    duty = max((state for state in plan.job.states if state.loaded), key=lambda s: s.slope + s.load + s.sward)
    work, tool, air = plan.chains[0].work, tool_of(plan.chains[0].work), plan.job.ambient
    speed = float(point(plan, duty).tool_speed)
    for place, waste in enumerate(tool.wastes(work, duty, plan.job, air, speed)):
        left = []
        for share in (0.0, 0.5):
            scaled = tool.scaled(work, waste.kind, share)
            held = tool.speed_at(scaled, tool.pace_at(work, speed))
            left.append(float(tool.wastes(scaled, duty, plan.job, air, held)[place].watts))
        kept = _misfit(work, speed) if isinstance(work, Pump) and waste.kind == "pump" else 0.0
        assert left[0] == pytest.approx(kept, rel=1e-9, abs=1e-9), waste.name
        halved = 0.5 * float(waste.watts)
        assert left[1] == pytest.approx(halved, rel=0.06), waste.name


def _misfit(pump: Pump, speed: float) -> float:
    """What is left of a pump's loss at an efficiency of 1: (1 - x)² (σ + (r - 1) x) of the power at the best point."""
    turned = speed / float(pump.speed)
    fall = (pump.shut_off_head - pump.head) / pump.flow**2
    flow = math.sqrt((pump.shut_off_head * turned**2 - pump.lift) / (fall + pump.pipe))
    x, steep = flow / (pump.flow * turned), pump.shut_off_head / pump.head - 1.0
    at_best = pump.density * 9.80665 * pump.flow * pump.head * turned**3
    return float(at_best * (1.0 - x) ** 2 * (pump.no_flow_share + steep * x))


@pytest.mark.parametrize("name", STARTERS)
def test_the_whole_job_is_done_and_the_starter_raises_no_stop(name: str) -> None:
    evidence = evidence_of(name)
    assert not [found.says for found in raised(judge(evidence), ()) if found.level == "stop"]
    assert float(evidence.days.new.amount) > 0.0
    assert float(evidence.days.new.well_done) == pytest.approx(float(evidence.days.new.amount))


def test_a_chain_that_is_off_draws_nothing_and_the_pack_rests() -> None:
    plan = started("winch")
    states = {state.state.name: state for state in losses(plan, design.day(plan))}
    resting = states["hooking up"].chains[0].point
    assert int(resting.outcome) == Outcome.OFF
    assert float(resting.battery_current) == 0.0 == float(resting.tool_speed)
    always = replace(plan, job=replace(plan.job, states=(replace(plan.job.states[0], share=1.0),)))
    half, whole = (design.until_empty(p, keep_trace=False) for p in (plan, always))
    assert float(half.duration) > 1.9 * float(whole.duration)  # half of the time it stands
    assert float(half.amount) == pytest.approx(float(whole.amount), rel=0.05)


def test_wheels_carry_their_pack_in_every_lane_of_the_map() -> None:
    plan = started("cart")
    mapped = pack_map(plan, (8, 10), (3, 6))
    wheels = mapped.evidence.machine.chains[0].work
    assert isinstance(wheels, Wheels)
    cells = np.array([[8 * 3, 8 * 6], [10 * 3, 10 * 6]])[..., np.newaxis]
    assert lanes_of(mapped.evidence.machine) == (2, 2, 1)
    assert wheels.pack_mass == pytest.approx(cells * plan.source.cell.mass * (1.0 + plan.source.extra_mass))
    drawn = draws(plan, 6, 1)
    again = pack_map(drawn, (10,), (int(plan.source.parallel),)).evidence.machine.chains[0].work
    own = drawn.chains[0].work
    assert isinstance(again, Wheels)
    assert isinstance(own, Wheels)
    assert np.ravel(again.pack_mass) == pytest.approx(np.ravel(own.pack_mass), rel=1e-12)


def test_heavier_and_steeper_take_more_and_downhill_takes_no_less_than_nothing() -> None:
    plan = started("cart")
    uphill = next(state for state in plan.job.states if state.slope > 0.0)
    watts = [float(book(plan, replace(uphill, load=load)).source) for load in (0.0, 60.0, 120.0)]
    assert watts == sorted(watts)
    down = replace(uphill, slope=-0.3)
    assert float(point(plan, down).battery_current) >= 0.0
    assert float(book(plan, down).useful) == 0.0
    assert terminals(plan).voltage > 0.0
    assert judge(evidence_of("cart"))


@pytest.mark.parametrize("name", ["winch", "saw"])
def test_a_state_in_which_the_tool_stands_is_no_slow_one(name: str) -> None:
    """The slowest pace, and the working behind the pace of the day, are of the states in which the tool works."""
    short = machine.edit(machine.starter(name), {"limits.time": "3 min", "source.parallel": 4})
    plan = machine.read_text(short, file=f"{name}.toml").machine
    assert any(plan.chains[0].name in state.off for state in plan.job.states)
    slowest = float(of_the_tool(plan)[0, 0])
    assert slowest == pytest.approx(float(design.evidence(plan).corners.slowest[0]), rel=0.2)
    known = addresses(worked_record(design.solve(plan)))
    for when in ("full", "empty"):
        found = known[f"day.{tool_of(plan.chains[0].work).pace.key}_{when}"]
        assert float(found) > 0.0
        assert found.node.again() == pytest.approx(float(found), rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "changes", "said"),
    [
        ("winch", {"job.hauling.off": ["winch"]}, "is never at work"),
        ("cart", {"job.empty.idle": True}, "wheels that turn move the machine"),
    ],
)
def test_what_a_tool_cannot_do_is_refused(kind: str, changes: dict[str, object], said: str) -> None:
    with pytest.raises(MachineFileError, match=said):
        machine.read_text(machine.edit(machine.starter(kind), changes), file=f"{kind}.toml")
    level = machine.starter("winch").replace('slope = "20 °"', "")
    with pytest.raises(MachineFileError, match="the winch needs it"):
        machine.read_text(level, file="winch.toml")


def test_wheels_that_push_harder_than_the_ground_holds_spin() -> None:
    """A cart of 45 kg with its pack and load: rolling and grade over the weight, against grip × share × cos."""
    plan = machine.read_text(
        machine.edit(machine.starter("cart"), {"chains.axle.work.grip": 0.1, "chains.axle.work.driven_share": 0.6}),
        file="cart.toml",
    ).machine
    found = {finding.slug: finding for finding in raised(judge(design.evidence(plan)), ())}["wheels-spin"]
    wheels = plan.chains[0].work
    assert isinstance(wheels, Wheels)
    weights = [(float(wheels.mass + wheels.pack_mass + s.load) * 9.80665, float(s.slope)) for s in plan.job.states]
    asked = [w * (math.sin(a) + float(wheels.rolling) * math.cos(a)) for w, a in weights]
    held = [0.1 * 0.6 * w * math.cos(a) for w, a in weights]
    worst = max(range(len(asked)), key=lambda k: asked[k] / held[k])
    assert found.value == pytest.approx(asked[worst], rel=1e-3)
    assert found.limit == pytest.approx(held[worst], rel=1e-3)


def test_what_was_never_held_against_a_limit_is_not_said_to_be_in_order() -> None:
    judged = {j.rule.slug: j for j in judge(evidence_of("chipper"))}
    assert not judged["blade-coasts"].verdict.held
    assert not judged["tip-too-fast"].verdict.held
    assert judged["runs-on-after-release"].verdict.held
    assert judged["runs-on-after-release"].at(()).value > 30.0  # s, a flywheel


def test_a_pump_lifts_nothing_below_the_speed_at_which_its_flow_starts() -> None:
    """A height of 14.9 m of the 15 m it pushes at 2900 rpm: nearly empty it turns slower, and the answer says so."""
    text = machine.edit(machine.starter("pump"), {"chains.pump.work.lift": "14.9 m", "source.series": 8})
    plan = machine.read_text(text, file="pump.toml").machine
    found = point(plan, plan.job.states[0], 0.2)
    assert found.outcome == Outcome.FULL_VOLTAGE
    assert float(tool_of(plan.chains[0].work).pace_at(plan.chains[0].work, found.tool_speed)) == 0.0
    said = {f.slug: f.says for f in raised(judge(design.evidence(plan)), ())}
    assert "without flow" in said["too-slow-when-empty"]


def test_a_wider_hose_saves_more_at_the_cells_than_its_own_loss() -> None:
    """At the same flow the pump turns slower: the watts saved pass back through pump, motor and cells."""
    plan = started("pump")
    states = losses(plan, design.day(plan))
    lines, savings = states[0].chains[0].ledger.lines, states[0].chains[0].savings
    place = next(k for k, line in enumerate(lines) if line.kind == "pipe")
    assert float(savings[place].removed) > 1.3 * float(lines[place].loss)
    assert 0.0 < float(savings[place].halved) < float(savings[place].removed)


def test_a_label_gives_a_wide_band_and_says_so() -> None:
    """Half of the plate, a quarter to nine tenths."""
    text = machine.edit(machine.starter("shaft"), {"chains.mill.work.label": "1 kW", "job.filling.idle": False})
    plan = machine.read_text(text, file="shaft.toml").machine
    known = plan.pedigree["job.filling.demand"]
    assert known.typical == pytest.approx(500.0)
    assert known.basis == "assumed"
    assert known.high / known.low == pytest.approx(3.6, rel=0.05)
    assert "known-by-a-label" in {f.slug for f in raised(judge(design.evidence(plan)), ())}
    bare = machine.edit(machine.starter("shaft"), {"job.filling.idle": False})
    with pytest.raises(MachineFileError, match="a shaft without a label needs it"):
        machine.read_text(bare, file="shaft.toml")
