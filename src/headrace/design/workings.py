"""The record of a design with the working behind each of its numbers, and the addresses they have.

After solving, one last pass of plain law calls at the solution is listened to. An address is the path of a number in
the record: list names and units are left out, items go by their name, so ``losses.grass.controller.loss``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from headrace.design import Design, gathered
from headrace.design.day_workings import traced_run
from headrace.design.gearing import gearings
from headrace.design.losses import losses
from headrace.design.record import Record, design_record, pack_record
from headrace.design.seasons import seasons
from headrace.design.windings import windings
from headrace.drive.tools import tool_of
from headrace.findings import Days, Evidence, Judged, judge
from headrace.machine.naming import ENDINGS, UNIT
from headrace.machine.pedigree import FILE
from headrace.machine.records import Machine
from headrace.machine.values import slug, with_leaves
from headrace.machine.works import Measured
from headrace.pack.charging import sensor_points
from headrace.physics.law import Law, law_named
from headrace.physics.working import Node, Traced, leaves, listening
from headrace.tables import load, sources

BAND = ("typical", "low", "high")
LISTS = ("states", "links", "candidates", "reasons", "variants", "tests", "groups")  # left out: their items have names
HEADLINES = ("day.lasts_to_reserve_s", "pack.energy_J")  # beside the speeds, which each kind of tool has its own of
NAMES = ("name", "slug", "address")  # of these an item of a list is called by the first it has
DAYS = {
    "new": "a day with new cells in the usual weather",
    "aged": "a day with worn cells in the usual weather",
    "hot": "a day with new cells in the hottest weather",
    "hot_aged": "a day with worn cells in the hottest weather",
}
# counts of draws have nothing behind them
COUNTED = ("outcomes", "lasts_outcomes", "draws", "sometimes", "running", "stopped")


def worked_record(design: Design, asked: tuple[str, ...] = ()) -> Record:
    """Return the record of a design of one lane, its numbers knowing their working."""
    machine = design.machine
    with listening(_curves(machine)):
        plan = with_leaves(machine)
        found = _regathered(plan, design.evidence)
        day = traced_run(plan, machine, design.day)
        older = leaves(design.aged, "march", "a full charge with older cells")
        again = Design(
            machine=plan,
            day=day,
            lasts=traced_run(plan, machine, design.lasts),
            losses=losses(plan, design.day),
            lowest_charges=tuple(
                replace(low, charge=leaves(float(low.charge), "search", "lowest of 1001 charges that still works"))
                for low in design.lowest_charges
            ),
            gearings=gearings(plan, found.days),
            windings=windings(plan, found.days),
            aged=older,
            seasons=seasons(plan, day, older, found.charging),
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
    days = Days(**{name: leaves(getattr(evidence.days, name), "march", words) for name, words in DAYS.items()})
    carried = leaves(evidence.swings, "search", "mean power drawn, one band at a time")
    return gathered(plan, days, carried)


def _curves(machine: Machine) -> dict[int, str]:
    cell = machine.source.cell
    rest, warmth = f"rest voltages of table {cell.ocv_table}", f"entropy curve of table {cell.ocv_table}"
    measured = {
        id(curve): f"measured torque in chains.{chain.name}.work.points"
        for chain in machine.chains
        if isinstance(chain.work, Measured)
        for curve in (chain.work.table_speed, chain.work.table_torque)
    }
    sensor = sources()[load("thermistor")[0]["source"]].title
    return measured | {
        **{id(points): sensor for points in sensor_points()},
        id(cell.ocv_charge): rest,
        id(cell.ocv_volts): rest,
        id(cell.entropy_charge): warmth,
        id(cell.entropy_slope): warmth,
    }


def addresses(record: Mapping[str, Any], *, counts: bool = False) -> dict[str, Any]:
    """Return every number of a record by its address, the counts of its draws only where asked for."""
    found: dict[str, Any] = {}
    for address, value, _ in _walk(record, (), () if counts else COUNTED):
        if address in found:
            raise ValueError(f"two numbers at {address}")
        found[address] = value
    return found


def units(record: Mapping[str, Any]) -> dict[str, str]:
    """Return the units of a record's numbers by address, as their keys name them; "" where a key names none."""
    return {address: unit for address, _, unit in _walk(record, (), ())}


