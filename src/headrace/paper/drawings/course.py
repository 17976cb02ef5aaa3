"""The power trail as a drawing: a course of water, wider upstream by each loss that joins it.

It is worked out once, along the course and across it, and put on paper two ways: lying, tool on the left, for a desk
and a sheet of paper; upright, tool at the top, for a phone. Widths across the course are to scale with the watts, and
so is the width of every loss that rises out of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from headrace.paper.hatch import hatched
from headrace.paper.measures import pace
from headrace.paper.svg import figure, folded, text
from headrace.paper.words import band, giver, middle, spread, watts

Record = dict[str, Any]
Point = tuple[float, float]
Put = Callable[[float, float], Point]

SIZE = 13.0  # of the letters
LINE, MOST_LINES = 15.0, 3  # apart, and so many under a link
HAIR = 0.9  # what is thinner is drawn as a hair
INNER = 7.0  # radius a loss turns with
LEAD = 3.0  # of a loss before it turns


@dataclass(frozen=True)
class Form:
    """One way of putting the course on paper, in the units of the drawing."""

    width: float
    tool: float  # along the course
    cells: float
    link: float  # the shortest
    across: float  # of the power that has the full width
    put: Put


@dataclass(frozen=True)
class Reach:
    """One link on the drawing: from ``start`` to ``end`` along the course, ``out`` wide, joined by ``loss``."""

    link: Record
    start: float
    end: float
    out: float
    loss: float

    @property
    def turn(self) -> float:
        """Where along the course the middle of the rising loss stands."""
        return self.end - LEAD - INNER - self.loss / 2.0

    @property
    def rise(self) -> float:
        """How far across the loss rises; a wide one higher, so that it keeps its shape."""
        return self.out + self.loss + INNER + 16.0 + 0.6 * self.loss


def course(state: Record, full: float, *, upright: bool = False) -> Markup:
    """Return the drawing of one duty state; empty when nothing turns.

    Parameters
    ----------
    state
        One entry of ``states`` in the record of ``losses``, with or without bands.
    full
        Power that has the full width, the same for all states drawn beside each other. [W]
    upright
        Tool at the top, cells at the bottom.
    """
    if not state["links"]:
        return Markup("")
    return _upright(state, full) if upright else _lying(state, full)


def says(state: Record) -> str:
    """Return what the drawing shows, in words."""
    losses = ", ".join(f"{link['name']} {watts(middle(link['loss_W']))} ({link['basis']})" for link in state["links"])
    return (
        f"Into the work {watts(middle(state['useful_W']))}. Lost on the way back to {giver(state)}: {losses}. "
        f"From {giver(state)} {band(state['source_W'], watts)}."
    )


def _title(state: Record) -> str:
    return f"Where the watts go in {state['name']}"


def _reaches(state: Record, form: Form, full: float, share: float = 0.0) -> list[Reach]:
    """Return the links along the course; each is long enough for its loss, and the room left is shared out."""
    scale = form.across / full
    losses = [middle(link["loss_W"]) * scale for link in state["links"]]
    lengths = [max(form.link, loss + LEAD + INNER + 8.0) for loss in losses]
    more = max(0.0, share - sum(lengths)) / len(lengths)
    reaches, start = [], form.tool
    for link, loss, length in zip(state["links"], losses, lengths, strict=True):
        reaches.append(Reach(link, start, start + length + more, middle(link["power_out_W"]) * scale, loss))
        start += length + more
    return reaches


def _at(point: Point) -> str:
    return f"{point[0]:.1f} {point[1]:.1f}"


def _water(reach: Reach, put: Put) -> str:
    corners = ((reach.start, 0.0), (reach.end, 0.0), (reach.end, reach.out), (reach.start, reach.out))
    return f'<path class="water" d="M{"L".join(_at(put(*corner)) for corner in corners)}Z"/>'


def _loss(reach: Reach, put: Put, rise: float) -> str:
    """Return a loss as it leaves the course: as wide all along as its watts."""
    wide_as = max(reach.loss, HAIR)
    low, bend = reach.out, reach.end - LEAD
    centre = (bend, low + wide_as + INNER)  # of both quarter circles
    outer, inner = (_quarter(centre, radius) for radius in (INNER + wide_as, INNER))
    corners = [(reach.end, low), *outer, (outer[-1][0], rise), (inner[-1][0], rise), *inner[::-1]]
    corners.append((reach.end, low + wide_as))
    outline = [put(*corner) for corner in corners]
    link = reach.link
    told = f"{link['name']}: {band(link['loss_W'], watts)}, {link['basis']}"
    fine = wide_as < 2.0
    return (
        f"<g><title>{escape(told)}</title>"
        + ("" if fine else hatched(outline, link["basis"], "heat"))
        + f'<path class="loss{" thin" if fine else ""}" d="M{"L".join(map(_at, outline))}Z"/></g>'
    )


def _quarter(centre: Point, radius: float) -> list[Point]:
    """Return a quarter circle, from along the course to across it."""
    steps = max(4, round(radius / 2.0))
    turns = [math.pi / 2.0 * step / steps for step in range(steps + 1)]
    return [(centre[0] - radius * math.sin(turn), centre[1] - radius * math.cos(turn)) for turn in turns]


# --- lying --------------------------------------------------------------------------------------

WIDTH = 1120.0


def _lying(state: Record, full: float) -> Markup:
    form = Form(WIDTH, 132.0, 132.0, 58.0, 168.0, lambda along, across: (along, -across))
    reaches = _reaches(state, form, full, WIDTH - form.tool - form.cells)
    useful, source = (middle(state[key]) * form.across / full for key in ("useful_W", "source_W"))
    end = reaches[-1].end
    tool = Block(_tool_words(state), 0.0, useful, "work", form.tool)
    cells = Block(_cells_words(state), end, source, "cells", form.cells)
    base = max(*(reach.rise for reach in reaches), tool.top, cells.top) + 22.0

    def put(along: float, across: float) -> Point:
        return along, base - across

    parts = [tool.drawn(base), cells.drawn(base)]
    for reach in reaches:
        parts += [_water(reach, put), _loss(reach, put, reach.rise)]
    parts += [_beneath(reach, base) for reach in reaches]
    parts.append(f'<line class="ink" x1="0" y1="{base:.1f}" x2="{end + form.cells:.1f}" y2="{base:.1f}"/>')
    parts.append(text(0.0, base + 19.0, "the tool") + text(0.0, base + 36.0, _tip(state), "soft"))
    parts.append(text(end + 8.0, base + 19.0, giver(state)))
    lines = max(len(_named(reach)) for reach in reaches)
    high = base + 30.0 + LINE * lines
    return figure("course lying", end + form.cells, high, _title(state), says(state), "".join(parts))


def _beneath(reach: Reach, base: float) -> str:
    """Return the words of a link: watts over its loss; name and basis under the course; the hair that ends it."""
    middle_x = (reach.start + reach.end) / 2.0
    rows = _named(reach)
    return (
        text(reach.turn, base - reach.rise - 6.0, watts(middle(reach.link["loss_W"])), "figure", "middle")
        + f'<line class="hair" x1="{reach.end:.1f}" y1="{base - reach.out - reach.loss:.1f}" '
        + f'x2="{reach.end:.1f}" y2="{base + 5.0:.1f}"/>'
        + "".join(text(middle_x, base + 19.0 + LINE * row, line, "", "middle") for row, line in enumerate(rows))
        + text(middle_x, base + 20.0 + LINE * len(rows), reach.link["basis"], "soft", "middle")
    )


def _named(reach: Reach) -> list[str]:
    """Return a link's name in as many lines as fit under it."""
    return folded(reach.link["name"], reach.end - reach.start - 4.0, SIZE, MOST_LINES)


