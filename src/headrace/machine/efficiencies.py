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
from headrace.machine.quantities import Written
from headrace.machine.records import Origin
from headrace.physics import efficiency_tables
from headrace.tables import load

Array = npt.NDArray[np.float64]
Terms = tuple[dict[str, float], Array]
AnyTable = TypeVar("AnyTable", bound=Table)
SOURCE = "efficiencies in the machine file"
METER = 0.01  # standard uncertainty of a power meter, as a share of what it shows; common practice
WITHIN = 1.645  # of that to the 5 % and 95 % ends
MOST_DOUBT = 0.9  # of the losses


@dataclass(frozen=True)
class Fit:
    """What a table of efficiencies says of a link: its keys in SI, and the efficiencies they would give."""

    keys: dict[str, float]
    efficiencies: Array
    doubt: float  # of the losses, as a share of them, either way


def fit(table: Any) -> Fit:
    """Return what a link's table of efficiencies says of it.

    Parameters
    ----------
    table
        Of a transmission, worm, motor with magnets, controller or converter, its ``efficiencies`` given.
    """
    columns = [np.array([cell.typical for cell in column]) for column in zip(*table.efficiencies, strict=True)]
    keys, made = FITS[type(table)](table, *columns)
    return Fit(keys, made, _doubt(columns[-1]))


def _doubt(efficiency: Array) -> float:
    """Return how far the losses may be off, either way, by two meters that know nothing of each other. [-]"""
    lost = 1.0 - float(np.mean(efficiency))
    return min(WITHIN * float(np.sqrt(2.0)) * METER / max(lost, METER), MOST_DOUBT)


def filled(table: AnyTable) -> AnyTable:
    """Return a link's table with what its efficiencies say put into its keys; the table itself where it has none."""
    if getattr(table, "efficiencies", None) is None:
        return table
    found = fit(table)
    keys = {
        key: _measured(key, value, found.doubt) for key, value in found.keys.items() if key in type(table).model_fields
    }
    return table.model_copy(update=keys)


def measured(address: str, value: float, doubt: float, unit: str, line: int) -> Origin:
    """Return where a number comes from that a table of efficiencies says and no key of the link does."""
    low, high = _band(address.rpartition(".")[2], value, doubt)
    return Origin(address, "measured", SOURCE, value, low, high, unit, f"{value:.4g}", line)


def _measured(key: str, value: float, doubt: float) -> Written:
    return Written(f"{value:.4g}", value, *_band(key, value, doubt), "measured", SOURCE)


def _band(key: str, value: float, doubt: float) -> tuple[float, float]:
    """Return the ends of the band of a term: what is in doubt is the loss, also of an efficiency."""
    if key == "efficiency":
        return 1.0 - (1.0 - value) * (1.0 + doubt), 1.0 - (1.0 - value) * (1.0 - doubt)
    return value * (1.0 - doubt), value * (1.0 + doubt)


def _usual(key: str) -> float:
    return next(float(row["typical"]) for row in load("defaults") if row["key"] == key)


def _stage(table: TransmissionTable | WormTable, torque: Array, efficiency: Array) -> Terms:
    creep = getattr(table, "creep", None)
    slip = creep.typical if creep is not None else _usual(f"{table.kind}.creep")
    found = efficiency_tables.stage_from_efficiencies(torque, efficiency, table.ratio.typical, slip)
    return ({"efficiency": found.efficiency, "drag": found.drag, "drag_slope": 0.0}, found.rows)


def _motor(table: MotorTable, speed: Array, torque: Array, efficiency: Array) -> Terms:
    drop = table.brush_drop.typical if table.brush_drop is not None else _usual(f"dc-motor.brush_drop.{_make(table)}")
    constant = table.constant.typical if table.constant is not None else np.nan
    found = efficiency_tables.motor_from_efficiencies(speed, torque, efficiency, constant, drop)
    keys = {"resistance": found.resistance, "drag": found.drag, "drag_slope": found.drag_slope, "drag_square": 0.0}
    return keys, found.rows


def _make(table: MotorTable) -> str:
    return table.commutation or "brushed"


def _controller(_: ControllerTable, current: Array, voltage: Array, efficiency: Array) -> Terms:
    found = efficiency_tables.controller_from_efficiencies(current, voltage, efficiency)
    return ({"idle_power": found.idle_power, "resistance": found.resistance}, found.rows)


def _converter(table: InverterTable | DcDcTable, power: Array, efficiency: Array) -> Terms:
    found = efficiency_tables.converter_from_efficiencies(power, efficiency)
    square = found.square * table.power.typical  # the key counts it at the plate's power
    return ({"idle_power": found.idle_power, "linear": found.linear, "square": square}, found.rows)


FITS: dict[type[Table], Callable[..., Terms]] = {
    TransmissionTable: _stage,
    WormTable: _stage,
    MotorTable: _motor,
    ControllerTable: _controller,
    InverterTable: _converter,
    DcDcTable: _converter,
}
