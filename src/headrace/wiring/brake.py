"""The brake on release as it is wired: a contact that closes at rest, and a resistor, across the motor.

A motor of three phases has no two terminals to join so: its own controller brakes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from headrace.drive.links import parts
from headrace.drive.stopping import Brake
from headrace.machine.records import Machine

ELECTRONIC = "electronic"


@dataclass(frozen=True)
class Braking:
    """The brake of one chain.

    Attributes
    ----------
    chain
        Its name.
    brake
        The resistor, and one stop with it.
    planned
        Whether the file has it; otherwise it is proposed.
    by_controller
        Whether the controller has to do it, because its motor hangs on three wires.
    """

    chain: str
    brake: Brake
    planned: bool
    by_controller: bool


def has_phases(motor: object) -> bool:
    """Return whether a motor hangs on three wires that its controller feeds in turn."""
    return getattr(motor, "commutation", "") == ELECTRONIC


def brakes(machine: Machine, found: Iterable[tuple[Brake | None, Brake | None]]) -> Iterator[Braking]:
    """Yield the brakes of a machine.

    Parameters
    ----------
    machine
        The machine.
    found
        Of each chain the brake that is planned, and the one that is proposed.
    """
    for chain, (planned, proposed) in zip(machine.chains, found, strict=True):
        brake = planned or proposed
        if brake is not None:
            yield Braking(chain.name, brake, planned is not None, has_phases(parts(chain).motor))
