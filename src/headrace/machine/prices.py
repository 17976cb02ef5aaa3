"""What a season is, how quickly cells age, and what things cost, in SI and the file's own money."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.lanes import Lanes
from headrace.tables import load


@dataclass(frozen=True)
class PartPrice:
    """What one thing on the shopping list costs where the builder lives."""

    name: str  # of the line of the list, as ``address_name`` has it
    each: Lanes  # money for one; of what is sold by length, for a metre


def address_name(line: str) -> str:
    """Return the name of a line as a step of an address: one without dots."""
    return line.replace(".", "·")


def beside(name: str) -> str:
    """Return what an auxiliary is called on the shopping list: by its name, told apart from what else is bought."""
    return f"{name} beside the chains" if name in {str(row["name"]) for row in load("bill")} else name


@dataclass(frozen=True)
class Prices:
    """A season and its prices; nan where the file names none."""

    jobs: Lanes  # -, in a year
    spread: Lanes  # -, how much quicker this cell ages than those of the published fits
    cycles: Lanes  # -, stated for the life of a cell without a model
    kept_years: Lanes  # -, that such a cell lasts lying about
    lead_cycles: Lanes  # -, of a lead-acid battery as deep as the job takes it
    lead_years: Lanes  # -, that it lasts lying about
    electricity: Lanes  # money for a kilowatt-hour
    fuel: Lanes  # money for a litre
    fuel_use: Lanes  # m3/s, of the engine at this work
    pack: Lanes  # money; nan for that of the cells
    tools: Lanes  # money, once, for building it
    spares: Lanes  # money, in a season
    lead_pack: Lanes  # money, for the same job
    bought: Lanes  # money, for a machine off the shelf
    bought_years: Lanes  # -, that it lasts
