"""The two ways a circuit is put on paper: lying and upright."""

from __future__ import annotations

import math
from dataclasses import replace

from headrace.paper.drawings.circuit import PIN, Branch, Circuit, Piece, terminal
from headrace.paper.drawings.circuit_places import (
    DOWN,
    LEFT,
    RIGHT,
    UP,
    Placed,
    Places,
    Word,
    around,
    hung,
    in_turn,
    inner_ends,
    on_grid,
    rating,
    sign_across,
    sign_down,
)
from headrace.paper.drawings.circuit_routes import GRID, Box, Node
from headrace.paper.drawings.circuit_symbols import REACH

PITCH = 20.0  # from one pin to the next
BUNDLE, FUSED_BUNDLE = 80.0, 110.0  # of sense wires, without and with something in each
PACK_WIDE, BOARD_WIDE = 90.0, 90.0
PACK_LEAST = 150.0
POLE = 40.0  # from the pack's edge to its two ends
FIRST = 30.0  # from there to its first pin
ROW = 90.0  # from the line to a way around it, and from that to the next
HEAD = 60.0  # from the line to what hangs from it
APART = 110.0  # from one sign of the line to the next, its words between


def lying(circuit: Circuit, more: float = 0.0, crowd: float = 0.0) -> Places:
    """Return the places for a desk; ``more`` is room given to each gap, ``crowd`` to the sense wires."""
    low, left = _pins(circuit), 0.0
    placed: list[Placed] = []
    if circuit.pack is not None:
        left = PACK_WIDE
    if circuit.board is not None:
        left += (FUSED_BUNDLE if circuit.sensing else BUNDLE) + BOARD_WIDE + crowd
    hanging = left + GRID  # nothing hangs left of it
    x = POLE + 4.0 * GRID  # how far the line has come
    for at in range(len(circuit.places)):
        ways = [branch for branch in circuit.branches if branch.leaves == at and branch.meets is None]
        for branch in ways:
            column = hung(branch, circuit)
            box = around(column)
            spine = on_grid(max(x + 3.0 * GRID, hanging - box[0] + GRID + more))
            placed += [one.by(spine, HEAD) for one in column]
            hanging, x = spine + box[2], spine
        if at < len(circuit.line):
            piece = circuit.line[at]
            around_it = [b for b in circuit.branches if b.meets is not None and b.leaves == at]
            long = max((APART * len(b.layers) for b in around_it), default=2.0 * REACH)
            side = on_grid((max(long, APART) - 2.0 * REACH) / 2.0 + more / 2.0)
            x = x + 2.0 * GRID + (side if at or around_it else 2.0 * GRID)
            placed.append(sign_across(piece, inner_ends(piece, circuit, circuit.places[at]), x, 0.0))
            for level, branch in enumerate(around_it, 1):
                placed += _around_across(branch, circuit, x + REACH, -ROW * level)
            x += 2.0 * REACH + (on_grid((long - 2.0 * REACH) / 2.0) if around_it else 0.0)
    for branch in circuit.branches:
        if branch.leaves is None:
            column = hung(branch, circuit)
            box = around(column)
            spine = on_grid(hanging - box[0] + 4.0 * GRID + more)
            placed += [one.by(spine, HEAD) for one in column]
            hanging = spine + box[2]
    bottom = max([HEAD + max(low, PACK_LEAST), *(one.box[3] for one in placed)])
    placed += _source_lying(circuit, on_grid(bottom), crowd)
    return Places(tuple(placed), None, _rails(placed, circuit, 0.0, on_grid(bottom) + 20.0, across=True))


def _around_across(branch: Branch, circuit: Circuit, middle: float, y: float) -> list[Placed]:
    """Return a way around a sign of the line, over it."""
    pieces = in_turn(branch, circuit)
    start = on_grid(middle - APART * (len(pieces) - 1) / 2.0 - REACH)
    return [sign_across(piece, first, start + APART * k, y) for k, (piece, first) in enumerate(pieces)]


def _pins(circuit: Circuit) -> float:
    """Return how high the pins of pack and board stand. [px]"""
    counts = [sum(terminal(end).startswith(PIN) for end in one.ends) for one in (circuit.pack, circuit.board) if one]
    return FIRST + PITCH * max(counts, default=0) + 10.0


