"""A number of the record under a key that ends in its unit, in bench units: ``value_J`` of a pack in watt-hours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from headrace.paper.measures import PACES
from headrace.paper.units_of_words import ALIKE, of_the_record, said_in, symbol
from headrace.paper.words import minutes, plain, watt_hours

Record = dict[str, Any]

KEY = "value"
MONTHS = of_the_record(2.0, "months")  # s, from which on a time is said in months
LEAST_OF_A_PACK = 36_000.0  # J, from which on an energy is said in watt-hours
BRIEF = 0.0995  # s, below which a time is said in milliseconds
FINE = 10.0  # below which a number keeps a second digit


def _joules(value: float) -> str:
    if value >= LEAST_OF_A_PACK:
        return watt_hours(value)
    return plain(value, "J", 0 if value >= FINE else 1)


def _seconds(value: float) -> str:
    if value >= MONTHS:
        return said_in(value, "months", 0)
    if value < BRIEF:
        return said_in(value, "ms", 0)
    return plain(value, "s", 1) if value < 90.0 else minutes(value)


def _volts(value: float) -> str:
    return said_in(value, "mV", 0) if abs(value) < 0.5 else plain(value, "V", 2 if value < FINE else 1)


SAYS: dict[str, Callable[[float], str]] = {
    **ALIKE,
    "J": _joules,
    "s": _seconds,
    "V": _volts,
    "A": lambda value: plain(value, "A", 0 if value >= FINE else 1),
    "N_m": lambda value: plain(value, symbol("N_m")),
    "kg": lambda value: plain(value, "kg"),
    "rad": lambda value: said_in(value, "°", 0),
    "m_s": PACES["tip_speed_m_s"].say,
    "m3_s": PACES["flow_m3_s"].say,
    "": lambda value: plain(value, "", 0),
}


def quantity(told: Record) -> str:
    """Return the number of an item of the record with its unit; the reason where there is none."""
    key = next(key for key in told if key == KEY or key.startswith(f"{KEY}_"))
    value = told[key]
    if value is None:
        return f"({told['reason']})" if told.get("reason") else "–"
    return SAYS[key.removeprefix(KEY).removeprefix("_")](value)


def risen(told: Record) -> str:
    """Return the same where kelvins are a rise above the air."""
    return plain(told["value_K"], "K", 0) if "value_K" in told else quantity(told)
