"""Ageing: the printed checks of each fit, and that no cell ever heals."""

from __future__ import annotations

import numpy as np
import pytest

from headrace.physics import ageing_iron, ageing_nickel

YEAR = 365.0 * 86_400.0
ROOM = 298.15
HOURLY = 1.0 / 3_600.0

# worked from the published coefficients, beside the papers' figures; to the last digit given
CHECKS = {
    "NMC, a year at 25 °C and 3.7 V": (ageing_nickel.nmc_kept_fade(3.7, ROOM, YEAR), 0.024),
    "NMC, a year at 25 °C and 4.1 V": (ageing_nickel.nmc_kept_fade(4.1, ROOM, YEAR), 0.041),
    "NMC, 500 cycles of 80 % about 3.70 V": (ageing_nickel.nmc_worked_fade(3.70, 0.8, 500.0), 0.187),
    "LFP, a year at 25 °C, half full": (ageing_iron.lfp_kept_fade(0.5, ROOM, YEAR), 0.043),
    "LFP, a year at 25 °C, full": (ageing_iron.lfp_kept_fade(1.0, ROOM, YEAR), 0.068),
    "LFP, 500 cycles of 80 % in an hour": (ageing_iron.lfp_worked_fade(HOURLY, 0.8, 500.0), 0.040),
    "LFP resistance, a year half full": (ageing_iron.lfp_kept_rise(0.5, ROOM, YEAR), 0.017),
    "LFP resistance, a year full": (ageing_iron.lfp_kept_rise(1.0, ROOM, YEAR), 0.008),
    "LFP resistance, 500 cycles of 80 % in two hours": (ageing_iron.lfp_worked_rise(0.5 * HOURLY, 0.8, 500.0), 0.006),
    "LFP power cell, 1000 cycles of 90 % in two hours": (ageing_iron.lfp_quick_fade(0.5 * HOURLY, ROOM, 900.0), 0.062),
}


@pytest.mark.parametrize("name", CHECKS)
def test_the_fits_are_those_printed(name: str) -> None:
    value, printed = CHECKS[name]
    assert float(value) == pytest.approx(printed, abs=0.0005)


def test_charge_counted_one_way_is_a_third_too_mild() -> None:
    """The pitfall: throughput of the nickel-rich fit is in and out; one way gives 13.2 % in place of 18.7 %."""
    both, one_way = (float(ageing_nickel.nmc_worked_fade(3.70, 0.8, cycles)) for cycles in (500.0, 250.0))
    assert one_way == pytest.approx(0.132, abs=0.0005)
    assert one_way / both == pytest.approx(np.sqrt(0.5), rel=1e-12)


DEEP, VOLTS, WARM = np.linspace(0.0, 1.0, 21), np.linspace(2.0, 4.3, 47), np.linspace(243.0, 343.0, 21)
QUICK, CHARGE = np.linspace(0.0, 12.0, 49) * HOURLY, np.linspace(0.0, 1.0, 21)
TIMES = np.array([0.0, 0.1, 1.0, 3.0, 10.0])


def every(*axes: np.ndarray) -> list[np.ndarray]:
    return list(np.meshgrid(*axes, indexing="ij"))


@pytest.mark.parametrize(
    "grown",
    [
        ageing_nickel.nmc_kept_fade(*every(VOLTS, WARM, TIMES * YEAR)),
        ageing_nickel.nmc_kept_rise(*every(VOLTS, WARM, TIMES * YEAR)),
        ageing_nickel.nmc_worked_fade(*every(VOLTS, DEEP, TIMES * 300.0)),
        ageing_nickel.nmc_worked_rise(*every(VOLTS, DEEP, TIMES * 300.0)),
        ageing_iron.lfp_kept_fade(*every(CHARGE, WARM, TIMES * YEAR)),
        ageing_iron.lfp_kept_rise(*every(CHARGE, WARM, TIMES * YEAR)),
        ageing_iron.lfp_worked_fade(*every(QUICK, DEEP, TIMES * 300.0)),
        ageing_iron.lfp_worked_rise(*every(QUICK, DEEP, TIMES * 300.0)),  # 1.05 to the hour and far beyond
        ageing_iron.lfp_quick_fade(*every(QUICK, WARM, TIMES * 300.0)),
    ],
)
def test_no_cell_grows_or_heals(grown: np.ndarray) -> None:
    assert np.all(np.isfinite(grown))
    assert np.all(grown >= 0.0)
    assert np.all(grown[..., 0] == 0.0)
    assert np.all(np.diff(grown, axis=-1) >= 0.0)


@pytest.mark.parametrize("law", [ageing_nickel.nmc_kept_fade, ageing_nickel.nmc_kept_rise])
def test_a_nickel_rich_cell_kept_full_or_warm_ages_quicker(law: object) -> None:
    assert callable(law)
    assert law(4.1, ROOM, YEAR) > law(3.7, ROOM, YEAR)
    assert law(3.7, 313.15, YEAR) > law(3.7, ROOM, YEAR)
    assert law(3.7, 263.15, YEAR) == law(3.7, 293.15, YEAR)  # held at the edge


def test_the_cold_is_not_extrapolated() -> None:
    for cold, edge in ((263.15, 298.15), (288.15, 298.15)):
        assert ageing_iron.lfp_kept_fade(0.5, cold, YEAR) == ageing_iron.lfp_kept_fade(0.5, edge, YEAR)
        assert ageing_iron.lfp_kept_rise(0.5, cold, YEAR) == ageing_iron.lfp_kept_rise(0.5, edge, YEAR)
    assert ageing_iron.lfp_quick_fade(HOURLY, 263.15, 100.0) == ageing_iron.lfp_quick_fade(HOURLY, 288.15, 100.0)


def test_the_factors_of_the_quick_fit_are_met_at_the_rates_tested() -> None:
    for rate, factor in zip(ageing_iron.RATES, ageing_iron.FACTORS, strict=True):
        by_hand = factor * np.exp(-(31_700.0 - 370.3 * rate) / (8.314462618 * ROOM)) * (2.2 * 100.0) ** 0.55 / 100.0
        assert float(ageing_iron.lfp_quick_fade(rate * HOURLY, ROOM, 100.0)) == pytest.approx(by_hand, rel=1e-9)


def test_the_two_routes_to_an_iron_phosphate_cell_agree_to_a_factor_of_two() -> None:
    """Two papers on two cells, the same thousand deep cycles in three years: what the band is for."""
    first = float(
        ageing_iron.lfp_kept_fade(0.5, ROOM, 3 * YEAR) + ageing_iron.lfp_worked_fade(0.5 * HOURLY, 0.9, 900.0)
    )
    second = float(ageing_iron.lfp_quick_fade(0.5 * HOURLY, ROOM, 900.0))
    assert 0.5 < second / first < 2.0


def test_the_quadratic_mean_of_a_flat_table_is_its_voltage() -> None:
    flat = ageing_nickel.quadratic_mean_voltage(0.2, 0.9, [0.0, 1.0], [3.3, 3.3])
    assert float(flat) == pytest.approx(3.3, rel=1e-12)
    low, high = np.array([0.0, 0.5]), np.array([1.0, 1.0])
    exact = np.sqrt([(4.0**3 - 3.0**3) / 3.0, (4.0**3 - 3.5**3) / 1.5])
    assert ageing_nickel.quadratic_mean_voltage(low, high, [0.0, 1.0], [3.0, 4.0]) == pytest.approx(exact, rel=1e-5)