@dataclass(frozen=True)
class Block:
    """What stands at an end of the course, with its words on it, or above it where they do not fit."""

    rows: Sequence[tuple[str, str]]  # words and their class
    x: float
    across: float
    kind: str
    width: float

    @property
    def fits(self) -> bool:
        """Whether the words find room on the block."""
        return self.across > 20.0 * len(self.rows) + 14.0

    @property
    def top(self) -> float:
        """How far block and words reach across."""
        return self.across if self.fits else self.across + 20.0 * len(self.rows) + 6.0

    def drawn(self, base: float) -> str:
        """Return the block standing on the line at ``base``."""
        top = base - self.across
        first = top + 22.0 if self.fits else top - 20.0 * (len(self.rows) - 1) - 12.0
        clear = 24.0 if self.x else 0.0  # of the watts over the last loss
        left, on = (self.x + 12.0, f"on{self.kind} ") if self.fits else (self.x + clear, "")
        words = (text(left, first + 20.0 * row, said, f"{on}{kind}") for row, (said, kind) in enumerate(self.rows))
        return (
            f'<rect class="{self.kind}" x="{self.x:.1f}" y="{top:.1f}" '
            f'width="{self.width:.1f}" height="{self.across:.1f}"/>' + "".join(words)
        )


def _tool_words(state: Record) -> list[tuple[str, str]]:
    if not middle(state["useful_W"]):
        return [("no load", "small")]
    return _power("into the work", state["useful_W"])


