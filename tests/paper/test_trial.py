"""The first power-up and the readings as they are told: bench units, whole sentences, a dash where there is nothing."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import pytest

from headrace import design
from headrace.design.pack_readings import rested
from headrace.design.trial_record import rest_volts_record, trial_record
from headrace.frontends.cli import tables
from headrace.machine import read, read_text, starter
from headrace.pack.resting import UNRESTED
from headrace.paper import readings as told
from headrace.paper import trial as said
from tests.machines import EXAMPLE, evidence_of, repacked, started

EXAMPLES = EXAMPLE.parent


@cache
def record_of(name: str) -> dict[str, Any]:
    plan = started(name)
    return {**trial_record(plan, evidence_of(name)), "pack": rest_volts_record(plan.source)}


def row(name: str, reading: str) -> tuple[str, ...]:
    return next(line for line in told.readings(record_of(name)) if line[0] == reading)


def test_check_says_what_to_set_and_what_to_expect() -> None:
    (sentence,) = said.powering(record_of("pump"))
    assert sentence.startswith("Undo the coupling to the pump, which must not run dry.")
    assert "Feed it at contactor.out and board.load, isolator open, main fuse out" in sentence
    assert "42.0 V, no more than 1.9 A, the motor turns at 4029 rpm and takes 1.3 A" in sentence


def test_a_socket_is_told_in_watts() -> None:
    (sentence,) = said.powering(record_of("corded"))
    assert "230.0 V, the motor turns at 28926 rpm, the shaft behind it at 2410 rpm, and takes 447 W" in sentence
    assert "gearbox stays on" in sentence


def test_a_socket_behind_a_pack_waits_for_the_connecting_order_and_one_in_a_wall_does_not() -> None:
    fed = record_of("corded")["trial"]["chains"][0]
    assert fed["supply"] == "inverter"
    behind = said.powering(record_of("corded"))[0]
    assert "only once the connecting order has come to it and who may has tried that" in behind
    told = " ".join((behind, *said.meanings(record_of("corded"))))
    assert "socket" not in told  # the netlist joins inverter, breaker, switch and motor by wires
    assert "a power meter that who may has joined in between" in behind
    (wall,) = said.powering({"trial": {"chains": [{**fed, "supply": "wall-socket"}]}})
    assert "Feed it from its wall socket behind a residual-current device" in wall
    assert "inverter" not in wall
    assert "connecting order" not in said.powering(record_of("pump"))[0]


def test_a_brake_is_kept_open_put_back_and_tried_with_a_stop() -> None:
    """The starter mower's brake is 0.3 Ω across its motor, closed while its coil is dead."""
    found = record_of("mower")
    (chain,) = found["trial"]["chains"]
    brake = chain["brake"]
    (off,), (back, stop) = said.first(chain)[1:-1], said.last(chain)
    assert "take the motor's wire off blade brake relay.in and cap its end" in off
    assert f"read blade brake relay.in and blade brake resistor.out: {brake['resistance_ohm']:.1f} Ω" in back
    assert "Put the wire back." in back
    assert "Take off what the meter's tips read held together" in back  # a tenth of an ohm or two beside 0.3 Ω
    assert f"its limit {brake['coils_A']:.1f} A higher for the coils" in stop
    assert "If it does not, no tool goes on." in stop
    assert [name for name, *_ in said.steps(chain)] == [
        "blade, its brake's wire off, few volts first",
        "blade, its brake's wire off, then those of a full pack",
    ]
    assert all(sentence in said.powering(found)[0] for sentence in (off, back, stop))
    assert "higher for the coils" not in " ".join(said.last({**chain, "brake": {**brake, "coils_A": None}}))
    assert "brake relay" not in said.powering(record_of("pump"))[0]


def test_what_must_not_run_is_said_with_why() -> None:
    plan = read_text(starter("corded").replace('kind = "gears"', 'kind = "v-belt"', 1)).machine
    found = trial_record(plan, design.evidence(plan))
    assert "Do not run it like that: a universal motor without its load runs up" in said.powering(found)[0]
    (chain,) = found["trial"]["chains"]
    assert said.steps(chain)[0][2].startswith("not run: ")
    assert said.steps(chain)[0][3] == "–"
    assert said.first(chain) == [said.before(chain)]
    assert said.last(chain) == []


