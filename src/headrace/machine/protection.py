"""What guards a pack, in SI: the board on its cells, and the resistor before the capacitors behind its switch."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.lanes import Lanes


@dataclass(frozen=True)
class Board:
    """A protection board on the cells: what it lets through, and when it opens."""

    continuous: Lanes  # A, for long
    peak: Lanes  # A, above which it opens once the delay is over
    peak_delay: Lanes  # s
    short_circuit: Lanes  # A, above which it opens at once
    short_circuit_delay: Lanes  # s, that at once takes
    under_voltage: Lanes  # V, of a group
    under_voltage_delay: Lanes  # s
    over_voltage: Lanes  # V, of a group
    balance_current: Lanes  # A, bled from a group that is ahead
    planned: bool  # whether the file has it; otherwise the usual one for these cells


@dataclass(frozen=True)
class PreCharge:
    """A resistor through which the capacitors fill before the main contact closes."""

    resistance: Lanes  # ohm
    power: Lanes  # W, on its plate; inf where the file gives none
    burst: Lanes  # s, of its watts that it takes in one go
    time: Lanes  # s, that it is held
    step: Lanes  # V, that may be left when the main contact closes
    times_out: bool  # whether something takes it off by itself
