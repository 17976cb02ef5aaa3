"""The form of ``[prices]``: what a season is, and what things cost where the builder lives."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from headrace.machine.form_table import Table
from headrace.machine.quantities import Quantity, Written

Money = Annotated[Written | None, Quantity("money", 0.0, 1e7, "none")]
Each = Annotated[Written, Quantity("money", 0.0, 1e7, "none")]


class PricesTable(Table):
    """Jobs in a season, and prices in the money of the file; what has no price is not compared.

    ``electricity`` is for a kilowatt-hour, ``fuel`` for a litre, ``fuel_use`` what the engine burned at this work;
    ``lead_pack`` a lead-acid battery for the same job, ``bought`` a machine off the shelf that lasts ``bought_years``.
    ``cycles`` are those stated for the cell's life, for chemistries without a model of ageing. ``parts`` has what
    single things of the shopping list cost, by the names of its lines: for one, or for a metre.
    """

    jobs: Annotated[Written | None, Quantity("number", 1.0, 2000.0)] = None
    cycles: Annotated[Written | None, Quantity("number", 20.0, 20_000.0)] = None
    electricity: Money = None
    fuel: Money = None
    fuel_use: Annotated[Written | None, Quantity("flow", 1e-9, 1e-4)] = None
    pack: Money = None
    tools: Money = None
    spares: Money = None
    lead_pack: Money = None
    bought: Money = None
    bought_years: Annotated[Written | None, Quantity("number", 0.5, 50.0)] = None
    parts: Annotated[dict[str, Each], Field(max_length=200)] = Field(default_factory=dict)
