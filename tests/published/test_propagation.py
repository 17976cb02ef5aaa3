"""Bands pushed through a model by draws, against examples whose distribution is known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import ndtr

from headrace.machine.draws import END, evenly, quantile
from headrace.machine.records import Origin

DRAWS = 100_000


def standard(address: str) -> Origin:
    """A number of mean 0 and standard deviation 1, as a band holds it."""
    return Origin(address, "assumed", "a test", 0.0, -END, END, "-", "", 0)


def drawn(origin: Origin) -> np.ndarray:
    return quantile(origin, evenly(DRAWS, 1, origin.address))


def test_a_sum_of_four_normal_numbers() -> None:
    """JCGM 101:2008, 9.2.2: standard deviation 2.0, shortest 95 % interval -3.92 to 3.92. Digits from memory."""
    total = sum(drawn(standard(f"x{k}")) for k in range(4))
    assert float(np.std(total)) == pytest.approx(2.00, abs=0.02)
    assert np.quantile(total, [0.025, 0.975]) == pytest.approx([-3.92, 3.92], abs=0.05)


def test_a_sum_of_four_rectangular_numbers() -> None:
    """JCGM 101:2008, 9.2.3: each from -sqrt(3) to sqrt(3); 95 % interval -3.88 to 3.88. Digits from memory."""
    total = sum(math.sqrt(3.0) * (2.0 * evenly(DRAWS, 1, f"x{k}") - 1.0) for k in range(4))
    assert float(np.std(total)) == pytest.approx(2.00, abs=0.02)
    assert np.quantile(total, [0.025, 0.975]) == pytest.approx([-3.88, 3.88], abs=0.05)


def test_a_run_that_is_cut_off_keeps_its_cut_draws() -> None:
    """Minutes lognormal, cut at a limit: mean and share at the limit have closed forms; dropping them does not."""
    median, spread, limit = 60.0, 0.3, 75.0
    ends = (median * math.exp(-END * spread), median * math.exp(END * spread))
    minutes = drawn(Origin("minutes", "assumed", "a test", median, *ends, "min", "", 0))
    cut = np.minimum(minutes, limit)
    z = math.log(limit / median) / spread
    mean = median * math.exp(spread**2 / 2.0) * ndtr(z - spread) + limit * (1.0 - ndtr(z))
    assert float(np.mean(cut == limit)) == pytest.approx(1.0 - ndtr(z), abs=1e-3)
    assert float(np.mean(cut)) == pytest.approx(mean, rel=1e-3)
    assert float(np.mean(minutes[minutes < limit])) < 0.93 * mean


def test_low_and_high_of_a_product_of_lognormal_numbers() -> None:
    """Logarithms add: widths of independent bands add in squares."""
    one = Origin("one", "assumed", "a test", 2.0, 2.0 / 1.5, 2.0 * 1.5, "-", "", 0)
    other = Origin("other", "assumed", "a test", 3.0, 3.0 / 2.0, 3.0 * 2.0, "-", "", 0)
    width = math.exp(math.hypot(math.log(1.5), math.log(2.0)))
    product = drawn(one) * drawn(other)
    assert np.quantile(product, [0.05, 0.5, 0.95]) == pytest.approx([6.0 / width, 6.0, 6.0 * width], rel=0.02)
