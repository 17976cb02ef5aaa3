"""The weakest of some groups: printed order statistics, a second route by integration, and a draw of many packs."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from headrace.physics.scatter import charge_of_the_weak, scatter_of_a_group, shortfall_of_the_least

# Means of the least of n standard normal draws, as tables of order statistics print them. The values are from memory
# (five decimals in H. L. Harter, Biometrika 48 (1961), not seen), so each is integrated as well.
PRINTED = {2: 0.56419, 3: 0.84628, 5: 1.16296, 10: 1.53875, 20: 1.86748}


def exact(count: int) -> float:
    """Integrate the mean of the greatest of some normal draws."""
    found, _ = integrate.quad(
        lambda z: z * count * stats.norm.pdf(z) * stats.norm.cdf(z) ** (count - 1), -10.0, 10.0, epsabs=1e-10
    )
    return float(found)


@pytest.mark.parametrize(("count", "printed"), PRINTED.items())
def test_the_table_is_what_the_integral_gives(count: int, printed: float) -> None:
    assert exact(count) == pytest.approx(printed, abs=0.5e-5)


@pytest.mark.parametrize("count", [9, 10, 13, 14, 16, 20, 24])
def test_from_nine_draws_on_it_holds_to_the_second_decimal(count: int) -> None:
    """The library that quotes Blom's formula says so: accurate to the second decimal from nine on."""
    assert float(shortfall_of_the_least(float(count))) == pytest.approx(exact(count), abs=0.01)


@pytest.mark.parametrize("count", range(2, 9))
def test_of_few_draws_it_is_good_to_the_first_decimal(count: int) -> None:
    assert float(shortfall_of_the_least(float(count))) == pytest.approx(exact(count), abs=0.05)


def test_one_group_is_the_mean_one() -> None:
    assert float(shortfall_of_the_least(1.0)) == pytest.approx(0.0, abs=1e-12)


def test_packs_drawn_at_random_have_such_a_weakest_group() -> None:
    """20 000 packs of 10 groups of 4 cells with 5 %: the mean of their least is what both laws together say."""
    packs = 1.0 + 0.05 * np.random.default_rng(5).standard_normal((20_000, 10, 4))
    least = packs.mean(axis=2).min(axis=1).mean()
    said = float(scatter_of_a_group(0.05, 4.0) * shortfall_of_the_least(10.0))
    assert 1.0 - least == pytest.approx(said, rel=0.015)


@pytest.mark.parametrize(("charge", "short"), [(0.1, 0.0), (0.1, 0.05), (0.5, 0.2), (0.0, 0.1)])
def test_what_has_gone_through_is_the_same_in_both_groups(charge: float, short: float) -> None:
    left = float(charge_of_the_weak(charge, short))
    if left > 0.0:
        assert (1.0 - short) * (1.0 - left) == pytest.approx(1.0 - charge)
    else:
        assert 1.0 - short <= 1.0 - charge


def test_lanes() -> None:
    counts = np.array([2.0, 10.0, 20.0])
    assert np.asarray(shortfall_of_the_least(counts)).tolist() == [
        float(shortfall_of_the_least(count)) for count in counts
    ]
