"""The day's curves: what the tip, the pack and the winding do until a full pack is worked out, each with its band.

What jumps from one duty state to the next (speed, volts) has a curve for each state, so that it can be read; what
creeps (charge, warmth) has one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from headrace.paper.charts.spec import (
    BESIDE,
    HEAT,
    HEIGHT,
    INK,
    LETTERS,
    SOFT,
    WATER,
    WIDTH,
    Layer,
    Point,
    Spec,
    axis,
    chart,
)
from headrace.paper.measures import pace
from headrace.paper.svg import folded
from headrace.paper.words import ZERO, empties, middle, minutes

Record = dict[str, Any]
Turn = Callable[[float], float]
Extreme = Callable[[list[float]], float]

MOST = 160  # points of one curve
TEETH = 24  # a tooth in the edge of a band narrower than a so-manieth of the day is filled
SAMPLE, GAP = (6, 26), 32  # px from the plot: of a piece of a curve beside its name, and of the name
DASHES = ([1, 0], [7, 3], [2, 3], [9, 3, 2, 3])  # of the duty states, the first the commonest
ENDS = ("typical", "low", "high")


@dataclass(frozen=True)
class Curve:
    """One chart and the words that go with it."""

    name: str
    says: str
    spec: Spec


@dataclass(frozen=True)
class Channel:
    """A channel of the trace as it is read: in which unit, by duty state or as one, and held against which limit."""

    key: str
    name: str
    unit: str
    turn: Turn
    by_state: bool = False
    limit_says: str = ""  # the word on the line of its limit
    ends: tuple[float, float] | None = None  # of the axis, where what is shown has ends of its own


def _same(value: float) -> float:
    return value


CHANNELS = (
    Channel("terminal_voltage_V", "Pack voltage", "V", _same, True, "cuts out"),
    Channel("charge", "Charge left", "%", lambda share: 100.0 * share, False, "reserve", (0.0, 100.0)),
    Channel("winding_temperature_K", "Winding", "°C", lambda k: k - ZERO, False, "limit"),
)
RUNNING = Channel("running", "Draws still at work", "%", lambda share: 100.0 * share, ends=(0.0, 100.0))


def curves(record: Record) -> list[Curve]:
    """Return the charts of the day in the record of ``design``; none where no day was worked."""
    trace = record["trace"]
    if len(trace["time_s"]) < 2:
        return []
    drawn = record["draws"]["count"] > 0
    channels = (_pace(record), *(CHANNELS if empties(record["pack"]) else CHANNELS[2:]))
    found = [_curve(record, channel, drawn, named=channel is channels[0]) for channel in channels]
    return [*found, _curve(record, RUNNING, False)] if drawn else found


def _pace(record: Record) -> Channel:
    """Return the channel of the tool's pace, held against the least that is wanted."""
    said = pace(record["day"])
    return Channel(said.field(), said.title, said.unit, said.turn, True, "least wanted")


def _curve(record: Record, channel: Channel, drawn: bool, *, named: bool = False) -> Curve:
    trace = record["trace"]
    groups = _groups(trace, channel)
    points = {name: _points(trace, channel, rows) for name, rows in groups.items()}
    limit = _limit(record, channel)
    domain = channel.ends or _domain([point for row in points.values() for point in row], limit)
    last = trace["time_s"][-1] / 60.0
    x, y = axis("t", (0.0, last), 5, "min"), axis("typical", domain, 4, channel.unit)
    layers = [_band(trace, channel, x, y)] if drawn else []
    layers += _wanted(record, x, y, domain, named=named)
    layers += _against(channel, limit, last, x, y) if limit is not None else []
    for place, row in enumerate(points.values()):
        layers.append(_line(row, DASHES[place % len(DASHES)], x, y))
    if channel.by_state:
        layers += _names(points, last, domain, x, y)
    return Curve(f"{channel.name}, {channel.unit}", _says(channel, points), chart(layers))


def _groups(trace: Record, channel: Channel) -> dict[str, list[int]]:
    """Return the rows of each curve, the commonest duty state first; thinned, ends kept."""
    every = range(len(trace["time_s"]))
    if not channel.by_state:
        return {"": _thinned(list(every))}
    rows: dict[str, list[int]] = {}
    for row in every:
        rows.setdefault(trace["state"][row], []).append(row)
    return {name: _thinned(found) for name, found in sorted(rows.items(), key=lambda item: -len(item[1]))}


def _thinned(rows: list[int]) -> list[int]:
    step = max(1, math.ceil(len(rows) / MOST))
    kept = rows[::step]
    return kept if kept[-1] == rows[-1] else [*kept, rows[-1]]


def _points(trace: Record, channel: Channel, rows: list[int]) -> list[Point]:
    values = trace[channel.key]
    ends: Record = values if isinstance(values, dict) else dict.fromkeys(ENDS, values)
    return [
        {"t": round(trace["time_s"][row] / 60.0, 3)}
        | {end: round(channel.turn(ends[end][row]), 4) for end in ENDS}
        for row in rows
    ]  # fmt: skip


def _limit(record: Record, channel: Channel) -> float | None:
    """Return what the record holds the channel against, as it is read; None where there is no limit."""
    found = next((limit["value"] for limit in record["trace"]["limits"] if limit["channel"] == channel.key), None)
    return channel.turn(found) if found is not None else None


