"""The cut list: every wire of the netlist once, lengths as far as the file knows them, and what is pressed on the ends.

Expected lengths are worked out by hand from the file's own lengths; sizes of gauges from their definition.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from headrace import design
from headrace.findings import Evidence
from headrace.machine import edit, read_text, starter
from headrace.machine.joins import parted
from headrace.machine.values import is_known
from headrace.tables import load
from headrace.wiring.conductors import NUMBERS
from headrace.wiring.cuts import OF_MAINS, OWN_CORD, PRESSED, cuts
from tests.laws.test_dc_dc import winch
from tests.machines import repacked
from tests.wiring.machines import ALL, EXAMPLES, Record, cut_list, evidence, lines, lists, lists_of, machine

HAND = 0.1  # m, tables/defaults.csv, cuts.stub: 33 CFR 183.455(b)(1) allows seven inches, 0.178 m
SENSE = 0.5  # m, tables/defaults.csv, cuts.sense: from memory
ALLOWANCE = 0.1  # tables/defaults.csv, cuts.allowance: a tenth more than is laid, from memory
READY = (
    '[source]\nkind = "ready-made"\nvoltage = "36 V"\ncapacity = "12 Ah"\ncurrent = "25 A"\nprice = 210\nin_turn = 2\n'
)


def size(cut: Record, name: str) -> Record:
    return next(size for size in cut["sizes"] if size["name"] == name)


def piece(cut: Record, start: str, end: str) -> Record:
    return next(piece for piece in cut["pieces"] if (piece["from"], piece["to"]) == (start, end))


def ready_made() -> str:
    """Return the mower's starter on a pack that is bought whole."""
    head, _, tail = starter("mower").partition("[source]\n")
    rest = tail[tail.index("\n[job]") :]
    return head + READY + rest


@pytest.mark.parametrize("name", ALL)
def test_every_wire_of_the_netlist_is_one_piece(name: str) -> None:
    found, (_, cut) = evidence(name).netlist, lists(name)
    if found is None:
        assert [(p["from"], p["to"]) for p in cut["pieces"]] == [("plug", "mill switch")]
        assert cut["reason"] is None
        return
    assert cut["reason"] is None
    assert [(p["from"], p["to"]) for p in cut["pieces"]] == [wire.ends for wire in found.wires]
    assert [p["carries"] for p in cut["pieces"]] == [wire.carries for wire in found.wires]


@pytest.mark.parametrize("name", ALL)
def test_nothing_is_empty_without_its_reason(name: str) -> None:
    _, cut = lists(name)
    for one in cut["pieces"]:
        assert one["length_m"] is not None or one["reason"], one
        assert (one["basis"] is None) == (one["length_m"] is None)
        assert one["basis"] != "assumed" or "estimate" in one["reason"]
        assert (one["least_m2"] is not None) == (one["area_reason"] is None)
        assert (one["gauge"] is not None) == (one["gauge_reason"] is None)
        assert one["area_m2"] is None or one["least_m2"] is None or one["area_m2"] >= one["least_m2"]
        assert len(one["ends"]) == 2
    for one in cut["sizes"]:
        assert (one["length_m"] is not None) == (one["reason"] is None)
        assert (one["area_m2"] is not None) == (one["area_reason"] is None)
    for one in cut["runs"]:
        assert one["one_way_m"] > 0.0
        assert (one["area_m2"] is not None) == (one["reason"] is None)


@pytest.mark.parametrize("name", ALL)
def test_each_end_that_is_pressed_is_bought_once(name: str) -> None:
    _, cut = lists(name)
    ends = [end for one in cut["pieces"] for end in one["ends"]]
    assert len(ends) == 2 * len(cut["pieces"])
    for made in PRESSED:
        bought = [end["count"] for one in cut["sizes"] for end in one["ends"] if end["name"].startswith(made)]
        assert sum(bought) == ends.count(made)


@pytest.mark.parametrize("name", [name for name in ALL if name not in ("wall",)])
def test_a_thick_wire_of_direct_current_has_a_lug_at_each_end(name: str) -> None:
    found, (_, cut) = evidence(name).netlist, lists(name)
    assert found is not None
    main = [one for one in cut["pieces"] if one["carries"] == "main"]
    assert {end for one in main for end in one["ends"]} == {"lugs"}
    bought = sum(
        end["count"]
        for name_of in {one["size"] for one in main}
        for end in size(cut, name_of)["ends"]
        if end["name"].startswith("lugs")
    )
    assert bought >= 2 * len(main)


