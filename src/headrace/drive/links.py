"""A chain sorted by the current or torque its links carry."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.records import Bearings, Cable, Chain, Contacts, Controller, Motor, Transmission

Mechanical = Bearings | Transmission
Wiring = Cable | Contacts


@dataclass(frozen=True)
class Parts:
    """The links of one chain, from the work back to the terminals."""

    mechanical: tuple[Mechanical, ...]  # between the work and the motor shaft
    motor: Motor
    motor_leads: tuple[Wiring, ...]  # carry the motor's current
    controller: Controller
    battery_leads: tuple[Wiring, ...]  # carry the battery's current


def parts(chain: Chain) -> Parts:
    """Sort the links of a chain; the machine file has already been held to one motor and one controller."""
    motor = next(link for link in chain.links if isinstance(link, Motor))
    controller = next(link for link in chain.links if isinstance(link, Controller))
    at_controller = chain.links.index(controller)
    wiring = [(place, link) for place, link in enumerate(chain.links) if isinstance(link, Cable | Contacts)]
    return Parts(
        mechanical=tuple(link for link in chain.links if isinstance(link, Bearings | Transmission)),
        motor=motor,
        motor_leads=tuple(link for place, link in wiring if place < at_controller),
        controller=controller,
        battery_leads=tuple(link for place, link in wiring if place > at_controller),
    )
