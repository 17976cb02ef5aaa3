"""The shopping list: every thing to be bought for a machine, and what it costs as far as the file knows prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from headrace.machine.prices import address_name
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import counted, is_known, typical_of
from headrace.physics import buying
from headrace.wiring.bill_line import METRE, READY_MADE, Line, Plan
from headrace.wiring.bill_lines import lines

GROUPS = ("pack", "drive", "wiring", "charging", "tools", "protection of people")
ONCE = ("tools", "protection of people")  # bought once, for more than one machine
CELLS = ("cells", "batteries", READY_MADE)
NO_PRICE = "the file gives no price for it"
NOTHING_PRICED = "no line of it has a price"
NO_PRICED_SPARES = "no line of it that is bought by the piece has a price of its own"
CLASS_PRICE = "its price is the usual one of its class: the file gives none"
NO_AMOUNT = "it has a price, but how much of it is not known"


@dataclass(frozen=True)
class Priced:
    """A line with its price, in the money of the file.

    Attributes
    ----------
    line
        What it is.
    price
        Of one, or of a metre; nan without one.
    cost, spares_cost
        Of what is used, and of its spares; nan without a price.
    whole
        Key of the file whose price it is in; "" where it has its own or none.
    reason
        Why it has no cost; "" where it has.
    """

    line: Line
    price: Lanes
    cost: Lanes
    spares_cost: Lanes
    whole: str
    reason: str


@dataclass(frozen=True)
class Whole:
    """A price of the file for several lines together."""

    key: str
    cost: Lanes
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Group:
    """What a group of lines comes to.

    Attributes
    ----------
    name
        Of ``GROUPS``.
    cost, spares_cost
        Of the lines that have a price, and of their spares; nan where none has.
    lines, unpriced
        How many there are, and how many of them have no price.
    reason
        Why it comes to nothing that is known; "" where it does.
    """

    name: str
    cost: Lanes
    spares_cost: Lanes
    lines: Lanes
    unpriced: Lanes
    reason: str


@dataclass(frozen=True)
class Bill:
    """The whole list.

    Attributes
    ----------
    lines
        In the order of their groups.
    wholes
        Prices of several lines together.
    groups
        Their sums.
    parts, tools
        What becomes of the machine, and what is bought once: tools and what protects people.
    spares
        Of all groups.
    unused
        Names of prices that no line of this design has, or that another price covers.
    """

    lines: tuple[Priced, ...]
    wholes: tuple[Whole, ...]
    groups: tuple[Group, ...]
    parts: Group
    tools: Group
    unused: tuple[str, ...]

    @property
    def spares(self) -> Lanes:
        """Cost of all spares; nan where none has a price. [money]"""
        return _sum([group.spares_cost for group in self.groups])


def bill(plan: Plan) -> Bill:
    """Return the shopping list of a machine."""
    found = lines(plan)
    wholes = tuple(_wholes(plan.machine, found))
    priced = tuple(_priced(plan.machine, line, wholes) for line in found)
    groups = tuple(_group(name, (name,), priced, wholes) for name in GROUPS)
    others = tuple(name for name in GROUPS if name not in ONCE)
    return Bill(
        lines=priced,
        wholes=wholes,
        groups=groups,
        parts=_group("parts", others, priced, wholes),
        tools=_group("tools", ONCE, priced, wholes),
        unused=tuple(_unused(plan.machine, priced)),
    )


def _wholes(machine: Machine, found: Sequence[Line]) -> Iterator[Whole]:
    """Yield the prices of the file that are for several lines: of the pack, of what holds its cells, of the tools."""
    prices, source = machine.prices, machine.source
    pack = tuple(line.name for line in found if line.group == "pack")
    if prices is not None and is_known(prices.pack):
        yield Whole("prices.pack", typical_of(prices.pack), pack)
    elif not source.endless and typical_of(source.extra_cost) > 0.0:
        extra = typical_of(source.extra_cost * source.in_turn)
        yield Whole("source.extra_cost", extra, tuple(name for name in pack if name not in CELLS))
    if prices is not None and is_known(prices.tools):
        yield Whole("prices.tools", typical_of(prices.tools), tuple(line.name for line in found if line.group in ONCE))


def _priced(machine: Machine, line: Line, wholes: Sequence[Whole]) -> Priced:
    whole = next((whole.key for whole in wholes if line.name in whole.lines), "")
    if whole:
        return Priced(line, np.nan, np.nan, np.nan, whole, f"it is in {whole}")
    price, amount = _price(machine, line), line.amount
    if not is_known(price):
        return Priced(line, np.nan, np.nan, np.nan, "", NO_PRICE)
    if not is_known(amount):
        return Priced(line, price, np.nan, np.nan, "", NO_AMOUNT)
    if _of_its_class(machine, line):
        line = replace(line, says="; ".join(part for part in (line.says, CLASS_PRICE) if part))
    spares = np.nan if line.sold == METRE else typical_of(buying.cost_of(price, line.spares))
    return Priced(line, price, typical_of(buying.cost_of(price, amount)), spares, "", "")


def _of_its_class(machine: Machine, line: Line) -> bool:
    """Return whether what one costs is the usual price of its class, as the file gives none."""
    own = {part.name for part in machine.part_prices}
    cell = machine.pedigree.get("source.cell.price")
    return line.name in CELLS and address_name(line.name) not in own and cell is not None and cell.basis == "assumed"


def _price(machine: Machine, line: Line) -> Lanes:
    """Return what one costs: by the list of prices, else by the cell's own; nan where nothing says."""
    name, source = address_name(line.name), machine.source
    said = [typical_of(part.each) for part in machine.part_prices if part.name == name]
    if said:
        return said[0]
    if line.name == READY_MADE:
        return typical_of(buying.cost_of(source.cell.price, source.series))  # its cells share the label's price
    return typical_of(source.cell.price) if line.name in CELLS else np.nan


def _group(name: str, groups: Sequence[str], priced: Sequence[Priced], wholes: Sequence[Whole]) -> Group:
    here = [one for one in priced if one.line.group in groups]
    names = {one.line.name for one in here}
    together = [whole.cost for whole in wholes if names & set(whole.lines) and _mine(whole, groups)]
    bare = [one for one in here if not one.whole and not is_known(one.cost)]
    cost = _sum([*together, *(one.cost for one in here)])
    return Group(
        name=name,
        cost=cost,
        spares_cost=_sum([one.spares_cost for one in here]),
        lines=counted(len(here), "lines of the shopping list"),
        unpriced=counted(len(bare), "lines of the shopping list without a price"),
        reason="" if is_known(cost) else _why_nothing(here),
    )


def _why_nothing(here: Sequence[Priced]) -> str:
    if not here:
        return "this machine takes nothing of it"
    elsewhere = {one.whole for one in here}
    return NOTHING_PRICED if "" in elsewhere else f"it is in {' and '.join(sorted(elsewhere))}"


def _mine(whole: Whole, groups: Sequence[str]) -> bool:
    """Return whether a price of several lines counts here: that of the tools in their own group, not twice."""
    return whole.key != "prices.tools" or "tools" in groups


def _sum(costs: Sequence[Lanes]) -> Lanes:
    """Return what costs come to that are known; nan where none is. [money]"""
    there = [typical_of(cost) for cost in costs if is_known(cost)]
    return typical_of(sum(there)) if there else np.nan


def _unused(machine: Machine, priced: Sequence[Priced]) -> Iterator[str]:
    taken = {address_name(one.line.name) for one in priced if not one.whole}
    for part in machine.part_prices:
        if part.name not in taken:
            yield part.name.replace("·", ".")
