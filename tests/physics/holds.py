"""What every law is held to: lanes are worked out like single numbers, and a working leads back to its number."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pytest

from headrace.physics.law import Law
from headrace.physics.working import Node, Traced, listening


def treats_lanes_as_one(entry: Law, ones: Sequence[Mapping[str, Any]], rel: float) -> np.ndarray:
    """Hold a law's answers to several sets of arguments, together and one by one; return those one by one."""
    lanes = {name: _together([one[name] for one in ones]) for name in ones[0]}
    together = np.array(np.broadcast_arrays(*np.atleast_1d(entry.function(**lanes))))
    apart = np.array([np.asarray(entry.function(**one), dtype=float) for one in ones]).T
    assert np.squeeze(together) == pytest.approx(np.squeeze(apart), rel=rel)
    return apart


def can_be_worked_out_again(entry: Law, plain: Mapping[str, Any]) -> None:
    """Hold what a law hands out to a listener against its plain answer, and against its own working."""
    marked = getattr(sys.modules[entry.function.__module__], entry.name)
    with listening({}):
        result = marked(**{name: _traced(name, value) for name, value in plain.items()})
    numbers = list(result) if isinstance(result, tuple) else [result]
    wanted = np.atleast_1d(np.asarray(marked(**plain), dtype=float))
    for number, want in zip(numbers, wanted, strict=True):
        assert isinstance(number, Traced)
        assert float(number) == want
        assert number.node.again() == want


def _together(parts: Sequence[Any]) -> Any:
    """Return numbers as lanes, records of numbers as a record of lanes."""
    if isinstance(parts[0], tuple):
        return type(parts[0])(*(np.array(column) for column in zip(*parts, strict=True)))
    return np.array(parts)


def _traced(name: str, value: Any) -> Any:
    if isinstance(value, tuple):
        return type(value)(*(_traced(name, part) for part in value))
    return Traced(Node(value, "given", name))
