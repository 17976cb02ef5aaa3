"""Loads that are curves: the bracket finds what the walk finds, in every lane, alone and beside other chains."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest

from headrace import machine
from headrace.design.corners import points_at
from headrace.drive.curve import CurveAtMotor
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.point import Outcome, Point
from headrace.drive.solve import solve
from headrace.drive.train import Train
from headrace.machine.draws import draws
from headrace.machine.links import Controller
from headrace.machine.records import Lanes, Machine
from headrace.physics.torque_terms import TorqueTerms
from tests.machines import alley, magnet_train, state, terminals, warmth, with_link

CHARGES = np.linspace(0.05, 1.0, 12)


class Plain(NamedTuple):
    """Terms in the speed, handed over as if they were a curve."""

    constant: Lanes
    linear: Lanes
    square: Lanes

    def torque(self, speed: Lanes) -> Lanes:
        return self.constant + speed * (self.linear + speed * self.square)


def both(plan: Machine) -> tuple[Train, Train]:
    """Return the mower in its heaviest grass, its rising terms once as terms and once as a curve."""
    duty = state(plan, heaviest=True)
    whole = magnet_train(
        parts(plan.chains[0]),
        work_terms(parts(plan.chains[0]), plan.chains[0].work, duty, plan.job, 293.15),
        warmth(plan),
    )
    terms = whole.current
    rising = TorqueTerms(0.0, terms.constant, terms.linear, terms.square)
    curve = CurveAtMotor(Plain(terms.constant, terms.linear, terms.square), 1.0, 1.0)
    nothing = TorqueTerms(0.0, 0.0, 0.0, 0.0)
    return replace(whole, current=rising), replace(whole, current=nothing, curve=curve)


@pytest.mark.parametrize(
    "limits", [{}, {"motor_current": 12.0}, {"battery_current": 9.0}, {"speed": 250.0}, {"cut_out": 38.0}]
)
def test_a_curve_is_solved_as_its_terms_are(limits: dict[str, float]) -> None:
    plan = with_link(draws(alley(), 30, 5), Controller, **limits)
    walked, searched = (solve(case, terminals(plan, 0.4)) for case in both(plan))
    assert len(set(walked.outcome.tolist())) >= 1
    assert np.array_equal(walked.outcome, searched.outcome)
    for field in ("motor_speed", "motor_current", "battery_current", "bus_voltage", "duty"):
        assert np.allclose(getattr(walked, field), getattr(searched, field), rtol=1e-9), field


def test_what_cannot_turn_stands_as_it_does_on_terms() -> None:
    plan = with_link(alley(), Controller, motor_current=2.0)
    walked, searched = (solve(case, terminals(plan)) for case in both(plan))
    assert float(searched.motor_speed) == 0.0
    assert not searched.outcome <= Outcome.BATTERY_LIMIT
    assert float(walked.motor_speed) == 0.0
    assert float(searched.motor_current) == pytest.approx(float(walked.motor_current), rel=1e-9)


def two() -> Machine:
    """Return a pump and a mill on one pack."""
    pump, mill = (machine.read_text(machine.starter(name), file=f"{name}.toml").machine for name in ("pump", "shaft"))
    return replace(pump, chains=(pump.chains[0], mill.chains[0]), job=replace(pump.job, states=mill.job.states))


def test_a_pump_and_a_mill_share_their_bus() -> None:
    """Each is where it would be alone on the voltage both leave, and the source holds that voltage under both."""
    plan = two()
    source = terminals(plan, CHARGES)
    found = points_at(plan, plan.job.states[0], source, [warmth(plan)] * 2)
    total = sum(point.battery_current for point in found)
    for chain, point in zip(plan.chains, found, strict=True):
        assert np.all(point.works)
        held = replace(source, open_voltage=point.terminal_voltage, slow_voltage=0.0, cell_resistance=0.0,
                       settled_resistance=0.0, joint_resistance=0.0, floor_voltage=0.0)  # fmt: skip
        duty = plan.job.states[0]
        row = parts(chain)
        alone = solve(magnet_train(row, work_terms(row, chain.work, duty, plan.job, 293.15), warmth(plan)), held)
        assert np.allclose(alone.motor_speed, point.motor_speed, rtol=1e-6)
    assert np.allclose(source.voltage - source.resistance * total, found[0].terminal_voltage, rtol=1e-9)


def test_lanes_of_any_shape_are_solved_as_each_alone() -> None:
    plan = machine.read_text(machine.starter("pump"), file="pump.toml").machine
    duty = plan.job.states[0]

    def at(charge: Lanes) -> Point:
        return points_at(plan, duty, terminals(plan, charge), [warmth(plan)])[0]

    together = at(CHARGES.reshape(3, 4))
    assert together.motor_speed.shape == (3, 4)
    for place, charge in enumerate(CHARGES):
        assert float(at(float(charge)).motor_speed) == pytest.approx(together.motor_speed.flat[place], rel=1e-11)
