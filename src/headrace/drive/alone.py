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
    Winch: "Nothing on the rope, the rope off the drum",
    Wheels: "Jack the driven wheels off the ground, the machine blocked so that it cannot come down",
    Pump: "Undo the coupling to the pump, which must not run dry",
    Shaft: "Undo the coupling to the tool",
    Measured: "Undo the coupling to the tool",
}
# what holds on a slope or a rope, with its motor run alone: where the file plans a mechanical brake, and where not
BY_COIL = "one that a coil opens has its coil fed, as its sheet says, and is not forced."
STAYS_ON = (
    "Its mechanical brake stays on where it sits behind the {}; at the motor it is let off by its own lever, which it "
    "can be as no weight drives it; " + BY_COIL
)
LET_OFF: dict[type, str] = {
    Winch: "Its mechanical brake or pawl is let off by its own lever, which it can be as nothing hangs on the drum; "
    f"{BY_COIL} A load brake inside the gears is not let off by hand: the motor opens it by turning.",
    Wheels: "Its mechanical brake is let off by its own lever, which it can be as the wheels are off the ground; "
    f"{BY_COIL}",
}
SET_AGAIN: dict[type, str] = {
    Winch: "{} set its mechanical brake or pawl again, where it was let off, and turn the drum by hand the way the "
    "load pulls: it holds. The rope goes back where the connecting order says so.",
    Wheels: "{} set its mechanical brake again, where it was let off, and turn a driven wheel by hand both ways: it "
    "holds. The wheels come down where the connecting order says so.",
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
    """Return what to do so that nothing but the motor, and what cannot be taken off it, turns.

    Of what a weight drives the weight comes off first: a belt may be all that holds it by the brake at the motor.
    """
    belt, weighed = belt_of(row), type(chain.work) in LET_OFF
    if belt is None:
        return TAKEN_OFF[type(chain.work)]
    return f"{TAKEN_OFF[type(chain.work)]}; then take the {belt.name} off" if weighed else f"Take the {belt.name} off"


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


def brake_set_again(chain: Chain, row: Parts, *, planned: bool) -> str:
    """Return how a mechanical brake is set and tried after that; "" where none was let off. Arguments as before."""
    if type(chain.work) not in SET_AGAIN or not planned:
        return ""
    belt = belt_of(row)
    when = (
        "Supply off and the motor standing,"
        if belt is None
        else f"When the {belt.name} goes on again, with the tool in the connecting order, all dead,"
    )
    return SET_AGAIN[type(chain.work)].format(when)


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
