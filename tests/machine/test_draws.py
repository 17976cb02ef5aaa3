"""Draws: the bands of the file and of the tables as lanes, the typical machine in the first."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import lognorm

from headrace.machine.draws import at_shares, banded, draws, quantile
from headrace.machine.records import Origin
from headrace.machine.values import first_lane, lanes_of
from headrace.tables import load
from tests.machines import alley, blade, without_bands

SHARES = np.array([0.05, 0.5, 0.95])


def band(low: float, typical: float, high: float) -> Origin:
    return Origin("x", "assumed", "a test", typical, low, high, "-", "", 0)


@pytest.mark.parametrize(
    "ends",
    [(0.5, 1.0, 2.0), (0.25, 0.45, 1.0), (0.005, 0.02, 0.05), (0.55, 0.7, 0.8), (-1.0, 0.0, 3.0), (0.0, 1.0, 2.0)],
)
def test_low_typical_and_high_are_5_50_and_95_per_cent(ends: tuple[float, float, float]) -> None:
    assert quantile(band(*ends), SHARES) == pytest.approx(ends, rel=1e-12, abs=1e-12)


def test_every_band_of_the_tables_has_its_own_ends() -> None:
    for row in load("defaults"):
        low, typical, high = (float(row[end]) for end in ("low", "typical", "high"))
        if low < high:
            assert quantile(band(low, typical, high), SHARES) == pytest.approx((low, typical, high), rel=1e-12), row


def test_a_band_in_proportion_is_lognormal() -> None:
    """ln x is normal with a standard deviation of ln(high/low) / 3.29."""
    below = np.array([0.001, 0.2, 0.8413447460685429, 0.999])
    spread = np.log(2.0 / 0.5) / (2.0 * 1.6448536269514722)
    expected = lognorm(s=spread, scale=1.0).ppf(below)
    assert quantile(band(0.5, 1.0, 2.0), below) == pytest.approx(expected, rel=1e-12)


def test_a_positive_band_stays_positive() -> None:
    assert quantile(band(0.01, 1.0, 1.2), np.array([1e-9])).min() > 0.0


@given(st.floats(0.01, 10.0), st.floats(0.01, 10.0), st.floats(0.01, 10.0))
def test_more_below_is_more(low: float, up: float, further: float) -> None:
    values = quantile(band(low, low + up, low + up + further), np.linspace(0.001, 0.999, 200))
    assert np.all(np.diff(values) > 0.0)


def test_no_draw_passes_the_hard_limits_of_its_key() -> None:
    origin = replace(band(0.5, 0.9, 0.99), least=0.05, most=1.0)
    values = quantile(origin, np.array([1e-12, 1.0 - 1e-12]))
    assert values.min() >= 0.05
    assert values.max() == 1.0


def test_draws_of_a_machine_without_bands_are_all_the_typical_one() -> None:
    exact = without_bands(alley())
    assert banded(exact) == {}
    assert lanes_of(draws(exact, 8, 1)) == ()


def test_the_first_lane_is_the_machine_as_it_is() -> None:
    plan = alley()
    drawn = draws(plan, 8, 1)
    assert lanes_of(drawn) == (9,)
    first = first_lane(drawn)
    assert first.chains == plan.chains
    assert first.job == plan.job
    assert first.limits == plan.limits


def test_every_band_is_drawn_evenly_and_on_its_own() -> None:
    plan = alley()
    drawn = draws(plan, 400, 1)
    windage = np.asarray(blade(drawn).windage)[1:]
    ends = plan.pedigree["chains.blade.work.windage"]
    assert float(np.mean(windage < ends.low)) == pytest.approx(0.05, abs=0.003)
    assert float(np.mean(windage > ends.high)) == pytest.approx(0.05, abs=0.003)
    shear = np.asarray(blade(drawn).shear_energy)[1:]
    assert abs(float(np.corrcoef(windage, shear)[0, 1])) < 0.15


def test_a_band_taken_away_leaves_the_other_draws_alone() -> None:
    plan = alley()
    fewer = {a: o for a, o in plan.pedigree.items() if a != "chains.blade.work.shear_energy"}
    fewer["chains.blade.work.shear_energy"] = replace(
        plan.pedigree["chains.blade.work.shear_energy"], low=1000.0, typical=1000.0, high=1000.0
    )
    one, other = draws(plan, 16, 3), draws(replace(plan, pedigree=fewer), 16, 3)
    assert np.array_equal(blade(one).windage, blade(other).windage)


def test_who_walks_slower_wants_longer_for_the_same_area() -> None:
    plan = alley()
    drawn = at_shares(plan, {"job.travel_speed": np.array([0.05, 0.95])})
    typical, slow, fast = np.asarray(drawn.limits.time_wanted)
    assert typical == pytest.approx(plan.limits.time_wanted, rel=1e-12)
    assert slow > typical > fast
