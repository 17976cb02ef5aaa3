"""What a drive may know of its source: volts, ohms and the least volts it may be pulled to."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from headrace.machine.records import Lanes


@dataclass(frozen=True)
class Terminals:
    """A source at one instant, seen from its terminals.

    Attributes
    ----------
    open_voltage
        Voltage at rest after hours, all cells in series. [V]
    slow_voltage
        Part of it taken up at this instant by what the cells still have to even out. [V]
    cell_resistance
        What answers a change of current at once, inside the cells. [Ω]
    settled_resistance
        Slow part of the cells' resistance where it has settled; 0 while ``slow_voltage`` says it. [Ω]
    joint_resistance
        Strips and welds. [Ω]
    floor_voltage
        Voltage inside the cells' own limits, joints not counted. [V]
    current_limit
        More than this a board or a fuse of its own does not let through. [A]
    endless
        Whether it is a socket or a supply, so that its resistance is that of a line.
    """

    open_voltage: Lanes
    slow_voltage: Lanes
    cell_resistance: Lanes
    settled_resistance: Lanes
    joint_resistance: Lanes
    floor_voltage: Lanes
    current_limit: Lanes = math.inf
    endless: bool = False

    @property
    def voltage(self) -> Lanes:
        """Voltage the next ampere meets. [V]"""
        return self.open_voltage - self.slow_voltage

    def beside(self, others: Lanes) -> Terminals:
        """Return the source as one chain meets it while the others draw their current. [A]"""
        return replace(self, slow_voltage=self.slow_voltage + self.resistance * others)

    def inside(self, current: Lanes) -> Lanes:
        """Return the voltage inside the cells' own limits under a current, joints not counted. [V]"""
        return self.voltage - (self.cell_resistance + self.settled_resistance) * current

    def given(self, current: Lanes, in_phase: Lanes) -> Lanes:
        """Return the power at the terminals under a current of which a part is in phase with the voltage. [W]"""
        return self.open_voltage * in_phase - (self.slow_voltage + self.resistance * current) * current

    @property
    def resistance(self) -> Lanes:
        """Resistance the next ampere meets. [Ω]"""
        return self.cell_resistance + self.settled_resistance + self.joint_resistance
