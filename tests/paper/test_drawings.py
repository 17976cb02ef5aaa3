"""The drawings: to scale, holding the numbers of the record and no others."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from headrace.findings import RULES
from headrace.paper.drawings import course as courses
from headrace.paper.drawings import pack_map, shapes
from headrace.paper.drawings.bars import LENGTH, bar
from headrace.paper.drawings.course import course
from headrace.paper.hatch import hatched
from headrace.paper.words import SHAPES, percent, spread, typical, watts
from tests.paper.records import packs, parsed, stalled, state

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
WAYS = pytest.mark.parametrize("upright", [False, True])


def marks(drawing: str, kind: str) -> list[ET.Element]:
    return [mark for mark in parsed(drawing).iter() if kind in mark.get("class", "").split()]


def words(drawing: str) -> list[str]:
    return ["".join(text.itertext()) for text in parsed(drawing).iter("text")]


def corners(mark: ET.Element, upright: bool) -> list[tuple[float, float]]:
    """Return the corners of a path as (along, across) the course."""
    numbers = [float(number) for number in NUMBER.findall(mark.attrib["d"])]
    pairs = zip(numbers[::2], numbers[1::2], strict=True)
    return [(y, x) if upright else (x, -y) for x, y in pairs]


@WAYS
def test_the_course_is_as_wide_as_its_watts(upright: bool) -> None:
    shown = state("grass", 400.0, True)
    full = shown["source_W"]["typical"]
    whole = 118.0 if upright else 168.0  # the width of all of it
    for mark, link in zip(marks(course(shown, full, upright=upright), "water"), shown["links"], strict=True):
        across = [w for _, w in corners(mark, upright)]
        assert max(across) - min(across) == pytest.approx(link["power_out_W"]["typical"] / full * whole, abs=0.11)


@WAYS
def test_a_loss_is_as_wide_as_its_watts_all_along_and_never_thinner_than_a_hair(upright: bool) -> None:
    shown = state("grass", 400.0, False)
    drawn = course(shown, shown["source_W"], upright=upright)
    whole = 118.0 if upright else 168.0
    for mark, link in zip(marks(drawn, "loss"), shown["links"], strict=True):
        points = corners(mark, upright)
        entering = abs(points[-1][1] - points[0][1])
        far = max(across for _, across in points)
        leaving = {along for along, across in points if across == far}
        due = max(link["loss_W"] / shown["source_W"] * whole, courses.HAIR)
        assert entering == pytest.approx(due, abs=0.11)
        assert max(leaving) - min(leaving) == pytest.approx(due, abs=0.11)


@WAYS
def test_two_states_are_drawn_to_one_scale(upright: bool) -> None:
    small, great = state("turning", 100.0, False), state("grass", 700.0, False)
    heights = []
    for shown in (small, great):
        (block,) = marks(course(shown, great["source_W"], upright=upright), "cells")
        heights.append(float(block.attrib["width" if upright else "height"]))
    assert heights[0] / heights[1] == pytest.approx(small["source_W"] / great["source_W"], rel=2e-3)


@WAYS
@pytest.mark.parametrize("draws", [False, True])
def test_every_loss_stands_in_the_drawing_with_its_watts_its_name_and_its_basis(upright: bool, draws: bool) -> None:
    shown = state("grass", 400.0, draws)
    said = " ".join(words(course(shown, 600.0, upright=upright)))
    for link in typical(shown)["links"]:
        assert watts(link["loss_W"]) in said
        assert link["basis"] in said
        assert all(word in said for word in link["name"].split())


@WAYS
def test_the_course_holds_no_number_the_record_lacks(upright: bool) -> None:
    shown = state("grass", 400.0, True)
    cut = typical(shown)
    powers = [cut["useful_W"], cut["source_W"], *(link["loss_W"] for link in cut["links"])]
    known = {*map(watts, powers), spread(shown["useful_W"], watts), spread(shown["source_W"], watts)}
    known = {number for said in known for number in NUMBER.findall(said)} | {f"{cut['tip_speed_m_s']:.0f}"}
    for said in words(course(shown, 600.0, upright=upright)):
        assert set(NUMBER.findall(said)) <= known, said


@WAYS
def test_assumed_is_dotted_and_known_is_hatched(upright: bool) -> None:
    drawn = course(state("grass", 100.0, False), 251.0, upright=upright)
    assert len(marks(drawn, "heat-dots")) == 1
    assert len(marks(drawn, "heat-lines")) == 1
    assert "id=" not in drawn


def test_nothing_is_drawn_where_nothing_turns_and_no_load_is_said() -> None:
    assert course(stalled("grass"), 100.0) == ""
    assert "no load" in words(course(state("turning", 0.0, True), 600.0))


def test_names_from_the_file_are_only_words() -> None:
    shown = state("<b>&", 100.0, False)
    shown["links"][0]["name"] = '<script>"'
    for upright in (False, True):
        drawn = course(shown, 300.0, upright=upright)
        assert "<script" not in drawn
        assert any("<script>" in said for said in words(drawn))


def test_hatching_stays_inside_and_fills() -> None:
    square = [(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0)]
    ends: list[tuple[float, float]] = []
    for x, y, dx, dy in re.findall(r"M(\S+) (\S+?)l(\S+) (\S+?)(?=M|\")", hatched(square, "given", "heat")):
        ends += [(float(x), float(y)), (float(x) + float(dx), float(y) + float(dy))]
    dots = [(float(x), float(y)) for x, y in re.findall(r"M(\S+) (\S+?)h0", hatched(square, "assumed", "heat"))]
    assert all(-0.11 <= x <= 40.11 and -0.11 <= y <= 20.11 for x, y in ends + dots)
    assert 20 < len(dots) < 60
    assert len(ends) > 16


def test_a_bar_is_to_scale() -> None:
    drawn = bar(0.5, "assumed")
    (outline,) = marks(drawn, "outline")
    assert float(outline.attrib["width"]) == pytest.approx(LENGTH / 2.0, abs=1.0)
    assert marks(drawn, "ink-dots")
    assert marks(bar(0.5, "table"), "ink-lines")


def test_a_bar_is_filled_as_far_as_a_number_carries_alone() -> None:
    drawn = bar(0.8, "assumed", alone=0.25)
    (dots,), (outline,) = marks(drawn, "ink-dots"), marks(drawn, "outline")
    farthest = max(float(x) for x in re.findall(r"M(\S+) ", dots.attrib["d"]))
    assert farthest == pytest.approx(0.25 * LENGTH, abs=5.0)
    assert float(outline.attrib["width"]) == pytest.approx(0.8 * LENGTH, abs=1.0)


# --- the map of packs ----------------------------------------------------------------------------


def squares(drawing: str) -> dict[str, ET.Element]:
    """Return every square of the map by what its title begins with."""
    groups = [group for group in parsed(drawing).iter("g") if group.find("title") is not None]
    return {str(group.findtext("title")).partition(":")[0]: group for group in groups}


def has(group: ET.Element, kind: str) -> bool:
    return any(kind in mark.get("class", "").split() for mark in group.iter())


def test_every_pack_of_the_window_has_its_square_and_its_reason() -> None:
    record = packs(draws=True)
    found = squares(pack_map.pack_map(record))
    assert len(found) == len(record["candidates"]) == 16
    for candidate in record["candidates"]:
        group = found[f"{candidate['series']}s{candidate['parallel']}p"]
        assert has(group, "works") == candidate["works"]
        assert has(group, "limit") != candidate["works"]
        assert all(reason["says"] in str(group.findtext("title")) for reason in candidate["reasons"])


def test_water_stands_as_high_as_a_pack_works_often() -> None:
    found = squares(pack_map.pack_map(packs(draws=True)))
    for candidate in packs(draws=True)["candidates"]:
        group = found[f"{candidate['series']}s{candidate['parallel']}p"]
        levels = [float(m.attrib["height"]) for m in group.iter() if m.get("class") == "gauge"]
        often = [candidate["often"]] if candidate["often"] else []
        assert levels == pytest.approx([share * (pack_map.CELL - 4.0) for share in often], abs=0.06)
        assert [t.text for t in group.iter("text")] == [percent(share) for share in often]
    assert not any(has(group, "gauge") for group in squares(pack_map.pack_map(packs(draws=False))).values())


def test_each_limit_has_a_shape_of_its_own_and_the_key_shows_those_that_are_drawn() -> None:
    assert set(shapes.STROKES) == set(SHAPES)
    assert {rule.slug for rule in RULES.values() if rule.rejects_pack} == set(SHAPES)
    assert len({*shapes.STROKES.values(), shapes.OTHER}) == len({said for _, said in SHAPES.values()}) + 1
    record = packs(draws=True, series=(9, 10, 11, 12, 13))
    signs = {meaning: sign for sign, meaning in pack_map.key(record)}
    drawn = pack_map.pack_map(record)
    shown = {c["reasons"][0]["slug"] for c in record["candidates"] if not c["works"]}
    assert len(shown) > 10
    for slug in shown:
        assert shapes.stroke(slug) in signs[shapes.called(slug)]
        assert shapes.stroke(slug) in drawn
    assert "a limit to come" in signs


@pytest.mark.parametrize("count", [4, 6, 7, 8, 9, 10, 12])
def test_no_sign_touches_the_number_or_the_gauge_of_its_square(count: int) -> None:
    record = packs(draws=True, series=tuple(range(10, 10 + count)))
    for candidate in record["candidates"]:
        candidate["works"], candidate["often"] = candidate["parallel"] == 6, 0.125
        candidate["reasons"] = [{"slug": "cells-too-hot", "says": ""}]
    drawn = pack_map.pack_map(record)
    assert len(squares(drawn)) == 4 * count
    size = 0.9 * float(re.findall(r"font-size:([\d.]+)px", drawn)[0])
    for group in squares(drawn).values():
        number = next(group.iter("text"), None)
        for mark in group.iter():
            if mark.get("class") == "works":
                left, low = (
                    float(mark.attrib[c]) + side * float(mark.attrib["r"]) for c, side in (("cx", -1), ("cy", 1))
                )
            elif mark.get("class") == "limit":
                left, top, scale = (float(n) for n in NUMBER.findall(mark.attrib["transform"]))
                low = top + 24.0 * scale
            else:
                continue
            gauges = [m for m in group.iter() if m.get("class") == "gauge"]
            ends = [float(m.attrib["x"]) + float(m.attrib["width"]) for m in gauges]
            assert all(end <= left for end in ends)
            if number is not None:
                assert low + 1.5 <= float(number.attrib["y"]) - 0.7 * size
                words_start = float(number.attrib["x"]) - 0.5 * size * len(str(number.text))
                assert all(end <= words_start for end in ends)


def test_a_pack_names_every_limit_it_breaks() -> None:
    reasons = [{"slug": "too-heavy", "says": "7 kg."}, {"slug": "over-budget", "says": "300 of 200."}]
    said = pack_map.reason({"works": False, "reasons": reasons})
    assert said == "too heavy; over budget. 7 kg. 300 of 200."


@pytest.mark.parametrize("source", [180.0, 240.0, 252.0, 260.0, 300.0, 600.0])
def test_words_of_an_end_stand_clear_of_the_edge_of_its_block(source: float) -> None:
    shown = state("grass", source - 150.02, True)
    drawn = parsed(course(shown, 600.0))
    (block,) = [m for m in drawn.iter("rect") if m.get("class") == "cells"]
    top, bottom = float(block.attrib["y"]), float(block.attrib["y"]) + float(block.attrib["height"])
    for mark in drawn.iter("text"):
        if float(mark.attrib["x"]) >= float(block.attrib["x"]) and mark.text != "the cells":
            line = float(mark.attrib["y"])
            above, within = line <= top - 10.0, top + 18.0 <= line <= bottom - 10.0
            assert above or within, (mark.text, line, top, bottom)


def test_the_plan_is_framed_where_it_stands() -> None:
    drawn = pack_map.pack_map(packs(draws=True))
    (frame,) = marks(drawn, "planned")
    squares_of_it = [m for m in squares(drawn)["10s5p"].iter() if m.get("class") == "square"]
    assert [frame.attrib[k] for k in "xy"] == [squares_of_it[0].attrib[k] for k in "xy"]


def test_letters_can_be_read_on_a_phone_however_wide_the_map_is() -> None:
    for count in (4, 9, 16):
        record = packs(draws=False, series=tuple(range(10, 10 + count)))
        for candidate in record["candidates"]:
            candidate["works"], candidate["reasons"] = candidate["parallel"] == 6, [{"slug": "too-heavy", "says": ""}]
        drawn = parsed(pack_map.pack_map(record))
        width = float(drawn.attrib["viewBox"].split()[2])
        size = float(re.findall(r"font-size:([\d.]+)px", ET.tostring(drawn, encoding="unicode"))[0])
        assert size * pack_map.PHONE / width > 10.5
