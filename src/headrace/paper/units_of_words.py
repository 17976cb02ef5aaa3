"""How a number of the record is turned into the unit a sentence says it in; who prints it chooses unit and digits."""

from __future__ import annotations

from collections.abc import Callable
from math import radians
from typing import Any

from headrace.machine.naming import ENDINGS
from headrace.paper.words import celsius, plain, rpm, watts

# how much of the record's unit one of the bench is
HOLDS = {
    "Wh": 3600.0,  # J
    "Ah": 3600.0,  # A s
    "µs": 1e-6,
    "ms": 1e-3,
    "h": 3600.0,
    "days": 86_400.0,
    "months": 31_557_600.0 / 12.0,  # of a year of 365.25 days
    "mV": 1e-3,
    "mA": 1e-3,
    "mΩ": 1e-3,
    "mF": 1e-3,
    "g": 1e-3,  # kg
    "cm": 1e-2,
    "mm": 1e-3,
    "l/min": 1e-3 / 60.0,  # m³/s
    "°": radians(1.0),
}

# what every paper says alike
ALIKE: dict[str, Callable[[Any], str]] = {"W": watts, "K": celsius, "rad_s": rpm}


def turned(value: float, unit: str) -> float:
    """Return a number of the record in a unit of the bench."""
    return value / HOLDS[unit]


def of_the_record(number: float, unit: str) -> float:
    """Return so many of a unit of the bench in the unit of the record: what 2 months are in seconds."""
    return number * HOLDS[unit]


def said_in(value: float, unit: str, digits: int = 1) -> str:
    """Return a number of the record in a unit of the bench, to so many digits behind the point."""
    return plain(turned(value, unit), unit, digits)


def symbol(ending: str) -> str:
    """Return the unit that the ending of a record's key stands for: "Ω" of "ohm"."""
    return ENDINGS.get(ending, ending)
