"""What is joined to what: one straightforward wiring of a machine.

A netlist is plain data: parts with their terminals, and the wires between two terminals each. In the order of the
current: pack, main fuse, isolator, main contactor with the pre-charge across it, controllers and converters; the board
in the minus. Behind fuse, emergency stop and held control hang three coils: that of the pre-charge's relay, that of the
relay that waits until it is done, and behind the latter's contact the contactor's. Letting go opens all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import KINDS
from headrace.machine.links import AnyMotor, Controller, Converter
from headrace.machine.records import Chain, Lanes, Machine
from headrace.physics import duty, pre_charge
from headrace.wiring.branches import CHARGE, CONTROL, Branch, Branches, branches, fuse_of
from headrace.wiring.conductors import Conductor
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard

ELECTRONIC = "electronic"
PRE_CHARGE, DELAY = "pre-charge relay", "delay relay"


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
    """

    name: str
    kind: str
    terminals: tuple[str, ...]
    current: Lanes = np.nan
    voltage: Lanes = np.nan
    fills: bool = False
    alternating: bool = False


@dataclass(frozen=True)
class Wire:
    """One wire between two terminals, each "part.terminal".

    Attributes
    ----------
    ends
        The two.
    carries
        main, motor, feed, control, charge, sense; "" in a netlist of a file.
    area
        Least metal; nan where it is not worked out. [m²]
    fuse
        The small fuse that it is sized for; "" where it is none's.
    """

    ends: tuple[str, str]
    carries: str = ""
    area: Lanes = np.nan
    fuse: str = ""


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
    main = duty.greatest([fused.wire_area, *(wire.needed for wire in wires if wire.side == "source")])
    return Netlist(
        parts=(
            *_line(machine, fused, guard, pins),
            *_controls(machine, guard, small),
            *_senses(small.sense, pins, guard.switches.voltage),
            *loads(machine, guard.switches.voltage),
        ),
        wires=(
            *(Wire(ends, "main", main) for ends in _main(machine, guard)),
            *_of_chains(machine, wires),
            *_small("control", CONTROL, _control(machine, guard), small),
            *(wire for one in machine.auxiliaries for wire in _beside(machine, one.name, small)),
            *_small("charge", CHARGE, _charge(machine), small),
            *_plug(small.sense, pins),
        ),
    )


def _line(machine: Machine, fused: Fused, guard: Guard, pins: int) -> Iterator[Part]:
    """Yield what stands between the pack and its loads, in the amps of the work."""
    does = guard.switches
    yield _part("pack", "pack", pins=pins, voltage=does.voltage)
    yield _part("fuse", "fuse", fused.rating, fused.asked.voltage)
    yield _part("isolator", "isolator", does.carries, does.voltage)
    yield _part("contactor", "contactor", does.carries, does.voltage)
    if guard.inrush is not None:
        through = guard.planned or guard.proposed
        amps = np.nan if through is None else pre_charge.inrush_current(guard.inrush.voltage, through.resistance)
        yield _part(PRE_CHARGE, "relay", amps, does.voltage)
        yield _part("pre-charge resistor", "resistor", amps, does.voltage)
    if machine.board is not None:
        yield _part("board", "board", machine.board.continuous, does.voltage, pins)


def _controls(machine: Machine, guard: Guard, small: Branches) -> Iterator[Part]:
    """Yield what is fed by thin wires: the coils' fuse, stop and control, the charge port, and the other fuses."""
    does = guard.switches
    coils = small.by_fuse[CONTROL].current
    yield _part(CONTROL, "fuse", small.by_fuse[CONTROL].rating, does.voltage)
    yield _part("emergency stop", "stop", coils, does.voltage)
    yield _part("held control", "control", coils, does.voltage)
    if guard.inrush is not None:
        coil = np.nan if does.contactor is None else does.contactor.coil_current
        yield _part(DELAY, "relay", coil, does.voltage)
    if machine.charger is not None:
        yield _part(CHARGE, "fuse", small.by_fuse[CHARGE].rating, does.voltage)
        yield _part("charge port", "port", machine.charger.current, does.voltage)
    for one in machine.auxiliaries:
        yield _part(fuse_of(one.name), "fuse", small.by_fuse[fuse_of(one.name)].rating, does.voltage)


def _senses(sense: Branch | None, pins: int, volts: Lanes) -> Iterator[Part]:
    """Yield the fuse in each wire of the sense plug: two that touch are a short circuit of all groups between them."""
    if sense is not None:
        yield from (_part(_sense_fuse(pin), "fuse", sense.rating, volts) for pin in range(pins))


def _sense_fuse(pin: int) -> str:
    return f"sense {pin} fuse"


def _part(name: str, kind: str, current: Lanes = np.nan, voltage: Lanes = np.nan, pins: int = 0) -> Part:
    return Part(name, kind, (*KINDS[kind], *(f"pin-{pin}" for pin in range(pins))), current, voltage)


