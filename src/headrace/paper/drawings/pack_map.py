"""The map of packs as a drawing: cells in series across, in parallel upwards, a shape for the limit that stops each.

At the edge of each square a gauge stands as high as the pack works often among the draws; what works has a full disc,
the plan a heavy frame.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from markupsafe import Markup, escape

from headrace.paper.drawings import shapes
from headrace.paper.pack_grid import window
from headrace.paper.svg import figure, text
from headrace.paper.svg import wide as set_wide
from headrace.paper.words import percent, size

Record = dict[str, Any]

CELL = 56.0
PHONE = 320.0  # px the drawing has on the narrowest screen
LEAST = 12.5  # px the letters keep there
GAUGE = 7.0  # wide
EDGE, CLEAR = 6.0, 3.0  # of a number from its square's edge, and of signs from each other
CAPITALS = 0.72  # height of a figure, in the size of its letters
OFTEN = 0.9  # size of a number in a square, in that of the letters


def pack_map(packs: Record) -> Markup:
    """Return the map of the record of ``packs``, in the window worth showing."""
    series, parallel = window(packs)
    found = {(c["series"], c["parallel"]): c for c in packs["candidates"]}
    planned = (int(packs["planned"]["series"]), int(packs["planned"]["parallel"]))
    wide = CELL * len(series)
    letters = max(15.0, LEAST * (wide + 3.0 * LEAST) / PHONE)
    left = 2.9 * letters
    often = Often(packs["draws"]["count"] > 0, OFTEN * letters)
    parts = []
    for row, p in enumerate(reversed(parallel)):
        y = CELL * row
        parts.append(text(left - 0.6 * letters, y + CELL / 2.0 + 0.35 * letters, str(p), "count", "end"))
        parts += [_square(found[s, p], left + CELL * column, y, often) for column, s in enumerate(series)]
    base = CELL * len(parallel)
    for column, s in enumerate(series):
        parts.append(text(left + CELL * (column + 0.5), base + 1.3 * letters, str(s), "count", "middle"))
    if planned[0] in series and planned[1] in parallel:
        parts.append(_frame(left + CELL * series.index(planned[0]), base - CELL * (parallel.index(planned[1]) + 1.0)))
    parts.append(text(left + wide / 2.0, base + 2.8 * letters, "in series: volts, so speed", "soft", "middle"))
    parts.append(_upwards(0.9 * letters, base / 2.0))
    body = f'<g style="font-size:{letters:.1f}px">{"".join(parts)}</g>'
    return figure("packs", left + wide + 2.0, base + 3.4 * letters, "Which packs work", says(packs), body)


def says(packs: Record) -> str:
    """Return what the map shows, in words."""
    works = [size(c["series"], c["parallel"]) for c in packs["candidates"] if c["works"]]
    plan = size(packs["planned"]["series"], packs["planned"]["parallel"])
    return f"Planned: {plan}. Of the typical machine work: {', '.join(works) or 'none'}."


def reason(candidate: Record) -> str:
    """Return in words why a pack works or does not: every limit it breaks by name, then the sentence of each."""
    if candidate["works"]:
        return "works"
    names = "; ".join(shapes.called(found["slug"]) for found in candidate["reasons"])
    return f"{names}. {' '.join(found['says'] for found in candidate['reasons'])}"


class Often(NamedTuple):
    """How a square tells how often its pack works: at all, and with a number where that can be read."""

    drawn: bool
    size: float  # of the number's letters

    @property
    def numbered(self) -> bool:
        """Whether a number finds room beside the gauge."""
        return set_wide("99 %", self.size) < CELL - EDGE - CLEAR - GAUGE - 3.5

    @property
    def room(self) -> float:
        """Height left over a number for the sign."""
        return CELL - EDGE - CAPITALS * self.size - CLEAR - 2.0


def _square(candidate: Record, x: float, y: float, tells: Often) -> str:
    often = candidate["often"] if tells.drawn else 0.0
    numbered = tells.numbered and often > 0.0
    told = f"{size(candidate['series'], candidate['parallel'])}: {reason(candidate)}"
    if tells.drawn:
        told += f" Works in {percent(often)} of the draws."
    room = tells.room if numbered else CELL - 4.0
    middle = x + (CELL + (GAUGE if often > 0.0 else 0.0)) / 2.0
    shape = _disc(middle, y, room) if candidate["works"] else _shape(candidate["reasons"][0]["slug"], middle, y, room)
    return (
        f"<g><title>{escape(told)}</title>"
        f'<rect class="square" x="{x + 1.5:.1f}" y="{y + 1.5:.1f}" width="{CELL - 3.0}" height="{CELL - 3.0}"/>'
        + (_level(x, y, often) if often > 0.0 else "")
        + shape
        + (text(x + CELL - EDGE, y + CELL - EDGE, percent(often), "often", "end") if numbered else "")
        + "</g>"
    )


def _level(x: float, y: float, often: float) -> str:
    high = (CELL - 4.0) * often
    return (
        f'<rect class="gauge" x="{x + 3.5:.1f}" y="{y + CELL - 2.0 - high:.1f}" width="{GAUGE}" height="{high:.1f}"/>'
    )


def _disc(middle: float, y: float, room: float) -> str:
    radius = min(16.0, room / 2.0 - CLEAR)
    return f'<circle class="works" cx="{middle:.1f}" cy="{y + 2.0 + room / 2.0:.1f}" r="{radius:.1f}"/>'


def _shape(slug: str, middle: float, y: float, room: float) -> str:
    """Return a limit's shape in the middle of its room, as large as that lets it be."""
    scale = min(1.3, room / 24.0)
    left, top = middle - 12.0 * scale, y + 2.0 + room / 2.0 - 12.0 * scale
    return f'<g class="limit" transform="translate({left:.1f} {top:.1f}) scale({scale:.2f})">{shapes.stroke(slug)}</g>'


def _frame(x: float, y: float) -> str:
    return f'<rect class="planned" x="{x + 1.5:.1f}" y="{y + 1.5:.1f}" width="{CELL - 3.0}" height="{CELL - 3.0}"/>'


def _upwards(x: float, y: float) -> str:
    words = "in parallel: amps and minutes"
    return f'<text class="soft" text-anchor="middle" transform="translate({x:.1f} {y:.1f}) rotate(-90)">{words}</text>'


def key(packs: Record) -> list[tuple[Markup, str]]:
    """Return the key of the map: each sign that stands in it, and what it means."""
    series, parallel = window(packs)
    shown = [c for c in packs["candidates"] if c["series"] in series and c["parallel"] in parallel]
    slugs = {c["reasons"][0]["slug"] for c in shown if not c["works"]}
    signs = [
        (_sign('<circle class="works" cx="12" cy="12" r="8"/>'), "works"),
        (_sign('<rect class="planned" x="3" y="3" width="18" height="18"/>'), "planned"),
    ]
    if packs["draws"]["count"]:
        level = '<rect class="gauge" x="4" y="10" width="5" height="11"/>'
        square = '<rect class="square" x="2" y="2" width="20" height="20"/>'
        signs.append((_sign(level + square), "how often it works among the draws"))
    limits = sorted(slugs, key=shapes.order)
    return signs + [(_sign(f'<g class="limit">{shapes.stroke(slug)}</g>'), shapes.called(slug)) for slug in limits]


def _sign(marks: str) -> Markup:
    return Markup(f'<svg class="sign" aria-hidden="true" viewBox="0 0 24 24">{marks}</svg>')  # noqa: S704 - ours
