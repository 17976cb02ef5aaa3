"""A builder's own parts: a file of cells and motors, each like one of the shelf, with what its sheet or a test says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Any

from headrace.machine.form import quantity_of
from headrace.machine.form_parts import OwnCell, OwnMotor, PartsFile
from headrace.machine.loose import tables, text
from headrace.machine.places import Path, line_of, places
from headrace.machine.problems import refuse
from headrace.machine.rules import cell_rules, motor_rules, once
from headrace.machine.shelf import NUMBERS, Part, Shelf
from headrace.machine.toml_text import beyond_64_bits, formed, problems_of, text_of, toml_of
from headrace.machine.wording import Said, did_you_mean, without_twins

BESIDE = "parts.toml"  # what a file of parts is called that is used without being named
SEE = "docs/shelf.md, where a cell is worked through"


def read_parts(path: FilePath | str) -> list[Part]:
    """Read a file of parts.

    Raises
    ------
    MachineFileError
        It is missing, no text, no TOML, or has problems; all of them are carried.
    """
    way_out = "name a file of parts that is there; docs/shelf.md shows how to write one"
    written = text_of(path, way_out=way_out, call="a file of parts")
    return parts_in(written, FilePath(path).name or str(path))


def parts_in(written: str, file: str = BESIDE) -> list[Part]:
    """Read the text of a file of parts.

    Parameters
    ----------
    written
        TOML.
    file
        What messages and sources call it.

    Raises
    ------
    MachineFileError
        It is no TOML or has problems; all of them are carried.
    """
    data, lines = toml_of(written, file), places(written)
    said = list(beyond_64_bits(data, ()))
    if said:  # such a number cannot even be printed in a complaint
        refuse(file, problems_of(file, lines, said, data))
    found, said = formed(PartsFile, data, SEE)
    said = without_twins([*said, *_rules(data)])
    if found is None or said:
        refuse(file, problems_of(file, lines, said, data))
    owns: dict[str, Sequence[OwnCell | OwnMotor]] = {"cells": found.cells, "motors": found.motors}
    return [
        Part(kind, own.name, Shelf().part(kind, own.like).row, _sourced(own, (kind, place), data, lines, file), file)
        for kind, parts in owns.items()
        for place, own in enumerate(parts)
    ]


def _sourced(own: OwnCell | OwnMotor, path: Path, data: Any, lines: dict[Path, int], file: str) -> OwnCell | OwnMotor:
    """Return a part whose numbers say where they stand, and have its basis where they have none of their own."""
    entry, update = data[path[0]][path[1]], {}
    for key in NUMBERS[str(path[0])].model_fields:
        quantity = quantity_of(type(own), key)
        if quantity is None or key not in entry:
            continue
        raw = entry[key] if isinstance(entry[key], dict) else {"value": entry[key]}
        written = quantity.read({"basis": own.basis, **raw})
        place = f"{file}, line {line_of(lines, (*path, key))}"
        source = f"{written.source} ({place})" if written.source else place
        update[key] = replace(written, text=getattr(own, key).text, source=source, elsewhere=True)
    return own.model_copy(update=update)


def _rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong between the keys of a file of parts, and between it and the shelf."""
    shelf = Shelf()
    for kind in NUMBERS:
        entries, known = tables(data.get(kind)), shelf.names(kind)
        yield from once((kind,), data, [text(entry.get("name")) for entry in entries])
        for place, entry in enumerate(entries):
            at: Path = (kind, place)
            if entry.get("name") in known:
                said = f"hides one of the shelf's {kind}"
                yield (*at, "name"), entry["name"], said, f'take another, such as "my-{entry["name"]}"'
            part = shelf.find(kind, entry.get("like"))
            if isinstance(entry.get("like"), str) and part is None:
                hint = did_you_mean(entry["like"], known)
                yield (*at, "like"), entry["like"], f"not one of {', '.join(known)}", hint
            row = part.row if part is not None else None
            for where, *said_of_it in cell_rules(entry, row) if kind == "cells" else motor_rules(entry):
                yield ((*at, *where), *said_of_it)
