"""Motors: identification, best point, heat; converters: the bus behind a sagging source."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from headrace.physics import conductors, converters, heat, motors

CELSIUS = 273.15
constants = st.floats(0.02, 0.4)
resistances = st.floats(0.005, 0.5)
currents = st.floats(1.0, 100.0)
speeds = st.floats(50.0, 700.0)
drops = st.floats(0.0, 2.0)


@given(constants, speeds, currents, resistances, drops, st.floats(0.0, 0.5))
def test_volts_times_amps_is_shaft_power_and_four_losses(
    constant: float, w: float, shaft: float, resistance: float, drop: float, drag: float
) -> None:
    friction = motors.rotation_torque(drag, 1e-4, 1e-7, w)
    current = motors.motor_current(shaft, friction, constant)
    volts = motors.motor_voltage(constant, w, current, resistance, drop)
    losses = (
        conductors.joule_loss(current, resistance)
        + motors.brush_loss(current, drop)
        + motors.rotation_loss(friction, w)
    )
    assert volts * current == pytest.approx(shaft * w + losses, rel=1e-12)
    assert motors.airgap_torque(constant, current) == pytest.approx(shaft + friction, rel=1e-12)


@given(constants, speeds, currents, resistances, drops)
def test_the_current_at_a_speed_is_the_one_whose_volts_were_asked_for(
    constant: float, w: float, current: float, resistance: float, drop: float
) -> None:
    volts = motors.motor_voltage(constant, w, current, resistance, drop)
    assert motors.current_at_speed(volts, w, constant, resistance, drop) == pytest.approx(current, rel=1e-9)


@given(constants, st.floats(0.0, 20.0), resistances, drops, st.floats(0.0, 0.5), st.floats(0.0, 1e-3))
def test_the_speed_under_a_torque_closes_both_balances_of_the_motor(
    constant: float, torque: float, resistance: float, drop: float, drag: float, slope: float
) -> None:
    w = motors.speed_under_torque(48.0, torque, constant, resistance, drop, drag, slope)
    current = motors.motor_current(torque, motors.rotation_torque(drag, slope, 0.0, w), constant)
    volts = motors.motor_voltage(constant, w, current, resistance, drop)
    assert volts == pytest.approx(48.0, rel=1e-9)


@given(st.floats(0.05, 1.0), currents, resistances, st.floats(0.0, 0.1))
def test_a_sagging_source_behind_a_chopper_is_one_resistance_to_the_motor(
    duty: float, current: float, resistance: float, source: float
) -> None:
    _, drawn = converters.chopped(duty, 24.0, current)
    volts, _ = converters.chopped(duty, 24.0 - source * drawn, current)
    loop = motors.resistance_behind_chopper(resistance, source, duty)
    assert duty * 24.0 - loop * current == pytest.approx(volts - resistance * current, rel=1e-9, abs=1e-9)


@given(constants, resistances, st.floats(0.02, 0.5), drops, st.floats(20.0, 60.0))
def test_a_plate_gives_back_the_motor_it_was_written_for(
    constant: float, resistance: float, drag: float, drop: float, volts: float
) -> None:
    idle = drag / constant
    rated = idle + 0.2 * (volts - drop) / resistance
    w0, wr = ((volts - drop - current * resistance) / constant for current in (idle, rated))
    assume(wr > 1.0 and w0 - wr > 0.01 * w0)
    fit = motors.from_plate(volts, w0, idle, wr, rated, drop)
    assert fit.constant == pytest.approx(constant, rel=1e-9)
    assert fit.resistance == pytest.approx(resistance, rel=1e-9)
    assert fit.drag == pytest.approx(drag, rel=1e-9)
    assert motors.constant_from_test(volts, drop, resistance, idle, w0) == pytest.approx(constant, rel=1e-9)


def test_one_percent_of_rated_speed_is_fifteen_percent_of_the_resistance_at_six_percent_droop() -> None:
    right = motors.from_plate(48.0, 400.0, 2.0, 376.0, 40.0, 0.0)
    wrong = motors.from_plate(48.0, 400.0, 2.0, 0.99 * 376.0, 40.0, 0.0)
    assert float(wrong.resistance / right.resistance - 1.0) == pytest.approx(0.157, abs=0.005)


@given(st.floats(12.0, 60.0), resistances, st.floats(0.1, 4.0))
def test_no_current_beats_the_current_of_best_efficiency(volts: float, resistance: float, idle: float) -> None:
    best = float(motors.best_current(volts, resistance, idle))
    assume(idle < best < volts / resistance)

    def efficiency(current: float) -> float:
        return (current - idle) * (volts - current * resistance) / (volts * current)

    top = float(motors.best_efficiency(volts, resistance, idle))
    assert efficiency(best) == pytest.approx(top, rel=1e-9)
    assert efficiency(0.99 * best) < top
    assert efficiency(1.01 * best) < top


def test_copper_at_125_c_has_two_fifths_more_than_at_25() -> None:
    assert motors.winding_resistance(1.0, CELSIUS + 125.0) == pytest.approx(1.385, abs=0.001)
    assert motors.winding_resistance(1.0, CELSIUS + 25.0) == 1.0


def test_warm_ferrite_turns_the_motor_faster_and_asks_for_more_current() -> None:
    cold, warm = (motors.magnet_constant(0.1, -0.002, CELSIUS + t) for t in (25.0, 65.0))
    assert warm < cold
    assert motors.motor_current(2.0, 0.2, warm) > motors.motor_current(2.0, 0.2, cold)
    assert motors.back_voltage(36.0, 20.0, 0.1, 1.0) / warm > motors.back_voltage(36.0, 20.0, 0.1, 1.0) / cold


@given(st.floats(-0.003, -0.0001), st.floats(0.2, 1.5))
def test_a_slope_taken_from_two_points_of_a_magnet_is_its_slope(slope: float, cold: float) -> None:
    reference = CELSIUS + 25.0
    hot = cold * (1.0 + slope * 60.0)
    assert motors.remanence_slope(cold, hot, reference, reference + 60.0) == pytest.approx(slope, rel=1e-9)
    assert motors.magnet_constant(cold, slope, reference + 60.0) == pytest.approx(hot, rel=1e-12)


@given(resistances, st.floats(0.1, 2.0), st.floats(0.05, 0.95), st.floats(273.0, 318.0))
def test_a_settled_winding_sheds_what_its_own_hot_copper_makes(
    resistance: float, path: float, share: float, air: float
) -> None:
    current = share * float(motors.runaway_current(resistance, path))
    settled = float(motors.steady_winding(resistance, path, current, air))
    hot = conductors.joule_loss(current, motors.winding_resistance(resistance, settled))
    assert (settled - air) / path == pytest.approx(hot, rel=1e-9)


def test_above_the_runaway_current_a_winding_never_settles() -> None:
    limit = float(motors.runaway_current(0.112, 0.85))
    currents = np.array([0.999 * limit, limit * 1.001, 2.0 * limit])
    settled = np.asarray(motors.steady_winding(0.112, 0.85, currents, 298.15))
    assert settled[0] > 1e4
    assert settled[1:].tolist() == [math.inf, math.inf]


@given(resistances, st.floats(0.1, 2.0), st.floats(330.0, 430.0))
def test_the_continuous_current_settles_at_its_limit(resistance: float, path: float, limit: float) -> None:
    current = float(motors.continuous_current(resistance, 0.0, path, limit, 298.15, 0.0))
    assert float(motors.steady_winding(resistance, path, current, 298.15)) == pytest.approx(limit, rel=1e-9)


@given(resistances, st.floats(0.1, 2.0), st.floats(0.1, 2.0))
def test_brushes_take_their_part_of_the_continuous_current(resistance: float, path: float, drop: float) -> None:
    current = motors.continuous_current(resistance, drop, path, 413.15, 313.15, 20.0)
    hot = conductors.joule_loss(current, motors.winding_resistance(resistance, 413.15))
    assert hot + motors.brush_loss(current, drop) == pytest.approx(80.0 / path, rel=1e-9)


def test_the_rise_by_turning_is_where_two_bodies_settle() -> None:
    settled, _ = heat.two_node_step(300.0, 300.0, 0.4 * 80.0, 0.6 * 80.0, 0.25, 0.30, 250.0, 1500.0, 300.0, 1e7)
    assert float(settled) - 300.0 == pytest.approx(motors.rotation_rise(80.0, 0.4, 0.25, 0.30), rel=1e-9)


@given(st.floats(20.0, 60.0), st.floats(1e-6, 0.5), st.floats(-0.5, 0.999), st.floats(0.0, 20.0))
def test_the_bus_voltage_closes_the_balance_of_a_sagging_source(
    volts: float, resistance: float, share: float, steady: float
) -> None:
    left = volts - resistance * steady
    power = share * float(converters.most_power(left, resistance))
    bus = float(converters.bus_voltage(volts, resistance, power, steady))
    current = power / bus + steady
    assert bus + resistance * current == pytest.approx(volts, rel=1e-11)
    assert bus >= 0.5 * left  # the larger root, the one that holds still


def test_the_bus_voltage_loses_no_digit_without_resistance() -> None:
    assert converters.bus_voltage(40.0, 0.0, 2000.0, 10.0) == 40.0
    assert 40.0 - converters.bus_voltage(40.0, 1e-9, 2000.0, 0.0) == pytest.approx(5e-8, rel=1e-5)


def test_a_cut_out_bounds_the_power_far_below_the_paper_limit() -> None:
    # Orders of magnitude of a tired 12 V battery: 31 mohm, 12.2 V, cut-out at 10.5 V.
    paper = converters.most_power(12.2, 0.031)
    usable = converters.power_at_voltage(12.2, 0.031, 10.5)
    assert usable < 0.5 * paper
    top = brentq(lambda power: float(converters.bus_voltage(12.2, 0.031, power, 0.0)) - 10.5, 1.0, paper)
    assert top == pytest.approx(usable, rel=1e-9)
    assert converters.power_at_voltage(12.2, 0.031, 6.1) == pytest.approx(paper)


@given(st.floats(0.0, 1.0), st.floats(20.0, 60.0), currents)
def test_a_lossless_chopper_keeps_power(duty: float, bus: float, current: float) -> None:
    volts, battery = converters.chopped(duty, bus, current)
    assert volts * current == pytest.approx(bus * battery, rel=1e-12)


def test_switching_costs_nothing_at_full_duty_and_grows_with_motor_amps() -> None:
    share = converters.switching_share(1e-6, 20e3)
    loss = converters.switching_loss(40.0, np.array([10.0, 20.0, 20.0]), share, np.array([1.0, 1.0, 0.0]))
    assert np.asarray(loss).tolist() == pytest.approx([4.0, 8.0, 0.0])
