"""For how long nothing flows before the volts of a pack are read."""

from __future__ import annotations

from headrace.machine.practice import practice
from headrace.machine.records import Lanes, Source

UNRESTED = "it is not read at rest"


def rest_before(source: Source) -> Lanes:
    """Return for how long a pack rests before its volts are read: a lead-acid battery stands high for a day. [s]"""
    return practice("readings.rest.lead-acid" if source.kind == "batteries" else "readings.rest")
