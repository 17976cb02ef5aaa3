"""The balance in words and as a drawing: the numbers of the record, to scale, and no others."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import pytest

from headrace.design.balance import balance as worked
from headrace.design.balance_record import balance_record
from headrace.machine import read
from headrace.machine.draws import draws
from headrace.paper.balance import balance, place_of
from headrace.paper.drawings.side_view import side_view
from headrace.paper.report import report
from headrace.paper.words import typical
from tests.machines import EXAMPLE
from tests.paper import records
from tests.paper.records import parsed


@cache
def record() -> dict[str, Any]:
    """Return the typical balance of the strip mower, with draws behind it."""
    machine = draws(read(EXAMPLE.parent / "strip-mower.toml").machine, 8, 1)
    found: dict[str, Any] = typical(balance_record(machine, worked(machine)))
    return found


def changed(**after: Any) -> dict[str, Any]:
    return {**record(), "after": {**record()["after"], **after}}


def test_the_sentences_say_what_the_record_holds() -> None:
    said, after = " ".join(balance(record())), record()["after"]
    assert f"now {after['mass_kg']:.1f} kg, {after['front_N'] / 9.80665:.1f} kg on the front wheels" in said
    assert f"{after['climb_N']:.0f} N ({record()['before']['climb_N']:.0f} N before) up 12°" in said
    assert f"{-after['lift_front_N']:.0f} N down" in said
    assert f"{after['lift_rear_N']:.0f} N up" in said
    assert f"{record()['ballast']['mass_kg']:.1f} kg of ballast over the front axle" in said


def test_what_is_not_there_is_not_said() -> None:
    said = " ".join(balance(changed(pull_N=None, lift_front_N=None, tips_backward_rad=None)))
    assert "pull" not in said
    assert "handle" not in said
    assert "not told: the file gives no height" in said
    assert "None" not in said


@pytest.mark.parametrize(
    ("mass", "says"),
    [(None, "No ballast 20 cm in front of the front axle"), (0.0, "needs no ballast"), (2.0, "2.0 kg")],
)
def test_ballast_is_said_in_each_case(mass: float | None, says: str) -> None:
    ballast = {"front_share": 0.4, "position_m": -0.2, "mass_kg": mass}
    assert says in balance({**record(), "ballast": ballast})[-1]


def test_places_are_told_from_the_front_axle() -> None:
    assert place_of(0.0) == "over the front axle"
    assert place_of(0.416) == "42 cm behind the front axle"
    assert place_of(-0.05) == "5 cm in front of the front axle"


def middles() -> list[tuple[float, float]]:
    """Return the middles of the circles: front wheel, rear wheel, centre before, centre now."""
    circles = parsed(side_view(record())).iter("circle")
    return [(float(circle.attrib["cx"]), float(circle.attrib["cy"])) for circle in circles]


def test_axles_and_centres_are_drawn_to_scale() -> None:
    (front, axle), (rear, _), before, now = middles()
    metre = (rear - front) / record()["wheelbase_m"]
    for place, when in ((before, "before"), (now, "after")):
        assert (place[0] - front) / metre == pytest.approx(record()[when]["centre_m"], abs=0.1 / metre)
    fall = record()["before"]["height_m"] - record()["after"]["height_m"]
    assert (now[1] - before[1]) / metre == pytest.approx(fall, abs=0.2 / metre)
    assert now[1] < axle


def test_the_drawing_says_its_loads_and_is_whole_without_handle_and_height() -> None:
    drawn = side_view({**changed(height_m=None), "handle_m": None})
    words = ["".join(text.itertext()) for text in parsed(drawn).iter("text")]
    assert f"{record()['after']['rear_N'] / 9.80665:.1f} kg" in words
    assert "its height is not told" in drawn
    assert not re.search(r"nan|None|inf", drawn)


@pytest.mark.parametrize("weighed", [True, False])
def test_the_report_shows_it_where_the_machine_was_weighed(weighed: bool) -> None:
    page = report({**records.record(), "balance": record() if weighed else None})
    assert ("How it stands on its wheels" in page) is weighed
    assert ('<svg class="side"' in page) is weighed
    assert all((sentence in page) is weighed for sentence in balance(record()))
