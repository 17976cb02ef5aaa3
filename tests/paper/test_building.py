"""Building, season and risks in words: every row of the record has its line, with the numbers it has."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.design.assembly_record import assembly_record
from headrace.design.risks_record import risks_record
from headrace.design.upkeep_record import upkeep_record
from headrace.findings import judge, raised
from headrace.paper.assembly import at_hand, besides, building, kept_away, touching, usual, without_cells
from headrace.paper.quantity import quantity, risen
from headrace.paper.report import report
from headrace.paper.risks import risks
from headrace.paper.upkeep import how_often, upkeep
from tests.machines import evidence_of, repacked, shown
from tests.paper.records import record

HOURS = 3600.0


def built(name: str) -> dict[str, Any]:
    evidence = repacked(name) if name in ("sixteen", "finished") else evidence_of(name)
    return {
        "assembly": assembly_record(evidence.machine, evidence),
        "upkeep": upkeep_record(evidence, 25.0 * HOURS),
        "risks": risks_record(evidence, raised(judge(evidence), ())),
        "pack": {"source": evidence.machine.source.kind},
    }


def test_every_step_has_its_row_and_says_whether_it_is_live() -> None:
    found = built("mower")
    rows = building(found)
    assert len(rows) == len(found["assembly"]["steps"])
    for step, (does, with_what, cover, reading) in zip(found["assembly"]["steps"], rows, strict=True):
        assert does == f"{'Live' if step['live'] else 'Dead'}. {step['does']}"
        known = usual(found)[step["live"]]
        assert all(tool in with_what.lower() for tool in step["tools"] if tool not in known.tools)
        assert cover == step["cover"]
        assert step["differs"] in reading


def test_the_readings_are_those_of_the_record() -> None:
    found = built("mower")
    rows = dict(zip((s["name"] for s in found["assembly"]["steps"]), building(found), strict=True))
    assert "4.20 V full, 3.75 V half full" in rows["groups"][3]
    assert "21.0 V full" in rows["lower half"][3]
    assert "42.0 V full, 37.5 V half full" in rows["whole"][3]
    assert rows["guards" if "guards" in rows else "blade guards"][3].startswith("Push the rod")


def test_where_nobody_handles_a_cell_the_live_steps_are_one() -> None:
    (only,) = without_cells(built("mower"))
    assert "finished pack" in only[0]
    assert "42.0 V" in only[3]
    assert without_cells(built("finished")) == []
    assert without_cells(built("corded")) == []


def test_what_is_kept_away_is_said_once_for_each_kind_of_step() -> None:
    said = kept_away(built("mower"))
    assert len(said) == 4
    assert said[2].startswith("Never at the dead steps: rings")
    assert "off-cuts of strip" in said[3]


def test_what_lies_ready_at_most_steps_is_said_once() -> None:
    found = built("mower")
    dead, live = at_hand(found)
    assert "spanners" in dead
    assert "one hand" in live
    rows = building(found)
    assert sum("spanners" in with_what.lower() for _, with_what, _, _ in rows) == 0
    assert sum("one hand" in with_what.lower() for _, with_what, _, _ in rows) == 0
    for step in found["assembly"]["steps"]:  # nothing is lost: what is not ready stands in the step
        known = usual(found)[step["live"]]
        tools, hands = besides(step, usual(found))
        assert set(step["tools"]) <= {*known.tools, *filter(None, tools.split(", ")), *step["tools"]} - {""}
        assert all(tool in known.tools or tool in tools for tool in step["tools"])
        assert hands in ("", step["hands"])
        assert hands or step["hands"] == known.hands


def test_steps_of_several_chains_say_of_which() -> None:
    found = assembly_record(shown("strip-mower.toml").machine, shown("strip-mower.toml"))
    does = [step["does"] for step in found["steps"] if not step["live"]]
    assert len(set(does)) == len(does)
    assert any(one.startswith("Blade: Bolt the motor down") for one in does)
    assert any(one.startswith("Axle: Bolt the ") for one in does)


def test_batteries_stand_upright_in_moving_air_and_mains_is_joined_by_who_may() -> None:
    lead = {step["name"]: step for step in built("corded")["assembly"]["steps"]}
    assert "upside down" not in lead["pack's place"]["does"]
    assert "so that gas goes out" in lead["pack's place"]["does"]
    assert "sense plug" not in lead["wires"]["does"]
    wall = assembly_record(shown("cider-mill/wall.toml").machine, shown("cider-mill/wall.toml"))
    said = " ".join(f"{step['does']} {step['cover']}" for step in wall["steps"])
    assert "wiring drawing" not in said
    assert "connecting order" not in said
    assert "Its plus and minus" not in said


def test_the_gravest_words_of_touch_are_said() -> None:
    assert touching(built("mower")) == ""
    assert "nobody works alone" in touching(built("sixteen"))


def test_the_gravest_words_are_those_of_the_most_volts() -> None:
    """Whatever is said at fewer volts, at whatever length, is not what is told of the whole."""
    steps = [
        {"touch": "Long words of the fewer volts, of which there are many.", "reach_V": 61.0},
        {"touch": "Short.", "reach_V": 130.0},
        {"touch": None, "reach_V": 12.0},
    ]
    assert touching({"assembly": {"steps": steps}}) == "Short."


def test_a_season_is_told_in_hours_and_times() -> None:
    rows = {part: (when, look, act) for part, when, look, act in upkeep(built("mower"))}
    assert rows["Blade"][0] == "every 10 h of work: 2 times a season"
    assert rows["Lugs"][0] == "after 5 h of work, then every 50 h of work: once in 2 seasons"
    assert [how_often(times) for times in (0.0, 0.3, 0.59, 0.9, 1.4, 3.0)] == [
        "not in this season",
        "once in 3 seasons",
        "once in 2 seasons",
        "once a season",
        "once a season",
        "3 times a season",
    ]
    assert rows["Stopping time (blade)"][0] == "after 5 h of work, then every 25 h of work: once a season"
    assert rows["Storage charge (pack)"][0] == "every 3 months: 4 times a season"
    assert rows["Guards"][0] == "before each use"
    assert rows["Lugs"][2].endswith("(warmer than the air by at most 30 K).")
    assert "at most 3.0 s" in rows["Stopping time (blade)"][2]
    assert rows["Guards"][2].endswith("no work.")
    assert rows["Guards"][1].startswith("Dead, fuse or plug out. Look at every guard")
    assert rows["Stopping time (blade)"][1].startswith("Running, stand clear. ")
    assert rows["Groups apart (pack)"][1].startswith("Live, nothing turns. ")
    assert "at the sense plug's pins, pack full, rested for 2.0 h." in rows["Groups apart (pack)"][1]


def test_a_hazard_tells_numbers_measures_and_blanks() -> None:
    found = {one["name"]: one for one in risks(built("mower"))}
    fire = found["Battery fire"]
    assert ("energy of the pack", "1260 Wh") in fire["numbers"]  # 70 cells of 5 Ah and 3.6 V
    assert ("volts when full", "42.0 V") in fire["numbers"]
    tip = dict(found["Thrown objects"]["numbers"])["tip speed of blade"]
    assert tip.endswith(" m/s (pack full, no load, motor hot)")
    assert "At worst: burns" in fire["harm"]
    assert ("yes", "by a guard", "cold lock: refuses to charge cold cells") in fire["measures"]
    assert {there for one in found.values() for there, _, _ in one["measures"]} <= {"yes", "no", "to be looked at"}
    assert all(one["left_open"][0] == "how likely" for one in found.values())


def test_findings_that_touch_a_hazard_are_told_in_words() -> None:
    first, *others = built("mower")["risks"]["hazards"]
    found = {"risks": {"hazards": [{**first, "findings": ["no-fuse", "cells-too-hot"]}, *others]}}
    assert risks(found)[0]["findings"] == ["no fuse", "cells too hot"]


def test_a_measure_is_told_at_length_once() -> None:
    """The switches stand under four hazards: three of them point to the first."""
    said = [measure for one in risks(built("mower")) for _, _, measure in one["measures"] if "isolator" in measure]
    assert len(said) == 4
    assert [line.endswith("as under spark at connecting") for line in said] == [False, True, True, True]
    assert not any(": look" in line or "never in a file" in line for line in said)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"value_J": 1080.0}, "1080 J"),
        ({"value_J": 0.88}, "0.9 J"),
        ({"value_J": 3.24e6}, "900 Wh"),
        ({"value_s": 0.0286}, "29 ms"),
        ({"value_s": 2.49}, "2.5 s"),
        ({"value_s": 5400.0}, "90 min"),
        ({"value_s": 61_085_972.0}, "23 months"),
        ({"value_V": 0.05}, "50 mV"),
        ({"value_V": 4.2}, "4.20 V"),
        ({"value_V": 42.0}, "42.0 V"),
        ({"value_A": 934.3}, "934 A"),
        ({"value_K": 315.3}, "42 °C"),
        ({"value_rad_s": 460.4}, "4396 rpm"),
        ({"value_rad": 0.349}, "20 °"),
        ({"value_N_m": 15.61}, "15.6 N·m"),
        ({"value": 60.0}, "60"),
        ({"value_s": None, "reason": "not known"}, "(not known)"),
    ],
)
def test_numbers_are_said_in_bench_units(told: dict[str, Any], said: str) -> None:
    assert quantity({"name": "it", **told}) == said


def test_a_rise_above_the_air_stays_in_kelvin() -> None:
    assert risen({"name": "warmer", "value_K": 30.0}) == "30 K"
    assert risen({"name": "at most", "value_V": 0.1}) == "100 mV"


def test_the_report_holds_them_folded_and_goes_without_them() -> None:
    bare = report(record())
    html = report({**record(), **built("mower"), "pack": record()["pack"]})
    for name in ("building", "upkeep", "risks"):
        assert f'id="{name}"' in html
        assert f'id="{name}"' not in bare
    assert "<summary>25 steps from bare parts to" in html
    assert html.count("How likely: ______") == len(built("mower")["risks"]["hazards"])
    assert "not a certificate" in html


def test_every_example_s_rows_can_be_told() -> None:
    for name in ("wood-cart.toml", "cider-mill/wall.toml", "cider-mill/belt.toml"):
        evidence = shown(name)
        found = {
            "assembly": assembly_record(evidence.machine, evidence),
            "upkeep": upkeep_record(evidence, float("nan")),
            "risks": risks_record(evidence, []),
            "pack": {"source": evidence.machine.source.kind},
        }
        assert building(found)
        assert all("None" not in part for row in upkeep(found) for part in row)
        assert all("None" not in str(one) for one in risks(found))
