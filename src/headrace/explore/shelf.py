"""The record of the shelf: its classes, the parts of a class, and every number of a part as a machine would get it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from headrace.design.workings import source_in_words
from headrace.machine.complete_cell import complete_cell
from headrace.machine.complete_links import complete_motor
from headrace.machine.form_links import MotorTable
from headrace.machine.form_source import CellTable
from headrace.machine.naming import ENDINGS
from headrace.machine.pedigree import EXACT, Pedigree
from headrace.machine.records import Origin
from headrace.machine.shelf import Shelf
from headrace.tables import Row, units

Record = dict[str, Any]

LEAD = "lead-acid"
# Units as tables write them and as origins do, to the ending of a name; money and bare numbers have none.
ENDING_OF = {said: ending for ending, said in ENDINGS.items()} | {"ohm": "ohm", "m2": "m2"}
SAID_IN = {"ohm": "Ω", "m2": "m²"}
OWNER = re.compile(r"^(source\.cell|motor)\.")  # what the numbers of a part are fields of
INSIDE = "usual_"  # numbers of the shelf that only serve to work out those of a part


@dataclass(frozen=True)
class Class:
    """One class of parts: the table it lies in, and what it is for."""

    name: str
    table: str
    about: str


CLASSES = {
    one.name: one
    for one in (
        Class("cells", "cells", "lithium and sodium cells for a pack in series and parallel"),
        Class("batteries", "cells", "lead-acid batteries of 12 V, made in every size"),
        Class("motors", "motors", "direct-current motors, brushed or as equivalent DC"),
        Class("controllers", "controllers", "what stands between pack and motor and holds amps or speed"),
        Class("inverters", "inverters", "mains voltage from a battery, for corded machines"),
        Class("drives", "drives", "belts, chains, gears and worms between motor and tool"),
        Class("connectors", "connectors", "what is plugged, bolted or clamped in the main line"),
        Class("fuses", "fuses", "what parts a short circuit from the pack"),
        Class("contactors", "contactors", "what switches the main line, by hand or by a coil"),
    )
}


def shelf_record(shelf: Shelf) -> Record:
    """Return every class with the names of its parts."""
    return {
        "classes": [
            {"name": one.name, "about": one.about, "parts": len(names), "names": names}
            for one in CLASSES.values()
            for names in (names_in(shelf, one.name),)
        ]
    }


def class_record(shelf: Shelf, name: str) -> Record:
    """Return a class with every part in it."""
    parts = [part_record(shelf, name, part) for part in names_in(shelf, name)]
    return {"class": name, "about": CLASSES[name].about, "parts": parts}


def part_record(shelf: Shelf, name: str, part: str) -> Record:
    """Return a part: what it is in words, its numbers with their bands, and where each is from.

    The numbers of cells, batteries and motors are those a machine that names the part is given.
    """
    one = CLASSES[name]
    own = shelf.part(one.table, part)
    row = own.row
    said = own.own.model_fields_set if own.own is not None else set()
    texts = {
        column: str(own.typical[column])
        for column, unit in units(one.table).items()
        if not unit and column not in NO_TEXT
    }
    if "price" in said:
        texts["priced"] = ""  # the builder's own is not of the table's date
    of_its_own = {"like": row["name"], "file": own.file} if said else {}
    found = {_key(origin): origin for origin in _origins(shelf, one, part, row)}
    return {
        "class": name,
        "name": part,
        **of_its_own,
        **{column: text for column, text in texts.items() if text},
        **{key: {end: _finite(getattr(o, end)) for end in ("typical", "low", "high")} for key, o in found.items()},
        "origins": {key: {"basis": o.basis, "source": source_in_words(o)} for key, o in found.items()},
    }


NO_TEXT = ("name", "source", "basis")


def names_in(shelf: Shelf, name: str) -> list[str]:
    """Return the names of the parts in a class."""
    table = CLASSES[name].table
    if table == "cells":
        lead = name == "batteries"
        return [n for n in shelf.names(table) if (shelf.part(table, n).row["chemistry"] == LEAD) == lead]
    return shelf.names(table)


def _origins(shelf: Shelf, one: Class, part: str, row: Row) -> Iterator[Origin]:
    """Yield every number of a part."""
    if one.table == "cells":
        pedigree = Pedigree({}, shelf)
        complete_cell(pedigree, CellTable(shelf=part))
    elif one.table == "motors":
        pedigree = Pedigree({}, shelf)
        complete_motor(pedigree, MotorTable(kind="dc-motor", shelf=part), "motor", ())
        for column in ("voltage", "rated_speed"):  # at which the class is rated; a machine has its own
            pedigree.note(pedigree.row(f"motor.{column}", row, column, units("motors")[column], EXACT))
    else:
        yield from _of_the_table(one.table, row)
        return
    for origin in pedigree.origins.values():
        if math.isfinite(origin.typical) and not origin.address.rpartition(".")[2].startswith(INSIDE):
            yield origin


def _of_the_table(table: str, row: Row) -> Iterator[Origin]:
    """Yield the numbers of a row that has a column for each end of a band."""
    for column, unit in units(table).items():
        if unit and not column.endswith(("_low", "_high")):
            low, typical, high = (float(row[f"{column}{end}"]) for end in ("_low", "", "_high"))
            said = SAID_IN.get(unit, unit)
            yield Origin(column, str(row["basis"]), str(row["source"]), typical, low, high, said, "", 0)


def _key(origin: Origin) -> str:
    """Return the name of a number with its unit: ``slow_resistance_2_ohm``."""
    name, _, place = OWNER.sub("", origin.address).replace(".", "_").rstrip("]").partition("[")
    ending = ENDING_OF.get(origin.unit)
    return "_".join([name, *([str(int(place) + 1)] if place else []), *([ending] if ending else [])])


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