@pytest.mark.parametrize("name", ALL)
def test_what_is_bought_of_a_size_is_what_is_laid_and_a_tenth_more(name: str) -> None:
    _, cut = lists(name)
    assert cut["allowance"] == ALLOWANCE
    for one in cut["sizes"]:
        if one["length_m"] is not None:
            assert one["length_m"] == pytest.approx(one["laid_m"] * (1.0 + ALLOWANCE), rel=1e-12)


def test_the_pieces_of_a_run_are_known_together_by_hand() -> None:
    """The alley mower's cable is 0.7 m one way: 1.4 m out and back, 1.54 m with a tenth for bends."""
    _, cut = lists("alley-mower")
    (run,) = (run for run in cut["runs"] if run["basis"] == "given")
    assert run["there_and_back_m"] == pytest.approx(1.4)
    assert len(run["shared_by"]) == 6  # out: fuse, isolator, contactor, controller; back: board, pack
    assert size(cut, "cable 10 mm²")["length_m"] == pytest.approx(1.54)
    first = piece(cut, "pack.plus", "fuse.in")
    assert (first["length_m"], first["run"]) == (None, "source's side of the blade")
    assert "measure each" in first["reason"]
    jumper = piece(cut, "pre-charge resistor.out", "contactor.out")
    assert (jumper["length_m"], jumper["run"], jumper["area_m2"]) == (HAND, None, pytest.approx(0.5e-6))
    assert "across the contactor" in jumper["reason"]


def test_behind_the_contactor_each_chain_has_its_own_cable_by_hand() -> None:
    """The strip mower's blade has 10 mm² and its axle 4 mm² of 0.8 m: 1.76 m of each with a tenth for bends."""
    _, cut = lists("strip-mower")
    runs = [run for run in cut["runs"] if run["carries"] == "main"]
    assert [run["one_way_m"] for run in runs] == [0.8, 0.8]
    areas = {one["to"] if one["from"] == "contactor.out" else one["from"]: one["area_m2"] for one in cut["pieces"]}
    assert areas["axle controller.plus"] == pytest.approx(4e-6)
    assert areas["blade controller.plus"] == pytest.approx(10e-6)
    assert piece(cut, "isolator.out", "contactor.in")["area_m2"] == pytest.approx(10e-6)  # shared: the thickest
    assert piece(cut, "pack.plus", "fuse.in")["run"] == "source's side of the blade"
    assert piece(cut, "board.load", "axle controller.minus")["area_m2"] == pytest.approx(4e-6)
    for name in ("cable 10 mm²", "cable 4 mm²"):
        assert size(cut, name)["length_m"] == pytest.approx(1.76)


def test_a_thin_cable_behind_the_main_fuse_is_laid_as_thick_as_that_asks_for() -> None:
    """The axle's 1 mm² would bear the axle, and not what a 30 A fuse lets through."""
    text = (EXAMPLES / "strip-mower.toml").read_text().replace('area = "4 mm²"', 'area = "1 mm²"')
    found = design.evidence(read_text(text).machine)
    assert found.netlist is not None
    assert found.fused is not None
    axle = next(wire for wire in found.netlist.wires if wire.ends == ("contactor.out", "axle controller.plus"))
    assert axle.area == pytest.approx(found.fused.wire_area)
    assert axle.area > 1e-6


def test_what_has_no_length_is_as_long_as_the_longest_run_and_says_so() -> None:
    """On the wood cart the runs are 1.2 m and 2 m: all that is thin is taken as 2 m, but for the sense wires."""
    _, cut = lists("wood-cart")
    assert max(run["one_way_m"] for run in cut["runs"]) == 2.0
    thin = [one for one in cut["pieces"] if one["carries"] in ("control", "charge", "sense")]
    stubs = [one for one in thin if one["from"].startswith("pack.pin-")]
    assert all(one["length_m"] is None and "fuse sits where it leaves the pack" in one["reason"] for one in stubs)
    short = [one for one in thin if one["length_m"] == HAND]
    assert {"fuse.out", "isolator.out", "contactor.in"} <= {one["from"] for one in short}
    assert all("as short as a hand" in one["reason"] for one in short)
    estimated = [one for one in thin if one not in stubs and one not in short]
    assert len(estimated) > len(stubs) > 0
    sense = [one for one in estimated if one["carries"] == "sense"]
    assert {(one["length_m"], one["basis"]) for one in sense} == {(SENSE, "assumed")}
    assert all("a board beside it" in one["reason"] for one in sense)
    others = [one for one in estimated if one not in sense]
    assert {(one["length_m"], one["basis"]) for one in others} == {(2.0, "assumed")}
    longest = next(run for run in cut["runs"] if run["one_way_m"] == 2.0)
    assert cut["estimated_by"] == longest["name"]


