"""The form of ``[board]`` and ``[pre_charge]``: what opens by itself, and what fills the capacitors first."""

from __future__ import annotations

from typing import Annotated

from headrace.machine.form_table import Table
from headrace.machine.quantities import Quantity, Written

Amps = Annotated[Written | None, Quantity("current", 0.1, 20_000.0, "written")]
OfAGroup = Annotated[Written | None, Quantity("voltage", 0.5, 20.0, "written")]
Delay = Annotated[Written | None, Quantity("time", 1e-6, 60.0, "written")]


class BoardTable(Table):
    """The protection board on the cells. Volts are of one group; more than ``peak`` amps it bears for their delay."""

    continuous: Amps = None
    peak: Amps = None
    peak_delay: Delay = None
    short_circuit: Amps = None
    short_circuit_delay: Delay = None
    under_voltage: OfAGroup = None
    under_voltage_delay: Delay = None
    over_voltage: OfAGroup = None
    balance_current: Annotated[Written | None, Quantity("current", 1e-3, 20.0, "written")] = None


class PreChargeTable(Table):
    """A resistor that fills the capacitors before the main contact closes.

    It is held for ``time`` and rated for ``power``; one that ``times_out`` is taken off by itself if the main contact
    never closes. No more than ``step`` volts may be left for the main contact.
    """

    resistance: Annotated[Written, Quantity("resistance", 0.1, 1e5, "written")]
    power: Annotated[Written | None, Quantity("power", 0.1, 1000.0, "none")] = None
    burst: Annotated[Written | None, Quantity("time", 0.1, 1000.0, "written")] = None
    time: Annotated[Written | None, Quantity("time", 0.01, 60.0, "written")] = None
    step: Annotated[Written | None, Quantity("voltage", 0.1, 50.0, "none")] = None
    times_out: bool = False
