"""What a machine weighed before its conversion, and what goes out and comes in, in SI."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.lanes import Lanes


@dataclass(frozen=True)
class Part:
    """A part taken out or put in; positions are counted from the front axle to the rear, heights from the ground."""

    name: str
    mass: Lanes  # kg
    position: Lanes  # m
    height: Lanes  # m; nan where that of the machine is not told


@dataclass(frozen=True)
class Balance:
    """A machine on two axles as it was weighed, and what becomes of it."""

    wheelbase: Lanes  # m
    mass: Lanes  # kg, before
    centre: Lanes  # m, of that mass
    height: Lanes  # m, of its centre; nan when not told
    handle: Lanes  # m; nan without one
    pack_mass: Lanes  # kg, of the pack that comes in
    pack_position: Lanes  # m
    pack_height: Lanes  # m; nan as above
    rolling: Lanes  # -, rolling resistance over weight; nan where driven wheels say it
    slope: Lanes  # rad, steepest it is pushed up or stands on
    front_share: Lanes  # -, wanted on the front axle; nan for what it was before
    ballast_position: Lanes  # m; nan for over the axle that is too light
    out: tuple[Part, ...]
    put_in: tuple[Part, ...]
    driven: str  # front, rear, both; "" where the file does not say
