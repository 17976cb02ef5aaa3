"""Files as people hand them in: bytes to text to TOML, and complaints to problems with a line each."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path as FilePath
from typing import Any, TypeVar

from pydantic import ValidationError

from headrace.machine.form_table import Table
from headrace.machine.places import Path, line_of
from headrace.machine.problems import Problem, key_of, refuse, shown
from headrace.machine.wording import NOTHING, Said, complaints

Form = TypeVar("Form", bound=Table)

_BARE = re.compile(r"\s*(?P<key>[\w.-]+)\s*=\s*(?P<value>[-+]?[\d.,]+[^\"'#\[{]*)")
_PLACE = re.compile(r"\s*\(at line (\d+), column \d+\)|\s*\(at end of document\)")


def text_of(path: FilePath | str, *, way_out: str, call: str) -> str:
    """Return the text of a file.

    Parameters
    ----------
    path
        The file.
    way_out
        What helps where there is no such file.
    call
        What kind of file it should be, with its article.

    Raises
    ------
    MachineFileError
        It is missing or no text.
    """
    name = FilePath(path).name or str(path)
    try:
        raw = FilePath(path).read_bytes()
    except (OSError, ValueError) as trouble:
        refuse(name, [Problem(name, 0, "the file", "", *_unreadable(FilePath(path), trouble, way_out, call))])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = raw.count(b"\n", 0, trouble.start) + 1
        refuse(name, [Problem(name, line, "the file", "", "must be text in UTF-8", "save it again with that encoding")])


def _unreadable(path: FilePath, trouble: Exception, way_out: str, call: str) -> tuple[str, str]:
    """Return why a file cannot be read, and the way out."""
    if isinstance(trouble, FileNotFoundError):
        return "cannot be read: there is no such file", way_out
    if isinstance(trouble, IsADirectoryError):
        inside = sorted(path.glob("*.toml"))
        return "cannot be read: it is a folder", f"name the file in it{f', such as {inside[0]}' if inside else ''}"
    words = getattr(trouble, "strerror", None) or "no such place"
    return f"cannot be read: {words[:1].lower()}{words[1:]}", f"name {call} that you may read"


def toml_of(text: str, file: str) -> dict[str, Any]:
    """Return what a TOML text holds.

    Raises
    ------
    MachineFileError
        It is no sound TOML.
    """
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


def formed(form: type[Form], data: dict[str, Any], see: str) -> tuple[Form | None, list[Said]]:
    """Return a file's data in its form, None where something is wrong, and what that is.

    Parameters
    ----------
    form
        Of the whole file.
    data
        As read.
    see
        Where an example can be seen of what is missing.
    """
    try:
        return form.model_validate(data), []
    except ValidationError as trouble:
        return None, list(complaints(trouble.errors(include_url=False), data, form, see))


def beyond_64_bits(value: Any, path: Path) -> Iterator[Said]:
    """Yield the whole numbers that are larger than the format promises to hold."""
    if isinstance(value, int) and abs(value) >= 2**63:
        yield path, NOTHING, "must be a number of a sensible size", ""
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in parts:
        yield from beyond_64_bits(part, (*path, step))


def problems_of(file: str, lines: dict[Path, int], said: Iterable[Said], data: Any) -> list[Problem]:
    """Return complaints with the file, the line and the key of each."""
    return [
        Problem(file, line_of(lines, path), key_of(path, data), "" if value is NOTHING else shown(value), limit, hint)
        for path, value, limit, hint in said
    ]
