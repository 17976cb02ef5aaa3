"""The pins of the sense plug, and the pack beside another like it: volts to read before anything is joined."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.records import Lanes, Machine, Source
from headrace.machine.values import first_number
from headrace.pack import source as pack
from headrace.physics import switching
from headrace.physics.working import leaves


@dataclass(frozen=True)
class Pin:
    """One wire of the sense plug, and the volts it reads against the pack's minus.

    Attributes
    ----------
    name
        The pin, counted from the minus.
    joins
        The boundary between groups that it goes to.
    full, storage, empty
        Of rested cells: full, half full, empty. [V]
    """

    name: str
    joins: str
    full: Lanes
    storage: Lanes
    empty: Lanes


@dataclass(frozen=True)
class Pair:
    """Two packs of this kind side by side.

    Attributes
    ----------
    resistance
        Of one, new and warm, leads not counted. [Ω]
    current_at_one_volt
        Between the two, joined one volt apart. [A]
    charge_current
        The lower one takes at most. [A]
    gap
        Of volts at rest, at which that is what flows. [V]
    gap_of_a_group
        The same, for one group. [V]
    """

    resistance: Lanes
    current_at_one_volt: Lanes
    charge_current: Lanes
    gap: Lanes
    gap_of_a_group: Lanes


def pins(source: Source) -> tuple[Pin, ...]:
    """Return the pins, minus first; none of batteries and of what never empties."""
    if source.kind != "cells":
        return ()
    last = round(first_number(source.series))
    rested = [pack.open_voltage(source.cell, charge) for charge in (1.0, pack.HALF_FULL, 0.0)]
    found = []
    for groups in range(last + 1):
        below = leaves(float(groups), "search", "groups below the pin")
        volts = (switching.stack_voltage(below, one) for one in rested)
        found.append(Pin(f"pin {groups}", _joins(groups, last), *volts))
    return tuple(found)


def _joins(groups: int, last: int) -> str:
    if groups == 0:
        return "minus of the pack"
    return "plus of the pack" if groups == last else f"between group {groups} and group {groups + 1}"


def pair(machine: Machine) -> Pair:
    """Return what happens when it is joined side by side with another like it, in the hottest weather."""
    source = machine.source
    ohms = pack.at(source, pack.fresh(machine.limits.ambient_hot)).resistance
    most = source.cell.charge_current * source.parallel
    gap = switching.allowed_gap(most, ohms, ohms)
    return Pair(ohms, switching.equalising_current(1.0, ohms, ohms), most, gap, gap / source.series)
