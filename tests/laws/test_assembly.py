"""The building of a machine: volts of every step are the pack's own, and nothing live is called dead.

Hand calculations: cells in series add; what a cell is charged with over its own ohms is the volts it may lie apart.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
import pytest

from headrace.design.assembly_record import assembly_record
from headrace.design.netlist_record import netlist_record
from headrace.findings import Evidence
from headrace.machine.values import first_number
from headrace.pack import source as pack
from headrace.pack.transport import touch_limit
from headrace.tables import load
from headrace.wiring.assembly_volts import cells_apart
from headrace.wiring.touch import touch_words
from tests.laws.test_netlist import PACKED
from tests.machines import PACKS, Record, evidence_of, repacked, shown
from tests.wiring.machines import lines, lists_of

SHOWN = ("alley-mower.toml", "strip-mower.toml", "wood-cart.toml", *(f"cider-mill/{n}.toml" for n in ("belt", "wall")))
BARE = tuple(name for name in PACKED if name != "corded")


def of(evidence: Evidence) -> Record:
    return assembly_record(evidence.machine, evidence)


def steps(evidence: Evidence, key: str = "steps") -> dict[str, Record]:
    found = {step["name"]: step for step in of(evidence)[key]}
    assert len(found) == len(of(evidence)[key])  # a step's name is its address
    return found


def rested(evidence: Evidence, groups: float, charge: float) -> float:
    cell = evidence.machine.source.cell
    return groups * float(np.interp(charge, cell.ocv_charge, cell.ocv_volts))


Find = Callable[[str], Evidence]
EVERY = (
    *(pytest.param(evidence_of, name, id=name) for name in PACKED),
    *(pytest.param(repacked, name, id=name) for name in (*PACKS, "supply")),
    *(pytest.param(shown, name, id=name) for name in SHOWN),
)


# --- every machine -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("find", "name"), EVERY)
@pytest.mark.parametrize("key", ["steps", "without_cells"])
def test_every_machine_has_a_whole_list(find: Find, name: str, key: str) -> None:
    found = steps(find(name), key)
    assert len(found) >= 9
    for step in found.values():
        assert step["does"].endswith(".")
        assert step["cover"].endswith(".")
        assert step["tools"]
        assert step["hands"]
        assert {"rings, watch and chains"} <= set(step["never"])
        assert (step["full_V"] is None) == (step["reason"] is not None)
        assert bool(step["read"]) == bool(step["differs"])


@pytest.mark.parametrize(("find", "name"), EVERY)
@pytest.mark.parametrize("key", ["steps", "without_cells"])
def test_once_something_is_live_everything_after_it_is(find: Find, name: str, key: str) -> None:
    """What a socket or a supply feeds is dead again with its plug out, while the tool is put on."""
    found = steps(find(name), key)
    unplugged = {"tool"} if find(name).machine.source.endless else set()
    live = [step["live"] for step in found.values() if step["name"] not in unplugged]
    assert not any(found[step]["live"] for step in unplugged)
    assert live == sorted(live)
    assert live[0] is False
    assert live[-1] is True


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_a_dead_step_has_no_volts_within_reach_and_a_live_one_has(find: Find, name: str) -> None:
    for step in steps(find(name)).values():
        assert (step["reach_V"] > 0.0) == step["live"]
        if not step["live"]:
            assert step["full_V"] is None
            assert step["touch"] is None
            kept_away = {"wall-socket": "plugged in", "bench-supply": "a supply that is on"}
            feeds = kept_away.get(find(name).machine.source.kind, "pack")
            assert any(feeds in never for never in step["never"])


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_no_dead_step_handles_cells_or_batteries(find: Find, name: str) -> None:
    for step in steps(find(name)).values():
        if re.search(r"\b(read each|plus to minus|each cell|each battery)\b", step["does"]):
            assert step["live"], step["name"]


@pytest.mark.parametrize(("find", "name"), EVERY)
def test_the_whole_pack_is_read_at_the_volts_of_the_record(find: Find, name: str) -> None:
    evidence = find(name)
    most = max(step["reach_V"] for step in steps(evidence).values())
    source = evidence.machine.source
    rest = first_number(source.series) * first_number(pack.open_voltage(source.cell, 1.0))
    assert most == pytest.approx(rest if not source.endless else first_number(evidence.full_voltage))
    if evidence.order:
        read = next(step for step in evidence.order if step.name == "pack")
        assert most == pytest.approx(first_number(read.full))


# --- of bare cells -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BARE)
def test_volts_grow_from_a_cell_to_halves_to_the_whole(name: str) -> None:
    evidence = evidence_of(name)
    found, series = steps(evidence), first_number(evidence.machine.source.series)
    assert found["cells"]["full_V"] == found["groups"]["full_V"] == pytest.approx(rested(evidence, 1.0, 1.0))
    halves = [found[f"{side} half"]["full_V"] for side in ("lower", "upper")]
    assert sum(halves) == pytest.approx(found["whole"]["full_V"]) == pytest.approx(rested(evidence, series, 1.0))
    assert found["whole"]["half_V"] == pytest.approx(rested(evidence, series, 0.5))
    assert found["sense wires"]["full_V"] == pytest.approx(found["groups"]["full_V"])
    assert found["sense wires"]["reach_V"] == found["whole"]["full_V"]


def test_the_starter_s_mower_by_hand() -> None:
    found = steps(evidence_of("mower"))  # ten groups of seven, 4.2 V full
    assert found["whole"]["full_V"] == pytest.approx(42.0)
    assert found["lower half"]["full_V"] == pytest.approx(21.0)
    assert "Count 70 cells" in found["cells"]["does"]
    assert "Set 7 cells" in found["groups"]["does"]
    assert "nickel strip 8 mm by 0.3 mm" in found["groups"]["does"]
    assert "Fix 11 thin wires" in found["sense wires"]["does"]
    assert "fish paper" in found["rings"]["does"]
    assert "0.3 Ω" in found["brake resistor"]["does"]


def test_halves_of_an_odd_count_differ_by_one_group() -> None:
    found = steps(repacked("thirteen"))
    assert found["lower half"]["full_V"] == pytest.approx(6 * 4.2)
    assert found["upper half"]["full_V"] == pytest.approx(7 * 4.2)


def test_few_groups_are_built_in_one_row_and_single_cells_are_not_welded_side_by_side() -> None:
    few = steps(repacked("three"))
    assert "row" in few
    assert "lower half" not in few
    assert few["row"]["full_V"] == pytest.approx(3 * 4.2)
    assert "each a group by itself" in steps(repacked("one-beside"))["groups"]["does"]


def test_blocks_are_bolted_and_never_welded() -> None:
    found = steps(repacked("blocks"))
    assert "compressed" in found
    assert "weld coupon" not in found
    assert "rings" not in found
    assert not [step for step in found.values() if "welder" in step["tools"]]


def test_the_weld_is_tried_before_any_cell_is_unpacked() -> None:
    names = list(steps(evidence_of("mower")))
    assert names.index("weld coupon") < names.index("cells")
    assert steps(evidence_of("mower"))["weld coupon"]["live"] is False


@pytest.mark.parametrize("name", ["mower", "saw", "winch"])
def test_cells_may_lie_apart_by_what_charges_the_other_too_fast(name: str) -> None:
    evidence = evidence_of(name)
    cell = evidence.machine.source.cell
    apart = first_number(cells_apart(evidence.machine))
    assert of(evidence)["cells_apart_V"] == pytest.approx(apart)
    ohms = apart / first_number(cell.charge_current)
    assert 0.3 < ohms / first_number(cell.resistance) < 1.5  # warm cells have less than at 25 °C, and strips a little
    assert f"less than {apart:.2f} V apart" in steps(evidence)["cells"]["does"]


@pytest.mark.parametrize("name", PACKED)
def test_packs_side_by_side_may_lie_apart_by_twice_what_charges_one_too_fast(name: str) -> None:
    """Between two alike stand the ohms of both: U = I · 2 R, I what the row may be charged with, R all cells in row."""
    evidence = evidence_of(name)
    source = evidence.machine.source
    apart, cell = of(evidence)["rows_apart_V"], of(evidence)["cells_apart_V"]
    assert apart == pytest.approx(2.0 * float(first_number(source.series)) * cell, rel=0.25)  # strips between groups
    assert apart >= 2.0 * float(first_number(source.series)) * cell * (1.0 - 1e-9)


def test_of_several_finished_packs_netlist_and_shopping_list_say_what_they_leave_out() -> None:
    """Two of 30 A: the drawing has one pack, the list counts two and none of their fuses, the step names the volts."""
    two, one = repacked("two-finished"), repacked("finished")
    step = steps(two)["packs side by side"]
    apart = f"{of(two)['rows_apart_V']:.2f} V"
    assert f"less than {apart} apart" in step["does"]
    assert "a fuse of its own at its plus" in step["does"]
    assert apart in step["read"]
    assert step["differs"].startswith(f"{apart} or more")
    for evidence, many in ((two, True), (one, False)):
        (drawn,) = (part for part in netlist_record(evidence)["netlist"]["parts"] if part["kind"] == "pack")
        assert (drawn["note"] is not None) == many
        bill, _ = lists_of(evidence.machine, evidence)
        line = lines(bill)["ready-made packs"]
        assert ("does not count" in line["says"]) == many
        assert line["count"] == (2.0 if many else 1.0)
    drawn = netlist_record(two)["netlist"]["parts"][0]
    assert drawn["note"].startswith("stands for 2 finished packs side by side, which are not drawn one by one")


def test_what_is_wrapped_is_not_felt_with_a_finger() -> None:
    """All the pack's volts lie under that sheet."""
    step = steps(evidence_of("mower"))["wrapped"]
    assert step["reach_V"] == pytest.approx(42.0)
    assert "never with a finger" in step["read"]
    assert {"plastic rod", "meter"} <= set(step["tools"])
    assert "finger over" not in str(of(evidence_of("mower")))


