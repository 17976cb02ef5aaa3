"""Conductors, cells and the arrangement of cells: limits, monotone laws, exact steps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp, trapezoid

from headrace.physics import arrangement, cells, conductors, duty, motors

CELSIUS = 273.15
OHMS = st.floats(1e-4, 0.1)
CHARGES = st.floats(0.0, 1.0)


# --- conductors ----------------------------------------------------------------------------------


@given(st.floats(0.1, 20.0), st.floats(1e-7, 1e-4), st.floats(250.0, 450.0))
def test_wires_in_series_add_and_side_by_side_halve(length: float, area: float, warmth: float) -> None:
    one = conductors.wire_resistance(length, area, warmth, 1 / 58e6, 0.00393)
    assert conductors.wire_resistance(2 * length, area, warmth, 1 / 58e6, 0.00393) == pytest.approx(2 * one)
    assert conductors.wire_resistance(length, 2 * area, warmth, 1 / 58e6, 0.00393) == pytest.approx(one / 2)


@given(st.floats(233.0, 470.0), st.floats(0.1, 3.0))
def test_hotter_copper_is_never_better(warmth: float, rise: float) -> None:
    cold, hot = (conductors.resistance_at(1.0, 0.00393, t) for t in (warmth, warmth + rise))
    assert hot > cold


@given(st.floats(250.0, 450.0))
def test_the_two_references_of_copper_are_one_line(warmth: float) -> None:
    """0.393 %/K from 20 °C and the 234.5 rule from 25 °C differ by less than a part in two thousand."""
    from_20 = conductors.resistance_at(1.0, 0.00393, warmth) / conductors.resistance_at(1.0, 0.00393, CELSIUS + 25.0)
    assert from_20 == pytest.approx(motors.winding_resistance(1.0, warmth), rel=5e-4)


def test_a_slope_of_20_c_used_from_25_is_seen() -> None:
    wrong = 1.0 + 0.00393 * 100.0
    assert wrong - motors.winding_resistance(1.0, CELSIUS + 125.0) > 0.007


@given(st.floats(0.1, 20.0), st.floats(1e-4, 0.05), st.floats(1.0, 200.0))
def test_a_pair_of_cables_counts_both_ways_once(length: float, per_metre: float, current: float) -> None:
    pair = conductors.pair_resistance(length, per_metre, 0.00393, CELSIUS + 20.0)
    assert pair == pytest.approx(2.0 * length * per_metre)
    drop = conductors.voltage_drop(current, pair)
    assert conductors.joule_loss(current, pair) == pytest.approx(drop * current)


@given(st.floats(-3.0, 36.0))
def test_six_gauges_double_the_diameter_almost(gauge: float) -> None:
    assert conductors.awg_diameter(gauge) / conductors.awg_diameter(gauge + 6) == pytest.approx(2.005, abs=0.001)


def test_a_strip_is_a_wire_of_its_section() -> None:
    strip = conductors.strip_resistance(0.022, 8e-3, 0.15e-3, 7e-8, 0.006, 310.0)
    assert strip == pytest.approx(conductors.wire_resistance(0.022, 1.2e-6, 310.0, 7e-8, 0.006), rel=1e-12)


def test_the_loss_of_a_mix_is_not_the_loss_at_its_mean() -> None:
    shares, currents = [0.2, 0.25, 0.4, 0.15], [10.0, 20.0, 40.0, 60.0]
    mean = duty.mean(shares, currents)
    rms = duty.root_mean_square(shares, currents)
    mixed = sum(s * conductors.joule_loss(i, 0.1) for s, i in zip(shares, currents, strict=True))
    assert conductors.joule_loss(rms, 0.1) == pytest.approx(mixed)
    assert conductors.joule_loss(mean, 0.1) < 0.85 * mixed


# --- cells ---------------------------------------------------------------------------------------


@given(st.floats(1e3, 60e3), st.floats(250.0, 340.0))
def test_a_colder_cell_resists_more_and_at_25_c_as_given(energy: float, warmth: float) -> None:
    assert float(cells.arrhenius_factor(energy, 298.15)) == 1.0
    assert cells.arrhenius_factor(energy, warmth) > cells.arrhenius_factor(energy, warmth + 1.0)


@pytest.mark.parametrize(
    ("energy", "celsius", "factor"),
    [(20e3, 10, 1.53), (20e3, 0, 2.1), (20e3, -10, 2.9), (20e3, 40, 0.68), (35e3, 0, 3.6)],
)
def test_arrhenius_factors_worked_by_hand(energy: float, celsius: float, factor: float) -> None:
    assert float(cells.arrhenius_factor(energy, CELSIUS + celsius)) == pytest.approx(factor, rel=0.03)


@given(OHMS, CHARGES, st.floats(0.1, 1.5))
def test_resistance_rises_towards_empty_and_is_as_given_at_half(ohms: float, charge: float, rise: float) -> None:
    assert float(cells.resistance_with_charge(ohms, 0.5, rise)) == pytest.approx(ohms, rel=1e-12)
    emptier = cells.resistance_with_charge(ohms, 0.9 * charge, rise)
    assert emptier >= cells.resistance_with_charge(ohms, charge, rise)


@given(CHARGES)
def test_rest_voltage_stays_between_the_points_about_it(charge: float) -> None:
    table = np.array([0.0, 0.1, 0.6, 1.0]), np.array([2.5, 3.3, 3.8, 4.2])
    volts = float(cells.open_circuit_voltage(charge, *table))
    above = int(np.searchsorted(table[0], charge).clip(1, 3))
    assert table[1][above - 1] <= volts <= table[1][above]


@settings(max_examples=30)
@given(st.floats(-0.1, 0.1), st.floats(-20.0, 20.0), OHMS, st.floats(5.0, 1000.0), st.floats(0.1, 3000.0))
def test_a_slow_pair_steps_as_an_integrator_says(v: float, i: float, r: float, tau: float, seconds: float) -> None:
    slow = solve_ivp(lambda _, x: (i * r - x) / tau, (0.0, seconds), [v], method="Radau", rtol=1e-10, atol=1e-12)
    assert float(cells.rc_step(v, i, r, tau, seconds)) == pytest.approx(slow.y[0, -1], abs=1e-7)


@given(st.floats(-0.1, 0.1), st.floats(-20.0, 20.0), OHMS, st.floats(5.0, 1000.0))
def test_the_slow_pairs_energy_is_heat_and_what_it_stores(v: float, i: float, r: float, tau: float) -> None:
    """Power into the pair, summed over a fine march, is v²/R turned to heat and the change of C v²/2."""
    steps, length = 2000, 2.0 * tau / 2000
    times = np.asarray(length * np.arange(steps + 1), dtype=np.float64)
    volts = np.asarray(cells.rc_step(v, i, r, tau, times))
    entering = trapezoid(cells.overpotential_loss(i, volts), times)
    heat = trapezoid(volts**2 / r, times)
    stored = 0.5 * (tau / r) * (volts[-1] ** 2 - volts[0] ** 2)
    assert entering == pytest.approx(heat + stored, rel=1e-5, abs=1e-5 * (abs(heat) + abs(stored) + 1e-9))


def test_capacity_falls_in_the_cold_only_and_no_further_than_it_was_measured() -> None:
    warmth = CELSIUS + np.array([-20.0, -10.0, 0.0, 25.0, 45.0])
    assert cells.capacity_at(100.0, 0.004, warmth) == pytest.approx(np.array([86.0, 86.0, 90.0, 100.0, 100.0]))


@given(st.floats(0.5, 30.0), OHMS, st.floats(-4e-4, 4e-4))
def test_over_a_full_cycle_the_reversible_heat_cancels(current: float, ohms: float, slope: float) -> None:
    out = cells.bernardi_heat(current, 3.7, 3.7 - current * ohms, 298.15, slope)
    back = cells.bernardi_heat(-current, 3.7, 3.7 + current * ohms, 298.15, slope)
    assert out + back == pytest.approx(2.0 * conductors.joule_loss(current, ohms), rel=1e-9)


def test_the_reversible_heat_is_as_large_as_the_other_below_one_c() -> None:
    """3.4 A at 0.2 mV/K is 0.20 W; the same current in 24 milliohms is 0.28 W."""
    reversible = cells.bernardi_heat(3.4, 3.7, 3.7, 298.15, -2e-4)
    assert reversible == pytest.approx(0.20, abs=0.005)
    assert conductors.joule_loss(3.4, 0.024) == pytest.approx(0.28, abs=0.005)


@given(st.floats(0.1, 30.0), st.floats(1000.0, 20_000.0))
def test_a_cell_is_empty_after_its_capacity_over_its_current(current: float, capacity: float) -> None:
    assert cells.charge_change(current, capacity, capacity / current) == pytest.approx(-1.0)
    assert cells.charge_change(-current, capacity, 60.0) > 0.0


# --- arrangement ---------------------------------------------------------------------------------


@given(st.integers(1, 20), st.integers(1, 20), st.integers(1, 3), st.floats(0.0, 0.01))
def test_a_box_made_for_so_many_cells_takes_them(across: int, along: int, layers: int, wall: float) -> None:
    pitch, height = arrangement.square_pitch(0.021, 0.0015), 0.078
    box = (across * pitch + 2 * wall, along * pitch + 2 * wall, layers * height + 2 * wall)
    assert float(arrangement.cells_in_box(box, pitch, height, wall)) >= across * along * layers
    turned = (box[2], box[0], box[1])
    assert arrangement.cells_in_box(turned, pitch, height, wall) == arrangement.cells_in_box(box, pitch, height, wall)


def test_a_box_is_free_where_it_has_no_length_but_not_where_it_is_too_thin() -> None:
    thickness = np.array([0.002, 0.012, 0.034, math.inf])
    room = np.asarray(arrangement.cells_in_box((math.inf, math.inf, thickness), 0.0225, 0.078, 0.005))
    assert room[:2].tolist() == [0.0, 0.0]
    assert np.all(room[2:] > 1e6)
    assert np.all(np.isfinite(room))


@given(st.integers(1, 20), st.floats(0.02, 0.08))
def test_a_square_block_shows_its_six_sides(side: int, height: float) -> None:
    pitch = 0.0225
    area = float(arrangement.block_area(side**2, pitch, height))
    assert area == pytest.approx(2 * (side * pitch) ** 2 + 4 * side * pitch * height)


def test_a_pack_weighs_more_than_its_cells() -> None:
    assert arrangement.pack_mass(40.0, 0.070, 0.0) == pytest.approx(2.8)
    assert arrangement.pack_mass(40.0, 0.070, 0.25) == pytest.approx(3.5)
