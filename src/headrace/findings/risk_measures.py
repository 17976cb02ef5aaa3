"""What a design has against each hazard, as its file and its stages say: by design, by a guard, by information.

The order is that of ISO 12100. A measure that the file does not speak of is neither there nor missing: somebody has to
look. Guards over what turns, covers and labels are never in a file, so they always are somebody's to look at.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from headrace.drive.alone import runs_free
from headrace.findings.evidence import Evidence
from headrace.findings.rest import Stopping
from headrace.findings.safety import parts_of_brake
from headrace.machine.joins import kind_by_name, parted
from headrace.machine.links import Contacts
from headrace.machine.values import first_number
from headrace.wiring.brake_words import brake_words

STOPPED = "not as the file has it, see the stop"
BY_DESIGN, BY_GUARD, BY_INFORMATION = "by design", "by a guard", "by information"


@dataclass(frozen=True)
class Measure:
    """One measure.

    Attributes
    ----------
    name
        What it is.
    by
        Which of the three steps it belongs to.
    there
        Whether the design has it; None where nothing says.
    says
        What that means here.
    of
        The parts of the plan that it stands on, by the names a finding calls them.
    """

    name: str
    by: str
    there: bool | None
    says: str
    of: tuple[str, ...] = ()


Measures = Iterator[Measure]


def _told(
    name: str,
    by: str,
    there: bool | None,
    yes: str,
    no: str,
    silent: str = "the file does not say",
    of: tuple[str, ...] = (),
) -> Measure:
    return Measure(name, by, there, silent if there is None else yes if there else no, of)


def _board(evidence: Evidence) -> Measures:
    board = evidence.machine.board
    planned = None if board is not None and not board.planned and not evidence.machine.source.ready_made else True
    yield _told(
        "board that opens",
        BY_GUARD,
        planned if board is not None else False,
        "opens on too many amps, and on cells too full or too empty",
        "there is no board on this pack",
        "the usual board is reckoned with; the file names none, so read which one is there",
    )


def _fuse(evidence: Evidence) -> Measures:
    found = evidence.fused
    if found is None:
        return
    yield _told(
        "main fuse in the file",
        BY_GUARD,
        True if found.planned else None if found.present else False,
        "in the line",
        "the file has no fuse: one is proposed, and has to be fitted",
        "the file has a fuse but does not say which: one is proposed, look which one is there",
        of=("fuse",),
    )
    at_pack = found.at == "pack" if found.planned else None
    yield _told("fuse at the pack", BY_DESIGN, at_pack, "within a hand or two of it", "it sits elsewhere")


def _cold(evidence: Evidence) -> Measures:
    lock = evidence.machine.safety.charging_lock
    yield _told("cold lock", BY_GUARD, lock, "refuses to charge cold cells", "nothing refuses to charge cold cells")


def _charger(evidence: Evidence) -> Measures:
    charger = evidence.machine.charger
    if charger is None:
        return
    yield _told(
        "charger in the file",
        BY_DESIGN,
        charger.planned,
        "volts and amps are held against the cells",
        "the file has none: the report says which one the pack asks for",
        of=("charger",),
    )


def _pre_charge(evidence: Evidence) -> Measures:
    planned = evidence.machine.pre_charge is not None
    yield _told("pre-charge", BY_DESIGN, planned, "fills the capacitors first", "the file plans none: one is proposed")


def _switches(evidence: Evidence) -> Measures:
    if evidence.guard is None:
        yield Measure("emergency stop", BY_DESIGN, None, "the assembly has one: see whether it is fitted")
        return
    for kind, name, says in SWITCHES:
        there = _fitted(evidence, kind)
        yield _told(name, BY_DESIGN, there, says, "the file's wiring has none", IN_THE_DRAWING, of=(kind,))


def _together(switches: Sequence[Measure]) -> Measures:
    """Yield in one those switches of which the same is to be said."""
    for there, no in dict.fromkeys((one.there, "" if one.there else one.says) for one in switches):
        alike = [one for one in switches if one.there is there and no in ("", one.says)]
        *names, last = [one.name for one in alike]
        called = f"{', '.join(names)} and {last}" if names else last
        yield Measure(called, BY_DESIGN, there, "; ".join(dict.fromkeys(one.says for one in alike)))


IN_THE_DRAWING = "the wiring diagram has them, the file names no wiring: see whether they are fitted"
SWITCHES = (
    ("isolator", "isolator", "with it open and the fuse out the machine is dead"),
    ("contactor", "contactor", "opens when its coil is let go"),
    ("stop", "emergency stop", "opens the contactor"),
)


def _fitted(evidence: Evidence, kind: str) -> bool | None:
    """Return whether the file has a part of a kind, among its links or in its wiring; None where it names no wiring."""
    links = (link for chain in evidence.machine.chains for link in chain.links)
    if any(isinstance(link, Contacts) and link.of == kind for link in links):
        return True
    wiring = evidence.machine.wiring
    if wiring is None or not wiring.joins:
        return None
    return kind in {kind_by_name(parted(end)[0]) for pair in wiring.joins for end in pair}


def _held(evidence: Evidence) -> Measures:
    held = evidence.machine.safety.dead_man
    yield _told("held control", BY_DESIGN, held, "let go means stop", "nothing has to be held for it to run")


def _comes_back(evidence: Evidence) -> Measures:
    """Yield what a switch at a socket has to do: the file never says whether it does."""
    if evidence.machine.source.at_a_socket:
        yield Measure(
            "switch that stays off",
            BY_DESIGN,
            None,
            "when the power comes back nothing starts: switch on, plug out and in, and it stands until a hand switches",
        )


def _brake(evidence: Evidence) -> Measures:
    for chain, one in zip(evidence.machine.chains, evidence.stops, strict=True):
        if one.planned is not None:
            seconds = first_number(one.planned.time)
            says = f"{brake_words(by_controller=one.by_controller).stops} in {seconds:.1f} s at worst, also unplugged"
        else:
            seconds = first_number(one.coast_time)
            runs_on = RUNS_ON[runs_free(chain) is None].format(seconds)
            says = f"{_unbraked(one)}: {runs_on}; {_instead(evidence, one)}"
        held = one.planned is not None
        yield Measure(f"brake on release of {one.chain}", BY_DESIGN, held, says, parts_of_brake(chain, one))


RUNS_ON = {  # by whether it must not run without its work
    True: "dry, which it must not run, it would turn on for {:.1f} s at worst, with water in it hardly at all",
    False: "it runs on for {:.1f} s at worst",
}


def _unbraked(one: Stopping) -> str:
    """Return why nothing that the file has stops a tool."""
    if one.only_fed:
        return "the file's brake does not work unplugged, and is not counted"
    return "nothing brakes it on release" if one.proposed is None else "the file plans none"


def _instead(evidence: Evidence, one: Stopping) -> str:
    """Return where a brake that the file does not plan stands already."""
    if one.proposed is None:
        return "a mechanical brake is not reckoned"
    if evidence.netlist is None:
        return "one is proposed here, not yet in the file"
    what = brake_words(by_controller=one.by_controller).suggested
    stops = "" if one.built is None else f", {first_number(one.built.time):.1f} s with it"
    return f"{what} is proposed here{stops}: it stands on the wiring diagram and the shopping list, not yet in the file"


def _friction(evidence: Evidence) -> Measures:
    there = evidence.machine.safety.friction_brake
    yield _told(
        "mechanical brake",
        BY_DESIGN,
        there,
        "holds unplugged",
        "no mechanical brake: unplugged, nothing but friction holds it",
    )


def _sheet(evidence: Evidence) -> Measures:
    if evidence.order:
        yield Measure("connecting order", BY_INFORMATION, True, "each step says what is live")
    else:
        yield Measure("assembly", BY_INFORMATION, True, "each step says whether something is live")


def _without_cells(evidence: Evidence) -> Measures:
    if evidence.machine.source.kind == "cells" and not evidence.machine.source.ready_made:
        yield Measure("building without bare cells", BY_INFORMATION, True, "its steps stand beside the others")


def _supplied(pack: Measure, supplied: Measure) -> Callable[[Evidence], Measures]:
    """Return a measure that is another one where no pack is carried."""

    def measure(evidence: Evidence) -> Measures:
        yield supplied if evidence.machine.source.endless else pack

    return measure


def _look(name: str, says: str) -> Measure:
    return Measure(name, BY_GUARD, None, says)


GUARDS = _look("guards over all that turns", "try each opening with a rod as thick as a finger")
APART = _look("room and guards around what gets hot", "no hand or straw reaches it, and air gets past it")
COVERS = _supplied(
    _look("covers over live parts", "look at every lug, plug and sense wire"),
    _look("covers over live parts", "over every terminal; they want a tool"),
)
SHIELDS = _look("deck, hood or screen", "whole, and no opening towards who works or looks on")
SEALED = _look("box, seals and drain", "glands tight, a way out for water, nothing bare below")
HANDLES = _supplied(
    _look("handles and straps", "on the pack, and to tie the machine down"),
    _look("handles and straps", "to lift the machine by, and to tie it down"),
)
BREAKER = _look("breaker or fuse of the socket", "of the amps its wires bear; it trips on a short, tested by who may")
EARTHED = _look("earth and residual-current device", "tested by who may work on the mains")
LABELS = _supplied(
    Measure("labels", BY_INFORMATION, None, "volts, fuse, charger and date on the pack; danger signs at the tool"),
    Measure("labels", BY_INFORMATION, None, "volts and amps beside the plug; danger signs at the tool"),
)

MEASURES: dict[str, tuple[Callable[[Evidence], Measures] | Measure, ...]] = {
    "battery fire": (_board, _fuse, _cold, _charger, SEALED),
    "gas and acid": (_fuse, _charger, LABELS),
    "short circuit": (_fuse, _board, COVERS),
    "spark at connecting": (_pre_charge, _switches),
    "shock": (_switches, COVERS, LABELS),
    "mains": (EARTHED, COVERS),
    "electrical fire": (BREAKER, EARTHED, LABELS),
    "moving tool": (_held, _brake, GUARDS),
    "thrown objects": (_brake, SHIELDS, LABELS),
    "unexpected start": (_held, _comes_back, _switches),
    "runaway": (_friction, _held),
    "hoisted load": (_friction, _held),
    "lifting": (HANDLES,),
    "hot parts": (APART, LABELS),
    "charging": (_charger, _board, _cold),
    "noise and dust": (LABELS,),
    "water": (SEALED,),
    "storage and transport": (_fuse, HANDLES, LABELS),
    "classroom": (_sheet, _without_cells, _switches, LABELS),
}


def measures(evidence: Evidence, hazard: str, stopped: Collection[str]) -> Measures:
    """Yield what stands against a hazard of the table.

    Parameters
    ----------
    evidence, hazard
        Of a machine, and the hazard's name.
    stopped
        The parts that a stop is raised against: none of them is a measure as the file has it.
    """
    for one in MEASURES[hazard]:
        if isinstance(one, Measure):
            yield one
            continue
        found = [_unless_stopped(measure, stopped) for measure in one(evidence)]
        yield from _together(found) if one is _switches else found


def _unless_stopped(one: Measure, stopped: Collection[str]) -> Measure:
    return replace(one, there=False, says=STOPPED) if one.there and set(one.of) & set(stopped) else one
