"""Corded motors, inverters and starts: balances, inverses, limits, and what a naive chain gets wrong."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from headrace.physics import (
    conductors,
    converters,
    induction,
    inverters,
    loads,
    margins,
    motors,
    sawing,
    series_motor,
    starting,
    torque_terms,
)
from headrace.physics.law import Law, relations
from headrace.physics.series_motor import SeriesMotor
from tests.physics.holds import can_be_worked_out_again, treats_lanes_as_one

close = 1e-12
RPM = math.pi / 30.0
resistances = st.floats(0.3, 20.0)
reactances = st.floats(0.0, 30.0)
constants = st.floats(0.02, 0.3)
saturations = st.floats(0.3, 8.0)
irons = st.floats(0.0, 3e-3)
speeds = st.floats(100.0, 3500.0)
currents = st.floats(0.2, 15.0)
drops = st.floats(0.0, 3.0)
frictions = st.floats(0.0, 0.1)
fans = st.floats(1e-10, 5e-8)
machines = st.builds(SeriesMotor, resistances, reactances, constants, saturations, irons)

# A motor of some 1 kW on 230 V, 50 Hz, all of it assumed: no product, and not the example of a note
TOOL = SeriesMotor(8.5, 12.0, 0.088, 1.2, 1.7e-3)
BRUSHES, FRICTION, FAN = 2.0, 0.028, 7e-9


def at(motor: SeriesMotor, amps: Any, speed: Any, brushes: float = BRUSHES) -> tuple[Any, Any]:
    """Return the constant and the volts in phase."""
    constant = series_motor.series_constant(amps, motor.constant, motor.saturation_current)
    return constant, motors.motor_voltage(constant, speed, amps, motor.resistance, brushes)


def shaft_torque(motor: SeriesMotor, amps: Any, speed: Any) -> Any:
    constant, _ = at(motor, amps, speed)
    drag = series_motor.series_drag_terms(FRICTION, FAN, motor.iron, constant)
    return motors.airgap_torque(constant, amps) - torque_terms.torque_at(drag, speed)


def current_at_speed(motor: SeriesMotor, volts: float, speed: float) -> float:
    most = float(starting.locked_rotor_current(volts, motor.resistance, motor.reactance, 0.0, BRUSHES))

    def over(amps: float) -> float:
        return float(series_motor.mains_voltage(at(motor, amps, speed)[1], amps, motor.reactance)) - volts

    return float(brentq(over, 1e-9, most, xtol=1e-13))


# series motors


@given(machines, currents, speeds, drops, frictions, fans)
def test_power_from_the_mains_is_shaft_power_and_five_losses(
    motor: SeriesMotor, amps: float, w: float, drop: float, friction: float, fan: float
) -> None:
    constant, in_phase = at(motor, amps, w, drop)
    drag = series_motor.series_drag_terms(friction, fan, motor.iron, constant)
    shaft = motors.airgap_torque(constant, amps) - torque_terms.torque_at(drag, w)
    losses = (
        conductors.joule_loss(amps, motor.resistance)
        + motors.brush_loss(amps, drop)
        + motors.rotation_loss(friction, w)
        + series_motor.motor_fan_loss(fan, w)
        + series_motor.iron_loss(motor.iron, constant * w)
    )
    taken = series_motor.input_power(in_phase, amps)
    assert shaft * w + losses == pytest.approx(taken, rel=close)
    volts = series_motor.mains_voltage(in_phase, amps, motor.reactance)
    factor = series_motor.power_factor(in_phase, volts)
    assert starting.apparent_power(volts, amps) * factor == pytest.approx(taken, rel=close)
    # on direct current the same without reactance
    direct = series_motor.mains_voltage(in_phase, amps, 0.0)
    assert direct == pytest.approx(in_phase, rel=close)
    assert series_motor.power_factor(in_phase, direct) == pytest.approx(1.0, rel=close)


def test_the_current_of_a_torque_is_its_inverse_to_the_last_digits() -> None:
    draw = np.random.default_rng(11)
    count = 20_000
    amps = 10.0 ** draw.uniform(-5.0, 2.5, count)
    constant, saturation = draw.uniform(0.02, 0.3, count), draw.uniform(0.3, 8.0, count)
    iron, w = draw.uniform(0.0, 3e-3, count), draw.uniform(0.0, 3500.0, count)
    inside = iron * w * constant < 0.9 * saturation
    assert inside.mean() > 0.8
    flux = np.asarray(series_motor.series_constant(amps, constant, saturation))
    torque = motors.airgap_torque(flux, amps) - iron * flux**2 * w
    found = np.asarray(series_motor.series_current(torque, w, constant, saturation, iron))
    assert np.max(np.abs(found / amps - 1.0)[inside]) < close


@given(constants, saturations, irons, speeds)
def test_torque_rises_with_current_from_nothing(constant: float, saturation: float, iron: float, w: float) -> None:
    torque = np.concatenate([[-1.0, 0.0], np.geomspace(1e-6, 20.0, 50)])
    amps = np.asarray(series_motor.series_current(torque, w, constant, saturation, iron))
    assert np.all(np.diff(amps[1:]) > 0.0)
    assert amps[0] == pytest.approx(amps[1], abs=0.0)
    free = np.asarray(series_motor.series_current(torque, w, constant, saturation, 0.0))
    assert free[:2].tolist() == [0.0, 0.0]
    assert np.all(free <= amps * (1.0 + 1e-15))


def test_a_small_current_has_half_the_flux_of_twice_as_much_and_a_large_one_all_of_it() -> None:
    small, twice, large = (float(series_motor.series_constant(amps, 0.1, 2.0)) for amps in (1e-6, 2e-6, 200.0))
    assert twice == pytest.approx(2.0 * small, rel=1e-6)
    assert large == pytest.approx(0.1, rel=close)
    # unsaturated, torque goes with the square of the current: four times the torque for twice the current
    torque = 1e-4
    once, four = (float(series_motor.series_current(t, 0.0, 0.1, 50.0, 0.0)) for t in (torque, 4.0 * torque))
    assert four / once == pytest.approx(2.0, rel=5e-3)
    assert series_motor.series_current(50.0, 0.0, 0.1, 2.0, 0.0) == pytest.approx(500.0, rel=close)


@given(st.floats(20.0, 250.0), machines, currents, fans)
def test_the_speed_at_a_current_closes_the_voltage_balance(
    volts: float, motor: SeriesMotor, amps: float, fan: float
) -> None:
    w = float(series_motor.series_speed(motor, volts, amps, BRUSHES, fan))
    most = float(starting.locked_rotor_current(volts, motor.resistance, motor.reactance, 0.0, BRUSHES))
    bound = float(series_motor.fan_limited_speed(volts, motor.resistance, BRUSHES, fan))
    assert 0.0 <= w <= bound
    if amps >= most:
        assert w == 0.0
    elif w < bound:
        back = series_motor.mains_voltage(at(motor, amps, w)[1], amps, motor.reactance)
        assert back == pytest.approx(volts, rel=1e-11)


@given(st.floats(20.0, 250.0), machines, frictions, fans)
def test_an_unloaded_motor_turns_nothing_but_itself_and_no_faster_than_its_fan_lets_it(
    volts: float, motor: SeriesMotor, friction: float, fan: float
) -> None:
    most = float(starting.locked_rotor_current(volts, motor.resistance, motor.reactance, 0.0, BRUSHES))
    free = float(series_motor.unloaded_speed(motor, volts, BRUSHES, friction, fan))
    bound = float(series_motor.fan_limited_speed(volts, motor.resistance, BRUSHES, fan))
    held = motors.airgap_torque(series_motor.series_constant(most, motor.constant, motor.saturation_current), most)
    if friction >= held:
        assert free == 0.0
        return
    assert 0.0 < free < bound
    amps = float(series_motor.series_current(friction + fan * free**2, free, *motor[2:]))
    needed = series_motor.mains_voltage(at(motor, amps, free)[1], amps, motor.reactance)
    assert needed == pytest.approx(volts, rel=1e-9)


def test_without_a_load_the_speed_stays_finite_at_any_current() -> None:
    amps = np.concatenate([[0.0], np.geomspace(1e-12, 30.0, 100)])
    w = np.asarray(series_motor.series_speed(TOOL, 230.0, amps, BRUSHES, FAN))
    bound = float(series_motor.fan_limited_speed(230.0, TOOL.resistance, BRUSHES, FAN))
    assert np.all(np.diff(w) <= 0.0)
    assert w[0] == bound
    assert bound < 2.0 * float(series_motor.unloaded_speed(TOOL, 230.0, BRUSHES, FRICTION, FAN))


def test_a_stuck_unloaded_motor_has_no_speed_and_a_dead_one_neither() -> None:
    assert series_motor.unloaded_speed(TOOL, 230.0, BRUSHES, 10.0, FAN) == 0.0
    assert series_motor.unloaded_speed(TOOL, 1.5, BRUSHES, FRICTION, FAN) == 0.0


def test_the_assumed_kilowatt_motor_gives_the_point_worked_out_by_hand() -> None:
    """A second route on derived numbers, at the digits they were written with; not evidence."""
    w = 20_000.0 * RPM
    amps = current_at_speed(TOOL, 230.0, w)
    _, in_phase = at(TOOL, amps, w)
    assert amps == pytest.approx(4.7, abs=0.05)
    assert series_motor.input_power(in_phase, amps) == pytest.approx(1054.0, abs=0.5)
    assert shaft_torque(TOOL, amps, w) * w == pytest.approx(676.0, abs=0.5)
    assert series_motor.power_factor(in_phase, 230.0) == pytest.approx(0.97, abs=0.005)
    free = float(series_motor.unloaded_speed(TOOL, 230.0, BRUSHES, FRICTION, FAN))
    assert free / RPM == pytest.approx(29_800.0, abs=50.0)


def test_speed_falls_steeply_with_load_and_direct_current_turns_it_faster() -> None:
    amps = np.array([2.0, 4.0, 8.0])
    mains = np.asarray(series_motor.series_speed(TOOL, 230.0, amps, BRUSHES, FAN))
    direct = np.asarray(series_motor.series_speed(TOOL._replace(reactance=0.0), 230.0, amps, BRUSHES, FAN))
    assert np.all(direct > mains)
    assert np.all(np.diff(direct - mains) > 0.0)  # the more current, the more the reactance takes
    assert mains[2] < 0.6 * mains[0]


def test_the_plate_efficiency_is_not_the_efficiency_of_half_the_load() -> None:
    """Fixed losses stay: a chain of plate efficiencies promises too much at part load."""
    fast, slow = 20_000.0 * RPM, 26_000.0 * RPM
    rated, light = (shaft_torque(TOOL, current_at_speed(TOOL, 230.0, w), w) * w for w in (fast, slow))
    taken = [
        float(series_motor.input_power(at(TOOL, amps, w)[1], amps))
        for w in (fast, slow)
        for amps in [current_at_speed(TOOL, 230.0, w)]
    ]
    assert light < 0.6 * rated
    assert light / taken[1] < rated / taken[0] - 0.05


@given(machines, currents, speeds, st.floats(0.2, 4.0))
def test_another_winding_on_the_same_frame_does_the_same_work(
    motor: SeriesMotor, amps: float, w: float, ratio: float
) -> None:
    other = series_motor.rewound(motor, ratio, 1.0)
    was, now = at(motor, amps, w, 0.0), at(other, amps / ratio, w, 0.0)
    assert now[1] == pytest.approx(ratio * was[1], rel=close)
    assert now[0] * amps / ratio == pytest.approx(was[0] * amps, rel=close)
    assert series_motor.iron_loss(other.iron, now[0] * w) == pytest.approx(
        series_motor.iron_loss(motor.iron, was[0] * w), rel=close
    )
    volts = series_motor.mains_voltage(was[1], amps, motor.reactance)
    assert series_motor.mains_voltage(now[1], amps / ratio, other.reactance) == pytest.approx(ratio * volts, rel=close)
    back = series_motor.rewound(other, 1.0 / ratio, 1.0)
    assert list(back) == pytest.approx(list(motor), rel=close)


def test_a_higher_mains_frequency_raises_the_reactance_alone() -> None:
    other = series_motor.rewound(TOOL, 1.0, 1.2)
    assert other.reactance == pytest.approx(14.4)
    assert other._replace(reactance=TOOL.reactance) == TOOL


# induction motors


@given(st.floats(0.01, 0.99), st.floats(0.5, 50.0), st.floats(0.02, 0.6))
def test_the_slip_of_a_torque_is_on_the_steady_side_and_gives_the_torque(
    share: float, breakdown: float, at_breakdown: float
) -> None:
    slip = float(induction.slip_under_torque(share * breakdown, breakdown, at_breakdown))
    assert slip < at_breakdown
    assert induction.torque_at_slip(slip, breakdown, at_breakdown) == pytest.approx(share * breakdown, rel=close)
    assert induction.breakdown_slip(slip, 1.0 / share) == pytest.approx(at_breakdown, rel=1e-9)


@given(st.floats(0.5, 50.0), st.floats(0.02, 0.6), st.floats(0.001, 1.0))
def test_no_slip_has_more_torque_than_breakdown(breakdown: float, at_breakdown: float, slip: float) -> None:
    assert induction.torque_at_slip(at_breakdown, breakdown, at_breakdown) == pytest.approx(breakdown, rel=close)
    assert induction.torque_at_slip(slip, breakdown, at_breakdown) <= breakdown * (1.0 + close)
    assert induction.torque_at_slip(0.0, breakdown, at_breakdown) == 0.0


@given(st.floats(0.0, 50.0), st.floats(1.0, 157.0), st.floats(0.0, 1.0))
def test_power_through_the_gap_is_shaft_power_and_rotor_loss(torque: float, field: float, slip: float) -> None:
    gap = induction.gap_power(torque, field)
    shaft = torque * induction.slipping_speed(field, slip)
    assert shaft + induction.rotor_loss(gap, slip) == pytest.approx(gap, rel=close)
    assert induction.rotor_slip(field, induction.slipping_speed(field, slip)) == pytest.approx(slip, abs=close)


def test_a_sagging_supply_stalls_a_motor_that_ran_on_its_plate() -> None:
    load, breakdown, rated = 4.0, 9.0, 230.0
    limit = float(induction.stall_voltage(load, breakdown, rated))
    assert induction.sagged_breakdown(breakdown, limit, rated) == pytest.approx(load, rel=close)
    volts = np.array([rated, 1.001 * limit, 0.999 * limit])
    slips = np.asarray(induction.slip_under_torque(load, induction.sagged_breakdown(breakdown, volts, rated), 0.2))
    assert slips[0] < slips[1] < 0.2
    assert slips[2] == 1.0
    start = induction.induction_start_current(5.0, 6.0, volts[2], rated)
    assert start == pytest.approx(30.0 * volts[2] / rated, rel=close)


def test_three_lines_carry_the_power_of_three_phases() -> None:
    line = induction.three_phase_current(3000.0, 400.0, 0.8)
    phase = induction.single_phase_current(1000.0, 400.0 / math.sqrt(3.0), 0.8)
    assert line == pytest.approx(phase, rel=close)


# inverters


@given(st.floats(300.0, 3000.0), st.floats(0.0, 30.0), st.floats(0.01, 0.1), st.floats(0.01, 0.1))
def test_two_efficiencies_and_the_idle_loss_give_the_three_terms_back(
    rated: float, idle: float, linear: float, at_rated: float
) -> None:
    square = at_rated / rated
    powers = rated, 0.1 * rated
    efficiencies = [
        inverters.converter_efficiency(power, inverters.inverter_loss(power, power, idle, linear, square))
        for power in powers
    ]
    terms = inverters.three_terms(rated, efficiencies[0], efficiencies[1], idle)
    assert terms.idle == idle
    assert terms.linear == pytest.approx(linear, rel=1e-9)
    assert terms.square == pytest.approx(square, rel=1e-9)
    for power, efficiency in zip(powers, efficiencies, strict=True):
        loss = inverters.loss_at_efficiency(power, efficiency)
        assert loss == pytest.approx(inverters.inverter_loss(power, power, *terms), rel=1e-9)


@given(st.floats(1.0, 3000.0), st.floats(0.0, 30.0), st.floats(0.0, 0.1), st.floats(0.0, 1e-3), st.floats(0.3, 1.0))
def test_the_most_a_converter_puts_out_takes_all_that_is_put_in(
    power: float, idle: float, linear: float, square: float, factor: float
) -> None:
    taken = power + inverters.inverter_loss(power, power / factor, idle, linear, square)
    assert inverters.most_output(taken, idle, linear, square, factor) == pytest.approx(power, rel=1e-9)
    assert inverters.most_output(0.5 * idle, idle, linear, square, factor) == 0.0


def test_watts_of_a_poor_power_factor_cost_an_inverter_more() -> None:
    good, poor = (inverters.inverter_loss(600.0, 600.0 / factor, 12.0, 0.05, 6e-5) for factor in (1.0, 0.6))
    assert poor - good == pytest.approx(6e-5 * 600.0**2 * (1.0 / 0.36 - 1.0), rel=close)
    assert inverters.most_output(700.0, 12.0, 0.05, 6e-5, 0.6) < inverters.most_output(700.0, 12.0, 0.05, 6e-5, 1.0)


def test_the_loss_of_a_mixed_day_is_not_the_loss_at_its_mean() -> None:
    shares, watts = np.array([0.5, 0.3, 0.2]), np.array([100.0, 600.0, 1400.0])
    mean = float(shares @ watts)
    of_day = float(shares @ np.asarray(inverters.inverter_loss(watts, watts, 12.0, 0.05, 6e-5)))
    spread = float(shares @ (watts - mean) ** 2)
    assert of_day - inverters.inverter_loss(mean, mean, 12.0, 0.05, 6e-5) == pytest.approx(6e-5 * spread, rel=1e-9)


def test_a_measured_table_is_held_at_its_ends() -> None:
    table = np.array([50.0, 200.0, 800.0]), np.array([0.7, 0.88, 0.9])
    found = np.asarray(inverters.measured_efficiency(np.array([0.0, 50.0, 125.0, 800.0, 5000.0]), *table))
    assert found.tolist() == pytest.approx([0.7, 0.7, 0.79, 0.9, 0.9])


@given(st.floats(10.0, 60.0), st.floats(1e-4, 0.5), st.floats(0.0, 0.999))
def test_the_current_of_a_constant_power_closes_the_balance(volts: float, resistance: float, share: float) -> None:
    power = share * float(converters.most_power(volts, resistance))
    assert inverters.power_discriminant(volts, resistance, power) >= 0.0
    amps = float(inverters.constant_power_current(volts, resistance, power))
    assert amps * (volts - resistance * amps) == pytest.approx(power, rel=1e-9)
    assert amps <= 0.5 * volts / resistance  # the smaller root, the one that holds still
    assert power == pytest.approx(amps * float(converters.bus_voltage(volts, resistance, power, 0.0)), rel=1e-9)


def test_beyond_the_most_power_there_is_no_operating_point_and_no_nan() -> None:
    watts = np.array([100.0, 400.0, 500.0])
    signs = np.asarray(inverters.power_discriminant(20.0, 0.25, watts)) >= 0.0
    assert signs.tolist() == [True, True, False]
    amps = np.asarray(inverters.constant_power_current(20.0, 0.25, watts))
    assert np.isfinite(amps).all()
    met = amps * (20.0 - 0.25 * amps)
    assert met[:2].tolist() == pytest.approx(watts[:2].tolist())
    assert met[2] < 400.0


def test_a_constant_power_takes_more_amps_from_a_lower_voltage_and_no_resistance_takes_none() -> None:
    amps = np.asarray(inverters.constant_power_current(np.array([48.0, 24.0, 12.0]), 0.01, 240.0))
    assert np.all(np.diff(amps) > 0.0)
    assert inverters.constant_power_current(48.0, 0.0, 240.0) == 5.0


@given(st.floats(10.0, 60.0), st.floats(1e-4, 0.5), st.floats(0.0, 1.2))
def test_the_power_above_a_cut_out_is_the_best_of_all_voltages_above_it(
    volts: float, resistance: float, share: float
) -> None:
    cut_out = share * volts
    most = float(inverters.most_power_above(volts, resistance, cut_out))
    span = np.linspace(min(cut_out, volts), volts, 2001)
    reached = float(np.max(np.asarray(converters.power_at_voltage(volts, resistance, span))))
    assert reached <= most * (1.0 + close)
    assert reached == pytest.approx(most, rel=1e-5, abs=1e-9)
    assert most <= float(converters.most_power(volts, resistance)) * (1.0 + close)
    # more resistance never gives more
    assert inverters.most_power_above(volts, 1.1 * resistance, cut_out) <= most
    if 0.0 < share < 0.99:
        assert inverters.least_open_voltage(cut_out, resistance, most) == pytest.approx(volts, rel=1e-6)


@given(st.floats(5.0, 50.0), st.floats(1e-4, 0.3), st.floats(10.0, 3000.0))
def test_the_least_open_voltage_just_feeds_the_power(cut_out: float, resistance: float, power: float) -> None:
    least = float(inverters.least_open_voltage(cut_out, resistance, power))
    assert inverters.most_power_above(least, resistance, cut_out) == pytest.approx(power, rel=1e-9)
    assert inverters.most_power_above(0.99 * least, resistance, cut_out) < power


def test_a_tired_battery_trips_its_inverter_far_below_the_paper_limit() -> None:
    """Our own pair of twelve-volt blocks: 24.6 V at rest, 21 V cut-out, 15 mΩ new and warm, 55 mΩ old and cold."""
    new, old = 0.015, 0.055
    paper = float(converters.most_power(24.6, old))
    usable = {ohms: float(inverters.most_power_above(24.6, ohms, 21.0)) for ohms in (new, old)}
    assert usable[old] == pytest.approx(21.0 * 3.6 / old, rel=close)
    assert usable[old] < 0.51 * paper
    assert usable[new] / usable[old] == pytest.approx(old / new, rel=close)
    # the job of 1250 W at the mains side runs on the new one and trips the old one
    taken = 1250.0 + float(inverters.inverter_loss(1250.0, 1350.0, 15.0, 0.06, 5e-5))
    buses = [float(converters.bus_voltage(24.6, ohms, taken, 0.0)) for ohms in (new, old)]
    assert buses[1] < 21.0 < buses[0]
    assert usable[old] < taken < usable[new]
    assert float(inverters.least_open_voltage(21.0, old, taken)) > 24.6
    assert float(inverters.power_discriminant(24.6, old, taken)) > 0.0  # the quadratic alone sees no trouble


# starting


@given(st.floats(10.0, 250.0), resistances, reactances, st.floats(0.0, 2.0), drops)
def test_at_standstill_the_volts_are_spent_on_windings_source_and_brushes(
    volts: float, resistance: float, reactance: float, source: float, drop: float
) -> None:
    amps = float(starting.locked_rotor_current(volts, resistance, reactance, source, drop))
    in_phase = motors.motor_voltage(0.1, 0.0, amps, resistance + source, drop)
    assert series_motor.mains_voltage(in_phase, amps, reactance) == pytest.approx(volts, rel=close)
    whole = starting.locked_rotor_power(amps, resistance + source, drop)
    assert whole == pytest.approx(series_motor.input_power(in_phase, amps), rel=close)
    direct = starting.locked_rotor_current(volts, resistance, 0.0, source, drop)
    held = margins.standstill_current(volts, source, resistance, drop, 0.0, 0.0, math.inf)
    assert direct == pytest.approx(held, rel=close)
    assert amps <= direct * (1.0 + close)


def test_a_voltage_below_the_brushes_drives_nothing() -> None:
    assert starting.locked_rotor_current(1.0, 0.1, 0.0, 0.0, 1.5) == 0.0


def test_the_start_of_a_corded_motor_trips_an_inverter_that_carries_it_for_hours() -> None:
    """Our own numbers: the assumed motor on a 24 V pair at 25.2 V rest, cut-out 21 V, 15 mΩ new and 40 mΩ tired."""
    volts, new, ohms, cut_out = 25.2, 0.015, 0.040, 21.0
    terms = inverters.ThreeTerms(15.0, 0.06, 5e-5)
    w = 20_000.0 * RPM
    running = current_at_speed(TOOL, 230.0, w)
    power = float(series_motor.input_power(at(TOOL, running, w)[1], running))
    asked = power + float(inverters.inverter_loss(power, starting.apparent_power(230.0, running), *terms))
    assert float(converters.bus_voltage(volts, ohms, asked, 0.0)) > cut_out
    standing = float(starting.locked_rotor_current(230.0, TOOL.resistance, TOOL.reactance, 0.0, BRUSHES))
    apparent = starting.apparent_power(230.0, standing)
    heat = float(starting.locked_rotor_power(standing, TOOL.resistance, BRUSHES))
    asked = heat + float(inverters.inverter_loss(heat, apparent, *terms))
    assert apparent > 3.0 * starting.apparent_power(230.0, running)
    assert heat < 0.65 * apparent  # the reactance takes volts, not watts
    amps = float(inverters.constant_power_current(volts, ohms, asked))
    bus = float(converters.bus_voltage(volts, ohms, asked, 0.0))
    assert bus == pytest.approx(volts - ohms * amps, rel=1e-9)
    assert bus * amps == pytest.approx(asked, rel=1e-9)  # there is an operating point, below the cut-out
    assert bus < cut_out < float(converters.bus_voltage(volts, new, asked, 0.0))
    assert float(inverters.most_power_above(volts, ohms, cut_out)) < asked


@given(st.floats(0.001, 1.0), st.floats(10.0, 400.0), st.floats(1.0, 50.0), st.floats(0.0, 0.95))
def test_a_steady_torque_spins_up_as_the_equation_of_motion_says(
    inertia: float, w: float, torque: float, share: float
) -> None:
    seconds = float(starting.spin_up_time(inertia, w, torque, share * torque))
    assert inertia * w == pytest.approx((1.0 - share) * torque * seconds, rel=1e-9)
    spare = sawing.recovery_time(inertia, w, (1.0 - share) * torque)
    assert seconds == pytest.approx(spare, rel=1e-9)
    assert starting.spin_up_time(inertia, w, torque, torque) == math.inf
    assert starting.spin_up_time(inertia, w, torque, 1.5 * torque) == math.inf


@given(st.floats(0.001, 1.0), st.floats(10.0, 400.0), st.floats(0.1, 1.0), st.floats(0.0, 0.95))
def test_the_energy_of_a_start_is_motion_heat_and_work(inertia: float, ideal: float, part: float, share: float) -> None:
    w = part * ideal
    drawn = starting.start_energy(inertia, w, ideal, share)
    spent = (
        loads.spin_energy(inertia, w)
        + starting.start_heat(inertia, w, ideal, share)
        + starting.start_work(inertia, w, share)
    )
    assert spent == pytest.approx(drawn, rel=close)
    assert starting.start_heat(inertia, ideal, ideal, 0.0) == pytest.approx(loads.spin_energy(inertia, ideal))


def test_a_contactor_start_marched_through_time_spends_what_the_laws_say() -> None:
    """A motor of 0.12 V·s/rad and 0.09 Ω on 36 V behind 0.06 Ω with 0.015 kg·m² and no load."""
    volts, constant, loop, inertia = 36.0, 0.12, 0.15, 0.015
    ideal = volts / constant
    peak = float(starting.locked_rotor_current(volts, 0.09, 0.0, 0.06, 0.0))
    tau = float(sawing.recovery_time_constant(inertia, loop, constant))
    end = 3.0 * tau

    def motion(_t: float, state: Any) -> list[float]:
        amps = (volts - constant * state[0]) / loop
        return [constant * amps / inertia, volts * amps, loop * amps**2, amps**2]

    w, drawn, heat, joule = solve_ivp(motion, (0.0, end), [0.0] * 4, rtol=1e-10, atol=1e-12).y[:, -1]
    assert starting.start_energy(inertia, w, ideal, 0.0) == pytest.approx(drawn, rel=1e-8)
    assert starting.start_heat(inertia, w, ideal, 0.0) == pytest.approx(heat, rel=1e-8)
    assert starting.start_joule_integral(peak, 0.0, tau, end) == pytest.approx(joule, rel=1e-8)
    level = 0.2 * peak
    assert peak * math.exp(-float(starting.time_above(level, peak, 0.0, tau)) / tau) == pytest.approx(level, rel=close)


@given(st.floats(20.0, 400.0), st.floats(0.0, 0.9), st.floats(0.05, 2.0), st.floats(0.01, 5.0))
def test_a_starts_joule_integral_is_the_integral(peak: float, share: float, tau: float, duration: float) -> None:
    running = share * peak
    by_law = float(starting.start_joule_integral(peak, running, tau, duration))
    by_sum, _ = quad(lambda t: (running + (peak - running) * math.exp(-t / tau)) ** 2, 0.0, duration, limit=200)
    assert by_law == pytest.approx(by_sum, rel=1e-7)
    assert running**2 * duration <= by_law * (1.0 + close)
    assert by_law <= peak**2 * duration * (1.0 + close)


def test_a_trip_level_is_never_reached_or_never_left() -> None:
    levels = np.array([400.0, 300.0, 100.0, 20.0, 10.0])
    seconds = np.asarray(starting.time_above(levels, 300.0, 20.0, 0.5))
    assert seconds.tolist() == pytest.approx([0.0, 0.0, 0.5 * math.log(280.0 / 80.0), math.inf, math.inf])


@given(st.floats(5.0, 200.0), st.floats(0.01, 1.0), drops, st.floats(50.0, 1000.0), st.floats(0.0, 150.0))
def test_a_winding_held_still_warms_as_its_heat_balance_marches(
    amps: float, ohms: float, drop: float, capacity: float, rise: float
) -> None:
    start = 293.15
    seconds = float(starting.stall_time(amps, ohms, drop, capacity, start, start + rise))

    def slowness(kelvin: float) -> float:
        heat = conductors.joule_loss(amps, motors.winding_resistance(ohms, kelvin)) + motors.brush_loss(amps, drop)
        return capacity / float(heat)

    assert seconds == pytest.approx(quad(slowness, start, start + rise)[0], rel=1e-9, abs=1e-12)


def test_a_winding_without_current_never_and_above_its_limit_at_once() -> None:
    assert starting.stall_time(0.0, 0.1, 1.0, 250.0, 300.0, 400.0) == math.inf
    assert starting.stall_time(50.0, 0.1, 1.0, 250.0, 420.0, 400.0) == 0.0
    assert starting.stall_time(50.0, 0.0, 2.0, 250.0, 300.0, 400.0) == pytest.approx(250.0)
    # hotter copper has more resistance: sooner there than with that of 25 °C held
    assert starting.stall_time(50.0, 0.1, 0.0, 250.0, 298.15, 398.15) < 250.0 * 100.0 / 250.0


# form


OURS = [
    pytest.param(entry, id=entry.name)
    for entry in relations()
    if entry.function.__module__ in {room.__name__ for room in (series_motor, induction, inverters, starting)}
    and entry.name != "measured_efficiency"  # takes a table
]


def arguments(entry: Law, seed: int) -> dict[str, Any]:
    """Return numbers within the ranges of a law, within reach of a hand where the range is wide."""
    random = np.random.default_rng(seed)
    names = entry.function.__code__.co_varnames[: entry.function.__code__.co_argcount]
    drawn: dict[str, Any] = {}
    for name in names:
        low, high = entry.valid.get(name, (1.0, 10.0))
        drawn[name] = float(random.uniform(low, min(high, low + 10.0)))
    if "motor" in drawn:
        drawn["motor"] = SeriesMotor(*(part * random.uniform(0.5, 1.5) for part in TOOL))
        drawn.update({name: value * random.uniform(0.5, 1.5) for name, value in MAINS.items() if name in drawn})
    return drawn


MAINS = {"voltage": 200.0, "current": 5.0, "brush_drop": BRUSHES, "friction": FRICTION, "fan": FAN}


@pytest.mark.parametrize("entry", OURS)
def test_a_law_treats_lanes_as_it_treats_one(entry: Law) -> None:
    apart = treats_lanes_as_one(entry, [arguments(entry, seed) for seed in range(4)], rel=1e-11)
    assert not np.isnan(apart).any()


@pytest.mark.parametrize("entry", OURS)
def test_a_law_can_be_worked_out_again(entry: Law) -> None:
    can_be_worked_out_again(entry, arguments(entry, 7))
