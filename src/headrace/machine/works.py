"""The tools at the end of a chain, in SI."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.machine.lanes import Lanes


@dataclass(frozen=True)
class Blade:
    """A rotary mowing blade in its deck."""

    name: str
    diameter: Lanes  # m, tip circle
    inertia: Lanes  # kg m2, about its own axis
    windage: Lanes  # -, fan coefficient of the blade in its deck
    shear_energy: Lanes  # J/kg of fresh clippings
    throw_share: Lanes  # -, share of tip speed squared given to the clippings


@dataclass(frozen=True)
class Tiller:
    """Tines on a shaft that loosen soil; something else moves them over the ground."""

    name: str
    diameter: Lanes  # m, tip circle of the tines
    width: Lanes  # m, of work
    specific_work: Lanes  # J/m3 of soil
    idle_torque: Lanes  # N m, box, seals and grease
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Auger:
    """An earth auger held from above, its feed held by the hand on it."""

    name: str
    diameter: Lanes  # m, of the hole
    height: Lanes  # m, from the bottom of the hole to where the spoil is thrown off
    specific_work: Lanes  # J/m3 of soil
    soil_density: Lanes  # kg/m3
    lift_factor: Lanes  # -, work of lifting over that of the height alone
    idle_torque: Lanes  # N m
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Saw:
    """A circular saw in wood, fed by hand or by its own drive."""

    name: str
    diameter: Lanes  # m
    kerf: Lanes  # m
    specific_energy: Lanes  # J/m3 of kerf
    windage: Lanes  # -, fan coefficient of the disc and its teeth
    idle_torque: Lanes  # N m
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Chipper:
    """A disc or drum that chips wood and throws it out."""

    name: str
    diameter: Lanes  # m, of the disc
    specific_energy: Lanes  # J/kg of wood
    windage: Lanes  # -, fan coefficient of the disc and its paddles
    idle_torque: Lanes  # N m
    inertia: Lanes  # kg m2, flywheel and all


@dataclass(frozen=True)
class Fan:
    """A fan on a duct that stays as it is: one measured point gives all others."""

    name: str
    flow_per_speed: Lanes  # m3/rad
    duct: Lanes  # Pa s2/m6, pressure for the square of the flow
    efficiency: Lanes  # -, of the wheel in its housing
    idle_torque: Lanes  # N m
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Winch:
    """A drum that winds rope, or a capstan a few turns go round, with or without a tackle, hoisting or hauling."""

    name: str
    diameter: Lanes  # m, of the bare drum
    rope: Lanes  # m, diameter
    layer: Lanes  # -, the layer the rope leaves from, 1 on the bare drum
    spacing: Lanes  # -, height of a layer over the rope's diameter
    parts: Lanes  # -, of rope that carry the load
    leads: Lanes  # -, fixed sheaves between tackle and drum
    sheave_efficiency: Lanes  # -, tension passed on over one sheave
    load_friction: Lanes  # -, of the load on its slope
    laps: Lanes  # -, turns of rope round a capstan, a hand on the tail; 0 of a drum that winds
    rope_friction: Lanes  # -, of rope on capstan
    idle_torque: Lanes  # N m
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Wheels:
    """Driven wheels that carry a machine over the ground."""

    name: str
    diameter: Lanes  # m, loaded
    mass: Lanes  # kg, of everything but load and pack
    pack_mass: Lanes  # kg, of the pack it carries
    rolling: Lanes  # -, rolling resistance over weight
    slip: Lanes  # -, share of the wheels' speed lost on the ground
    drag_area: Lanes  # m2, drag coefficient times frontal area
    driven_share: Lanes  # -, of the weight on the driven wheels
    grip: Lanes  # -, greatest pull over the weight on them
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Pump:
    """A centrifugal pump with the pipe it works on: one point of its curve gives all others."""

    name: str
    speed: Lanes  # rad/s, the curve was taken at
    shut_off_head: Lanes  # m, without flow, at that speed
    flow: Lanes  # m3/s, at the best efficiency
    head: Lanes  # m, there
    efficiency: Lanes  # -, there
    no_flow_share: Lanes  # -, shaft power without flow over that at the best efficiency
    lift: Lanes  # m, from water to outlet
    pipe: Lanes  # s2/m5, head lost for the square of the flow
    density: Lanes  # kg/m3
    inertia: Lanes  # kg m2


@dataclass(frozen=True)
class Shaft:
    """Anything that turns, known by the watts it takes at one speed."""

    name: str
    speed: Lanes  # rad/s, the watts are known at
    growth: Lanes  # -, power of the speed with which its torque grows: 0, 1 or 2
    inertia: Lanes  # kg m2


@dataclass(frozen=True, eq=False)
class Measured:
    """Anything that turns, known by a table somebody measured; the ends of the table are held."""

    name: str
    table_speed: npt.NDArray[np.float64]  # rad/s, rising
    table_torque: npt.NDArray[np.float64]  # N m
    spread: Lanes  # -, on every torque of the table
    inertia: Lanes  # kg m2


Work = Blade | Tiller | Auger | Saw | Chipper | Fan | Winch | Wheels | Pump | Shaft | Measured
