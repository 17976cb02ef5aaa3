"""Fuses, fusing currents and what a conductor bears, against sheets and standards."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from headrace.findings import RULES
from headrace.physics import conductors, fusing
from headrace.tables import load
from tests.published.rows import CELSIUS, INCH, Calculation, Row, cases, every_row_has_its_calculation, holds

PREECE = 10244.0 / INCH**1.5  # A/m^1.5, of copper
MILLI = 1e-6  # m2 in a square millimetre


def curve(speed: str) -> list[list[float]]:
    """Return shortest and longest times of a kind of fuse; -1 where nothing is promised."""
    rows = [row for row in load("fuse_curves") if row["speed"] == speed]
    return [[-1.0 if np.isnan(row[end]) else row[end] for end in ("least_time", "most_time")] for row in rows]


def sheet(speed: str, kind: str) -> list[float]:
    fuse = next(row for row in load("fuses") if row["name"] == kind)
    melting = next(row for row in load("fuse_melting") if row["speed"] == speed)
    assert melting["rating"] == 40.0
    return [melting["melting_integral"], np.clip(1000.0, *ends(fuse, "breaking_current")), fuse["voltage_low"]]


def ends(row: Any, column: str) -> tuple[float, float]:
    return row[f"{column}_low"], row[f"{column}_high"]


def factor(row: Row) -> Any:
    given = row["inputs"]
    ends_of = (CELSIUS + given["Ti"], CELSIUS + given["Tf"])
    return MILLI * fusing.adiabatic_factor(*ends_of, given["K"] / MILLI, given["beta"])


def melting_diameter(amps: float) -> float:
    """Return the diameter of the copper wire that melts at a current. [in]"""
    return float(brentq(lambda d: fusing.preece_current(d * INCH, PREECE) - amps, 1e-3, 1.0))


def onderdonk(row: Row) -> Any:
    given = row["inputs"]
    area = given["cmil"] * conductors.wire_area(1e-3 * INCH)
    return fusing.onderdonk_current(area, given["t_s"], CELSIUS + given["Ta"], CELSIUS + given["Tm"])


def adiabatic(row: Row) -> Any:
    given = row["inputs"]
    k = fusing.adiabatic_factor(CELSIUS + given["Ti"], CELSIUS + given["Tf"], given["K"] / MILLI, given["beta"])
    return np.sqrt(fusing.withstand(given["S_mm2"] * MILLI, k) / given["t_s"])


def pack_fault(row: Row) -> Any:
    given = row["inputs"]
    return fusing.short_circuit_current(given["ns"] * given["v"], given["ns"] * given["r_group"] + given["r_wire"])


CALCULATIONS: dict[str, Calculation] = {
    "blade_40A": lambda row: curve("quick"),
    "large_blade_40A": lambda row: curve("slow"),
    "blade_40A_data": lambda row: sheet("quick", "blade-standard"),
    "large_blade_40A_data": lambda row: sheet("slow", "blade-large"),
    "blade_max_voltage": lambda row: [
        fuse["voltage_low"] for fuse in load("fuses") if str(fuse["name"]).startswith("blade-")
    ],
    "preece_16awg": lambda row: fusing.preece_current(row["inputs"]["d_in"] * INCH, PREECE),
    "preece_table": lambda row: [melting_diameter(amps) for amps, _ in row["value"]],
    "iec60949_K": lambda row: MILLI * next(metal["constant"] for metal in load("adiabatic")),
    "k_pvc": factor,
    "k_xlpe": factor,
    "onderdonk_16awg_5s": onderdonk,
    "adiabatic_16awg_5s": adiabatic,
    "i2t_protect_2.5mm2": lambda row: fusing.withstand(row["inputs"]["S_mm2"] * MILLI, row["inputs"]["k"] / MILLI),
    "pack_fault": pack_fault,
}


@pytest.mark.parametrize("row", cases("fuse"))
def test_fuse_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_fuse_row_is_used() -> None:
    every_row_has_its_calculation("fuse", CALCULATIONS)


def test_ambient_is_added_and_not_taken_away() -> None:
    """A copied worked page prints 178 A: it takes the ambient from 234 instead of adding it."""
    wrong = 2581.0 * np.sqrt(np.log10(1.0 + (1083.0 - 25.0) / (234.0 - 25.0)) / (33.0 * 5.0))
    assert wrong == pytest.approx(178.0, abs=0.5)
    area = 2581.0 * conductors.wire_area(1e-3 * INCH)
    assert fusing.onderdonk_current(area, 5.0, CELSIUS + 25.0, CELSIUS + 1083.0) < 0.96 * wrong


def test_the_findings_that_hold_these_are_there() -> None:
    assert {"fuse-too-few-volts", "fuse-cannot-break", "fuse-too-slow"} <= set(RULES)
