"""Where a meter shows what a cable or a joint takes: its terminals by the names of the netlist, and the millivolts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from headrace.drive.links import Parts, parts
from headrace.drive.point import Point
from headrace.drive.train import wiring_resistance
from headrace.machine.links import Cable, Contacts
from headrace.machine.records import Chain, Lanes, Machine
from headrace.machine.values import is_known
from headrace.physics import conductors
from headrace.wiring.conductors import Conductor
from headrace.wiring.netlist import Netlist, back_of
from headrace.wiring.readings import Reading, reading

MAINS = "mains, wherever it comes from: not read by hand with a multimeter; licensed practice only"
STANDS = "nothing of the job works on this charge, so there is no current to read it at"
BAD_JOINT = "More: a loose, dirty or badly crimped joint; it warms, so mend it before work. Nothing: no current flows."
BAD_CABLE = (
    "More: thinner or longer than planned, strands cut at a lug, or a joint read with it. Less: the amps are less."
)
NAMED = {"fuse": ("fuse.in", "fuse.out"), "isolator": ("isolator.in", "isolator.out"),
         "contactor": ("contactor.in", "contactor.out"), "board": ("board.cells", "board.load")}  # fmt: skip


def drops(
    machine: Machine,
    chain: Chain,
    point: Point | None,
    when: str,
    found: Netlist | None,
    proposals: Sequence[Conductor] = (),
) -> Iterator[Reading]:
    """Yield the drop over each joint and each cable of a chain at a point; None where nothing works.

    Parameters
    ----------
    machine, chain
        Whose.
    point
        Operating point it is read at.
    when
        Its duty state in words.
    found
        The netlist whose terminals are named; None where the source comes with its own wiring.
    proposals
        Runs that the file has no cable for; those of no size have no reading.
    """
    row = parts(chain)
    live = row.alternating and row.converter is None  # the source's own leads are mains as well
    sides = (
        ("source", row.battery_leads, None if point is None else point.battery_current, live),
        ("feed", row.feed_leads, None if point is None else point.feed_current, row.alternating),
        ("motor", row.motor_leads, None if point is None else point.motor_current, row.alternating),
    )
    for side, links, amps, mains in sides:
        bought = [one for one in proposals if (one.chain, one.side) == (chain.name, side)]
        proposed = [replace(one.cable, name=f"proposed {side} cable") for one in bought if is_known(one.needed)]
        for link in (*links, *proposed):
            yield _drop(machine, chain, row, side, link, np.nan if mains or amps is None else amps, mains, when, found)


def _drop(
    machine: Machine,
    chain: Chain,
    row: Parts,
    side: str,
    link: Cable | Contacts,
    amps: Lanes,
    mains: bool,
    when: str,
    found: Netlist | None,
) -> Reading:
    if isinstance(link, Cable):
        kind, ohms, bad, where = "cable", wiring_resistance(link), BAD_CABLE, _along(machine, chain, row, side, found)
    else:
        kind, ohms, bad, where = "joint", link.resistance, BAD_JOINT, _over(machine, link, found)
    return reading(
        f"{link.name} of {chain.name}",
        kind,
        where,
        when,
        conductors.voltage_drop(amps, ohms),
        bad,
        current=amps,
        reason=MAINS if mains else STANDS,
    )


def _over(machine: Machine, link: Contacts, found: Netlist | None) -> str:
    """Return where the meter is held over a joint: at terminals where it is the only one of its kind in the netlist."""
    ends, alike = (
        NAMED.get(link.of),
        [one for chain in machine.chains for one in chain.links if isinstance(one, Contacts) and one.of == link.of],
    )
    if ends is not None and found is not None and len(alike) == 1 and any(part.name == link.of for part in found.parts):
        return f"{ends[0]} and {ends[1]}"
    return "over each joint, from the metal before it to the metal behind it"


def _along(machine: Machine, chain: Chain, row: Parts, side: str, found: Netlist | None) -> str:
    """Return where the meter is held along the conductors of a cable, out and back."""
    both = "along each conductor from end to end, the two readings added"
    if found is None or (row.alternating and side != "source"):
        return both
    control, motor = f"{chain.name} {row.controller.name}", f"{chain.name} {row.motor.name}"
    box = control if row.converter is None else f"{chain.name} {row.converter.name}"
    ends = {
        "source": (("contactor.out", f"{box}.plus"), (back_of(machine), f"{box}.minus")),
        "feed": ((f"{box}.out-plus", f"{control}.plus"), (f"{box}.out-minus", f"{control}.minus")),
        "motor": ((f"{control}.motor-a", f"{motor}.a"), (f"{control}.motor-b", f"{motor}.b")),
    }[side]
    pairs = " added to ".join(f"{one} and {other}" for one, other in ends)
    return f"{pairs}; its joints left out"
