"""How the pace of a tool and the amount of its work are said: one entry for each name a record may have for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi
from typing import Any

from headrace.drive.tools import Measure
from headrace.paper.words import plain, watts

Record = dict[str, Any]


@dataclass(frozen=True)
class Said(Measure):
    """One measure with the words for it and the bench unit it is read in.

    Attributes
    ----------
    name
        Stands before a number.
    title
        Stands over a drawing of it.
    unit, scale
        As it is read, and how many of it make one SI unit.
    digits
        Behind the point.
    """

    name: str
    title: str
    unit: str
    scale: float = 1.0
    digits: int = 0

    def turn(self, value: float) -> float:
        """Return a value in the unit it is read in, as a number."""
        return value * self.scale

    def say(self, value: float | None) -> str:
        """Return a value in the unit it is read in; what is below ten of them keeps a digit behind the point."""
        if value is None:
            return plain(None, self.unit)
        turned = self.turn(value)
        few = 0.05 <= abs(turned) < 9.95
        return plain(turned, self.unit, max(self.digits, 1) if few else self.digits)


PACES = {
    said.field(): said
    for said in (
        Said("tip_speed", "m_s", "tip", "Tip speed", "m/s"),
        Said("tool_speed", "rad_s", "tool", "Tool speed", "rpm", 30.0 / pi),
        Said("flow", "m3_s", "flow", "Flow", "l/min", 60_000.0),
        Said("load_speed", "m_s", "load", "Load speed", "m/s", digits=2),
        Said("travel_speed", "m_s", "travel", "Travel speed", "m/s", digits=2),
    )
}
AMOUNTS = {
    said.field(): said
    for said in (
        Said("area", "m2", "area", "Area", "m²"),
        Said("bored", "m", "bored", "Bored", "m", digits=1),
        Said("sawn", "m2", "sawn", "Sawn", "m²", digits=2),
        Said("chipped", "kg", "chipped", "Chipped", "kg"),
        Said("moved", "m3", "moved", "Moved", "m³", digits=1),
        Said("worked", "J", "work", "Work", "Wh", 1.0 / 3600.0),
        Said("hauled", "m", "hauled", "Hauled", "m"),
        Said("travelled", "m", "travelled", "Travelled", "m"),
    )
}


def pace(record: Record) -> Said:
    """Return the pace of a duty state's, or a day's, record."""
    return PACES[record["pace"]]


def amount(record: Record) -> Said:
    """Return the amount of a day's record."""
    return AMOUNTS[record["amount"]]


def paces(record: Record) -> tuple[Any, Any, Callable[[Any], str]]:
    """Return the pace of a day's record when full and when run out, and how it is said."""
    said = pace(record)
    return record[said.field("full")], record[said.field("empty")], said.say


def amounts(record: Record) -> tuple[Any, Any, Callable[[Any], str]]:
    """Return what a day's record got done, and got done at a good pace, and how it is said."""
    said = amount(record)
    return record[said.field()], record[said.field("well_done")], said.say


def done(record: Record) -> str:
    """Return what a day got done in words."""
    whole, well, say = amounts(record)
    if whole is None:
        return "not counted: the file tells the work in watts"
    return f"{say(whole)}, {say(well)} of it fast enough"


def power_left(record: Record) -> str:
    """Return in words what the pack still has for the machine before it cuts out."""
    full, half, reserve, worst = (watts(record[f"{state}_W"]) for state in ("full", "half", "reserve", "worst"))
    return f"{full} full, {half} half full, {reserve} at the reserve; {worst} there with worn cells on the coldest day"