def test_steps_have_what_is_set_and_how_warm_it_gets() -> None:
    first, second = said.steps(record_of("pump")["trial"]["chains"][0])
    assert first[0] == "pump, few volts first"
    assert second[1] == "42.0 V, limit 1.9 A"
    assert second[3].startswith("5 min; then the case is at ")


def test_states_stand_in_columns_of_charge() -> None:
    found = record_of("pump")
    assert [head.split(":")[0] for head in said.charges(found)] == [
        "full, 100 %",
        "half full, 50 %",
        "at the reserve, 10 %",
    ]
    rows = dict(said.at_work(found))
    assert len(rows["pumping"]) == 3
    assert rows["tank full"][0].endswith("stands still, switched off")


def test_several_chains_are_named() -> None:
    plan = read(EXAMPLES / "strip-mower.toml").machine
    found = trial_record(plan, design.evidence(plan))
    assert [line.split(":")[0] for line in said.powering(found)] == ["Blade", "Axle"]
    assert "blade 3303 rpm (cold 3112 rpm), axle 62 rpm" in dict(said.at_work(found))["strips"][0]


def test_the_other_controllers_are_kept_off_in_a_step_of_its_own_before_the_first_volts() -> None:
    """The undone lead still hangs on contactor.out, which the supply feeds: only the terminal it came off is dead."""
    plan = read(EXAMPLES / "strip-mower.toml").machine
    found = trial_record(plan, design.evidence(plan))
    for one, other in zip(found["trial"]["chains"], ("axle", "blade"), strict=True):
        off, fed = said.first(one)[1], said.first(one)[-1]
        assert off.startswith(f"Supply off: undo the lead at {other} controller.plus and cover its end")
        assert "its end, which is live once the supply is on" in off
        assert f"no volts at {other} controller.plus" in off
        assert f"the enable of the {other} controller" in off
        assert fed.startswith("Feed it at")
        back = f"Supply off: put the lead back at {other} controller.plus"
        assert len([says for says in said.last(one) if says.startswith(back)]) == 1
        assert len(said.steps(one)) == 2  # nothing to fill in but what is set and read
    assert "kept off" not in said.powering(record_of("pump"))[0]
    assert "undo the lead" not in said.powering(record_of("pump"))[0]


def test_of_three_chains_each_terminal_has_a_sentence_of_its_own_by_the_name_of_its_part() -> None:
    (one,) = record_of("pump")["trial"]["chains"]
    ends = ["axle controller.plus", "mill inverter.plus"]
    apart = said.first({**one, "kept_off": ends})[1:3]
    for sentence, part in zip(apart, ("axle controller", "mill inverter"), strict=True):
        assert sentence.count(f"{part}.plus") == 2
        assert f"the enable of the {part} off" in sentence
        assert sum(end in sentence for end in ends) == 1
    assert len(said.last({**one, "kept_off": ends})) == 2


def test_behind_an_inverter_that_the_pack_feeds_the_isolator_and_the_fuse_are_what_is_off() -> None:
    (one,) = record_of("corded")["trial"]["chains"]
    (apart,) = said.first({**one, "kept_off": ["axle controller.plus"]})[1:-1]
    assert apart.startswith("Isolator open, main fuse out: undo the lead")
    assert "live once the isolator is closed" in apart
    assert "upply" not in apart


def test_a_mechanical_brake_is_set_again_as_the_last_of_its_motor() -> None:
    (one,) = record_of("winch")["trial"]["chains"]
    assert said.last(one)[-1] == one["mechanical_brake_back"]
    assert said.powering(record_of("winch"))[0].endswith("The rope goes back where the connecting order says so.")


def test_small_volts_are_millivolts_and_small_ohms_milliohms() -> None:
    assert row("mower", "fuse of blade")[2].endswith(" mV")
    assert row("mower", "rest full")[2] == "42.0 V"
    assert row("mower", "resistance of the pack")[2].endswith(" mΩ")


