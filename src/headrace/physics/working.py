"""The working behind a number: which law, or which sum or product, made it out of which other numbers.

Nothing is noted until somebody listens. Then a number may be handed in as ``Traced``, a float that knows its ``Node``;
a law that is given one hands back another, and so do plus, minus, times and divided by. The working of any result is
the tree of nodes behind it, down to leaves that say where they come from. It is the computation itself, not a second
telling of it: each node can be worked out again from the values of its inputs.
"""

from __future__ import annotations

import functools
import inspect
import operator
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, ParamSpec, TypeVar

import numpy as np

P = ParamSpec("P")
R = TypeVar("R")

LEAVES = ("given", "constant", "table", "march", "search")  # kinds of node that nothing stands behind


@dataclass(frozen=True, eq=False)
class Node:
    """One number of a working.

    Attributes
    ----------
    value
        The number. [SI]
    kind
        "law", "arithmetic" or "solved" for what was made of its inputs; for a leaf "given" (a file or a table of
        numbers), "constant" (of the law's user), "table" (points of a curve), "march" (the state a run had come to) or
        "search".
    name
        Of the law or the operation; of a leaf, what it is.
    inputs
        What it was made of, by the law's own names.
    call
        Works the number out again from the values of the inputs; None for a leaf.
    origin
        What is known of where a given number comes from.
    part
        Which of several results of the law or the search it is.
    """

    value: float
    kind: str
    name: str
    inputs: tuple[tuple[str, Node], ...] = ()
    call: Callable[[Sequence[float]], float] | None = None
    origin: Any = None
    part: str = ""

    def again(self) -> float:
        """Work the number out anew, from the leaves up."""
        values: dict[int, float] = {}
        for node in reversed(list(self.all())):
            values[id(node)] = node.value if node.call is None else node.call([values[id(n)] for _, n in node.inputs])
        return values[id(self)]

    def all(self) -> Iterator[Node]:
        """Yield this node and everything behind it, each once and before its inputs."""
        waits: dict[int, int] = {}  # of each node, by how many others that are not yet out it is used
        stack, seen = [self], {id(self)}
        while stack:
            for _, node in stack.pop().inputs:
                waits[id(node)] = waits.get(id(node), 0) + 1
                if id(node) not in seen:
                    seen.add(id(node))
                    stack.append(node)
        ready = [self]
        while ready:
            node = ready.pop()
            yield node
            for _, part in node.inputs:
                waits[id(part)] -= 1
                if waits[id(part)] == 0:
                    ready.append(part)


# What the curves are called that pass by, while somebody listens here; each thread and task has an ear of its own.
_ear: ContextVar[Mapping[int, str] | None] = ContextVar("ear", default=None)
heard = _ear.get


@contextmanager
def listening(tables: Mapping[int, str]) -> Iterator[None]:
    """Note the workings of everything done with traced numbers inside; who listened before goes on afterwards.

    Parameters
    ----------
    tables
        Words for arrays that are curves rather than lanes, by ``id``.
    """
    before = _ear.set(dict(tables))
    try:
        yield
    finally:
        _ear.reset(before)


class Traced(float):
    """A float that knows its working. Used like any float; arrays and numpy take it as a plain one."""

    __slots__ = ("node",)
    node: Node

    def __new__(cls, node: Node) -> Traced:
        """Return the node's value, knowing it."""
        number = super().__new__(cls, node.value)
        number.node = node
        return number

    def __reduce__(self) -> Any:
        """Travel as a plain float: a working does not leave its process."""
        return float, (float(self),)

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **keys: Any) -> Any:
        """Note an operation of numpy on single numbers; on arrays be a plain float."""
        plain = [bare(value) for value in inputs]
        out = getattr(ufunc, method)(*plain, **{key: bare(value) for key, value in keys.items()})
        if method != "__call__" or keys or not isinstance(out, float | np.floating):
            return out
        return _arithmetic(ufunc.__name__, ufunc, inputs)

    def __array_function__(self, function: Any, types: Any, args: Any, keys: Any) -> Any:
        """Let a choice between two numbers hand on the chosen one, and note what is read off a curve."""
        if function is np.where and len(args) == 3 and all(np.ndim(bare(value)) == 0 for value in args):
            return args[1] if args[0] else args[2]
        if function is np.interp and isinstance(args[0], Traced) and not keys:
            return note("arithmetic", "interp", np.interp, dict(zip(("x", "xp", "fp"), args, strict=True)))
        return function(*bare(tuple(args)), **{key: bare(value) for key, value in keys.items()})


def _arithmetic(name: str, operation: Callable[..., Any], values: Sequence[Any]) -> Traced:
    inputs = tuple((f"{place + 1}", node_of(value)) for place, value in enumerate(values))

    def call(numbers: Sequence[float]) -> float:
        return float(operation(*numbers))

    return Traced(Node(call([node.value for _, node in inputs]), "arithmetic", name, inputs, call))


