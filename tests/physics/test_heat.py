"""Heat: the exact steps against an integrator, their limits, and the surfaces."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from headrace.physics import heat

paths = st.floats(0.05, 5.0)
bodies = st.floats(20.0, 3000.0)
watts = st.floats(0.0, 300.0)
kelvins = st.floats(260.0, 420.0)


@settings(max_examples=40)
@given(kelvins, kelvins, watts, watts, paths, paths, bodies, bodies, st.floats(0.1, 20_000.0))
def test_two_bodies_step_as_an_integrator_says(
    upper: float, lower: float, q1: float, q2: float, r1: float, r2: float, c1: float, c2: float, seconds: float
) -> None:
    def rates(_: float, t: np.ndarray) -> list[float]:
        between = (t[0] - t[1]) / r1
        return [(q1 - between) / c1, (q2 + between - (t[1] - 293.15) / r2) / c2]

    def jacobian(_: float, __: np.ndarray) -> list[list[float]]:
        return [[-1 / (r1 * c1), 1 / (r1 * c1)], [1 / (r1 * c2), -1 / (r1 * c2) - 1 / (r2 * c2)]]

    slow = solve_ivp(rates, (0.0, seconds), [upper, lower], method="Radau", jac=jacobian, rtol=1e-9, atol=1e-9)
    stepped = heat.two_node_step(upper, lower, q1, q2, r1, r2, c1, c2, 293.15, seconds)
    assert [float(t) for t in stepped] == pytest.approx(slow.y[:, -1].tolist(), abs=2e-5)


@given(kelvins, kelvins, watts, watts, paths, paths, bodies, bodies, st.floats(1.0, 2000.0))
def test_one_long_step_is_many_short_ones(
    upper: float, lower: float, q1: float, q2: float, r1: float, r2: float, c1: float, c2: float, seconds: float
) -> None:
    long = heat.two_node_step(upper, lower, q1, q2, r1, r2, c1, c2, 293.15, seconds)
    short = heat.two_node_step(upper, lower, q1, q2, r1, r2, c1, c2, 293.15, seconds / 8)
    for _ in range(7):
        short = heat.two_node_step(*short, q1, q2, r1, r2, c1, c2, 293.15, seconds / 8)
    assert [float(t) for t in short] == pytest.approx([float(t) for t in long], abs=1e-8)


@given(watts, watts, paths, paths, bodies, bodies)
def test_two_bodies_settle_where_the_heat_goes(
    q1: float, q2: float, r1: float, r2: float, c1: float, c2: float
) -> None:
    upper, lower = heat.two_node_step(293.15, 293.15, q1, q2, r1, r2, c1, c2, 293.15, 1e7)
    assert float(lower) == pytest.approx(293.15 + r2 * (q1 + q2), abs=1e-6)
    assert float(upper - lower) == pytest.approx(r1 * q1, abs=1e-6)


@given(watts, watts, paths, paths, bodies, bodies)
def test_over_a_moment_each_body_keeps_its_own_heat(
    q1: float, q2: float, r1: float, r2: float, c1: float, c2: float
) -> None:
    upper, lower = heat.two_node_step(293.15, 293.15, q1, q2, r1, r2, c1, c2, 293.15, 1e-3)
    assert float(upper) - 293.15 == pytest.approx(heat.adiabatic_rise(q1, 1e-3, c1, 1.0), rel=2e-3, abs=1e-5)
    assert float(lower) - 293.15 == pytest.approx(heat.adiabatic_rise(q2, 1e-3, c2, 1.0), rel=2e-3, abs=1e-5)


def test_two_bodies_step_in_lanes_as_one_by_one() -> None:
    seconds = np.array([0.0, 10.0, 600.0])
    lanes = np.array(heat.two_node_step(310.0, 300.0, 50.0, 5.0, 0.35, 0.5, 250.0, 1500.0, 293.15, seconds))
    single = [heat.two_node_step(310.0, 300.0, 50.0, 5.0, 0.35, 0.5, 250.0, 1500.0, 293.15, s) for s in seconds]
    assert pytest.approx(np.array(single), rel=1e-14) == np.array(lanes).T
    assert lanes[:, 0].tolist() == [310.0, 300.0]


@given(kelvins, watts, st.floats(0.05, 10.0), bodies, st.floats(1.0, 20_000.0))
def test_one_body_is_two_tied_together(t: float, q: float, conductance: float, capacity: float, seconds: float) -> None:
    one = heat.one_node_step(t, q, conductance, capacity, 293.15, seconds)
    tied = heat.two_node_step(t, t, 0.0, q, 1e-4, 1.0 / conductance, 1e-3, capacity - 1e-3, 293.15, seconds)
    assert float(tied[1]) == pytest.approx(float(one), abs=1e-5)


def test_after_one_time_constant_a_body_has_gone_63_percent_of_its_way() -> None:
    film, area, mass, specific = 12.0, 0.00531, 0.07, 1000.0
    tau = heat.time_constant(mass, specific, film, area)
    warm = heat.one_node_step(293.15, 2.0, film * area, mass * specific, 293.15, tau)
    assert float(warm) - 293.15 == pytest.approx((1 - np.exp(-1)) * heat.steady_rise(2.0, film, area))


@given(st.floats(300.0, 400.0), st.floats(250.0, 299.0))
def test_radiation_runs_from_hot_to_cold(hot: float, cold: float) -> None:
    assert heat.radiation(0.9, hot, cold) == pytest.approx(-heat.radiation(0.9, cold, hot))
    assert heat.radiation(0.9, hot, cold) > 0.0


@given(st.floats(1e3, 1e10))
def test_convection_grows_with_the_rise_but_less_than_in_proportion(rayleigh: float) -> None:
    for nusselt in (heat.plate_nusselt, heat.cylinder_nusselt):
        factor = nusselt(2.0 * rayleigh, 0.71) / nusselt(rayleigh, 0.71)
        assert 1.0 < factor < 2.0 ** (1.0 / 3.0)


def test_a_cylinder_shows_its_side_and_two_ends() -> None:
    assert heat.cylinder_area(1.0, 2.0) == pytest.approx(2.0 * np.pi * 2.0 + 2.0 * np.pi)


def test_the_box_film_of_a_mild_day_is_convection_and_radiation_together() -> None:
    """A box 0.1 m high, 15 K above 25 °C: about 4 W/m² K from each of the two."""
    number = heat.rayleigh_number(15.0, 305.65, 0.10, 1.63e-5, 0.706)
    convection = heat.film_coefficient(heat.plate_nusselt(number, 0.706), 0.0268, 0.10)
    by_radiation = heat.radiation(0.9, 313.15, 298.15) / 15.0
    assert 3.0 < convection < 6.0
    assert 4.5 < by_radiation < 6.5
