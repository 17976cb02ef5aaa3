"""What a builder has joined to what, and the terminals that each kind of part has."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.links import Contacts, Link

# What a terminal is of: the plus or the minus side, alternating current, a motor's leads; "" of what only passes on.
PLUS, MINUS, ALTERNATING, MOTOR, THROUGH = "plus", "minus", "alternating", "motor", ""

TWO_ENDS = {"in": THROUGH, "out": THROUGH}
KINDS: dict[str, dict[str, str]] = {
    "pack": {"plus": PLUS, "minus": MINUS},
    "board": {"cells": MINUS, "load": MINUS},
    "port": {"plus": PLUS, "minus": MINUS},
    "fuse": TWO_ENDS,
    "isolator": TWO_ENDS,
    "contact": TWO_ENDS,
    "resistor": TWO_ENDS,
    "stop": TWO_ENDS,
    "control": TWO_ENDS,
    "contactor": {**TWO_ENDS, "coil-plus": PLUS, "coil-minus": MINUS},
    "relay": {**TWO_ENDS, "coil-plus": PLUS, "coil-minus": MINUS},
    "brake relay": {**TWO_ENDS, "coil-plus": PLUS, "coil-minus": MINUS},
    "auxiliary": {"plus": PLUS, "minus": MINUS},
    "controller": {"plus": PLUS, "minus": MINUS, "motor-a": MOTOR, "motor-b": MOTOR},
    "three-phase controller": {"plus": PLUS, "minus": MINUS, "motor-a": MOTOR, "motor-b": MOTOR, "motor-c": MOTOR},
    "motor": {"a": MOTOR, "b": MOTOR},
    "three-phase motor": {"a": MOTOR, "b": MOTOR, "c": MOTOR},
    "dc-dc": {"plus": PLUS, "minus": MINUS, "out-plus": PLUS, "out-minus": MINUS},
    "inverter": {"plus": PLUS, "minus": MINUS, "live": ALTERNATING, "neutral": ALTERNATING},
    "mains breaker": {
        "live-in": ALTERNATING,
        "neutral-in": ALTERNATING,
        "live-out": ALTERNATING,
        "neutral-out": ALTERNATING,
    },
    "mains switch": {"in": ALTERNATING, "out": ALTERNATING},
    "mains motor": {"live": ALTERNATING, "neutral": ALTERNATING},
}
# Terminals that a part may have as well: the metal that a hand touches, joined to the protective conductor.
MAY_HAVE = {"inverter": ("earth",), "mains motor": ("earth",)}
BRAKE = "brake relay"  # its contact closes at rest, that of any other relay while its coil is fed
MAINS_BREAKER = "mains breaker"
BRAKE_RESISTOR = "brake resistor"
FRICTION_BRAKE = "friction brake"  # of what a weight drives; joined to nothing
OF_A_CHAIN = (BRAKE, BRAKE_RESISTOR, MAINS_BREAKER)  # parts that stand behind the name of a chain
OF_THE_MACHINE = (
    "fuse",
    "isolator",
    "contactor",
    "board",
)  # contacts in a chain that a wiring has once, for all chains
FEED = "feed"  # the run out of a converter; any other is called by what its side leads to
LAST_WORDS = ("fuse", "isolator", "contactor", "relay", "contact", "resistor", "stop", "control", "board", "port")


def kind_by_name(name: str) -> str | None:
    """Return the kind of a part that is no tool's and no pack, by the last word of its name; None of no such part."""
    for kind in (BRAKE, MAINS_BREAKER):
        if name.endswith(kind):
            return kind
    last = name.split(" ")[-1]
    return last if last in LAST_WORDS else None


def part_of(chain: str, name: str) -> str:
    """Return what something that stands in one chain is called as a part."""
    return f"{chain} {name}"


def part_of_link(chain: str, link: Link) -> str:
    """Return what a link of a chain is called as a part: contacts that all chains share by what they are."""
    if isinstance(link, Contacts) and link.of in OF_THE_MACHINE:
        return link.of
    return part_of(chain, link.name)


def run_of(chain: str, side: str) -> str:
    """Return what the run of cable on one side of a chain is called, which no part is called."""
    return f"{side} of the {chain}" if side == FEED else f"{side}'s side of the {chain}"


def parted(terminal: str) -> tuple[str, str]:
    """Return the part and the terminal that "part.terminal" names."""
    part, _, end = terminal.rpartition(".")
    return part, end


@dataclass(frozen=True)
class Joins:
    """What the builder has joined."""

    joins: tuple[tuple[str, str], ...]  # pairs of "part.terminal"
    sense: tuple[int, ...]  # the boundary between groups that each pin of the sense plug goes to; () where not said
