"""From the form of the prices to their record; only seasons and lives are assumed, prices never."""

from __future__ import annotations

import math
from dataclasses import replace

from headrace.machine.form_prices import PricesTable
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.prices import PartPrice, Prices, address_name
from headrace.machine.records import Source

PRICES = ("electricity", "fuel", "fuel_use", "pack", "tools", "spares", "lead_pack", "bought")


def complete_prices(pedigree: Pedigree, table: PricesTable | None, source: Source) -> Prices | None:
    """Return a season and its prices; None of a source that never empties, and so never wears out."""
    if source.endless:
        return None
    get = Fields(pedigree, table or PricesTable(), "prices", ("prices",), "prices")
    lead = ".lead-acid" if source.cell.chemistry == "lead-acid" else ""
    return Prices(
        jobs=get("jobs"),
        spread=pedigree.note(pedigree.default("prices.spread", "prices.spread", "-")),
        cycles=get("cycles", default=f"prices.cycles{lead}"),
        kept_years=pedigree.note(pedigree.default("prices.kept_years", f"prices.kept_years{lead}", "-")),
        lead_cycles=pedigree.note(pedigree.default("prices.lead_cycles", "prices.cycles.lead-acid", "-")),
        lead_years=pedigree.note(pedigree.default("prices.lead_years", "prices.kept_years.lead-acid", "-")),
        bought_years=get("bought_years"),
        **{key: get.or_else(key, math.nan) for key in PRICES},
    )


def paid(pedigree: Pedigree, source: Source, table: PricesTable | None) -> Source:
    """Return a source whose cells, or batteries, cost what the list of prices says, where they are on it."""
    written = None if table is None or source.ready_made else table.parts.get(source.kind)
    if written is None:
        return source
    origin = pedigree.written("source.cell.price", written, ("prices", "parts", source.kind), "money")
    return replace(source, cell=replace(source.cell, price=pedigree.note(origin)))


def complete_part_prices(pedigree: Pedigree, table: PricesTable | None) -> tuple[PartPrice, ...]:
    """Return what the file says that things of the shopping list cost."""
    if table is None:
        return ()
    found = []
    for line, written in sorted(table.parts.items()):
        name = address_name(line)
        origin = pedigree.written(f"part_prices.{name}.each", written, ("prices", "parts", line), "money")
        found.append(PartPrice(name, pedigree.note(origin)))
    return tuple(found)