@pytest.mark.parametrize("name", [name for name in ALL if name != "wall"])
def test_what_leads_to_a_small_fuse_is_shorter_than_seven_inches(name: str) -> None:
    """33 CFR 183.455(b)(1): a fuse sits at the source of power for its conductor, or within seven inches of it."""
    found, (_, cut) = evidence(name).netlist, lists(name)
    assert found is not None
    before = [wire.ends for wire in found.wires if wire.fuse and f"{wire.fuse}.in" in wire.ends]
    for start, end in before:
        if not start.startswith("pack.pin-"):  # whose fuse sits where it leaves the pack
            one = piece(cut, start, end)
            assert one["length_m"] <= 7 * 0.0254
            assert one["basis"] == "assumed"


def test_mains_behind_an_inverter_run_in_one_cord_of_the_run_s_length() -> None:
    """The mill's cord is 3 m: live and neutral lie in it, so 3.3 m are bought; its neutral ends at the motor."""
    _, cut = lists("inverter")
    cord = size(cut, "cord 1.5 mm²")
    assert cord["length_m"] == pytest.approx(3.3)
    neutral = piece(cut, "mill mains breaker.neutral-out", "mill motor.neutral")
    assert (neutral["length_m"], neutral["basis"]) == (3.0, "given")
    assert {end for one in cut["pieces"] if one["size"] == cord["name"] for end in one["ends"]} == {
        "ferrules",
        "lugs",
    }
    earth = piece(cut, "mill inverter.earth", "mill motor.earth")
    assert (earth["size"], earth["length_m"], earth["ends"]) == (cord["name"], 3.0, ["lugs", "lugs"])
    behind = piece(cut, "mill switch.out", "mill motor.live")
    assert (behind["length_m"], behind["reason"], behind["area_reason"]) == (None, OWN_CORD, OWN_CORD)
    assert set(behind["ends"]) == {OF_MAINS}


@pytest.mark.parametrize("name", ["corded", "inverter"])
def test_the_cord_that_a_motor_came_with_is_kept_and_not_bought(name: str) -> None:
    bill, cut = lists(name)
    kept = [one for one in cut["pieces"] if one["reason"] == OWN_CORD]
    assert [one["size"] in {size["name"] for size in cut["sizes"]} for one in kept] == [False]
    assert not [line["name"] for line in bill["lines"] if line["name"].endswith(" for the motor")]


def test_a_wall_socket_s_lead_is_bought_as_a_cord() -> None:
    _, cut = lists("wall")
    (cord,) = cut["sizes"]
    assert cord["name"] == "cord 1.5 mm²"
    assert cord["length_m"] == pytest.approx(1.1 * 25.0)
    assert cord["ends"] == []
    (piece,) = cut["pieces"]
    assert (piece["size"], piece["length_m"], piece["basis"]) == ("cord 1.5 mm²", 25.0, "given")
    assert set(piece["ends"]) == {OF_MAINS}  # joined by who may: nothing is pressed on


def test_a_supply_s_leads_are_one_piece_for_each_conductor() -> None:
    """The mower's cable is 0.8 m one way: a piece for plus and one for minus, a lug at each end."""
    found = repacked("supply")
    bill, cut = lists_of(found.machine, found)
    ends = [(piece["from"], piece["to"]) for piece in cut["pieces"]]
    assert ends == [(f"supply.{end}", f"blade controller.{end}") for end in ("plus", "minus")]
    assert [piece["length_m"] for piece in cut["pieces"]] == [0.8, 0.8]
    (lead,) = cut["sizes"]
    assert lead["laid_m"] == pytest.approx(1.6)
    assert [end["count"] for end in lead["ends"]] == [4.0]
    assert lines(bill)["lead fuse"]["count"] == 1.0


def test_a_wire_behind_the_controller_is_as_long_as_its_cable() -> None:
    text = starter("mower")
    motor = text.index('kind = "controller"')
    at = text.rindex("[[chains.links]]", 0, motor)
    lead = '[[chains.links]]\nkind = "cable"\nname = "lead"\nlength = "0.4 m"\narea = "25 mm²"\n\n'
    _, cut = lists_of(read_text(text[:at] + lead + text[at:]).machine)
    for end in ("a", "b"):
        one = piece(cut, f"blade controller.motor-{end}", f"blade motor.{end}")
        assert (one["length_m"], one["basis"], one["size"]) == (0.4, "given", "cable 25 mm²")
    # and the brake's contact and resistor: two as long as the longest run, 0.8 m, and one as short as a hand
    assert size(cut, "cable 25 mm²")["laid_m"] == pytest.approx(0.8 + 2 * 0.8 + HAND)


