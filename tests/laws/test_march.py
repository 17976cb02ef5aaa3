"""The march: what comes out of the cells is the integral of what is drawn, and other routes lead to the same day."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import headrace.runs.march
from headrace import design
from headrace.design.corners import points_at
from headrace.drive.train import Warmth
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.physics import cells
from headrace.runs.march import march
from headrace.runs.run import End, Run
from tests.machines import alley, motor, small, state, with_pack

ZERO = 273.15


@cache
def worked() -> Run:
    return design.day(alley())


def steady(plan: Machine) -> Machine:
    """One duty state only, so that nothing jumps."""
    return replace(plan, job=replace(plan.job, states=(replace(state(plan), share=1.0),)))


def test_energy_is_the_integral_of_power_and_charge_that_of_current() -> None:
    plan, run = alley(), worked()
    trace = run.trace
    assert trace is not None
    seconds = np.diff(np.append(trace.time, float(run.duration)))
    power = trace.terminal_voltage * trace.battery_current
    assert float(run.energy) == pytest.approx(float(np.sum(power * seconds)), rel=1e-12)
    cell = plan.source.cell
    share = trace.battery_current / plan.source.parallel
    capacity = cells.capacity_at(cell.capacity, cell.cold_loss, trace.cell_temperature)
    assert 1.0 - float(run.charge_left) == pytest.approx(float(np.sum(share * seconds / capacity)), rel=1e-9)
    assert float(run.cell_energy) > float(run.energy)


def test_a_quarter_of_the_step_moves_the_charge_used_by_less_than_a_thousandth() -> None:
    plan = alley()
    coarse, fine = march(plan, 2700.0), march(plan, 2700.0, longest_step=2.5)
    assert 1.0 - float(coarse.charge_left) == pytest.approx(1.0 - float(fine.charge_left), rel=1e-3)
    assert float(coarse.energy) == pytest.approx(float(fine.energy), rel=1e-3)
    plan = small()
    # what ends a run comes with the hardest state, so once a cycle: no step makes the end known closer than that
    ends = [float(march(plan, 24 * 3600.0, at_end=End.TIME_LIMIT, longest_step=k).duration) for k in (10.0, 2.5)]
    assert abs(ends[0] - ends[1]) <= plan.job.cycle


def test_the_march_agrees_with_a_library_integrator_on_the_coupled_day() -> None:
    """Charge, two RC pairs, cells, winding and case together, half an hour of steady cutting."""
    plan = steady(alley())
    seconds = 1800.0
    air, source, machine_motor = plan.job.ambient, plan.source, motor(plan)
    duty = plan.job.states[0]

    def rates(_: float, y: np.ndarray) -> list[float]:
        charge, first, second, warm, winding, case = y
        state_now = pack.PackState(charge, warm, (first, second))
        offered = pack.at(source, state_now)
        found = points_at(plan, duty, offered, [Warmth(winding, case, air)])[0]
        amps = float(found.battery_current)
        share = amps / source.parallel
        factor = float(pack.resistance_factor(source.cell, charge, warm))
        capacity = float(cells.capacity_at(source.cell.capacity, source.cell.cold_loss, warm))
        slow = [
            (share * ohms * factor - volts) / time
            for volts, ohms, time in zip(
                (first, second), source.cell.slow_resistance, source.cell.slow_time, strict=True
            )
        ]
        heat = float(pack.cell_heat(source, state_now, amps))
        shed = float(pack.cooling(source)) * (warm - air)
        current = float(found.motor_current)
        copper = current**2 * machine_motor.resistance * (234.5 + winding - ZERO) / 259.5
        drag = machine_motor.drag + float(found.motor_speed) * (
            machine_motor.drag_slope + float(found.motor_speed) * machine_motor.drag_square
        )
        turning = drag * float(found.motor_speed)
        inner = copper + current * machine_motor.brush_drop + machine_motor.rotor_share * turning
        across = (winding - case) / machine_motor.winding_to_case
        return [
            -share / capacity,
            *slow,
            (heat - shed) / (source.cell.mass * source.cell.specific_heat),
            (inner - across) / machine_motor.winding_heat,
            (across + (1 - machine_motor.rotor_share) * turning - (case - air) / machine_motor.case_to_air)
            / machine_motor.case_heat,
        ]

    start = [1.0, 0.0, 0.0, air, air, air]
    exact = solve_ivp(rates, (0.0, seconds), start, method="LSODA", rtol=1e-8, atol=1e-8).y[:, -1]
    run = march(plan, seconds)
    fine = march(plan, seconds, longest_step=1.0)
    assert float(run.charge_left) == pytest.approx(exact[0], abs=1e-3)
    assert float(run.highest_winding) == pytest.approx(exact[4], abs=0.5)
    assert float(run.highest_cell_temperature) == pytest.approx(exact[3], abs=0.05)
    # the error is that of holding inputs over a step: ten times finer, ten times closer
    assert abs(float(fine.charge_left) - exact[0]) < 0.2 * abs(float(run.charge_left) - exact[0]) + 1e-7


def test_a_constant_current_gives_the_closed_forms() -> None:
    """Cells that neither warm nor stiffen, drawn at a constant current: charge, slow volts and energy as on paper."""
    plan = alley()
    ideal = replace(plan.source.cell, cold_loss=0.0, empty_rise=0.0, activation_energy=0.0)
    source = replace(plan.source, cell=ideal)
    amps, seconds, steps = 20.0, 10.0, 180
    current = pack.fresh(plan.job.ambient)
    energy = 0.0
    for _ in range(steps):
        half_way = pack.advance(source, current, amps, plan.job.ambient, seconds / 2.0)
        energy += float(pack.at(source, half_way).open_voltage) * amps * seconds
        current = pack.advance(source, current, amps, plan.job.ambient, seconds)

    share, time = amps / source.parallel, steps * seconds
    used = share * time / ideal.capacity
    assert float(current.charge) == pytest.approx(1.0 - used, rel=1e-12)
    for volts, ohms, constant in zip(current.slow_voltages, ideal.slow_resistance, ideal.slow_time, strict=True):
        assert float(volts) == pytest.approx(share * ohms * (1.0 - np.exp(-time / constant)), rel=1e-12)
    knots = np.unique(np.append(np.asarray(ideal.ocv_charge), [1.0 - used, 1.0]))
    knots = knots[knots >= 1.0 - used]
    volts = np.interp(knots, ideal.ocv_charge, ideal.ocv_volts)
    under_the_curve = float(np.sum(np.diff(knots) * (volts[1:] + volts[:-1]) / 2.0))
    exact = under_the_curve * ideal.capacity * source.series * source.parallel
    assert energy == pytest.approx(exact, rel=1e-6)


def test_a_lane_that_ends_stays_as_it_was() -> None:
    plan = alley()
    both = march(with_pack(plan, np.array([10.0, 10.0]), np.array([1.0, 5.0])), 3600.0)
    alone = march(with_pack(plan, 10.0, 1.0), 3600.0)
    assert both.duration[0] < both.duration[1]
    for name in (
        "duration",
        "energy",
        "charge_left",
        "highest_winding",
        "amount",
        "lowest_cell_voltage",
        "pace_full",
        "pace_empty",
    ):
        assert getattr(both, name)[0] == pytest.approx(float(getattr(alone, name)), rel=1e-12), name


@pytest.mark.parametrize(
    ("change", "end"),
    [
        ({"parallel": 1.0}, {End.CELL_FLOOR, End.CUT_OUT, End.CELLS_EMPTY, End.CELL_HEAT}),
        ({"series": 3.0}, {End.CUT_OUT, End.NO_CROSSING, End.STALL}),
        ({"parallel": 30.0}, {End.JOB_DONE}),
    ],
)
def test_a_day_says_what_ended_it(change: dict[str, float], end: set[End]) -> None:
    plan = alley()
    run = design.day(replace(plan, source=replace(plan.source, **change)))  # type: ignore[arg-type]
    assert End(int(run.ended_because)) in end


def test_worn_cells_last_less_long_and_cold_cells_give_less() -> None:
    plan = small()
    aged = replace(plan, source=pack.aged(plan.source, 0.8, 1.5))
    frozen = replace(plan, job=replace(plan.job, ambient=273.15))
    new, worn, cold = (design.until_empty(p, keep_trace=False) for p in (plan, aged, frozen))
    assert float(worn.duration) < float(new.duration)
    # the cold pack gives less, though a slower blade may make it last as long
    assert float(cold.energy) < float(new.energy)
    assert float(cold.pace_full) < float(new.pace_full)


def test_shares_of_the_states_are_kept() -> None:
    plan, run = alley(), worked()
    assert run.trace is not None
    seconds = np.diff(np.append(run.trace.time, float(run.duration)))
    for place, duty in enumerate(plan.job.states):
        kept = float(np.sum(seconds[run.trace.state == place])) / float(run.duration)
        assert kept == pytest.approx(duty.share, abs=0.02)


def test_setting_ended_lanes_aside_changes_no_lane(monkeypatch: pytest.MonkeyPatch) -> None:
    """Draws that end at very different times, over two packs: each number of each lane, in its place."""
    wide = draws(alley(), 40, 3)
    plan = replace(wide, source=replace(wide.source, parallel=np.array([[1.0], [3.0]])))
    gathered = march(plan, 2.0 * 3600.0)
    monkeypatch.setattr(headrace.runs.march, "KEEP", 0.0)
    whole = march(plan, 2.0 * 3600.0)
    assert len(np.unique(whole.duration)) > 20
    assert gathered.duration.shape == (2, 41)
    for name in (f.name for f in fields(Run) if f.name != "trace"):
        one, other = getattr(gathered, name), getattr(whole, name)
        np.testing.assert_allclose(one, other, rtol=1e-12, atol=1e-13, err_msg=name)  # charge is counted from 1
