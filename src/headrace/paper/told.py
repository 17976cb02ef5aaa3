"""Numbers of the file as a builder says them: whatever unit they are kept in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from headrace.machine.naming import ENDINGS
from headrace.paper.units_of_words import ALIKE, said_in
from headrace.paper.words import RPM, minutes, percent, plain, watt_hours

Record = dict[str, Any]
HAND = 1.0  # m, below which a length is said in centimetres
SHARES = ("reserve", "capacity", "efficiency", "share", "part_of_cutting", "drop", "storage", "check", "friction")

UNITS: dict[str, Callable[[float], str]] = {
    **{ENDINGS[ending]: say for ending, say in ALIKE.items()},
    "s": minutes,
    "J": watt_hours,
    "m³/s": lambda value: said_in(value, "l/min"),
    "V·s/rad": lambda value: plain(RPM / value, "rpm/V"),  # as a plate says it
    "rad": lambda value: said_in(value, "°"),
    "m": lambda value: said_in(value, "cm") if value < HAND else plain(value, "m"),
    "m²": lambda value: plain(1e6 * value, "mm²") if value < 1e-3 else plain(value, "m²", 0),
    "money": lambda value: plain(value, "", 2).removesuffix(".00"),
}


def told(number: Record) -> str:
    """Return one entry of a record's ``numbers`` with its bench unit."""
    value, unit = number["value"], number["unit"]
    if value is None:
        return "not set"
    if unit == "-":
        last = number["address"].rpartition(".")[2]
        return percent(value) if last.endswith(SHARES) and value <= 1.0 else _digits(value)
    return UNITS[unit](value) if unit in UNITS else f"{_digits(value)} {unit}"


def _digits(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"
