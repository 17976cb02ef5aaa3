"""Starts: time by hand, energy in balance, both sides of the controller, what holds a load and what does not."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headrace import design, machine
from headrace.design.corners import NO_LOAD, points_at
from headrace.drive import starting
from headrace.drive.block import cap_battery, flat, inputs_of
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.pulling import pulling
from headrace.drive.starting import stalled, start
from headrace.drive.train import Train
from headrace.findings import judge, raised
from headrace.machine.links import Controller
from headrace.machine.records import Machine
from headrace.machine.values import lanes_of
from headrace.physics import motors
from tests.machines import alley, magnet_train, terminals, warmth, with_link


def mill(**limits: float) -> Machine:
    plan = machine.read_text(machine.starter("shaft"), file="shaft.toml").machine
    return with_link(plan, Controller, **limits) if limits else plan


def free(plan: Machine) -> tuple[Train, starting.Start]:
    """Return a chain turning freely and its start on a full pack."""
    row, warm, source = parts(plan.chains[0]), warmth(plan), terminals(plan, 1.0)
    case = magnet_train(row, work_terms(row, plan.chains[0].work, NO_LOAD, plan.job, warm.air), warm)
    held = points_at(plan, NO_LOAD, source, [warm])[0]
    return case, start(plan.chains[0], NO_LOAD, plan.job, warm, source, held)


def test_under_a_limit_on_motor_amps_the_time_is_that_of_a_steady_torque() -> None:
    """15 A at 95 rpm/V give 1.5 N·m; rotor and a fifth squared of 0.01 kg·m² to 95 % of the speed without load.

    The magnets of the starter's 18 °C are 7 K below the sheet's: 1.4 % more constant.
    """
    plan = mill(motor_current=15.0, battery_current=math.inf)
    case, found = free(plan)
    constant = 60.0 / (2.0 * math.pi * 95.0) * 1.014
    inertia = float(parts(plan.chains[0]).motor.rotor_inertia) + 0.01 / (5.0 / 0.99) ** 2
    speed = 0.95 * float(points_at(plan, NO_LOAD, terminals(plan, 1.0), [warmth(plan)])[0].motor_speed)
    drag = constant * float(np.mean([case.current_at(share * speed) for share in np.linspace(0.05, 0.95, 10)]))
    assert float(found.time) == pytest.approx(inertia * speed / (constant * 15.0 - drag), rel=0.01)
    assert float(found.motor_current) == pytest.approx(15.0)
    assert float(found.spun) == pytest.approx(0.5 * inertia * speed**2, rel=1e-3)


@pytest.mark.parametrize("limits", [{}, {"motor_current": 25.0}, {"battery_current": 8.0}])
def test_the_energy_of_a_start_balances(limits: dict[str, float]) -> None:
    """What the cells gave is in the masses, in load and drag, and in every ohm and the controller on the way."""
    plan = mill(**limits)
    case, found = free(plan)
    source = terminals(plan, 1.0)
    lanes = cap_battery(flat(inputs_of(case, source), lanes_of((case, source))))
    inertia = float(found.spun) / (0.5 * (top := _top(plan)) ** 2)
    lost, given = 0.0, 0.0
    for k in range(starting.STEPS):
        speed = np.array([(k + 0.5) * top / starting.STEPS])
        point = pulling(lanes, speed)
        torque = float(case.constant) * (point.motor_current - case.current_at(speed))
        seconds = inertia * top / starting.STEPS / torque
        switching = float(case.switching_share) * point.switched * point.bus_voltage * point.motor_current
        ohms = float(case.resistance) * point.motor_current**2 + float(case.wiring) * point.battery_current**2
        inside = float(source.resistance) * point.battery_current**2
        watts = ohms + inside + float(case.brush_drop) * point.motor_current + switching + float(case.idle_power)
        lost += float((watts * seconds)[0])
        given += float((point.battery_current * seconds)[0]) * float(source.voltage)
    assert given == pytest.approx(float(found.spun) + float(found.work) + lost, rel=1e-6)
    assert float(found.energy) >= given * (1.0 - 1e-9)  # the same, and what a pack that has sagged loses besides


def _top(plan: Machine) -> float:
    return starting.ARRIVED * float(points_at(plan, NO_LOAD, terminals(plan, 1.0), [warmth(plan)])[0].motor_speed)


def test_a_few_battery_amps_are_many_motor_amps_at_first() -> None:
    _, found = free(mill(motor_current=40.0, battery_current=10.0))
    assert float(found.motor_current) == pytest.approx(40.0)
    assert float(found.battery_current) == pytest.approx(10.0, rel=1e-6)


def test_twice_the_steps_move_a_start_by_less_than_a_hundredth(monkeypatch: pytest.MonkeyPatch) -> None:
    coarse = free(alley())[1]
    monkeypatch.setattr(starting, "STEPS", 2 * starting.STEPS)
    fine = free(alley())[1]
    for name in ("time", "energy", "work"):
        assert float(getattr(coarse, name)) == pytest.approx(float(getattr(fine, name)), rel=0.01), name


def test_a_weak_source_gives_a_held_motor_more_through_a_chopper_than_at_full_duty() -> None:
    """E = 30 V behind 0.4 Ω, 0.1 Ω of motor: full duty 60 A at half the volts; 20 A from the battery carry more."""
    plan = with_link(mill(), Controller, motor_current=200.0, battery_current=20.0, idle_power=0.0, switching_time=0.0)
    case, _ = free(plan)
    source = terminals(plan, 1.0)
    lanes = cap_battery(flat(inputs_of(case, source), ()))._replace(
        voltage=np.array([30.0]), loop=0.4, motor_resistance=0.1, brush_drop=0.0
    )
    point = pulling(lanes, np.array([1e-6]))
    by_hand = math.sqrt((30.0 - 0.4 * 20.0) * 20.0 / 0.1)  # I² R = U I_b
    assert float(point.motor_current[0]) == pytest.approx(by_hand, rel=1e-4)
    assert float(point.battery_current[0]) == pytest.approx(20.0, rel=1e-4)
    assert float(point.bus_voltage[0]) == pytest.approx(22.0, rel=1e-4)


def test_a_stall_heats_the_copper_of_the_winding_in_seconds() -> None:
    """I² R(T) into the winding's heat, from 25 °C to its limit, integrated in small steps."""
    plan = alley()
    warm = warmth(plan)
    current, seconds = (
        float(value) for value in stalled(plan.chains[0], NO_LOAD, plan.job, warm, terminals(plan, 1.0))
    )
    motor = parts(plan.chains[0]).motor
    temperature, passed = float(warm.winding), 0.0
    while temperature < float(motor.winding_limit):
        watts = (
            current**2 * float(motors.winding_resistance(motor.resistance, temperature))
            + float(motor.brush_drop) * current
        )
        temperature, passed = temperature + watts * 0.01 / float(motor.winding_heat), passed + 0.01
    assert seconds == pytest.approx(passed, rel=0.01)


def test_a_load_that_hangs_on_too_few_amps_does_not_get_going() -> None:
    text = machine.edit(machine.starter("winch"), {"chains.winch.controller.motor_current": "6 A"})
    plan = machine.read_text(text, file="winch.toml").machine
    evidence = design.evidence(plan)
    assert not bool(evidence.starts[0].full.starts)
    assert math.isnan(float(evidence.starts[0].full.time))
    assert "cannot-start" in {found.slug for found in raised(judge(evidence), ())}
