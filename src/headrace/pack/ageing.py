"""How a pack ages that is put away at some charge and worked now and then: what its cells have left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from headrace.machine.prices import Prices
from headrace.machine.records import Cell, Lanes
from headrace.pack.source import open_voltage
from headrace.physics import ageing, ageing_iron, ageing_nickel
from headrace.physics.law import outside
from headrace.physics.working import solution

LONGEST = 25.0  # years, that a life is looked for
HALVINGS = 40


@dataclass(frozen=True)
class Use:
    """How a pack is used; floats or lanes."""

    storage: Lanes  # -, charge it is kept at
    temperature: Lanes  # K, it is kept at
    depth: Lanes  # -, of the capacity, that a job takes
    rate: Lanes  # 1/s, current over capacity at work
    top: Lanes  # -, charge a job begins with


class Worn(NamedTuple):
    """What has become of a new cell: shares of the new one's."""

    capacity: Lanes
    resistance: Lanes


def worn(cell: Cell, use: Use, prices: Prices, years: Lanes) -> Worn:
    """Return what is left of a cell after some years of a use, by the model of its chemistry.

    Parameters
    ----------
    cell
        New.
    use
        Made of it.
    prices
        Jobs in a year, and how quickly this cell ages.
    years
        Gone by. [-]
    """
    return MODELS.get(cell.chemistry, _stated)(cell, use, prices, years)


def _nickel_rich(cell: Cell, use: Use, prices: Prices, years: Lanes) -> Worn:
    seconds, cycles = ageing.time_of_years(years), years * prices.jobs * use.depth
    volts = open_voltage(cell, use.storage)
    mean = ageing_nickel.quadratic_mean_voltage(use.top - use.depth, use.top, cell.ocv_charge, cell.ocv_volts)
    fade = (
        ageing_nickel.nmc_kept_fade(volts, use.temperature, seconds),
        ageing_nickel.nmc_worked_fade(mean, use.depth, cycles),
    )
    rise = (
        ageing_nickel.nmc_kept_rise(volts, use.temperature, seconds),
        ageing_nickel.nmc_worked_rise(mean, use.depth, cycles),
    )
    return Worn(ageing.capacity_left(*fade, prices.spread), ageing.resistance_grown(*rise, prices.spread))


def _iron_phosphate(_cell: Cell, use: Use, prices: Prices, years: Lanes) -> Worn:
    """Return the worse of two fits: one of lying about and gentle work, one of quick work."""
    seconds, cycles = ageing.time_of_years(years), years * prices.jobs * use.depth
    gentle = ageing.capacity_left(
        ageing_iron.lfp_kept_fade(use.storage, use.temperature, seconds),
        ageing_iron.lfp_worked_fade(use.rate, use.depth, cycles),
        prices.spread,
    )
    quick = ageing.capacity_left(0.0, ageing_iron.lfp_quick_fade(use.rate, use.temperature, cycles), prices.spread)
    rise = ageing.resistance_grown(
        ageing_iron.lfp_kept_rise(use.storage, use.temperature, seconds),
        ageing_iron.lfp_worked_rise(use.rate, use.depth, cycles),
        prices.spread,
    )
    return Worn(np.minimum(gentle, quick), rise)


def _stated(_cell: Cell, use: Use, prices: Prices, years: Lanes) -> Worn:
    """Return a straight line to the cycles and the years stated for a life, twice as steep in resistance."""
    kept = ageing.stated_fade(years, prices.kept_years)
    lost = ageing.stated_fade(years * prices.jobs * use.depth, prices.cycles)
    return Worn(ageing.capacity_left(kept, lost, 1.0), ageing.resistance_grown(kept + kept, lost + lost, 1.0))


MODELS: dict[str, Callable[[Cell, Use, Prices, Lanes], Worn]] = {"NMC": _nickel_rich, "LFP": _iron_phosphate}
SAYS = {
    "NMC": "a published fit to one nickel-rich cell, kept at 35 to 50 °C and cycled at 35 °C in an hour",
    "LFP": "the worse of two published fits to iron phosphate cells, cycled at 25 and 45 °C",
}
UNMODELLED = "no model of this chemistry: a straight line to the cycles and years stated or assumed for its life"


@solution("years until the cells are worn")
def years_until(cell: Cell, use: Use, prices: Prices, capacity: Lanes, resistance: Lanes) -> Lanes:
    """Return after how many years the cells are worn, at most 25.

    Parameters
    ----------
    cell, use, prices
        As for ``worn``.
    capacity, resistance
        At which they are, as shares of new. [-]
    """
    low = 0.0 * (capacity + resistance + use.depth + prices.spread * prices.jobs)
    high = low + LONGEST
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        found = worn(cell, use, prices, middle)
        over = (np.asarray(found.capacity) <= capacity) | (np.asarray(found.resistance) >= resistance)
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.asarray(high)


def held(cell: Cell, use: Use) -> tuple[str, ...]:
    """Return in which ways the typical machine lies outside what the fits were made on, so that their edge is held."""
    tests: dict[str, tuple[tuple[Callable[..., Lanes], str, Lanes, str], ...]] = {
        "NMC": (
            (
                ageing_nickel.nmc_kept_fade,
                "temperature",
                use.temperature,
                "it is kept colder than 20 °C or warmer than 50 °C",
            ),
        ),
        "LFP": (
            (
                ageing_iron.lfp_kept_fade,
                "temperature",
                use.temperature,
                "it is kept colder than 25 °C or warmer than 60 °C",
            ),
            (
                ageing_iron.lfp_worked_fade,
                "rate",
                use.rate,
                "it is worked quicker than in an hour or slower than in five",
            ),
        ),
    }
    return tuple(
        words
        for function, name, value, words in tests.get(cell.chemistry, ())
        if bool(outside(function, **{name: value}).flat[0])
    )
