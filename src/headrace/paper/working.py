"""The working behind a number as lines to read: what it is, how it was made, where its leaves come from."""

from __future__ import annotations

import re
from typing import Any

from markupsafe import Markup, escape

from headrace.paper.words import formula, spoken

Record = dict[str, Any]

LOW, HIGH = re.compile(r"_(\w+)"), re.compile(r"\^(\w+)")
MOST = 300  # lines; a working that is longer is cut where it is deepest
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
UNITS = {
    "_rad_s": "rad/s", "_m_s": "m/s", "_N_m": "N·m", "_ohm": "Ω", "_kg": "kg", "_m2": "m²", "_W": "W", "_J": "J",
    "_V": "V", "_A": "A", "_s": "s", "_K": "K", "_m": "m",
}  # fmt: skip
PAIRS = {"maximum": "the greater of", "minimum": "the lesser of"}


def lines(tree: Record, file: str) -> Record:
    """Return a working ready to be read: ``says``, ``how``, ``formula`` and the ``inputs`` behind it, cut where long.

    Parameters
    ----------
    tree
        One of the ``workings`` of the record.
    file
        Name of the machine file, for the lines its leaves point to.
    """
    return _line(tree, file, _deepest(tree))


def _deepest(tree: Record) -> int:
    """Return how many levels can be shown in the lines there are."""
    level, shown, depth = [tree], 1, 1
    while level:
        level = [part for node in level for part in node["inputs"]]
        shown += len(level)
        if shown > MOST:
            return depth
        depth += 1
    return depth


def _line(node: Record, file: str, levels: int) -> Record:
    shown = [part for part in node["inputs"] if not (_is(node, "arithmetic") and _is(part, "constant"))]
    return {
        "says": f"{_name(node)} = {_number(node)}",
        "how": _how(node, file),
        "formula": _raised(formula(node["formula"])) if node.get("formula") and not node.get("repeated") else "",
        "inputs": [_line(part, file, levels - 1) for part in shown] if levels > 1 else [],
        "cut": bool(shown) and levels <= 1,
    }


def _is(node: Record, kind: str) -> bool:
    return node.get("kind") == kind


def _raised(plain: str) -> Markup:
    """Return a formula with its indices low and its powers high."""
    low = LOW.sub(r"<sub>\1</sub>", str(escape(plain)))
    return Markup(HIGH.sub(r"<sup>\1</sup>", low))  # noqa: S704 - escaped in the line above


def _ending(node: Record) -> str:
    """Return the unit at the end of an address."""
    address = str(node.get("address") or "")
    return next((end for end in UNITS if address.endswith(end)), "") if "_" in address else ""


def _name(node: Record) -> str:
    """Return what a number is called; the term of a sum has only a place, and goes by its law or its address."""
    name = str(node.get("name") or "")
    if node.get("address"):
        name = str(node["address"]).rpartition(".")[2].removesuffix(_ending(node))
    elif name.isdigit() or not name:
        name = str(node.get("law") or node.get("says") or "").partition(":")[0]
    return spoken(name.rpartition(".")[2] if "." in name and " " not in name else name).partition(";")[0]


def _number(node: Record) -> str:
    value = "–" if node["value"] is None else f"{node['value']:.4g}"
    unit = node.get("unit") or UNITS.get(_ending(node), "")
    return f"{value} {unit}".rstrip(" -")


def _how(node: Record, file: str) -> str:
    """Return in words how a number was made, or where it comes from."""
    if node.get("basis"):
        return _origin(node, file)
    if node.get("repeated"):
        return "as worked out above"
    if _is(node, "arithmetic"):
        return _arithmetic(node)
    if node.get("law"):
        return spoken(node["law"])
    return "" if _is(node, "constant") else str(node.get("says") or "")


def _arithmetic(node: Record) -> str:
    numbers, operation = [_number(part) for part in node["inputs"]], str(node.get("says") or "")
    if operation in SIGNS:
        return f" {SIGNS[operation]} ".join(numbers)
    return f"{PAIRS.get(operation, spoken(operation))} {' and '.join(numbers)}"


def _origin(node: Record, file: str) -> str:
    band = f", {node['low']:.4g} to {node['high']:.4g}" if node.get("low") is not None else ""
    line = f" ({file}, line {node['line']})" if node.get("line") else ""
    return f"{node['basis']}{band}: {node.get('source') or node.get('address')}{line}"
