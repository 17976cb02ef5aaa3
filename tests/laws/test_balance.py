"""Every watt that enters leaves as useful work or as a named loss, in every state and under every limit."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from headrace.drive.bus import solve_together
from headrace.drive.demand import work_terms
from headrace.drive.ledger import Ledger, ledger
from headrace.drive.links import parts
from headrace.drive.point import Outcome
from headrace.machine.draws import draws
from headrace.machine.links import Controller, Transmission
from headrace.machine.records import Machine
from tests.machines import (
    alley,
    blade,
    book,
    controller,
    magnet_train,
    motor,
    point,
    state,
    terminals,
    warmth,
    with_link,
)

CLOSED = 1e-9
CHARGES = np.linspace(0.02, 1.0, 50)


def assert_closed(found: Ledger, works: np.ndarray) -> None:
    assert np.any(works)
    assert np.max(np.where(works, found.closure, 0.0)) < CLOSED


def variants() -> dict[str, Machine]:
    plan = alley()
    chain = plan.chains[0]
    belt = Transmission("belt", "v-belt", 1.3, 0.96, 0.01, 0.05, 1e-4)
    belted = replace(chain, links=(chain.links[0], belt, *chain.links[1:]))
    slow = point(plan, state(plan)).motor_speed * 0.8
    return {
        "as built": plan,
        "belt": replace(plan, chains=(belted,)),
        "governed": with_link(plan, Controller, mode="governed", speed=float(slow)),
        "motor limit": with_link(plan, Controller, motor_current=float(point(plan, state(plan)).motor_current) * 0.9),
        "battery limit": with_link(
            plan, Controller, battery_current=float(point(plan, state(plan)).battery_current) * 0.9
        ),
    }


@pytest.mark.parametrize("name", list(variants()))
def test_the_ledger_closes_in_every_duty_state(name: str) -> None:
    plan = variants()[name]
    turning = [point(plan, duty, CHARGES).motor_speed > 0.0 for duty in plan.job.states]
    assert sum(bool(np.any(works)) for works in turning) >= 2  # a limit may leave the heaviest grass no crossing at all
    for duty, works in zip(plan.job.states, turning, strict=True):
        assert np.max(np.where(works, book(plan, duty, CHARGES).closure, 0.0)) < CLOSED


def test_the_ledger_closes_in_every_draw_of_every_band() -> None:
    drawn = draws(alley(), 500, 1)
    for duty in drawn.job.states:
        works = point(drawn, duty).motor_speed > 0.0
        assert works[0]
        assert_closed(book(drawn, duty), works)


@pytest.mark.parametrize(
    ("name", "outcome"),
    [
        ("as built", Outcome.FULL_VOLTAGE),
        ("governed", Outcome.SET_SPEED),
        ("motor limit", Outcome.MOTOR_LIMIT),
        ("battery limit", Outcome.BATTERY_LIMIT),
    ],
)
def test_the_variants_meet_the_limit_they_are_named_after(name: str, outcome: Outcome) -> None:
    plan = variants()[name]
    assert int(point(plan, state(plan), 1.0).outcome) == outcome


@pytest.mark.parametrize("name", list(variants()))
def test_each_output_is_the_next_input(name: str) -> None:
    found = book(variants()[name], state(variants()[name]))
    powers = [found.useful, *(line.power_in for line in found.lines)]
    for line, before in zip(found.lines, powers, strict=False):
        assert line.power_out == pytest.approx(before, rel=1e-15)
        assert line.power_in == pytest.approx(line.power_out + line.loss, rel=1e-15)
        assert np.all(np.asarray(line.loss) >= 0.0)


def test_a_governed_controller_settles_between_full_duty_and_full_switching() -> None:
    """Just above the speed it can hold without switching, part of the switching loss is paid; the balance holds."""
    plan = alley()
    top = float(point(plan, state(plan)).motor_speed)
    speeds = top * (1.0 - np.linspace(0.0, 0.02, 400))
    governed = with_link(plan, Controller, mode="governed", speed=speeds)
    found = point(governed, state(governed))
    assert_closed(book(governed, state(governed)), found.motor_speed > 0.0)
    assert np.any((found.switched > 0.0) & (found.switched < 1.0))
    assert np.all(found.duty <= 1.0 + 1e-12)


@settings(max_examples=60, deadline=None)
@given(
    windage=st.floats(0.002, 0.05),
    sward=st.floats(0.0, 2.0),
    constant=st.floats(0.03, 0.3),
    resistance=st.floats(0.005, 0.5),
    series=st.integers(2, 24),
    parallel=st.integers(1, 20),
    charge=st.floats(0.0, 1.0),
    motor_limit=st.sampled_from([math.inf, 80.0, 30.0, 10.0]),
    battery_limit=st.sampled_from([math.inf, 60.0, 20.0, 5.0]),
    set_speed=st.sampled_from([math.inf, 350.0, 200.0]),
)
def test_any_machine_closes_or_says_why_not(**drawn: float) -> None:
    plan = alley()
    chain = plan.chains[0]
    row = parts(chain)
    wound = replace(motor(plan), constant=drawn["constant"], resistance=drawn["resistance"])
    set_up = replace(
        row.controller,
        mode="governed",
        speed=drawn["set_speed"],
        motor_current=drawn["motor_limit"],
        battery_current=drawn["battery_limit"],
        cut_out=0.0,
    )
    links = tuple(wound if k is row.motor else set_up if k is row.controller else k for k in chain.links)
    chain = replace(
        chain,
        work=replace(blade(plan), windage=drawn["windage"]),
        links=links,
    )
    source = replace(plan.source, series=float(drawn["series"]), parallel=float(drawn["parallel"]))
    plan = replace(plan, chains=(chain,), source=source)
    duty = replace(state(plan), sward=drawn["sward"])
    found = point(plan, duty, drawn["charge"])
    for value in (found.motor_speed, found.motor_current, found.battery_current, found.bus_voltage, found.duty):
        assert np.all(np.isfinite(value))
    if Outcome(int(found.outcome)) < Outcome.NO_CROSSING and found.motor_speed > 0.0:
        assert float(book(plan, duty, drawn["charge"]).closure) < CLOSED
        assert float(found.motor_current) <= drawn["motor_limit"] * (1.0 + 1e-9)
        assert float(found.battery_current) <= drawn["battery_limit"] * (1.0 + 1e-6)
        assert float(found.motor_speed) <= drawn["set_speed"]


def test_two_chains_share_one_bus() -> None:
    """Two equal chains meet at one bus voltage; each closes, and the sum of both closes at the cells."""
    plan = alley()
    duty, warm, offered = state(plan), warmth(plan), terminals(plan)
    row = parts(plan.chains[0])
    case = magnet_train(row, work_terms(row, plan.chains[0].work, duty, plan.job, warm.air), warm)
    alone = solve_together([case], offered)[0]
    both = solve_together([case, case], offered)
    total = both[0].battery_current + both[1].battery_current
    assert both[0].terminal_voltage == pytest.approx(offered.voltage - offered.resistance * total, rel=1e-9)
    assert both[0].motor_speed == pytest.approx(both[1].motor_speed, rel=1e-12)
    assert both[0].motor_speed < alone.motor_speed
    for own, other in (both, both[::-1]):
        found = ledger(plan.chains[0], duty, plan.job, warm, own, offered, other.battery_current)
        assert float(found.closure) < CLOSED
    # a chain that shares with one that asks for nothing is a chain alone
    idle = replace(case, current=type(case.current)(0.0, 0.0, 0.0, 0.0), idle_power=0.0)
    shared = solve_together([case, idle], offered)[0]
    assert shared.motor_speed == pytest.approx(alone.motor_speed, rel=1e-9)


def test_doubling_the_parallel_cells_halves_the_loss_at_the_same_current() -> None:
    plan = alley()
    wide = replace(plan, source=replace(plan.source, parallel=2.0 * plan.source.parallel))
    assert terminals(wide).resistance == pytest.approx(0.5 * terminals(plan).resistance, rel=1e-12)
    assert controller(wide) is controller(plan)


def test_the_ledger_needs_only_what_the_point_says() -> None:
    """Shift the speed the solver reports by a millionth and the books no longer close."""
    plan = alley()
    found = point(plan, state(plan))
    off = replace(found, motor_speed=found.motor_speed * (1 + 1e-6), tool_speed=found.tool_speed * (1 + 1e-6))
    shifted = ledger(plan.chains[0], state(plan), plan.job, warmth(plan), off, terminals(plan))
    assert float(shifted.closure) > 100 * CLOSED
