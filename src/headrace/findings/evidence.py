"""What the findings judge: the machine, its four days, and the corners it is held against."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from headrace.drive.descent import Descent, Runaway, Standing
from headrace.drive.starting import Start
from headrace.drive.stopping import Brake
from headrace.machine.records import Lanes, Machine
from headrace.physics import duty
from headrace.runs.run import Run
from headrace.runs.warming import Warming

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Days:
    """The same job on four days: cells new and at end of life, each in the usual and in the hottest weather."""

    new: Run
    aged: Run
    hot: Run  # new cells: more volts, so more watts and a longer day
    hot_aged: Run  # more heat in the cells

    @property
    def hottest_cell(self) -> Array:
        """Highest cell temperature on either hot day. [K]"""
        return np.maximum(self.hot.highest_cell_temperature, self.hot_aged.highest_cell_temperature)

    @property
    def hottest_winding(self) -> Array:
        """Highest winding temperature on either hot day. [K]"""
        return np.maximum(self.hot.highest_winding, self.hot_aged.highest_winding)

    @property
    def hottest_case(self) -> Array:
        """Highest case temperature on either hot day. [K]"""
        return np.maximum(self.hot.highest_case, self.hot_aged.highest_case)


@dataclass(frozen=True)
class Corners:
    """Operating points at the ends of what may happen; arrays over lanes.

    Attributes
    ----------
    fastest
        Pace of each chain's tool after a full charge, without load, magnets warm from work.
    slowest
        Pace of each chain's tool in its slowest loaded state at the reserve, cells at end of life; 0 where the load
        stops it. What a cut-out does is judged by ``lowest_bus``.
    lowest_bus
        Lowest voltage at the controller at the reserve, cells at end of life, usual and coldest weather. [V]
    lowest_cell
        Lowest voltage of a cell at the same corners. [V]
    rms_cell_current, peak_cell_current
        Over a cycle of the job in one cell, the greatest of all corners: full, and at the reserve in the usual and in
        the coldest weather. A motor at full voltage asks for most when full, one at a held speed when empty. [A]
    motor_current
        Of each chain's motor: root mean square over the cycle, full pack, warm motor. [A]
    motor_speed
        Of each, the mean over the same cycle. [rad/s]
    apparent
        Asked of each chain's converter in its hardest duty state, full pack, warm motor; 0 without one. [VA]
    shaft_power
        Of each, the mean over the same cycle at its shaft. [W]
    """

    fastest: tuple[Lanes, ...]
    slowest: tuple[Lanes, ...]
    lowest_bus: Lanes
    lowest_cell: Lanes
    rms_cell_current: Lanes
    peak_cell_current: Lanes
    motor_current: tuple[Lanes, ...]
    motor_speed: tuple[Lanes, ...]
    apparent: tuple[Lanes, ...]
    shaft_power: tuple[Lanes, ...]


@dataclass(frozen=True)
class Stopping:
    """How a chain comes to rest after release, from its fastest corner; arrays over lanes.

    Attributes
    ----------
    chain, tool
        Their names.
    cuts
        Whether the tool hurts who touches it before it stands.
    limit
        Time a rule allows; infinite where none does. [s]
    tool_speed
        At release: after a full charge, without load, magnets warm. [rad/s]
    coast_time
        With nothing but drag at the low ends of its bands. [s]
    spin_energy
        Of all that turns or moves, at release. [J]
    planned
        The brake of the file, if it works with the pack unplugged; None without.
    proposed
        The largest usual resistor that stops what cuts in time in the first lane; None where none is proposed.
    why
        The word for why none is: see ``WHY``.
    short_current
        Of the motor shorted outright at that speed, at first; nan without magnets. [A]
    most_current
        Above which its magnets or its commutator are harmed; nan or infinite where nothing is known. [A]
    """

    chain: str
    tool: str
    cuts: bool
    limit: float
    tool_speed: Lanes
    coast_time: Lanes
    spin_energy: Lanes
    planned: Brake | None
    proposed: Brake | None
    why: str
    short_current: Lanes
    most_current: Lanes

    @property
    def time(self) -> Lanes:
        """With the brake that is planned, else without one. [s]"""
        return self.coast_time if self.planned is None else self.planned.time


WHY = {
    "proposed": "a resistor across the motor on release stops it in time",
    "no-need": "nothing that cuts turns on for long",
    "no-magnets": "without current this motor has no field, so no resistor brakes it; it needs a brake of its own",
    "too-weak": "no usual resistor across the motor stops it in time; it needs a brake of its own",
    "harms": (
        "a resistor that stops it in time draws more at first than the motor is known to stand; it needs a brake of "
        "its own"
    ),
}


@dataclass(frozen=True)
class Stop:
    """How long what cuts turns after release, at its fastest corner; arrays over lanes.

    Attributes
    ----------
    time
        Of the tool that turns longest. [s]
    limit
        Time allowed; infinite where no rule sets one. [s]
    longest
        The chain that turns longest in the first lane; None where none cuts.
    """

    time: Lanes
    limit: float
    longest: Stopping | None


@dataclass(frozen=True)
class Slope:
    """A chain on a slope or under a load in one duty state; arrays over lanes.

    Attributes
    ----------
    chain, tool, state
        Their names.
    standing
        What holds it at rest, drag at the low ends of its bands.
    descent
        How its motor holds it on its way down, from a full pack with worn cells on the coldest day; None where the
        state goes up, or where the motor cannot hold it.
    runaway
        How it runs away on its way down, nothing holding it; None where the state goes up.
    regenerates
        Whether what comes back goes into the pack.
    headroom
        Charge that has to be out of the pack before the descent, so that the cells stay below their full voltage. [A·s]
    """

    chain: str
    tool: str
    state: str
    standing: Standing
    descent: Descent | None
    runaway: Runaway | None
    regenerates: bool
    headroom: Lanes

    @property
    def down(self) -> bool:
        """Whether the state goes down."""
        return self.runaway is not None


@dataclass(frozen=True)
class Starting:
    """How a chain gets to speed, and what it does held fast; arrays over lanes.

    Attributes
    ----------
    chain
        Its name.
    full
        On a full pack in the job's weather; of several states the gravest of each number.
    empty
        At the reserve, cells at end of life, in the coldest weather.
    stall_current, stall_time
        Of the motor held fast on a full pack, and until its winding is too hot, from warm. [A, s]
    """

    chain: str
    full: Start
    empty: Start
    stall_current: Lanes
    stall_time: Lanes


@dataclass(frozen=True)
class Enduring:
    """How one chain's motor warms in one duty state without a pause, in the hottest weather."""

    chain: str
    state: str
    warming: Warming


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
    stopping: Callable[[], tuple[Stopping, ...]]  # worked out when a rule asks, as the next two
    starting: Callable[[], tuple[Starting, ...]]
    sloping: Callable[[], tuple[Slope, ...]]
    enduring: Callable[[], tuple[Enduring, ...]]
    swings: tuple[Swing, ...]
    mass: Lanes  # kg
    cost: Lanes  # money
    cells: Lanes  # -
    room: Lanes  # cells the box takes
    full_voltage: Lanes  # V, after a full charge
    motor_continuous: tuple[Lanes, ...]  # A, each chain's motor can carry for hours in the hottest weather
    shape: tuple[int, ...]

    @cached_property
    def stops(self) -> tuple[Stopping, ...]:
        """How each chain comes to rest."""
        return self.stopping()

    @property
    def stop(self) -> Stop:
        """How long what cuts turns after release: of what has to stand within a time, else of all that cuts."""
        limit = min(one.limit for one in self.stops)
        cutting = [one for one in self.stops if one.cuts and one.limit <= limit]
        if not cutting:
            return Stop(np.nan, limit, None)
        slowest = int(np.argmax([float(np.asarray(one.time).flat[0]) for one in cutting]))
        return Stop(duty.greatest([one.time for one in cutting]), limit, cutting[slowest])

    @cached_property
    def starts(self) -> tuple[Starting, ...]:
        """How each chain gets to speed."""
        return self.starting()

    @cached_property
    def slopes(self) -> tuple[Slope, ...]:
        """What holds each chain on its slopes and under its loads, and what it gives back on its way down."""
        return self.sloping()

    @cached_property
    def endures(self) -> tuple[Enduring, ...]:
        """How each motor warms in each duty state."""
        return self.enduring()
