"""Loads that are no plain terms in the speed: a pump on its pipe, a table somebody measured."""

from __future__ import annotations

from typing import NamedTuple, Protocol

from headrace.machine.records import Lanes


class Curve(Protocol):
    """What a tool asks for at its own shaft; a named tuple of numbers, so that lanes of it can be taken.

    It takes no less torque the faster it turns.
    """

    def torque(self, speed: Lanes) -> Lanes:
        """Return the torque at a speed of the tool's shaft, above zero. [N·m]"""


class CurveAtMotor(NamedTuple):
    """A curve as the motor sees it through its links."""

    tool: Curve
    turns: Lanes  # motor turns per turn of the tool
    amps: Lanes  # A for each N m at the tool's shaft

    def current(self, speed: Lanes) -> Lanes:
        """Return the current asked for at a speed of the motor's shaft. [A]"""
        return self.amps * self.tool.torque(speed / self.turns)