# --- other sources -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BARE)
def test_without_bare_cells_one_finished_pack_takes_the_place_of_the_live_steps(name: str) -> None:
    record = of(evidence_of(name))
    still, instead = ([s for s in record[key] if not s["live"]] for key in ("steps", "without_cells"))
    assert record["bare_cells"] is True
    assert [s["name"] for s in instead] == [s["name"] for s in still if s["name"] != "weld coupon"]
    assert [s["name"] for s in record["without_cells"] if s["live"]] == ["finished pack"]
    assert not [s for s in record["without_cells"] if "welder" in s["tools"]]
    whole = next(s for s in record["steps"] if s["name"] == "whole")
    assert record["without_cells"][-1]["full_V"] == pytest.approx(whole["full_V"])


@pytest.mark.parametrize("name", ["finished", "two-finished"])
def test_a_finished_pack_is_not_opened(name: str) -> None:
    record = of(repacked(name))
    assert record["bare_cells"] is False
    assert record["steps"] == record["without_cells"]
    assert "It is not opened." in record["steps"][-1 if name == "finished" else -2]["does"]
    assert ("packs side by side" in steps(repacked(name))) == (name == "two-finished")


def test_packs_in_turn_are_made_alike() -> None:
    assert "Make 2 of them" in steps(repacked("in-turn"))["packs in turn"]["does"]
    assert "packs in turn" not in steps(evidence_of("mower"))


