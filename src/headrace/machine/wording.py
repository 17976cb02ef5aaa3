"""What the form complains about, in our words: each complaint with its place, its value and the way out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from difflib import get_close_matches
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic_core import ErrorDetails

from headrace.machine.form_links import LINK_KINDS
from headrace.machine.form_source import SOURCE_KINDS, USUAL_SOURCE
from headrace.machine.form_table import Table
from headrace.machine.form_works import WORKS
from headrace.machine.places import Path
from headrace.machine.problems import key_of

KINDS = LINK_KINDS | SOURCE_KINDS | {kind: asks.table for kind, asks in WORKS.items()}
Said = tuple[Path, Any, str, str]  # where, the value (None where there is none), what must be, the way out
MEANT, MISSING = "did you mean ", "is missing"
NOTHING = object()  # no value to show
PAIR = '["1000 rpm", "4 N·m"]'  # a row of a table

PLAIN = {
    "string_type": "must be text",
    "int_type": "must be a whole number",
    "bool_type": "must be true or false",
    "list_type": "must be a list",
    "tuple_type": f"must be a pair, as {PAIR}",
    "model_type": "must be a table",
    "model_attributes_type": "must be a table",
    "dict_type": "must be a table",
    "greater_than_equal": "must be at least {ge}",
    "less_than_equal": "must be at most {le}",
    "too_short": "must have at least {min_length}",
    "too_long": "must have at most {max_length}",
    "string_too_short": "must not be empty",
    "string_too_long": "must have at most {max_length} characters",
    "string_pattern_mismatch": "must be a name on one line, without dots and brackets",
}


def complaints(errors: list[ErrorDetails], data: dict[str, Any], form: type[Table], see: str) -> Iterator[Said]:
    """Yield what is wrong with each key.

    Parameters
    ----------
    errors
        As the form lists them.
    data
        The file as read, before the form.
    form
        Of the whole file.
    see
        Where an example can be seen of what is missing.
    """
    for error in errors:
        path = _in_the_file(error["loc"], data)
        if error["type"] == "extra_forbidden":
            yield from _unknown(path, error, data, form)
        elif error["type"] == "missing":
            yield from _missing(path, see)
        else:
            yield from SPECIAL.get(error["type"], _plain)(path, error)


def without_twins(said: list[Said]) -> list[Said]:
    """Return complaints without those of a missing key whose misspelling is complained about already."""
    meant = {(*path[:-1], hint.removeprefix(MEANT).rstrip("?")) for path, _, _, hint in said if hint.startswith(MEANT)}
    return [one for one in said if not (one[2].startswith(MISSING) and one[0] in meant)]


# What people say for a word the file has, where the letters are no help.
SAID_FOR = {
    "brushless": "electronic",
    "chain": "roller-chain",
    "gearbox": "gears",
    "mower": "mowing-blade",
    "blade": "mowing-blade",
    "cart": "wheels",
    "auger-drill": "auger",
    "saw": "circular-saw",
    "pump": "centrifugal-pump",
    "battery": "source",
    "pack": "source",
}


def did_you_mean(word: object, known: list[str]) -> str:
    """Return a question for the known word that is meant, or nearest, or nothing."""
    if isinstance(word, str) and SAID_FOR.get(word) in known:
        return f"{MEANT}{SAID_FOR[word]}?"
    near = get_close_matches(word, known, n=1) if isinstance(word, str) else []
    return f"{MEANT}{near[0]}?" if near else ""


def _in_the_file(loc: tuple[int | str, ...], data: Any) -> Path:
    """Return a path without the steps that only the form knows: which kind of link it took a table for."""
    path: list[int | str] = []
    for step in loc:
        if isinstance(data, dict) and step not in data and data.get("kind", USUAL_SOURCE) == step:
            continue
        path.append(step)
        if isinstance(data, dict):
            data = data.get(str(step))
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            data = None
    return tuple(path)


def _plain(path: Path, error: ErrorDetails) -> Iterator[Said]:
    words = PLAIN.get(error["type"], "cannot be used")
    yield path, error["input"], words.format(**error.get("ctx", {})), ""


def _quantity(path: Path, error: ErrorDetails) -> Iterator[Said]:
    for wrong in error["ctx"]["wrongs"]:
        value = error["input"]
        for key in wrong.inside:
            value = value[key]
        yield (*path, *wrong.inside), value, wrong.limit, wrong.hint


def _missing(path: Path, see: str) -> Iterator[Said]:
    if isinstance(path[-1], int):  # a place in a row
        yield path, NOTHING, f"{MISSING}; a row is a pair", f"write speed and torque, as {PAIR}"
    else:
        yield path, NOTHING, f"{MISSING}, and nothing can stand in for it", f"see {see}"


def _unknown(path: Path, error: ErrorDetails, data: Any, form: type[Table]) -> Iterator[Said]:
    table = _table_at(error["loc"], form)
    hint = did_you_mean(path[-1], list(table.model_fields)) if table else ""
    where = f"[{key_of(path[:-1], data)}]" if len(path) > 1 else "the file"
    yield path, error["input"], f"no such key in {where}", hint


def _one_of(path: Path, error: ErrorDetails) -> Iterator[Said]:
    words = str(error["ctx"]["expected"]).replace("'", "").replace(" or ", ", ")
    yield path, error["input"], f"not one of {words}", did_you_mean(error["input"], words.split(", "))


def _kinds_at(key: str) -> Iterable[str]:
    """Return the kinds of table that may stand at a key."""
    return WORKS if key == "work" else SOURCE_KINDS if key == "source" else LINK_KINDS


def _kind(path: Path, error: ErrorDetails) -> Iterator[Said]:
    value = error["input"]
    known = sorted(_kinds_at(str(path[-1])))
    if error["type"] == "union_tag_not_found" or not isinstance(value, dict):
        where, written = ((*path, "kind"), NOTHING) if isinstance(value, dict) else (path, value)
        yield where, written, f"needs a kind: one of {', '.join(known)}", ""
        return
    written = value["kind"]
    yield (*path, "kind"), written, f"not one of {', '.join(known)}", did_you_mean(written, known)


SPECIAL: dict[str, Callable[[Path, ErrorDetails], Iterator[Said]]] = {
    "quantity": _quantity,
    "literal_error": _one_of,
    "union_tag_invalid": _kind,
    "union_tag_not_found": _kind,
}


def _table_at(loc: tuple[int | str, ...], form: type[Table]) -> type[Table] | None:
    """Return the form of the table that holds a place, following the kinds of link that the form took."""
    table: type[Table] | None = form
    for step in loc[:-1]:
        if isinstance(step, int):
            continue
        if step in KINDS and (table is None or step not in table.model_fields):
            table = KINDS[step]
        else:
            table = _form_of(table.model_fields[step].annotation) if table and step in table.model_fields else None
    return table


def _form_of(annotation: Any) -> type[Table] | None:
    """Return the table inside an annotation such as ``list[ChainTable]``; None where there is none or several."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    if get_origin(annotation) in (list, Union, UnionType, Annotated):
        found = {_form_of(part) for part in get_args(annotation)} - {None}
        return found.pop() if len(found) == 1 else None
    return None
