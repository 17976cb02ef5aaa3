"""A machine from the side: its two axles, its handle, and its centre of mass before and after."""

from __future__ import annotations

from typing import Any, NamedTuple

from markupsafe import Markup

from headrace.paper.balance import KILOGRAM, place_of
from headrace.paper.svg import figure, text
from headrace.paper.words import percent, plain

Record = dict[str, Any]

WIDE, SIZE = 460.0, 17.0  # of the drawing, and of its letters
MARGIN, SKY = 58.0, 20.0
WHEEL, CENTRE = 0.16, 9.0  # radius of a wheel, in wheelbases, as drawn; and of the mark of a centre
FLAT = 0.5  # height a centre is drawn at, in wheelbases, where the file gives none


class Scale(NamedTuple):
    """From metres along and above the ground to the drawing."""

    left: float  # m
    metre: float
    ground: float

    def at(self, along: float, up: float) -> tuple[float, float]:
        """Return a place in the drawing."""
        return MARGIN + (along - self.left) * self.metre, self.ground - up * self.metre


def side_view(record: Record) -> Markup:
    """Return the drawing for the typical record of a balance; front to the left."""
    base, handle = record["wheelbase_m"], record["handle_m"]
    before, after = record["before"], record["after"]
    wheel = WHEEL * base
    along = [-wheel, base + wheel, before["centre_m"], after["centre_m"]]
    along += [] if handle is None else [handle]
    left = min(along)
    metre = (WIDE - 2.0 * MARGIN) / (max(along) - left)
    heights = [_height(poise, base) for poise in (before, after)]
    top = max(2.0 * wheel, *heights, *([] if handle is None else [_grip(base)]))
    scale = Scale(left, metre, SKY + top * metre)
    parts = [_ground(scale), _frame(scale, base, handle, wheel)]
    parts += [_axle(scale, x, wheel, after, name) for x, name in ((0.0, "front"), (base, "rear"))]
    parts.append(_centres(scale, record, heights))
    body = f'<g style="font-size:{SIZE}px">{"".join(parts)}</g>'
    return figure("side", WIDE, scale.ground + 3.4 * SIZE, "The machine from the side", says(record), body)


def says(record: Record) -> str:
    """Return what the drawing shows, in words."""
    before, after = (place_of(record[when]["centre_m"]) for when in ("before", "after"))
    said = f"The centre of mass was {before} and now is {after}"
    height = record["after"]["height_m"]
    return f"{said}, {100.0 * height:.0f} cm up." if height is not None else f"{said}; its height is not told."


def _height(poise: Record, base: float) -> float:
    return float(FLAT * base if poise["height_m"] is None else poise["height_m"])


def _grip(base: float) -> float:
    return 0.9 * base


def _ground(scale: Scale) -> str:
    return f'<path class="hair" d="M0 {scale.ground:.1f}H{WIDE:.0f}"/>'


def _frame(scale: Scale, base: float, handle: float | None, wheel: float) -> str:
    """Return the line from axle to axle, and the handle."""
    (x1, y), (x2, _) = scale.at(0.0, wheel), scale.at(base, wheel)
    drawn = f'<path class="ink" d="M{x1:.1f} {y:.1f}H{x2:.1f}"/>'
    if handle is None:
        return drawn
    foot = base if abs(handle - base) < abs(handle) else 0.0
    (x3, y3), (x4, y4) = scale.at(foot, wheel), scale.at(handle, _grip(base))
    return f'{drawn}<path class="ink" d="M{x3:.1f} {y3:.1f}L{x4:.1f} {y4:.1f}"/>'


def _axle(scale: Scale, along: float, wheel: float, after: Record, name: str) -> str:
    """Return a wheel with what a scale shows under it."""
    x, y = scale.at(along, wheel)
    load = plain(after[f"{name}_N"] / KILOGRAM, "kg")
    share = percent(after[f"{name}_share"])
    return (
        f'<circle class="hollow ink" cx="{x:.1f}" cy="{y:.1f}" r="{wheel * scale.metre:.1f}"/>'
        + text(x, scale.ground + 1.4 * SIZE, load, "figure", "middle")
        + text(x, scale.ground + 2.6 * SIZE, f"{name}, {share}", "soft", "middle")
    )


def _centres(scale: Scale, record: Record, heights: list[float]) -> str:
    """Return both centres, each with its words on the side away from the other."""
    along = [record[when]["centre_m"] for when in ("before", "after")]
    sides = (-1.0, 1.0) if along[0] <= along[1] else (1.0, -1.0)
    marks = zip(along, heights, ("before", "now"), sides, strict=True)
    return "".join(_centre(scale.at(x, up), when, side) for x, up, when, side in marks)


def _centre(place: tuple[float, float], when: str, side: float) -> str:
    """Return the draughtsman's mark of a centre of mass, two quarters filled where it is now."""
    x, y, r = *place, CENTRE
    quarters = (
        f'<path class="cells" d="M{x:.1f} {y:.1f}v{-r}a{r} {r} 0 0 1 {r} {r}zv{r}a{r} {r} 0 0 1 {-r} {-r}z"/>'
        if when == "now"
        else f'<path class="hair" d="M{x - r:.1f} {y:.1f}h{2 * r}M{x:.1f} {y - r:.1f}v{2 * r}"/>'
    )
    said = text(
        x + side * (r + 6.0),
        y + 0.35 * SIZE,
        when,
        "figure" if when == "now" else "soft",
        "end" if side < 0.0 else "start",
    )
    return f'<circle class="hollow ink" cx="{x:.1f}" cy="{y:.1f}" r="{r}"/>{quarters}{said}'
