"""A chain sorted by the current or torque its links carry."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.links import AnyMotor, Bearings, Cable, Contacts, Controller, Converter, Transmission
from headrace.machine.records import Chain, Lanes

Mechanical = Bearings | Transmission
Wiring = Cable | Contacts


@dataclass(frozen=True)
class Parts:
    """The links of one chain, from the work back to the terminals."""

    mechanical: tuple[Mechanical, ...]  # between the work and the motor shaft
    motor: AnyMotor
    motor_leads: tuple[Wiring, ...]  # carry the motor's current
    controller: Controller
    feed_leads: tuple[Wiring, ...]  # carry what a converter puts out; none without a converter
    converter: Converter | None
    battery_leads: tuple[Wiring, ...]  # carry the source's current
    alternating: bool  # whether the motor runs on alternating current

    @property
    def cut_out(self) -> Lanes:
        """Voltage of the source's leads at which the first electronics on them open. [V]"""
        return self.controller.cut_out if self.converter is None else self.converter.cut_out


def parts(chain: Chain) -> Parts:
    """Sort the links of a chain; the machine file has already been held to one motor and one controller."""
    motor = next(link for link in chain.links if isinstance(link, AnyMotor))
    controller = next(link for link in chain.links if isinstance(link, Controller))
    converter = next((link for link in chain.links if isinstance(link, Converter)), None)
    at_controller = chain.links.index(controller)
    at_converter = at_controller if converter is None else chain.links.index(converter)
    wiring = [(place, link) for place, link in enumerate(chain.links) if isinstance(link, Cable | Contacts)]
    return Parts(
        mechanical=tuple(link for link in chain.links if isinstance(link, Bearings | Transmission)),
        motor=motor,
        motor_leads=tuple(link for place, link in wiring if place < at_controller),
        controller=controller,
        feed_leads=tuple(link for place, link in wiring if at_controller < place < at_converter),
        converter=converter,
        battery_leads=tuple(link for place, link in wiring if place > at_converter),
        alternating=chain.alternating,
    )
