"""Where words stand beside wires: clear of parts, of other words and of every wire."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from headrace.paper.drawings.circuit_places import LINE, Word
from headrace.paper.drawings.circuit_routes import GRID, Box, Node

CLOSE = 40.0  # of two words that say the same

Edge = tuple[Node, Node]


def edges(run: Sequence[Node]) -> list[Edge]:
    """Return the steps of a run, each the same from either side."""
    return [(min(pair), max(pair)) for pair in pairwise(run)]


@dataclass
class Room:
    """What words may not stand on."""

    boxes: list[Box]
    wires: set[Edge]
    within: Box
    said: list[Word] = field(default_factory=list)

    def put(self, own: Sequence[Edge], word: Word, *, far: bool = False) -> list[Word]:
        """Return a word beside the edge nearest the middle where it stands clear; nothing where there is no room.

        Parameters
        ----------
        own
            Edges it may stand beside.
        word
            What to say.
        far
            Whether it may stand further off, where nothing else is near that it could be taken to mean.
        """
        middle = len(own) / 2.0
        for _, edge in sorted((abs(at - middle), edge) for at, edge in enumerate(own)):
            for placed in _beside(edge, word, far=far):
                if self._inside(placed.box) and self._clear(placed.box):
                    if any(_near(placed, one) for one in self.said):
                        return []  # what stands close by says it already
                    self.boxes.append(placed.box)
                    self.said.append(placed)
                    return [placed]
        return []

    def under(self, words: Sequence[Word], lines: Sequence[str]) -> list[Word]:
        """Return lines under the words of a part where all stand clear; nothing where there is no room.

        The sheet grows with them: they may stand a little outside of what is drawn.
        """
        if not words:
            return []
        last = max(words, key=lambda word: word.y)
        placed = [replace(last, y=last.y + LINE * k, says=says, kind="size") for k, says in enumerate(lines, 1)]
        if not all(self._clear(one.box) for one in placed):
            return []
        self.boxes += [one.box for one in placed]
        self.said += placed
        return placed

    def _inside(self, box: Box) -> bool:
        left, top, right, bottom = box
        return not (
            left < self.within[0]
            or top < self.within[1] - LINE
            or right > self.within[2]
            or bottom > self.within[3] + LINE
        )

    def _clear(self, box: Box) -> bool:
        left, top, right, bottom = box
        if any(left < b[2] + 1 and b[0] - 1 < right and top < b[3] + 1 and b[1] - 1 < bottom for b in self.boxes):
            return False
        return not any(
            left < GRID * max(x1, x2) + 1.0
            and GRID * min(x1, x2) - 1.0 < right
            and top < GRID * max(y1, y2) + 1.0
            and GRID * min(y1, y2) - 1.0 < bottom
            for (x1, y1), (x2, y2) in self.wires
        )


def _near(one: Word, other: Word) -> bool:
    return one.says == other.says and abs(one.x - other.x) < CLOSE and abs(one.y - other.y) < CLOSE


def _beside(edge: Edge, word: Word, *, far: bool) -> Iterable[Word]:
    (x1, y1), (x2, y2) = edge
    x, y = GRID * (x1 + x2) / 2.0, GRID * (y1 + y2) / 2.0
    if y1 == y2:
        below = 0.75 * word.size
        for along in (x, x + GRID / 2.0):
            yield replace(word, x=along, y=y - 5.0, anchor="middle")
            yield replace(word, x=along, y=y + 5.0 + below, anchor="middle")
        if far:
            for along in (x, x - 3.0 * GRID, x + 3.0 * GRID):
                yield replace(word, x=along, y=y - 15.0, anchor="middle")
                yield replace(word, x=along, y=y + 15.0 + below, anchor="middle")
    else:
        yield replace(word, x=x + 5.0, y=y + 4.0)
        yield replace(word, x=x - 5.0, y=y + 4.0, anchor="end")
