"""A working as an indented tree: each number, how it was made, and where its leaves come from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.words import formula

Record = dict[str, Any]

SIGNS = {
    "add": "+",
    "subtract": "−",
    "sub": "−",
    "mul": "×",
    "multiply": "×",
    "truediv": "/",
    "divide": "/",
    "pow": "^",
}
WORDS = {"maximum": "the greater of", "minimum": "the lesser of", "neg": "the opposite of", "abs": "the size of"}


def working(tree: Record, file: str) -> str:
    """Return the lines of a working, the result on top."""
    return "\n".join(_lines(tree, tree["address"] or tree["name"], file, 0))


def _lines(tree: Record, name: str, file: str, depth: int) -> Iterator[str]:
    head = f"{'  ' * depth}{name} = {_number(tree)} {tree['unit'].strip('-')}".rstrip()
    yield f"{head}    {_how(tree, file)}".rstrip()
    if tree["kind"] == "arithmetic":
        parts = [(_own_name(part), part) for part in tree["inputs"] if part["kind"] != "constant"]
    else:
        parts = [(part["name"], part) for part in tree["inputs"]]
    for part_name, part in parts:
        yield from _lines(part, part_name, file, depth + 1)


def _number(tree: Record) -> str:
    return "–" if tree["value"] is None else f"{tree['value']:.6g}"


def _own_name(tree: Record) -> str:
    """Return what a term of a sum or product is called: it has no parameter's name."""
    if tree["address"] is not None:
        return str(tree["address"]).rpartition(".")[2]
    return str(tree["law"] or tree["says"].partition(":")[0])


def _how(tree: Record, file: str) -> str:
    """Return in words how a number was made, or where it comes from."""
    if tree["basis"] is not None:
        return _origin(tree, file)
    if tree["kind"] == "arithmetic":
        return _sum(tree)
    if tree["repeated"]:
        return "as worked out above"
    if tree["law"] is not None:
        return f"by {tree['law']}: {formula(tree['formula'])}"
    return "" if tree["kind"] == "constant" else str(tree["says"])


def _sum(tree: Record) -> str:
    """Return a sum or product of single numbers as it is written."""
    numbers, operation = [_number(part) for part in tree["inputs"]], tree["says"]
    if tree["repeated"] or not numbers:
        return "as worked out above"
    if operation in SIGNS:
        return f" {SIGNS[operation]} ".join(numbers)
    return f"{WORDS.get(operation, operation)} {' and '.join(numbers)}"


def _origin(tree: Record, file: str) -> str:
    band = f" {tree['low']:.6g} to {tree['high']:.6g}" if tree["low"] is not None else ""
    place = f" ({file}:{tree['line']})" if tree["line"] is not None else ""
    return f"{tree['basis']}{band}; {tree['address']}: {tree['source']}{place}"
