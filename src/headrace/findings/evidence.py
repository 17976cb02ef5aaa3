"""What the findings judge: the machine, its three days, and the corners it is held against."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.machine.records import Lanes, Machine
from headrace.runs.run import Run

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Days:
    """The same job on three days. New: new cells, usual weather. Aged: at end of life. Hot: aged, hottest weather."""

    new: Run
    aged: Run
    hot: Run


@dataclass(frozen=True)
class Corners:
    """Operating points at the ends of what may happen; arrays over lanes.

    Attributes
    ----------
    fastest_tip
        After a full charge, without load, magnets warm from work. [m/s]
    slowest_tip
        In the slowest cutting state at the reserve, cells at end of life; 0 where the blade does not turn. [m/s]
    slowest_state
        Index of that duty state. [-]
    lowest_bus
        Lowest voltage at the controller at the reserve, cells at end of life, usual and coldest weather. [V]
    lowest_cell
        Lowest voltage of a cell at the same corners. [V]
    rms_cell_current, peak_cell_current
        Over a cycle of the job on a full pack, in one cell. [A]
    motor_current
        Root mean square over the cycle, full pack, warm motor. [A]
    motor_speed
        Mean over the same cycle. [rad/s]
    """

    fastest_tip: Array
    slowest_tip: Array
    slowest_state: npt.NDArray[np.int64]
    lowest_bus: Array
    lowest_cell: Array
    rms_cell_current: Array
    peak_cell_current: Array
    motor_current: Array
    motor_speed: Array


@dataclass(frozen=True)
class Stop:
    """How long the blade turns after release, at its fastest corner; arrays over lanes.

    Attributes
    ----------
    time
        With the brake the file plans, or without one. [s]
    brake
        Words for the brake that would do it, typical lane. [-]
    """

    time: Array
    brake: str


@dataclass(frozen=True)
class Swing:
    """What one number's band does to the power drawn from the cells, everything else typical."""

    address: str
    basis: str
    low: float  # W, mean power with the number at its low end
    high: float  # W

    @property
    def width(self) -> float:
        """Distance between the two. [W]"""
        return abs(self.high - self.low)


@dataclass(frozen=True)
class Evidence:
    """Everything a finding may look at."""

    machine: Machine
    days: Days
    corners: Corners
    stop: Stop
    swings: tuple[Swing, ...]
    mass: Lanes  # kg
    cost: Lanes  # money
    cells: Lanes  # -
    room: Lanes  # cells the box takes
    full_voltage: Lanes  # V, after a full charge
    motor_continuous: Lanes  # A, the motor can carry for hours in the hottest weather
    shape: tuple[int, ...]
