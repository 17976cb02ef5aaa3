"""The working behind a number in words: what it is, how it was made, where its leaves come from.

The words are made once, for the page and for the terminal; the page raises its formulas and cuts what is long, the
terminal sets it in more digits.
"""

from __future__ import annotations

import re
from typing import Any

from markupsafe import Markup, escape

from headrace.machine.naming import ENDINGS, UNIT, named, quantity
from headrace.machine.pedigree import OPEN
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
    "power": "^",
}
CHAINED = ("add", "mul", "multiply")  # of these a row is told at once: 1 + 2 + 3
PAIRS = {
    "maximum": "the greater of",
    "minimum": "the lesser of",
    "neg": "the opposite of",
    "negative": "the opposite of",
    "abs": "the size of",
    "absolute": "the size of",
    "sqrt": "the square root of",
    "interp": "read off the curve at",
}
# parts of what is made of terms in the speed, and what else a parameter's name does not say
TERMS = {
    "power": "that falls as speed grows",
    "constant": "at every speed",
    "linear": "that grows with speed",
    "square": "that grows with speed squared",
}
WHOLE = {"current": "current", "terms": "torque"}
CALLED = {
    "one_way": "length, one way",
    "constant": "motor constant",
    "x": "read at",
    "turns": "turns of the motor for one of the tool",
    "switched": "share switched",
    "winding_after": "winding after the step",
    "cell_temperature_after": "cells after the step",
    "rate": "done each second",
    "slow_voltages": "slow voltage",
}
# what some laws call their numbers says less than what made them does
VAGUE = {"constant": "steady drag", "linear": "drag with speed", "square": "drag with speed squared", "values": "value"}

PLACES = ("", ", second", ", third", ", fourth")


def lines(tree: Record, file: str, *, source: str = "") -> Record:
    """Return a working ready for the page: as ``told``, its formulas as markup, and cut where long.

    Parameters
    ----------
    tree
        One of the ``workings`` of the record.
    file
        Name of the machine file, for the lines its leaves point to.
    source
        Kind of the machine's source, whose numbers are called by it; left out, a pack of cells.
    """
    return _on_the_page(told(tree, file, source=source), _deepest(tree))


def told(tree: Record, file: str, digits: int = 4, *, source: str = "") -> Record:
    """Return a working in words: ``says``, ``how``, ``formula`` and the ``inputs`` behind it.

    Parameters
    ----------
    tree
        As ``design.workings.tree`` makes it.
    file
        Name of the machine file.
    digits
        Of each number.
    source
        Kind of the machine's source; left out, a pack of cells.
    """
    tree = _called(tree, source)
    return _told(tree, file, digits, _taken_up_again(tree))


def _called(tree: Record, source: str) -> Record:
    """Return a working whose numbers of the machine file have their names, those of its source by its kind."""
    inputs = [_called(part, source) for part in tree["inputs"]]
    if not (tree.get("address") and tree.get("basis")):
        return {**tree, "inputs": inputs}
    return {**tree, "inputs": inputs, "called": named(str(tree["address"]), source=source)}


def _told(tree: Record, file: str, digits: int, again: set[float]) -> Record:
    tree = _flat(_summed(tree), again)
    sum_of_its_own = _is(tree, "arithmetic") and not tree.get("repeated")
    name, number = _name(tree), _number(tree, digits)
    if _is(tree, "table") and tree["value"] is None:
        says, how = str(tree["says"]), ""
    elif sum_of_its_own and not name:
        says, how = f"{_arithmetic(tree, digits)} = {number}", ""
    else:
        how = _how(tree, file, digits)
        says, how = f"{name} = {number}" if name else number, "" if how == name else how.removeprefix(f"{name}: ")
    return {
        "says": says,
        "how": how,
        "formula": formula(tree["formula"]) if tree.get("formula") and not tree.get("repeated") else "",
        "inputs": [_told(part, file, digits, again) for part in _shown(tree)],
    }


def _shown(tree: Record) -> list[Record]:
    """Return what stands behind a number: no plain number of a sum, which is in the sum, and no curve twice."""
    parts = [part for part in tree["inputs"] if not (_is(tree, "arithmetic") and _is(part, "constant"))]
    curves = {part["says"]: part for part in reversed(parts) if _is(part, "table")}
    return [part for part in parts if not _is(part, "table") or curves[part["says"]] is part]


def _summed(tree: Record) -> Record:
    """Return the only number of a sum whose others are nothing, under the sum's name; any other tree as it is."""
    if not _is(tree, "arithmetic") or tree.get("says") not in ("add", "sub", "subtract") or tree.get("repeated"):
        return tree
    some = [part for part in tree["inputs"] if part["value"] != 0.0]
    if len(some) != 1 or (some[0] is not tree["inputs"][0] and tree["says"] != "add"):
        return tree
    if _is(some[0], "constant"):
        return tree
    own = {key: tree[key] for key in ("name", "address") if tree.get("address") or not str(tree["name"]).isdigit()}
    own = {} if some[0].get("basis") else own
    return _summed({**some[0], **own, "unit": some[0].get("unit") or tree.get("unit")})