def _source_lying(circuit: Circuit, bottom: float, more: float) -> list[Placed]:
    """Return pack and board with the sense plug between, standing on the lower rail."""
    placed = []
    if circuit.pack is not None:
        top = HEAD - 2.0 * GRID
        middle = POLE
        ends: dict[str, tuple[tuple[float, float], Node]] = {}
        for end in circuit.pack.ends:
            name = terminal(end)
            if name.startswith(PIN):
                ends[end] = ((PACK_WIDE, bottom - FIRST - PITCH * _order(end)), RIGHT)
            else:
                ends[end] = ((middle, top), UP) if name == "plus" else ((middle, bottom), DOWN)
        placed.append(_source(circuit.pack, (0.0, top, PACK_WIDE, bottom), ends))
    if circuit.board is not None:
        left = PACK_WIDE + (FUSED_BUNDLE if circuit.sensing else BUNDLE) + more
        top = bottom - max(_pins(circuit), 60.0)
        ends = {}
        for end in circuit.board.ends:
            name = terminal(end)
            if name.startswith(PIN):
                ends[end] = ((left, bottom - FIRST - PITCH * _order(end)), LEFT)
            else:
                ends[end] = ((left + (20.0 if name == "cells" else BOARD_WIDE - 20.0), bottom), DOWN)
        placed.append(_source(circuit.board, (left, top, left + BOARD_WIDE, bottom), ends))
    return placed + _sensing(circuit, placed, more)


def _order(end: str) -> int:
    return int(terminal(end).removeprefix(PIN))


def _source(
    piece: Piece, box: tuple[float, float, float, float], ends: dict[str, tuple[tuple[float, float], Node]]
) -> Placed:
    """Return pack or board, with its pins numbered."""
    left, top, right, bottom = box
    words = []
    for end, ((x, y), way) in ends.items():
        name = terminal(end)
        if name.startswith(PIN):
            words.append(
                Word(
                    x - 5.0 * way[0], y + 4.0, name.removeprefix(PIN), "soft", "end" if way == RIGHT else "start", 11.0
                )
            )
        else:
            said = {"plus": "+", "minus": "−"}.get(name, name)
            up = 14.0 if way == UP else -6.0
            words.append(Word(x + (0.0 if piece.kind != "pack" else 12.0), y + up, said, "soft", "middle", 11.0))
    middle, high = (left + right) / 2.0, (top + bottom) / 2.0
    if piece.kind == "pack":
        words.append(Word(left + (POLE if left == 0.0 else TRUNK - left) + 8.0, top + 32.0, piece.name, "figure"))
    else:
        rows = [piece.name, *rating(piece)]
        first = high - 7.0 * (len(rows) - 1) + 4.0
        words += [
            Word(middle + 6.0, first + 15.0 * k, said, "soft" if k else "figure", "middle")
            for k, said in enumerate(rows)
        ]
    return Placed(
        piece,
        box,
        {end: at for end, (at, _) in ends.items()},
        {end: way for end, (_, way) in ends.items()},
        words=tuple(words),
    )


def _sensing(circuit: Circuit, sources: list[Placed], more: float) -> list[Placed]:
    """Return what stands in the sense wires, each in its own."""
    if not circuit.sensing:
        return []
    (pack,) = (one for one in sources if one.piece is circuit.pack)
    heights = {circuit.net[end]: y for end, (_, y) in pack.at.items() if terminal(end).startswith(PIN)}
    firsts = [(piece, next(end for end in piece.ends if circuit.net[end] in heights)) for piece in circuit.sensing]
    placed = [
        sign_across(piece, first, pack.box[2] + 30.0 + on_grid(more / 2.0), heights[circuit.net[first]], words=False)
        for piece, first in firsts
    ]
    top = min(placed, key=lambda one: one.box[1])
    rows = [(f"{len(placed)} × {top.piece.kind}", "figure"), *((said, "soft") for said in rating(top.piece))]
    x, y = (top.box[0] + top.box[2]) / 2.0, top.box[1] - 6.0 - 15.0 * (len(rows) - 1)
    words = tuple(Word(x, y + 15.0 * row, *said, "middle") for row, said in enumerate(rows))
    alike = len({tuple(rating(one.piece)) for one in placed}) == 1
    return [replace(one, words=words) if one is top and alike else one for one in placed]


# --- upright -----------------------------------------------------------------------------------------

NARROW = 340.0  # a phone of 360 px shows it nearly in its own size
EDGE, TRUNK, SPINE, RAIL = 20.0, 40.0, 120.0, 310.0


