"""Upkeep: a row is there where its part is, its times follow from the season, its readings are the design's own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.trial_record import trial_record
from headrace.design.upkeep_record import upkeep_record
from headrace.findings import Evidence, judge
from headrace.findings.upkeep import PARTS, upkeep
from headrace.machine import edit, read_text, starter
from headrace.machine.links import Transmission
from headrace.machine.records import Chain
from headrace.machine.values import first_number
from headrace.physics import intervals
from headrace.tables import load, sources
from tests.laws.test_netlist import PACKED
from tests.machines import PACKS, Record, evidence_of, repacked, shown

HOURS = 3600.0
EXAMPLES = ("alley-mower.toml", "strip-mower.toml", "wood-cart.toml", "cider-mill/belt.toml", "cider-mill/wall.toml")
Find = Callable[[str], Evidence]
EVERY = (
    *(pytest.param(evidence_of, name, id=name) for name in PACKED),
    *(pytest.param(repacked, name, id=name) for name in (*PACKS, "supply")),
    *(pytest.param(shown, name, id=name) for name in EXAMPLES),
)


def rows(evidence: Evidence, worked: float = 25.0 * HOURS) -> dict[str, Record]:
    return {row["name"]: row for row in upkeep_record(evidence, worked)}


@cache
def changed(name: str, changes: tuple[tuple[str, Any], ...]) -> Evidence:
    return design.evidence(read_text(edit(starter(name), dict(changes))).machine)


# --- the table ---------------------------------------------------------------------------------------


def test_the_table_is_the_one_typed_in() -> None:
    table = load("upkeep")
    assert len(table) == 41
    assert len({(row["name"], row["of"]) for row in table}) == 41
    assert sum(row["every"] / HOURS for row in table if row["when"] == "work") == pytest.approx(610.0)
    assert sum(row["first"] / HOURS for row in table if row["when"] == "work") == pytest.approx(160.0)
    assert {row["of"] for row in table} == set(PARTS)
    assert {row["when"] for row in table} == {"use", "work", "season", "calendar"}


def test_each_row_says_whether_the_machine_is_dead_live_or_running() -> None:
    """Nobody reaches into a machine that runs, and nothing is felt for by hand: warmth is read without a touch."""
    table = {row["name"]: row for row in load("upkeep")}
    assert {row["machine"] for row in table.values()} == {"dead", "live", "running"}
    running = {name for name, row in table.items() if row["machine"] == "running"}
    stopped = {"stopping time", "stopping time by its controller", "coasting time"}
    assert running == {"emergency stop", "held control", "plugs", "contactor"} | stopped
    for name, row in table.items():
        looked = f"{row['look']} "
        assert "feel" not in looked, name
        if row["machine"] != "dead":
            assert "unplugged" not in looked, name
        if any(runs in looked for runs in ("while the tool runs", "in the hardest work", "at amps that are read with")):
            assert row["machine"] == "running", name
        if row["kelvin"] > 0.0:
            assert "a thermometer that needs no touch" in looked, name


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_the_record_says_it_too(find: Find, name: str) -> None:
    table = {row["name"]: row["machine"] for row in load("upkeep")}
    found = rows(find(name))
    assert {row["machine"] for row in found.values()} >= {"dead"}
    assert all(row["machine"] == table[row["name"]] for row in found.values())


def test_a_first_time_never_comes_later_than_the_next() -> None:
    for row in load("upkeep"):
        if row["when"] == "work":
            assert row["first"] <= row["every"], row["name"]
        elif row["when"] == "calendar":
            assert row["every"] > 0.0
        else:
            assert np.isnan(row["every"]), row["name"]


def test_groups_are_read_after_as_long_a_rest_on_the_card_as_on_the_bench() -> None:
    evidence = evidence_of("mower")
    bench = {one["name"]: one for one in trial_record(evidence.machine, evidence)["bench_readings"]}
    found = rows(evidence)
    assert found["groups apart"]["rested_s"] == bench["groups apart"]["rested_s"] == 2.0 * HOURS
    others = {name: row for name, row in found.items() if name != "groups apart"}
    assert all(row["rested_s"] is None and row["rested_reason"] for row in others.values())
    assert not any("hour" in row["look"] for row in found.values())


def test_what_is_only_practice_is_shown_as_assumed() -> None:
    for row in rows(evidence_of("mower")).values():
        remembered = [note for note in sources().values() if note.title == row["source"] and note.seen == "memory"]
        assert row["basis"] == ("assumed" if remembered else "table"), row["name"]
    assert rows(evidence_of("mower"))["stopping time"]["basis"] == "table"
    assert rows(evidence_of("mower"))["lugs"]["basis"] == "assumed"


# --- which rows --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_every_machine_has_a_list_and_each_row_its_parts(find: Find, name: str) -> None:
    found = rows(find(name))
    at_a_socket = find(name).machine.source.kind == "wall-socket"
    wires = {"terminals", "cord"} if at_a_socket else {"lugs", "cables"}
    assert {"guards", "air ways", "drying", *wires} <= found.keys()
    assert not ({"lugs", "cables"} & found.keys() and at_a_socket)
    assert len(found) >= 8
    for row in found.values():
        assert row["of"]
        assert len(set(row["of"])) == len(row["of"])
        assert all(row[key].endswith(".") for key in ("look", "why", "act"))
        assert (row["times_a_season"] is None) == (row["times_reason"] is not None)
        assert (row["first_s"] is None) == bool(row["first_reason"])
        for limit in row["limits"]:
            (value,) = (number for key, number in limit.items() if key.startswith("value"))
            assert (value is None) == bool(limit["reason"]), (row["name"], limit["name"])
        assert row["every_s"] is not None or row["reason"] is not None


STAGES = {"belt": ("v-belt", "toothed-belt", "flat-belt"), "gear oil": ("gears", "worm"), "chain": ("roller-chain",)}


@pytest.mark.parametrize("row", list(STAGES))
def test_without_its_stage_a_row_goes(row: str) -> None:
    def stripped(chain: Chain) -> Chain:
        links = tuple(k for k in chain.links if not (isinstance(k, Transmission) and k.kind in STAGES[row]))
        return replace(chain, links=links)

    for kind in STAGES[row]:
        evidence = belted(evidence_of("mower"), kind)
        assert rows(evidence)[row]["of"] == ["put in"]
        bare = replace(evidence.machine, chains=tuple(stripped(chain) for chain in evidence.machine.chains))
        assert row not in rows(replace(evidence, machine=bare))
    assert {"gear oil", "chain"} <= rows(shown("wood-cart.toml")).keys()


def belted(evidence: Evidence, kind: str) -> Evidence:
    """Return the evidence with a stage of a kind put into its first chain."""
    stage = Transmission("put in", kind, 2.0, 0.95, 0.0, 0.0, 0.0)
    first, *others = evidence.machine.chains
    longer = replace(first, links=(stage, *first.links))
    return replace(evidence, machine=replace(evidence.machine, chains=(longer, *others)))


@pytest.mark.parametrize(
    ("row", "name", "changes"),
    [
        ("held control", "mower", (("safety.dead_man", False),)),
        ("stopping time", "saw", (("chains.saw.motor.commutation", "electronic"),)),
        ("parking brake", "winch", (("safety.friction_brake", False),)),
    ],
)
def test_without_its_control_a_row_goes(row: str, name: str, changes: tuple[tuple[str, Any], ...]) -> None:
    assert row in rows(evidence_of(name))
    assert row not in rows(changed(name, changes))


TOOLS: Mapping[str, str] = {
    "mower": "blade", "saw": "saw blade", "chipper": "knives", "tiller": "tines", "auger": "auger", "fan": "fan wheel",
    "pump": "strainer and seal", "winch": "rope", "cart": "wheels",
}  # fmt: skip


@pytest.mark.parametrize("name", list(TOOLS))
def test_each_tool_has_its_own_row_and_no_other_tool_s(name: str) -> None:
    assert set(rows(evidence_of(name))) & set(TOOLS.values()) == {TOOLS[name]}


def test_sources_have_their_own_rows() -> None:
    lead, wall, cells = (rows(e) for e in (evidence_of("corded"), shown("cider-mill/wall.toml"), evidence_of("mower")))
    assert {"battery terminals", "inverter", "mains lead", "brushes"} <= lead.keys()
    assert "groups apart" not in lead
    assert {"emergency stop", "mains lead", "terminals", "cord"} <= wall.keys()
    assert lead["cord"]["of"] == ["cord"]  # what lies behind the inverter; its leads are made up by whoever builds
    assert lead["cables"]["of"] == ["leads"]
    assert "box seal" not in lead
    assert not {"pack", "box seal", "storage charge", "charger", "main fuse", "contactor", "inverter"} & wall.keys()
    assert {"groups apart", "pack", "storage charge"} <= cells.keys()
    assert not {"battery terminals", "mains lead", "inverter"} & cells.keys()
    assert "groups apart" not in rows(repacked("finished"))  # its groups are not to be reached


def test_brushes_are_looked_at_where_there_are_some() -> None:
    found = evidence_of("mower").machine
    assert ("brushes" in rows(evidence_of("mower"))) == any(
        getattr(link, "commutation", "") == "brushed" for chain in found.chains for link in chain.links
    )
    electronic = changed("mower", (("chains.blade.motor.commutation", "electronic"),))
    assert "brushes" not in rows(electronic)


# --- how often, and at what reading ------------------------------------------------------------------


def test_times_by_hand() -> None:
    found = rows(evidence_of("mower"), 25.0 * HOURS)
    assert found["lugs"]["times_a_season"] == pytest.approx(0.5)  # 25 h worked, every 50 h
    assert found["blade"]["times_a_season"] == pytest.approx(2.5)
    assert found["storage charge"]["times_a_season"] == pytest.approx(4.0)
    assert found["cables"]["times_a_season"] == 1.0
    prices = evidence_of("mower").machine.prices
    assert prices is not None
    assert found["guards"]["times_a_season"] == first_number(prices.jobs)


def test_twice_the_work_is_twice_the_times() -> None:
    once, twice = (rows(evidence_of("tiller"), hours * HOURS) for hours in (20.0, 40.0))
    for name, row in once.items():
        factor = 2.0 if row["when"] == "work" else 1.0
        assert twice[name]["times_a_season"] == pytest.approx(factor * row["times_a_season"])


def test_without_a_season_the_reason_is_said() -> None:
    found = rows(shown("cider-mill/wall.toml"), np.nan)
    assert found["brushes"]["times_a_season"] is None
    assert "no season" in found["brushes"]["times_reason"]
    assert found["brushes"]["every_s"] == 50.0 * HOURS


def test_the_reason_without_a_count_is_of_its_cause() -> None:
    """A mower whose hours are not known still has jobs in a season, and a pack that is not endless."""
    found = rows(evidence_of("mower"), np.nan)
    assert "not known" in found["lugs"]["times_reason"]
    assert "never empties" not in found["lugs"]["times_reason"]
    assert found["held control"]["times_reason"] is None
    assert "before each use" in found["held control"]["first_reason"]
    assert "every other" in found["storage charge"]["first_reason"]


def test_the_law_takes_lanes() -> None:
    assert list(np.asarray(intervals.times_within(np.array([0.0, 36_000.0]), 18_000.0))) == [0.0, 2.0]


def test_readings_are_those_of_the_design() -> None:
    evidence = evidence_of("mower")
    found = {name: {one["name"]: one for one in row["limits"]} for name, row in rows(evidence).items()}
    stop = next(one for one in evidence.stops if one.planned is not None)
    worst = found["stopping time"]["blade, at worst (with a full pack, least friction)"]["value_s"]
    assert worst == pytest.approx(first_number(stop.time))
    assert found["stopping time"]["blade, typical"]["value_s"] == pytest.approx(first_number(stop.timed.braked_time))
    assert found["stopping time"]["blade, typical"]["value_s"] < worst
    assert found["stopping time"]["at most"]["value_s"] == 3.0  # 16 CFR 1205.5(a)(1)(iii)
    charger, charging, cell = evidence.machine.charger, evidence.charging, evidence.machine.source.cell
    assert charger is not None
    assert charging is not None
    assert found["charger"]["it ends at"]["value_V"] == first_number(charger.voltage)
    rest = 10 * float(np.interp(first_number(charger.storage), cell.ocv_charge, cell.ocv_volts))
    assert found["storage charge"]["the pack stands at"]["value_V"] == pytest.approx(rest)
    assert rows(evidence)["storage charge"]["every_s"] == pytest.approx(first_number(charging.look))


def test_a_good_plug_s_millivolts_are_those_of_the_joint() -> None:
    evidence = shown("alley-mower.toml")
    assert evidence.guard is not None
    joint = next(one for one in evidence.guard.switches.joints if one.of == "plug")
    limits = {one["name"]: one for one in rows(evidence)["plugs"]["limits"]}
    assert limits["a good plug of blade"]["value_V"] == pytest.approx(first_number(joint.drop))
    assert limits["plug of blade read at"]["value_A"] == pytest.approx(first_number(joint.current))


def test_rows_keep_the_order_of_the_table() -> None:
    order = [str(row["name"]) for row in load("upkeep")]
    for name in ("mower", "corded", "cart"):
        found = [care.name for care in upkeep(evidence_of(name))]
        assert found == sorted(found, key=order.index)


def test_a_charger_too_high_is_not_to_be_bought_again() -> None:
    good, bad = evidence_of("mower"), changed("mower", (("charger.voltage", "46.2 V"),))
    for evidence in (good, bad):
        row = rows(evidence)["charger"]
        assert [one["value_V"] for one in row["limits"]] == [pytest.approx(first_number(evidence.full_voltage))]
        assert "label" not in row["act"]
    assert first_number(bad.machine.charger.voltage) > first_number(bad.full_voltage)  # type: ignore[union-attr]
    low = changed("mower", (("charger.voltage", "41 V"),))
    assert rows(low)["charger"]["limits"][0]["value_V"] == pytest.approx(41.0)


def test_batteries_of_lead_are_no_cells() -> None:
    """They stand open to the air, and what is bought whole is no cell of a few volts."""
    lead = evidence_of("corded")
    said = " ".join(row["look"] + row["why"] for row in rows(lead).values())
    assert "A cell" not in said
    assert "closed box" not in said
    words = [j.verdict.says(60.0, 50.0) for j in judge(lead) if j.rule.slug.startswith(("cell-current", "cell-pulled"))]
    assert len(words) >= 2
    assert all(("each battery" in says) or ("a battery" in says) for says in words)
    cells = [j.verdict.says(60.0, 50.0) for j in judge(evidence_of("mower")) if j.rule.slug == "cell-current-peak"]
    assert all("each cell" in says for says in cells)
