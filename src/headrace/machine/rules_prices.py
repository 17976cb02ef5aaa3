"""Rules of ``[prices.parts]``: each name is that of something on the shopping list."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.machine.form_links import CONVERTERS, MOTORS, TRANSMISSIONS
from headrace.machine.joins import FRICTION_BRAKE, OF_A_CHAIN
from headrace.machine.loose import link_name, table, tables, text
from headrace.machine.prices import beside
from headrace.machine.sizes import named_by_size
from headrace.machine.wording import Said, did_you_mean
from headrace.tables import load

BOUGHT = (*CONVERTERS, *MOTORS, *TRANSMISSIONS, "worm", "controller")
OF_THE_FILE = "the file"  # rows that things with names of the file are like
EXAMPLES = ["cable 10 mm²", "cord 1.5 mm²", "lugs 10 mm²", "ferrules 1.5 mm²", "push-on sleeves 1.5 mm²"]


def price_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield which names of ``prices.parts`` no line of the shopping list of such a machine has."""
    parts = table(table(data.get("prices")).get("parts"))
    known = bought_names(data) if parts else []
    for name, value in parts.items():
        if name in known or named_by_size(name):
            continue
        limit = "names nothing on the shopping list"
        way_out = did_you_mean(name, [*known, *EXAMPLES]) or f"known are {', '.join([*known, *EXAMPLES])}"
        yield ("prices", "parts", name), value, limit, way_out


def bought_names(data: dict[str, Any]) -> list[str]:
    """Return the names that lines of the shopping list of a file have, cable and lugs by size apart."""
    found = [str(row["name"]) for row in load("bill") if row["for"] != OF_THE_FILE]
    for one in tables(data.get("auxiliaries")):
        found += [beside(text(one.get("name"))), f"{text(one.get('name'))} fuse"]
    for chain in tables(data.get("chains")):
        links = tables(chain.get("links"))
        plugs = [link for link in links if link.get("of") == "plug"]
        bought = [link for link in links if text(link.get("kind")) in BOUGHT]
        found += [f"{text(chain.get('name'))} {link_name(link)}" for link in (*bought, *plugs)]
        found += [f"{text(chain.get('name'))} {part}" for part in (*OF_A_CHAIN, FRICTION_BRAKE)]
        if not any(link.get("kind") == "controller" for link in links):
            found.append(f"{text(chain.get('name'))} switch")
    return found