def _domain(points: list[Point], limit: float | None) -> tuple[float, float]:
    values = [float(point[end]) for point in points for end in ("low", "high", "typical")]
    values += [limit] if limit is not None else []
    low, high = min(values), max(values)
    room = 0.04 * (high - low) or 1.0
    return low - (room if low else 0.0), high + room


def _layer(points: list[Point], mark: dict[str, Any], x: Any, y: Any, **more: Any) -> Layer:
    return {"data": {"values": points}, "mark": mark, "encoding": {"x": x, "y": y, **more}}


def _band(trace: Record, channel: Channel, x: Any, y: Any) -> Layer:
    """Return the band, one for all duty states, its teeth filled.

    Its edges jump with every draw that drops out and from state to state. Filling only ever widens it, and an edge that
    rises or falls throughout stays as it is.
    """
    points = _points(trace, channel, list(range(len(trace["time_s"]))))
    reach = max(1, len(points) // (2 * TEETH))
    lows = _filled([float(point["low"]) for point in points], reach, min, max)
    highs = _filled([float(point["high"]) for point in points], reach, max, min)
    kept = _thinned(list(range(len(points))))
    edges: list[Point] = [{"t": points[k]["t"], "low": lows[k], "high": highs[k]} for k in kept]
    area = {"type": "area", "color": WATER, "opacity": 0.75, "line": False, "interpolate": "monotone"}
    return _layer(edges, area, x, {**y, "field": "low"}, y2={"field": "high"})


def _filled(edge: list[float], reach: int, outer: Extreme, inner: Extreme) -> list[float]:
    """Return an edge without the teeth that are narrower than two reaches, each filled out to its neighbours."""
    for extreme in (outer, inner):
        edge = [extreme(edge[max(0, k - reach) : k + reach + 1]) for k in range(len(edge))]
    return edge


def _line(points: list[Point], dash: list[int], x: Any, y: Any) -> Layer:
    mark = {"type": "line", "color": INK, "strokeWidth": 1.5, "strokeDash": dash, "strokeJoin": "round"}
    return _layer(points, mark, x, y)


def _against(channel: Channel, limit: float, last: float, x: Any, y: Any) -> list[Layer]:
    """Return the rule of a limit with its word on it, where the day begins."""
    ends: list[Point] = [{"t": 0.0, "typical": limit}, {"t": last, "typical": limit}]
    rule = {"type": "line", "color": HEAT, "strokeWidth": 1.2, "strokeDash": [5, 3]}
    word = {"type": "text", "align": "left", "dx": 4, "dy": -3, "baseline": "bottom", "color": INK}
    return [_layer(ends, rule, x, y), _layer(ends[:1], {**word, "text": channel.limit_says}, x, y)]


def _wanted(record: Record, x: Any, y: Any, domain: tuple[float, float], *, named: bool) -> list[Layer]:
    """Return the hairline at the end of the job that is wanted, with its words in the first chart."""
    wanted = middle(record["day"]["wanted_s"])
    if wanted is None or wanted > record["trace"]["time_s"][-1]:
        return []
    ends: list[Point] = [{"t": wanted / 60.0, "typical": level} for level in domain]
    rule = _layer(ends, {"type": "line", "color": SOFT, "strokeWidth": 0.8}, x, y)
    words = {"type": "text", "align": "center", "dy": -3, "baseline": "bottom", "color": SOFT}
    words["text"] = f"{minutes(wanted)} wanted"
    return [rule, _layer(ends[1:], words, x, y)] if named else [rule]


def _names(points: dict[str, list[Point]], last: float, domain: tuple[float, float], x: Any, y: Any) -> list[Layer]:
    """Return each state's name beside the plot with a piece of its curve, in the order in which the curves end."""
    pixel, high = last / WIDTH, (domain[1] - domain[0]) / HEIGHT
    apart = 1.35 * LETTERS * high
    ends = sorted((float(row[-1]["typical"]), place, name) for place, (name, row) in enumerate(points.items()))
    half = apart * (len(ends) - 1) / 2.0
    middle_of = sum(value for value, _, _ in ends) / len(ends)
    room = half + apart / 2.0
    middle_of = max(min(middle_of, domain[1] - room), domain[0] + room)
    layers, names = [], list[Point]()
    for row, (_, place, name) in enumerate(ends):
        level = middle_of - half + apart * row
        piece: list[Point] = [{"t": last + px * pixel, "typical": level} for px in SAMPLE]
        layers.append(_line(piece, DASHES[place % len(DASHES)], x, y))
        (short,) = folded(name, BESIDE - GAP, LETTERS, 1)
        names.append({"t": last, "typical": level, "name": short})
    mark = {"type": "text", "align": "left", "dx": GAP, "baseline": "middle", "color": INK}
    return [*layers, _layer(names, mark, x, y, text={"field": "name", "type": "nominal"})]


def _says(channel: Channel, points: dict[str, list[Point]]) -> str:
    said = []
    for name, row in points.items():
        where = f"in {name} " if name else ""
        values = [float(point["typical"]) for point in row]
        said.append(
            f"{where}{_plain(values[0])} {channel.unit} at first, {_plain(values[-1])} at last, "
            f"{_plain(max(values))} at most"
        )
    return f"{channel.name}: {'; '.join(said)}."


def _plain(value: float) -> str:
    """Return a number to three digits, never in powers of ten."""
    return f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.3g}"
