"""From how many volts on a touch does harm, and what is said of it."""

from __future__ import annotations

from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.tables import load


def limit(name: str) -> float:
    """Return the volts from which one of the rows of the table holds. [V]"""
    return next(float(row["voltage"]) for row in load("touch_volts") if row["name"] == name)


def touch_words(voltage: Lanes) -> str:
    """Return what is said of so many direct volts within reach, in the first lane; "" below every limit."""
    volts = first_number(voltage)
    past = [row for row in load("touch_volts") if volts >= float(row["voltage"])]
    return " ".join(str(row["says"]) for row in past)
