"""The form of ``[fuse]``: the main fuse of the pack, as it is bought."""

from __future__ import annotations

from typing import Annotated, Literal

from headrace.machine.form_table import Table
from headrace.machine.quantities import Quantity, Written

FuseKind = Literal[
    "blade-small", "blade-standard", "blade-large", "strip-bolted", "stud-block", "ceramic-10x38", "high-break-block"
]


class FuseTable(Table):
    """The main fuse: amps of its rating, volts and breaking capacity for direct current, and where it sits.

    What is left out its class on the shelf of fuses fills in.
    """

    rating: Annotated[Written, Quantity("current", 0.5, 2000.0, "none")]
    kind: FuseKind
    max_voltage: Annotated[Written | None, Quantity("voltage", 3.0, 2000.0, "none")] = None
    breaking_capacity: Annotated[Written | None, Quantity("current", 10.0, 300_000.0, "none")] = None
    at: Literal["pack", "elsewhere"] = "pack"
