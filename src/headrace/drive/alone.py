"""A motor with its tool off, on a supply of its own: what comes off, what stays on, and how it then runs."""

from __future__ import annotations

import math
from dataclasses import replace

from headrace.drive.bus import solve_together
from headrace.drive.demand import alone
from headrace.drive.links import Parts
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Warmth, train
from headrace.machine.links import Transmission
from headrace.machine.records import Chain, Lanes
from headrace.machine.works import Auger, Blade, Chipper, Fan, Measured, Pump, Saw, Shaft, Tiller, Wheels, Winch
from headrace.physics.working import leaves

SLIPPED_OFF = ("v-belt", "toothed-belt", "flat-belt", "roller-chain")  # come off without taking a box apart
TAKEN_OFF: dict[type, str] = {
    Blade: "Take the blade off",
    Tiller: "Take the tines off",
    Auger: "Take the auger off",
    Saw: "Take the saw blade off",
    Chipper: "Undo the coupling to the chipper",
    Fan: "Take the fan's wheel off",
    Winch: "Take the rope off the drum",
    Wheels: "Jack the driven wheels off the ground, blocked so that it cannot come down",
    Pump: "Undo the coupling to the pump, which must not run dry",
    Shaft: "Undo the coupling to the tool",
    Measured: "Undo the coupling to the tool",
}
ON_BLOCKS = ", the machine on blocks all the same, so that its wheels are free"
# what holds on a slope or a rope, with its motor run alone: where the file plans a mechanical brake, and where not
STAYS_ON = "Its mechanical brake stays on where it sits behind the {}; at the motor it is let off by its own lever."
LET_OFF: dict[type, str] = {
    Winch: "Its mechanical brake or pawl is let off by its own lever, which it can be as nothing hangs on the drum; a "
    "load brake inside the gears is not let off by hand: the motor opens it by turning.",
    Wheels: "Its mechanical brake is let off by its own lever, which it can be as the wheels are off the ground; one "
    "that a coil opens is fed by that coil, as its sheet says, and not forced.",
}
NO_BRAKE = (
    "The file plans no mechanical brake, so none is let off; one that hides in the motor or its gears opens by its own "
    "coil or by turning, never by force."
)
# how the tool is let run with nothing to do; None of what must not
FREE: dict[type, str | None] = {
    Tiller: "the tines clear of the ground",
    Auger: "the auger out of the ground, held fast in a stand",
    Winch: "the rope off the drum",
    Wheels: "the driven wheels off the ground, the machine on blocks so that it cannot come down",
    Pump: None,
}


def runs_free(chain: Chain) -> str | None:
    """Return what is seen to before a tool runs with nothing to do; None of what must never run so."""
    return FREE.get(type(chain.work), "")


def belt_of(row: Parts) -> Transmission | None:
    """Return the belt or chain nearest to the motor; None where there is none."""
    found = [link for link in row.mechanical if isinstance(link, Transmission) and link.kind in SLIPPED_OFF]
    return found[-1] if found else None


def without_tool(row: Parts) -> Parts:
    """Return a chain with its tool off: up to the belt or chain nearest to the motor, else with every stage on."""
    belt = belt_of(row)
    kept = row.mechanical if belt is None else row.mechanical[row.mechanical.index(belt) + 1 :]
    return replace(row, mechanical=kept)


def behind_converter(row: Parts) -> Parts:
    """Return a chain fed where its converter feeds it; as it is where it has none."""
    if row.converter is None:
        return row
    return replace(row, converter=None, battery_leads=row.feed_leads, feed_leads=())


def how_off(chain: Chain, row: Parts) -> str:
    """Return what to do so that nothing but the motor, and what cannot be taken off it, turns."""
    belt = belt_of(row)
    if belt is None:
        return TAKEN_OFF[type(chain.work)]
    return f"Take the {belt.name} off{ON_BLOCKS if isinstance(chain.work, Wheels) else ''}"


def brake_let_off(chain: Chain, row: Parts, *, planned: bool) -> str:
    """Return what becomes of a mechanical brake while the motor runs alone; "" of a tool that no weight drives.

    Parameters
    ----------
    chain, row
        The chain, and its parts.
    planned
        Whether the file plans one.
    """
    if type(chain.work) not in LET_OFF:
        return ""
    belt = belt_of(row)
    if not planned:
        return NO_BRAKE
    return LET_OFF[type(chain.work)] if belt is None else STAYS_ON.format(belt.name)


def running(row: Parts, voltage: Lanes, air: Lanes) -> Point:
    """Return how a motor runs without its tool on a supply that holds its volts, everything at the air's temperature.

    Parameters
    ----------
    row
        The chain with its tool off, fed behind its converter.
    voltage
        That the supply holds. [V]
    air
        Temperature. [K]
    """
    supply = Terminals(voltage, 0.0, 0.0, 0.0, 0.0, 0.0, leaves(math.inf, "search", "its limit is not reached"))
    return solve_together([train(row, alone(row), Warmth(air, air, air))], supply)[0]
