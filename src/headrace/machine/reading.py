"""Reading a machine file: text to form to records, with every problem at once and every doubt asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from headrace.errors import MachineFileError
from headrace.machine.complete import complete
from headrace.machine.doubts import doubts
from headrace.machine.form import File
from headrace.machine.loose import table
from headrace.machine.loose import text as string
from headrace.machine.parts import BESIDE, read_parts
from headrace.machine.places import Path, line_of, places
from headrace.machine.problems import Problem, key_of, refuse, shown
from headrace.machine.records import Machine
from headrace.machine.rules import rules
from headrace.machine.said_back import said_back
from headrace.machine.shelf import Shelf
from headrace.machine.toml_text import beyond_64_bits, formed, problems_of, text_of, toml_of
from headrace.machine.wording import without_twins


@dataclass(frozen=True)
class Reading:
    """What a file says.

    Attributes
    ----------
    machine
        Completed from the tables.
    doubts
        What is read as written but asked about; each prints as its own lines.
    said_back
        Energies, charges and powers in other words, a line each.
    text
        The file as it is.
    variants
        What each of its variants sets, by the variant's name; ``read_variants`` reads them.
    shelf
        What it may name: the tables' parts, and the builder's own beside it.
    folder
        It lies in, where it was read from a file.
    """

    machine: Machine
    doubts: tuple[Problem, ...]
    said_back: tuple[str, ...]
    text: str
    variants: Mapping[str, Mapping[str, Any]]
    shelf: Shelf
    folder: FilePath | None = None


def read(path: FilePath | str) -> Reading:
    """Read a machine file, with the file of parts that it names or that lies beside it.

    Raises
    ------
    MachineFileError
        It is missing, no text, no TOML, or has problems; all of them are carried, those of the parts too.
    """
    text = text_of(path, way_out=f"headrace new mower {path}   writes one to fill in", call="a machine file")
    return read_text(text, FilePath(path).name or str(path), FilePath(path).parent)


def read_text(text: str, file: str = "machine.toml", folder: FilePath | None = None) -> Reading:
    """Read the text of a machine file.

    Parameters
    ----------
    text
        TOML.
    file
        What messages call it.
    folder
        It lies in; without one, only a file of parts that the text names is looked for, from here.

    Raises
    ------
    MachineFileError
        It is no TOML or has problems; all of them are carried.
    """
    data = toml_of(text, file)
    lines = places(text)
    said = list(beyond_64_bits(data, ()))
    if said:  # such a number cannot even be printed in a complaint
        refuse(file, problems_of(file, lines, said, data))
    shelf, of_the_parts = _shelf(data, lines, file, folder)
    found, said = formed(File, data, "a file that has one: headrace new mower FILE")
    said = without_twins([*said, *rules(data, shelf)])
    if found is None or said or of_the_parts:
        refuse(file, [*problems_of(file, lines, said, data), *of_the_parts])
    machine = complete(found, file, lines, shelf)
    return Reading(
        machine=machine,
        doubts=tuple(problems_of(file, lines, doubts(found, machine, shelf), data)),
        said_back=tuple(said_back(found)),
        text=text,
        variants={variant.name: variant.set for variant in found.variants},
        shelf=shelf,
        folder=folder,
    )


def _shelf(
    data: dict[str, Any], lines: dict[Path, int], file: str, folder: FilePath | None
) -> tuple[Shelf, list[Problem]]:
    """Return the shelf with the parts that a machine file names or that lie beside it, and what is wrong with them."""
    named = string(table(data.get("machine")).get("parts"))
    path = (folder or FilePath()) / (named or BESIDE)
    if not named and (folder is None or file == BESIDE or not path.is_file()):
        return Shelf(), []
    try:
        return Shelf(read_parts(path)), []
    except MachineFileError as trouble:
        there = path.is_file()
        at = ("machine", "parts")
        missing = [
            Problem(file, line_of(lines, at), key_of(at), shown(named), p.limit, p.hint) for p in trouble.problems
        ]
        return Shelf(whole=False), list(trouble.problems) if there else missing
