"""Rules that any netlist is judged by: what is connected to what while something is open, and what may not be."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from headrace.machine.joins import ALTERNATING, BRAKE, KINDS, MINUS, PLUS, parted
from headrace.wiring.netlist import Netlist
from headrace.wiring.netlist_parts import Part

COILS = ("contactor", "relay")  # close only while their coils are fed
# Parts that pass current on from one terminal to another while they are closed or whole.
PASSES = {
    "board": ("cells", "load"),
    **dict.fromkeys(("fuse", "isolator", "contact", "resistor", "stop", "control", BRAKE, *COILS), ("in", "out")),
}
SOURCES = ("pack", "port")
TOOLS = ("controller", "three-phase controller", "dc-dc", "inverter")

Side = dict[str, str]  # which terminals are connected: those with the same value


@dataclass(frozen=True)
class Fault:
    """One thing that is joined wrongly: which rule, and where."""

    rule: str
    says: str


def faults(netlist: Netlist) -> tuple[Fault, ...]:
    """Return everything that is wrong with a netlist."""
    return tuple(Fault(slug, says) for slug, rule in RULES.items() for says in rule(netlist))


# --- what is connected -------------------------------------------------------------------------------


def connected(netlist: Netlist, opened: Collection[str] = tuple(PASSES), dropped: Collection[str] = ()) -> Side:
    """Return which terminals are connected while parts of some kinds are open; by default by the wires alone.

    Parameters
    ----------
    netlist
        Parts and wires.
    opened
        Kinds of parts that are open.
    dropped
        Names of others that are.
    """
    above = {f"{part.name}.{end}": f"{part.name}.{end}" for part in netlist.parts for end in part.terminals}

    def top(end: str) -> str:
        while above.setdefault(end, end) != end:
            end = above[end]
        return end

    ends = [wire.ends for wire in netlist.wires]
    for part in netlist.parts:
        if part.kind in PASSES and part.kind not in opened and part.name not in dropped:
            first, second = PASSES[part.kind]
            ends.append((f"{part.name}.{first}", f"{part.name}.{second}"))
    for first, second in ends:
        above[top(first)] = top(second)
    return {end: top(end) for end in above}


def fed(side: Side, plus: str, minus: str) -> bool:
    """Return whether two terminals have the pack's plus and minus."""
    return side.get(plus) == side["pack.plus"] and side.get(minus) == side["pack.minus"]


def without(netlist: Netlist, kind: str) -> set[str]:
    """Return which contactors and relays let go when parts of a kind are opened while everything else is closed.

    What has lost its coil opens, and may take the next one's coil with it. Whatever a hand can close stays closed.
    """
    dropped: set[str] = set()
    while True:
        side = connected(netlist, (kind,), dropped)
        losing = {part.name for part in netlist.of(*COILS) if not _coil(side, part)} - dropped
        if not losing:
            return dropped
        dropped |= losing


def _gets(side: Side, part: Part) -> bool:
    return fed(side, f"{part.name}.plus", f"{part.name}.minus")


def _coil(side: Side, part: Part) -> bool:
    return fed(side, f"{part.name}.coil-plus", f"{part.name}.coil-minus")


# --- the rules ---------------------------------------------------------------------------------------


def unfused(netlist: Netlist) -> Iterator[str]:
    """The plus of every source meets a fuse and nothing else."""
    side = connected(netlist)
    kinds = {part.name: part.kind for part in netlist.parts}
    for part in netlist.of(*SOURCES):
        plus = f"{part.name}.plus"
        met = [end for end, place in side.items() if place == side[plus] and end != plus]
        past = [end for end in met if kinds.get(parted(end)[0]) != "fuse"]
        if past:
            yield f"{plus} goes to {', '.join(past)} without a fuse between"


def turned_round(netlist: Netlist) -> Iterator[str]:
    """Terminals of the plus side meet no terminals of the minus side, everything closed."""
    side, of = connected(netlist, ()), _sides(netlist)
    for place in dict.fromkeys(side.values()):
        ends = [end for end, at in side.items() if at == place]
        plus, minus = ([end for end in ends if of.get(end) == pole] for pole in (PLUS, MINUS))
        if plus and minus:
            yield f"{plus[0]} and {minus[0]} are connected"


def _sides(netlist: Netlist) -> dict[str, str]:
    found = {}
    for part in netlist.parts:
        for end in part.terminals:
            found[f"{part.name}.{end}"] = KINDS[part.kind].get(end, "")
    return found


def no_pre_charge(netlist: Netlist) -> Iterator[str]:
    """Across every contactor before capacitors stands a resistor with a contact of its own, and no bare way."""
    if not any(part.fills for part in netlist.parts):
        return
    ways = {opened: connected(netlist, opened) for opened in (("contactor",), ("contactor", "resistor"))}
    shut = connected(netlist, ("contactor", "contact", "relay"))
    for part in netlist.of("contactor"):
        ends = [f"{part.name}.{end}" for end in PASSES["contactor"]]
        through, bare, always = ([side[end] for end in ends] for side in (*ways.values(), shut))
        if through[0] != through[1]:
            yield f"no resistor stands across {part.name}"
        elif bare[0] == bare[1]:
            yield f"{part.name} is bridged without a resistor"
        elif always[0] == always[1]:
            yield f"the resistor across {part.name} has no contact of its own: it always conducts"