def loads(machine: Machine, voltage: Lanes = np.nan) -> Iterator[Part]:
    """Yield what the file has to feed; what stands first on the pack has to bear its volts."""
    least = machine.source.series * machine.source.cell.empty_voltage
    for chain in machine.chains:
        row, kinds = parts(chain), _kinds(chain)
        for link in (row.converter, row.controller, row.motor):
            if link is not None:
                kind = kinds[link.name]
                bears = voltage if link is _first(chain) else np.nan
                name, ends = f"{chain.name} {link.name}", tuple(KINDS[kind])
                yield Part(name, kind, ends, voltage=bears, fills=_fills(chain, link))
    for one in machine.auxiliaries:
        yield _part(one.name, "auxiliary", pre_charge.standby_current(one.power, least), voltage)


def _fills(chain: Chain, link: object) -> bool:
    box = _first(chain)
    return link is box and bool(np.any(np.asarray(box.capacitance) > 0.0))


def _first(chain: Chain) -> Controller | Converter:
    """Return what stands first behind the contactor, whose capacitors fill."""
    row = parts(chain)
    return row.controller if row.converter is None else row.converter


def has_phases(motor: AnyMotor) -> bool:
    """Return whether a motor hangs on three wires that its controller feeds in turn."""
    return getattr(motor, "commutation", "") == ELECTRONIC


def _kinds(chain: Chain) -> dict[str, str]:
    """Return the kind of part that controller, motor and converter of a chain are, by their names."""
    row = parts(chain)
    phases = "three-phase " if has_phases(row.motor) else ""
    found = {row.controller.name: f"{phases}controller", row.motor.name: f"{phases}motor"}
    if row.converter is not None:
        found[row.converter.name] = row.converter.kind
        if row.converter.kind == "inverter":
            found |= {row.controller.name: "mains switch", row.motor.name: "mains motor"}
    return found


Ends = tuple[str, str]


def _main(machine: Machine, guard: Guard) -> Iterator[Ends]:
    """Yield the wires that carry the amps of the work."""
    back = back_of(machine)
    yield "pack.plus", "fuse.in"
    yield "fuse.out", "isolator.in"
    yield "isolator.out", "contactor.in"
    if guard.inrush is not None:
        yield "contactor.in", f"{PRE_CHARGE}.in"
        yield f"{PRE_CHARGE}.out", "pre-charge resistor.in"
        yield "pre-charge resistor.out", "contactor.out"
    if machine.board is not None:
        yield "pack.minus", "board.cells"
    for chain in machine.chains:
        name = f"{chain.name} {_first(chain).name}"
        yield "contactor.out", f"{name}.plus"
        yield back, f"{name}.minus"


def back_of(machine: Machine) -> str:
    """Return the terminal that the minus of everything goes to."""
    return "pack.minus" if machine.board is None else "board.load"


def _of_chains(machine: Machine, wires: Sequence[Conductor]) -> Iterator[Wire]:
    """Yield the wires behind controllers and converters."""
    for chain in machine.chains:
        row, kinds = parts(chain), _kinds(chain)
        control, motor = f"{chain.name} {row.controller.name}", f"{chain.name} {row.motor.name}"
        sizes = {side: _size(wires, chain.name, side) for side in ("feed", "motor")}
        if kinds[row.controller.name] == "mains switch" and row.converter is not None:
            fed = f"{chain.name} {row.converter.name}"
            yield Wire((f"{fed}.live", f"{control}.in"), "feed", sizes["feed"])
            yield Wire((f"{control}.out", f"{motor}.live"), "motor", sizes["motor"])
            yield Wire((f"{fed}.neutral", f"{motor}.neutral"), "motor", sizes["motor"])
            continue
        if row.converter is not None:
            fed = f"{chain.name} {row.converter.name}"
            for end in ("plus", "minus"):
                yield Wire((f"{fed}.out-{end}", f"{control}.{end}"), "feed", sizes["feed"])
        for end in KINDS[kinds[row.motor.name]]:
            yield Wire((f"{control}.motor-{end}", f"{motor}.{end}"), "motor", sizes["motor"])


def _size(wires: Sequence[Conductor], chain: str, side: str) -> Lanes:
    needed = [wire.needed for wire in wires if (wire.chain, wire.side) == (chain, side)]
    return duty.greatest(needed) if needed else np.nan


def _small(carries: str, fuse: str, ends: Iterable[Ends], small: Branches) -> Iterator[Wire]:
    """Yield the wires of one small circuit, as thick as its fuse asks for."""
    if fuse in small.by_fuse:
        yield from (Wire(pair, carries, small.by_fuse[fuse].area, fuse) for pair in ends)


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
            fuse = _sense_fuse(pin)
            yield Wire((f"pack.pin-{pin}", f"{fuse}.in"), "sense", sense.area, fuse)
            yield Wire((f"{fuse}.out", f"board.pin-{pin}"), "sense", sense.area, fuse)
