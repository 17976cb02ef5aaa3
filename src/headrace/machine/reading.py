"""Reading a machine file: text to form to records, with every problem at once and every doubt asked."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from headrace.machine.complete import complete
from headrace.machine.doubts import doubts
from headrace.machine.form import File
from headrace.machine.places import Path, line_of, places
from headrace.machine.problems import Problem, key_of, refuse, shown
from headrace.machine.records import Machine
from headrace.machine.rules import rules
from headrace.machine.said_back import said_back
from headrace.machine.wording import NOTHING, Said, complaints, without_twins

_BARE = re.compile(r"\s*(?P<key>[\w.-]+)\s*=\s*(?P<value>[-+]?[\d.,]+[^\"'#\[{]*)")
_PLACE = re.compile(r"\s*\(at line (\d+), column \d+\)|\s*\(at end of document\)")


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
    """

    machine: Machine
    doubts: tuple[Problem, ...]
    said_back: tuple[str, ...]
    text: str
    variants: Mapping[str, Mapping[str, Any]]


def read(path: FilePath | str) -> Reading:
    """Read a machine file.

    Raises
    ------
    MachineFileError
        It is missing, no text, no TOML, or has problems; all of them are carried.
    """
    name = FilePath(path).name or str(path)
    try:
        raw = FilePath(path).read_bytes()
    except (OSError, ValueError) as trouble:
        refuse(name, [Problem(name, 0, "the file", "", *_unreadable(FilePath(path), trouble))])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = raw.count(b"\n", 0, trouble.start) + 1
        refuse(name, [Problem(name, line, "the file", "", "must be text in UTF-8", "save it again with that encoding")])
    return read_text(text, name)


def _unreadable(path: FilePath, trouble: Exception) -> tuple[str, str]:
    """Return why a file cannot be read, and the way out."""
    if isinstance(trouble, FileNotFoundError):
        return "cannot be read: there is no such file", f"headrace new mower {path}   writes one to fill in"
    if isinstance(trouble, IsADirectoryError):
        inside = sorted(path.glob("*.toml"))
        return "cannot be read: it is a folder", f"name the file in it{f', such as {inside[0]}' if inside else ''}"
    words = getattr(trouble, "strerror", None) or "no such place"
    return f"cannot be read: {words[:1].lower()}{words[1:]}", "name a machine file that you may read"


def read_text(text: str, file: str = "machine.toml") -> Reading:
    """Read the text of a machine file.

    Parameters
    ----------
    text
        TOML.
    file
        What messages call it.

    Raises
    ------
    MachineFileError
        It is no TOML or has problems; all of them are carried.
    """
    data = _toml(text, file)
    lines = places(text)
    said = list(_beyond_64_bits(data, ()))
    if said:  # such a number cannot even be printed in a complaint
        refuse(file, _problems(file, lines, said, data))
    found = None
    try:
        found = File.model_validate(data)
    except ValidationError as trouble:
        said += complaints(trouble.errors(include_url=False), data)
    said = without_twins([*said, *rules(data)])
    if found is None or said:
        refuse(file, _problems(file, lines, said, data))
    machine = complete(found, file, lines)
    return Reading(
        machine=machine,
        doubts=tuple(_problems(file, lines, doubts(found, machine), data)),
        said_back=tuple(said_back(found)),
        text=text,
        variants={variant.name: variant.set for variant in found.variants},
    )


def _toml(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        refuse(
            file,
            [Problem(file, 0, "the file", "", "is nested too deeply", "nest a few deep at most")],
        )
    except ValueError as trouble:  # of TOML, or a number with thousands of digits
        found = _PLACE.search(str(trouble))
        line = int(found[1]) if found and found[1] else text.count("\n") + 1
        words = _PLACE.sub("", str(trouble))
        said = f"is no sound TOML: {words[:1].lower()}{words[1:]}"
        hint = _bare_quantity(text, line) or f'mend line {line}, or the one before it; a key reads: name = "text"'
        refuse(file, [Problem(file, line, "the file", "", said, hint)])


def _bare_quantity(text: str, line: int) -> str:
    """Return a hint where a quantity stands without its quotation marks."""
    lines = text.splitlines()
    written = _BARE.match(lines[line - 1]) if 0 < line <= len(lines) else None
    if written is None:
        return ""
    return f'a quantity with a unit stands in quotation marks: {written["key"]} = "{written["value"].strip()}"'


def _beyond_64_bits(value: Any, path: Path) -> Iterator[Said]:
    """Yield the whole numbers that are larger than the format promises to hold."""
    if isinstance(value, int) and abs(value) >= 2**63:
        yield path, NOTHING, "must be a number of a sensible size", ""
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in parts:
        yield from _beyond_64_bits(part, (*path, step))


def _problems(file: str, lines: dict[Path, int], said: Iterable[Said], data: Any) -> list[Problem]:
    return [
        Problem(file, line_of(lines, path), key_of(path, data), "" if value is NOTHING else shown(value), limit, hint)
        for path, value, limit, hint in said
    ]
