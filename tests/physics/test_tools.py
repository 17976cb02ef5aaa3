"""Tools that dig, saw, lift and travel: where their watts go, and what stays true at the ends."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.physics import lifting, loads, sawing, tillage, torque_terms, transmission, travel
from headrace.physics.law import Law, relations
from tests.physics.holds import can_be_worked_out_again, treats_lanes_as_one

close = 1e-12
speeds = st.floats(5.0, 600.0)
torques = st.floats(0.0, 20.0)
depths = st.floats(0.02, 0.3)
slow = st.floats(0.01, 2.0)
works = st.floats(2e4, 5e5)
inertias = st.floats(0.01, 5.0)
pulls = st.floats(10.0, 5000.0)
sheaves = st.floats(0.85, 1.0)
parts = st.integers(1, 8).map(float)
leads = st.integers(0, 2).map(float)
slopes = st.floats(0.0, 1.2)
frictions = st.floats(0.0, 0.6)
masses = st.floats(20.0, 2000.0)
slips = st.floats(0.0, 0.4)
wheels = st.floats(0.05, 0.6)
efficiencies = st.floats(0.3, 1.0)
ropes = st.floats(0.003, 0.02)
cores = st.floats(0.02, 0.3)
spacings = st.floats(0.86, 1.0)
OURS = [
    pytest.param(entry, id=entry.name)
    for entry in relations()
    if entry.function.__module__ in {room.__name__ for room in (tillage, sawing, lifting, travel)}
]


def power_of(terms: torque_terms.TorqueTerms, speed: float) -> Any:
    return torque_terms.torque_at(terms, speed) * speed


# digging


@given(speeds, depths, slow, works, torques)
def test_a_tiller_asks_for_its_digging_and_its_own_drag(
    w: float, depth: float, travel_speed: float, work: float, idle: float
) -> None:
    terms = tillage.tiller_torque_terms(0.4, depth, travel_speed, work, idle)
    by_law = tillage.digging_power(tillage.loosened_volume(0.4, depth, travel_speed), work)
    by_law = by_law + transmission.drag_loss(idle, 0.0, w)
    assert power_of(terms, w) == pytest.approx(by_law, rel=close)


@given(speeds, st.floats(0.05, 0.4), st.floats(0.001, 0.1), works, st.floats(1.0, 5.0), torques)
def test_an_auger_asks_for_digging_height_rubbing_and_drag(
    w: float, diameter: float, feed: float, work: float, factor: float, idle: float
) -> None:
    volume = tillage.bored_volume(diameter, feed)
    flow = tillage.spoil_flow(volume, 1700.0)
    by_law = (
        tillage.digging_power(volume, work)
        + tillage.spoil_lift_power(flow, 0.6)
        + tillage.spoil_rubbing_loss(flow, 0.6, factor)
        + transmission.drag_loss(idle, 0.0, w)
    )
    terms = tillage.auger_torque_terms(diameter, feed, work, 1700.0, 0.6, factor, idle)
    assert power_of(terms, w) == pytest.approx(by_law, rel=close)


def test_a_slow_heap_lifted_without_friction_only_gains_height() -> None:
    assert tillage.spoil_rubbing_loss(2.0, 0.6, 1.0) == 0.0
    assert tillage.spoil_lift_power(2.0, 0.6) == pytest.approx(lifting.lifting_work(2.0, 0.6), rel=close)


@given(speeds, depths, slow, works)
def test_tines_geared_to_the_wheels_do_the_same_work_at_the_same_speed(
    w: float, depth: float, travel_speed: float, work: float
) -> None:
    advance = tillage.bite_length(travel_speed, w, 1.0)
    torque = tillage.geared_digging_torque(0.4 * depth, advance, work)
    by_law = tillage.digging_power(tillage.loosened_volume(0.4, depth, travel_speed), work)
    assert torque * w == pytest.approx(by_law, rel=close)
    assert tillage.bite_length(travel_speed, w, 3.0) == pytest.approx(advance / 3.0, rel=close)


@given(st.floats(1.0, 100.0), st.floats(0.0, 1.0))
def test_rough_torque_has_the_mean_and_the_root_mean_square_it_was_given(mean: float, variation: float) -> None:
    nodes, weights = np.polynomial.hermite_e.hermegauss(60)
    weights = weights / math.sqrt(2.0 * math.pi)
    torque = np.asarray(tillage.rough_torque(mean, variation, nodes))
    assert np.sum(weights * torque) == pytest.approx(mean, rel=1e-9)
    rms = tillage.rough_torque_rms(mean, variation)
    assert math.sqrt(np.sum(weights * torque**2)) == pytest.approx(rms, rel=1e-9)


def test_even_soil_never_passes_its_mean() -> None:
    assert tillage.rough_torque(30.0, 0.0, 3.0) == pytest.approx(30.0, rel=close)


# sawing, chipping, flywheels


@given(speeds, st.floats(0.0, 5000.0), torques, st.floats(0.05, 0.5), st.floats(0.0, 0.05))
def test_a_cutter_asks_for_wood_air_and_drag(
    w: float, power: float, idle: float, radius: float, windage: float
) -> None:
    terms = sawing.cutter_torque_terms(power, idle, radius, 1.19, windage)
    by_law = power + loads.blade_windage_power(w, radius, 1.19, windage) + transmission.drag_loss(idle, 0.0, w)
    assert power_of(terms, w) == pytest.approx(by_law, rel=close, abs=1e-12)


def test_wood_sawn_and_wood_chipped_are_in_proportion_to_what_is_fed() -> None:
    feeds = np.array([0.05, 0.10, 0.20])
    sawn = np.asarray(sawing.sawing_power(sawing.kerf_volume(0.003, 0.08, feeds), 50e6))
    assert sawn == pytest.approx([600.0, 1200.0, 2400.0], rel=close)
    assert np.asarray(sawing.chipping_power(feeds, 12e3)) == pytest.approx(12e3 * feeds, rel=close)


@given(speeds, st.floats(0.1, 0.6), st.floats(1.1, 3.0))
def test_a_smooth_disc_follows_the_power_law_of_turbulent_friction(w: float, radius: float, k: float) -> None:
    """Skin friction of one seventh: power as speed to 2.8 and radius to 4.6."""

    def power(speed: float, size: float) -> Any:
        windage = sawing.smooth_disc_windage(speed, size, 1.5e-5)
        return loads.blade_windage_power(speed, size, 1.2, windage)

    assert power(k * w, radius) == pytest.approx(k**2.8 * power(w, radius), rel=1e-12)
    assert power(w, k * radius) == pytest.approx(k**4.6 * power(w, radius), rel=1e-12)


@given(speeds, inertias, st.floats(0.0, 0.99))
def test_a_hit_takes_its_energy_out_of_the_wheel(w: float, inertia: float, share: float) -> None:
    energy = share * loads.spin_energy(inertia, w)
    droop = sawing.speed_droop(w, inertia, energy)
    before, after = loads.spin_energy(inertia, w), loads.spin_energy(inertia, w - droop)
    rounding = 1e-12 * float(before)
    assert before - after == pytest.approx(energy, rel=0.0, abs=rounding)
    assert sawing.flywheel_energy(inertia, w, w - droop) == pytest.approx(energy, rel=0.0, abs=rounding)


@given(speeds, inertias)
def test_a_light_hit_droops_by_its_energy_over_the_spin(w: float, inertia: float) -> None:
    energy = 1e-13 * loads.spin_energy(inertia, w)
    assert sawing.speed_droop(w, inertia, energy) == pytest.approx(energy / (inertia * w), rel=1e-12)


def test_a_hit_heavier_than_the_wheel_stops_it() -> None:
    energies = np.array([0.0, 2500.0, 2600.0, 1e6])
    assert np.asarray(sawing.speed_droop(100.0, 0.5, energies)) == pytest.approx([0.0, 100.0, 100.0, 100.0])
    assert float(sawing.speed_droop(0.0, 0.5, 10.0)) == 0.0


@given(speeds, st.floats(0.05, 0.9), inertias)
def test_the_wheel_sized_for_a_hit_gives_it(w: float, kept: float, inertia: float) -> None:
    energy = sawing.flywheel_energy(inertia, w, kept * w)
    assert sawing.flywheel_inertia(energy, w, kept * w) == pytest.approx(inertia, rel=1e-12)


@given(speeds, st.floats(0.01, 0.5), inertias, st.floats(0.5, 50.0))
def test_a_steady_torque_pays_back_what_the_hit_took(w: float, share: float, inertia: float, torque: float) -> None:
    droop = share * w
    seconds = sawing.recovery_time(inertia, droop, torque)
    taken = sawing.flywheel_energy(inertia, w, w - droop)
    assert torque * (w - 0.5 * droop) * seconds == pytest.approx(taken, rel=1e-12)
    assert sawing.mean_hit_power(taken, seconds) == pytest.approx(torque * (w - 0.5 * droop), rel=1e-12)


@pytest.mark.parametrize("interval", [0.05, 0.5, 3.0])
def test_the_current_between_hits_is_that_of_a_motor_on_a_wheel(interval: float) -> None:
    """March J dw/dt = ke (U - ke w)/R with a step at each hit until the swing repeats, and read the current."""
    inertia, resistance, constant, volts, step = 0.05, 0.1, 0.15, 36.0, 4.0
    lag = inertia * resistance / constant**2
    count = max(200, int(800.0 * interval / lag))
    seconds = interval / count
    free, speed = volts / constant, volts / constant
    current = np.zeros(count + 1)
    for _ in range(int(14.0 * lag / interval) + 2):
        speed -= step
        for k in range(count + 1):
            current[k] = (volts - constant * speed) / resistance
            if k < count:  # the midpoint rule, second order
                half = speed + 0.5 * seconds * (free - speed) / lag
                speed += seconds * (free - half) / lag
    mean = float(np.trapezoid(current, dx=seconds)) / interval
    rms = math.sqrt(float(np.trapezoid(current**2, dx=seconds)) / interval)
    assert sawing.recovery_time_constant(inertia, resistance, constant) == pytest.approx(lag, rel=close)
    assert mean * constant == pytest.approx(inertia * step / interval, rel=1e-5)
    assert current[0] / mean == pytest.approx(sawing.hit_current_peak(interval, lag), rel=1e-5)
    assert rms / mean == pytest.approx(sawing.hit_current_rms(interval, lag), rel=1e-5)


def test_a_heavy_wheel_shows_the_battery_the_mean_alone() -> None:
    assert sawing.hit_current_peak(1e-6, 1.0) == pytest.approx(1.0, abs=1e-6)
    assert sawing.hit_current_rms(1e-6, 1.0) == pytest.approx(1.0, abs=1e-12)


# lifting


@given(cores, ropes, st.integers(1, 60), st.integers(1, 12), spacings)
def test_a_drum_holds_the_sum_of_its_layers(core: float, rope: float, turns: int, layers: int, spacing: float) -> None:
    total = sum(
        2.0 * math.pi * turns * float(lifting.layer_radius(core, rope, float(k), spacing)) for k in range(1, layers + 1)
    )
    held = lifting.drum_capacity(core, rope, float(turns), float(layers), spacing)
    assert held == pytest.approx(total, rel=close)
    reached = [
        float(lifting.layer_reached(length, core, rope, float(turns), spacing))
        for length in (0.0, total, total * 1.00001, total + 2.0 * math.pi * turns * core)
    ]
    assert reached == [1.0, layers, layers + 1.0, layers + 1.0]


@given(st.floats(0.0, 200.0), cores, ropes, st.integers(1, 60), spacings)
def test_the_layer_reached_is_the_first_that_has_room(
    length: float, core: float, rope: float, turns: int, spacing: float
) -> None:
    left, layer = length, 1
    while left > 2.0 * math.pi * turns * (core + rope * (0.5 + spacing * (layer - 1))) * (1.0 + 1e-7):
        left -= 2.0 * math.pi * turns * (core + rope * (0.5 + spacing * (layer - 1)))
        layer += 1
    reached = float(lifting.layer_reached(length, core, rope, float(turns), spacing))
    nearly_full = lifting.drum_capacity(core, rope, float(turns), float(layer), spacing) < length * (1.0 + 1e-6)
    assert reached == layer or (nearly_full and reached == layer + 1)


def test_a_drum_as_wide_as_whole_turns_loses_none_to_rounding() -> None:
    assert [float(lifting.turns_per_layer(width, 0.1)) for width in (0.3, 0.7, 0.79, 1.2)] == [3.0, 7.0, 7.0, 12.0]


@given(parts, sheaves, leads)
def test_a_tackle_is_the_sum_of_the_tensions_of_its_parts(count: float, sheave: float, lead: float) -> None:
    up = sum(sheave ** (k + lead) for k in range(int(count)))
    down = sum(sheave ** -(k + lead) for k in range(int(count)))
    assert lifting.tackle_advantage(count, sheave, lead) == pytest.approx(up, rel=1e-12)
    assert lifting.tackle_lowering_advantage(count, sheave, lead) == pytest.approx(down, rel=1e-12)


def test_a_tackle_of_perfect_or_nearly_perfect_sheaves_counts_its_parts() -> None:
    assert float(lifting.tackle_advantage(1.0, 1.0, 0.0)) == 1.0
    assert float(lifting.tackle_advantage(4.0, 1.0, 1.0)) == 4.0
    assert float(lifting.tackle_advantage(4.0, 1.0 - 1e-12, 0.0)) == pytest.approx(4.0, rel=1e-11)
    assert float(lifting.tackle_advantage(1.0, 0.9, 0.0)) == pytest.approx(1.0, rel=close)
    assert float(lifting.tackle_advantage(1.0, 0.9, 1.0)) == pytest.approx(0.9, rel=close)


@given(pulls, slow, parts, sheaves, leads)
def test_what_the_winch_gives_a_tackle_lifts_the_load_or_warms_the_sheaves(
    pull: float, speed: float, count: float, sheave: float, lead: float
) -> None:
    up = lifting.tackle_advantage(count, sheave, lead)
    given_ = lifting.pull_power(lifting.rope_pull(pull, up), lifting.rope_speed(speed, count))
    loss = lifting.tackle_loss(pull, speed, count, up)
    assert given_ == pytest.approx(lifting.pull_power(pull, speed) + loss, rel=close)
    down = lifting.tackle_lowering_advantage(count, sheave, lead)
    back = lifting.pull_power(lifting.rope_pull(pull, down), lifting.rope_speed(speed, count))
    kept = -lifting.tackle_loss(pull, speed, count, down)
    assert back + kept == pytest.approx(lifting.pull_power(pull, speed), rel=close)
    assert loss >= -1e-9
    assert kept >= -1e-9


@given(pulls, slow, cores, torques)
def test_a_drum_asks_for_its_rope_and_its_bearings(pull: float, speed: float, radius: float, idle: float) -> None:
    turning = float(loads.speed_of_tip(speed, radius))
    terms = lifting.hoist_torque_terms(pull, radius, idle)
    by_law = lifting.pull_power(pull, speed) + transmission.drag_loss(idle, 0.0, turning)
    assert power_of(terms, turning) == pytest.approx(by_law, rel=close)
    assert lifting.pull_torque(pull, radius) == pytest.approx(terms.constant - idle, rel=1e-9)


@given(masses, slopes, frictions, st.floats(-1.0, 1.0))
def test_a_pull_up_a_slope_is_height_rubbing_and_speeding_up(
    mass: float, slope: float, friction: float, rate: float
) -> None:
    height, rubbing = travel.grade_force(mass, slope), travel.rolling_force(mass, slope, friction)
    gaining = travel.acceleration_force(mass, rate)
    assert lifting.load_pull(mass, slope, friction, rate) == pytest.approx(height + rubbing + gaining, abs=1e-8)
    assert lifting.lowering_pull(mass, slope, friction, rate) == pytest.approx(height - rubbing + gaining, abs=1e-8)


def test_a_load_stays_on_a_slope_flatter_than_its_friction() -> None:
    angles = np.arctan(np.array([0.29, 0.31]))
    pull = np.asarray(lifting.lowering_pull(100.0, angles, 0.30, 0.0))
    assert pull[0] < 0.0 < pull[1]


@given(pulls, st.floats(0.05, 0.5), st.floats(0.1, 20.0))
def test_a_capstan_read_both_ways(pull: float, friction: float, lap: float) -> None:
    tail = lifting.capstan_tail_pull(pull, friction, lap)
    assert lifting.capstan_line_pull(tail, friction, lap) == pytest.approx(pull, rel=1e-12)
    assert pull / tail == pytest.approx(transmission.tension_ratio(friction, lap), rel=1e-12)
    assert lifting.capstan_lap(pull, tail, friction) == pytest.approx(lap, rel=1e-9)


def test_without_laps_a_capstan_neither_helps_nor_hinders() -> None:
    assert lifting.capstan_line_pull(100.0, 0.2, 0.0) == 100.0
    assert lifting.capstan_tail_pull(100.0, 0.2, 0.0) == 100.0


@given(st.floats(0.1, 50.0), efficiencies, torques)
def test_a_load_gives_back_what_the_stage_law_says(torque: float, efficiency: float, drag: float) -> None:
    share = transmission.back_efficiency(efficiency)
    back = lifting.lowering_torque(torque, share, drag, 0.0, 100.0)
    assert back == pytest.approx(transmission.back_torque(torque, efficiency, drag), abs=1e-9)
    assert lifting.energy_given_back(1000.0, share) <= 1000.0
    assert (lifting.energy_given_back(1000.0, share) > 0.0) == (efficiency > 0.5)


@given(st.floats(0.02, 0.4), st.floats(0.02, 0.12))
def test_a_worm_that_holds_gives_nothing_back(lead: float, friction: float) -> None:
    pressure = math.radians(20.0)
    share = transmission.worm_back_efficiency(lead, friction, pressure)
    margin = float(transmission.worm_holds(lead, friction, pressure))
    if abs(margin) > 1e-9:
        assert (lifting.lowering_torque(10.0, share, 0.0, 0.0, 0.0) < 0.0) == (margin > 0.0)
        assert (float(lifting.energy_given_back(500.0, share)) == 0.0) == (margin > 0.0)


def test_up_and_down_without_losses_costs_nothing() -> None:
    work = lifting.lifting_work(100.0, 5.0)
    assert lifting.energy_given_back(work, transmission.back_efficiency(1.0)) == pytest.approx(work, rel=close)


# travel


@given(masses, st.floats(-0.3, 0.3), st.floats(0.005, 0.2), st.floats(0.1, 8.0), slips, wheels)
def test_an_axle_pays_for_slope_ground_air_drawbar_and_slip(
    mass: float, grade: float, rolling: float, speed: float, slip: float, radius: float
) -> None:
    angle = travel.grade_angle(grade)
    steady = travel.grade_force(mass, angle) + travel.rolling_force(mass, angle, rolling) + 150.0
    force = steady + travel.air_force(1.2, 0.7, speed)
    turning = float(travel.axle_speed(speed, radius, slip))
    terms = travel.travel_torque_terms(steady, radius, 1.2, 0.7, slip)
    by_law = lifting.pull_power(force, speed) + travel.slip_loss(force, speed, slip)
    scale = (mass * 10.0 + 1000.0) * speed  # forces may cancel downhill
    assert power_of(terms, turning) == pytest.approx(by_law, rel=close, abs=1e-13 * scale)
    assert travel.travel_speed_of_axle(turning, radius, slip) == pytest.approx(speed, rel=close)


@given(st.floats(1e-5, 0.1), st.floats(1.0, 60.0), wheels, st.floats(0.1, 8.0))
def test_the_mass_of_a_rotor_moves_with_the_energy_of_its_spin(
    inertia: float, turns: float, radius: float, speed: float
) -> None:
    mass = travel.rotating_mass(inertia, turns, radius)
    spinning = loads.spin_energy(inertia, turns * float(travel.axle_speed(speed, radius, 0.0)))
    assert travel.motion_energy(mass, speed) == pytest.approx(spinning, rel=1e-12)


@given(masses, st.floats(0.0, 0.4), st.floats(0.005, 0.1), st.floats(0.1, 8.0), slips, wheels)
def test_a_descent_spends_its_height_on_ground_air_slip_and_axle(
    mass: float, grade: float, rolling: float, speed: float, slip: float, radius: float
) -> None:
    angle = travel.grade_angle(grade)
    air = travel.air_force(1.2, 0.7, speed)
    torque = travel.holding_torque(mass, angle, rolling, air, radius)
    falling = lifting.pull_power(travel.grade_force(mass, angle), speed)
    ground = lifting.pull_power(travel.rolling_force(mass, angle, rolling) + air, speed)
    slipped = torque / radius * speed * slip
    back = travel.descent_power(torque, speed, radius, slip)
    assert back + slipped + ground == pytest.approx(falling, abs=1e-12 * mass * 10.0 * speed)
    steady = travel.grade_force(mass, -angle) + travel.rolling_force(mass, -angle, rolling)
    driving = travel.travel_torque_terms(steady, radius, 1.2, 0.7, 0.0)
    turning = float(travel.axle_speed(speed, radius, 0.0))
    assert torque_terms.torque_at(driving, turning) == pytest.approx(-torque, abs=1e-12 * mass * 10.0)


@given(masses, st.floats(0.2, 0.9), st.floats(0.0, 0.1))
def test_all_wheels_climb_to_where_grip_less_rolling_is_the_grade(mass: float, grip: float, rolling: float) -> None:
    angle = travel.grade_angle(grip - rolling)
    asked = travel.grade_force(mass, angle) + travel.rolling_force(mass, angle, rolling)
    assert travel.grip_limit(mass, angle, 1.0, grip) == pytest.approx(asked, rel=1e-12)


@given(masses, st.floats(0.1, 8.0), st.floats(50.0, 3000.0), st.floats(-40.0, 200.0), st.floats(0.0, 1.0))
def test_brake_and_ground_take_up_the_motion_on_the_way(
    mass: float, speed: float, brake: float, resistance: float, reaction: float
) -> None:
    distance = travel.stopping_distance(mass, speed, brake, resistance, reaction) - speed * reaction
    assert (brake + resistance) * distance == pytest.approx(travel.motion_energy(mass, speed), rel=1e-9)


def test_a_brake_weaker_than_the_slope_never_stops() -> None:
    forces = np.array([100.0, 300.0, 300.1])
    distance = np.asarray(travel.stopping_distance(200.0, 2.0, forces, -300.0, 0.5))
    assert np.isinf(distance[:2]).all()
    assert np.isfinite(distance[2])
    assert float(travel.stopping_distance(200.0, 0.0, 100.0, -300.0, 0.5)) == 0.0


def test_wind_from_behind_pushes() -> None:
    assert travel.air_force(1.2, 0.7, -5.0) == pytest.approx(-travel.air_force(1.2, 0.7, 5.0), rel=close)


def test_soil_carries_a_large_wheel_better_and_never_beyond_a_floor() -> None:
    small, large = (travel.wheel_numeric(400e3, 0.1, d, 800.0) for d in (0.3, 0.6))
    assert travel.soil_rolling(large) < travel.soil_rolling(small)
    assert travel.soil_rolling(1e9) == pytest.approx(0.04, abs=1e-8)
    assert travel.rolling_of_wheel(0.07, 0.3, 0.3) == pytest.approx(0.07, rel=close)
    assert travel.rolling_of_wheel(0.07, 0.3, 0.6) > 0.07


# all of them


def arguments(entry: Law, seed: int) -> dict[str, float]:
    """Return numbers within the ranges of a law, within reach of a hand where the range is wide."""
    random = np.random.default_rng(seed)
    names = entry.function.__code__.co_varnames[: entry.function.__code__.co_argcount]
    drawn = {}
    for name in names:
        low, high = entry.valid.get(name, (1.0, 10.0))
        drawn[name] = float(random.uniform(low, min(high, low + 10.0)))
    return drawn


@pytest.mark.parametrize("entry", OURS)
def test_a_law_treats_lanes_as_it_treats_one(entry: Law) -> None:
    apart = treats_lanes_as_one(entry, [arguments(entry, seed) for seed in range(4)], rel=1e-12)
    assert np.isfinite(apart).all()


@pytest.mark.parametrize("entry", OURS)
def test_a_law_can_be_worked_out_again(entry: Law) -> None:
    can_be_worked_out_again(entry, arguments(entry, 7))
