"""What the file says is joined to what, as a netlist."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from headrace.machine.joins import KINDS, MAY_HAVE, kind_by_name, parted
from headrace.machine.links import Contacts
from headrace.machine.records import Machine
from headrace.machine.values import first_number
from headrace.wiring.netlist import Netlist, Wire
from headrace.wiring.netlist_parts import Part, loads
from headrace.wiring.rules import RULES, Fault

OF_THE_PLUG = ("senses-crossed",)  # what can be told of the sense plug alone


def wrong(machine: Machine, found: Netlist) -> tuple[Fault, ...]:
    """Return what is wrong with what the file says is joined; of a file that tells the sense plug alone, its order."""
    told = machine.wiring is not None and bool(machine.wiring.joins)
    return tuple(
        Fault(slug, says) for slug, rule in RULES.items() if told or slug in OF_THE_PLUG for says in rule(found)
    )


def _with_earth(part: Part, named: Collection[str]) -> Part:
    """Return a part with the terminals that it may have as well, of those that a wire goes to."""
    more = [end for end in MAY_HAVE.get(part.kind, ()) if f"{part.name}.{end}" in named]
    return replace(part, terminals=(*part.terminals, *more))


def built(machine: Machine) -> Netlist | None:
    """Return what the file says is joined; None where it says nothing.

    The pack and the machine's own parts are there whether a wire goes to them or not; of the others those named.
    """
    said = machine.wiring
    if said is None:
        return None
    own = {part.name: part for part in loads(machine)}
    named = dict.fromkeys(parted(end)[0] for ends in said.joins for end in ends)
    groups = round(first_number(machine.source.series)) + 1 if said.sense else 0
    alternating = {
        link.of for chain in machine.chains for link in chain.links if isinstance(link, Contacts) and link.alternating
    }
    others = [("pack", "pack"), *((name, kind_by_name(name) or "") for name in named if name not in own)]
    if groups:
        others.append(("board", "board"))
    found = {
        name: Part(
            name,
            kind,
            (*KINDS[kind], *(f"pin-{pin}" for pin in range(groups if kind in ("pack", "board") else 0))),
            alternating=kind in alternating,
        )
        for name, kind in others
        if kind
    }
    plugged = tuple(Wire((f"pack.pin-{to}", f"board.pin-{pin}")) for pin, to in enumerate(said.sense))
    ends = dict.fromkeys(end for pair in said.joins for end in pair)
    others_own = (_with_earth(part, ends) for part in own.values())
    return Netlist((*found.values(), *others_own), (*(Wire(ends) for ends in said.joins), *plugged))