def test_lead_acid_is_read_by_the_battery_and_by_the_row() -> None:
    evidence = evidence_of("corded")
    found = steps(evidence)
    assert found["batteries"]["full_V"] == pytest.approx(rested(evidence, 1.0, 1.0))
    assert found["row"]["full_V"] == pytest.approx(2.0 * found["batteries"]["full_V"])
    assert "gloves against acid" in found["batteries"]["tools"]
    assert "sense wires" not in found
    assert of(evidence)["bare_cells"] is False


def test_mains_is_left_to_who_may() -> None:
    wall = steps(shown("cider-mill/wall.toml"))
    assert "Licensed practice" in wall["mains"]["does"]
    assert wall["mains"]["full_V"] == pytest.approx(230.0)
    assert [step["name"] for step in wall.values() if step["live"]] == ["mains", "stops tried"]
    assert "joined by who may" in steps(evidence_of("corded"))["mill inverter"]["does"]
    counts = of(shown("cider-mill/wall.toml"))
    assert [counts[key] for key in ("series", "parallel", "cells", "cells_apart_V")] == [None] * 4
    assert counts["reason"]


@pytest.mark.parametrize(("find", "name"), [(shown, "cider-mill/wall.toml"), (repacked, "supply")])
def test_without_a_pack_the_tool_goes_on_dead_and_what_stops_it_is_tried_before_any_work(find: Find, name: str) -> None:
    """No connecting order follows: these are the last steps, after who may, or the supply, has joined it."""
    found = steps(find(name))
    joined, on, tried = list(found.values())[-3:]
    assert joined["name"] == ("mains" if find is shown else "supply")
    assert [on["name"], tried["name"]] == ["tool", "stops tried"]
    assert on["does"].index("first power-up") < on["does"].index("put the tool on, and the guards")
    assert ("Plug out" if find is shown else "Supply off") in on["does"]
    assert "hold the control until it turns, and let go; once more, and press the emergency stop" in tried["does"]
    assert tried["reach_V"] == joined["reach_V"]