def _cells_words(state: Record) -> list[tuple[str, str]]:
    return _power(f"from {giver(state)}", state["source_W"])


def _power(where: str, power: Any) -> list[tuple[str, str]]:
    rows = [(where, "small"), (watts(middle(power)), "great")]
    return [*rows, (spread(power, watts), "small")] if spread(power, watts) else rows


def _tip(state: Record) -> str:
    said = pace(state)
    return f"{said.name} {said.say(middle(state[said.field()]))}"


# --- upright ------------------------------------------------------------------------------------

NARROW = 320.0  # a phone of 360 px shows it in its own size


def _upright(state: Record, full: float) -> Markup:
    form = Form(NARROW, 46.0, 54.0, 40.0, 118.0, lambda along, across: (across, along))
    reaches = _reaches(state, form, full)
    useful, source = (middle(state[key]) * form.across / full for key in ("useful_W", "source_W"))
    end = reaches[-1].end
    column = max(reach.out + reach.loss for reach in reaches) + INNER + 16.0
    parts = [
        f'<rect class="work" x="0" y="0" width="{useful:.1f}" height="{form.tool}"/>',
        f'<rect class="cells" x="0" y="{end:.1f}" width="{source:.1f}" height="{form.cells}"/>',
    ]
    for reach in reaches:
        parts += [_water(reach, form.put), _loss(reach, form.put, column)]
        parts.append(
            f'<line class="hair" x1="0" y1="{reach.end:.1f}" x2="{reach.out + reach.loss + 4.0:.1f}" '
            f'y2="{reach.end:.1f}"/>'
        )
        parts.append(_beside(reach, column + 7.0))
    parts.append(f'<line class="ink" x1="0.75" y1="0" x2="0.75" y2="{end + form.cells:.1f}"/>')
    parts.append(_ends(_tool_words(state), useful, 18.0, column + 7.0, _tip(state)))
    parts.append(_ends(_cells_words(state), source, end + 24.0, column + 7.0, ""))
    return figure("course upright", NARROW, end + form.cells + 2.0, _title(state), says(state), "".join(parts))


def _beside(reach: Reach, x: float) -> str:
    """Return the words of a link beside the end of its loss."""
    watt = watts(middle(reach.link["loss_W"]))
    (name,) = folded(reach.link["name"], NARROW - x, SIZE, 1)
    figures = f'{watt}<tspan class="soft" dx="6">{escape(reach.link["basis"])}</tspan>'
    return (
        text(x, reach.turn - 3.0, name)
        + f'<text class="figure" x="{x:.1f}" y="{reach.turn + 12.0:.1f}">{figures}</text>'
    )


def _ends(rows: list[tuple[str, str]], across: float, y: float, x: float, more: str) -> str:
    """Return the words at an end of the upright course, beside it."""
    first = rows[0][0]
    said = first if len(rows) == 1 else f"{rows[1][0]} {first}"
    return (
        f'<line class="hair" x1="{across:.1f}" y1="{y - 4.0:.1f}" x2="{x - 4.0:.1f}" y2="{y - 4.0:.1f}"/>'
        + text(x, y, said, "figure")
        + text(x, y + 16.0, more or (rows[2][0] if len(rows) > 2 else ""), "soft")
    )
