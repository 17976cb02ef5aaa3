"""What the stages ask of a tool: how hard it turns, what it does with the power, and how fast is fast enough."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from headrace.drive.curve import Curve
from headrace.machine.records import DutyState, Job, Lanes
from headrace.physics import motors
from headrace.physics.torque_terms import TorqueTerms


@dataclass(frozen=True)
class Measure:
    """A quantity by which a kind of tool is judged or its work counted.

    Attributes
    ----------
    key
        Name without unit: ``tip_speed``.
    suffix
        SI unit, as it ends the key of a record.
    """

    key: str
    suffix: str

    def field(self, when: str = "") -> str:
        """Return its name in a record, of one moment where there are several."""
        return "_".join(part for part in (self.key, when, self.suffix) if part)


@dataclass(frozen=True)
class Feed(Measure):
    """How fast work is brought to a tool that is fed.

    Attributes
    ----------
    of
        Of (state, job): the feed.
    at
        Of (state, job, feed): state and job with another feed.
    """

    of: Callable[[DutyState, Job], Lanes]
    at: Callable[[DutyState, Job, Lanes], tuple[DutyState, Job]]


WALKED = Feed("travel_speed", "m_s", lambda s, j: j.travel_speed, lambda s, j, v: (s, replace(j, travel_speed=v)))
PUSHED = Feed("feed", "m_s", lambda s, j: s.feed, lambda s, j, v: (replace(s, feed=v), j))
STOKED = Feed("material", "kg_s", lambda s, j: s.material, lambda s, j, v: (replace(s, material=v), j))


@dataclass(frozen=True)
class Waste:
    """Power the tool takes without doing its work."""

    name: str
    kind: str
    watts: Lanes
    parameter: str  # field of the tool that carries it


def _none(work: Any, state: DutyState) -> None:
    """Return the curve of a tool that has none."""


def _nothing(work: Any, state: DutyState) -> float:
    """Return nothing: of what a tool carries that carries nothing, or that no weight turns. [kg·m², N·m]"""
    return 0.0


@dataclass(frozen=True)
class Tool:
    """One kind of tool, as functions of its record; speeds are those of the tool's shaft. [rad/s]

    Attributes
    ----------
    pace
        How fast it does what it is there for.
    amount
        What it gets done.
    torque
        Of (record, state, job, temperature of the air): torque asked for at the tool's shaft, as terms in its speed.
    pace_at
        Of (record, speed): its pace.
    speed_at
        Of (record, pace): the speed of the shaft.
    rate
        Of (record, state, job, speed): what it gets done in a second.
    useful
        Of (record, state, job, speed): power that does the work. [W]
    wastes
        Of (record, state, job, temperature of the air, speed): power that does not.
    scaled
        Of (record, waste's kind, share): the record with a waste scaled.
    curve
        Of (record, state): what a loaded tool asks for beyond the terms, where it is no plain terms; None where it is.
    must_stop
        Within which time it has to stand after release; infinite where no rule says. [s]
    carried
        Of (record, state): inertia of the masses it moves along, at its shaft. [kg·m²]
    fed
        How its work is fed to it; None where nobody feeds it.
    weight
        Of (record, state): torque with which a weight on the state's slope pulls at its shaft, friction left out. [N·m]
    pace_driven
        Of (record, speed): its pace where its load drives it; None where that is the same.
    cuts
        Whether it hurts who touches it before it stands.
    meets_its_load
        Whether it starts against its load where no state of the job lets it turn without, though it cuts.
    """

    pace: Measure
    amount: Measure
    torque: Callable[[Any, DutyState, Job, Lanes], TorqueTerms]
    pace_at: Callable[[Any, Lanes], Lanes]
    speed_at: Callable[[Any, Lanes], Lanes]
    rate: Callable[[Any, DutyState, Job, Lanes], Lanes]
    useful: Callable[[Any, DutyState, Job, Lanes], Lanes]
    wastes: Callable[[Any, DutyState, Job, Lanes, Lanes], Sequence[Waste]]
    scaled: Callable[[Any, str, float], Any]
    curve: Callable[[Any, DutyState], Curve | None] = _none
    must_stop: float = math.inf
    carried: Callable[[Any, DutyState], Lanes] = _nothing
    fed: Feed | None = None
    weight: Callable[[Any, DutyState], Lanes] = _nothing
    pace_driven: Callable[[Any, Lanes], Lanes] | None = None
    cuts: bool = True
    meets_its_load: bool = False


def turning(speed: Lanes, watts: Lanes) -> Lanes:
    """Return power where the tool turns, nothing where it stands. [W]"""
    return np.where(speed > 0.0, watts, 0.0)


def as_it_turns(work: Any, speed: Lanes) -> Lanes:
    """Return the speed as the pace, or the pace as the speed, of a tool that goes by its turns. [rad/s]"""
    return speed


def no_wastes(work: Any, state: DutyState, job: Job, air: Lanes, speed: Lanes) -> tuple[Waste, ...]:
    """Return nothing for a load that is known whole; bearings and belts are links of their own."""
    return ()


def nothing_to_scale(work: Any, kind: str, share: float) -> Any:
    """Refuse: a tool without wastes has none to scale."""
    raise NotImplementedError(kind)


def counted(state: DutyState, rate: Lanes) -> Lanes:
    """Return a rate of work; none where the state is told by its watts, which do not say how much that is."""
    return np.where(np.asarray(state.power) > 0.0, np.nan, rate)


def idle(torque: Lanes, speed: Lanes) -> Waste:
    """Return what a tool's own box, seals and grease take."""
    return Waste("box, seals and grease", "idle", motors.rotation_loss(torque, speed), "idle_torque")