def test_a_bench_supply_is_set_before_it_is_joined() -> None:
    found = steps(repacked("supply"))
    assert found["supply"]["full_V"] == pytest.approx(42.0)
    assert "contactor box" not in found


# --- parts of the file -------------------------------------------------------------------------------


def test_steps_follow_the_links_of_the_file() -> None:
    cart = steps(shown("wood-cart.toml"))
    for name in ("axle chain", "axle gearbox", "winch gearbox", "axle motor", "winch motor", "friction brake"):
        assert name in cart
    assert "axle coupling" not in cart
    assert "lamps each behind a fuse" in cart["wires"]["does"]
    assert "brake resistor" not in cart
    assert "blade coupling" in steps(evidence_of("mower"))


def test_stages_are_built_from_the_motor_on() -> None:
    """The cart's gearbox carries a sprocket of its chain: no sprocket is lined up before its box is bolted down."""
    names = list(steps(shown("wood-cart.toml")))
    assert names.index("axle motor") < names.index("axle gearbox") < names.index("axle chain")


def test_only_a_motor_with_magnets_gives_volts_when_it_is_turned() -> None:
    assert "gives volts when it is turned" in steps(evidence_of("mower"))["blade motor"]["cover"]
    assert "volts" not in steps(shown("cider-mill/wall.toml"))["mill motor"]["cover"]


def test_the_brake_s_resistor_is_read_alone_before_a_wire_joins_it_to_a_short() -> None:
    """0.3 Ω beside the 75 mΩ of the motor are 0.06 Ω, which a meter in the hand cannot tell from none."""
    found = steps(shown("alley-mower.toml"))
    names, step = list(found), found["brake resistor"]
    assert names.index("wires") < names.index("brake resistor")
    assert "before a wire is on them" in step["does"]
    assert step["read"].startswith("Ohms of the resistor alone, less those of the meter's tips held together: 0.3 Ω")
    assert "beside the motor" not in step["read"]


@pytest.mark.parametrize("name", ["winch", "cart"])
def test_no_step_of_the_assembly_reads_a_weight_that_is_not_there_yet(name: str) -> None:
    """The drum is bare and the pack not built: a hand tries the brake, and the connecting order its load."""
    read = steps(evidence_of(name))["friction brake"]["read"]
    assert ("bare drum by hand" if name == "winch" else "push the machine") in read
    assert "with it let off all runs free" in read
    assert "holds the whole weight is tried where something moves" in read


# --- touch -------------------------------------------------------------------------------------------


def test_the_limits_of_touch_are_those_typed_in() -> None:
    # 29 CFR 1910.303(g)(2)(i): 50 V; above 60 V of direct current from memory
    rows = load("touch_words")
    assert [(row["name"], float(touch_limit(str(row["limit"])))) for row in rows] == [
        ("guarded", 50.0),
        ("dangerous", 60.0),
    ]


@pytest.mark.parametrize(("volts", "sentences"), [(42.0, 0), (49.9, 0), (50.0, 1), (59.9, 1), (60.1, 2), (230.0, 2)])
def test_words_grow_with_the_volts(volts: float, sentences: int) -> None:
    assert touch_words(volts).count("from here on") == sentences


def test_a_step_warns_by_the_volts_within_its_own_reach() -> None:
    found = steps(repacked("sixteen"))  # 67.2 V full, its halves 33.6 V
    assert found["lower half"]["touch"] is None
    assert "nobody works alone" in found["whole"]["touch"]
    assert "nobody works alone" in found["sense wires"]["touch"]  # read at a group, within reach of the whole
    assert all(step["touch"] is None for step in steps(evidence_of("mower")).values())
