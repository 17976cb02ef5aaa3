"""Coming to rest: the closed form against an integrator in every case of its sign."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from headrace.physics import loads, stopping

inertias = st.floats(0.001, 0.5)
speeds = st.floats(20.0, 700.0)
frictions = st.floats(0.01, 2.0)
eddies = st.one_of(st.just(0.0), st.floats(1e-9, 0.05))
airs = st.one_of(st.just(0.0), st.floats(1e-12, 1e-4))
constants = st.floats(0.02, 0.4)
drops = st.one_of(st.just(0.0), st.floats(0.1, 2.0))
loops = st.floats(0.05, 20.0)


def by_quadrature(inertia: float, speed: float, constant: float, linear: float, square: float) -> float:
    integral, _ = quad(
        lambda w: 1.0 / (constant + linear * w + square * w * w), 0.0, speed, epsabs=0.0, epsrel=1e-11, limit=200
    )
    return inertia * float(integral)


@given(inertias, speeds, frictions, eddies, airs)
def test_coasting_is_the_integral_of_its_drag(j: float, w: float, t0: float, k1: float, k2: float) -> None:
    assert float(stopping.coast_time(j, w, t0, k1, k2)) == pytest.approx(by_quadrature(j, w, t0, k1, k2), rel=1e-9)


@pytest.mark.parametrize(
    ("linear", "square"),
    [(0.0, 0.0), (0.01, 0.0), (0.0, 1e-5), (0.01, 1e-5), (1e-3, 1e-4), (1e-4, 1e-9)],
    ids=["friction", "eddy", "air", "eddy wins", "air wins", "little of either"],
)
def test_coasting_in_each_case_of_its_sign(linear: float, square: float) -> None:
    time = float(stopping.coast_time(0.02, 330.0, 0.3, linear, square))
    assert time == pytest.approx(by_quadrature(0.02, 330.0, 0.3, linear, square), rel=1e-10)


def test_coasting_passes_smoothly_through_the_double_root() -> None:
    """Where k1² = 4 k2 T0 the two closed forms meet."""
    linear = 0.01
    square = linear**2 / (4.0 * 0.3) * (1.0 + np.array([-1e-6, -1e-12, 0.0, 1e-12, 1e-6]))
    times = np.asarray(stopping.coast_time(0.02, 330.0, 0.3, linear, square))
    exact = 0.02 * 330.0 / (0.3 + 0.5 * linear * 330.0)
    assert times[2] == pytest.approx(exact, rel=1e-12)
    assert times == pytest.approx(np.full(5, exact), rel=1e-6)
    assert np.all(np.diff(times) <= 1e-15)


def test_without_constant_drag_nothing_ever_stops_and_at_rest_it_has() -> None:
    times = stopping.coast_time(0.02, np.array([300.0, 300.0, 0.0, 0.0]), np.array([0.0, 0.0, 0.0, 0.3]), 0.01, 1e-5)
    assert np.asarray(times).tolist() == [math.inf, math.inf, 0.0, 0.0]


def test_little_friction_under_much_eddy_keeps_its_digits() -> None:
    exact = 0.02 / 0.01 * math.log1p(0.01 * 330.0 / 1e-9)
    assert float(stopping.coast_time(0.02, 330.0, 1e-9, 0.01, 0.0)) == pytest.approx(exact, rel=1e-13)


@settings(max_examples=40)
@given(inertias, speeds, frictions, eddies, airs, constants, drops, loops)
def test_a_braked_stop_is_as_long_as_an_integrator_says(
    j: float, w: float, t0: float, k1: float, k2: float, constant: float, drop: float, loop: float
) -> None:
    def slowing(_: float, state: np.ndarray) -> list[float]:
        speed = max(state[0], 0.0)
        current = float(stopping.brake_current(constant, speed, drop, loop))
        return [-(t0 + k1 * speed + k2 * speed * speed + constant * current) / j]

    def at_rest(_: float, state: np.ndarray) -> float:
        return float(state[0])

    at_rest.terminal = True  # type: ignore[attr-defined]
    coasting = float(stopping.coast_time(j, w, t0, k1, k2))
    run = solve_ivp(slowing, (0.0, 1.01 * coasting + 1e-3), [w], events=at_rest, method="LSODA", rtol=1e-9, atol=1e-9)
    braked = float(stopping.stop_time(j, w, t0, k1, k2, constant, drop, loop))
    assert braked == pytest.approx(run.t_events[0][0], rel=1e-4)
    assert braked <= coasting * (1.0 + 1e-12)


@given(inertias, speeds, frictions, eddies, airs, constants, drops)
def test_without_a_brake_a_stop_is_a_coast(
    j: float, w: float, t0: float, k1: float, k2: float, constant: float, drop: float
) -> None:
    free = float(stopping.stop_time(j, w, t0, k1, k2, constant, drop, math.inf))
    assert free == pytest.approx(float(stopping.coast_time(j, w, t0, k1, k2)), rel=1e-9)


@given(inertias, speeds, frictions, constants, drops, loops)
def test_less_resistance_stops_sooner_and_more_inertia_later(
    j: float, w: float, t0: float, constant: float, drop: float, loop: float
) -> None:
    time = float(stopping.stop_time(j, w, t0, 0.0, 0.0, constant, drop, loop))
    assert float(stopping.stop_time(j, w, t0, 0.0, 0.0, constant, drop, 0.5 * loop)) <= time
    assert float(stopping.stop_time(2.0 * j, w, t0, 0.0, 0.0, constant, drop, loop)) == pytest.approx(2.0 * time)


def test_friction_decides_the_end_of_a_braked_stop() -> None:
    """Half the friction costs more time than the brake, fading, can win back."""
    full, half = (float(stopping.stop_time(0.02, 330.0, t, 0.0, 0.0, 0.165, 1.0, 1.08)) for t in (0.3, 0.15))
    assert half > 1.15 * full


def test_the_brakes_share_of_the_energy_is_within_its_bound() -> None:
    j, w, constant, drop, winding, resistor = 0.02, 330.0, 0.165, 1.0, 0.08, 1.0
    loop, step = winding + resistor, 1e-3
    speed, heat = w, 0.0
    while speed > 0.0:
        current = float(stopping.brake_current(constant, speed, drop, loop))
        heat += current**2 * resistor * step
        speed -= (0.3 + constant * current) / j * step
    bound = float(stopping.brake_energy(loads.spin_energy(j, w), resistor, loop))
    assert 0.5 * bound < heat < bound


@settings(max_examples=25)
@given(inertias, speeds, frictions, eddies, airs, constants, drops, loops)
def test_the_heat_of_a_stop_is_what_an_integrator_over_time_says(
    j: float, w: float, t0: float, k1: float, k2: float, constant: float, drop: float, loop: float
) -> None:
    """Speed and the three heats marched in time, another route than the law's sum over speeds; the balance closes."""

    def marching(_: float, state: np.ndarray) -> list[float]:
        speed = max(state[0], 0.0)
        current = float(stopping.brake_current(constant, speed, drop, loop))
        torque = t0 + k1 * speed + k2 * speed * speed
        return [-(torque + constant * current) / j, current**2 * loop, drop * current, torque * speed]

    time = float(stopping.stop_time(j, w, t0, k1, k2, constant, drop, loop))
    run = solve_ivp(marching, (0.0, time), [w, 0.0, 0.0, 0.0], method="LSODA", rtol=1e-9, atol=1e-9)
    whole = float(loads.spin_energy(j, w))
    heat = stopping.stop_heat(j, w, t0, k1, k2, constant, drop, loop)
    for part, marched in zip(heat, run.y[1:, -1], strict=True):
        assert float(part) == pytest.approx(marched, abs=1e-4 * whole)
    assert float(sum(heat)) == pytest.approx(whole, rel=1e-9)


def test_a_stop_by_hand_without_drag_is_all_heat_in_the_loop_until_the_brushes_end_it() -> None:
    """No drag: with no brushes everything is in the loop, at any resistance."""
    for loop in (0.1, 1.0, 10.0):
        heat = stopping.stop_heat(0.02, 300.0, 1e-12, 0.0, 0.0, 0.1, 0.0, loop)
        assert float(heat.loop) == pytest.approx(0.5 * 0.02 * 300.0**2, rel=1e-6)


def test_the_harming_current_of_a_plate_gives_the_plate_s_power() -> None:
    rated = float(stopping.harming_current(1000.0, 36.0, 0.112, 1.0, 1.0))
    assert rated * (36.0 - 1.0 - rated * 0.112) == pytest.approx(1000.0, rel=1e-12)
