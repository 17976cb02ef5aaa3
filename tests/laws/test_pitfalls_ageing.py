"""Where a naive tool goes wrong with ageing laws: each step taken naively, and what really happens, on our machines."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from headrace import design
from headrace.design.charging import charging
from headrace.design.days import day
from headrace.design.seasons import Seasons, aged_runs, seasons
from headrace.findings import judge
from headrace.machine import edit, read_text
from headrace.machine.records import Machine
from headrace.pack.ageing import Use, worn
from headrace.pack.source import open_voltage
from headrace.physics import ageing_iron, ageing_nickel
from tests.machines import SMALL_TEXT, small

HOURLY = 1.0 / 3_600.0
GAS = 8.314462618  # J/(mol K)
ROOM = 298.15


@cache
def iron() -> Machine:
    """The alley mower on cells of iron phosphate."""
    return read_text(edit(SMALL_TEXT, {"source.cell": "lfp-26650", "source.series": 12})).machine


@cache
def years_of(plan_is_iron: bool) -> Seasons:
    plan = iron() if plan_is_iron else small()
    run = day(plan, keep_trace=False)
    found = seasons(plan, run, aged_runs(plan, run), charging(plan))
    assert found is not None
    return found


def use_of(plan: Machine, **changes: float) -> Use:
    return replace(years_of(plan is iron()).use, **changes)


def left(plan: Machine) -> float:
    """Return the capacity left after three years, by the fit alone."""
    assert plan.prices is not None
    return float(worn(plan.source.cell, use_of(small()), replace(plan.prices, spread=1.0), 3.0).capacity)


def test_pitfall_27_charge_counts_in_and_out() -> None:
    """The mower's jobs of three years, throughput counted one way as a naive tool would: a fade a third too mild."""
    plan = small()
    assert plan.prices is not None
    use, cell = use_of(plan, temperature=ROOM), plan.source.cell
    jobs = 3.0 * float(plan.prices.jobs) * float(use.depth)
    mean = ageing_nickel.quadratic_mean_voltage(use.top - use.depth, use.top, cell.ocv_charge, cell.ocv_volts)
    both, one_way = (float(ageing_nickel.nmc_worked_fade(mean, use.depth, cycles)) for cycles in (jobs, 0.5 * jobs))
    assert one_way == pytest.approx(np.sqrt(0.5) * both, rel=1e-9)
    kept = float(ageing_nickel.nmc_kept_fade(open_voltage(cell, use.storage), ROOM, 3.0 * 365.25 * 86_400.0))
    left = float(worn(cell, use, replace(plan.prices, spread=1.0), 3.0).capacity)
    assert 1.0 - left == pytest.approx(kept + both, abs=2e-4)
    assert 1.0 - left > kept + 1.2 * one_way


@pytest.mark.parametrize("years", [1.0, 3.0, 10.0])
def test_pitfall_27_fast_work_does_not_heal_iron_phosphate(years: float) -> None:
    """Resistance grows by a term that turns negative beyond 1.05 C; let through, it takes back what the years added."""
    plan = iron()
    assert plan.prices is not None
    prices = replace(plan.prices, spread=1.0, jobs=1000.0)
    slow, fast = (use_of(plan, depth=0.8, rate=rate * HOURLY) for rate in (0.5, 5.0))
    cases = {"idle": (fast, replace(prices, jobs=0.0)), "fast": (fast, prices), "slow": (slow, prices)}
    grown = {name: float(worn(plan.source.cell, *case, years).resistance) for name, case in cases.items()}
    cycles = years * 1000.0 * 0.8
    naive = 0.01 * (0.0021 - 0.0020 * 5.0) * (6.8477 * 0.3**3 + 0.9182) * cycles  # as printed, nothing held
    assert grown["idle"] + naive < grown["idle"]
    assert grown["fast"] > grown["idle"]
    assert grown["slow"] > grown["fast"]


@pytest.mark.parametrize(
    ("plan_is_iron", "edge", "exponent"),
    [(False, ageing_nickel.NMC_KEPT[0], 6976.0), (True, ageing_iron.LFP_KEPT[0], 17_126.0 / GAS)],
)
def test_pitfall_27_a_cold_shed_is_not_read_off_beyond_the_data(
    plan_is_iron: bool, edge: float, exponent: float
) -> None:
    """Nothing was kept in the cold: the papers' exponents carried on to -15 °C all but stop a pack from ageing."""
    plan = iron() if plan_is_iron else small()
    assert plan.prices is not None
    idle = replace(plan.prices, spread=1.0, jobs=0.0)
    frost = 258.15
    at_edge, in_frost = (
        1.0 - float(worn(plan.source.cell, use_of(plan, temperature=kelvin), idle, 3.0).capacity)
        for kelvin in (edge, frost)
    )
    naive = at_edge * np.exp(-exponent * (1.0 / frost - 1.0 / edge))
    assert naive < 0.5 * at_edge
    assert in_frost == at_edge > 0.0


def test_pitfall_27_charging_in_the_cold_is_not_what_ageing_tells_of() -> None:
    """Plating is in none of the fits: years say the same of a pack charged at -10 °C, a finding says stop."""
    warm, cold = (
        read_text(edit(SMALL_TEXT, {"safety.charging.coldest": celsius, "safety.charging.cold_lock": False})).machine
        for celsius in ("15 °C", "-10 °C")
    )
    lives = [left(plan) for plan in (warm, cold)]
    assert lives[0] == lives[1]
    raised = {j.rule.slug for j in judge(design.evidence(cold)) if j.failing.flat[0]}
    assert "charged-below-freezing" in raised
    assert "charged-below-freezing" not in {j.rule.slug for j in judge(design.evidence(warm)) if j.failing.flat[0]}
