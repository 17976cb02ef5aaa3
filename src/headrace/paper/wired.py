"""The wiring in words, beside its drawing: every wire with its size, what differs as built, and what is wrong."""

from __future__ import annotations

from typing import Any

from headrace.paper.drawings.wiring_diagram import lettered, said_size, senses
from headrace.paper.words import capital

Record = dict[str, Any]

READS = (
    "Thickest are the wires with the amps of the work, finest those of the sense plug. A dot joins; lines that cross "
    "without one do not touch. Open rings are terminals. A contactor's or relay's coil stands where it is fed, its "
    "contacts where they switch. Everything is drawn switched off; the emergency stop is not pressed."
)
CAUTION = (
    "A drawing is no proof that a machine is safe. Wire with the pack disconnected and follow the connecting order; "
    "a pack cannot be switched off. Local codes and licensed practice come first, above all where there is mains."
)
UNDRAWN = "Too many wires meet in one place for a drawing that can be read; the list has every one."
FOLLOWS = "One straightforward wiring, not the only one."


DRAWN = "What is not drawn is not joined"
INPUTS = "but for the small inputs of a controller, such as throttle and enable, which its maker's sheet has"
CONTROLLERS = ("controller", "three-phase controller")


def drawn_all(netlist: Record) -> str:
    """Return that a drawing has every wire, and what it leaves to the sheet of a controller."""
    inputs = any(part["kind"] in CONTROLLERS for part in netlist.get("parts", ()))
    return f"{DRAWN}, {INPUTS}." if inputs else f"{DRAWN}."


def wires(netlist: Record) -> list[tuple[str, str, str]]:
    """Return a row for each wire: from where, to where, and its least size or why none is told."""
    return [(*wire["ends"], said_size(wire) or wire["reason"] or "") for wire in netlist["wires"]]


def notes(netlist: Record) -> str:
    """Return what no line of a drawing says of its parts, what else they have to do or stand for; "" of none."""
    return " ".join(f"{capital(part['name'])}: {part['note']}." for part in netlist["parts"] if part["note"])


def missing(record: Record) -> str:
    """Return why nothing is drawn; "" where something is."""
    netlist = record.get("netlist")
    return f"No wiring is drawn: {netlist['reason']}." if netlist and netlist["reason"] else ""


def differs(record: Record) -> list[tuple[str, str]]:
    """Return the letter of each wire that only one netlist has, and which wire it is in which of them."""
    where = {"netlist": "as planned only", "built": "as built only"}
    return [
        (letter, f"{_ends(record[name], ends)}, {where[name]}")
        for name, found in lettered(record).items()
        for ends, letter in found.items()
    ]


def _ends(netlist: Record, ends: frozenset[str]) -> str:
    """Return a wire's ends in the order that they were told."""
    return next(" to ".join(wire["ends"]) for wire in netlist["wires"] if frozenset(wire["ends"]) == ends)


def compared(record: Record) -> str:
    """Return what was held against what; "" where the file tells no wiring."""
    theirs = record.get("built")
    if not theirs:
        return ""
    alone = all(senses(wire) for wire in theirs["wires"])
    tells = "The file tells the sense plug alone, so no other wire is compared." if alone else ""
    if not record["netlist"].get("wires"):
        return "There is nothing of ours to hold it against."
    if not differs(record):
        return f"{tells} Both have the same wires.".strip()
    return f"{tells} Dashed and lettered is what only one of the two has.".strip()


def wrong(record: Record) -> list[str]:
    """Return what is wrong with the wiring as built, each as a sentence; names of terminals keep their letters."""
    says = [str(fault["says"]) for fault in (record.get("built") or {}).get("faults", ())]
    return [f"{one if '.' in one.split(' ')[0] else capital(one)}." for one in says]
