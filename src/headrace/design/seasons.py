"""How long a pack works this year, next year and in three, on how many jobs it wears out, and what that costs."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from headrace.design import days
from headrace.machine.charger import Charger
from headrace.machine.prices import Prices
from headrace.machine.records import Lanes, Machine, Source
from headrace.machine.values import first_number, lanes_of
from headrace.pack import arrangement
from headrace.pack import source as pack
from headrace.pack.ageing import Use, Worn, worn, years_until
from headrace.physics import ageing, costs
from headrace.physics.working import leaves
from headrace.runs.charge import Charging
from headrace.runs.march import Progress, march
from headrace.runs.run import End, Run

NEXT, LATER = 1.0, 3.0  # years
KINDS = ("this", "fuel", "lead_acid", "bought")


@dataclass(frozen=True)
class Aged:
    """A pack after some years, and how long it works then."""

    name: str
    years: Lanes
    cold: bool  # on the coldest morning
    worn: Worn
    run: Run


@dataclass(frozen=True)
class Costs:
    """What a season and an hour of work cost, in the file's money; nan where a price is missing. By ``KINDS``."""

    season: dict[str, Lanes]
    hour: dict[str, Lanes]


@dataclass(frozen=True)
class Seasons:
    """Years of a pack; floats or lanes."""

    use: Use
    aged: tuple[Aged, ...]
    life: Lanes  # years, at most 25
    life_jobs: Lanes
    mains: Lanes  # J, from the outlet for one job
    worked: Lanes  # s, in a season
    costs: Costs


WHEN = (("next-year", NEXT, False), ("in-three-years", LATER, False), ("in-three-years-cold", LATER, True))


def _use(source: Source, charger: Charger, day: Run) -> Use:
    """Return how the pack is used by the job of a day."""
    depth = np.maximum(np.minimum(1.0 - day.charge_left + day.topped_up, 1.0), 0.0)
    return Use(charger.storage, charger.room, depth, day.rms_cell_current / source.cell.capacity, 1.0)


def aged_runs(machine: Machine, day: Run, progress: Progress | None = None) -> tuple[Run, ...]:
    """March a full charge until it is empty, with cells as old as ``WHEN`` says; none of what never empties."""
    if machine.prices is None or machine.charger is None:
        return ()
    cell, use = machine.source.cell, _use(machine.source, machine.charger, day)
    old = [worn(cell, use, machine.prices, years) for _, years, _ in WHEN]
    air = [machine.limits.ambient_cold if cold else machine.job.ambient for _, _, cold in WHEN]
    ones = (1,) * len(lanes_of(machine))
    shape = np.broadcast_shapes(ones, *(np.shape(v) for row in old for v in row), *(np.shape(v) for v in air))

    def by_age(values: list[Lanes]) -> Lanes:
        return np.stack([np.broadcast_to(value, shape) for value in values])

    source = pack.aged(machine.source, by_age([w.capacity for w in old]), by_age([w.resistance for w in old]))
    plan = replace(machine, source=source, job=replace(machine.job, ambient=by_age(air)))
    run = march(plan, days.LONGEST_RUN, at_end=End.TIME_LIMIT, progress=progress)
    return tuple(days.one_day(run, place) for place in range(len(WHEN)))


def seasons(machine: Machine, day: Run, runs: tuple[Run, ...], charging: Charging | None) -> Seasons | None:
    """Return the years of a pack; None of a source that never empties."""
    prices, charger = machine.prices, machine.charger
    if prices is None or charger is None or charging is None:
        return None
    source, use = machine.source, _use(machine.source, charger, day)
    limits = machine.limits
    life = years_until(source.cell, use, prices, limits.end_of_life_capacity, limits.end_of_life_resistance)
    jobs_put_in = use.depth * (source.parallel * source.cell.capacity) * source.in_turn / charger.kept
    mains = jobs_put_in * (charging.once.mains / np.maximum(charging.once.put_in, 1.0))
    worked = prices.jobs * day.duration
    years = [leaves(ahead, "search", "years looked ahead") for _, ahead, _ in WHEN]
    return Seasons(
        use=use,
        aged=tuple(
            Aged(name, age, cold, worn(source.cell, use, prices, age), run)
            for (name, _, cold), age, run in zip(WHEN, years, runs, strict=True)
        ),
        life=life,
        life_jobs=life * prices.jobs,
        mains=mains,
        worked=worked,
        costs=_costs(machine, prices, life, mains, worked),
    )


def _costs(machine: Machine, prices: Prices, life: Lanes, mains: Lanes, worked: Lanes) -> Costs:
    """Return what a season and an hour cost, tools and spares apart."""
    price = arrangement.cost(machine.source) if np.all(np.isnan(prices.pack)) else prices.pack
    current = costs.current_cost(prices.jobs * mains, prices.electricity)
    lead = ageing.stated_life(prices.jobs, prices.lead_cycles, prices.lead_years)
    season = {
        "this": costs.season_of_price(price, life) + current,
        "fuel": costs.fuel_cost(prices.fuel_use, worked, prices.fuel),
        "lead_acid": costs.season_of_price(prices.lead_pack, lead) + current,
        "bought": costs.season_of_price(prices.bought, prices.bought_years) + current,
    }
    return Costs(season, {kind: costs.hourly(cost, worked) for kind, cost in season.items()})


def missing(prices: Prices) -> dict[str, str]:
    """Return which keys of the file a cost waits for, by kind; empty where there is all it needs."""
    needs = {
        "this": ("electricity",),
        "fuel": ("fuel", "fuel_use"),
        "lead_acid": ("electricity", "lead_pack"),
        "bought": ("electricity", "bought"),
    }
    return {
        kind: ", ".join(f"prices.{key}" for key in keys if math.isnan(first_number(getattr(prices, key))))
        for kind, keys in needs.items()
    }
