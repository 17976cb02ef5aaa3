"""Torque and power by a measured table: points met, straight lines between them, ends held."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.physics.measured_load import measured_power, measured_torque

SPEEDS, TORQUES = np.array([10.0, 40.0, 70.0, 100.0]), np.array([6.0, 3.0, 4.0, 9.0])


def test_every_point_is_met_and_the_ends_are_held() -> None:
    assert measured_torque(SPEEDS, SPEEDS, TORQUES, 1.0) == pytest.approx(TORQUES)
    assert measured_torque(np.array([0.0, 5.0, 300.0]), SPEEDS, TORQUES, 2.0) == pytest.approx([12.0, 12.0, 18.0])


@given(share=st.floats(0.0, 1.0), row=st.integers(0, 2), factor=st.floats(0.0, 10.0))
def test_between_two_points_lies_a_straight_line(share: float, row: int, factor: float) -> None:
    speed = (1.0 - share) * SPEEDS[row] + share * SPEEDS[row + 1]
    torque = ((1.0 - share) * TORQUES[row] + share * TORQUES[row + 1]) * factor
    assert measured_torque(speed, SPEEDS, TORQUES, factor) == pytest.approx(torque, rel=1e-9, abs=1e-9)
    assert measured_power(speed, SPEEDS, TORQUES, factor) == pytest.approx(torque * speed, rel=1e-9, abs=1e-9)


def test_lanes_of_speed_and_factor_broadcast_while_the_table_stays_whole() -> None:
    speeds, factors = np.array([[20.0], [80.0], [95.0]]), np.array([0.5, 1.0, 1.5, 2.0])
    found = np.asarray(measured_torque(speeds, SPEEDS, TORQUES, factors))
    assert found.shape == (3, 4)
    for row, speed in enumerate(speeds[:, 0]):
        for lane, factor in enumerate(factors):
            assert found[row, lane] == pytest.approx(float(measured_torque(speed, SPEEDS, TORQUES, factor)), rel=1e-12)
