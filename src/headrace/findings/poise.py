"""How a machine stands on its two axles: what the findings judge of its balance."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.records import Lanes


@dataclass(frozen=True)
class Poise:
    """How a machine stands on its two axles; arrays over lanes.

    Attributes
    ----------
    mass, centre, height
        Of the whole machine; the centre counted from the front axle to the rear, the height from the ground. [kg, m, m]
    front, rear, front_share, rear_share
        Loads on the axles, on the level, and as shares of the weight. [N, -]
    push, climb
        Force that keeps it rolling on the level, and up the steepest slope. [N]
    lift_front, lift_rear
        Upright force at the handle that lifts an axle, upwards positive; no number without a handle. [N]
    tips_backward, tips_forward
        Grades on which it tips over, nose uphill and nose downhill; no number without a height. [rad]
    pull, climb_pull
        Most the driven wheels can put on the ground, on the level and up the steepest slope; no number where none are
        told. [N]
    """

    mass: Lanes
    centre: Lanes
    height: Lanes
    front: Lanes
    rear: Lanes
    front_share: Lanes
    rear_share: Lanes
    push: Lanes
    climb: Lanes
    lift_front: Lanes
    lift_rear: Lanes
    tips_backward: Lanes
    tips_forward: Lanes
    pull: Lanes
    climb_pull: Lanes


@dataclass(frozen=True)
class Balanced:
    """A machine's balance before and after its conversion; arrays over lanes.

    Attributes
    ----------
    before, after
        As it was weighed, and with the parts and the pack in it that the file names.
    steepest
        Slope it is held against. [rad]
    wanted
        Share of the weight wanted on the front axle. [-]
    ballast_position, ballast
        Where ballast goes, and how much of it brings that share; infinite where none there does. [m, kg]
    """

    before: Poise
    after: Poise
    steepest: Lanes
    wanted: Lanes
    ballast_position: Lanes
    ballast: Lanes
