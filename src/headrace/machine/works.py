"""The tools at the end of a chain, in SI."""

from __future__ import annotations

from dataclasses import dataclass

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


Work = Blade
