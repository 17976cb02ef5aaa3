"""Bands pushed through a model by draws, against examples whose distribution is known."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from headrace import design
from headrace.design.bands import HIGH, LOW, Sample, number
from headrace.design.record import day_record
from headrace.machine import edit, read_text
from headrace.machine.draws import END, draws, evenly, quantile
from headrace.machine.records import Origin
from headrace.runs.run import End, Run
from tests.machines import EXAMPLE, without_bands

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


def test_low_and_high_of_a_product_of_lognormal_numbers() -> None:
    """Logarithms add: widths of independent bands add in squares."""
    one = Origin("one", "assumed", "a test", 2.0, 2.0 / 1.5, 2.0 * 1.5, "-", "", 0)
    other = Origin("other", "assumed", "a test", 3.0, 3.0 / 2.0, 3.0 * 2.0, "-", "", 0)
    width = math.exp(math.hypot(math.log(1.5), math.log(2.0)))
    product = drawn(one) * drawn(other)
    assert np.quantile(product, [0.05, 0.5, 0.95]) == pytest.approx([6.0 / width, 6.0, 6.0 * width], rel=0.02)


# --- a day that the cells may cut short: the whole way from band to record --------------------------------

SPREAD = 0.3  # standard deviation of the logarithm of the minutes wanted
COUNT = 4000


@dataclass(frozen=True)
class CutShort:
    """A job whose time is the only doubt, on cells that last through part of the draws."""

    run: Run
    record: dict[str, Any]
    median: float  # s, of the time wanted
    end: float  # s, when the cells give out

    @property
    def cut(self) -> float:
        """Standard normal deviate of the time at which the cells give out."""
        return math.log(self.end / self.median) / SPREAD


@pytest.fixture(scope="module")
def short() -> CutShort:
    plan = without_bands(read_text(edit(EXAMPLE.read_text(encoding="utf-8"), {"limits.time": "1 h"})).machine)
    end = float(design.until_empty(plan).duration)
    median = 0.8 * end
    ends = (median * math.exp(-END * SPREAD), median * math.exp(END * SPREAD))
    wanted = replace(plan.pedigree["limits.time_wanted"], typical=median, low=ends[0], high=ends[1], most=math.inf)
    drawn = draws(replace(plan, pedigree={**plan.pedigree, wanted.address: wanted}), COUNT, 1)
    run = design.day(drawn, keep_trace=False)
    return CutShort(run, day_record(drawn, run, run, (), Sample(COUNT, 1)), median, end)


def test_a_day_that_is_cut_short_keeps_its_cut_draws(short: CutShort) -> None:
    """Time lognormal, cut where the cells give out: share, mean and ends have closed forms; dropping draws has not."""
    cut, done = short.cut, float(ndtr(short.cut))
    outcomes = dict(short.record["outcomes"])
    assert outcomes.pop("job-done") == pytest.approx(done, abs=2.0 / COUNT)  # one draw in each of COUNT equal parts
    assert len(outcomes) == 1
    assert sum(outcomes.values()) == pytest.approx(1.0 - done, abs=2.0 / COUNT)
    mean = short.median * math.exp(SPREAD**2 / 2.0) * ndtr(cut - SPREAD) + short.end * (1.0 - done)
    assert float(np.mean(short.run.duration[1:])) == pytest.approx(mean, rel=1e-3)
    assert short.record["duration_s"] == {
        "typical": pytest.approx(short.median, rel=1e-12),
        "low": pytest.approx(short.median * math.exp(-END * SPREAD), rel=1e-3),
        "high": pytest.approx(short.end, rel=1e-12),
    }
    assert short.record["wanted_s"]["high"] == pytest.approx(short.median * math.exp(END * SPREAD), rel=1e-3)


def test_what_a_cut_draw_does_not_have_takes_no_part_in_the_band(short: CutShort) -> None:
    """The time of the draws that finish is a lognormal number below a limit, whose quantiles have a closed form."""
    finished = np.where(short.run.ended_because == End.JOB_DONE, short.run.duration, np.nan)
    low, high = (short.median * math.exp(SPREAD * ndtri(share * ndtr(short.cut))) for share in (LOW, HIGH))
    assert number(finished) == {
        "typical": pytest.approx(short.median, rel=1e-12),
        "low": pytest.approx(low, rel=1e-3),
        "high": pytest.approx(high, rel=1e-3),
    }
    assert number(np.full(COUNT + 1, np.nan)) is None
