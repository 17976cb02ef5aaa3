"""The wiring as a circuit diagram, drawn from the netlist.

Parts with the signs and words of the trade, wires with their sizes; nothing is placed by hand, so what the netlist
lacks the drawing lacks. Of two netlists, as planned and as built, the wires of one only are dashed and lettered.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from headrace.machine.sizes import square
from headrace.paper.drawings.circuit import PIN, Circuit, circuit, terminal
from headrace.paper.drawings.circuit_forms import NARROW, lying, upright
from headrace.paper.drawings.circuit_labels import Room, edges
from headrace.paper.drawings.circuit_places import Placed, Places, Word, around, bounds, on_grid
from headrace.paper.drawings.circuit_routes import GRID, Ground, Node, NoWay, Tree, runs
from headrace.paper.drawings.circuit_symbols import MOTORS, UNDER, cells, sign
from headrace.paper.svg import figure, text

Record = dict[str, Any]
Ends = frozenset[str]

DESK = 1120.0
MARGIN = 14.0
ROUNDS, MOST = 3, 60.0  # in which the width left over is shared out, and the most that a gap gets
SMALL = 12.0  # letters of sizes and of terminals
ROOMIER = (0.0, 40.0, 80.0)  # each gap is given, until every wire finds a way
TITLES = {"netlist": "Wiring diagram", "built": "Wiring diagram, as built"}
WEIGHTS = {"main": "heavy", "motor": "heavy", "feed": "heavy"}


@dataclass(frozen=True)
class Drawn:
    """A netlist put on paper: where parts stand and where wires run."""

    places: Places
    trees: Mapping[int, Tree]
    at: Mapping[str, Node]
    net: Mapping[str, int]

    def run(self, wire: Record) -> list[Node]:
        """Return the nodes a wire goes through."""
        one, other = wire["ends"]
        if one == other:
            return [self.at[one]]
        return self.trees[self.net[one]].way(self.at[one], self.at[other])


def wiring_diagram(record: Record, which: str = "netlist", *, narrow: bool = False) -> Markup:
    """Return the drawing of a netlist; empty where there is none, or too many wires meet in one place to be drawn.

    Parameters
    ----------
    record
        Of a design.
    which
        "netlist" as planned, "built" as the file has it.
    narrow
        Upright, for a phone.
    """
    netlist = record.get(which)
    if not netlist or not netlist.get("parts"):
        return Markup("")
    drawn = _drawn(circuit(netlist), narrow=narrow)
    if drawn is None:
        return Markup("")
    letters = lettered(record).get(which, {})
    words = [word for one in drawn.places.placed for word in one.words]
    marks = _marks(netlist, drawn, letters, words)
    body = [_wire(wire, drawn.run(wire), letters) for wire in netlist["wires"]]
    body += [
        f'<circle class="dot" cx="{GRID * x:.0f}" cy="{GRID * y:.0f}" r="2.6"/>' for x, y in _forks(netlist, drawn)
    ]
    body += [_part(one) for one in drawn.places.placed]
    body += [text(word.x, word.y, word.says, word.kind, word.anchor) for word in marks]
    boxes = [*(one.box for one in drawn.places.placed), *(word.box for word in (*words, *marks))]
    boxes += [(GRID * x, GRID * y, GRID * x, GRID * y) for wire in netlist["wires"] for x, y in drawn.run(wire)]
    left, top, right, bottom = bounds(boxes)
    least = NARROW if narrow else DESK
    width, height = max(right - left + 2.0 * MARGIN, least), bottom - top + 2.0 * MARGIN
    inner = f'<g transform="translate({MARGIN - left:.0f} {MARGIN - top:.0f})">{"".join(body)}</g>'
    kind = f"wiring {'upright' if narrow else 'lying'}"
    return figure(kind, width, height, TITLES[which], says(netlist), inner)


def says(netlist: Record) -> str:
    """Return what the drawing shows, in words."""
    joined = "; ".join(f"{one} to {other}" for one, other in (wire["ends"] for wire in netlist["wires"]))
    return f"{len(netlist['parts'])} parts and {len(netlist['wires'])} wires: {joined}."


def _drawn(found: Circuit, *, narrow: bool) -> Drawn | None:
    """Return a circuit on paper, with more room until every wire finds its way."""
    put, first = (upright, 0.0) if narrow else (lying, _spare(found))
    for more in ROOMIER:
        try:
            return _routed(found, put(found, first + more, more))
        except NoWay:
            continue
    return None


def _spare(found: Circuit) -> float:
    """Return what each gap gets of the desk's width that is left over."""
    gaps = max(len(found.line) + sum(branch.meets is None for branch in found.branches), 1)
    more = 0.0
    for _ in range(ROUNDS):  # some gaps are wide enough already and take nothing
        left, _, right, _ = around(lying(found, more).placed)
        more += on_grid(max(0.0, DESK - 2.0 * MARGIN - (right - left)) / gaps, up=False)
    return min(more, MOST)


