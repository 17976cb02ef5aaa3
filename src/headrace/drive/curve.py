"""Loads that are no plain terms in the speed: a pump on its pipe, a table somebody measured, a motor in series."""

from __future__ import annotations

from typing import NamedTuple, Protocol

from headrace.machine.records import Lanes
from headrace.physics import series_motor, torque_terms
from headrace.physics.torque_terms import TorqueTerms


class Curve(Protocol):
    """What a tool asks for at its own shaft; a named tuple of numbers, so that lanes of it can be taken."""

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


class ShaftLoad(NamedTuple):
    """Torque at the motor shaft, terms and curve together."""

    terms: TorqueTerms
    turns: Lanes  # motor turns per turn of the tool
    tool: Curve | None
    gain: Lanes  # torque at the motor shaft for that at the tool's

    def torque(self, speed: Lanes) -> Lanes:
        """Return the torque asked for at a speed of the motor's shaft, above zero. [N·m]"""
        of_terms = torque_terms.torque_at(self.terms, speed)
        return of_terms if self.tool is None else of_terms + self.gain * self.tool.torque(speed / self.turns)


class SeriesLoad(NamedTuple):
    """A load on a series motor, whose current makes its own field."""

    load: ShaftLoad
    constant: Lanes  # V s/rad, with the iron full
    saturation_current: Lanes  # A
    iron: Lanes  # W/V2

    def current(self, speed: Lanes) -> Lanes:
        """Return the current asked for at a speed of the motor's shaft. [A]"""
        torque = self.load.torque(speed)
        return series_motor.series_current(torque, speed, self.constant, self.saturation_current, self.iron)

    def constant_at(self, current: Lanes) -> Lanes:
        """Return the motor constant at a current. [V·s/rad]"""
        return series_motor.series_constant(current, self.constant, self.saturation_current)
