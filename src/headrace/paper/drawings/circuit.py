"""How a netlist hangs together: the line from the pack's plus to the tools, and the branches that leave it.

Read from the joins alone, so that any netlist is drawn by the same rules: ours, and what a builder has joined.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

Record = dict[str, Any]

COIL = "coil-"  # terminals of a coil, which is drawn where it is fed and not at its contacts
PIN = "pin-"
LAST = ("resistor", "contact")  # of two ways along the line the one without these is the line
NO_TOOLS = ("pack", "port", "auxiliary")


@dataclass(frozen=True)
class Piece:
    """A part, or the coil of one, with the terminals drawn at it.

    Attributes
    ----------
    name
        Of the part.
    kind
        Of the part; "coil" of a coil.
    ends
        Its terminals, each "part.terminal".
    part
        Its record.
    """

    name: str
    kind: str
    ends: tuple[str, ...]
    part: Record = field(compare=False, hash=False)

    @property
    def through(self) -> bool:
        """Whether the current goes in at one end and out at the other."""
        return len(self.ends) == 2 and ({terminal(end) for end in self.ends} == {"in", "out"} or self.kind == "coil")


@dataclass(frozen=True)
class Branch:
    """Pieces joined to each other without the line: between two places of it, or from it to the pack's minus.

    Attributes
    ----------
    layers
        The pieces, by how many stand before them.
    leaves
        Which place of the line it leaves; None where it does not.
    meets
        Which place it comes back to, of a way around a part of the line; None of others.
    """

    layers: tuple[tuple[Piece, ...], ...]
    leaves: int | None
    meets: int | None = None


@dataclass(frozen=True)
class Circuit:
    """A netlist as it is drawn.

    Attributes
    ----------
    net
        Which terminals are joined: those with the same number.
    line
        What stands in the line, from the pack's plus.
    places
        The nets along the line, one more than pieces in it.
    pack, board
        None where there is none.
    sensing
        What stands in the wires of the sense plug.
    branches
        All others.
    ground
        The nets of the pack's minus.
    """

    net: Mapping[str, int]
    line: tuple[Piece, ...]
    places: tuple[int, ...]
    pack: Piece | None
    board: Piece | None
    sensing: tuple[Piece, ...]
    branches: tuple[Branch, ...]
    ground: frozenset[int]


def terminal(end: str) -> str:
    """Return the terminal of "part.terminal"."""
    return end.rpartition(".")[2]


def circuit(netlist: Record) -> Circuit:
    """Return a netlist as it is drawn."""
    pieces = [piece for part in (*netlist["parts"], *_unlisted(netlist)) for piece in _pieces(part)]
    net = _nets(pieces, netlist["wires"])
    pack = next((piece for piece in pieces if piece.kind == "pack"), None)
    board = next((piece for piece in pieces if piece.kind == "board"), None)
    rest = [piece for piece in pieces if piece is not pack and piece is not board]
    line, places = _line(rest, net)
    ground = frozenset(net[end] for end in ("pack.minus", "board.cells", "board.load") if end in net)
    rest = [piece for piece in rest if piece not in line]
    sensing = tuple(_sensing(rest, net))
    rest = [piece for piece in rest if piece not in sensing]
    rails = {place: at for at, place in reversed(list(enumerate(places)))}
    branches = [_branch(group, net, rails, ground) for group in _groups(rest, net, {*rails, *ground})]
    return Circuit(net, tuple(line), tuple(places), pack, board, sensing, tuple(branches), ground)


def _unlisted(netlist: Record) -> list[Record]:
    """Return a part of no kind for every name that wires go to and the list of parts lacks."""
    known = {f"{part['name']}.{end}" for part in netlist["parts"] for end in part["terminals"]}
    ends = dict.fromkeys(end for wire in netlist["wires"] for end in wire["ends"] if end not in known)
    found: dict[str, list[str]] = {}
    for end in ends:
        found.setdefault(end.rpartition(".")[0], []).append(terminal(end))
    asks = {"kind": "", "current_A": None, "voltage_V": None}
    return [{"name": name, "terminals": terminals, **asks} for name, terminals in found.items()]


def _pieces(part: Record) -> Iterator[Piece]:
    ends = [f"{part['name']}.{end}" for end in part["terminals"]]
    coil = tuple(end for end in ends if terminal(end).startswith(COIL))
    others = tuple(end for end in ends if end not in coil)
    if others or not coil:
        yield Piece(part["name"], part["kind"], others, part)
    if coil:
        yield Piece(part["name"], "coil", coil, part)


def _sensing(pieces: Iterable[Piece], net: Mapping[str, int]) -> Iterator[Piece]:
    """Yield what stands alone in a wire between a pin of the pack and one of the board."""
    taken: set[int] = set()
    of = {at: {net[end] for end in net if end.startswith(f"{at}.{PIN}")} for at in ("pack", "board")}
    for piece in pieces:
        if not piece.through or piece.kind == "coil":
            continue
        one, other = (net[end] for end in piece.ends)
        if ((one in of["pack"] and other in of["board"]) or (one in of["board"] and other in of["pack"])) and not (
            {one, other} & taken
        ):
            taken |= {one, other}
            yield piece


def _nets(pieces: Iterable[Piece], wires: Iterable[Record]) -> dict[str, int]:
    """Return which terminals are joined by wires."""
    above = {end: end for piece in pieces for end in piece.ends}

    def top(end: str) -> str:
        while above[end] != end:
            end = above[end]
        return end

    for wire in wires:
        one, other = wire["ends"]
        above[top(other)] = top(one)
    number: dict[str, int] = {}
    return {end: number.setdefault(top(end), len(number)) for end in above}


def _line(pieces: list[Piece], net: Mapping[str, int]) -> tuple[list[Piece], list[int]]:
    """Return the pieces of the shortest way from the pack's plus to most of the tools, and the nets between them."""
    if "pack.plus" not in net:
        return [], []
    start = net["pack.plus"]
    steps = sorted((piece for piece in pieces if piece.through and piece.kind != "coil"), key=lambda p: p.kind in LAST)
    came: dict[int, tuple[int, Piece] | None] = {start: None}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for piece in steps:
            one, other = (net[end] for end in piece.ends)
            for near, far in ((one, other), (other, one)):
                if near == here and far not in came:
                    came[far] = (here, piece)
                    waiting.append(far)
    fed = [net[f"{p.name}.plus"] for p in pieces if f"{p.name}.plus" in net and p.kind not in NO_TOOLS]
    reached = [place for place in fed if place in came]
    # A builder's wires may reach no tool at all: then the line is all that can be reached.
    place = max(reached, key=reached.count) if reached else list(came)[-1]
    line: list[Piece] = []
    places = [place]
    while (step := came[place]) is not None:
        place, piece = step
        line.insert(0, piece)
        places.insert(0, place)
    return line, places


