"""A link known by a table of measured efficiencies: the table is put into the keys of its own loss law.

From here on the link is like any other: it has a loss at every load and speed, not only where somebody measured.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from headrace.machine.form_corded import DcDcTable, InverterTable
from headrace.machine.form_links import ControllerTable, MotorTable, TransmissionTable, WormTable
from headrace.machine.form_table import Table
from headrace.machine.quantities import Written, usual_band
from headrace.machine.records import Origin
from headrace.physics import efficiency_tables
from headrace.tables import load

Array = npt.NDArray[np.float64]
AnyTable = TypeVar("AnyTable", bound=Table)
SOURCE = "efficiencies in the machine file"


@dataclass(frozen=True)
class Fit:
    """What a table of efficiencies says of a link: its keys in SI, and the efficiencies they would give."""

    keys: dict[str, float]
    efficiencies: Array


def fit(table: Any) -> Fit:
    """Return what a link's table of efficiencies says of it.

    Parameters
    ----------
    table
        Of a transmission, worm, motor with magnets, controller or converter, its ``efficiencies`` given.
    """
    columns = [np.array([cell.typical for cell in column]) for column in zip(*table.efficiencies, strict=True)]
    return FITS[type(table)](table, *columns)


def filled(table: AnyTable) -> AnyTable:
    """Return a link's table with what its efficiencies say put into its keys; the table itself where it has none."""
    if getattr(table, "efficiencies", None) is None:
        return table
    found = fit(table).keys
    keys = {key: _measured(value) for key, value in found.items() if key in type(table).model_fields}
    return table.model_copy(update=keys)


def measured(address: str, value: float, unit: str, line: int) -> Origin:
    """Return where a number comes from that a table of efficiencies says and no key of the link does."""
    low, high = usual_band(value, "measured")
    return Origin(address, "measured", SOURCE, value, low, high, unit, f"{value:.4g}", line)


def _measured(value: float) -> Written:
    low, high = usual_band(value, "measured")
    return Written(f"{value:.4g}", value, low, high, "measured", SOURCE)


def _usual(key: str) -> float:
    return next(float(row["typical"]) for row in load("defaults") if row["key"] == key)


def _stage(table: TransmissionTable | WormTable, torque: Array, efficiency: Array) -> Fit:
    creep = getattr(table, "creep", None)
    slip = creep.typical if creep is not None else _usual(f"{table.kind}.creep")
    found = efficiency_tables.stage_from_efficiencies(torque, efficiency, table.ratio.typical, slip)
    return Fit({"efficiency": found.efficiency, "drag": found.drag, "drag_slope": 0.0}, found.rows)


def _motor(table: MotorTable, speed: Array, torque: Array, efficiency: Array) -> Fit:
    drop = table.brush_drop.typical if table.brush_drop is not None else _usual(f"dc-motor.brush_drop.{_make(table)}")
    constant = table.constant.typical if table.constant is not None else np.nan
    found = efficiency_tables.motor_from_efficiencies(speed, torque, efficiency, constant, drop)
    keys = {"resistance": found.resistance, "drag": found.drag, "drag_slope": found.drag_slope, "drag_square": 0.0}
    return Fit(keys, found.rows)


def _make(table: MotorTable) -> str:
    return table.commutation or "brushed"


def _controller(_: ControllerTable, current: Array, voltage: Array, efficiency: Array) -> Fit:
    found = efficiency_tables.controller_from_efficiencies(current, voltage, efficiency)
    return Fit({"idle_power": found.idle_power, "resistance": found.resistance}, found.rows)


def _converter(table: InverterTable | DcDcTable, power: Array, efficiency: Array) -> Fit:
    found = efficiency_tables.converter_from_efficiencies(power, efficiency)
    square = found.square * table.power.typical  # the key counts it at the plate's power
    return Fit({"idle_power": found.idle_power, "linear": found.linear, "square": square}, found.rows)


FITS: dict[type[Table], Callable[..., Fit]] = {
    TransmissionTable: _stage,
    WormTable: _stage,
    MotorTable: _motor,
    ControllerTable: _controller,
    InverterTable: _converter,
    DcDcTable: _converter,
}
