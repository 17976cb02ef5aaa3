"""The record of the shopping list, as plain data. It is that of the typical machine: one buys for one."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.machine.records import Machine
from headrace.wiring.bill import NOTHING_PRICED, Bill, Group, Priced, bill
from headrace.wiring.bill_line import Line, Plan, Rating
from headrace.wiring.cut import Cuts, one

Record = dict[str, Any]


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
        full_voltage=one(source.cell.nominal_voltage if source.endless else evidence.full_voltage),
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
    return {
        "name": line.name,
        "group": line.group,
        "parts": list(line.parts),
        "sold": line.sold,
        "count": number(line.count),
        "length_m": number(line.length),
        "spares": number(line.spares),
        "reason": line.reason or None,
        "ratings": [_rating(rating) for rating in line.ratings],
        "says": line.says or None,
        "price": number(priced.price),
        "cost": number(priced.cost),
        "spares_cost": number(priced.spares_cost),
        "whole": priced.whole or None,
        "price_reason": priced.reason or None,
    }


def _rating(rating: Rating) -> Record:
    value = number(one(rating.value))
    unit = f"_{rating.unit}" if rating.unit else ""
    return {"name": rating.name, f"value{unit}": value, "reason": rating.reason if value is None else None}


def _group(group: Group) -> Record:
    return {
        "name": group.name,
        "cost": number(group.cost),
        "spares_cost": number(group.spares_cost),
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