def _groups(pieces: list[Piece], net: Mapping[str, int], rails: set[int]) -> list[list[Piece]]:
    """Return the pieces that are joined to each other without the rails, in the order of the netlist."""
    groups: list[list[Piece]] = []
    for piece in pieces:
        own = {net[end] for end in piece.ends} - rails
        joined = [group for group in groups if own & {net[end] for one in group for end in one.ends}]
        groups = [group for group in groups if group not in joined]
        groups.append([*(one for group in joined for one in group), piece])
    order = {piece: place for place, piece in enumerate(pieces)}
    groups = [sorted(group, key=lambda piece: order[piece]) for group in groups]
    return sorted(groups, key=lambda group: order[group[0]])


def _branch(group: list[Piece], net: Mapping[str, int], rails: Mapping[int, int], ground: frozenset[int]) -> Branch:
    touched = sorted({rails[net[end]] for piece in group for end in piece.ends if net[end] in rails})
    grounded = any(net[end] in ground for piece in group for end in piece.ends)
    leaves = touched[0] if touched else None
    layers = _layers(group, net, leaves, rails, ground)
    inline = all(piece.through and piece.kind != "coil" for piece in group) and all(len(row) == 1 for row in layers)
    around = len(touched) == 2 and inline and not grounded
    return Branch(layers, leaves, touched[1] if around else None)


def _layers(
    group: list[Piece], net: Mapping[str, int], leaves: int | None, rails: Mapping[int, int], ground: frozenset[int]
) -> tuple[tuple[Piece, ...], ...]:
    """Return the pieces by how many stand between them and the line."""
    first = [p for p in group if leaves is not None and any(rails.get(net[end]) == leaves for end in p.ends)]
    layers = [first or group[:1]]
    left = [piece for piece in group if piece not in layers[0]]
    while left:
        met = {net[end] for piece in layers[-1] for end in piece.ends} - set(rails)
        row = [piece for piece in left if met & {net[end] for end in piece.ends}] or left[:1]
        # a motor that also hangs behind a switch stands under the switch
        between = {net[end] for piece in left if piece.through for end in piece.ends} - met
        row = [piece for piece in row if piece.through or not between & {net[end] for end in piece.ends}] or row
        row = _in_series(row, net, met | ground)
        layers.append(row)
        left = [piece for piece in left if piece not in row]
    return tuple(tuple(row) for row in layers)


def _in_series(row: Sequence[Piece], net: Mapping[str, int], known: Collection[int]) -> list[Piece]:
    """Return a row without what hangs on another of it as well: that stands under it, as a brake's resistor."""
    kept: list[Piece] = []
    taken: set[int] = set()
    for piece in row:
        inner = {net[end] for end in piece.ends} - set(known) if piece.through else set()
        if not inner & taken:
            kept.append(piece)
            taken |= inner
    return kept
