"""Gears and reserve in words: what the section says is what the record holds."""

from __future__ import annotations

from functools import cache

from headrace.design import solve
from headrace.design.bands import Sample
from headrace.design.record import design_record
from headrace.machine import read_text, starter
from headrace.machine.draws import draws
from headrace.paper.gears import FEEDS, gearing, gears, winding
from headrace.paper.measures import PACES
from tests.paper.records import Record, record


@cache
def saw() -> Record:
    plan = read_text(starter("saw"), file="saw.toml").machine
    return design_record(solve(draws(plan, 4, 1)), (), Sample(4, 1))


def test_a_chain_has_its_sentences_and_rows() -> None:
    (chain,) = gears(record())
    assert chain["name"] == ""  # there is one
    assert chain["gearing"] == (
        "The ratio of the V-belt is 1.40 to 1; for 60 m/s in grass at half charge it takes 1.38 to 1, and no faster, "
        "because a full pack would turn it too fast."
    )
    assert chain["rows"][0] == ("As it is", "1.40 to 1, within limits", "3247 to 2387", "3533 to 2578", "1.7", "12.0")
    assert chain["rows"][1][:2] == ("132 to 180 mm", "1.36 to 1, too fast when full")
    assert chain["notes"] == ["Below 71 mm the belt is bent hard (practice)."]
    assert chain["winding"] == (
        "Rewound in its own frame the motor keeps the tool within its limits from 99.5 to 111.7 rpm/V; this one has "
        "110.0 rpm/V, inside."
    )


def test_a_state_has_a_row_for_each_end_of_the_charge() -> None:
    (chain,) = gears(record(draws=False))
    row = ("more stalls it", "1.7 at 3247 rpm", "8.8, 530 %", "0.3 %, 65.9")
    assert chain["states"][:2] == [("Grass, full", *row), ("Grass, reserve", *row)]
    assert chain["states"][3][1] == "its load stops it, or something cuts out"
    (drawn,) = gears(record(draws=True))
    assert drawn["states"][0][3] == "8.8, 530 % (424 to 662)"


def test_the_greatest_feed_stands_with_its_amps_or_with_why_there_is_none() -> None:
    (chain,) = gears(record(draws=False))
    grass, turning = chain["feeds"]
    assert grass == (
        "Grass: feed it no faster than 6.0 cm/s when nearly empty, to keep the least pace; the plan has 3.0 cm/s. "
        "There the motor takes 41 A and the pack gives 40 A: a controller's limit on either side has to let that "
        "through."
    )
    assert turning == "Turning: no greatest feed is told, for no feed keeps it fast enough when nearly empty."


def test_what_is_missing_is_said() -> None:
    geared, wound = record()["gearing"][0], record()["windings"][0]
    assert gearing({**geared, "now": None, "why": "no magnets"}, pack=True) == "No ratio is worked out: no magnets."
    assert gearing({**geared, "ratio": None, "why": "none does it"}, pack=True).endswith("at half charge none does it.")
    none = {**wound, "fastest_V_s_rad": None, "slowest_V_s_rad": None, "inside": None, "why": "no winding does it"}
    assert winding(none, pack=True) == (
        "No window of windings: no winding does it; the fastest that a full pack allows leaves 51 m/s at the reserve; "
        "this one has 110.0 rpm/V."
    )


def test_a_real_record_has_words_for_everything() -> None:
    (chain,) = gears(saw())
    assert len(chain["rows"]) == 4
    assert len(chain["states"]) == 2
    assert "cm/s" in chain["feeds"][0]
    assert saw()["gearing"][0]["pace"] in PACES
    assert saw()["bogging"][0]["states"][0]["feed"]["fed"] in FEEDS