def test_three_phases_are_three_pieces() -> None:
    _, cut = lists_of(winch())
    assert sum(one["carries"] == "motor" for one in cut["pieces"]) == 2
    _, cut = lists("strip-mower")
    phases = [one for one in cut["pieces"] if one["carries"] == "motor"]
    assert any(one["from"].endswith("motor-c") for one in phases)


def test_a_direct_converter_s_two_wires_are_as_long_as_its_cable() -> None:
    """The winch's test has a cable of 1 m behind its box and none before it: there the usual length is taken."""
    _, cut = lists_of(winch())
    feed = [one for one in cut["pieces"] if one["carries"] == "feed"]
    assert len(feed) == 2
    assert {(one["length_m"], one["basis"], one["reason"]) for one in feed} == {(1.0, "given", None)}
    runs = {run["name"].split()[0]: (run["one_way_m"], run["basis"]) for run in cut["runs"]}
    assert runs == {"feed": (1.0, "given"), "motor's": (0.6, "assumed"), "source's": (0.6, "assumed")}


def test_wires_get_the_size_that_the_netlist_gives_them() -> None:
    """Wires for control are 1.5 mm² where the netlist says so, and their ends are bought in that size."""
    found = evidence("mower")
    assert found.netlist is not None
    sized = tuple(replace(w, area=1.5e-6) if w.carries == "control" else w for w in found.netlist.wires)
    cut = cuts(machine("mower"), replace(found.netlist, wires=sized), found.wires)
    (one,) = (one for one in cut.sizes if one.name == "cable 1.5 mm²")
    control = [wire for wire in sized if wire.carries == "control"]
    short = [wire for wire in control if wire.fuse == "pre-charge fuse" or f"{wire.fuse}.in" in wire.ends]
    assert float(np.asarray(one.laid)) == pytest.approx(0.8 * (len(control) - len(short)) + HAND * len(short))
    assert {name for name, _ in one.ends} == {"lugs 1.5 mm²", "ferrules 1.5 mm²", "push-on sleeves 1.5 mm²"}
    assert sum(float(np.asarray(count)) for _, count in one.ends) == 2 * len(control)
    assert "cable for control" not in [size.name for size in cut.sizes]


def test_the_inside_of_a_ready_made_pack_is_not_cut() -> None:
    plan = read_text(ready_made()).machine
    found = design.evidence(plan)
    _, cut = lists_of(plan, found)
    inside = [one for one in cut["pieces"] if {parted(one[end])[0] for end in ("from", "to")} <= {"pack", "board"}]
    assert inside
    assert all("not opened" in one["reason"] for one in inside)
    assert "sense wire" not in [one["name"] for one in cut["sizes"]]
    main = size(cut, next(one["size"] for one in cut["pieces"] if one["carries"] == "main"))
    outside = [one for one in cut["pieces"] if one["carries"] == "main" and one not in inside]
    assert sum(end["count"] for end in main["ends"]) == 2 * len(outside)


def test_without_any_cable_in_the_file_every_length_is_the_usual_one_and_told_as_an_estimate() -> None:
    """The table of defaults has 0.6 m one way for a cable that the file says nothing of."""
    text = starter("mower")
    at = text.index('[[chains.links]]\nkind = "cable"')
    end = text.index("[[chains.links]]", at + 1)
    _, cut = lists_of(read_text(text[:at] + text[end:]).machine)
    runs = {run["name"]: (run["one_way_m"], run["basis"]) for run in cut["runs"]}
    assert runs == {f"{side}'s side of the blade": (0.6, "assumed") for side in ("motor", "source")}
    assert {one["basis"] for one in cut["pieces"]} == {"assumed", None}
    assert {one["length_m"] for one in cut["pieces"]} == {0.6, HAND, SENSE, None}
    told = {one["reason"] for one in cut["pieces"] if one["from"].startswith("blade controller.motor")}
    assert len(told) == 1
    assert "an estimate: as long as a usual cable" in told.pop()


@pytest.mark.parametrize("name", ALL)
def test_nothing_is_estimated_by_a_mains_cord(name: str) -> None:
    """A cord of 5 m goes to the socket; wires of coils and charge port stay on the machine, as its main line does."""
    _, cut = lists(name)
    by = next((run for run in cut["runs"] if run["name"] == cut["estimated_by"]), None)
    assert (by is None) == (evidence(name).netlist is None)
    if by is None:
        return
    near = [run["one_way_m"] for run in cut["runs"] if run["carries"] == "main" and run["basis"] == by["basis"]]
    assert by["one_way_m"] == max(near)
    guessed = [piece for piece in cut["pieces"] if (piece["reason"] or "").endswith("on the pack's side")]
    assert guessed
    assert all(piece["length_m"] == by["one_way_m"] for piece in guessed)


