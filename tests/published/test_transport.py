"""Limits on watt-hours, mass and charge as rules print them, against what a pack is held to in the record of its facts.

Rows with basis "computed" (counted_wh) are a second route to the number, not evidence. What is printed here is
information, not legal advice: the whole rule counts, and the local one comes first.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from headrace.machine import edit, read_text
from headrace.pack.transport import Threshold, counted, thresholds
from headrace.tables import load
from tests.machines import EXAMPLE, alley
from tests.published.rows import Calculation, Row, cases, every_row_has_its_calculation, holds
from tests.published.test_cell_battery import HOUR, of_cells, ready_made

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def held() -> dict[str, Threshold]:
    source = alley().source
    return {one.name: one for one in thresholds(source, counted(source), 0.5)}


def limits(*names: str, scale: float = 1.0) -> Calculation:
    def found(_row: Row) -> list[Any]:
        return [held()[name].limit / scale for name in names]

    return found


def of_the_tests(_row: Row) -> list[float]:
    """The numbers that the questions about the two tests name."""
    asked = {row["name"]: NUMBER.findall(str(row["asks"]).replace("−", "-")) for row in load("transport_questions")}
    return [float(number) for name in ("T.2", "T.1") for number in asked[name]]


def counted_of_cells(row: Row) -> float:
    given = row["inputs"]
    source = of_cells(row, capacity=f"{given['Ah']} Ah", nominal_voltage=f"{given['V']} V")
    return float(counted(source).energy) / HOUR


CALCULATIONS: dict[str, Calculation] = {
    "cfr_small": limits("small-cell", "small-battery", scale=HOUR),
    "cfr_medium": limits("road-cell", "road-battery", scale=HOUR),
    "cfr_weight": limits("package"),
    "air_soc": limits("air-charge"),
    "air_passenger": limits("baggage", "baggage-asked", scale=HOUR),
    "un383_temp": of_the_tests,
    "counted_wh": counted_of_cells,
    "label_wh": lambda row: float(counted(ready_made(row)).energy) / HOUR,
}


@pytest.mark.parametrize("row", cases("transport"))
def test_transport_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_transport_row_is_used() -> None:
    every_row_has_its_calculation("transport", CALCULATIONS)


@pytest.mark.parametrize(
    ("amp_hours", "small_cell", "road_cell"),
    [("5.55 Ah", True, True), ("5.56 Ah", False, True), ("16.7 Ah", False, False)],
)
def test_a_cell_is_small_up_to_twenty_watt_hours(amp_hours: str, small_cell: bool, road_cell: bool) -> None:
    """At 3.6 V 20 Wh are 5.556 Ah and 60 Wh are 16.67 Ah."""
    text = edit(EXAMPLE.read_text(encoding="utf-8"), {"source.cell.capacity": amp_hours})
    source = read_text(text).machine.source
    found = {one.name: one.met for one in thresholds(source, counted(source), 0.5)}
    assert (found["small-cell"], found["road-cell"]) == (small_cell, road_cell)
