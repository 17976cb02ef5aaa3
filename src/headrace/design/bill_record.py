"""The record of the shopping list, as plain data. It is that of the typical machine: one buys for one."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.machine.records import Machine
from headrace.machine.values import typical_of
from headrace.wiring.bill import NO_PRICED_SPARES, NOTHING_PRICED, Bill, Group, Priced, bill
from headrace.wiring.bill_line import METRE, Line, Plan, Rating
from headrace.wiring.cut import Cuts

Record = dict[str, Any]

COUNTED = "it is bought by the piece, and its count stands beside"
MEASURED = "it is bought by the metre, and its length stands beside"
IN_ITS_LENGTH = "it is bought by the metre, and what is wasted is in its length"


def bill_record(machine: Machine, evidence: Evidence, cut: Cuts) -> Record:
    """Return everything to be bought, group by group, and what it comes to."""
    source = machine.source
    plan = Plan(
        machine=machine,
        netlist=evidence.netlist,
        wires=evidence.runs,
        fused=evidence.fused,
        guard=evidence.guard,
        cuts=cut,
        weights={
            chain.name: [one.standing.weight_torque for one in evidence.slopes if one.chain == chain.name]
            for chain in machine.chains
        },
        full_voltage=typical_of(source.cell.nominal_voltage if source.endless else evidence.full_voltage),
    )
    found = bill(plan)
    return {
        "lines": [_line(one) for one in found.lines],
        "wholes": [{"name": whole.key, "cost": number(whole.cost), "of": list(whole.lines)} for whole in found.wholes],
        "sums": [_group(group) for group in found.groups],
        "totals": _totals(found),
        "unused": list(found.unused),
    }


def _line(priced: Priced) -> Record:
    line: Line = priced.line
    count, length, spares = number(line.count), number(line.length), number(priced.spares_cost)
    by_the_metre = line.sold == METRE
    return {
        "name": line.name,
        "group": line.group,
        "parts": list(line.parts),
        "sold": line.sold,
        "count": count,
        "count_reason": None if count is not None else MEASURED if by_the_metre else line.reason,
        "length_m": length,
        "length_reason": None if length is not None else line.reason if by_the_metre else COUNTED,
        "spares": number(line.spares),
        "reason": line.reason or None,
        "ratings": [_rating(rating) for rating in line.ratings],
        "says": line.says or None,
        "price": number(priced.price),
        "cost": number(priced.cost),
        "spares_cost": spares,
        "spares_reason": None if spares is not None else priced.reason or IN_ITS_LENGTH,
        "whole": priced.whole or None,
        "price_reason": priced.reason or None,
    }


def _rating(rating: Rating) -> Record:
    value = number(typical_of(rating.value))
    unit = f"_{rating.unit}" if rating.unit else ""
    return {"name": rating.name, f"value{unit}": value, "reason": rating.reason if value is None else None}


def _group(group: Group) -> Record:
    spares = number(group.spares_cost)
    return {
        "name": group.name,
        "cost": number(group.cost),
        "spares_cost": spares,
        "spares_reason": None if spares is not None else group.reason or NO_PRICED_SPARES,
        "lines": number(group.lines),
        "unpriced": number(group.unpriced),
        "reason": group.reason or None,
    }


def _totals(found: Bill) -> Record:
    spares = number(found.spares)
    return {
        "parts": _group(found.parts),
        "tools": _group(found.tools),
        "spares_cost": spares,
        "spares_reason": NOTHING_PRICED if spares is None else None,
    }