def _walk(
    value: Any, path: tuple[str, ...], left_out: tuple[str, ...], unit: str = ""
) -> Iterator[tuple[str, Any, str]]:
    if isinstance(value, bool | str) or value is None:
        return
    if isinstance(value, int | float):
        yield ".".join(path), value, unit
    elif isinstance(value, dict):
        for key, part in value.items():
            if key in left_out:
                continue
            step = () if key in LISTS and path else (UNIT.sub("", slug(key)),)
            ending = UNIT.search(key)
            own = ENDINGS[ending[1]] if ending else unit if key in BAND else str(value.get("unit", ""))
            yield from _walk(part, (*path, *step), left_out, own)
    elif isinstance(value, list):
        for place, part in enumerate(value):
            yield from _walk(part, (*path, _called(part, place)), left_out, unit)


def _called(item: Any, place: int) -> str:
    if isinstance(item, dict):
        for name in NAMES:
            if name in item:
                return slug(item[name])
        if {"series", "parallel"} <= item.keys():
            return f"{item['series']:.0f}s{item['parallel']:.0f}p"
    return str(place)


def headline_workings(design: Design) -> Record:
    """Return the workings a report shows: those of its headlines, by their keys in the record."""
    record = worked_record(design)
    known, unit = addresses(record), units(record)
    pace = tool_of(design.machine.chains[0].work).pace
    speeds = [f"day.{name}" for name in ("tool_speed_full_rad_s", pace.field("full"))]
    lasts = ("day.duration_s",) if design.machine.source.endless else HEADLINES
    found = {address: working_at(known, address) for address in (*lasts, *speeds)}
    return {
        address: tree(node, address=address, unit=unit[without_unit(address)])
        for address, node in found.items()
        if node is not None
    }


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
    return f"numbers.{slug(address)}.value"


def without_unit(address: str) -> str:
    """Return an address without the units at the ends of its names."""
    return ".".join(UNIT.sub("", part) for part in address.split("."))


def _node(address: str, value: Any) -> Node:
    if isinstance(value, Traced):
        return value.node
    words = "channel of the march" if address.startswith("trace.") else "a count"
    return Node(float(value), "march" if address.startswith("trace.") else "search", words)


def tree(
    node: Node, name: str = "", address: str | None = None, seen: set[int] | None = None, unit: str = ""
) -> Record:
    """Return a working as plain data, down to its leaves; what stands further up already is not opened again.

    Parameters
    ----------
    node
        The number.
    name
        What whoever uses it calls it; left out, its own.
    address
        In the record.
    seen
        What stands further up.
    unit
        In which whoever uses it takes it, where it does not know its own.
    """
    seen = set() if seen is None else seen
    origin, law = node.origin, _law(node)
    repeated = id(node.inputs) in seen and bool(node.inputs)  # another result of the same call counts as well
    seen.add(id(node.inputs))
    inputs = [] if repeated else node.inputs
    own = _unit(node, law) or unit
    handed = own if node.kind == "arithmetic" and node.name in SAME else ""
    return {
        "name": name or node.name,
        "address": address or (origin.address if origin is not None else None),
        "kind": node.kind,
        "law": law.name if law is not None else None,
        "title": law.title if law is not None else None,
        "says": f"{node.part.rpartition('.')[2].replace('_', ' ')}: {node.name}" if node.part else node.name,
        "formula": law.formula if law is not None else None,
        "value": node.value if math.isfinite(node.value) else None,
        "unit": own,
        "basis": origin.basis if origin is not None else None,
        "source": source_in_words(origin),
        "low": origin.low if origin is not None and origin.low < origin.high else None,
        "high": origin.high if origin is not None and origin.low < origin.high else None,
        "line": origin.line if origin is not None and origin.line else None,
        "repeated": repeated,
        "inputs": [
            tree(part, part_name, seen=seen, unit=_unit_of_input(law, part_name, part) or handed)
            for part_name, part in inputs
        ],
    }


