"""The parts of a netlist: in the line, behind thin wires, the brakes, what guards mains, and what the file has to feed.

Each is made for what the fuse before it lets through for hours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import BRAKE, BRAKE_RESISTOR, KINDS, MAINS_BREAKER, MAY_HAVE, part_of
from headrace.machine.links import Controller, Converter
from headrace.machine.records import Chain, Lanes, Machine
from headrace.machine.values import first_number
from headrace.physics import pre_charge
from headrace.wiring.brake import has_phases
from headrace.wiring.branches import CHARGE, CONTROL, PULSE, Branch, Branches, fuse_of
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard
from headrace.wiring.let_run import let_run_notes
from headrace.wiring.pre_charge import OF_THE_PRE_CHARGE

PRE_CHARGE, DELAY = OF_THE_PRE_CHARGE
SMALL = "guards its thin wires and nothing else: the resistor glows long before it opens"
RELEASED = (
    "closed at rest: it has to open before the contactor closes, and to close a tenth of a second after it has opened, "
    "so that no controller drives into the resistor"
)
SIDE_BY_SIDE = (
    "stands for {} {} side by side, which are not drawn one by one: each has a fuse of its own at its plus, before "
    "the main fuse, and leads that bear it"
)
ONE_STOP = "bears one stop after the other: on metal, in the air"
LICENSED = (
    "opens both poles above its amps, and at 30 mA that go to earth instead of back; it sees those only where neutral "
    "is joined to the protective conductor before it: all of mains is for licensed practice, and local codes come first"
)
EARTHED = "its metal that a hand can touch is joined to the protective conductor, green and yellow, of the cord"
PROPOSED = "; proposed here, not yet in the file"
BRAKED = "has to brake on release, without the pack as well: its motor's three wires take no resistor of their own"


@dataclass(frozen=True)
class Part:
    """Something with terminals.

    Attributes
    ----------
    name, kind
        What it is called, and what it is (``machine.joins.KINDS``).
    terminals
        Their names.
    current, voltage
        It has to be made for; nan where nothing is asked. [A, V]
    fills
        Whether capacitors in it fill when it is connected.
    alternating
        Whether its plate knows alternating current only.
    resistance, energy
        Of a resistor, and what it takes in one go; nan of anything else. [Ω, J]
    note
        What else it has to do; "" where that is nothing.
    """

    name: str
    kind: str
    terminals: tuple[str, ...]
    current: Lanes = np.nan
    voltage: Lanes = np.nan
    fills: bool = False
    alternating: bool = False
    resistance: Lanes = np.nan
    energy: Lanes = np.nan
    note: str = ""


def line(machine: Machine, fused: Fused, guard: Guard, small: Branches, pins: int) -> Iterator[Part]:
    """Yield what stands between the pack and its loads: made for what the main fuse lets through for hours."""
    does = guard.switches
    yield _part("pack", "pack", pins=pins, voltage=does.voltage, note=_several(machine))
    yield _part("fuse", "fuse", fused.rating, fused.asked.voltage)
    yield _part("isolator", "isolator", does.rated, does.voltage)
    yield _part("contactor", "contactor", does.rated, does.voltage)
    if guard.inrush is not None:
        through = guard.planned or guard.proposed
        amps = np.nan if through is None else pre_charge.inrush_current(guard.inrush.voltage, through.resistance)
        heat = np.nan if through is None else through.heat
        ohms = np.nan if through is None else through.resistance
        yield _part(PULSE, "fuse", small.by_fuse[PULSE].rating, does.voltage, note=SMALL)
        yield _part(PRE_CHARGE, "relay", small.by_fuse[PULSE].rating, does.voltage)
        yield _part("pre-charge resistor", "resistor", amps, does.voltage, resistance=ohms, energy=heat)
    if machine.board is not None:
        yield _part("board", "board", machine.board.continuous, does.voltage, pins)


def _several(machine: Machine) -> str:
    """Return what the drawing leaves out of a source of several that stand side by side; "" of any other."""
    source = machine.source
    many = round(first_number(source.parallel))
    if many == 1 or not (source.ready_made or source.kind == "batteries"):
        return ""
    return SIDE_BY_SIDE.format(many, "finished packs" if source.ready_made else "rows of batteries")


def controls(machine: Machine, guard: Guard, small: Branches) -> Iterator[Part]:
    """Yield what is fed by thin wires: the coils' fuse, stop and control, the charge port, and the other fuses.

    Each is made for what its own fuse lets through for hours.
    """
    does = guard.switches
    coils = small.by_fuse[CONTROL].rating
    yield _part(CONTROL, "fuse", coils, does.voltage)
    yield _part("emergency stop", "stop", coils, does.voltage)
    yield _part("held control", "control", coils, does.voltage)
    if guard.inrush is not None:
        yield _part(DELAY, "relay", coils, does.voltage)
    if machine.charger is not None:
        yield _part(CHARGE, "fuse", small.by_fuse[CHARGE].rating, does.voltage)
        yield _part("charge port", "port", small.by_fuse[CHARGE].rating, does.voltage)
    for one in machine.auxiliaries:
        yield _part(fuse_of(one.name), "fuse", small.by_fuse[fuse_of(one.name)].rating, does.voltage)


def brakes(guard: Guard) -> Iterator[Part]:
    """Yield contact and resistor of each brake on release that stands across a motor of its own two wires."""
    for one in guard.brakes:
        if not one.by_controller:
            amps, volts, brake = one.brake.peak_current, guard.switches.voltage, one.brake
            new = "" if one.planned else PROPOSED
            yield _part(f"{one.chain} {BRAKE}", BRAKE, amps, volts, note=f"{RELEASED}{new}")
            yield _part(
                part_of(one.chain, BRAKE_RESISTOR),
                "resistor",
                amps,
                volts,
                resistance=brake.resistance,
                energy=brake.heat,
                note=f"{ONE_STOP}{new}",
            )


def of_mains(machine: Machine) -> Iterator[Part]:
    """Yield what guards people behind each inverter: for both poles, in the amps that the inverter gives for long."""
    for chain in machine.chains:
        box = parts(chain).converter
        if box is not None and box.kind == "inverter":
            yield _part(f"{chain.name} {MAINS_BREAKER}", MAINS_BREAKER, _given(box), box.voltage, note=LICENSED)


def _given(box: Converter) -> Lanes:
    """Return what an inverter gives for long, of mains. [A]"""
    return pre_charge.standby_current(box.rated_power, box.voltage)


def told(machine: Machine, found: Iterable[Part], guard: Guard) -> Iterator[Part]:
    """Yield parts with what no wire of theirs says.

    What lets one of several chains run, what a controller of three phases does on release, the earth of what has mains.
    """
    braked, let = [one for one in guard.brakes if one.by_controller], let_run_notes(machine)
    for part in found:
        brakes = [one for one in braked if part.name.startswith(f"{one.chain} ")]
        more = MAY_HAVE.get(part.kind, ())
        note = EARTHED if more else part.note
        if brakes and part.kind == "three-phase controller":
            note = BRAKED if brakes[0].planned else f"{BRAKED}{PROPOSED}"
        note = "; ".join(said for said in (note, let.get(part.name, "")) if said)
        yield replace(part, terminals=(*part.terminals, *more), note=note)


def senses(sense: Branch | None, pins: int, volts: Lanes) -> Iterator[Part]:
    """Yield the fuse in each wire of the sense plug: two that touch are a short circuit of all groups between them."""
    if sense is not None:
        yield from (_part(sense_fuse(pin), "fuse", sense.rating, volts) for pin in range(pins))


def sense_fuse(pin: int) -> str:
    """Return what the fuse in the wire of a pin is called."""
    return f"sense {pin} fuse"


def _part(name: str, kind: str, current: Lanes = np.nan, voltage: Lanes = np.nan, pins: int = 0, **others: Any) -> Part:
    return Part(name, kind, (*KINDS[kind], *(f"pin-{pin}" for pin in range(pins))), current, voltage, **others)


def loads(machine: Machine, voltage: Lanes = np.nan) -> Iterator[Part]:
    """Yield what the file has to feed; what stands first on the pack has to bear its volts."""
    least = machine.source.series * machine.source.cell.empty_voltage
    for chain in machine.chains:
        row, kinds = parts(chain), kinds_of(chain)
        for link in (row.converter, row.controller, row.motor):
            if link is not None:
                kind = kinds[link.name]
                amps: Lanes = np.nan
                bears: Lanes = voltage if link is first_of(chain) else np.nan
                if kind == "mains switch" and row.converter is not None:
                    bears, amps = row.converter.voltage, _given(row.converter)
                name, ends = f"{chain.name} {link.name}", tuple(KINDS[kind])
                yield Part(name, kind, ends, amps, bears, fills=_fills(chain, link))
    for one in machine.auxiliaries:
        yield _part(one.name, "auxiliary", pre_charge.standby_current(one.power, least), voltage)


def _fills(chain: Chain, link: object) -> bool:
    box = first_of(chain)
    return link is box and bool(np.any(np.asarray(box.capacitance) > 0.0))


def first_of(chain: Chain) -> Controller | Converter:
    """Return what stands first behind the contactor, whose capacitors fill."""
    row = parts(chain)
    return row.controller if row.converter is None else row.converter


def kinds_of(chain: Chain) -> dict[str, str]:
    """Return the kind of part that controller, motor and converter of a chain are, by their names."""
    row = parts(chain)
    phases = "three-phase " if has_phases(row.motor) else ""
    found = {row.controller.name: f"{phases}controller", row.motor.name: f"{phases}motor"}
    if row.converter is not None:
        found[row.converter.name] = row.converter.kind
        if row.converter.kind == "inverter":
            found |= {row.controller.name: "mains switch", row.motor.name: "mains motor"}
    return found