def _routed(found: Circuit, places: Places) -> Drawn:
    at = {end: (round(x / GRID), round(y / GRID)) for one in places.placed for end, (x, y) in one.at.items()}
    shared = Counter(found.net.values())
    ground = Ground(
        boxes=[one.box for one in places.placed],
        words=[word.box for one in places.placed for word in one.words],
        at=at,
        exits={end: way for one in places.placed for end, way in one.exits.items()},
        wired=[end for end in at if shared[found.net[end]] > 1],
        limits=places.limits,
        rails=places.rails,
    )
    return Drawn(places, runs(ground, found.net), at, found.net)


# --- what differs --------------------------------------------------------------------------------


def lettered(record: Record) -> dict[str, dict[Ends, str]]:
    """Return the letter of each wire that only one of both netlists has, by netlist; none where there is but one."""
    ours, theirs = (record.get(which) or {} for which in ("netlist", "built"))
    if not ours.get("wires") or not theirs.get("wires"):
        return {}
    alone = all(senses(wire) for wire in theirs["wires"])  # then the file tells of the sense plug and of nothing else
    told = {
        "netlist": [wire for wire in ours["wires"] if senses(wire) or not alone],
        "built": theirs["wires"],
    }
    joins = {"netlist": _joins(ours), "built": _joins(theirs)}
    found: dict[str, dict[Ends, str]] = {"netlist": {}, "built": {}}
    letters: dict[tuple[str, Ends], str] = {}
    for name, other in (("netlist", "built"), ("built", "netlist")):
        known = set(joins[other].values())
        for ends in dict.fromkeys(frozenset(wire["ends"]) for wire in told[name]):
            join = joins[name][ends]
            if join not in known:
                found[name][ends] = letters.setdefault((name, join), _letter(len(letters)))
    return found


def _joins(netlist: Record) -> dict[Ends, Ends]:
    """Return what each wire joins: its own ends, or the two pins that a sense wire joins through its fuse.

    A file that tells the sense plug cannot tell the fuses in its wires, so with and without them count as the same.
    """
    joins = {frozenset(wire["ends"]): frozenset(wire["ends"]) for wire in netlist["wires"]}
    sensing = [frozenset(wire["ends"]) for wire in netlist["wires"] if senses(wire)]
    for part in netlist["parts"]:
        own = {f"{part['name']}.{end}" for end in part["terminals"]}
        through = [ends for ends in sensing if len(ends & own) == 1] if part["kind"] == "fuse" else []
        if len(through) == len(own):
            joins |= dict.fromkeys(through, frozenset().union(*through) - own)
    return joins


def senses(wire: Record) -> bool:
    """Return whether a wire goes from pin to pin, or to what stands between them."""
    return wire["carries"] == "sense" or all(terminal(end).startswith(PIN) for end in wire["ends"])


