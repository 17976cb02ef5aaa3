"""Published rows: read them, and hold a computed number against one at the row's own tolerance.

Each topic is a TOML file beside this one; its test module holds a table from row id to the calculation that must give
the row's value, in the row's unit. A row without a calculation, or the other way round, fails.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest

Row = dict[str, Any]
Calculation = Callable[[Row], Any]

INCH = 0.0254
FOOT = 0.3048
RPM = math.pi / 30.0  # rad/s
CELSIUS = 273.15  # K at 0 °C


def rows(topic: str) -> list[Row]:
    """Return the rows of a topic, in the order of its file."""
    text = (Path(__file__).parent / f"{topic}.toml").read_text(encoding="utf-8")
    checks: list[Row] = tomllib.loads(text)["check"]
    return checks


def cases(topic: str) -> Iterable[Any]:
    """Return the rows of a topic as test parameters that carry their ids."""
    return [pytest.param(row, id=row["id"]) for row in rows(topic)]


def every_row_has_its_calculation(topic: str, calculations: dict[str, Calculation]) -> None:
    """Fail unless rows and calculations are the same set, and every row says what it rests on."""
    listed = [row["id"] for row in rows(topic)]
    assert len(listed) == len(set(listed))
    assert set(listed) == set(calculations)
    for row in rows(topic):
        assert row["source"]
        assert row["verified"] == (row["basis"] in ("printed", "library", "identity")), row["id"]
        assert row["verified"] or row["basis"] == "computed", row["id"]


def nearest(printed: Any, band: Mapping[str, Any]) -> Any:
    """Return what of a table's band lies nearest to printed numbers: themselves where the band holds them."""
    return np.clip(printed, band["low"], band["high"])


def holds(row: Row, got: Any) -> None:
    """Fail unless a computed value, or list of them, is what the row publishes."""
    kind, value = row["kind"], row["value"]
    if kind == "range":
        low, high = value
        assert np.all((np.asarray(got) >= low) & (np.asarray(got) <= high)), f"{got} outside {value}"
    elif kind == "max":
        assert np.all(np.asarray(got) <= np.asarray(value) + row["tol_abs"]), f"{got} above {value}"
    elif kind == "text":
        assert str(got).lower() == value
    else:
        numbers = [list(line[1:]) for line in value] if kind == "table" else value
        wanted = np.atleast_1d(np.asarray(numbers, dtype=float).squeeze())
        computed = np.atleast_1d(np.asarray(got, dtype=float).squeeze())
        assert computed.shape == wanted.shape
        relative, absolute = tolerance(row)
        assert computed == pytest.approx(wanted, rel=relative, abs=absolute)


def tolerance(row: Row) -> tuple[float, float]:
    """Return the row's tolerance; "exact" leaves room for the last bit of a change of units only."""
    if row.get("tol_abs"):
        return 0.0, row["tol_abs"]
    return row.get("tol_rel", 1e-12), 0.0
