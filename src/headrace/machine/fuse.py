"""The main fuse as the rest of the house works with it."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.lanes import Lanes


@dataclass(frozen=True)
class Fuse:
    """A fuse in the pack's line, for direct current."""

    kind: str  # class in tables/fuses.csv
    at: str  # pack, elsewhere
    rating: Lanes  # A
    max_voltage: Lanes  # V
    breaking_capacity: Lanes  # A
