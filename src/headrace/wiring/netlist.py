"""What is joined to what: one straightforward wiring of a machine.

A netlist is plain data: parts with their terminals, and the wires between two terminals each. In the order of the
current: pack, main fuse, isolator, main contactor with the pre-charge across it, controllers and converters; the board
in the minus. The contactor's coil hangs behind fuse, emergency stop and held control.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import KINDS
from headrace.machine.links import Controller, Converter
from headrace.machine.records import Chain, Lanes, Machine
from headrace.physics import duty, fusing, pre_charge
from headrace.physics.working import solution
from headrace.tables import load
from headrace.wiring.conductors import Conductor
from headrace.wiring.fuse import Fused, practice
from headrace.wiring.guard import Guard

ELECTRONIC = "electronic"


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
    """

    ends: tuple[str, str]
    carries: str = ""
    area: Lanes = np.nan


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
        Sizes, the main fuse, and what switches have to do.
    """
    if guard is None or fused is None:
        return None
    pins = len(guard.pins) if machine.board is not None else 0
    main = duty.greatest([fused.wire_area, *(wire.needed for wire in wires if wire.side == "source")])
    return Netlist(
        parts=(*_line(machine, fused, guard, pins), *loads(machine)),
        wires=(
            *(Wire(ends, "main", main) for ends in _main(machine, guard)),
            *_of_chains(machine, wires),
            *(Wire(ends, "control") for ends in _control(machine)),
            *(Wire(ends, "charge") for ends in _charge(machine)),
            *(Wire((f"pack.pin-{pin}", f"board.pin-{pin}"), "sense") for pin in range(pins)),
        ),
    )


def _line(machine: Machine, fused: Fused, guard: Guard, pins: int) -> Iterator[Part]:
    """Yield what stands between the pack and its loads."""
    does = guard.switches
    coil = np.nan if does.contactor is None else does.contactor.coil_current
    least = machine.source.series * machine.source.cell.empty_voltage
    yield _part("pack", "pack", pins=pins)
    yield _part("fuse", "fuse", fused.rating, fused.asked.voltage)
    yield _part("isolator", "isolator", does.carries, does.voltage)
    yield _part("contactor", "contactor", does.carries, does.voltage)
    if guard.inrush is not None:
        through = guard.planned or guard.proposed
        amps = np.nan if through is None else pre_charge.inrush_current(guard.inrush.voltage, through.resistance)
        yield _part("pre-charge contact", "contact", amps, does.voltage)
        yield _part("pre-charge resistor", "resistor", amps, does.voltage)
    if machine.board is not None:
        yield _part("board", "board", machine.board.continuous, does.voltage, pins)
    held = np.nan if does.contactor is None else does.contactor.hold_power
    yield _part("control fuse", "fuse", _small_fuse_for(held, least), does.voltage)
    yield _part("emergency stop", "stop", coil, does.voltage)
    yield _part("held control", "control", coil, does.voltage)
    charging = np.nan if machine.charger is None else machine.charger.current
    yield _part("charge fuse", "fuse", _small_fuse(charging), does.voltage)
    yield _part("charge port", "port", charging, does.voltage)
    for one in machine.auxiliaries:
        yield _part(f"{one.name} fuse", "fuse", _small_fuse_for(one.power, least), does.voltage)


def _part(name: str, kind: str, current: Lanes = np.nan, voltage: Lanes = np.nan, pins: int = 0) -> Part:
    return Part(name, kind, (*KINDS[kind], *(f"pin-{pin}" for pin in range(pins))), current, voltage)


def _small_fuse_for(power: Lanes, voltage: Lanes) -> Lanes:
    """Return the rating of a fuse before something that takes its watts whatever the volts. [A]"""
    return _small_fuse(pre_charge.standby_current(power, voltage))


def _small_fuse(current: Lanes) -> Lanes:
    return _usual_rating(fusing.least_fuse(current, current, practice("fuse.margin")))


@solution("the smallest usual rating of a fuse that carries it")
def _usual_rating(least: Lanes) -> Lanes:
    found: Lanes = np.nan
    for amps in sorted((float(row["rating"]) for row in load("fuse_ratings")), reverse=True):
        found = np.where(amps >= np.asarray(least), amps, found)
    return found


def loads(machine: Machine) -> Iterator[Part]:
    """Yield what the file has behind the contactor."""
    for chain in machine.chains:
        row, kinds = parts(chain), _kinds(chain)
        for link in (row.converter, row.controller, row.motor):
            if link is not None:
                kind = kinds[link.name]
                yield Part(f"{chain.name} {link.name}", kind, tuple(KINDS[kind]), fills=_fills(chain, link))
    for one in machine.auxiliaries:
        yield Part(one.name, "auxiliary", tuple(KINDS["auxiliary"]))


def _fills(chain: Chain, link: object) -> bool:
    box = _first(chain)
    return link is box and bool(np.any(np.asarray(box.capacitance) > 0.0))


def _first(chain: Chain) -> Controller | Converter:
    """Return what stands first behind the contactor, whose capacitors fill."""
    row = parts(chain)
    return row.controller if row.converter is None else row.converter


def _kinds(chain: Chain) -> dict[str, str]:
    """Return the kind of part that controller, motor and converter of a chain are, by their names."""
    row = parts(chain)
    phases = "three-phase " if getattr(row.motor, "commutation", "") == ELECTRONIC else ""
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
        yield "contactor.in", "pre-charge contact.in"
        yield "pre-charge contact.out", "pre-charge resistor.in"
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


def _control(machine: Machine) -> Iterator[Ends]:
    """Yield the wires of the contactor's coil, and of what is fed beside the tools."""
    back = back_of(machine)
    yield "isolator.out", "control fuse.in"
    yield "control fuse.out", "emergency stop.in"
    yield "emergency stop.out", "held control.in"
    yield "held control.out", "contactor.coil-plus"
    yield "contactor.coil-minus", back
    for one in machine.auxiliaries:
        yield "isolator.out", f"{one.name} fuse.in"
        yield f"{one.name} fuse.out", f"{one.name}.plus"
        yield f"{one.name}.minus", back


def _charge(machine: Machine) -> Iterator[Ends]:
    yield "fuse.out", "charge fuse.in"
    yield "charge fuse.out", "charge port.plus"
    yield "charge port.minus", back_of(machine)
