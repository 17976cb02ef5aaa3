"""Writing a machine file back: comments and order stay, and a file is whole or not there."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping, MutableMapping
from importlib.resources import files
from pathlib import Path
from secrets import token_hex
from typing import Any

import tomlkit
from tomlkit.exceptions import ParseError
from tomlkit.items import AoT

from headrace.machine.form import File
from headrace.machine.form_parts import PartsFile
from headrace.machine.form_table import Table
from headrace.machine.loose import link_name
from headrace.machine.problems import Problem, refuse
from headrace.machine.quantities import TABLE_SCHEMA

STARTERS = ("mower", "tiller", "auger", "saw", "chipper", "fan", "winch", "cart", "pump", "shaft", "measured", "corded")
QUANTITY = "Quantity"  # what the schema calls the table of a quantity


def edit(text: str, values: Mapping[str, Any]) -> str:
    """Return a machine file's text with other values at some addresses.

    Parameters
    ----------
    text
        The file as it is; comments and order are kept.
    values
        What to write, by key and name: ``source.series``, ``chains.blade.motor.resistance``,
        ``chains.blade.work.mass``, ``job.tall grass.sward``. Tables that are missing are added.

    Raises
    ------
    KeyError
        An address names a chain, link or state that the file does not have, or goes on behind a plain value.
    MachineFileError
        The text is no TOML.
    """
    try:
        document = tomlkit.parse(text)
    except ParseError as trouble:
        refuse("machine.toml", [Problem("machine.toml", trouble.line, "the file", "", f"is no sound TOML: {trouble}")])
    for address, value in values.items():
        *way, key = address.split(".")
        table: Any = document
        for depth, name in enumerate(way):
            table = _step(table, way[:depth], name, address)
        _put(_held(table, address), key, value)
    return tomlkit.dumps(document)


def _step(table: Any, way: list[str], name: str, address: str) -> Any:
    """Go one name down: into a table, or into the entry of that name in an array of tables."""
    if way in (["chains"], ["auxiliaries"]):
        return _named(table, name, address)
    if len(way) == 2 and way[0] == "balance":  # its lists of parts
        return _named(table, name, address)
    if len(way) == 2 and way[0] == "chains" and name != "work":
        return _named(table.get("links", ()), name, address)
    _held(table, address)
    if way == ["job"]:
        return _named(table.get("states", ()), name, address)
    if isinstance(table.get(name), str):  # source.cell by its name alone becomes a table that can say more
        _put(table, name, {"shelf": str(table[name])})
    if name not in table:
        table[name] = tomlkit.table()
    return table[name]


def _held(table: Any, address: str) -> Any:
    """Return a table; behind a plain value or a list no address goes on."""
    if not isinstance(table, MutableMapping):
        raise KeyError(address)
    return table


def _named(entries: Any, name: str, address: str) -> Any:
    for entry in entries:
        if name in (entry.get("name"), link_name(entry)):
            return entry
    raise KeyError(address)


def _put(table: Any, key: str, value: Any) -> None:
    """Set a key; a table that becomes a plain value, or the other way round, is taken out first."""
    if isinstance(value, dict):
        inline = tomlkit.inline_table()
        inline.update(value)
        value = inline
    if isinstance(table.get(key), dict | AoT):
        del table[key]
    table[key] = value


def save(path: Path | str, content: str | bytes) -> None:
    """Write a file so that it is either the old one or the whole new one, whatever happens in between.

    Raises
    ------
    OSError
        The folder cannot be written into.
    """
    path = Path(path)
    beside = path.with_name(f".{path.name}.{token_hex(4)}")
    try:
        with beside.open("xb") as file:
            file.write(content.encode() if isinstance(content, str) else content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def starter(kind: str) -> str:
    """Return the commented starter of a kind of machine, one of ``STARTERS``."""
    return (files("headrace.machine") / "starters" / f"{kind}.toml").read_text(encoding="utf-8")


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a machine file, for editors; ``machine.schema.json`` in this folder is the same."""
    return _schema(File, "machine file")


def parts_schema() -> dict[str, Any]:
    """Return the JSON Schema of a file of a builder's own parts; ``parts.schema.json`` in this folder is the same."""
    return _schema(PartsFile, "file of parts")


def _schema(table: type[Table], title: str) -> dict[str, Any]:
    form = _shared(table.model_json_schema())
    form["$defs"][QUANTITY] = TABLE_SCHEMA
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **form, "title": title}


def _shared(part: Any) -> Any:
    """Return a schema that describes the table of a quantity once, not under every key."""
    if part == TABLE_SCHEMA:
        return {"$ref": f"#/$defs/{QUANTITY}"}
    if isinstance(part, dict):
        return {key: _shared(inner) for key, inner in part.items() if key != "default" or inner is not None}
    return [_shared(inner) for inner in part] if isinstance(part, list) else part
