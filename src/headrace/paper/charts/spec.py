"""The form of a chart's specification and the manner all charts share. Its data always stand inside it."""

from __future__ import annotations

from typing import Any, TypedDict

# Tones by name. A drawing must follow the light, so the still picture swaps each for a class of the page.
INK, SOFT, HAIR, WATER, HEAT = "#010101", "#020202", "#030303", "#040404", "#050505"
TONES = {INK: "ink", SOFT: "soft", HAIR: "line", WATER: "water", HEAT: "heat"}

FONT = "Source Sans Pro"  # the page's sans, by the name the renderer knows it under
LETTERS = 14
WIDTH, HEIGHT, BESIDE = 270, 104, 104  # of the plot, and the room right of it for names

Point = dict[str, float | str]


class Data(TypedDict):
    """The points of a layer, carried inside the specification."""

    values: list[Point]


class Layer(TypedDict):
    """One kind of mark on the points of its own data."""

    data: Data
    mark: dict[str, Any]
    encoding: dict[str, Any]


class Spec(TypedDict):
    """A chart: layers over one pair of axes."""

    width: int
    height: int
    padding: dict[str, int]
    autosize: str
    background: None
    layer: list[Layer]
    config: dict[str, Any]


def chart(layers: list[Layer]) -> Spec:
    """Return a chart of these layers in the house manner."""
    return {
        "width": WIDTH,
        "height": HEIGHT,
        "padding": {"left": 44, "top": 18, "right": BESIDE, "bottom": 24},
        "autosize": "none",
        "background": None,
        "layer": layers,
        "config": {
            "aria": False,
            "font": FONT,
            "view": {"stroke": None},
            "axis": {
                "labelFontSize": LETTERS,
                "labelColor": SOFT,
                "gridColor": HAIR,
                "domainColor": INK,
                "tickColor": INK,
                "tickSize": 4,
                "labelPadding": 4,
                "title": None,
            },
            "axisX": {"grid": False},
            "axisY": {"domain": False, "ticks": False},
            "text": {"fontSize": LETTERS, "font": FONT},
        },
    }


def axis(field: str, domain: tuple[float, float], ticks: int, unit: str) -> dict[str, Any]:
    """Return the encoding of one axis over a fixed domain; its last label carries the unit."""
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"domain": list(domain), "nice": False, "zero": False},
        "axis": {"tickCount": ticks, "labelExpr": f"datum.label + (datum.index == 1 ? ' {unit}' : '')"},
    }