def _flat(tree: Record, again: set[float]) -> Record:
    """Return a sum of sums as one sum, a product of products as one product; what is taken up again keeps its line."""
    if not (_is(tree, "arithmetic") and tree.get("says") in CHAINED) or tree.get("repeated"):
        return tree
    inputs: list[Record] = []
    for part in map(_summed, tree["inputs"]):
        joined = _is(part, "arithmetic") and part["says"] == tree["says"] and not part.get("repeated")
        own = _name(part) or part["value"] in again
        inputs += _flat(part, again)["inputs"] if joined and not own else [part]
    return {**tree, "inputs": inputs}


def _taken_up_again(tree: Record) -> set[float]:
    """Return the sums that stand in a working more than once, "as worked out above" the second time."""
    own = {tree["value"]} if tree.get("repeated") and _is(tree, "arithmetic") else set()
    return own.union(*(_taken_up_again(part) for part in tree["inputs"]))


def _on_the_page(line: Record, levels: int) -> Record:
    inputs = line["inputs"]
    return {
        **line,
        "formula": _raised(line["formula"]) if line["formula"] else "",
        "inputs": [_on_the_page(part, levels - 1) for part in inputs] if levels > 1 else [],
        "cut": bool(inputs) and levels <= 1,
    }


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


def _is(node: Record, kind: str) -> bool:
    return node.get("kind") == kind


def _raised(plain: str) -> Markup:
    """Return a formula with its indices low and its powers high."""
    low = LOW.sub(r"<sub>\1</sub>", str(escape(plain)))
    return Markup(HIGH.sub(r"<sup>\1</sup>", low))  # noqa: S704 - escaped in the line above


def _name(node: Record) -> str:
    """Return what a number is called, "" for the term of a sum, which is told by what it is the sum of."""
    address, name = str(node.get("address") or ""), str(node.get("name") or "")
    if node.get("called"):
        return str(node["called"])
    if address:
        return quantity(UNIT.sub("", address.rpartition(".")[2]))
    if name.isdigit() or not name or name in SIGNS or name in PAIRS:
        return _unnamed(node)
    vague = VAGUE.get(name.partition(".")[0])
    if vague is not None:
        return str(node.get("title") or vague)
    return _parameter(name)


def _unnamed(node: Record) -> str:
    """Return what the term of a sum is called: it has only a place, and goes by its law, or its words."""
    if _is(node, "arithmetic") or _is(node, "constant"):
        return ""
    if node.get("law"):
        return str(node.get("title") or spoken(node["law"]))
    what = str(node.get("says") or "").partition(":")[0].partition(",")[0]
    return _parameter(what.replace(" ", "_"))


def _parameter(name: str) -> str:
    """Return the name of a law's parameter, or of a number inside one, as words."""
    *path, last = [part for part in name.split(".") if part]
    place = ""
    if last.isdigit():
        place, last = PLACES[min(int(last), len(PLACES) - 1)], path.pop() if path else "number"
    if path and last in TERMS and not path[-1].isdigit():  # a train has a motor constant beside its terms
        return f"{WHOLE.get(path[-1], quantity(path[-1]))} {TERMS[last]}"
    return CALLED.get(last, quantity(last)) + place


def _number(node: Record, digits: int) -> str:
    value = "–" if node["value"] is None else f"{node['value']:.{digits}g}"
    ending = UNIT.search(str(node.get("address") or ""))
    unit = node.get("unit") or (ENDINGS[ending[1]] if ending else "")
    return f"{value} {unit}".rstrip(" -")


def _how(node: Record, file: str, digits: int) -> str:
    """Return in words how a number was made, or where it comes from."""
    if node.get("basis"):
        return _origin(node, file, digits)
    if node.get("repeated"):
        return "as worked out above"
    if _is(node, "arithmetic"):
        return _arithmetic(node, digits)
    if node.get("law"):
        return str(node.get("title") or spoken(node["law"]))
    return "" if _is(node, "constant") else _words(str(node.get("says") or ""))


def _words(says: str) -> str:
    """Return what a leaf or a solution says of itself, the name of its field as words."""
    field, rest = (*re.split("[:,]", says, maxsplit=1), "")[:2]  # a title behind it may have a colon of its own
    if re.fullmatch(r"[\w.\[\]]*", field.strip()):
        field = _parameter(field.strip()) if field.strip(" 0123456789.") else ""
        return f"{field}: {rest.strip()}" if field and rest else field or rest.strip()
    return says


def _arithmetic(node: Record, digits: int) -> str:
    operation, parts = str(node.get("says") or ""), node["inputs"]
    if operation in ("add", "sub", "subtract"):
        parts = [part for place, part in enumerate(parts) if part["value"] != 0.0 or not (place or operation == "add")]
        parts = parts or node["inputs"][:1]
    numbers = [_number(part, digits) for part in parts if not _is(part, "table")]
    if operation in SIGNS:
        return f" {SIGNS[operation]} ".join(numbers)
    return f"{PAIRS.get(operation, spoken(operation))} {' and '.join(numbers)}"


def _origin(node: Record, file: str, digits: int) -> str:
    band = f", {node['low']:.{digits}g} to {node['high']:.{digits}g}" if node.get("low") is not None else ""
    if node.get("source") == OPEN:
        return OPEN
    line = f" ({file}, line {node['line']})" if node.get("line") else ""
    return f"{node['basis']}{band}: {node.get('source') or node.get('address')}{line}"
