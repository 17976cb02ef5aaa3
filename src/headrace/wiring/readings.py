"""One reading of a meter: where it is held, what it should say, how far off is still fine, and what it means if not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.machine.printed import printed
from headrace.machine.records import Lanes
from headrace.machine.values import first_lane
from headrace.pack.resting import UNRESTED
from headrace.physics import allowances
from headrace.tables import load

UNITS = {
    "rest-voltage": "V", "rest-full": "V", "loaded-voltage": "V", "current": "A", "speed": "rad_s", "joint": "V",
    "cable": "V", "resistance": "ohm", "coasting": "s", "braking": "s", "warmth": "K", "apart": "V",
}  # fmt: skip
TWICE = ("joint",)  # kinds whose reading is fine up to twice what is expected


@dataclass(frozen=True)
class Reading:
    """One reading; arrays over lanes.

    Attributes
    ----------
    name, kind
        What it is called, and which row of ``reading_bands`` says how far off is still fine.
    where
        What is held where.
    when
        What the machine does meanwhile.
    current
        That flows then; nan where none is asked for. [A]
    expected
        What the meter should say; nan where there is no such reading. [unit]
    low, high
        Of the typical machine: ends of what is still fine. [unit]
    differs
        What it means when it says something else.
    reason
        Why there is nothing to expect; "" where there is.
    rested
        For how long nothing flowed before; nan of what is not read at rest. [s]
    unrested
        Why it is not read at rest, where it is not.
    """

    name: str
    kind: str
    where: str
    when: str
    current: Lanes
    expected: Lanes
    low: Lanes
    high: Lanes
    differs: str
    reason: str = ""
    rested: Lanes = np.nan
    unrested: str = UNRESTED

    @property
    def unit(self) -> str:
        """The unit of the reading, as the ending of a name in the record."""
        return UNITS[self.kind]

    @property
    def fine_by(self) -> str:
        """What says how far off is fine where no draws do: twice what is expected, or the usual bands."""
        return "twice" if self.kind in TWICE else "usual"


def reading(
    name: str,
    kind: str,
    where: str,
    when: str,
    expected: Lanes,
    differs: str,
    *,
    current: Lanes = np.nan,
    start: Lanes = 0.0,
    reason: str = "",
    rested: Lanes = np.nan,
    unrested: str = UNRESTED,
) -> Reading:
    """Return a reading with the ends of what is still fine.

    Parameters
    ----------
    name, kind, where, when, expected, differs, current, reason, rested, unrested
        As in ``Reading``; without a number to expect, ``reason`` is told.
    start
        What the meter says of nothing. [unit]
    """
    row = next(row for row in load("reading_bands") if row["kind"] == kind)
    ends = printed(row, "low"), printed(row, "high")
    typical, nothing = first_lane(expected), first_lane(start)
    there = bool(np.isfinite(typical))
    return Reading(
        name=name,
        kind=kind,
        where=where,
        when=when,
        current=current,
        expected=expected,
        low=allowances.end_of_reading(typical, ends[0], nothing) if there else np.nan,
        high=allowances.end_of_reading(typical, ends[1], nothing) if there else np.nan,
        differs=differs,
        reason="" if there else reason,
        rested=rested,
        unrested=unrested,
    )
