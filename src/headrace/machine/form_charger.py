"""The form of ``[charger]``: what its plate says, and how the pack is put away."""

from __future__ import annotations

from typing import Annotated, Literal

from headrace.machine.form_table import Table
from headrace.machine.quantities import Quantity, Written


class ChargerTable(Table):
    """The charger; ``voltage`` is what it holds at the end, ``chemistry`` what its plate says it is for.

    ``drain`` is what board and charger socket take from a pack that stands; ``storage`` the charge it is put away at.
    """

    voltage: Annotated[Written | None, Quantity("voltage", 1.0, 500.0, "none")] = None
    current: Annotated[Written | None, Quantity("current", 0.01, 500.0, "none")] = None
    chemistry: Literal["NMC", "LFP", "sodium", "lead-acid"] | None = None
    end_current: Annotated[Written | None, Quantity("current", 0.001, 100.0, "none")] = None
    efficiency: Annotated[Written | None, Quantity("fraction", 0.3, 1.0)] = None
    drain: Annotated[Written | None, Quantity("current", 0.0, 1.0)] = None
    storage: Annotated[Written | None, Quantity("fraction", 0.05, 1.0, "none")] = None
