"""The machines whose lists are looked at, each worked out once."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from headrace import design
from headrace.design.bill_record import bill_record
from headrace.design.cuts_record import cuts_record
from headrace.findings import Evidence
from headrace.machine import STARTERS, read, read_text, starter
from headrace.machine.records import Machine
from headrace.wiring.cut import Cuts
from headrace.wiring.cuts import cuts

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
FILES = {file.stem: file for file in sorted(EXAMPLES.rglob("*.toml"))}
ALL = (*STARTERS, *FILES)
Record = dict[str, Any]


@cache
def machine(name: str) -> Machine:
    """Return the machine of a starter or of an example."""
    return read(FILES[name]).machine if name in FILES else read_text(starter(name)).machine


@cache
def evidence(name: str) -> Evidence:
    """Return its evidence."""
    return design.evidence(machine(name))


def cut_list(plan: Machine, found: Evidence) -> Cuts:
    """Return its cut list."""
    return cuts(plan, found.netlist, found.runs)


def lists_of(plan: Machine, found: Evidence | None = None) -> tuple[Record, Record]:
    """Return the records of shopping list and cut list of a machine."""
    found = found or design.evidence(plan)
    cut = cut_list(plan, found)
    return bill_record(plan, found, cut), cuts_record(cut)


@cache
def lists(name: str) -> tuple[Record, Record]:
    """Return the records of a starter or of an example."""
    return lists_of(machine(name), evidence(name))


def lines(bill: Record) -> dict[str, Record]:
    """Return the lines of a shopping list by their names."""
    found = {line["name"]: line for line in bill["lines"]}
    assert len(found) == len(bill["lines"])
    return found


def rating(line: Record, name: str) -> float | None:
    """Return one rating of a line."""
    found = next(rating for rating in line["ratings"] if rating["name"] == name)
    value: float | None = next(value for key, value in found.items() if key.startswith("value"))
    return value