def upright(circuit: Circuit, more: float = 0.0, crowd: float = 0.0) -> Places:
    """Return the places for a phone; ``more`` is room given to each gap, ``crowd`` to the sense wires."""
    placed = _source_upright(circuit, crowd)
    y = max((one.box[3] for one in placed), default=0.0) + 20.0 + more
    for at in range(len(circuit.places)):
        for branch in (b for b in circuit.branches if b.leaves == at and b.meets is None):
            column = hung(branch, circuit, RAIL - 30.0 - SPINE, single=True)
            spine = on_grid(max(SPINE, TRUNK + 4.0 * GRID - around(column)[0]))
            column = [one.by(spine, y + 3.0 * GRID + more) for one in column]
            placed += column
            y = on_grid(around(column)[3]) + 3.0 * GRID + more
        if at < len(circuit.line):
            piece = circuit.line[at]
            ways = [b for b in circuit.branches if b.meets is not None and b.leaves == at]
            long = max((70.0 * len(b.layers) - 30.0 for b in ways), default=2.0 * REACH)
            y = y + 20.0 + more
            place = on_grid(y + (long - 2.0 * REACH) / 2.0)
            room = 60.0 if ways else NARROW - 60.0 - TRUNK
            placed.append(sign_down(piece, inner_ends(piece, circuit, circuit.places[at]), TRUNK, place, room))
            for level, branch in enumerate(ways):
                placed += _around_down(branch, circuit, TRUNK + 130.0 + 100.0 * level, y)
            y = on_grid(y + long) + (2.0 * GRID if ways else 0.0)
    for branch in (b for b in circuit.branches if b.leaves is None):
        column = [
            one.by(SPINE, y + 4.0 * GRID + more) for one in hung(branch, circuit, RAIL - 30.0 - SPINE, single=True)
        ]
        placed += column
        y = on_grid(around(column)[3]) + 3.0 * GRID
    rails = _rails(placed, circuit, TRUNK, RAIL + crowd, across=False)
    right = max(NARROW - GRID, around(placed)[2] + 2.0 * GRID)
    return Places(tuple(placed), (GRID, right), rails)


def _rails(placed: list[Placed], circuit: Circuit, line: float, back: float, *, across: bool) -> dict[int, list[Node]]:
    """Return the rails: of the line's far end, and of the way back, each as long as what is joined to it."""
    at = {end: place for one in placed for end, place in one.at.items()}
    axis = 0 if across else 1
    start = max((at[end][axis] for piece in circuit.line for end in piece.ends), default=-math.inf)
    far = (
        [end for end in at if circuit.net[end] == circuit.places[-1] and at[end][axis] >= start]
        if circuit.places
        else []
    )
    grounds = [[end for end in at if circuit.net[end] == net] for net in sorted(circuit.ground)]
    found: dict[int, list[Node]] = {}
    for ends, where in ((far, line), (max(grounds, key=len, default=[]), back)):
        along = sorted(round(at[end][axis] / GRID) for end in ends)
        steps = [GRID * step for step in range(along[0], along[-1] + 1)] if along else []
        rail = [(step, where) if across else (where, step) for step in steps]
        free = not any(_within(point, one.box) and point not in one.at.values() for point in rail for one in placed)
        if len(ends) > 2 and free and circuit.net[ends[0]] not in found:
            found[circuit.net[ends[0]]] = [(round(x / GRID), round(y / GRID)) for x, y in rail]
    return found


def _within(point: tuple[float, float], box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def _around_down(branch: Branch, circuit: Circuit, x: float, y: float) -> list[Placed]:
    """Return a way around a sign of the line, beside it."""
    return [
        sign_down(piece, first, x, on_grid(y) + 70.0 * k, RAIL - 30.0 - x)
        for k, (piece, first) in enumerate(in_turn(branch, circuit))
    ]


def _source_upright(circuit: Circuit, more: float) -> list[Placed]:
    """Return pack and board with the sense plug between, the minus uppermost."""
    placed = []
    head = FIRST + (3.0 * GRID if circuit.sensing else 0.0)
    high = max(_pins(circuit) + head - FIRST, PACK_LEAST)
    if circuit.pack is not None:
        ends: dict[str, tuple[tuple[float, float], Node]] = {}
        for end in circuit.pack.ends:
            name = terminal(end)
            if name.startswith(PIN):
                ends[end] = ((EDGE + PACK_WIDE, head + PITCH * _order(end)), RIGHT)
            else:
                ends[end] = ((TRUNK, high), DOWN) if name == "plus" else ((TRUNK, 0.0), UP)
        placed.append(_source(circuit.pack, (EDGE, 0.0, EDGE + PACK_WIDE, high), ends))
    if circuit.board is not None:
        left = NARROW - 10.0 - BOARD_WIDE + more
        ends = {}
        for end in circuit.board.ends:
            name = terminal(end)
            if name.startswith(PIN):
                ends[end] = ((left, head + PITCH * _order(end)), LEFT)
            else:
                ends[end] = ((left + 20.0, 0.0), UP) if name == "cells" else ((RAIL + more, high), DOWN)
        placed.append(_source(circuit.board, (left, 0.0, left + BOARD_WIDE, high), ends))
    return placed + _sensing(circuit, placed, more)