# of what a march and an operating point are told by
FIELDS = {
    "time": "s", "charge": "-", "tool_speed": "rad/s", "motor_speed": "rad/s", "battery_current": "A",
    "motor_current": "A", "terminal_voltage": "V", "bus_voltage": "V", "cell_voltage": "V", "winding": "K", "case": "K",
    "cell_temperature": "K", "cell_temperature_after": "K", "winding_after": "K", "slow_voltages": "V",
}  # fmt: skip


def _unit_of_input(law: Law | None, name: str, node: Node) -> str:
    field = node.part or (node.name.partition(",")[0] if node.kind == "march" else name)
    own = FIELDS.get(field.partition(".")[0]) or FIELDS.get(field.rpartition(".")[2], "")
    return (law.unit_of(name) if law is not None else "") or own


TERMS = ("power", "constant", "linear", "square")  # fields of what a law gives as terms, in the order of their units
SAME = ("add", "sub", "subtract", "neg", "abs", "absolute", "maximum", "minimum", "positive")  # give what they take
PRODUCTS = {("A", "V"): "W", ("A·s", "V"): "J", ("A", "Ω"): "V", ("Pa", "m²"): "N", ("N·m", "rad/s"): "W"}


def _unit(node: Node, law: Law | None) -> str:
    if node.origin is not None:
        return str(node.origin.unit)
    if law is not None:
        if any(part.kind == "constant" and part.value == 1.0 and law.unit_of(k) == law.unit for k, part in node.inputs):
            return "-"  # asked for one unit of what it gives, it gives a ratio
        return _unit_of_part(law.unit.split(", "), node.part.rpartition(".")[2])
    return _unit_of_sum(node) if node.kind == "arithmetic" else ""


def _unit_of_part(units: list[str], part: str) -> str:
    if len(units) > 1:
        place = int(part) if part.isdigit() else TERMS.index(part) if part in TERMS else len(units)
        return units[place] if place < len(units) else ""
    return "" if units[0] == "any" else units[0]


def _unit_of_sum(node: Node) -> str:
    """Return the unit of a sum, of a product with plain numbers, or of one whose unit has a name; else ""."""
    plain = [part for _, part in node.inputs if part.kind == "constant"]
    units = [_unit(part, _law(part)) for _, part in node.inputs if part not in plain]
    if "" in units or not units:
        return ""
    if node.name in SAME:
        return units[0]
    known = [unit for unit in units if unit != "-"]
    if node.name in ("mul", "multiply"):
        if len(known) < 2:
            return known[0] if known else "-"
        return PRODUCTS.get((known[0], known[1])) or PRODUCTS.get((known[1], known[0]), "")
    if node.name in ("truediv", "divide") and len(units) == len(node.inputs):
        return units[0] if units[1] == "-" else "-" if units[0] == units[1] else ""
    if node.name in ("truediv", "divide"):
        return units[0] if node.inputs[1][1].kind == "constant" else ""
    return ""


def _law(node: Node) -> Law | None:
    return law_named(node.name) if node.kind == "law" else None


def source_in_words(origin: Any) -> str | None:
    """Return where a number comes from by the title of its source, with what it was made of where it was made."""
    if origin is None:
        return None
    said = str(origin.source)
    known = sources().get(said)
    if known is not None:
        return known.title
    made, _, of = said.removesuffix(")").rpartition(" (")  # worked out of a number that has a source of its own
    known = sources().get(of) if made else None
    if known is not None:
        return f"{made}; {known.title}"
    return made if of == FILE and FILE in made else said
