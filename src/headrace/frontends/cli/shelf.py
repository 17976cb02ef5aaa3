"""The verb that shows the shelf: its classes, the parts of one, every number of a part."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import Any

import click

from headrace.errors import MachineFileError
from headrace.frontends.cli.talk import as_text, refuse
from headrace.machine.naming import spoken
from headrace.machine.shelf import Shelf
from headrace.paper.bench_units import Bench, bench

Record = dict[str, Any]

# The numbers a part is chosen by, and the heads they stand under.
LEADING = {
    "cells": {
        "capacity_A_s": "capacity",
        "nominal_voltage_V": "nominal",
        "resistance_ohm": "resistance",
        "continuous_current_A": "for long",
        "mass_kg": "mass",
        "price": "price",
    },
    "motors": {
        "voltage_V": "voltage",
        "constant_V_s_rad": "constant",
        "resistance_ohm": "resistance",
        "rated_power_W": "rated",
        "rated_speed_rad_s": "at",
    },
    "controllers": {
        "max_voltage_V": "at most",
        "continuous_current_A": "for long",
        "peak_current_A": "at peak",
        "resistance_ohm": "resistance",
        "price": "price",
    },
    "inverters": {
        "power_W": "power",
        "input_V": "input",
        "idle_power_W": "idle",
        "efficiency": "efficiency",
        "price": "price",
    },
    "drives": {"efficiency": "efficiency", "ratio": "ratio", "power_W": "power", "price": "price"},
    "connectors": {
        "current_A": "for long",
        "voltage_V": "DC volts",
        "resistance_ohm": "resistance",
        "area_m2": "copper",
        "price": "price",
    },
    "fuses": {
        "current_A": "for long",
        "voltage_V": "DC volts",
        "breaking_current_A": "breaks",
        "resistance_ohm": "resistance",
        "price": "price",
    },
    "contactors": {
        "current_A": "for long",
        "voltage_V": "DC volts",
        "resistance_ohm": "resistance",
        "hold_power_W": "to hold",
        "price": "price",
    },
}
LEADING["batteries"] = LEADING["cells"]
SAID = ("class", "name", "origins", "priced")  # of a part's record, said elsewhere than in a line of words
ASSUMED = "Generic classes, no products: what no sheet says is assumed. Name a part to see its bands and sources."


def shelf(kind: str | None, name: str | None, parts: Path | None, as_json: bool) -> None:
    """Print the classes of the shelf, the parts of one, or the numbers of a part."""
    from headrace.explore.shelf import CLASSES, class_record, names_in, part_record, shelf_record

    stock = _stock(parts)
    if kind is None:
        record, table = shelf_record(stock), _classes
    elif kind not in CLASSES:
        holders = [held for held in CLASSES if kind in names_in(stock, held)]
        refuse(_no_class(kind, list(CLASSES), holders))
    elif name is None:
        record, table = class_record(stock, kind), _class
    elif name not in names_in(stock, kind):
        refuse(_no_part(kind, name, names_in(stock, kind)))
    else:
        record, table = part_record(stock, kind, name), _part
    click.echo(as_text(record) if as_json else table(record))


def _stock(parts: Path | None) -> Shelf:
    """Return the shelf, with the parts of a file; leave with 2 where that cannot be used."""
    if parts is None:
        return Shelf()
    from headrace.machine.parts import read_parts

    try:
        return Shelf(read_parts(parts))
    except MachineFileError as trouble:
        refuse(str(trouble))


def _no_class(kind: str, known: list[str], holders: list[str]) -> str:
    if holders:
        return f"error: {kind} is a part, not a class of the shelf\n  way out: headrace shelf {holders[0]} {kind}"
    return f"error: {kind} is no class of the shelf\n  way out: {_near(kind, known, 'classes are')}"


def _no_part(kind: str, name: str, known: list[str]) -> str:
    return f"error: {name} is not among the {kind} of the shelf\n  way out: {_near(name, known, f'{kind} are')}"


def _near(word: str, known: list[str], all_of_them: str) -> str:
    near = difflib.get_close_matches(word, known, 2)
    return f"did you mean {' or '.join(near)}?" if near else f"{all_of_them}: {', '.join(known)}"


def _classes(record: Record) -> str:
    lines = [f"  {one['name']:<13}{one['parts']:>3}  {one['about']}" for one in record["classes"]]
    return "\n".join(["On the shelf, with the parts in each class", *lines, "headrace shelf CLASS   shows them"])


def _class(record: Record) -> str:
    """Return a line for each part of a class with the numbers it is chosen by."""
    leading = LEADING[record["class"]]
    rows = [["", *leading.values()]]
    for part in record["parts"]:
        said = [bench(key, part[key]) for key in leading]
        rows.append([part["name"], *(f"{one.typical} {one.unit}".strip() for one in said)])
    dated = sorted({part["priced"] for part in record["parts"] if "priced" in part})
    prices = [f"Prices are of {' and '.join(dated)}, in money of your own country, give or take half."] if dated else []
    return "\n".join(
        [f"{record['class']}: {record['about']}", *_columns(rows, "<" + ">" * len(leading)), *prices, ASSUMED]
    )


def _part(record: Record) -> str:
    """Return every number of a part."""
    told = [f"  {spoken(key)}: {value}" for key, value in record.items() if isinstance(value, str) and key not in SAID]
    origins = record["origins"]
    cited = list(dict.fromkeys(origin["source"] for origin in origins.values()))
    rows = [["", "typical", "", "5 %", "95 %", "basis", "source"]]
    for key, origin in origins.items():
        rows.append([*_cells(bench(key, record[key])), origin["basis"], f"[{cited.index(origin['source']) + 1}]"])
    notes = [f"  [{place}] {source}" for place, source in enumerate(cited, start=1)]
    dated = [f"  The price is of {record['priced']}."] if "priced" in record else []
    return "\n".join([f"{record['name']}, of the {record['class']}", *told, *_columns(rows, "<><>><<"), *notes, *dated])


def _cells(one: Bench) -> list[str]:
    return [one.name, one.typical, one.unit, one.low, one.high]


def _columns(rows: list[list[str]], aligned: str) -> list[str]:
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  " + "  ".join(f"{cell:{side}{width}}" for cell, side, width in zip(row, aligned, wide, strict=True)).rstrip()
        for row in rows
    ]