def _letter(place: int) -> str:
    return ("" if place < 26 else _letter(place // 26 - 1)) + chr(ord("a") + place % 26)


# --- marks ---------------------------------------------------------------------------------------


def _wire(wire: Record, run: Sequence[Node], letters: Mapping[Ends, str]) -> str:
    one, other = (str(escape(end)) for end in wire["ends"])
    size = f", {said_size(wire)}" if said_size(wire) else ""
    weight = "fine" if senses(wire) else WEIGHTS.get(wire["carries"], "light")
    dashed = " only" if frozenset(wire["ends"]) in letters else ""
    return (
        f'<g class="wire {weight}{dashed}" data-from="{one}" data-to="{other}"><title>{one} to {other}{size}</title>'
        f'<path d="{_line(run)}"/></g>'
    )


def _line(run: Sequence[Node]) -> str:
    """Return a run as a path through its bends alone."""
    corners = [run[0]]
    for before, here, after in zip(run, run[1:], run[2:], strict=False):
        if (here[0] - before[0], here[1] - before[1]) != (after[0] - here[0], after[1] - here[1]):
            corners.append(here)
    corners.append(run[-1])
    return "M" + "L".join(f"{GRID * x:.0f} {GRID * y:.0f}" for x, y in corners)


def said_size(wire: Record) -> str:
    """Return the size of a wire; "" where none is known."""
    if wire["area_m2"] is None:
        return ""
    gauge = wire.get("gauge")
    return square(wire["area_m2"]) + (f", AWG {gauge}" if gauge else "")


def _part(one: Placed) -> str:
    piece = one.piece
    left, top, right, bottom = one.box
    box = f"{left:.0f} {top:.0f} {right:.0f} {bottom:.0f}"
    ends = "".join(
        f'<circle class="terminal" data-terminal="{escape(end)}" cx="{x:.0f}" cy="{y:.0f}" r="2.2"/>'
        for end, (x, y) in one.at.items()
    )
    words = "".join(text(word.x, word.y, word.says, word.kind, word.anchor) for word in one.words)
    return f'<g class="part" data-part="{escape(piece.name)}" data-box="{box}">{_sign(one)}{ends}{words}</g>'


def _sign(one: Placed) -> str:
    left, top, right, bottom = one.box
    if one.piece.through:
        (x1, y1), (x2, y2) = one.at.values()
        return sign(one.piece.kind, (x1 + x2) / 2.0, (y1 + y2) / 2.0, down=one.down, turned=_turned(one))
    if one.piece.kind in MOTORS:
        return _motor(one)
    frame = f'<rect class="pen" x="{left:.0f}" y="{top:.0f}" width="{right - left:.0f}" height="{bottom - top:.0f}"/>'
    if one.piece.kind != "pack":
        return frame
    (plus,) = (at for end, at in one.at.items() if terminal(end) == "plus")
    (minus,) = (at for end, at in one.at.items() if terminal(end) == "minus")
    return frame + cells(plus[0], min(plus[1], minus[1]), max(plus[1], minus[1]), plus_up=plus[1] < minus[1])


def _turned(one: Placed) -> bool:
    """Return whether the terminal "out" comes first along the line."""
    first, last = sorted(one.at, key=lambda end: (one.at[end][1], one.at[end][0]))
    return terminal(first) in ("out", "coil-minus") or terminal(last) in ("in", "coil-plus")


def _motor(one: Placed) -> str:
    """Return a circle with its letter, and a lead to each terminal."""
    left, _, right, bottom = one.box
    x, y, r = (left + right) / 2.0, bottom - 26.0, 24.0
    leads = []
    for a, b in one.at.values():
        side = a - x
        if abs(side) < r - 2.0:
            leads.append(f"M{a:.0f} {b:.0f}V{y - (r * r - side * side) ** 0.5:.1f}")
        else:
            leads.append(f"M{a:.0f} {b:.0f}V{y:.0f}H{x + (r if side > 0.0 else -r):.0f}")
    return (
        f'<circle class="pen" cx="{x:.0f}" cy="{y:.0f}" r="{r:.0f}"/><path class="pen" d="{"".join(leads)}"/>'
        + text(x, y + 3.0, "M", "figure", "middle")
        + text(x, y + 17.0, UNDER[one.piece.kind], "", "middle")
    )


def _forks(netlist: Record, drawn: Drawn) -> list[Node]:
    """Return where three or more runs of one net meet; where two nets cross they do not."""
    near: dict[tuple[int, Node], set[Node]] = {}
    for wire in netlist["wires"]:
        net = drawn.net[wire["ends"][0]]
        for one, other in edges(drawn.run(wire)):
            near.setdefault((net, one), set()).add(other)
            near.setdefault((net, other), set()).add(one)
    return sorted(node for (_, node), others in near.items() if len(others) > 2)


# --- sizes and letters on wires ------------------------------------------------------------------


def _marks(netlist: Record, drawn: Drawn, letters: Mapping[Ends, str], words: Sequence[Word]) -> list[Word]:
    """Return letters and sizes, each beside the stretch that its wire has to itself, where there is room."""
    used = Counter(edge for wire in netlist["wires"] for edge in edges(drawn.run(wire)))
    boxes = [*(one.box for one in drawn.places.placed), *(word.box for word in words)]
    nodes = [(GRID * x, GRID * y, GRID * x, GRID * y) for edge in used for x, y in edge]
    room = Room(boxes, set(used), bounds([*boxes, *nodes]))
    found: list[Word] = []
    alike = Counter(_alike(wire) for wire in netlist["wires"])
    said: set[tuple[str, ...]] = set()
    for wire in reversed(netlist["wires"]):
        run = drawn.run(wire)
        own = [edge for edge in edges(run) if used[edge] == 1] or list(edges(run))
        letter = letters.get(frozenset(wire["ends"]))
        if letter:
            word = Word(0.0, 0.0, letter, "figure letter", size=13.0)
            found += room.put(own, word) or room.put(edges(run), word, far=True)
        same = _alike(wire)
        if said_size(wire) and same not in said:
            count = "each " if senses(wire) else f"{alike[same]} × " if alike[same] > 1 else ""
            placed = room.put(own, Word(0.0, 0.0, count + said_size(wire), "size", size=SMALL), far=senses(wire))
            placed = placed or room.under(_of_leads(wire, drawn), (count + said_size(wire)).split(", "))
            found += placed
            if placed:
                said.add(same)
    return found


def _of_leads(wire: Record, drawn: Drawn) -> Sequence[Word]:
    """Return the words of the motor that a wire leads to from its controller; none of another wire.

    Its leads lie close together and are short, so their size often has no room beside them.
    """
    ends = {end.rpartition(".")[0] for end in wire["ends"]}
    here = [one for one in drawn.places.placed if one.piece.name in ends]
    if any(one.piece.through for one in here):
        return ()
    return next((one.words for one in here if one.piece.kind in MOTORS), ())


def _alike(wire: Record) -> tuple[str, ...]:
    """Return what wires have in common that are said once: the parts at both ends, and the size."""
    if wire["carries"] == "main":
        return tuple(wire["ends"])
    if senses(wire):
        return ("sense", said_size(wire))
    return (*(end.rpartition(".")[0] for end in wire["ends"]), said_size(wire), wire["carries"])
