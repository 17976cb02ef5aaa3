"""The power trail as a drawing: a course of water, wider upstream by each loss that joins it."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup, escape

from headrace.paper.words import watts

Record = dict[str, Any]

STEP = 74.0  # width of a link
TOOL = 120.0
CELLS = 120.0
HEIGHT = 150.0  # of the power of the source
TOP = 84.0  # room above for the losses that rise out of it
BOTTOM = 62.0
RISE = 16.0


def course(state: Record) -> Markup:
    """Return an SVG of one duty state, tool on the left, cells on the right; empty when nothing turns.

    Heights are to scale with the power of the source. A loss is hatched where its number was given, measured or
    published, dotted where it was assumed.
    """
    links = state["links"]
    if not links:
        return Markup("")
    scale = HEIGHT / state["source_W"]
    base = TOP + HEIGHT
    width = TOOL + STEP * len(links) + CELLS
    parts = [_defs(), _tool(state, scale, base)]
    for place, link in enumerate(links):
        parts.append(_link(link, TOOL + place * STEP, scale, base, raised=place % 2 == 1))
    parts.append(_cells(state, TOOL + STEP * len(links), base))
    parts.append(f'<line class="ink" x1="0" y1="{base}" x2="{width}" y2="{base}"/>')
    label = f"Power from the cells to the tool in {state['name']}: {watts(state['source_W'])}"
    return Markup(  # noqa: S704 - every name that comes from the file is escaped
        f'<svg class="course" role="img" viewBox="0 0 {width:.0f} {base + BOTTOM:.0f}">'
        f"<title>{escape(label)}</title>{''.join(parts)}</svg>"
    )


def _defs() -> str:
    return (
        '<defs><pattern id="known" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<line class="heat" x1="0" y1="0" x2="0" y2="5"/></pattern>'
        '<pattern id="assumed" width="5" height="5" patternUnits="userSpaceOnUse">'
        '<circle class="heatdot" cx="2.5" cy="2.5" r="1"/></pattern></defs>'
    )


def _tool(state: Record, scale: float, base: float) -> str:
    height = state["useful_W"] * scale
    tip = f"{state['tip_speed_m_s']:.0f} m/s at the tip"
    said = f"into the work {watts(state['useful_W'])}" if state["useful_W"] else "no load"
    return (
        f'<rect class="work" x="0" y="{base - height:.1f}" width="{TOOL}" height="{height:.1f}"/>'
        f'<text x="0" y="{base - height - 8:.1f}">{said}</text>'
        f'<text x="0" y="{base + 18}">the tool</text><text class="soft" x="0" y="{base + 34}">{tip}</text>'
    )


def _link(link: Record, x: float, scale: float, base: float, *, raised: bool) -> str:
    """Draw one link: what passes through it, and its loss rising out of the course."""
    out, loss = link["power_out_W"] * scale, link["loss_W"] * scale
    top = base - out - loss
    fill = "assumed" if link["basis"] == "assumed" else "known"
    wide = max(loss, 0.8)
    left = x + STEP - 14.0 - wide
    foot = f'<rect class="water" x="{x:.1f}" y="{base - out:.1f}" width="{STEP}" height="{out:.1f}"/>'
    rising = (
        f'<path class="loss" fill="url(#{fill})" d="M{x + STEP:.1f} {top:.1f} H{left + wide + 6:.1f} '
        f"Q{left + wide:.1f} {top:.1f} {left + wide:.1f} {top - 8:.1f} V{top - RISE:.1f} H{left:.1f} "
        f'V{top:.1f} Q{left:.1f} {top + loss:.1f} {left + 6:.1f} {top + loss:.1f} H{x + STEP:.1f} Z"/>'
    )
    name = str(escape(link["name"]))
    low = 18 + (16 if raised else 0)
    return (
        foot
        + rising
        + f'<text class="figure" text-anchor="middle" x="{left + wide / 2:.1f}" y="{top - RISE - 5:.1f}">'
        + f"{watts(link['loss_W'])}</text>"
        + f'<line class="hair" x1="{x + STEP:.1f}" y1="{top:.1f}" x2="{x + STEP:.1f}" y2="{base + 4}"/>'
        + f'<text text-anchor="middle" x="{x + STEP / 2:.1f}" y="{base + low}">{name}</text>'
    )


def _cells(state: Record, x: float, base: float) -> str:
    return (
        f'<rect class="cells" x="{x:.1f}" y="{base - HEIGHT:.1f}" width="{CELLS}" height="{HEIGHT}"/>'
        f'<text class="oncells" x="{x + 12:.1f}" y="{base - HEIGHT + 24:.1f}">from the cells</text>'
        f'<text class="oncells" x="{x + 12:.1f}" y="{base - HEIGHT + 44:.1f}">{watts(state["source_W"])}</text>'
    )
