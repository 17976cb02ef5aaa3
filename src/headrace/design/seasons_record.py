"""The record of seasons, as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number, typical
from headrace.design.seasons import KINDS, Aged, Seasons, missing
from headrace.drive.tools import tool_of
from headrace.machine.records import Machine
from headrace.machine.values import leaf
from headrace.pack.ageing import LONGEST, SAYS, UNMODELLED, held
from headrace.runs.run import Run

Record = dict[str, Any]


def seasons_record(machine: Machine, found: Seasons | None, lasts: Run) -> Record | None:
    """Return the years of a pack; None of a source that never empties."""
    prices = machine.prices
    if found is None or prices is None:
        return None
    life = typical(found.life)
    waits = missing(prices)
    spread = machine.pedigree["prices.spread"]
    slowest, quickest = (leaf(spread, end) for end in (spread.low, spread.high))
    return {
        "model": SAYS.get(machine.source.cell.chemistry, UNMODELLED),
        "modelled": machine.source.cell.chemistry in SAYS,
        "spread_low": number(slowest),
        "spread_high": number(quickest),
        "held": list(held(machine.source.cell, found.use)),
        "jobs": number(prices.jobs),
        "depth": number(found.use.depth),
        "new": {"lasts_s": number(lasts.duration), "to_reserve_s": number(lasts.to_reserve)},
        "ages": [_aged(machine, one) for one in found.aged],
        "life": {
            "years": number(found.life),
            "jobs": number(found.life_jobs),
            "longer": life is not None and life >= LONGEST - 1e-6,
        },
        "worked_s": number(found.worked),
        "mains_J": number(found.mains),
        "costs": [
            {
                "name": kind,
                "season": number(found.costs.season[kind]),
                "hour": number(found.costs.hour[kind]),
                "wants": waits[kind] or None,
            }
            for kind in KINDS
        ],
        "tools": number(prices.tools),
        "spares": number(prices.spares),
    }


def _aged(machine: Machine, one: Aged) -> Record:
    work = machine.chains[0].work
    return {
        "name": one.name,
        "years": number(one.years),
        "cold": one.cold,
        "capacity_left": number(one.worn.capacity),
        "resistance_grown": number(one.worn.resistance),
        "lasts_s": number(one.run.duration),
        "to_reserve_s": number(one.run.to_reserve),
        "tool_speed_full_rad_s": number(tool_of(work).speed_at(work, one.run.pace_full)),
    }
