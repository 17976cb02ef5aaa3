"""What the findings judge: the machine, its four days, and the corners it is held against."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from headrace.drive.bogging import Bog
from headrace.drive.starting import Start
from headrace.findings.poise import Balanced
from headrace.findings.rest import Slope, Stop, Stopping, longest
from headrace.machine.records import Lanes, Machine
from headrace.runs.charge import Charging
from headrace.runs.run import Run
from headrace.runs.warming import Warming
from headrace.wiring.brake import Braking, brakes
from headrace.wiring.conductors import Conductor, guarded
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard
from headrace.wiring.netlist import Netlist
from headrace.wiring.order_step import Step

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
    coldest
        The same in the coldest weather.
    lowest_bus
        Lowest voltage at the controller at the reserve, cells at end of life, usual and coldest weather. [V]
    lowest_cell
        Lowest voltage of a cell at the same corners. [V]
    lowest_group
        The same of the weakest of its groups in series, the others as they are. [V]
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
    chain_current
        Of each chain's battery leads: root mean square over the cycle, the greatest of all corners. [A]
    """

    fastest: tuple[Lanes, ...]
    slowest: tuple[Lanes, ...]
    coldest: tuple[Lanes, ...]
    lowest_bus: Lanes
    lowest_cell: Lanes
    lowest_group: Lanes
    rms_cell_current: Lanes
    peak_cell_current: Lanes
    motor_current: tuple[Lanes, ...]
    motor_speed: tuple[Lanes, ...]
    apparent: tuple[Lanes, ...]
    shaft_power: tuple[Lanes, ...]
    chain_current: tuple[Lanes, ...]


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


Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Enduring:
    """How one chain's motor warms in one duty state without a pause, in the hottest weather."""

    chain: str
    state: str
    warming: Warming
    stops: Mask  # lanes in which the load stops it once it is warm; what is said of its warming is then of a cold motor


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
    stopping: Callable[[], tuple[Stopping, ...]]  # worked out when a rule asks, as the next ones
    starting: Callable[[], tuple[Starting, ...]]
    bogging: Callable[[], tuple[tuple[Bog, ...], ...]]
    sloping: Callable[[], tuple[Slope, ...]]
    balancing: Callable[[], Balanced | None]
    enduring: Callable[[], tuple[Enduring, ...]]
    filling: Callable[[], Charging | None]
    wiring: Callable[[], tuple[Conductor, ...]]
    fusing: Callable[[Evidence], Fused | None]
    proposing: Callable[[Fused | None], tuple[Conductor, ...]]
    guarding: Callable[[tuple[Starting, ...], Fused | None, tuple[Braking, ...]], Guard | None]
    joining: Callable[[Evidence], Netlist | None]
    ordering: Callable[[Evidence], tuple[Step, ...]]
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
        return longest(self.stops)

    @cached_property
    def balance(self) -> Balanced | None:
        """How it stands on its axles; None where the file does not say."""
        return self.balancing()

    @cached_property
    def starts(self) -> tuple[Starting, ...]:
        """How each chain gets to speed."""
        return self.starting()

    @cached_property
    def bogs(self) -> tuple[tuple[Bog, ...], ...]:
        """How far each chain is from bogging down in each of its loaded states."""
        return self.bogging()

    @cached_property
    def slopes(self) -> tuple[Slope, ...]:
        """What holds each chain on its slopes and under its loads, and what it gives back on its way down."""
        return self.sloping()

    @cached_property
    def brakes(self) -> tuple[Braking, ...]:
        """Of its chains, on release: those planned, and those proposed."""
        return tuple(brakes(self.machine, ((one.planned, one.proposed) for one in self.stops)))

    @cached_property
    def guard(self) -> Guard | None:
        """What stands between pack and machine; None of what never empties."""
        return self.guarding(self.starts, self.fused, self.brakes)

    @cached_property
    def endures(self) -> tuple[Enduring, ...]:
        """How each motor warms in each duty state."""
        return self.enduring()

    @cached_property
    def charging(self) -> Charging | None:
        """How its pack is charged and put away; None of a source that never empties."""
        return self.filling()

    @cached_property
    def wires(self) -> tuple[Conductor, ...]:
        """What every cable carries, and whether it can."""
        return self.wiring()

    @cached_property
    def fused(self) -> Fused | None:
        """How the main fuse does; None where the source has its own."""
        return self.fusing(self)

    @cached_property
    def proposals(self) -> tuple[Conductor, ...]:
        """What the wires of the netlist need that the file has no cable for; no rule looks at them."""
        return self.proposing(self.fused)

    @cached_property
    def laid(self) -> tuple[Conductor, ...]:
        """Every cable of the file, those of the main line with the size that the main fuse asks for as well."""
        found = self.fused
        if found is None or found.kind is None:
            return self.wires
        hot = self.machine.limits.ambient_hot
        return tuple(guarded(wire, found.rating, hot) if wire.side == "source" else wire for wire in self.wires)

    @property
    def runs(self) -> tuple[Conductor, ...]:
        """Every cable of the file, and after them those proposed."""
        return (*self.laid, *self.proposals)

    @cached_property
    def netlist(self) -> Netlist | None:
        """What is joined to what in one straightforward wiring; None of what never empties."""
        return self.joining(self)

    @cached_property
    def order(self) -> tuple[Step, ...]:
        """In which order the pack is connected; nothing of what never empties."""
        return self.ordering(self)