@pytest.mark.parametrize(
    ("reading", "fine"),
    [("rest full", "41.6 V to 42.2 V (usual)"), ("groups apart", "up to 18.2 mV (usual)")],
)
def test_what_is_still_fine_says_by_what(reading: str, fine: str) -> None:
    assert row("mower", reading)[3] == fine


def test_a_reading_at_rest_says_after_how_long_and_of_what_volts_are_missing() -> None:
    """Off the charger a lead-acid battery stands above its volts at rest for hours: it rests a day, cells two hours."""
    assert row("mower", "rest full")[1] == "pack.plus and pack.minus; rested for 2.0 h, nothing connected"
    assert row("corded", "rest full")[1] == "pack.plus and pack.minus; rested for 24 h, nothing connected"
    assert row("mower", "rest full")[4].startswith("A group's volts less")
    assert row("corded", "rest full")[4].startswith("One battery's volts less")
    assert (
        "More, and falling by the hour: not rested since the charger. More and staying" in row("corded", "rest full")[4]
    )
    assert "falling by the hour" not in row("mower", "rest full")[4]
    assert told.rested_for(record_of("mower")) == "rested for 2.0 h, nothing connected"
    for name in ("mower", "corded"):
        assert not any("cell's volts" in one["differs"].lower() for one in record_of(name)["bench_readings"])
        rested = {one["name"]: one["rested_s"] for one in record_of(name)["bench_readings"]}
        for reading in ("rest full", "rest half full", "rest at the reserve", "resistance of the pack"):
            assert rested[reading] == record_of(name)["pack"]["rested_s"]
        assert rested["motor's case after the work"] is None


@pytest.mark.parametrize("name", ["mower", "corded"])
def test_more_volts_than_expected_are_the_chargers_doing_only_of_a_full_pack(name: str) -> None:
    """Below full they say no more than that there is more charge in it than was believed."""
    full, *emptier = (row(name, f"rest {charge}")[4] for charge in ("full", "half full", "at the reserve"))
    assert "fuller than taken for" not in full
    assert "wrong charger, stop." in full
    assert "not charged to the end" in full
    for says in emptier:
        assert "fuller than taken for" in says
        assert "staying: a wrong charger" not in says
        assert "not charged to the end" not in says
    assert "More than a full pack has: overcharged" in row("mower", "rest half full")[4]  # at any reading


def test_what_is_read_minutes_after_the_charger_says_why_it_is_not_rested() -> None:
    """A full cell of iron phosphate falls to its plateau as it rests, and nothing is connected either way."""
    blocks = repacked("blocks")
    rows = {one["name"]: one for one in trial_record(blocks.machine, blocks)["bench_readings"]}
    assert rows["rest full"]["rested_s"] is None
    assert "plateau" in rows["rest full"]["rested_reason"]
    assert rows["rest half full"]["rested_s"] > 0.0
    assert rows["rest half full"]["rested_reason"] is None
    assert rows["amps in grass"]["rested_reason"] == UNRESTED


def test_a_finished_pack_is_not_opened_for_volts_that_are_missing() -> None:
    finished = repacked("finished")
    (full,) = [one for one in trial_record(finished.machine, finished)["bench_readings"] if one["name"] == "rest full"]
    assert "it is not opened" in full["differs"]


def test_a_joint_is_fine_up_to_twice() -> None:
    assert row("mower", "fuse of blade")[3].endswith("(twice what is expected)")


def test_a_band_of_the_draws_goes_before_what_is_usual() -> None:
    one = next(one for one in record_of("mower")["bench_readings"] if one["name"] == "amps in grass")
    banded = {**one, "expected_A": {"typical": 20.0, "low": 15.0, "high": 30.0}, "fine_by": "draws"}
    (line,) = told.readings({"bench_readings": [banded]})
    assert line[2:4] == ("20.0 A", "15.0 A to 30.0 A (from the bands of your numbers)")


