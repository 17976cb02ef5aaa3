"""What the findings are told of rest: how each chain stops, what holds it on a slope, what it gives back going down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headrace.drive.descent import Descent, Runaway, Standing
from headrace.drive.stopping import Brake
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.physics import duty
from headrace.wiring.brake_words import brake_words


@dataclass(frozen=True)
class Timed:
    """A stop as somebody times it: the machine as planned, let go without load at full volts, motor cold; over lanes.

    Attributes
    ----------
    tool_speed
        At release; nan where it does not turn so. [rad/s]
    current
        Drawn from the source before that. [A]
    coast_time
        With nothing but drag. [s]
    braked_time
        With the brake the file plans, if it works with the pack unplugged, else with the one proposed that is drawn;
        nan without one. [s]
    reason
        Why nobody times it; "" where somebody can.
    care
        What is seen to before, as wheels off the ground; "" where nothing is.
    """

    tool_speed: Lanes
    current: Lanes
    coast_time: Lanes
    braked_time: Lanes
    reason: str
    care: str


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
    only_fed
        Whether the file has one that does not, and is not counted.
    proposed
        The largest usual resistor that stops what cuts in time in the first lane; None where none is proposed.
    why
        The word for why none is: see ``reason``.
    short_current
        Of the motor shorted outright at that speed, at first; nan without magnets. [A]
    most_current
        Above which its magnets or its commutator are harmed; nan or infinite where nothing is known. [A]
    timed
        The same stop as somebody times it, of the machine as planned.
    by_controller
        Whether its motor hangs on three wires, so that its controller has to brake it and no resistor does.
    drawn
        Whether the brake that is proposed is on the wiring diagram and the shopping list, so that it is built.
    """

    chain: str
    tool: str
    cuts: bool
    limit: float
    tool_speed: Lanes
    coast_time: Lanes
    spin_energy: Lanes
    planned: Brake | None
    only_fed: bool
    proposed: Brake | None
    why: str
    short_current: Lanes
    most_current: Lanes
    timed: Timed
    by_controller: bool
    drawn: bool

    @property
    def time(self) -> Lanes:
        """With the brake that is planned, else without one. [s]"""
        return self.coast_time if self.planned is None else self.planned.time

    @property
    def built(self) -> Brake | None:
        """The brake that the machine has once it is built as drawn: the file's, else the one proposed; None without."""
        return self.planned or (self.proposed if self.drawn else None)

    @property
    def built_time(self) -> Lanes:
        """With that brake, else without one. [s]"""
        return self.coast_time if self.built is None else self.built.time

    @property
    def reason(self) -> str:
        """The sentence for why a brake is proposed, or none."""
        words = brake_words(by_controller=self.by_controller)
        return {**WHY, "too-weak": words.too_weak, "harms": words.harms}[self.why]


WHY = {  # of both kinds of brake
    "proposed": "a brake on release stops it in time",
    "no-need": "nothing that cuts runs on for long",
    "no-magnets": "without current this motor has no field, so no resistor brakes it; it needs a brake of its own",
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


def longest(stops: Sequence[Stopping]) -> Stop:
    """Return the stop of what cuts and turns longest: of what has to stand within a time, else of all that cuts."""
    limit = min(one.limit for one in stops)
    cutting = [one for one in stops if one.cuts and one.limit <= limit]
    if not cutting:
        return Stop(np.nan, limit, None)
    slowest = int(np.argmax([first_number(one.time) for one in cutting]))
    return Stop(duty.greatest([one.time for one in cutting]), limit, cutting[slowest])