def past_the_contactor(netlist: Netlist) -> Iterator[str]:
    """Every tool stands behind a contactor: with it open, nothing but a resistor may feed it."""
    side = connected(netlist, ("contactor", "resistor"))
    for part in netlist.of(*TOOLS):
        if _gets(side, part):
            yield f"{part.name} is fed past every contactor"


def not_let_go(netlist: Netlist) -> Iterator[str]:
    """The held control opens the coil of every contactor, and every tool is behind one."""
    yield from past_the_contactor(netlist)
    yield from _not_opened(netlist, "control", "held control")


def not_stopped(netlist: Netlist) -> Iterator[str]:
    """The emergency stop opens the coil of every contactor, and every tool is behind one."""
    yield from past_the_contactor(netlist)
    yield from _not_opened(netlist, "stop", "emergency stop")


def _not_opened(netlist: Netlist, kind: str, name: str) -> Iterator[str]:
    side = connected(netlist, (kind,))
    for part in netlist.of("contactor"):
        if _coil(side, part):
            yield f"the coil of {part.name} stays fed with the {name} open"
    for part in netlist.of(BRAKE):
        if _coil(side, part):
            yield f"the coil of {part.name} stays fed with the {name} open: it does not brake"


def through_pre_charge(netlist: Netlist) -> Iterator[str]:
    """With the held control let go, or the emergency stop pressed, nothing has volts through a resistor either."""
    for kind, is_open in (("control", "held control let go"), ("stop", "emergency stop pressed")):
        if not any(netlist.of(kind)):
            continue
        dropped = without(netlist, kind)
        side, bare = (connected(netlist, opened, dropped) for opened in ((kind,), (kind, "resistor")))
        for part in netlist.of(*TOOLS):
            if _gets(side, part) and not _gets(bare, part):
                yield f"{part.name} has volts through a resistor with the {is_open}"


def not_isolated(netlist: Netlist) -> Iterator[str]:
    """With the isolator open nothing but the charge port is connected to both ends of the pack."""
    side = connected(netlist, ("isolator",))
    for part in netlist.of(*TOOLS, "auxiliary"):
        if _gets(side, part):
            yield f"{part.name} stays fed with every isolator open"
    for part in netlist.of(*COILS, BRAKE):
        if _coil(side, part):
            yield f"the coil of {part.name} stays fed with every isolator open"


def alternating(netlist: Netlist) -> Iterator[str]:
    """Nothing made for alternating current alone stands in what carries direct current."""
    side, of = connected(netlist, ()), _sides(netlist)
    direct = {place for end, place in side.items() if of.get(end) in (PLUS, MINUS)}
    for part in netlist.parts:
        for end in part.terminals:
            name = f"{part.name}.{end}"
            if side[name] in direct and (part.alternating or of[name] == ALTERNATING):
                yield f"{name} is for alternating current and carries direct current"


def senses_crossed(netlist: Netlist) -> Iterator[str]:
    """Each pin of the sense plug goes to the boundary of its own number."""
    side = connected(netlist, [kind for kind in PASSES if kind != "fuse"])
    pins = [end for end in side if parted(end)[1].startswith("pin-")]
    boundaries = {end: side[end] for end in pins if parted(end)[0] == "pack"}
    for end in (end for end in pins if parted(end)[0] != "pack"):
        for other, place in boundaries.items():
            if place == side[end] and parted(other)[1] != parted(end)[1]:
                yield f"{end} goes to boundary {parted(other)[1].removeprefix('pin-')}"


def left_open(netlist: Netlist) -> Iterator[str]:
    """Every terminal of a part that a wire goes to has a wire; and so has each end of the pack."""
    joined = {end for wire in netlist.wires for end in wire.ends}
    named = {parted(end)[0] for end in joined}
    for part in netlist.parts:
        if part.name in named:
            for end in part.terminals:
                if f"{part.name}.{end}" not in joined:
                    yield f"nothing goes to {part.name}.{end}"


def joined_twice(netlist: Netlist) -> Iterator[str]:
    """No wire is there twice, or leads back to where it comes from."""
    seen: set[frozenset[str]] = set()
    for wire in netlist.wires:
        ends = frozenset(wire.ends)
        if len(ends) == 1:
            yield f"{wire.ends[0]} is joined to itself"
        elif ends in seen:
            yield f"{wire.ends[0]} and {wire.ends[1]} are joined twice"
        seen.add(ends)


RULES: dict[str, Callable[[Netlist], Iterator[str]]] = {
    "unfused": unfused,
    "turned-round": turned_round,
    "no-pre-charge": no_pre_charge,
    "not-let-go": not_let_go,
    "not-stopped": not_stopped,
    "through-pre-charge": through_pre_charge,
    "not-isolated": not_isolated,
    "alternating": alternating,
    "senses-crossed": senses_crossed,
    "left-open": left_open,
    "joined-twice": joined_twice,
}
