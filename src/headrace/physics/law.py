"""What makes a function a law: the range it holds for, and a place in the list of laws.

A law called while somebody listens to workings notes what went in and what came out (``physics.working``); otherwise
the mark costs a call one question. A stage asks ``outside`` once for all its lanes and turns the mask into an outcome;
a law called by hand is guarded by ``check``.
"""

from __future__ import annotations

import functools
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, ParamSpec, TypeVar

import numpy as np
from numpy.typing import NDArray

from headrace.errors import OutOfRange
from headrace.physics.working import heard, note

Scalar = float | NDArray[np.float64]

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True)
class Law:
    """One law of the room: its function, and the closed range of each parameter that has one."""

    function: Callable[..., Any]
    valid: Mapping[str, tuple[float, float]]

    @property
    def name(self) -> str:
        """The name of the function, alone in the room."""
        return str(self.function.__name__)

    @property
    def title(self) -> str:
        """What it gives, as its docstring begins: "heat of a current in a resistance"."""
        first = (self.function.__doc__ or "").strip().partition("\n")[0].removeprefix("Return ").rstrip(".")
        return first.removeprefix("the ")

    def unit_of(self, parameter: str) -> str:
        """Return the unit of a parameter, "" where its text names none."""
        text = (self.function.__doc__ or "").partition("Parameters")[2].partition("Returns")[0]
        found = re.search(
            rf"^\s*(?:\w+, )*{re.escape(parameter)}(?:, \w+)*\n((?:(?!\n\s*\n).)*?)\[([^\]]+)\]", text, re.M | re.S
        )
        return found[2] if found else ""

    @property
    def formula(self) -> str:
        """The law as its docstring writes it, in TeX."""
        block = (self.function.__doc__ or "").partition(".. math::")[2].partition("Parameters")[0]
        return " ".join(block.split())

    @property
    def unit(self) -> str:
        """The unit of what it returns; of several, all of them."""
        returned = (self.function.__doc__ or "").partition("Returns")[2]
        return returned.partition("[")[2].partition("]")[0]


_registry: dict[str, Law] = {}


def law(*, valid: Mapping[str, tuple[float, float]]) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Mark a function as a law that holds for the given closed ranges.

    Parameters
    ----------
    valid
        Lowest and highest value, in SI, of each parameter that has a range.

    Raises
    ------
    TypeError
        At import: a range names no parameter, runs backwards, or the name of the law is taken.
    """

    def mark(function: Callable[P, R]) -> Callable[P, R]:
        entry = Law(function, MappingProxyType(dict(valid)))
        parameters = inspect.signature(function).parameters
        for name, (low, high) in entry.valid.items():
            if name not in parameters:
                raise TypeError(f"{entry.name}: range for {name}, which is no parameter")
            if not low < high:
                raise TypeError(f"{entry.name}: range of {name} runs from {low} to {high}")
        taken = _registry.get(entry.name)
        if taken is not None and taken.function.__module__ != function.__module__:
            raise TypeError(f"{entry.name} is already a law of {taken.function.__module__}")
        _registry[entry.name] = entry
        signature = inspect.signature(function)

        @functools.wraps(function)
        def lawful(*args: P.args, **keys: P.kwargs) -> R:
            if heard() is None:
                return function(*args, **keys)
            noted: R = note("law", entry.name, function, signature.bind(*args, **keys).arguments)
            return noted

        lawful.__dict__["law"] = entry
        return lawful

    return mark


def law_of(function: Callable[..., Any]) -> Law:
    """Return the entry of a function marked with ``law``.

    Raises
    ------
    TypeError
        The function is no law.
    """
    entry = getattr(function, "law", None)
    if not isinstance(entry, Law):
        raise TypeError(f"{getattr(function, '__name__', function)} is no law")
    return entry


def law_named(name: str) -> Law | None:
    """Return a law by its name, or None."""
    return _registry.get(name)


def outside(function: Callable[..., Any], **values: Scalar) -> NDArray[np.bool_]:
    """Tell in which lanes a law does not hold: any value out of its range, or not a number.

    Parameters
    ----------
    function
        A law.
    **values
        The arguments to judge, by name; a parameter without a range is judged only for being a number.

    Returns
    -------
    NDArray[np.bool_]
        True where the law does not hold, as broadcast over all values given.

    Raises
    ------
    TypeError
        The function is no law, or a name is none of its parameters.
    """
    entry = law_of(function)
    unknown = sorted(values.keys() - inspect.signature(function).parameters.keys())
    if unknown:
        raise TypeError(f"{entry.name} has no parameter {', '.join(unknown)}")
    mask = np.zeros((), dtype=np.bool_)
    for name, value in values.items():
        low, high = entry.valid.get(name, (-np.inf, np.inf))
        # written as "not inside" so that a NaN, which compares false with everything, counts as outside
        mask = mask | ~((np.asarray(value) >= low) & (np.asarray(value) <= high))
    return np.asarray(mask)


def check(function: Callable[..., Any], **values: Scalar) -> None:
    """Refuse arguments a law does not hold for; the guard of a law called by hand.

    Parameters
    ----------
    function
        A law.
    **values
        The arguments to judge, by name.

    Raises
    ------
    OutOfRange
        Some value is out of range or not a number; names the first.
    """
    entry = law_of(function)
    for name, value in values.items():
        mask = outside(function, **{name: value})
        if mask.any():
            low, high = entry.valid.get(name, (-np.inf, np.inf))
            first = float(np.asarray(value, dtype=np.float64)[mask].flat[0])
            raise OutOfRange(entry.name, name, first, low, high)


def relations() -> tuple[Law, ...]:
    """List every law of the room, by name, after importing all its files."""
    room = importlib.import_module(__package__)
    for file in pkgutil.iter_modules(room.__path__):
        importlib.import_module(f"{room.__name__}.{file.name}")
    return tuple(_registry[name] for name in sorted(_registry))
