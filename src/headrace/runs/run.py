"""A Run: what happened, as channels over time and as the sums, extremes and first times of a day."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


class End(IntEnum):
    """What ended a run in one lane."""

    JOB_DONE = 0
    CELLS_EMPTY = 1
    CELL_FLOOR = 2
    CUT_OUT = 3
    NO_CROSSING = 4
    STALL = 5
    WINDING_LIMIT = 6
    CELL_HEAT = 7
    TIME_LIMIT = 8
    SOURCE_LIMIT = 9
    OVERLOAD = 10

    @property
    def slug(self) -> str:
        """Name in the record."""
        return self.name.lower().replace("_", "-")


REASONS = {
    End.JOB_DONE: "the job is done",
    End.CELLS_EMPTY: "the pack is empty",
    End.CELL_FLOOR: "a cell falls below its lowest voltage under load",
    End.CUT_OUT: "the electronics cut out on low voltage",
    End.NO_CROSSING: "the load slows the tool to a stop",
    End.STALL: "the motor cannot turn",
    End.WINDING_LIMIT: "the winding reaches its temperature limit",
    End.CELL_HEAT: "the cells reach their temperature limit",
    End.TIME_LIMIT: "the run was stopped after the longest time looked at",
    End.SOURCE_LIMIT: "the source lets no more amps through",
    End.OVERLOAD: "the converter switches off under too much load",
}


@dataclass(frozen=True)
class Instant:
    """One moment of a run, kept so that the point can be opened again; arrays over lanes."""

    time: float  # s, of the first lane
    charge: Array
    cell_temperature: Array  # K
    slow_voltages: tuple[Array, Array]  # V
    behind: Array  # -
    winding: tuple[Array, ...]  # K, one for each chain
    case: tuple[Array, ...]  # K


@dataclass(frozen=True)
class Trace:
    """Channels over time; each array is [step, lane...]. Values hold from the time given to the next."""

    time: Array  # s, of the first lane; where the shares of the states are drawn, others are at the same step of theirs
    seconds: Array  # s, for which the step was held
    state: npt.NDArray[np.int64]  # index of the duty state
    charge: Array  # -
    terminal_voltage: Array  # V
    cell_voltage: Array  # V, inside the cells' limits
    battery_current: Array  # A
    power: Array  # W, given at the terminals
    tool_speed: Array  # rad/s, first chain
    pace: Array  # first chain's, in the unit of its tool
    cell_temperature: Array  # K
    winding: Array  # K, hottest chain
    running: npt.NDArray[np.bool_]
    instants: tuple[Instant, ...]


@dataclass(frozen=True)
class Run:
    """A day's work in lanes.

    Attributes
    ----------
    ended_because
        ``End`` codes.
    duration
        Time worked. [s]
    energy
        Given at the terminals. [J]
    cell_energy
        Given by the cells before any of their own losses. [J]
    charge_left
        In the last pack, at the end. [-]
    topped_up
        Charge that a rest on the charger put in. [-]
    to_reserve
        Time until the reserve was touched, or the end if that came first. [s]
    amount, well_done
        What the first chain's tool got done, and got done at an acceptable pace, in the unit of its kind.
    lowest_cell_voltage
        Under load. [V]
    highest_cell_temperature, highest_winding, highest_case
        Over the run. [K]
    pace_full, pace_empty
        Slowest pace of the first chain's tool among the loaded states in the first and the last cycle worked.
    rms_cell_current, peak_cell_current
        In one cell. [A]
    trace
        Channels over time where they were asked for.
    """

    ended_because: npt.NDArray[np.int8]
    duration: Array
    energy: Array
    cell_energy: Array
    charge_left: Array
    topped_up: Array
    to_reserve: Array
    amount: Array
    well_done: Array
    lowest_cell_voltage: Array
    highest_cell_temperature: Array
    highest_winding: Array
    highest_case: Array
    pace_full: Array
    pace_empty: Array
    rms_cell_current: Array
    peak_cell_current: Array
    trace: Trace | None
