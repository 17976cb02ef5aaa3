"""Where wires run: along a grid, round every part, crossing each other at right angles only.

Terminals that are joined grow one tree, each joined to it by the cheapest way there is; a wire is the way along the
tree from one of its ends to the other. So wires that meet share their run, as a circuit diagram draws them, and where
the tree forks there is a dot.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

Node = tuple[int, int]
State = tuple[Node, Node]  # where, and which way it is gone
Box = tuple[float, float, float, float]  # left, top, right, bottom

GRID = 10.0
STRAIGHT = {(1, 0): 0, (-1, 0): 0, (0, 1): 1, (0, -1): 1}  # directions and the axis of each
STEP, BEND, CROSS, THROUGH_WORDS = 1.0, 4.0, 5.0, 14.0
TRIES = 3  # of orders in which nets are laid
CLEAR = 3.0  # of wires from words
ALL_ROUND = 6  # nodes free around the drawing


class NoWay(Exception):  # noqa: N818 - nothing is wrong, there is only too little room
    """A terminal that no wire gets to."""

    def __init__(self, end: str) -> None:
        super().__init__(end)
        self.end = end


@dataclass
class Ground:
    """What wires run over.

    Attributes
    ----------
    boxes
        Of parts: no wire gets into them.
    words
        Boxes of words: wires had better not.
    exits
        The direction in which a wire leaves each terminal.
    wired
        Terminals that a wire goes to.
    limits
        Left and right edge that no wire passes; None where there is none.
    rails
        Of some nets the straight line that everything of it is joined to.
    """

    boxes: Sequence[Box]
    words: Sequence[Box]
    at: Mapping[str, Node]
    exits: Mapping[str, Node]
    wired: Sequence[str]
    limits: tuple[float, float] | None
    rails: Mapping[int, Sequence[Node]]
    taken: dict[Node, dict[int, int]] = field(default_factory=dict)  # of a node: the net along each axis
    blocked: set[Node] = field(init=False)
    worded: set[Node] = field(init=False)
    doors: dict[Node, str] = field(init=False)
    edge: tuple[int, int, int, int] = field(init=False)

    def __post_init__(self) -> None:
        self.blocked = {node for box in self.boxes for node in _inside(box)}
        self.worded = {node for box in self.words for node in _inside(_clear(box))}
        self.doors = {self.door(end): end for end in self.wired}
        xs, ys = [x for x, _ in self.blocked], [y for _, y in self.blocked]
        left, right = min(xs) - ALL_ROUND, max(xs) + ALL_ROUND
        if self.limits is not None:
            left, right = (round(limit / GRID) for limit in self.limits)
        self.edge = (left, min(ys) - ALL_ROUND, right, max(ys) + ALL_ROUND)

    def door(self, end: str) -> Node:
        """Return where a wire stands that has left a terminal."""
        (x, y), way = self.at[end], self.exits[end]
        return x + way[0], y + way[1]

    def cost(self, node: Node, way: Node, net: int, nets: Mapping[str, int]) -> float | None:
        """Return what a step onto a node costs; None where there is none."""
        x, y = node
        left, top, right, bottom = self.edge
        if not (left <= x <= right and top <= y <= bottom) or node in self.blocked:
            return None
        door = self.doors.get(node)
        if door is not None and nets[door] != net:
            return None  # or the terminal would be shut in
        price = STEP
        others = self.taken.get(node)
        if others:
            axis = STRAIGHT[way]
            if set(others) != {1 - axis} or others[1 - axis] == net:
                return None  # along another wire, or onto its bend; the own tree is met before it is asked for
            price += CROSS
        if node in self.worded:
            price += THROUGH_WORDS
        return price


def _clear(box: Box) -> Box:
    left, top, right, bottom = box
    return left - CLEAR, top - CLEAR, right + CLEAR, bottom + CLEAR


def _inside(box: Box) -> Iterator[Node]:
    left, top, right, bottom = box
    for x in range(int(-(-left // GRID)), int(right // GRID) + 1):
        for y in range(int(-(-top // GRID)), int(bottom // GRID) + 1):
            yield x, y


@dataclass
class Tree:
    """The run of all wires of one net."""

    near: dict[Node, set[Node]] = field(default_factory=dict)

    def grow(self, path: Sequence[Node]) -> None:
        """Join a path to it."""
        for one, other in itertools.pairwise(path):
            self.near.setdefault(one, set()).add(other)
            self.near.setdefault(other, set()).add(one)
        if len(path) == 1:
            self.near.setdefault(path[0], set())

    def way(self, start: Node, end: Node) -> list[Node]:
        """Return the way from one of its nodes to another."""
        came = {start: start}
        waiting = deque([start])
        while waiting and end not in came:
            here = waiting.popleft()
            for there in self.near[here]:
                if there not in came:
                    came[there] = here
                    waiting.append(there)
        path = [end]
        while path[-1] != start:
            path.append(came[path[-1]])
        return path[::-1]


def runs(ground: Ground, nets: Mapping[str, int]) -> dict[int, Tree]:
    """Return the tree of every net that wires go to.

    Parameters
    ----------
    ground
        What wires run over; it is marked by them.
    nets
        Of every terminal.
    """
    ends: dict[int, list[str]] = {}
    for end in ground.wired:
        ends.setdefault(nets[end], []).append(end)

    def length(net: int) -> int:
        xs, ys = zip(*(ground.at[end] for end in ends[net]), strict=True)
        return int(max(xs) - min(xs) + max(ys) - min(ys))

    order = sorted(ends, key=lambda net: (len(ends[net]) > 2, length(net)))
    for _ in range(TRIES):
        try:
            return _laid(ground, nets, ends, order)
        except NoWay as none:  # what finds no way is laid before what stood in it
            missed = none
            order.remove(nets[none.end])
            order.insert(0, nets[none.end])
    raise missed


def _laid(
    ground: Ground, nets: Mapping[str, int], ends: Mapping[int, list[str]], order: Sequence[int]
) -> dict[int, Tree]:
    ground.taken.clear()
    trees: dict[int, Tree] = {net: Tree() for net in ends}
    for net, rail in ground.rails.items():
        trees[net].grow(_mark(ground, net, list(rail)))
    for net in order:
        _grow(ground, nets, net, trees[net], ends[net])
    return trees


def _grow(ground: Ground, nets: Mapping[str, int], net: int, tree: Tree, ends: Sequence[str]) -> None:
    """Join terminals to a tree, the nearest first."""
    left = list(ends)

    def apart(end: str) -> int:
        x, y = ground.at[end]
        return min(abs(x - a) + abs(y - b) for a, b in tree.near)

    if not tree.near:
        (x1, y1), first = ground.at[left[0]], left.pop(0)
        tree.grow([ground.at[first]])
        if left:  # a straight way first: it is the line
            end = min(left, key=lambda end: (ground.at[end][1] != y1 and ground.at[end][0] != x1, apart(end)))
            left.remove(end)
            tree.grow(_mark(ground, net, _path(ground, nets, net, end, tree, first)))
    while left:
        end = min(left, key=apart)
        left.remove(end)
        tree.grow(_mark(ground, net, _path(ground, nets, net, end, tree, None)))


def _mark(ground: Ground, net: int, path: list[Node]) -> list[Node]:
    for (x1, y1), (x2, y2) in itertools.pairwise(path):
        axis = STRAIGHT[(x2 - x1, y2 - y1)]
        for node in ((x1, y1), (x2, y2)):
            ground.taken.setdefault(node, {})[axis] = net
    return path


def _path(ground: Ground, nets: Mapping[str, int], net: int, end: str, tree: Tree, to: str | None) -> list[Node]:
    """Return the cheapest way from a terminal to the tree; at the start the tree is one terminal alone."""
    way, door, goals = ground.exits[end], ground.door(end), _goals(ground, net, tree, to)
    xs, ys = [x for x, _ in goals], [y for _, y in goals]
    if not goals:
        raise NoWay(end)
    span = (min(xs), max(xs), min(ys), max(ys))
    first = 0.0 if door in goals else ground.cost(door, way, net, nets)
    if first is None:
        raise NoWay(end)
    heap = [(_least(door, span) + first, first, door, way)]
    came: dict[State, State | None] = {(door, way): None}
    best = {(door, way): first}
    while heap:
        _, price, node, way = heapq.heappop(heap)
        if node in goals:
            found = [ground.at[end], *_back(came, (node, way))]
            return found if to is None else [*found, ground.at[to]]
        if price > best[node, way]:
            continue
        crossing = node in ground.taken and net not in ground.taken[node].values()
        for turn in [way] if crossing else [turn for turn in STRAIGHT if turn != (-way[0], -way[1])]:
            there = (node[0] + turn[0], node[1] + turn[1])
            more = 0.0 if there in goals and to is None else ground.cost(there, turn, net, nets)
            new = math.inf if more is None else price + more + (BEND if STRAIGHT[turn] != STRAIGHT[way] else 0.0)
            if new < best.get((there, turn), math.inf):
                best[there, turn] = new
                came[there, turn] = (node, way)
                heapq.heappush(heap, (new + _least(there, span), new, there, turn))
    raise NoWay(end)


def _goals(ground: Ground, net: int, tree: Tree, to: str | None) -> set[Node]:
    """Return where a way may end: on the tree, but where it crosses another wire; before a terminal if it is one."""
    if to is not None:
        return {ground.door(to)}
    return {node for node in tree.near if node not in ground.blocked and set(ground.taken[node].values()) == {net}}


def _back(came: Mapping[State, State | None], state: State) -> list[Node]:
    """Return the nodes of a way, from its start."""
    path, at = [], came[state]
    path.append(state[0])
    while at is not None:
        path.append(at[0])
        at = came[at]
    return path[::-1]


def _least(node: Node, span: tuple[int, int, int, int]) -> float:
    """Return the least that the way from a node to the goals may cost."""
    x, y = node
    left, right, top, bottom = span
    return max(left - x, x - right, 0) + max(top - y, y - bottom, 0)
