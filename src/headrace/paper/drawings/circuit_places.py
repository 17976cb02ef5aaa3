"""Where the parts of a circuit stand: lying for a desk and a sheet of paper, upright for a phone.

Lying, the line goes across at the top, the way back across at the bottom, and every branch hangs down between them.
Upright, the line goes down at the left, the way back down at the right, and every branch hangs where it leaves the
line. All terminals stand on the grid that wires run along.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from headrace.paper.drawings.circuit import PIN, Branch, Circuit, Piece, terminal
from headrace.paper.drawings.circuit_routes import GRID, Box, Node
from headrace.paper.drawings.circuit_symbols import MOTORS, REACH
from headrace.paper.svg import folded, wide
from headrace.paper.words import plain

SIZE, LINE = 13.0, 15.0  # of the letters, and from one line of them to the next
UP, DOWN, LEFT, RIGHT = (0, -1), (0, 1), (-1, 0), (1, 0)
THICK, THIN = 20.0, 10.0  # of a sign on the side of what moves it, and on the other
SLOT = 20.0  # from one terminal of a box to the next
HIGH, MOTOR_HIGH = 60.0, 70.0  # of boxes
GAP, BOX_GAP = 30.0, 40.0  # under a sign and under a box
NAMES = 86.0  # room for the words beside a sign
ENDS = {"plus": "+", "minus": "−", "live": "L", "neutral": "N", "out-plus": "+", "out-minus": "−", "earth": "PE"}
ENDS |= {f"{pole}-{way}": mark for pole, mark in (("live", "L"), ("neutral", "N")) for way in ("in", "out")}


@dataclass(frozen=True)
class Word:
    """One line of text."""

    x: float
    y: float
    says: str
    kind: str = ""
    anchor: str = "start"
    size: float = SIZE

    @property
    def box(self) -> Box:
        """The room it takes."""
        across = wide(self.says, self.size) * (1.1 if "figure" in self.kind else 1.0)
        left = self.x - {"start": 0.0, "middle": across / 2.0, "end": across}[self.anchor]
        return left, self.y - 0.75 * self.size, left + across, self.y + 0.25 * self.size

    def by(self, x: float, y: float) -> Word:
        """Return it elsewhere."""
        return replace(self, x=self.x + x, y=self.y + y)


@dataclass(frozen=True)
class Placed:
    """A piece with its place.

    Attributes
    ----------
    piece
        What stands there.
    box
        The room of its sign.
    at, exits
        Each terminal's place, and the direction in which a wire leaves it.
    down
        Whether it is a sign along a line that goes down.
    words
        Beside it, or on it.
    """

    piece: Piece
    box: Box
    at: dict[str, tuple[float, float]]
    exits: dict[str, Node]
    down: bool = True
    words: tuple[Word, ...] = ()

    def by(self, x: float, y: float) -> Placed:
        """Return it elsewhere."""
        left, top, right, bottom = self.box
        return replace(
            self,
            box=(left + x, top + y, right + x, bottom + y),
            at={end: (a + x, b + y) for end, (a, b) in self.at.items()},
            words=tuple(word.by(x, y) for word in self.words),
        )


@dataclass(frozen=True)
class Places:
    """Where everything stands; ``limits`` that no wire passes, and the ``rails`` of some nets."""

    placed: tuple[Placed, ...]
    limits: tuple[float, float] | None
    rails: dict[int, list[Node]]


def bounds(boxes: Iterable[Box]) -> Box:
    """Return the box around boxes."""
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def around(placed: Iterable[Placed]) -> Box:
    """Return the box around pieces and their words."""
    return bounds(box for one in placed for box in (one.box, *(word.box for word in one.words)))


def on_grid(length: float, *, up: bool = True) -> float:
    """Return a length as whole steps of the grid."""
    return (math.ceil(length / GRID) if up else math.floor(length / GRID)) * GRID


def rating(piece: Piece) -> list[str]:
    """Return amps and volts that a piece has to be made for; none where nothing is asked, or its contacts say it."""
    amps, volts = piece.part["current_A"], piece.part["voltage_V"]
    if piece.kind == "coil":
        return []
    said = (
        [] if amps is None else [plain(amps, "A", 0 if amps >= 20.0 or amps == int(amps) else 1 if amps >= 1.0 else 2)]
    )
    return said if volts is None else [*said, plain(volts, "V")]


def _rows(piece: Piece, room: float, *, apart: bool = False) -> list[tuple[str, str]]:
    """Return the lines said of a piece, with the class of each; amps and volts ``apart`` where there is little room."""
    name = f"{piece.name} coil" if piece.kind == "coil" else piece.name
    asked = rating(piece)
    said = asked if apart else [", ".join(asked)] if asked else []
    return [*((row, "figure") for row in folded(name, room, SIZE * 1.1, 3)), *((one, "soft") for one in said)]


# --- one piece ---------------------------------------------------------------------------------------


def sign_down(piece: Piece, first: str, x: float, y: float, room: float = NAMES) -> Placed:
    """Return a piece along a line that goes down, its words to the right; ``first`` is its upper terminal."""
    (last,) = (end for end in piece.ends if end != first)
    rows = _rows(piece, room)
    top = y + REACH - LINE * len(rows) / 2.0 + 11.0
    words = tuple(Word(x + THIN + 6.0, top + LINE * row, *said) for row, said in enumerate(rows))
    ends = {first: (x, y), last: (x, y + 2.0 * REACH)}
    return Placed(
        piece, (x - THICK, y, x + THIN, y + 2.0 * REACH), ends, {first: UP, last: DOWN}, down=True, words=words
    )


def sign_across(piece: Piece, first: str, x: float, y: float, *, words: bool = True) -> Placed:
    """Return a piece along a line that goes across, its words above; ``first`` is its left terminal."""
    (last,) = (end for end in piece.ends if end != first)
    rows = _rows(piece, NAMES) if words else []
    base = y - THICK - 6.0 - LINE * (len(rows) - 1)
    said = tuple(Word(x + REACH, base + LINE * row, *one, "middle") for row, one in enumerate(rows))
    ends = {first: (x, y), last: (x + 2.0 * REACH, y)}
    above = THICK if words else THIN
    return Placed(
        piece, (x, y - above, x + 2.0 * REACH, y + THIN), ends, {first: LEFT, last: RIGHT}, down=False, words=said
    )


def box_of(piece: Piece, upper: dict[str, float], lower: Sequence[tuple[str, float]], y: float) -> Placed:
    """Return a piece as a box, a motor as a circle in it, with terminals at its upper and its lower side."""
    motor = piece.kind in MOTORS
    xs = [*upper.values(), *(x for _, x in lower)]
    rows = _rows(piece, 66.0, apart=True)
    needs = max(wide(row, SIZE * 1.1) for row, _ in rows) + 16.0
    left, right = min(xs) - SLOT, max(xs) + SLOT
    if not motor:
        right = max(right, left + on_grid(needs))
    high = MOTOR_HIGH if motor else HIGH + on_grid(LINE * (len(rows) - 1))
    middle = y + high + LINE if motor else y + high / 2.0 + 0.35 * SIZE - LINE * (len(rows) - 1) / 2.0
    words = [Word((left + right) / 2.0, middle + LINE * k, *said, "middle") for k, said in enumerate(rows)]
    if not motor:
        words += [Word(x, y + 14.0, _mark(end), "soft", "middle", 11.0) for end, x in upper.items()]
        words += [Word(x, y + high - 6.0, _mark(end), "soft", "middle", 11.0) for end, x in lower]
    at = {**{end: (x, y) for end, x in upper.items()}, **{end: (x, y + high) for end, x in lower}}
    exits = {**dict.fromkeys(upper, UP), **{end: DOWN for end, _ in lower}}
    return Placed(piece, (left, y, right, y + high), at, exits, words=tuple(words))


def _mark(end: str) -> str:
    name = terminal(end)
    return ENDS.get(name, name.removeprefix("motor-").removeprefix(PIN))


# --- one branch --------------------------------------------------------------------------------------


def hung(branch: Branch, circuit: Circuit, room: float = NAMES, *, single: bool = False) -> list[Placed]:
    """Return the pieces of a branch hanging down from 0, 0; those side by side one under the other if ``single``."""
    placed: list[Placed] = []
    top = 0.0
    layers = [(piece,) for layer in branch.layers for piece in layer] if single else branch.layers
    for layer in layers:
        row: list[Placed] = []
        for piece in layer:
            clear = on_grid(around(row)[2]) + GRID + THICK if row else None
            row.append(_hang(piece, branch, circuit, placed, top, clear, room))
        placed += row
        bottom = max(one.box[3] for one in row)
        top = bottom + (BOX_GAP if any(not one.piece.through for one in row) else GAP)
    return placed


def _hang(
    piece: Piece, branch: Branch, circuit: Circuit, over: list[Placed], top: float, clear: float | None, room: float
) -> Placed:
    """Return one piece under those it is joined to; not left of ``clear``."""
    met = {circuit.net[end]: at[0] for one in over for end, at in one.at.items()}
    rails = set(circuit.places) - circuit.ground
    start = 0.0 if clear is None else clear
    above = [end for end in piece.ends if circuit.net[end] in met or circuit.net[end] in rails or piece.kind in MOTORS]
    if piece.through:
        first = above[0] if above else piece.ends[0]
        x = met.get(circuit.net[first], start)
        return sign_down(piece, first, x if clear is None else max(x, clear), top, room)
    upper: dict[str, float] = {}
    reach = -math.inf
    for end in sorted(above, key=lambda end: met.get(circuit.net[end], start)):
        reach = max(met.get(circuit.net[end], start), reach + SLOT, start if clear is not None else -math.inf)
        upper[end] = reach
    below = [end for end in piece.ends if end not in upper]
    inline = {circuit.net[end] for row in branch.layers for one in row if one.through for end in one.ends}
    ground = [end for end in below if circuit.net[end] in circuit.ground]
    others = sorted((end for end in below if end not in ground), key=lambda end: circuit.net[end] in inline)
    first_x = min(upper.values(), default=start)
    lower = [(end, first_x + SLOT * k) for k, end in enumerate(ground)]
    shift = first_x + (SLOT * (len(ground) - 1) + 1.5 * SLOT if ground else 0.0)
    # beside the sign that follows there is room for the next wire
    wider = [SLOT * sum(circuit.net[other] in inline for other in others[: k + 1]) for k in range(len(others))]
    lower += [(end, on_grid(shift) + SLOT * k + wider[k]) for k, end in enumerate(others)]
    return box_of(piece, upper, lower, top)


def inner_ends(piece: Piece, circuit: Circuit, place: int) -> str:
    """Return the terminal of a piece that meets a net; its first where none does."""
    return next((end for end in piece.ends if circuit.net[end] == place), piece.ends[0])


def in_turn(branch: Branch, circuit: Circuit) -> list[tuple[Piece, str]]:
    """Return the pieces of a way around, each with the terminal that comes first."""
    assert branch.leaves is not None  # noqa: S101 - a way around leaves the line; for the reader of types
    place, found = circuit.places[branch.leaves], []
    for (piece,) in branch.layers:
        first = inner_ends(piece, circuit, place)
        (last,) = (end for end in piece.ends if end != first)
        found.append((piece, first))
        place = circuit.net[last]
    return found
