"""What stands between a pack and its machine: board, pre-charge, switches, joints, sense plug. Arrays over lanes."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.wiring.board import Strain
from headrace.wiring.brake import Braking
from headrace.wiring.pre_charge import Filling, Inrush
from headrace.wiring.sense import Pair, Pin
from headrace.wiring.switching import Switches


@dataclass(frozen=True)
class Guard:
    """All of it, for one machine.

    Attributes
    ----------
    strains
        What may trip the board, by how fast it is; none without a board.
    inrush
        Into the capacitors when a bare contact closes; None where there are none.
    planned, proposed
        The pre-charge of the file, and the one to fit where it has none.
    switches
        What each switch has to carry and to break.
    pins
        Of the sense plug; none where the groups are not wired one by one.
    brakes
        Of the chains that a resistor stops on release.
    pair
        This pack beside another like it.
    """

    strains: tuple[Strain, ...]
    inrush: Inrush | None
    planned: Filling | None
    proposed: Filling | None
    switches: Switches
    pins: tuple[Pin, ...]
    pair: Pair
    brakes: tuple[Braking, ...] = ()
