"""The small circuits: coils, pre-charge, charge port, what is fed beside the tools, the wires of the sense plug.

Each hangs behind a small fuse of its own, and its wire is the smallest that carries that fuse. How long the wires are
no file says: what is lost in them is not judged.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.machine.practice import practice
from headrace.machine.protection import Board
from headrace.machine.records import Lanes, Machine
from headrace.physics import fusing, pre_charge
from headrace.physics.working import solution
from headrace.tables import load
from headrace.wiring.conductors import wire_for
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard
from headrace.wiring.pre_charge import Inrush

CONTROL, CHARGE, PULSE = "control fuse", "charge fuse", "pre-charge fuse"


@dataclass(frozen=True)
class Branch:
    """A small fuse, and the wire behind it.

    Attributes
    ----------
    current
        That flows there for long; nan where it is not known. [A]
    rating
        Of the fuse: the smallest usual one that carries it, and a quarter more. [A]
    area
        Smallest metric size that carries the rating in the hottest weather; nan where no size does. [m²]
    """

    current: Lanes
    rating: Lanes
    area: Lanes


@dataclass(frozen=True)
class Branches:
    """All small circuits of a machine.

    Attributes
    ----------
    by_fuse
        Those behind the isolator, of the pre-charge and of the charge port, by the name of the fuse.
    sense
        That of each wire of the sense plug; None without a board.
    """

    by_fuse: dict[str, Branch]
    sense: Branch | None


def branches(machine: Machine, fused: Fused, guard: Guard) -> Branches:
    """Return the small circuits of a machine: fuses and sizes."""
    least = machine.source.series * machine.source.cell.empty_voltage

    def branch(current: Lanes, rating: Lanes) -> Branch:
        return Branch(current, rating, wire_for(fused.asked.table, rating, machine.limits.ambient_hot))

    found = {fuse_of(one.name): one.power for one in machine.auxiliaries}
    by_fuse = {CONTROL: guard.switches.coils}
    by_fuse |= {name: pre_charge.standby_current(power, least) for name, power in found.items()}
    if guard.inrush is not None:
        by_fuse[PULSE] = _pulse(guard, guard.inrush)
    if machine.charger is not None:
        by_fuse[CHARGE] = machine.charger.current
    return Branches(
        by_fuse={name: branch(current, small_fuse(current)) for name, current in by_fuse.items()},
        sense=None if machine.board is None else branch(machine.board.balance_current, sense_fuse(machine.board)),
    )


def fuse_of(auxiliary: str) -> str:
    """Return what the fuse of something fed beside the tools is called."""
    return f"{auxiliary} fuse"


def _pulse(guard: Guard, bare: Inrush) -> Lanes:
    """Return what the pre-charge resistor lets through at first, and for as long as a short stands behind it. [A]"""
    through = guard.planned or guard.proposed
    return np.nan if through is None else pre_charge.inrush_current(bare.voltage, through.resistance)


def small_fuse(current: Lanes) -> Lanes:
    """Return the smallest usual rating that carries a current and a quarter more. [A]"""
    return _usual_rating(fusing.least_fuse(current, current, practice("fuse.margin")))


def sense_fuse(board: Board) -> Lanes:
    """Return the rating of the fuse in each sense wire: the usual one where it carries the board's balancing. [A]"""
    least = fusing.least_fuse(board.balance_current, board.balance_current, practice("fuse.margin"))
    return _or_the_next(practice("sense.fuse", "fuse in a wire of the sense plug"), least)


@solution("the usual fuse of a sense wire, or the next usual rating that carries the board's balancing")
def _or_the_next(usual_one: Lanes, least: Lanes) -> Lanes:
    return np.where(np.asarray(least) <= np.asarray(usual_one), usual_one, _usual_rating(least))


@solution("the smallest usual rating of a fuse that carries it")
def _usual_rating(least: Lanes) -> Lanes:
    found: Lanes = np.nan
    for amps in sorted((float(row["rating"]) for row in load("fuse_ratings")), reverse=True):
        found = np.where(amps >= np.asarray(least), amps, found)
    return found
