"""Years of a pack: what ages it more, what it costs, and that nothing heals."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.charging import charging
from headrace.design.days import day
from headrace.design.seasons import Seasons, aged_runs, seasons
from headrace.machine import edit, read_text
from headrace.machine.draws import draws
from headrace.machine.prices import Prices
from headrace.machine.records import Machine
from headrace.pack.ageing import Use, held, worn, years_until
from headrace.physics import costs
from headrace.runs.run import Run
from tests.machines import SMALL_TEXT, small, started

YEARS = np.linspace(0.0, 25.0, 51)


@cache
def worked() -> tuple[Run, tuple[Run, ...], Seasons]:
    plan = small()
    run = day(plan, keep_trace=False)
    older = aged_runs(plan, run)
    return run, older, found(plan, run, older)


def found(plan: Machine, run: Run, older: tuple[Run, ...]) -> Seasons:
    made = seasons(plan, run, older, charging(plan))
    assert made is not None
    return made


def priced(**values: Any) -> Seasons:
    """The small mower with prices: the runs are those without, prices move no minute."""
    run, older, _ = worked()
    plan = read_text(edit(SMALL_TEXT, {f"prices.{key}": value for key, value in values.items()})).machine
    return found(plan, run, older)


def prices(plan: Machine) -> Prices:
    assert plan.prices is not None
    return plan.prices


def test_an_older_pack_works_shorter() -> None:
    run, older, made = worked()
    lasts = [float(np.asarray(one.run.to_reserve)) for one in made.aged]
    new = float(np.asarray(design.until_empty(small(), keep_trace=False).to_reserve))
    assert new > lasts[0] > lasts[1]
    assert len(older) == len(made.aged) == 3
    assert float(run.duration) > 0.0


@pytest.mark.parametrize("shelf", ["energy-21700", "lfp-26650", "sodium-18650", "agm-12v"])
@pytest.mark.parametrize("rate", [0.2, 1.0, 1.2, 5.0])
def test_no_pack_heals(shelf: str, rate: float) -> None:
    plan = read_text(edit(SMALL_TEXT, {"source.cell": shelf, "charger.chemistry": "LFP"})).machine
    use = Use(storage=0.5, temperature=293.15, depth=0.7, rate=rate / 3600.0, top=1.0)
    old = worn(plan.source.cell, use, prices(plan), YEARS)
    capacity, resistance = np.broadcast_arrays(np.asarray(old.capacity), np.asarray(old.resistance))
    assert capacity[0] == resistance[0] == 1.0
    assert np.all(np.diff(capacity) <= 0.0)
    assert np.all(np.diff(resistance) >= 0.0)
    assert capacity[-1] < 1.0 < resistance[-1]


def test_deeper_and_fuller_wears_quicker() -> None:
    plan = small()
    gentle = Use(0.5, 293.15, 0.3, 1 / 7200.0, 1.0)
    for harder in (Use(0.5, 293.15, 0.9, 1 / 7200.0, 1.0), Use(1.0, 293.15, 0.3, 1 / 7200.0, 1.0)):
        lives = [float(years_until(plan.source.cell, use, prices(plan), 0.8, 1.5)) for use in (gentle, harder)]
        assert lives[1] < lives[0]


def test_the_life_ends_where_one_of_the_two_marks_is_met() -> None:
    plan, use = small(), Use(0.5, 293.15, 0.9, 1 / 3600.0, 1.0)
    life = float(years_until(plan.source.cell, use, prices(plan), 0.8, 1.5))
    old = worn(plan.source.cell, use, prices(plan), life)
    nearest = min(abs(float(old.capacity) - 0.8), abs(float(old.resistance) - 1.5))
    assert nearest < 1e-6
    assert float(old.capacity) > 0.8 - 1e-6
    assert float(old.resistance) < 1.5 + 1e-6


def test_what_lies_outside_the_fit_is_said() -> None:
    plan = read_text(edit(SMALL_TEXT, {"source.cell": "lfp-26650"})).machine
    assert held(plan.source.cell, Use(0.5, 298.15, 0.5, 0.5 / 3600.0, 1.0)) == ()
    assert len(held(plan.source.cell, Use(0.5, 283.15, 0.5, 4.0 / 3600.0, 1.0))) == 2
    assert held(small().source.cell, Use(0.5, 283.15, 0.5, 4.0 / 3600.0, 1.0)) != ()


def test_costs_by_hand() -> None:
    made = priced(jobs=30, electricity=0.30, fuel=1.80, fuel_use="1.2 l/h", pack=400, bought=640, bought_years=8)
    hours = 30.0 * float(worked()[0].duration) / 3600.0
    assert float(made.worked) == pytest.approx(hours * 3600.0)
    season = made.costs.season
    assert float(season["fuel"]) == pytest.approx(1.80 * 1.2 * hours)
    current = 30.0 * float(made.mains) / 3.6e6 * 0.30
    assert float(season["this"]) == pytest.approx(400.0 / float(made.life) + current)
    assert float(season["bought"]) == pytest.approx(80.0 + current)
    assert np.isnan(season["lead_acid"])  # no price of one is named
    assert float(made.costs.hour["fuel"]) == pytest.approx(1.80 * 1.2)


def test_lead_acid_beside_it_wears_by_its_cycles_and_its_years() -> None:
    made = priced(jobs=35, electricity=0.0, lead_pack=180)
    assert float(made.costs.season["lead_acid"]) == pytest.approx(180.0 * (35.0 / 350.0 + 1.0 / 5.0))


def test_a_dearer_fuel_is_dearer_by_its_own_share() -> None:
    assert float(costs.fuel_cost(1e-6, 3600.0, 3.6)) == pytest.approx(2.0 * float(costs.fuel_cost(1e-6, 3600.0, 1.8)))


def test_the_mains_give_what_the_job_takes_and_what_is_lost() -> None:
    run, _, made = worked()
    taken = float(run.energy)
    assert 1.05 * taken < float(made.mains) < 1.5 * taken


def test_lanes_are_the_machines_one_by_one() -> None:
    plan = draws(small(), 3, 5)
    run = day(plan, keep_trace=False)
    made = found(plan, run, aged_runs(plan, run))
    assert np.shape(made.life) == (4,)
    assert float(np.asarray(made.life)[0]) == pytest.approx(float(np.asarray(worked()[2].life)), rel=1e-6)
    assert np.asarray(made.aged[1].run.to_reserve)[0] == pytest.approx(worked()[2].aged[1].run.to_reserve, rel=1e-6)
    assert np.all(np.isfinite(made.life))


def test_lead_acid_has_a_life_of_stated_cycles_and_years() -> None:
    plan = started("corded")
    use = Use(1.0, 293.15, 0.5, 1 / 18_000.0, 1.0)
    life = float(years_until(plan.source.cell, use, prices(plan), 0.8, 10.0))
    known = prices(plan)
    by_cycles = float(known.jobs) * 0.5 / float(known.cycles)
    assert life == pytest.approx(1.0 / (by_cycles + 1.0 / float(known.kept_years)), rel=1e-6)
