"""Hatching: lines across a shape whose number is known, dots in one that was assumed.

Worked out as plain strokes, so that a shape prints as sharp as its outline and needs no name to be found by.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

Point = tuple[float, float]

LINES, DOTS = 4.6, 4.4  # apart
INSET = 1.2  # of a dot from the edge
SLOPE = math.sqrt(0.5)


def hatched(outline: Sequence[Point], basis: str, tone: str) -> str:
    """Return the strokes that fill an outline.

    Parameters
    ----------
    outline
        Corners, closed from the last to the first.
    basis
        Where the number came from: dots where it was assumed, lines otherwise.
    tone
        "heat" or "ink".
    """
    assumed = basis == "assumed"
    strokes = "".join(_dots(outline) if assumed else _lines(outline))
    return f'<path class="{tone}-{"dots" if assumed else "lines"}" d="{strokes}"/>' if strokes else ""


def _lines(outline: Sequence[Point]) -> Iterator[str]:
    turned = [(SLOPE * (x - y), SLOPE * (x + y)) for x, y in outline]
    for level in _levels(turned, LINES):
        for start, end in _spans(turned, level):
            x, y = SLOPE * (level + start), SLOPE * (level - start)
            yield f"M{x:.1f} {y:.1f}l{SLOPE * (end - start):.1f} {SLOPE * (start - end):.1f}"


def _dots(outline: Sequence[Point]) -> Iterator[str]:
    for row, level in enumerate(_levels(outline, DOTS)):
        shift = DOTS / 2.0 * (row % 2)
        for start, end in _spans(outline, level):
            first = math.ceil((start + INSET - shift) / DOTS)
            last = math.floor((end - INSET - shift) / DOTS)
            for place in range(first, last + 1):
                yield f"M{DOTS * place + shift:.1f} {level:.1f}h0"


def _levels(outline: Sequence[Point], apart: float) -> list[float]:
    """Return where rows stand: as far from one edge as from the other."""
    low, high = min(y for _, y in outline), max(y for _, y in outline)
    rows = int((high - low) / apart)
    first = (low + high) / 2.0 - apart * (rows - 1) / 2.0
    return [first + apart * row for row in range(rows)]


def _spans(outline: Sequence[Point], level: float) -> Iterator[Point]:
    """Yield from where to where a row lies inside the outline."""
    crossings = []
    for (x1, y1), (x2, y2) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (y1 <= level) != (y2 <= level):
            crossings.append(x1 + (level - y1) * (x2 - x1) / (y2 - y1))
    crossings.sort()
    yield from zip(crossings[::2], crossings[1::2], strict=True)
