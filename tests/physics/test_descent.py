"""Descents: the laws against balances of power and against each other."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.physics import descent, motors, torque_terms, transmission, travel
from headrace.physics.torque_terms import TorqueTerms

torques = st.floats(0.1, 500.0)
ratios = st.floats(0.5, 100.0)
efficiencies = st.floats(0.3, 1.0)
creeps = st.floats(0.0, 0.05)
drags = st.floats(0.0, 2.0)
speeds = st.floats(1.0, 500.0)


@given(torques, ratios, efficiencies, creeps, drags, speeds)
def test_a_driven_stage_loses_as_much_of_its_load_as_a_driving_one(
    torque: float, ratio: float, efficiency: float, creep: float, drag: float, speed: float
) -> None:
    """Power in, less the loss by load of the driving direction, less the drag, is power out."""
    terms = descent.driven_at_input_shaft(TorqueTerms(0.0, -torque, 0.0, 0.0), ratio, efficiency, creep, drag, 0.0)
    out = speed * (1.0 - creep) / ratio
    lost = float(transmission.load_loss(torque, out, efficiency)) + drag * speed
    passed_on = -float(torque_terms.torque_at(terms, speed)) * speed
    assert passed_on == pytest.approx(torque * out - lost, rel=1e-9, abs=1e-9 * (torque * out + lost))


def test_it_is_the_back_torque_known_before() -> None:
    terms = descent.driven_at_input_shaft(TorqueTerms(0.0, -10.0, 0.0, 0.0), 1.0, 0.9, 0.0, 0.2, 0.0)
    assert -terms.constant == pytest.approx(float(transmission.back_torque(10.0, 0.9, 0.2)), rel=1e-12)


def test_a_worm_s_own_law_and_the_usual_one_agree_to_a_few_hundredths() -> None:
    for degrees, friction in ((2.0, 0.03), (5.0, 0.05), (10.0, 0.06), (20.0, 0.06)):
        angle, pressure = math.radians(degrees), math.radians(20.0)
        usual = 2.0 - 1.0 / float(transmission.worm_efficiency(angle, friction, pressure))
        own = float(transmission.worm_back_efficiency(angle, friction, pressure))
        assert usual == pytest.approx(own, abs=0.03)


@given(torques, st.floats(1e-6, 0.1), st.floats(1e-8, 1e-3))
def test_at_the_runaway_speed_drag_takes_it_all(torque: float, linear: float, square: float) -> None:
    speed = float(descent.runaway_speed(torque, linear, square))
    assert linear * speed + square * speed**2 == pytest.approx(torque, rel=1e-9)


def test_without_growing_drag_it_runs_away_without_end_and_undriven_not_at_all() -> None:
    speed = np.asarray(descent.runaway_speed(np.array([2.0, 0.0, 2.0]), np.array([0.0, 0.1, 0.5]), 0.0))
    assert speed.tolist() == [math.inf, 0.0, 4.0]


def test_a_motor_alone_is_asked_for_nothing_in_driven_lanes_only() -> None:
    terms = TorqueTerms(0.0, np.array([-1.0, 1.0]), 0.01, 1e-5)
    left = descent.left_to_motor(terms)
    assert np.asarray(left.constant).tolist() == [0.0, 1.0]
    assert np.asarray(left.linear).tolist() == [0.0, 0.01]


@given(st.floats(5.0, 60.0), st.floats(0.0, 50.0), st.floats(0.01, 0.5), st.floats(0.0, 2.0), st.floats(0.02, 0.3))
def test_generated_volts_and_held_speed_are_each_other_s_inverse(
    volts: float, current: float, ohms: float, drop: float, constant: float
) -> None:
    speed = descent.held_speed(volts, current, ohms, drop, constant)
    assert descent.generated_voltage(constant, speed, current, ohms, drop) == pytest.approx(volts, rel=1e-9)
    assert descent.generated_voltage(constant, speed, current, ohms, drop) == pytest.approx(
        motors.motor_voltage(constant, speed, -current, ohms, -drop), rel=1e-12
    )


def test_a_held_wheel_goes_faster_over_the_ground_than_a_driven_one_of_its_turns() -> None:
    assert descent.braked_travel_speed(8.0, 0.2, 0.1) > travel.travel_speed_of_axle(8.0, 0.2, 0.1)
    torque = 43.0
    power = travel.descent_power(torque, descent.braked_travel_speed(8.0, 0.2, 0.1), 0.2, 0.1)
    assert power == pytest.approx(torque * 8.0, rel=1e-12)
