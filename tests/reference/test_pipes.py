"""Friction in pipes, against Colebrook's implicit equation and laminar theory, solved by a general library."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from headrace.physics import pipes
from headrace.physics.heat import GRAVITY

HAALAND = 0.015  # what our law says it may differ from Colebrook by
REYNOLDS = np.geomspace(4000.0, 1e8, 45)
ROUGHNESS = np.concatenate([[0.0], np.geomspace(1e-6, 0.05, 24)])

diameters = st.floats(0.004, 0.15)
lengths = st.floats(0.1, 1000.0)
roughnesses = st.floats(0.0, 2e-4)
fittings = st.floats(0.0, 20.0)
heads = st.floats(1e-3, 60.0)
viscosities = st.floats(0.47e-6, 1.8e-6)


def colebrook(reynolds: float, roughness: float) -> float:
    """Solve the equation for the root of the inverse friction factor."""

    def unbalance(x: float) -> float:
        return x + 2.0 * math.log10(roughness / 3.7 + 2.51 * x / reynolds)

    return float(brentq(unbalance, 1.0, 60.0, xtol=1e-13)) ** -2


def test_the_turbulent_friction_factor_stays_by_colebrook_as_closely_as_its_law_says() -> None:
    implicit = np.array([[colebrook(re, rough) for rough in ROUGHNESS] for re in REYNOLDS])
    ours = np.asarray(pipes.friction_factor(REYNOLDS[:, None], ROUGHNESS[None, :]))
    off = ours / implicit - 1.0
    assert np.abs(off).max() < HAALAND
    assert np.abs(off).max() > 0.01, "the law could promise more than it does"


@given(st.floats(1e-3, 50.0), st.floats(0.005, 0.1), lengths, st.floats(1e-5, 1e-2), st.floats(0.01, 2299.0))
def test_slow_flow_loses_the_head_of_hagen_and_poiseuille(
    rough: float, diameter: float, length: float, kinematic: float, reynolds: float
) -> None:
    reynolds = max(reynolds, 1.0)
    velocity = reynolds * kinematic / diameter
    flow = 0.25 * math.pi * diameter**2 * velocity
    theory = 128.0 * kinematic * length * flow / (math.pi * GRAVITY * diameter**4)
    relative = min(1e-3 * rough, 0.05)  # of no influence
    friction = pipes.friction_factor(pipes.reynolds_number(velocity, diameter, kinematic), relative)
    assert pipes.friction_head(friction, length, diameter, velocity) == pytest.approx(theory, rel=1e-12)
    whole = pipes.pipe_coefficient(flow, length, diameter, relative * diameter, 0.0, kinematic)
    assert float(whole) * flow**2 == pytest.approx(theory, rel=1e-12)


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 1e-3, 1e-2, 0.05])
def test_the_friction_factor_has_no_jump_and_the_head_lost_grows_with_the_flow(roughness: float) -> None:
    reynolds = np.geomspace(0.1, 1e8, 100_001)
    factor = np.asarray(pipes.friction_factor(reynolds, roughness))
    step = reynolds[1] / reynolds[0] - 1.0
    assert np.abs(np.diff(factor) / factor[1:]).max() < 3.3 * step  # steepest inside the passage
    assert np.all(np.diff(factor * reynolds**2) > 0.0)


@given(st.floats(1e-5, 0.02), lengths, diameters, roughnesses, fittings, viscosities)
def test_the_coefficient_is_the_heads_of_friction_and_fittings_over_the_square_of_the_flow(
    flow: float, length: float, diameter: float, rough: float, zeta: float, kinematic: float
) -> None:
    velocity = pipes.flow_velocity(flow, diameter)
    factor = pipes.friction_factor(pipes.reynolds_number(velocity, diameter, kinematic), rough / diameter)
    head = pipes.friction_head(factor, length, diameter, velocity) + pipes.fittings_head(zeta, velocity)
    whole: Any = pipes.pipe_coefficient(flow, length, diameter, rough, zeta, kinematic)
    assert whole * flow**2 == pytest.approx(head, rel=1e-12)


@given(heads, st.floats(0.0, 1e9), lengths, diameters, roughnesses, fittings, viscosities)
def test_a_head_is_used_up_by_the_flow_it_drives(
    head: float, held: float, length: float, diameter: float, rough: float, zeta: float, kinematic: float
) -> None:
    pipe = (length, diameter, rough, zeta, kinematic)

    def left(flow: float) -> float:
        return float(head - (held + pipes.pipe_coefficient(flow, *pipe)) * flow**2)

    widest = 1.01 * math.sqrt(2.0 * GRAVITY * head) * diameter**2 * 1e3
    flow = brentq(left, 0.0, widest, xtol=1e-20, rtol=1e-13)
    assert float(pipes.flow_under_head(head, held, *pipe)) == pytest.approx(flow, rel=1e-9)


def test_many_pipes_at_once_agree_with_each_alone_and_none_flows_without_head() -> None:
    head = np.array([[-3.0, 0.0, 1e-6, 0.4, 20.0]]).T
    diameter = np.array([0.006, 0.0125, 0.025, 0.1])
    flow = np.asarray(pipes.flow_under_head(head, 1e6, 30.0, diameter, 7e-6, 2.0, 1e-6))
    assert flow.shape == (5, 4)
    assert np.all(flow[:2] == 0.0)
    assert np.all(flow[2:] > 0.0)
    for row, single in enumerate(head[:, 0]):
        for column, bore in enumerate(diameter):
            alone = float(pipes.flow_under_head(float(single), 1e6, 30.0, float(bore), 7e-6, 2.0, 1e-6))
            assert flow[row, column] == pytest.approx(alone, rel=1e-12)


@pytest.mark.parametrize("wide", [0.02, 0.025, 0.05])
def test_a_hose_twice_as_wide_loses_between_the_powers_of_smooth_and_rough_walls(wide: float) -> None:
    """Smooth walls: 19/4 (Blasius) at the most once the flow is turbulent in both; rough walls: 5 and beyond."""
    flow, length = 2e-3, 50.0
    for rough, low, high in ((0.0, 4.7, 4.9), (5e-4, 5.0, 5.6)):
        narrow, broad = (
            float(pipes.pipe_coefficient(flow, length, size, rough, 0.0, 1e-6)) for size in (wide, 2.0 * wide)
        )
        assert low < math.log2(narrow / broad) < high
