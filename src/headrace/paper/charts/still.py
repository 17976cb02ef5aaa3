"""A chart's specification as a still drawing that takes its tones and its type from the page."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree as ET

from markupsafe import Markup, escape

from headrace.paper.charts.spec import TONES, Spec
from headrace.paper.svg import figure

VERSION = "6.4"  # of the grammar the specifications are written in
KEPT = {
    "g": ("transform",),
    "line": ("transform", "x1", "x2", "y1", "y2"),
    "path": ("d", "transform"),
    "text": ("transform", "text-anchor"),
}  # of each kind of mark, where it stands; its looks are the page's, but for those below
LOOKS = ("stroke-width", "stroke-dasharray", "opacity", "fill-opacity", "font-size")
LONG = re.compile(r"-?\d+\.\d{2,}")


def still(spec: Spec, title: str, says: str) -> Markup:
    """Return a chart drawn: no colour, font or script of its own.

    Parameters
    ----------
    spec
        What to draw.
    title, says
        What it shows, and what can be read off it.
    """
    drawn = ET.fromstring(_rendered(spec))  # noqa: S314 - see above
    _, _, width, height = (float(part) for part in drawn.attrib["viewBox"].split())
    return figure("chart", width, height, title, says, "".join(_mark(part) for part in drawn))


def _rendered(spec: Spec) -> str:
    import vl_convert

    _measures()
    return str(vl_convert.vegalite_to_svg(dict(spec), vl_version=VERSION))


@cache
def _measures() -> None:
    """Let the renderer set text in the page's own sans."""
    import font_source_sans_pro as sans
    import vl_convert

    vl_convert.register_font_directory(sans.font_directory)


def _mark(part: ET.Element) -> str:
    """Return one mark with what is in it: its place kept, its tone a class of the page; "" where nothing shows."""
    kind = part.tag.rpartition("}")[2]
    inside = "".join(_mark(child) for child in part)
    words = str(escape(part.text or "")) if kind == "text" else ""
    if kind not in KEPT or not (inside or words or kind == "line" or part.get("d")):
        return ""
    if kind == "path" and not any(part.get(paint, "none") in TONES for paint in ("fill", "stroke")):
        return ""
    kept = {name: part.attrib[name] for name in (*KEPT[kind], *LOOKS) if name in part.attrib}
    if kind == "g" and not kept:
        return inside
    tones = [f"{p}-{TONES[part.attrib[p]]}" for p in ("fill", "stroke") if part.get(p) in TONES]
    if tones:
        kept["class"] = " ".join(tones)
    said = "".join(f' {name}="{LONG.sub(_short, value)}"' for name, value in kept.items() if value not in ("", "1"))
    return f"<{kind}{said}>{inside or words}</{kind}>"


def _short(long: re.Match[str]) -> str:
    return f"{float(long[0]):.1f}".removesuffix(".0")
