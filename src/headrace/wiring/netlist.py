"""What is joined to what: one straightforward wiring of a machine.

A netlist is plain data: parts with their terminals, and the wires between two terminals each. In the order of the
current: pack, main fuse, isolator, main contactor with the pre-charge across it, controllers and converters; the board
in the minus. Behind fuse, emergency stop and held control hang three coils: that of the pre-charge's relay, that of the
relay that waits until it is done, and behind the latter's contact the contactor's. Letting go opens all of them, and a
brake's contact, whose coil hangs there as well, closes across its motor.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import BRAKE, BRAKE_RESISTOR, KINDS, MAINS_BREAKER, part_of
from headrace.machine.records import Lanes, Machine
from headrace.physics import duty
from headrace.wiring.branches import CHARGE, CONTROL, PULSE, Branch, Branches, branches, fuse_of
from headrace.wiring.conductors import Conductor
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard
from headrace.wiring.netlist_parts import (
    DELAY,
    PRE_CHARGE,
    Part,
    brakes,
    controls,
    first_of,
    kinds_of,
    line,
    loads,
    of_mains,
    sense_fuse,
    senses,
    told,
)


@dataclass(frozen=True)
class Wire:
    """One wire between two terminals, each "part.terminal".

    Attributes
    ----------
    ends
        The two.
    carries
        main, motor, feed, control, charge, sense; "" in a netlist of a file.
    area, least
        Metal to be laid, that of the file where it is enough, and the least that does; nan where they are not worked
        out. [m²]
    fuse
        The small fuse that it is sized for; "" where it is none's.
    """

    ends: tuple[str, str]
    carries: str = ""
    area: Lanes = np.nan
    fuse: str = ""
    least: Lanes = np.nan


@dataclass(frozen=True)
class Netlist:
    """Parts, and the wires that join their terminals."""

    parts: tuple[Part, ...]
    wires: tuple[Wire, ...]

    def of(self, *kinds: str) -> Iterator[Part]:
        """Yield the parts of some kinds."""
        return (part for part in self.parts if part.kind in kinds)


def netlist(machine: Machine, wires: Sequence[Conductor], fused: Fused | None, guard: Guard | None) -> Netlist | None:
    """Return one wiring of a machine that keeps every rule; None of what never empties.

    Parameters
    ----------
    machine
        The machine.
    wires, fused, guard
        Sizes, the file's and those proposed, the main fuse, and what switches have to do.
    """
    if guard is None or fused is None:
        return None
    small = branches(machine, fused, guard)
    pins = len(guard.pins) if machine.board is not None else 0
    return Netlist(
        parts=(
            *line(machine, fused, guard, small, pins),
            *controls(machine, guard, small),
            *brakes(guard),
            *senses(small.sense, pins, guard.switches.voltage),
            *of_mains(machine),
            *told(machine, loads(machine, guard.switches.voltage), guard),
        ),
        wires=(
            *_of_line(machine, wires, fused),
            *_small("control", PULSE, _across(guard), small),
            *_of_chains(machine, wires),
            *_of_brakes(machine, wires, guard),
            *_small("control", CONTROL, _control(machine, guard), small),
            *(wire for one in machine.auxiliaries for wire in _beside(machine, one.name, small)),
            *_small("charge", CHARGE, _charge(machine), small),
            *_plug(small.sense, pins),
        ),
    )


class Metal(NamedTuple):
    """Of a wire: what does at the least, and what is laid. [m²]"""

    least: Lanes
    laid: Lanes


Ends = tuple[str, str]


def _of_line(machine: Machine, wires: Sequence[Conductor], fused: Fused) -> Iterator[Wire]:
    """Yield the wires that carry the amps of the work.

    What all chains share is as thick as the thickest of them asks for; what leads to one chain is as thick as its own
    cable. All stand behind one fuse, so none is thinner than what that guards.
    """
    shared = _behind_fuse([wire for wire in wires if wire.side == "source"], fused)
    for ends in _shared(machine):
        yield _sized(ends, "main", shared)
    for chain in machine.chains:
        own = _behind_fuse([wire for wire in wires if (wire.side, wire.chain) == ("source", chain.name)], fused)
        name = f"{chain.name} {first_of(chain).name}"
        yield _sized(("contactor.out", f"{name}.plus"), "main", own)
        yield _sized((back_of(machine), f"{name}.minus"), "main", own)


def _behind_fuse(wires: Sequence[Conductor], fused: Fused) -> Metal:
    """Return the metal of wires behind the main fuse: what bears that, and each of the runs they are part of."""
    least = duty.greatest([fused.wire_area, *(wire.needed for wire in wires)])
    return Metal(least, duty.greatest([least, *(wire.area for wire in wires)]))


def _shared(machine: Machine) -> Iterator[Ends]:
    yield "pack.plus", "fuse.in"
    yield "fuse.out", "isolator.in"
    yield "isolator.out", "contactor.in"
    if machine.board is not None:
        yield "pack.minus", "board.cells"


def _across(guard: Guard) -> Iterator[Ends]:
    """Yield the thin wires of the pre-charge, across the contactor."""
    if guard.inrush is not None:
        yield "contactor.in", f"{PULSE}.in"
        yield f"{PULSE}.out", f"{PRE_CHARGE}.in"
        yield f"{PRE_CHARGE}.out", "pre-charge resistor.in"
        yield "pre-charge resistor.out", "contactor.out"


def _of_brakes(machine: Machine, wires: Sequence[Conductor], guard: Guard) -> Iterator[Wire]:
    """Yield the wires of each brake: across its motor, as thick as the motor's own."""
    motors = {chain.name: f"{chain.name} {parts(chain).motor.name}" for chain in machine.chains}
    for one in guard.brakes:
        if not one.by_controller:
            size = _size(wires, one.chain, "motor")
            relay, resistor = f"{one.chain} {BRAKE}", part_of(one.chain, BRAKE_RESISTOR)
            for ends in (
                (f"{motors[one.chain]}.a", f"{relay}.in"),
                (f"{relay}.out", f"{resistor}.in"),
                (f"{resistor}.out", f"{motors[one.chain]}.b"),
            ):
                yield _sized(ends, "motor", size)


