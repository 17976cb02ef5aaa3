"""Scaling of the blade's loads, and where a stage's watts go."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.physics import bearings, loads, torque_terms, transmission

speeds = st.floats(10.0, 600.0)
torques = st.floats(0.01, 50.0)
ratios = st.floats(0.2, 60.0)
efficiencies = st.floats(0.5, 1.0)
creeps = st.floats(0.0, 0.1)
drags = st.floats(0.0, 2.0)
slopes = st.floats(0.0, 0.01)
close = 1e-12


@given(speeds, st.floats(0.1, 0.6), st.floats(0.3, 3.0))
def test_windage_grows_with_the_cube_of_speed_and_the_fifth_power_of_size(w: float, radius: float, k: float) -> None:
    power = loads.blade_windage_power(w, radius, 1.2, 0.01)
    assert loads.blade_windage_power(k * w, radius, 1.2, 0.01) == pytest.approx(k**3 * power, rel=close)
    assert loads.blade_windage_power(w, k * radius, 1.2, 0.01) == pytest.approx(k**5 * power, rel=close)


def test_forty_percent_more_speed_is_two_point_seven_times_the_windage() -> None:
    power = np.asarray(loads.blade_windage_power(np.array([300.0, 420.0]), 0.21, 1.2, 0.01))
    assert power[1] / power[0] == pytest.approx(2.744)


@given(speeds, torques, st.floats(0.5, 2.0))
def test_power_into_grass_is_in_proportion_to_the_sward(w: float, sward: float, travel: float) -> None:
    flow = loads.clippings_flow(sward, 0.4, travel)
    tip = loads.tip_speed(w, 0.21)
    one = loads.shearing_power(flow, 1000.0, 1.3) + loads.throwing_power(flow, 0.45, tip, 1.3)
    twice = loads.shearing_power(2 * flow, 1000.0, 1.3) + loads.throwing_power(2 * flow, 0.45, tip, 1.3)
    assert twice == pytest.approx(2.0 * one, rel=close)


@given(speeds, st.floats(0.0, 0.5), st.floats(1.0, 1.8), st.floats(0.0, 500.0))
def test_a_blade_as_torque_terms_asks_for_the_power_of_its_three_laws(
    w: float, flow: float, wet: float, power: float
) -> None:
    radius, density, windage, shear, throw = 0.21, 1.19, 0.011, 1100.0, 0.4
    terms = torque_terms.blade_torque_terms(radius, density, windage, flow, shear, throw, wet, power)
    by_law = (
        loads.blade_windage_power(w, radius, density, windage)
        + loads.shearing_power(flow, shear, wet)
        + loads.throwing_power(flow, throw, loads.tip_speed(w, radius), wet)
        + power
    )
    assert torque_terms.torque_at(terms, w) * w == pytest.approx(by_law, rel=1e-12)


def test_air_is_a_fifth_denser_at_20_c_than_a_kilogram() -> None:
    # 1.204 kg/m3 at 20 C and 1.225 at 15 C, sea level: ISO 2533 prints 1.225 for 15 C.
    assert loads.air_density(288.15) == pytest.approx(1.225, abs=0.0005)
    assert loads.air_density(293.15) == pytest.approx(1.204, abs=0.0005)


def test_the_inertia_of_a_bar_and_a_disc_is_their_integral() -> None:
    edges = np.linspace(0.0, 0.25, 200_001)
    radius = 0.5 * (edges[:-1] + edges[1:])
    step = edges[1]
    assert loads.bar_inertia(0.6, 0.5) == pytest.approx(2 * np.sum(0.6 / 0.5 * radius**2) * step, rel=1e-9)
    ring = 2.0 * np.pi * radius * step * 2.0 / (np.pi * 0.25**2)
    assert loads.disc_inertia(2.0, 0.25) == pytest.approx(np.sum(ring * radius**2), rel=1e-9)


@given(st.floats(0.001, 1.0), speeds, ratios)
def test_a_gear_moves_inertia_without_moving_energy(inertia: float, w: float, turns: float) -> None:
    seen = loads.reflected_inertia(inertia, turns)
    assert loads.spin_energy(seen, turns * w) == pytest.approx(loads.spin_energy(inertia, w), rel=1e-12)


@given(speeds, st.floats(0.05, 2.0))
def test_tip_speed_and_its_inverse_agree(w: float, radius: float) -> None:
    assert loads.speed_of_tip(loads.tip_speed(w, radius), radius) == pytest.approx(w, rel=close)


def test_seals_are_most_of_the_drag_of_a_small_spindle() -> None:
    open_ones = bearings.bearing_set_torque(2.0, 0.0015, 100.0, 0.020, 0.0)
    assert open_ones == pytest.approx(2.0 * bearings.rolling_bearing_torque(0.0015, 100.0, 0.020))
    assert bearings.bearing_set_torque(2.0, 0.0015, 100.0, 0.020, 0.030) > 10.0 * open_ones


@given(torques, speeds, ratios, efficiencies, creeps, drags, slopes)
def test_every_watt_into_a_stage_leaves_as_output_or_a_named_loss(
    torque: float, w: float, ratio: float, efficiency: float, creep: float, drag: float, slope: float
) -> None:
    turning = transmission.input_speed(w, ratio, creep)
    asked = transmission.input_torque(torque, ratio, efficiency, drag, slope, turning)
    losses = (
        transmission.load_loss(torque, w, efficiency)
        + transmission.creep_loss(torque, w, efficiency, creep)
        + transmission.drag_loss(drag, slope, turning)
    )
    assert asked * turning == pytest.approx(torque * w + losses, rel=1e-12)
    assert losses >= 0.0


@given(torques, speeds, ratios, efficiencies, creeps, drags, slopes)
def test_a_stage_passes_torque_terms_on_as_its_laws_do(
    torque: float, w: float, ratio: float, efficiency: float, creep: float, drag: float, slope: float
) -> None:
    terms = torque_terms.TorqueTerms(torque * w / 4, torque / 4, torque / w / 4, torque / w**2 / 4)
    turning = transmission.input_speed(w, ratio, creep)
    passed = torque_terms.at_input_shaft(terms, ratio, efficiency, creep, drag, slope)
    assert torque_terms.torque_at(terms, w) == pytest.approx(torque, rel=1e-12)
    by_law = transmission.input_torque(torque, ratio, efficiency, drag, slope, turning)
    assert torque_terms.torque_at(passed, turning) == pytest.approx(by_law, rel=1e-12)


@given(st.floats(0.1, 2.0), efficiencies)
def test_part_load_efficiency_falls_because_of_the_drag(torque: float, efficiency: float) -> None:
    def whole(load: float) -> float:
        return load / float(transmission.input_torque(load, 1.0, efficiency, 0.05, 0.0, 300.0))

    assert whole(torque) < whole(2.0 * torque) < efficiency


@given(torques, st.floats(0.51, 0.99))
def test_what_a_stage_hands_back_is_less_than_what_drives_it(torque: float, efficiency: float) -> None:
    back = transmission.back_torque(torque, efficiency, 0.0)
    assert back < torque
    # driving and driven, the same torque at the output meets the same friction torque
    friction = transmission.input_torque(torque, 1.0, efficiency, 0.0, 0.0, 0.0) - torque
    assert torque - back == pytest.approx(friction, rel=1e-9, abs=1e-12)


@given(st.floats(0.05, 1.0), st.floats(0.01, 0.15), st.floats(0.0, 0.5))
def test_a_worm_holds_exactly_where_its_wheel_cannot_drive_it(lead: float, friction: float, pressure: float) -> None:
    margin = transmission.worm_holds(lead, friction, pressure)
    back = transmission.worm_back_efficiency(lead, friction, pressure)
    assert margin == pytest.approx(
        -back * (1.0 + friction / math.cos(pressure) * math.tan(lead)) * math.tan(lead), abs=1e-9
    )
    assert (back < transmission.worm_efficiency(lead, friction, pressure)) == (lead < math.pi / 4)


def test_a_worm_without_friction_loses_nothing_either_way() -> None:
    assert transmission.worm_efficiency(0.2, 0.0, 0.35) == pytest.approx(1.0)
    assert transmission.worm_back_efficiency(0.2, 0.0, 0.35) == pytest.approx(1.0)


@given(st.floats(0.1, 1.0), st.floats(0.5, 4.0), st.floats(0.5, 4.0))
def test_tension_ratios_of_two_laps_multiply(friction: float, one: float, other: float) -> None:
    both = transmission.tension_ratio(friction, one + other)
    apart = transmission.tension_ratio(friction, one) * transmission.tension_ratio(friction, other)
    assert both == pytest.approx(apart, rel=1e-12)


@given(st.floats(0.05, 0.4), st.floats(0.05, 0.4), st.floats(0.5, 2.0))
def test_the_laps_of_an_open_belt_make_one_turn(large: float, small: float, distance: float) -> None:
    one, other = transmission.lap_angles(large, small, distance)
    assert one + other == pytest.approx(2.0 * math.pi, rel=1e-12)
    assert (one >= other) == (large >= small)


def test_a_flat_pulley_has_no_groove() -> None:
    assert transmission.groove_friction(0.3, math.pi) == pytest.approx(0.3)