def test_a_cord_of_any_length_moves_no_control_wire() -> None:
    """The corded starter's inverter feeds 5 m of cord; its own leads to the batteries are shorter by far."""
    short, long = (
        lists_of(read_text(edit(starter("corded"), {"chains.mill.cord.length": length})).machine)[1]
        for length in ("2 m", "9 m")
    )
    assert size(short, "cable 0.5 mm²") == size(long, "cable 0.5 mm²")


def test_a_given_run_is_what_others_are_estimated_by_however_short() -> None:
    """The file's 0.3 m come before the usual 0.6 m of the motor's side, which nobody has measured."""
    _, cut = lists_of(read_text(edit(starter("mower"), {"chains.blade.cable.length": "0.3 m"})).machine)
    assert cut["estimated_by"] == "source's side of the blade"
    assert {one["length_m"] for one in cut["pieces"] if one["carries"] == "control"} == {0.3, HAND}


BY_GAUGE = ("ampacity_cfr33_183_425", "ampacity_nec_310_16")


def gauge_of_control(area: float) -> str | None:
    """Return the gauge of the mower's wires for control where the netlist gives them so much metal."""
    found = evidence("mower")
    assert found.netlist is not None
    sized = tuple(replace(w, area=area) if w.carries == "control" else w for w in found.netlist.wires)
    cut = cuts(machine("mower"), replace(found.netlist, wires=sized), found.wires)
    return next(one.gauge for one in cut.pieces if one.carries == "control")


@pytest.mark.parametrize("area", [1.5e-6, 2.5e-6, 6e-6, 10e-6, 16e-6, 35e-6, 50e-6, 85e-6])
def test_a_gauge_has_at_least_the_metal_and_the_next_thinner_has_not(area: float) -> None:
    """Diameter of a gauge by its definition (ASTM B258): 0.127 mm times 92 to the power of (36 - n) / 39."""
    sold = (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3)
    metal = [np.pi / 4 * (0.127e-3 * 92 ** ((36 - n) / 39)) ** 2 for n in sold]
    place = next(k for k, there in enumerate(metal) if there >= area)
    assert gauge_of_control(area) == (str(sold[place]) if sold[place] > 0 else f"{1 - sold[place]}/0")
    assert place == 0 or metal[place - 1] < area


def test_gauges_are_those_of_the_tables_of_ampacities_and_the_page_says_from_which_on() -> None:
    """20 has 0.52 mm², no less than 0.5 mm², but no table here says what it bears."""
    rated = {int(float(row["gauge"])) for name in BY_GAUGE for row in load(name)}
    assert set(NUMBERS) == rated
    assert max(rated) == 18
    assert gauge_of_control(0.5e-6) == "18"
    page = " ".join((Path(__file__).parents[2] / "docs" / "connecting.md").read_text("utf-8").split())
    assert "of those from 18 to 4/0" in page
    assert "0.5 mm² goes with 18" in page


def test_more_metal_than_any_gauge_has_none() -> None:
    assert gauge_of_control(120e-6) is None


def test_the_list_is_that_of_the_typical_machine() -> None:
    """One cuts for one machine: with draws behind it the list stays what it is without."""
    from headrace.machine.draws import draws

    plan = draws(machine("mower"), 3, 1)
    found: Evidence = design.evidence(plan)
    _, cut = lists_of(plan, found)
    assert cut["sizes"] == lists("mower")[1]["sizes"]
    assert all(not isinstance(one["area_m2"], dict) for one in cut["pieces"])


def test_the_allowance_is_from_memory_and_says_so() -> None:
    (row,) = (row for row in load("defaults") if row["key"] == "cuts.allowance")
    assert (row["typical"], row["basis"], row["source"]) == (ALLOWANCE, "assumed", "trade-bill")


def test_the_file_s_thicker_cable_is_bought_rather_than_the_least() -> None:
    plan = read_text(edit(starter("mower"), {"chains.blade.cable.area": "25 mm²"})).machine
    cut = cut_list(plan, design.evidence(plan))
    main = [one for one in cut.pieces if one.carries == "main"]
    assert {one.size for one in main} == {"cable 25 mm²"}
    assert all(is_known(one.least) and float(np.asarray(one.least)) < 25e-6 for one in main)
