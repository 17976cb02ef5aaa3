"""The operating point: found from the fast side, checked on both sides, and honest where there is none."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from headrace.design.corners import slow_crossing_of
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.point import Outcome
from headrace.drive.solve import solve
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.links import Controller
from headrace.physics.torque_terms import TorqueTerms
from tests.machines import alley, magnet_train, point, state, terminals, warmth, with_link, with_pack


def excess(case: Train, offered: Terminals, speed: float) -> float:
    """The tighter of volts left over at full duty and amps left over at the motor, written out once more."""
    power, constant, linear, square = case.current
    current = power / speed + constant + linear * speed + square * speed**2
    needed = case.constant * speed + case.resistance * current + case.brush_drop
    loop = case.wiring + offered.resistance
    left = offered.voltage - loop * (current + case.idle_power / needed) - needed
    return float(min(left, case.motor_limit - current))


def reduced(sward: float | None = None) -> tuple[Train, Terminals]:
    plan = alley()
    duty = state(plan)
    duty = duty if sward is None else replace(duty, sward=sward)
    row = parts(plan.chains[0])
    warm = warmth(plan)
    return magnet_train(row, work_terms(row, plan.chains[0].work, duty, plan.job, warm.air), warm), terminals(plan)


def test_it_agrees_with_a_library_root_finder_on_the_unreduced_balance() -> None:
    case, offered = reduced()
    found = float(solve(case, offered).motor_speed)
    top = float((offered.voltage - case.brush_drop) / case.constant)
    assert found == pytest.approx(brentq(lambda w: excess(case, offered, w), 0.5 * top, top, xtol=1e-12), rel=1e-12)


def test_the_margin_changes_sign_at_the_point_from_plus_below_to_minus_above() -> None:
    case, offered = reduced()
    found = float(solve(case, offered).motor_speed)
    assert excess(case, offered, found * (1.0 - 1e-9)) > 0.0 > excess(case, offered, found * (1.0 + 1e-9))


def test_lanes_are_the_same_machine_as_one() -> None:
    plan = alley()
    charges = np.linspace(0.05, 1.0, 40)
    together = point(plan, state(plan), charges)
    for lane, charge in enumerate(charges):
        alone = point(plan, state(plan), float(charge))
        assert float(alone.motor_speed) == pytest.approx(float(together.motor_speed[lane]), rel=1e-13)
        assert int(alone.outcome) == int(together.outcome[lane])


def test_more_lanes_than_a_block_give_the_same_answers() -> None:
    plan = alley()
    charges = np.resize(np.linspace(0.05, 1.0, 40), 40_000)
    many = point(plan, state(plan), charges).motor_speed
    assert np.allclose(many[:40], many[16400:16440], rtol=1e-13)
    assert many[-1] == pytest.approx(float(point(plan, state(plan), float(charges[-1])).motor_speed), rel=1e-13)


@pytest.mark.parametrize("sward", [0.2, 0.6, 1.2])
def test_two_crossings_the_fast_one_is_returned_and_the_slow_one_told(sward: float) -> None:
    plan = alley()
    duty = replace(state(plan), sward=sward)
    case, offered = reduced(sward)
    slow = float(slow_crossing_of(plan.chains[0], duty, plan.job, warmth(plan), offered))
    fast = float(solve(case, offered).motor_speed)
    assert 0.0 < slow < fast
    case = replace(case, battery_limit=np.inf)
    assert excess(case, offered, slow * (1.0 - 1e-6)) < 0.0 < excess(case, offered, slow * (1.0 + 1e-6))


def test_grass_beyond_the_motor_is_no_crossing_and_never_a_bracket_end() -> None:
    case, offered = reduced(200.0)
    found = solve(case, offered)
    assert Outcome(int(found.outcome)) in (Outcome.NO_CROSSING, Outcome.CUT_OUT)
    assert float(found.motor_speed) == 0.0
    speeds = np.linspace(1.0, float(offered.voltage / case.constant), 2000)
    assert max(excess(case, offered, float(w)) for w in speeds) < 0.0


def test_a_drag_beyond_the_standstill_torque_is_a_stall() -> None:
    case, offered = reduced()
    held = replace(case, current=TorqueTerms(0.0, 1e5, 0.0, 0.0), cut_out=0.0)
    assert Outcome(int(solve(held, offered).outcome)) == Outcome.STALL


def test_a_trip_is_told_before_a_stall() -> None:
    plan = with_link(alley(), Controller, cut_out=1e3)
    assert Outcome(int(point(plan, state(plan)).outcome)) == Outcome.CUT_OUT


def test_an_unloaded_blade_has_no_slow_crossing() -> None:
    plan = alley()
    idle = state(plan, loaded=False)
    assert math.isnan(float(slow_crossing_of(plan.chains[0], idle, plan.job, warmth(plan), terminals(plan))))


def test_speed_rises_with_volts_and_falls_with_resistance() -> None:
    plan = alley()
    series = np.arange(8.0, 14.0)
    assert np.all(np.diff(point(with_pack(plan, series, 5.0), state(plan)).motor_speed) > 0.0)
    parallel = np.arange(1.0, 12.0)
    assert np.all(np.diff(point(with_pack(plan, 10.0, parallel), state(plan)).motor_speed) > 0.0)


def test_nothing_is_ever_not_a_number() -> None:
    plan = alley()
    rows, columns = np.meshgrid(np.arange(1.0, 25.0), np.arange(1.0, 21.0), indexing="ij")
    for duty in plan.job.states:
        for charge in (0.0, 0.1, 1.0):
            found = point(with_pack(plan, rows, columns), duty, charge)
            for name in ("motor_speed", "motor_current", "battery_current", "bus_voltage", "duty", "switched"):
                assert np.all(np.isfinite(getattr(found, name))), name


def test_a_battery_limit_above_what_is_drawn_changes_nothing_and_below_it_holds() -> None:
    plan = alley()
    free = point(plan, state(plan))
    drawn = float(free.battery_current)
    limits = drawn * np.linspace(0.9, 1.1, 81)
    held = point(with_link(plan, Controller, battery_current=limits), state(plan))
    assert np.all(held.battery_current <= limits * (1.0 + 1e-9))
    above = limits >= drawn
    assert np.allclose(held.motor_speed[above], float(free.motor_speed), rtol=1e-12)
    assert np.all(held.motor_speed[~above] < float(free.motor_speed))
    assert np.all(np.diff(held.motor_speed) >= -1e-9)


def test_the_slow_crossing_under_a_battery_limit_is_a_crossing() -> None:
    plan = with_link(alley(), Controller, battery_current=30.0)
    duty = state(plan)
    slow = float(slow_crossing_of(plan.chains[0], duty, plan.job, warmth(plan), terminals(plan)))
    governed = with_link(plan, Controller, mode="governed", speed=slow * np.array([0.99, 1.01]))
    assert list(point(governed, duty).motor_speed > 0.0) == [False, True]
