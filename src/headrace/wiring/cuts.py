"""Which pieces of cable to cut, and what is pressed on their ends: one for each wire of the netlist.

The file knows runs, one way from the source to what it feeds; where it has no cable one of the usual length is taken.
What stands in a run shares it, so of the pieces of a run only the sum is known; what has no run of its own is as long
as the longest one on the pack's side: a mains cord lies outside the machine, and control wires stay within. Sense wires
go from the pack to the board beside it. Whatever the file does not say is said to be an estimate.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import ALTERNATING, BRAKE, KINDS, MAINS_BREAKER, part_of, parted, run_of
from headrace.machine.practice import practice
from headrace.machine.records import Chain, Lanes, Machine
from headrace.machine.sizes import of_size
from headrace.machine.values import counted, is_known, typical_of
from headrace.physics import buying, duty
from headrace.wiring.branches import PULSE
from headrace.wiring.conductors import Conductor, gauge_of
from headrace.wiring.cut import Cuts, Piece, Run, Size
from headrace.wiring.netlist import Netlist, Wire
from headrace.wiring.netlist_parts import Part

LUG, FERRULE, SLEEVE, PIN, TAB = "lugs", "ferrules", "push-on sleeves", "plug pins", "strip tabs"
OF_MAINS = "mains terminals"  # joined by who may: nothing is pressed on by whoever builds
PRESSED = (LUG, FERRULE, SLEEVE)  # bought by themselves; a pin comes with its plug, a tab is the strip's own
STUDLESS = ("stop", "control", "auxiliary")  # thin wires under small screws
FOR = {  # what a wire of no known size is for
    "main": "the main line",
    "motor": "the motor",
    "feed": "the feed",
    "control": "control",
    "charge": "charging",
    "sense": "sense wires",
}
SENSE = "sense"
SENSE_WIRE = "sense wire"
IN_A_PACK = ("pack", "board")
GIVEN, ASSUMED = "given", "assumed"
SPANS = ("feed", "motor")  # what lies behind what stands first, and behind the controller

TOGETHER = "one of several pieces that share this run: measure each on the machine"
HAND = (
    "an estimate: as short as a hand, and no longer than 17 cm: until its own fuse only the main fuse guards it, "
    "so that fuse's holder sits beside the terminal"
)
JUMPER = "an estimate: as short as a hand, across the contactor"
BESIDE = "an estimate: as short as a hand, cut from the same cord: it sits beside the inverter"
LOOP = "an estimate: as short as a hand, from the brake's contact to its resistor"
STUB = "as short as a hand, in none of the metres to buy: its fuse sits where it leaves the pack"
BY_THE_PACK = "an estimate: from the pack's end to a board beside it"
INSIDE = "inside the ready-made pack, which is not opened"
OWN_CORD = "the motor's own cord, kept as it came"
NOT_CUT = (INSIDE, OWN_CORD)  # in none of the sizes that are bought
NO_RUN = "the file has no cable there, so no length is known: measure it; a motor may come with leads of its own"
UNSAID = "an estimate: as long as a usual cable, for the file has none there; a motor may come with leads of its own"
BY_LONGEST = "an estimate: as long as the longest run on the pack's side"
NOTHING_KNOWN = "no run is known, so no length is either: measure it"


@dataclass(frozen=True)
class _Place:
    """Where a part of a chain stands: how many runs lie before it, that of the source not counted."""

    chain: str
    rank: int


def cuts(machine: Machine, found: Netlist | None, wires: Sequence[Conductor]) -> Cuts:
    """Return what to cut.

    Parameters
    ----------
    machine
        The machine.
    found
        Its wiring; None of what never empties.
    wires
        The runs of the file and those proposed, with the sizes they need.
    """
    allowance, runs = practice("cuts.allowance"), tuple(_runs(machine, found, wires))
    near = [run for run in runs if run.carries == "main" and not run.cord]  # a cord lies outside the machine
    longest = max(near, key=lambda run: (run.basis == GIVEN, typical_of(run.one_way)), default=None)
    longest = None if found is None else longest  # of what never empties nothing is estimated
    pieces = tuple(_supplied(machine, wires, runs) if found is None else _pieces(machine, found, runs, longest))
    whole = [run for run in runs if run.cord or (found is not None and run.carries == "main")]
    return Cuts(allowance, longest, runs, pieces, tuple(_sizes(pieces, whole, allowance)))


def size_name(area: Lanes, carries: str, *, cord: bool = False) -> str:
    """Return what a size is called: by its metal, else by what it carries."""
    if carries == SENSE:
        return SENSE_WIRE
    return of_size("cord" if cord else "cable", typical_of(area)) if is_known(area) else f"cable for {FOR[carries]}"


def _end_name(made: str, area: Lanes, carries: str) -> str:
    sized = is_known(area) and carries != SENSE  # which is bought as a wire of its own
    return of_size(made, typical_of(area)) if sized else f"{made} for {FOR[carries]}"


# --- lengths that are known ----------------------------------------------------------------------


def _runs(machine: Machine, found: Netlist | None, wires: Sequence[Conductor]) -> Iterator[Run]:
    """Yield the runs: the cables of one chain and side, one behind the other."""
    mains, at_a_socket = {c.name for c in machine.chains if c.alternating}, machine.source.at_a_socket
    for chain, side in dict.fromkeys((wire.chain, wire.side) for wire in wires):
        here = [wire for wire in wires if (wire.chain, wire.side) == (chain, side)]
        length = typical_of(sum(typical_of(wire.length) for wire in here))
        name = run_of(chain, side)
        carries = "main" if side == "source" else side
        area = _area_of(machine, found, wires, chain, side)
        cord = chain in mains and (at_a_socket or side != "source")
        basis = GIVEN if all(wire.planned for wire in here) else ASSUMED
        yield Run(name, carries, length, buying.there_and_back(length), area, cord, basis)


def _area_of(machine: Machine, found: Netlist | None, wires: Sequence[Conductor], chain: str, side: str) -> Lanes:
    """Return the metal to be bought for a run: that of the file where it is enough, else what is needed. [m²]

    On the source's side the netlist has it: no thinner than what the main fuse guards.
    """
    if side == "source" and found is not None:
        own = {name for name, place in _places(machine).items() if place.chain == chain}
        main = [wire for wire in found.wires if wire.carries == "main"]
        return next((typical_of(wire.area) for wire in main if own & {parted(end)[0] for end in wire.ends}), np.nan)
    here = [wire for wire in wires if (wire.side, wire.chain) == (side, chain)]
    return typical_of(duty.greatest([typical_of(area) for wire in here for area in (wire.needed, wire.area)]))


# --- pieces --------------------------------------------------------------------------------------


def _pieces(machine: Machine, found: Netlist, runs: Sequence[Run], longest: Run | None) -> Iterator[Piece]:
    places, by_name = _places(machine), {run.name: run for run in runs}
    kinds = {part.name: part for part in found.parts}
    bolted = {parted(end)[0] for wire in found.wires if wire.carries == "main" for end in wire.ends}
    trunks = [run for run in runs if run.carries == "main"]
    trunk = max(trunks, key=lambda run: (typical_of(run.area), typical_of(run.one_way)), default=None)
    for wire in found.wires:
        names = [parted(end)[0] for end in wire.ends]
        made = [_made(kinds[name], end, bolted=name in bolted) for name, end in zip(names, wire.ends, strict=True)]
        piece = _bare(wire, (made[0], made[1]))
        if machine.source.ready_made and (
            wire.carries == SENSE or all(kinds[name].kind in IN_A_PACK for name in names)
        ):
            yield replace(piece, reason=INSIDE)
            continue
        if wire.carries == "main":
            yield _of_the_line(piece, _source_run(names, places, by_name, trunk))
        elif (short := _short(wire, [kinds[name].kind for name in names])) and wire.carries != SENSE:
            yield replace(piece, length=practice("cuts.stub"), basis=ASSUMED, reason=short)
        elif {kinds[name].kind for name in names} == {"inverter", MAINS_BREAKER}:
            sized = _sized(piece, piece.area, cord=True)
            yield replace(sized, length=practice("cuts.stub"), basis=ASSUMED, reason=BESIDE)
        elif {kinds[name].kind for name in names} == {"mains switch", "mains motor"} and not is_known(piece.area):
            yield replace(piece, made=(OF_MAINS, OF_MAINS), reason=OWN_CORD)
        elif all(name in places for name in names):
            yield _behind(piece, [places[name] for name in names], by_name)
        elif wire.carries == SENSE and "fuse" in (kinds[name].kind for name in names) and TAB in made:
            yield replace(piece, reason=STUB)
        elif wire.carries == SENSE:
            yield replace(piece, length=practice("cuts.sense"), basis=ASSUMED, reason=BY_THE_PACK)
        else:
            yield _estimated(piece, longest)


def _bare(wire: Wire, made: tuple[str, str]) -> Piece:
    """Return a piece of which no length is known yet."""
    area, least = typical_of(wire.area), typical_of(wire.least)
    size, gauge = size_name(area, wire.carries), gauge_of(area) if is_known(area) else None
    return Piece(wire.ends, made, wire.carries, size, area, least, gauge, np.nan, "", "", "")


def _places(machine: Machine) -> dict[str, _Place]:
    """Return where the parts of each chain stand, by their names in the netlist."""
    found = {}
    for chain in machine.chains:
        row = parts(chain)
        first = row.controller if row.converter is None else row.converter
        found[part_of(chain.name, first.name)] = _Place(chain.name, 0)
        found[part_of(chain.name, row.controller.name)] = _Place(chain.name, 0 if row.converter is None else 1)
        found[part_of(chain.name, MAINS_BREAKER)] = _Place(chain.name, 0)  # beside its inverter
        found[part_of(chain.name, row.motor.name)] = _Place(chain.name, 2)
    return found


def _source_run(names: Sequence[str], places: dict[str, _Place], runs: dict[str, Run], trunk: Run | None) -> Run | None:
    """Return the run of a piece of the main line; what all chains share is part of the thickest."""
    chains = [places[name].chain for name in names if name in places]
    return runs.get(run_of(chains[0], "source")) if chains else trunk


def _of_the_line(piece: Piece, run: Run | None) -> Piece:
    if run is None:
        return replace(piece, reason=NO_RUN)
    return replace(_sized(piece, run.area, cord=False), run=run.name, reason=TOGETHER)


def _short(wire: Wire, kinds: Sequence[str]) -> str:
    """Return why a piece is as short as a hand; "" of one that is not.

    What leads to a small fuse has the main fuse before it, which lets through what a thin wire does not bear.
    """
    if wire.fuse and f"{wire.fuse}.in" in wire.ends:
        return HAND
    if wire.fuse == PULSE:
        return JUMPER
    return LOOP if BRAKE in kinds and "resistor" in kinds else ""


def _behind(piece: Piece, ends: Sequence[_Place], runs: dict[str, Run]) -> Piece:
    """Return a piece behind what stands first in its chain: it goes all the way from one part to the other."""
    low, high = sorted(end.rank for end in ends)
    side = "motor" if high == 2 else "feed"
    spanned = [runs.get(run_of(ends[0].chain, name)) for name in SPANS[low:high]]
    there = [run for run in spanned if run is not None]
    if not there:
        return replace(piece, reason=NO_RUN)
    sized = _sized(piece, typical_of(duty.greatest([run.area for run in there])), cord=there[0].cord)
    name = run_of(ends[0].chain, side)
    length = typical_of(sum(typical_of(run.one_way) for run in there))
    run = name if name in runs else there[0].name
    if any(run.basis == ASSUMED for run in there):
        return replace(sized, length=length, basis=ASSUMED, run=run, reason=UNSAID)
    return replace(sized, length=length, basis=GIVEN, run=run)


def _estimated(piece: Piece, longest: Run | None) -> Piece:
    if longest is None:
        return replace(piece, reason=NOTHING_KNOWN)
    return replace(piece, length=longest.one_way, basis=ASSUMED, reason=BY_LONGEST)


def _sized(piece: Piece, area: Lanes, *, cord: bool) -> Piece:
    gauge = gauge_of(typical_of(area)) if is_known(area) else None
    return replace(piece, area=area, gauge=gauge, size=size_name(area, piece.carries, cord=cord))


def _made(part: Part, terminal: str, *, bolted: bool) -> str:
    """Return how the end of a wire at a terminal is made."""
    end = parted(terminal)[1]
    if end.startswith("pin-"):
        return TAB if part.kind == "pack" else PIN
    if part.kind == "port":
        return PIN
    if end.startswith("coil-") or (part.kind == "relay" and not bolted):
        return SLEEVE
    thin = part.kind in STUDLESS or (part.kind == "fuse" and not bolted)
    return FERRULE if thin or KINDS[part.kind].get(end) == ALTERNATING else LUG


# --- of what never empties ---------------------------------------------------------------------------


def _supplied(machine: Machine, wires: Sequence[Conductor], runs: Sequence[Run]) -> Iterator[Piece]:
    """Yield the pieces of a machine at a socket or a supply, of which the cables of the file are all that is known.

    A cord is one piece; of any other run each conductor is one, and both ends get a lug.
    """
    by_name = {run.name: run for run in runs}
    for chain in machine.chains:
        for side, joints in _joints(machine, chain).items():
            run = by_name.get(run_of(chain.name, side))
            if run is None:
                continue
            here = [wire for wire in wires if (wire.chain, wire.side) == (chain.name, side)]
            least = typical_of(duty.greatest([typical_of(wire.needed) for wire in here]))
            made = OF_MAINS if run.cord else LUG
            for ends in joints[:1] if run.cord else joints:
                bare = Piece(ends, (made, made), run.carries, "", run.area, least, None, run.one_way, GIVEN, "", "")
                yield _sized(bare, run.area, cord=run.cord)


def _joints(machine: Machine, chain: Chain) -> dict[str, list[tuple[str, str]]]:
    """Return between which terminals each side of a chain runs: each conductor of it, or the one cord."""
    row = parts(chain)
    first = row.controller if row.converter is None else row.converter
    box, switch, motor = (f"{chain.name} {part.name}" for part in (first, row.controller, row.motor))
    if machine.source.at_a_socket:
        return {"source": [("plug", switch)], "motor": [(switch, motor)]}
    pair = ("plus", "minus")
    if row.alternating:
        return {
            "source": [(f"supply.{end}", f"{box}.{end}") for end in pair],
            "feed": [(box, switch)],
            "motor": [(switch, motor)],
        }
    ends = ("a", "b", "c") if getattr(row.motor, "commutation", "") == "electronic" else ("a", "b")
    return {
        "source": [(f"supply.{end}", f"{box}.{end}") for end in pair],
        "feed": [(f"{box}.out-{end}", f"{switch}.{end}") for end in pair],
        "motor": [(f"{switch}.motor-{end}", f"{motor}.{end}") for end in ends],
    }


# --- what is bought ------------------------------------------------------------------------------


def _sizes(pieces: Sequence[Piece], runs: Sequence[Run], allowance: Lanes) -> Iterator[Size]:
    """Yield what is bought of each size, in the order in which the sizes come up."""
    outside = [piece for piece in pieces if piece.reason not in NOT_CUT]
    areas = {piece.size: (piece.area, piece.gauge) for piece in outside}
    cords = {_size_of(run) for run in runs if run.cord}
    for name, (area, gauge) in areas.items():
        here = [piece for piece in outside if piece.size == name]
        whole = [run.laid for run in runs if _size_of(run) == name]
        laid = [*whole, *(piece.length for piece in here if is_known(piece.length) and name not in cords)]
        length = typical_of(sum(laid)) if laid else np.nan
        bought = buying.routed_length(length, allowance) if laid else np.nan
        yield Size(name, area, gauge, length, bought, tuple(_ends(here)))


def _size_of(run: Run) -> str:
    return size_name(run.area, run.carries, cord=run.cord)


def _ends(pieces: Sequence[Piece]) -> Iterator[tuple[str, Lanes]]:
    """Yield how many ends of each kind are pressed on pieces of one size."""
    for made in PRESSED:
        names = [_end_name(made, piece.area, piece.carries) for piece in pieces for end in piece.made if end == made]
        for name in dict.fromkeys(names):
            yield name, counted(names.count(name), "ends of wires of the cut list")
