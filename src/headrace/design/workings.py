"""The record of a design with the working behind each of its numbers, and the addresses they have.

After solving, one last pass of plain law calls at the solution is listened to. An address is the path of a number in
the record: list names and units are left out, items go by their name, so ``losses.grass.controller.loss``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from headrace.design import Design, gathered
from headrace.design.day_workings import traced_run
from headrace.design.losses import losses
from headrace.design.record import Record, design_record, pack_record
from headrace.findings import Evidence, Judged, judge
from headrace.machine.records import Machine
from headrace.machine.values import with_leaves
from headrace.physics.law import Law, law_named
from headrace.physics.working import Node, Traced, leaves, listening
from headrace.tables import sources

UNIT = re.compile(r"_(rad_s|m_s|N_m|ohm|kg|m2|W|J|V|A|s|K|m)$")
LISTS = ("states", "links", "candidates", "reasons", "variants", "tests", "groups")  # left out: their items have names
HEADLINES = ("day.lasts_to_reserve_s", "day.tool_speed_full_rad_s", "day.tool_speed_empty_rad_s", "pack.energy_J")
NAMES = ("name", "slug", "address")  # of these an item of a list is called by the first it has
COUNTED = ("outcomes", "lasts_outcomes", "draws", "sometimes", "running")  # counts of draws have nothing behind them


def worked_record(design: Design, asked: tuple[str, ...] = ()) -> Record:
    """Return the record of a design of one lane, its numbers knowing their working."""
    machine = design.machine
    with listening(_curves(machine)):
        plan = with_leaves(machine)
        found = _regathered(plan, design.evidence)
        again = Design(
            machine=plan,
            day=traced_run(plan, machine, design.day),
            lasts=traced_run(plan, machine, design.lasts),
            losses=losses(plan, design.day),
            lowest_charges=tuple(
                replace(low, charge=leaves(float(low.charge), "search", "lowest of 1001 charges that still works"))
                for low in design.lowest_charges
            ),
            evidence=found,
            judged=judge(found),
        )
        return design_record(again, asked)


def worked_judged(machine: Machine, evidence: Evidence) -> tuple[Judged, ...]:
    """Return the verdict of every rule on a machine of one lane, its numbers knowing their working."""
    with listening(_curves(machine)):
        return judge(_regathered(with_leaves(machine), evidence))


def worked_pack(machine: Machine, evidence: Evidence) -> Record:
    """Return what the pack of a machine of one lane is, its numbers knowing their working."""
    with listening(_curves(machine)):
        plan = with_leaves(machine)
        return pack_record(plan, _regathered(plan, evidence))


def _regathered(plan: Machine, evidence: Evidence) -> Evidence:
    days = leaves(evidence.days, "march", "one of the four days")
    carried = leaves(evidence.swings, "search", "mean power drawn, one band at a time")
    return gathered(plan, days, carried)


def _curves(machine: Machine) -> dict[int, str]:
    cell = machine.source.cell
    rest, warmth = f"rest voltages of table {cell.ocv_table}", f"entropy curve of table {cell.ocv_table}"
    return {
        id(cell.ocv_charge): rest,
        id(cell.ocv_volts): rest,
        id(cell.entropy_charge): warmth,
        id(cell.entropy_slope): warmth,
    }


def addresses(record: Mapping[str, Any], *, counts: bool = False) -> dict[str, Any]:
    """Return every number of a record by its address, the counts of its draws only where asked for."""
    found: dict[str, Any] = {}
    for address, value in _walk(record, (), () if counts else COUNTED):
        if address in found:
            raise ValueError(f"two numbers at {address}")
        found[address] = value
    return found


def _walk(value: Any, path: tuple[str, ...], left_out: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    if isinstance(value, bool | str) or value is None:
        return
    if isinstance(value, int | float):
        yield ".".join(path), value
    elif isinstance(value, dict):
        for key, part in value.items():
            if key in left_out:
                continue
            step = () if key in LISTS and path else (UNIT.sub("", _slug(key)),)
            yield from _walk(part, (*path, *step), left_out)
    elif isinstance(value, list):
        for place, part in enumerate(value):
            yield from _walk(part, (*path, _called(part, place)), left_out)


def _called(item: Any, place: int) -> str:
    if isinstance(item, dict):
        for name in NAMES:
            if name in item:
                return _slug(item[name])
        if {"series", "parallel"} <= item.keys():
            return f"{item['series']:.0f}s{item['parallel']:.0f}p"
    return str(place)


def _slug(name: str) -> str:
    return re.sub(r"[^\w.\[\]]+", "-", name).strip("-")


def headline_workings(design: Design) -> Record:
    """Return the workings a report shows: those of its headlines, by their keys in the record."""
    known = addresses(worked_record(design))
    found = {address: working_at(known, address) for address in HEADLINES}
    return {address: tree(node, address=address) for address, node in found.items() if node is not None}


def working_at(known: Mapping[str, Any], address: str) -> Node | None:
    """Return the working at one of the addresses of a worked record, or None where there is no such number.

    The unit at the end of a name may be given or left out, and a number of the file may go by its own address.
    """
    for name in (address, without_unit(address), file_number(address)):
        if name in known:
            return _node(name, known[name])
    return None


def file_number(address: str) -> str:
    """Return where the record of a design has a number of the file, by the number's own address."""
    return f"numbers.{_slug(address)}.value"


def without_unit(address: str) -> str:
    """Return an address without the units at the ends of its names."""
    return ".".join(UNIT.sub("", part) for part in address.split("."))


def _node(address: str, value: Any) -> Node:
    if isinstance(value, Traced):
        return value.node
    words = "channel of the march" if address.startswith("trace.") else "a count"
    return Node(float(value), "march" if address.startswith("trace.") else "search", words)


def tree(node: Node, name: str = "", address: str | None = None, seen: set[int] | None = None) -> Record:
    """Return a working as plain data, down to its leaves; what stands further up already is not opened again."""
    seen = set() if seen is None else seen
    origin, law = node.origin, _law(node)
    repeated = id(node.inputs) in seen and bool(node.inputs)  # another result of the same call counts as well
    seen.add(id(node.inputs))
    return {
        "name": name or node.name,
        "address": address or (origin.address if origin is not None else None),
        "kind": node.kind,
        "law": law.name if law is not None else None,
        "says": f"{node.part.rpartition('.')[2].replace('_', ' ')}: {node.name}" if node.part else node.name,
        "formula": law.formula if law is not None else None,
        "value": node.value if math.isfinite(node.value) else None,
        "unit": _unit(node, law),
        "basis": origin.basis if origin is not None else None,
        "source": _source(origin),
        "low": origin.low if origin is not None and origin.low < origin.high else None,
        "high": origin.high if origin is not None and origin.low < origin.high else None,
        "line": origin.line if origin is not None and origin.line else None,
        "repeated": repeated,
        "inputs": [] if repeated else [tree(part, part_name, seen=seen) for part_name, part in node.inputs],
    }


def _unit(node: Node, law: Law | None) -> str:
    if node.origin is not None:
        return str(node.origin.unit)
    return law.unit if law is not None and "," not in law.unit and law.unit != "any" else ""


def _law(node: Node) -> Law | None:
    return law_named(node.name) if node.kind == "law" else None


def _source(origin: Any) -> str | None:
    if origin is None:
        return None
    known = sources().get(origin.source)
    return known.title if known is not None else str(origin.source)
