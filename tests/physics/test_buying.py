"""Counting what is bought: whole spares, strips by geometry, and nothing lost between a price and its sum."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.physics import buying


@pytest.mark.parametrize(
    ("count", "share", "spares"),
    [(60, 0.03, 2), (100, 0.03, 3), (101, 0.03, 4), (1, 0.1, 1), (30, 0.1, 3), (1, 1.0, 1), (5, 0.0, 0), (0, 0.1, 0)],
)
def test_spares_are_whole_and_never_fewer_than_their_share(count: int, share: float, spares: int) -> None:
    """A hundred cells at three in a hundred are three spares, not four for the sake of rounding."""
    assert float(buying.spare_pieces(float(count), share)) == spares


@given(st.integers(0, 10_000), st.floats(0.0, 1.0))
def test_one_spare_fewer_would_be_too_few(count: int, share: float) -> None:
    spares = float(buying.spare_pieces(float(count), share))
    assert spares == int(spares)
    assert spares >= count * share - 1e-6
    assert spares - 1.0 < count * share


def test_a_strip_for_each_cell_and_each_step_counted_one_by_one() -> None:
    """Ten groups of six: nine steps between groups and one strip at each end, six wide; five steps along both ends."""
    steps = sum(6 for _ in range(9)) + 2 * 6 + 10 * 2 * 5
    assert buying.strip_metres(10.0, 6.0, 0.0222) == pytest.approx(steps * 0.0222)


def test_out_and_back_is_twice_and_the_allowance_comes_on_top() -> None:
    assert buying.there_and_back(0.7) == pytest.approx(1.4)
    assert buying.routed_length(buying.there_and_back(0.7), 0.1) == pytest.approx(1.54)


def test_lanes_go_through() -> None:
    prices = np.array([1.0, 2.0])
    assert buying.cost_of(prices, 3.0).tolist() == [3.0, 6.0]  # type: ignore[union-attr]
    assert np.asarray(buying.spare_pieces(np.array([1.0, 60.0]), 0.03)).tolist() == [1.0, 2.0]
