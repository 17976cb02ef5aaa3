"""The day's curves: the numbers of the trace in a specification of their own, drawn in the tones of the page."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from typing import Any

import pytest

from headrace.design.trace import limits
from headrace.machine import read_text
from headrace.paper.charts.day import MOST, Curve, curves
from headrace.paper.charts.spec import HEIGHT, LETTERS, TONES, WIDTH
from headrace.paper.charts.still import still
from headrace.paper.words import ZERO
from tests.machines import EXAMPLE
from tests.paper.records import parsed, record, trace


def named(found: list[Curve], name: str) -> Curve:
    return next(curve for curve in found if curve.name.startswith(name))


def points(curve: Curve) -> list[list[dict[str, float]]]:
    """Return the points of each curve, which have the ends of their band with them."""
    return [
        [{k: float(v) for k, v in point.items()} for point in layer["data"]["values"]]
        for layer in curve.spec["layer"]
        if layer["mark"]["type"] == "line" and "low" in layer["data"]["values"][0]
    ]


def test_there_is_a_curve_for_speed_volts_charge_and_warmth_and_for_who_still_works() -> None:
    names = [curve.name for curve in curves(record())]
    assert names == ["Tip speed, m/s", "Pack voltage, V", "Charge left, %", "Winding, °C", "Draws still at work, %"]
    assert len(curves(record(draws=False))) == 4


def test_every_point_is_one_of_the_trace_in_the_units_that_are_read() -> None:
    found, held = curves(record()), trace()
    for name, key, scale, zero in (
        ("Pack", "terminal_voltage_V", 1.0, 0.0),
        ("Charge", "charge", 100.0, 0.0),
        ("Winding", "winding_temperature_K", 1.0, ZERO),
    ):
        known = {
            round(t / 60.0, 3): [scale * held[key][end][row] - zero for end in ("typical", "low", "high")]
            for row, t in enumerate(held["time_s"])
        }
        for layer in points(named(found, name)):
            for point in layer:
                assert [point[end] for end in ("typical", "low", "high")] == pytest.approx(known[point["t"]], abs=1e-4)


def test_what_jumps_between_duty_states_has_a_curve_for_each_and_its_name_beside_it() -> None:
    volts = named(curves(record()), "Pack")
    lines = [
        layer for layer in volts.spec["layer"] if layer["mark"]["type"] == "line" and "strokeDash" in layer["mark"]
    ]
    last = trace()["time_s"][-1] / 60.0
    inside = [layer for layer in lines if layer["data"]["values"][0]["t"] < last]
    assert len(inside) == 3  # two states and the limit
    assert len(lines) - len(inside) == 2  # a piece of each state's curve beside its name
    drawn = still(volts.spec, volts.name, volts.says)
    assert {"grass", "turning", "cuts out"} <= {text.text for text in parsed(drawn).iter("text")}


def test_a_limit_is_the_record_s_own_whatever_the_links_are_called() -> None:
    text = EXAMPLE.read_text(encoding="utf-8").replace('name = "controller"', 'name = "esc"')
    text = text.replace('"blade controller" =', '"blade esc" =').replace('"blade motor" =', '"blade old starter" =')
    plan = read_text(text.replace('name = "motor"', 'name = "old starter"')).machine
    found = {limit["channel"]: (limit["address"], limit["value"]) for limit in limits(plan)}
    assert found["terminal_voltage_V"] == ("chains.blade.esc.cut_out", 25.0)
    assert found["winding_temperature_K"][0] == "chains.blade.old starter.winding_limit"
    assert {address for address, _ in found.values()} <= plan.pedigree.keys()
    said = {**record(), "trace": {**trace(), "limits": limits(plan)}}
    for name, word in (("Tip", "least wanted"), ("Pack", "cuts out"), ("Charge", "reserve"), ("Winding", "limit")):
        curve = named(curves(said), name)
        drawn = still(curve.spec, curve.name, curve.says)
        assert word in {text.text for text in parsed(drawn).iter("text")}, name


def test_curves_are_thinned_and_keep_their_ends() -> None:
    (line,) = points(named(curves(record()), "Charge"))
    assert len(line) <= MOST + 1
    assert [line[0]["t"], line[-1]["t"]] == pytest.approx([0.0, 66.5])


def test_without_draws_there_is_no_band_and_without_a_day_no_chart() -> None:
    assert all(layer["mark"]["type"] != "area" for c in curves(record(draws=False)) for layer in c.spec["layer"])
    assert curves({**record(), "trace": {"time_s": []}}) == []


def test_the_data_stand_in_the_specification_and_it_is_plain_data() -> None:
    for curve in curves(record()):
        assert "url" not in json.dumps(curve.spec, allow_nan=False)
        assert all(layer["data"]["values"] for layer in curve.spec["layer"])


def test_a_still_chart_takes_its_tones_and_its_type_from_the_page() -> None:
    speed = named(curves(record()), "Tip")
    drawn = still(speed.spec, "Tip <speed>", "falls & ends")
    root = parsed(drawn)
    assert (root.findtext("title"), root.findtext("desc")) == ("Tip <speed>", "falls & ends")
    assert not re.search(r"#[0-9a-f]{3}|font-family|href|<style|id=", drawn)
    classes = {name for mark in root.iter() for name in mark.get("class", "").split()} - {"chart"}
    assert classes <= {f"{paint}-{tone}" for paint in ("fill", "stroke") for tone in TONES.values()}
    assert {"stroke-ink", "fill-water", "stroke-heat", "fill-soft"} <= classes
    assert len(drawn) < 20_000


def band(curve: Curve) -> list[dict[str, float]]:
    """Return the points of the only band."""
    (area,) = [layer for layer in curve.spec["layer"] if layer["mark"]["type"] == "area"]
    return [{k: float(v) for k, v in point.items()} for point in area["data"]["values"]]


def jagged() -> dict[str, Any]:
    """Return a record whose edges jump by a tenth at every third step, though what is shown only falls."""
    held = record()
    for key in ("charge", "terminal_voltage_V", "tip_speed_m_s"):
        ends = held["trace"][key]
        ends["low"] = [v * (0.9 if k % 3 else 1.0) for k, v in enumerate(ends["low"])]
        ends["high"] = [v * (1.1 if k % 3 else 1.0) for k, v in enumerate(ends["high"])]
    return held


@pytest.mark.parametrize("name", ["Tip", "Pack", "Charge"])
def test_the_edges_of_a_band_have_no_teeth(name: str) -> None:
    found = band(named(curves(jagged()), name))
    for end in ("low", "high"):
        steps = [after[end] - before[end] for before, after in pairwise(found)]
        assert all(step <= 1e-9 for step in steps)


def test_a_band_holds_every_end_of_the_trace_and_no_number_the_trace_lacks() -> None:
    held = jagged()["trace"]
    found = {point["t"]: point for point in band(named(curves(jagged()), "Pack"))}
    for k, t in enumerate(held["time_s"]):
        point = found.get(round(t / 60.0, 3))
        if point is not None:
            assert point["low"] <= held["terminal_voltage_V"]["low"][k] + 1e-4
            assert point["high"] >= held["terminal_voltage_V"]["high"][k] - 1e-4
    for end in ("low", "high"):
        known = {round(v, 4) for v in held["terminal_voltage_V"][end]}
        assert {point[end] for point in found.values()} <= known


def test_an_edge_that_only_falls_or_only_rises_is_left_as_it_is() -> None:
    held = trace()["charge"]
    assert [p["high"] for p in band(named(curves(record()), "Charge"))][:2] == pytest.approx(
        [100.0 * held["high"][0], 100.0 * held["high"][3]]
    )


def test_what_is_a_share_of_a_whole_is_drawn_from_nothing_to_all() -> None:
    for name in ("Charge", "Draws"):
        for layer in named(curves(record()), name).spec["layer"]:
            assert layer["encoding"]["y"]["scale"]["domain"] == [0.0, 100.0]


@pytest.mark.parametrize("fall", [0.0, 10.0])
def test_names_of_states_stand_apart_within_the_plot_however_the_curves_end(fall: float) -> None:
    held = record()
    held["trace"]["state"] = [("grass", "tall grass", "turning", "heavy brush by the ditch")[k % 4] for k in range(400)]
    held["trace"]["tip_speed_m_s"] = {
        end: [80.0 - fall * k / 400.0 for k in range(400)] for end in ("typical", "low", "high")
    }
    curve = named(curves(held), "Tip")
    drawn = parsed(still(curve.spec, curve.name, curve.says))
    places = {}

    def walk(mark: Any, down: float, right: float) -> None:
        moved = re.match(r"translate\(([-\d.]+)[ ,]([-\d.]+)\)", mark.get("transform", ""))
        right, down = (right + float(moved[1]), down + float(moved[2])) if moved else (right, down)
        if mark.tag == "text":
            places[mark.text] = (right, down)
        for part in mark:
            walk(part, down, right)

    walk(drawn, 0.0, 0.0)
    names = [places[name] for name in ("grass", "tall grass", "turning", "heavy…")]
    heights = sorted(y for _, y in names)
    assert all(after - before >= 1.25 * LETTERS for before, after in pairwise(heights))
    assert heights[0] - 0.4 * LETTERS >= 18.0
    assert heights[-1] <= 18.0 + HEIGHT + 0.4 * LETTERS
    width = float(drawn.attrib["viewBox"].split()[2])
    assert all(x + 0.5 * LETTERS * len(name) <= width for name, (x, _) in places.items() if x > 44.0 + WIDTH)
