"""What is said of so many volts within reach, and of mains."""

from __future__ import annotations

from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.pack.transport import touch_limit
from headrace.tables import load

MAINS = (
    "Mains kills: from here on nobody but who may work on it opens a box, a plug or a cord. Local codes and licensed "
    "practice come first."
)


def touch_words(voltage: Lanes) -> str:
    """Return what is said of so many direct volts within reach, in the first lane; "" below every limit."""
    volts = first_number(voltage)
    past = [row for row in load("touch_words") if volts >= first_number(touch_limit(str(row["limit"])))]
    return " ".join(str(row["says"]) for row in past)
