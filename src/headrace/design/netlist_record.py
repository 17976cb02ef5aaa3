"""The record of what is joined to what, and of the order in which it is connected; as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.machine.joins import MAINS_BREAKER, parted
from headrace.pack.resting import UNRESTED
from headrace.wiring.built import built, wrong
from headrace.wiring.conductors import gauge_of
from headrace.wiring.netlist import Netlist, Wire
from headrace.wiring.netlist_parts import Part
from headrace.wiring.order_step import Step
from headrace.wiring.rules import Fault, faults

Record = dict[str, Any]

ENDLESS = {
    "wall-socket": "mains is wired by who may work on it, as the local code asks",
    "bench-supply": "a supply has two ends, and the assembly says how they are joined",
}
NO_SIZE = {
    "main": "no size of the table carries the main fuse and the work",
    "motor": "no size of the table does",
    "feed": "no size of the table does",
    "control": "no size of the table carries its fuse, or what flows there is not known",
    "charge": "no size of the table carries its fuse",
    "sense": "no size of the table carries its fuse",
    "": "the file does not say which size it is",
}
NO_FUSE = {  # of its own: why none stands there
    "main": "it lies in the line of the main fuse, and has no small fuse of its own",
    "motor": "it lies behind the main fuse and what drives the motor, and has no small fuse of its own",
    "feed": "it lies behind the main fuse and what stands first in its chain, and has no small fuse of its own",
    "": "the file says what is joined, not what guards each wire",
}
CORD = "at mains voltage the cord that came with the motor is kept"
CHAINED, UNKNOWN = "is judged with its chain", "is not known"
UNASKED = {  # of a part, amps or volts that nothing is asked of, or that are not known
    "pack": "gives the amps that the others are asked for",
    "fuse": "no usual rating or class carries it, or what it feeds is not known",
    "relay": "no usual resistor fills the capacitors in time, or no class of contactor says what its coil draws",
    "resistor": "no usual resistor fills the capacitors in time",
    "stop": "no class of contactor says what its coil draws",
    "control": "no class of contactor says what its coil draws",
    "motor": CHAINED,
    "three-phase motor": CHAINED,
    "mains motor": CHAINED,
    "mains switch": CHAINED,
    "controller": CHAINED,
    "three-phase controller": CHAINED,
    "dc-dc": CHAINED,
    "inverter": CHAINED,
}


def netlist_record(evidence: Evidence) -> Record:
    """Return the netlist as planned and as the file has it, and the connecting order; of what never empties why not."""
    found, theirs = evidence.netlist, built(evidence.machine)
    return {
        "netlist": {"reason": ENDLESS[evidence.machine.source.kind]}
        if found is None
        else _netlist(found, faults(found)),
        "built": None if theirs is None else _netlist(theirs, wrong(evidence.machine, theirs)),
        "connecting": [_step(step) for step in evidence.order],
    }


def _netlist(found: Netlist, broken: Sequence[Fault]) -> Record:
    mains = {part.name for part in found.of("mains switch", "mains motor", MAINS_BREAKER)}
    return {
        "reason": None,
        "parts": [_part(part) for part in found.parts],
        "wires": [
            {
                "name": " to ".join(wire.ends).replace(".", " "),
                "ends": list(wire.ends),
                "carries": wire.carries,
                "fuse": wire.fuse or None,
                "fuse_reason": None if wire.fuse else NO_FUSE[wire.carries],
                "area_m2": number(wire.area),
                "least_m2": number(wire.least),
                "gauge": gauge_of(wire.area),
                "reason": _no_size(wire, mains) if number(wire.area) is None else None,
            }
            for wire in found.wires
        ],
        "faults": [{"rule": fault.rule, "says": fault.says} for fault in broken],
    }


def _no_size(wire: Wire, mains: set[str]) -> str:
    behind = wire.carries and any(parted(end)[0] in mains for end in wire.ends)
    return CORD if behind else NO_SIZE[wire.carries]


def _part(part: Part) -> Record:
    amps, volts = number(part.current), number(part.voltage)
    return {
        "name": part.name,
        "kind": part.kind,
        "terminals": list(part.terminals),
        "current_A": amps,
        "voltage_V": volts,
        **_of_a_resistor(part),
        "note": part.note or None,
        "reason": UNASKED.get(part.kind, UNKNOWN) if amps is None or volts is None else None,
    }


def _of_a_resistor(part: Part) -> Record:
    """Return ohms and joules; of anything else nothing."""
    if part.kind != "resistor":
        return {}
    return {"resistance_ohm": number(part.resistance), "takes_J": number(part.energy)}


def _step(step: Step) -> Record:
    rested = number(step.rested)
    return {
        "name": step.name,
        "live": step.live,
        "does": step.does,
        "cover": step.cover,
        "between": step.between or None,
        "full_V": number(step.full),
        "half_V": number(step.storage),
        "rested_s": rested,
        "rested_reason": UNRESTED if rested is None else None,
        "differs": step.differs or None,
        "parts": list(step.parts),
        "expects": [{"name": what, f"value_{unit}": number(value)} for what, value, unit in step.expects],
    }