def _sized(ends: Ends, carries: str, size: Metal) -> Wire:
    return Wire(ends, carries, size.laid, least=size.least)


def back_of(machine: Machine) -> str:
    """Return the terminal that the minus of everything goes to."""
    return "pack.minus" if machine.board is None else "board.load"


def _of_chains(machine: Machine, wires: Sequence[Conductor]) -> Iterator[Wire]:
    """Yield the wires behind controllers and converters."""
    for chain in machine.chains:
        row, kinds = parts(chain), kinds_of(chain)
        control, motor = f"{chain.name} {row.controller.name}", f"{chain.name} {row.motor.name}"
        sizes = {side: _size(wires, chain.name, side) for side in ("feed", "motor")}
        if kinds[row.controller.name] == "mains switch" and row.converter is not None:
            fed = f"{chain.name} {row.converter.name}"
            safe = f"{chain.name} {MAINS_BREAKER}"
            for pole in ("live", "neutral"):
                yield _sized((f"{fed}.{pole}", f"{safe}.{pole}-in"), "feed", sizes["feed"])
            yield _sized((f"{safe}.live-out", f"{control}.in"), "feed", sizes["feed"])
            yield _sized((f"{control}.out", f"{motor}.live"), "motor", sizes["motor"])
            yield _sized((f"{safe}.neutral-out", f"{motor}.neutral"), "motor", sizes["motor"])
            yield _sized((f"{fed}.earth", f"{motor}.earth"), "motor", sizes["motor"])
            continue
        if row.converter is not None:
            fed = f"{chain.name} {row.converter.name}"
            for end in ("plus", "minus"):
                yield _sized((f"{fed}.out-{end}", f"{control}.{end}"), "feed", sizes["feed"])
        for end in KINDS[kinds[row.motor.name]]:
            yield _sized((f"{control}.motor-{end}", f"{motor}.{end}"), "motor", sizes["motor"])


def _size(wires: Sequence[Conductor], chain: str, side: str) -> Metal:
    here = [wire for wire in wires if (wire.chain, wire.side) == (chain, side)]
    if not here:
        return Metal(np.nan, np.nan)
    least = duty.greatest([wire.needed for wire in here])
    return Metal(least, duty.greatest([least, *(wire.area for wire in here)]))


def _small(carries: str, fuse: str, ends: Iterable[Ends], small: Branches) -> Iterator[Wire]:
    """Yield the wires of one small circuit, as thick as its fuse asks for."""
    if fuse in small.by_fuse:
        metal = small.by_fuse[fuse].area
        yield from (Wire(pair, carries, metal, fuse, metal) for pair in ends)


def _control(machine: Machine, guard: Guard) -> Iterator[Ends]:
    """Yield the wires of the coils. What waits for the pre-charge stands before the contactor's coil alone."""
    back = back_of(machine)
    yield "isolator.out", f"{CONTROL}.in"
    yield f"{CONTROL}.out", "emergency stop.in"
    yield "emergency stop.out", "held control.in"
    if guard.inrush is None:
        yield "held control.out", "contactor.coil-plus"
    else:
        for name in (PRE_CHARGE, DELAY):
            yield "held control.out", f"{name}.coil-plus"
            yield f"{name}.coil-minus", back
        yield "held control.out", f"{DELAY}.in"
        yield f"{DELAY}.out", "contactor.coil-plus"
    for one in guard.brakes:
        if not one.by_controller:
            yield "held control.out", f"{one.chain} {BRAKE}.coil-plus"
            yield f"{one.chain} {BRAKE}.coil-minus", back
    yield "contactor.coil-minus", back


def _beside(machine: Machine, name: str, small: Branches) -> Iterator[Wire]:
    """Yield the wires of something that is fed beside the tools."""
    fuse = fuse_of(name)
    ends = [("isolator.out", f"{fuse}.in"), (f"{fuse}.out", f"{name}.plus"), (f"{name}.minus", back_of(machine))]
    yield from _small("control", fuse, ends, small)


def _charge(machine: Machine) -> Iterator[Ends]:
    yield "fuse.out", f"{CHARGE}.in"
    yield f"{CHARGE}.out", "charge port.plus"
    yield "charge port.minus", back_of(machine)


def _plug(sense: Branch | None, pins: int) -> Iterator[Wire]:
    """Yield the wires of the sense plug, each behind its fuse at the pack's end."""
    if sense is not None:
        for pin in range(pins):
            fuse = sense_fuse(pin)
            yield Wire((f"pack.pin-{pin}", f"{fuse}.in"), "sense", sense.area, fuse, sense.area)
            yield Wire((f"{fuse}.out", f"board.pin-{pin}"), "sense", sense.area, fuse, sense.area)