def _noted(name: str, operation: Callable[..., Any], *, swapped: bool = False) -> Any:
    def method(self: Traced, *others: Any) -> Any:
        if not all(isinstance(other, int | float | np.floating) for other in others):
            return NotImplemented
        if name == "add" and type(others[0]) is int and others[0] == 0:
            return self  # the nothing that ``sum`` starts with
        return _arithmetic(name, operation, (*others, self) if swapped else (self, *others))

    return method


for _name, _operation in {
    "add": operator.add, "sub": operator.sub, "mul": operator.mul, "truediv": operator.truediv, "pow": operator.pow,
}.items():  # fmt: skip
    setattr(Traced, f"__{_name}__", _noted(_name, _operation))
    setattr(Traced, f"__r{_name}__", _noted(_name, _operation, swapped=True))
setattr(Traced, "__neg__", _noted("neg", operator.neg))  # noqa: B010 - as above
setattr(Traced, "__abs__", _noted("abs", operator.abs))  # noqa: B010


def node_of(value: Any) -> Node:
    """Return the node of a number; a plain one is a constant of whoever wrote it down."""
    return value.node if isinstance(value, Traced) else Node(float(value), "constant", "constant")


def bare(value: Any) -> Any:
    """Return numbers, and records of numbers, without their workings."""
    return _mapped(value, lambda _, number: float(number) if isinstance(number, Traced) else number)


def leaves(record: Any, kind: str, words: str) -> Any:
    """Return a record whose numbers are leaves of their own, when somebody listens; as it is otherwise.

    Parameters
    ----------
    record
        Dataclasses, tuples and numbers.
    kind
        Of the leaves.
    words
        What they are; the name of each field is added.
    """
    if heard() is None:
        return record

    def leaf(path: str, number: Any) -> Any:
        return Traced(Node(float(number), kind, f"{path}, {words}" if path else words))

    return _mapped(record, leaf)


def solution(words: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Mark a function that searches for numbers, so that its results have the equation's inputs behind them."""

    def mark(function: Callable[P, R]) -> Callable[P, R]:
        signature = inspect.signature(function)

        @functools.wraps(function)
        def searched(*args: P.args, **keys: P.kwargs) -> R:
            if heard() is None:
                return function(*args, **keys)
            noted: R = note("solved", words, function, signature.bind(*args, **keys).arguments)
            return noted

        return searched

    return mark


def note(kind: str, name: str, function: Callable[..., Any], arguments: Mapping[str, Any]) -> Any:
    """Call a function and, where a traced number went in, hand its results out traced.

    Parameters
    ----------
    kind, name
        Of the nodes of the results.
    function
        Pure.
    arguments
        By name; records and sequences of numbers among them.
    """
    inputs: list[tuple[str, Node]] = []

    def take(path: str, number: Any) -> Any:
        inputs.append((path, node_of(number)))
        return float(number) if isinstance(number, Traced) else number

    plain = {key: _mapped(value, take, key) for key, value in arguments.items()}
    results = function(**plain)
    tables = heard() or {}
    curves = [
        (key, Node(float("nan"), "table", tables[id(value)])) for key, value in arguments.items() if id(value) in tables
    ]
    if not curves and all(node.kind == "constant" for _, node in inputs):
        return results  # a curve read at a plain number is the curve's all the same
    inputs += curves
    made_of = tuple(inputs)  # shared by all results of one call, which tells them from others

    def hand_out(path: str, number: Any) -> Any:
        def call(values: Sequence[float]) -> float:
            again = iter(values)
            filled = {key: _mapped(value, lambda _, __: next(again)) for key, value in plain.items()}
            return float(_at(function(**filled), path))

        return Traced(Node(float(number), kind, name, made_of, call, part=path))

    return _mapped(results, hand_out)


def _mapped(value: Any, change: Callable[[str, Any], Any], path: str = "") -> Any:
    """Return a value with every single number in it changed; ``change`` is told the number's path."""
    if isinstance(value, bool | str) or value is None:
        return value
    if isinstance(value, float | np.floating) or (isinstance(value, np.ndarray) and _single(value)):
        return change(path, value)
    if isinstance(value, tuple | list):
        names = getattr(value, "_fields", range(len(value)))
        items = [_mapped(item, change, _join(path, name)) for name, item in zip(names, value, strict=True)]
        return type(value)(*items) if hasattr(value, "_fields") else type(value)(items)
    if is_dataclass(value) and not isinstance(value, type):
        changed = {f.name: _mapped(getattr(value, f.name), change, _join(path, f.name)) for f in fields(value)}
        return replace(value, **changed)
    return value


def _single(value: np.ndarray[Any, Any]) -> bool:
    return value.ndim == 0 and bool(np.issubdtype(value.dtype, np.floating))


def _join(path: str, name: object) -> str:
    return f"{path}.{name}" if path else str(name)


def _at(value: Any, path: str) -> Any:
    """Return the number at a path of a result."""
    for name in path.split(".") if path else ():
        value = getattr(value, name) if not name.isdigit() else value[int(name)]
    return value