def test_what_is_not_read_is_no_row_and_says_why_once() -> None:
    found = record_of("corded")
    assert "cord of mill" not in {line[0] for line in told.readings(found)}
    (mains,) = [says for says in told.unread(found) if "cord of mill" in says]
    assert mains.startswith("Not read: ")
    assert "licensed practice" in mains
    assert "groups" not in " ".join(told.unread(found))  # batteries are not wired group by group
    assert len(told.readings(found)) + sum(one["reason"] is not None for one in found["bench_readings"]) == len(
        found["bench_readings"]
    )


def test_the_words_in_brackets_are_explained() -> None:
    (usual,) = told.meanings(record_of("mower"))
    assert usual.startswith("Usual: ")
    assert "from memory" in usual
    one = next(one for one in record_of("mower")["bench_readings"] if one["name"] == "amps in grass")
    banded = {**one, "expected_A": {"typical": 20.0, "low": 15.0, "high": 30.0}, "fine_by": "draws"}
    assert told.meanings({"bench_readings": [banded]})[0].startswith("From the bands of your numbers: ")


def test_amps_at_work_are_warm_and_those_of_a_cold_machine_stand_behind_them() -> None:
    (cell, *_) = dict(said.at_work(record_of("mower")))["grass"]
    state = next(one for one in record_of("mower")["trial"]["charges"][0]["states"] if one["name"] == "grass")
    assert f"{state['current_A']:.1f} A (cold {state['cold_current_A']:.1f} A)" in cell
    (blade,) = state["chains"]
    warm, cold = (blade[f"{when}tool_speed_rad_s"] * 30.0 / math.pi for when in ("", "cold_"))
    assert cold < 0.98 * warm  # a good machine, cold, is slower than one that is warm from work
    assert cell.endswith(f"{warm:.0f} rpm (cold {cold:.0f} rpm)")
    assert "magnets lose some strength" in said.meanings(record_of("mower"))[-1]
    assert "magnets" not in said.meanings(record_of("corded"))[-1]
    when = row("mower", "amps in grass")[1]
    assert when.endswith("pack full, once warm")
    assert "motor cold" in row("mower", "blade to rest, braked")[1]


def test_a_tool_is_let_run_free_as_its_kind_has_it() -> None:
    """A pump never dry, a cart off its wheels."""
    assert "pump to rest, coasting" not in {line[0] for line in told.readings(record_of("pump"))}
    assert any("must not run dry" in says for says in told.unread(record_of("pump")))
    assert "run up" not in " ".join(line[1] for line in told.readings(record_of("pump")))
    assert row("cart", "axle to rest, coasting")[1].split("; ")[1].startswith("the driven wheels off the ground")


def test_an_inverter_that_idles_on_is_said_so() -> None:
    found = dict(said.at_work(record_of("corded")))
    idle = next(cells[0] for cells in found.values() if "switched off" in cells[0])
    assert "the inverter idles on" in idle
    assert "idles" not in dict(said.at_work(record_of("pump")))["tank full"][0]


def test_two_loads_are_told_with_their_amps_and_volts() -> None:
    sentence = told.two_loads(record_of("mower"))
    assert "draw 7.0 A for 10 s" in sentence
    assert "at once 35.0 A for 1 s" in sentence
    assert "lamps or a load resistor" in sentence
    assert "held to what pack and main fuse let through" in told.two_loads(record_of("corded"))
    assert told.two_loads({"two_loads": {"reason": "never empties"}}) == ""


def test_the_card_of_rest_volts_has_every_tenth() -> None:
    rows = told.resting(record_of("mower"))
    assert len(rows) == len(rested(started("mower").source)) == 11
    assert rows[0] == ("100 %", "42.0 V", "4.200 V", "")


def test_check_has_the_section() -> None:
    titles = dict(tables._sections({**{key: [] for key in ("starts", "stops", "slopes", "warming", "conductors")},
                                    "source": "cells", "fuse": None, **record_of("pump")}))  # fmt: skip
    assert titles["FIRST POWER-UP"] == said.powering(record_of("pump"))
