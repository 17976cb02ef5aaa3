"""The shopping list: everything of the netlist once, metres and ends as the cut list has them, sums by hand.

Prices here are made up, to hold the sums against; counts are held against the machine and the netlist.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.bill_record import bill_record
from headrace.design.workings import addresses
from headrace.errors import MachineFileError
from headrace.machine import edit, read_text, starter
from headrace.machine.prices import address_name
from headrace.machine.problems import Problem
from headrace.machine.rules_prices import bought_names
from headrace.machine.sizes import named_by_size
from headrace.machine.toml_text import toml_of
from headrace.tables import load
from headrace.wiring.bill import GROUPS
from tests.machines import EXAMPLE
from tests.wiring.machines import ALL, FILES, Record, cut_list, evidence, lines, lists, lists_of, machine, rating
from tests.wiring.test_cuts import SENSE, ready_made

LAMP = {"auxiliaries": [{"name": "lamp", "power": "12 W"}, {"name": "charger", "power": "30 W"}]}


def text_of(name: str) -> str:
    return FILES[name].read_text(encoding="utf-8") if name in FILES else starter(name)


def priced(parts: dict[str, Any], text: str = "") -> Record:
    """Return the list of the mower's starter, or of another text, with prices."""
    said = "".join(f'"{name}" = {price}\n' for name, price in parts.items())
    return lists_of(read_text(f"{text or starter('mower')}\n[prices.parts]\n{said}").machine)[0]


def problems(text: str) -> list[Problem]:
    with pytest.raises(MachineFileError) as caught:
        read_text(text)
    return list(caught.value.problems)


# --- what is on it -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ALL)
def test_every_part_of_the_netlist_is_bought_exactly_once(name: str) -> None:
    found, (bill, _) = evidence(name).netlist, lists(name)
    there = Counter(part for line in bill["lines"] for part in line["parts"])
    assert there == Counter(part.name for part in found.parts) if found is not None else not there


@pytest.mark.parametrize("name", ALL)
def test_metres_and_ends_are_those_of_the_cut_list(name: str) -> None:
    (bill, cut), found = lists(name), {}
    found = lines(bill)
    for size in cut["sizes"]:
        assert found[size["name"]]["length_m"] == size["length_m"]
        assert (found[size["name"]]["reason"] is None) == (size["length_m"] is not None)
        for end in size["ends"]:
            assert found[end["name"]]["count"] == end["count"]
    metres = [line for line in bill["lines"] if line["sold"] == "by the metre" and line["name"] != "strips"]
    assert {line["name"] for line in metres} == {size["name"] for size in cut["sizes"]}
    pressed = sum(end["count"] for size in cut["sizes"] for end in size["ends"])
    assert ("heat-shrink sleeves" in found) == (pressed > 0)
    assert not pressed or found["heat-shrink sleeves"]["count"] == pressed


@pytest.mark.parametrize("name", ALL)
def test_nothing_is_empty_without_its_reason(name: str) -> None:
    bill, _ = lists(name)
    assert bill["lines"]
    for line in bill["lines"]:
        assert line["group"] in GROUPS
        amount, other = ("length_m", "count") if line["sold"] == "by the metre" else ("count", "length_m")
        assert line[other] is None
        assert (line[amount] is not None) == (line["reason"] is None), line
        assert line[amount] is None or line[amount] > 0.0
        assert line["spares"] is not None
        for key, reason in (("count", "count_reason"), ("length_m", "length_reason"), ("spares_cost", "spares_reason")):
            assert (line[key] is None) == bool(line[reason]), (line["name"], key)
        assert (line["cost"] is not None) == (line["price_reason"] is None)
        for one in line["ratings"]:
            (value,) = (value for key, value in one.items() if key.startswith("value"))
            assert (value is not None) == (one["reason"] is None), (line["name"], one)
    for group in (*bill["sums"], bill["totals"]["parts"], bill["totals"]["tools"]):
        assert (group["cost"] is not None) == (group["reason"] is None)
        assert (group["spares_cost"] is None) == bool(group["spares_reason"]), group["name"]
    assert (bill["totals"]["spares_cost"] is not None) == (bill["totals"]["spares_reason"] is None)


@pytest.mark.parametrize("name", ALL)
def test_every_line_has_a_name_of_its_own_that_a_price_may_go_by(name: str) -> None:
    bill, _ = lists(name)
    known = bought_names(toml_of(text_of(name), "a.toml"))
    assert {line for line in lines(bill) if line not in known and not named_by_size(line)} == set()
    assert addresses({"bill": bill, "cuts": lists(name)[1]})  # raises where two numbers have one address


@pytest.mark.parametrize("name", ALL)
def test_lines_stand_in_the_order_of_their_groups(name: str) -> None:
    groups = [line["group"] for line in lists(name)[0]["lines"]]
    assert groups == sorted(groups, key=GROUPS.index)


@pytest.mark.parametrize("name", ALL)
def test_every_machine_has_its_motors_tools_and_what_protects_people(name: str) -> None:
    found, endless = lines(lists(name)[0]), machine(name).source.endless
    groups = Counter(line["group"] for line in found.values())
    assert all(groups[group] for group in ("drive", "wiring", "tools", "protection of people"))
    assert bool(groups["pack"]) == bool(groups["charging"]) == (not endless)
    assert {"meter", "eye protection"} <= found.keys()
    assert ("main fuse" in found) == ("contactor" in found) == (not endless)


def test_counts_of_the_alley_mower_by_hand() -> None:
    """60 cells and 3 % more is 2 spare; eleven strips of 22.2 mm for each of six, five along
    both ends of ten groups, and a tenth; a lug at both ends."""
    found = lines(lists("alley-mower")[0])
    assert (found["cells"]["count"], found["cells"]["spares"]) == (60.0, 2.0)
    step = float(np.asarray(machine("alley-mower").source.strips.length))
    assert found["strips"]["length_m"] == pytest.approx(1.1 * (11 * 6 + 10 * 2 * 5) * step)
    assert (found["main fuse"]["count"], found["main fuse"]["spares"]) == (1.0, 1.0)
    assert found["lugs 10 mm²"]["count"] == 12.0  # six wires of the main line; the pre-charge has thin ones
    assert found["lugs 10 mm²"]["spares"] == 2.0  # a tenth, rounded up
    assert found["cable 10 mm²"]["length_m"] == pytest.approx(1.54)


def test_ratings_are_those_of_the_design() -> None:
    found, seen = lines(lists("alley-mower")[0]), evidence("alley-mower")
    assert seen.fused is not None
    assert seen.guard is not None
    assert rating(found["main fuse"], "carries") == float(np.asarray(seen.fused.rating))
    assert rating(found["main fuse"], "breaks") == float(np.asarray(seen.fused.breaking_capacity))
    assert rating(found["board"], "groups in series") == 10.0
    assert rating(found["charger"], "holds at the end") == pytest.approx(42.0)
    assert rating(found["meter"], "for more than") == pytest.approx(42.0)  # ten cells of 4.2 V
    assert seen.guard.proposed is not None
    assert rating(found["pre-charge resistor"], "of") == float(np.asarray(seen.guard.proposed.resistance))
    assert rating(found["cells"], "holds, each") == 5.0 * 3600.0


def test_a_switch_behind_an_inverter_is_for_the_inverter_s_volts_and_amps() -> None:
    switch = lines(lists("inverter")[0])["mill switch"]
    assert rating(switch, "breaks, at least") == 230.0
    amps = rating(switch, "in the hardest work")
    assert amps is not None
    assert amps < 10.0  # on the pack's side it would be some forty
    breaker = lines(lists("inverter")[0])["mill mains breaker"]
    assert rating(breaker, "mains of") == 230.0
    assert "direct current of" not in [one["name"] for one in breaker["ratings"]]
    for made in (breaker, switch):
        assert rating(made, "carries for long") == pytest.approx(3000.0 / 230.0)  # all that the inverter gives


def test_a_lamp_has_its_fuse_and_a_name_of_its_own() -> None:
    """An auxiliary that is called a charger is not the pack's charger."""
    plan = read_text(edit(starter("mower"), LAMP)).machine
    found = lines(lists_of(plan)[0])
    assert found["lamp"]["parts"] == ["lamp"]
    assert found["lamp fuse"]["spares"] == 1.0
    assert found["charger beside the chains"]["parts"] == ["charger"]
    assert found["charger"]["group"] == "charging"


def test_fuses_in_the_sense_wires_are_one_line() -> None:
    """The netlist has a fuse in each sense wire: so many are bought, and a tenth more, with a ferrule at either end."""
    found, (bill, cut) = evidence("mower").netlist, lists("mower")
    assert found is not None
    fuses = [part.name for part in found.of("fuse") if part.name.startswith("sense")]
    pins = float(np.asarray(machine("mower").source.series)) + 1
    line = lines(bill)["sense fuses"]
    assert (line["count"], line["spares"]) == (pins, math.ceil(0.1 * pins))
    assert line["parts"] == fuses
    sense = next(size for size in cut["sizes"] if size["name"] == "sense wire")
    assert sense["laid_m"] == pytest.approx(SENSE * pins)  # the stub from the pack to the fuse is not counted
    assert sense["ends"] == [{"name": "ferrules for sense wires", "count": 2.0 * pins}]


def test_a_ready_made_pack_is_one_line_with_its_board_inside() -> None:
    """Two in turn of 210 each, by the label: 420, and no cells, strips or board beside them."""
    found = lines(lists_of(read_text(ready_made()).machine)[0])
    packs = found["ready-made packs"]
    assert packs["count"] == 2.0
    assert {"pack", "board"} <= set(packs["parts"])
    assert all(part.startswith("sense ") for part in set(packs["parts"]) - {"pack", "board"})
    assert packs["cost"] == pytest.approx(420.0)
    assert (
        not {"cells", "strips", "board", "sense wire", "sense fuses", "box with holders and insulation"} & found.keys()
    )
    assert found["main fuse"]["count"] == 2.0


def test_packs_in_turn_each_have_their_cells_board_and_fuse() -> None:
    one, two = (lines(lists_of(read_text(edit(starter("mower"), {"source.in_turn": n})).machine)[0]) for n in (1, 2))
    for name in ("cells", "board", "main fuse", "main fuse holder", "insulating rings"):
        assert two[name]["count"] == 2.0 * one[name]["count"], name
    for name in ("strips", "sense wire"):
        assert two[name]["length_m"] == pytest.approx(2.0 * one[name]["length_m"]), name
    assert two["contactor"]["count"] == one["contactor"]["count"] == 1.0


# --- prices --------------------------------------------------------------------------------------


def test_sums_by_hand_and_lines_without_a_price_counted() -> None:
    bill = priced({"contactor": 55, "lugs 10 mm²": 1.5, "meter": 30, "main fuse": 12, "cells": 4})
    found, totals = lines(bill), bill["totals"]
    cells = found["cells"]
    assert cells["cost"] == pytest.approx(4.0 * cells["count"])
    assert found["lugs 10 mm²"]["cost"] == pytest.approx(1.5 * 12)
    expected = 55.0 + 1.5 * 12 + 12.0 + 4.0 * cells["count"]
    assert totals["parts"]["cost"] == pytest.approx(expected)
    assert totals["tools"]["cost"] == pytest.approx(30.0)
    assert totals["spares_cost"] == pytest.approx(12.0 + 1.5 * 2 + 4.0 * cells["spares"])
    of_parts = [line for line in bill["lines"] if line["group"] not in ("tools", "protection of people")]
    assert totals["parts"]["lines"] == len(of_parts)
    assert totals["parts"]["unpriced"] == len(of_parts) - 4
    assert bill["unused"] == []


@pytest.mark.parametrize("name", ALL)
def test_sums_are_those_of_the_lines_and_of_what_is_priced_together(name: str) -> None:
    bill, _ = lists(name)
    whole = sum(one["cost"] for one in bill["wholes"])
    total = sum(line["cost"] or 0.0 for line in bill["lines"]) + whole
    groups = sum(group["cost"] or 0.0 for group in bill["sums"])
    ends = sum(bill["totals"][key]["cost"] or 0.0 for key in ("parts", "tools"))
    assert groups == pytest.approx(total)
    assert ends == pytest.approx(total)
    assert sum(group["lines"] for group in bill["sums"]) == len(bill["lines"])
    without = sum(line["cost"] is None and line["whole"] is None for line in bill["lines"])
    assert sum(group["unpriced"] for group in bill["sums"]) == without


def test_what_has_no_price_is_no_silent_zero() -> None:
    bill, _ = lists("wall")
    assert bill["totals"]["parts"]["cost"] is None
    assert bill["totals"]["parts"]["unpriced"] == bill["totals"]["parts"]["lines"] > 0
    assert "no line" in bill["totals"]["parts"]["reason"]


def test_the_cells_have_the_price_of_their_class_and_the_file_s_own_comes_first() -> None:
    cell = next(row for row in load("cells") if row["name"] == "energy-21700")
    plan = read_text(edit(EXAMPLE.read_text(encoding="utf-8").replace('"cells" = 4.2\n', ""), {})).machine
    assert lines(lists_of(plan)[0])["cells"]["price"] == pytest.approx(cell["price"])
    assert lines(lists("alley-mower")[0])["cells"]["price"] == pytest.approx(4.2)


def test_a_price_of_the_whole_pack_stands_for_its_lines() -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    bill, _ = lists_of(read_text(edit(text, {"prices.pack": 400})).machine)
    (whole,) = (one for one in bill["wholes"] if one["name"] == "prices.pack")
    pack = [line for line in bill["lines"] if line["group"] == "pack"]
    assert whole["of"] == [line["name"] for line in pack]
    assert all(line["cost"] is None and line["whole"] == "prices.pack" for line in pack)
    assert next(group for group in bill["sums"] if group["name"] == "pack")["cost"] == 400.0
    assert set(bill["unused"]) == {"cells", "strips", "board"}  # of the example's own prices


def test_a_price_of_what_holds_the_cells_leaves_the_cells_their_own() -> None:
    bill, _ = lists_of(read_text(edit(starter("mower"), {"source.extra_cost": 70})).machine)
    found = lines(bill)
    assert found["cells"]["whole"] is None
    assert {found[name]["whole"] for name in ("strips", "board")} == {"source.extra_cost"}
    group = next(group for group in bill["sums"] if group["name"] == "pack")
    assert group["cost"] == pytest.approx(70.0 + found["cells"]["cost"])


def test_a_price_of_the_tools_is_counted_once() -> None:
    bill, _ = lists("alley-mower")
    assert bill["totals"]["tools"]["cost"] == 150.0  # of the file: for tools and what protects people alike
    assert bill["totals"]["tools"]["unpriced"] == 0
    people = next(group for group in bill["sums"] if group["name"] == "protection of people")
    assert people["cost"] is None
    assert people["reason"] == "it is in prices.tools"


def test_a_price_that_this_design_does_not_need_is_named() -> None:
    bill = priced({"cable 4 mm²": 1.2, "main fuse": 12})
    assert bill["unused"] == ["cable 4 mm²"]
    assert bill["totals"]["parts"]["cost"] is not None


def test_a_price_without_an_amount_is_no_cost() -> None:
    """A cut list that knows no length of a size has a line that nobody can say the metres of."""
    plan = read_text(f'{starter("mower")}\n[prices.parts]\n"cable 0.5 mm²" = 3\n').machine
    found = design.evidence(plan)
    cut = cut_list(plan, found)
    sizes = [replace(size, length=np.nan) if size.name == "cable 0.5 mm²" else size for size in cut.sizes]
    line = lines(bill_record(plan, found, replace(cut, sizes=tuple(sizes))))["cable 0.5 mm²"]
    assert (line["price"], line["cost"]) == (3.0, None)
    assert "how much" in line["price_reason"]


def test_a_price_that_the_file_does_not_give_says_whose_it_is() -> None:
    assert "usual one of its class" in lines(lists("mower")[0])["cells"]["says"]
    assert "usual one of its class" in lines(lists("inverter")[0])["batteries"]["says"]
    own = read_text(edit(starter("mower"), {"source.cell.price": 4})).machine
    said = [lists("alley-mower")[0], priced({"cells": 4}), lists_of(own)[0]]
    assert not [bill for bill in said if "usual one of its class" in str(bill)]


def test_a_switch_at_a_socket_is_made_for_what_the_socket_gives_as_the_stop_beside_it() -> None:
    """16 A of the socket's breaker: a start of 17 A is not carried by a switch for the 3.5 A of the work."""
    found = lines(lists("wall")[0])
    assert rating(found["mill switch"], "carries for long") == 16.0
    assert rating(found["emergency stop"], "carries for long") == 16.0


def test_a_supply_is_bought_where_a_motor_is_tried_on_it() -> None:
    assert "current-limited supply" in lines(lists("mower")[0])
    assert "current-limited supply" not in lines(lists("inverter")[0])
    assert "current-limited supply" not in lines(lists("wall")[0])


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("contcator", "contactor"),
        ("Main fuse", "main fuse"),
        ("blade moter", "blade motor"),
        ("lugs 10 mm2", "lugs 10 mm²"),
        ("cable 10.0 mm²", "cable 10 mm²"),
        ("wheel motor", "blade motor"),
    ],
)
def test_a_wrong_name_is_refused_at_its_line_with_what_is_meant(name: str, hint: str) -> None:
    text = f'{starter("mower")}\n[prices.parts]\n"main fuse holder" = 9\n"{name}" = 12\n'
    (only,) = problems(text)
    assert only.line == len(text.splitlines())
    assert only.key.endswith(name)
    assert "nothing on the shopping list" in only.limit
    assert hint in only.hint


@pytest.mark.parametrize("value", ['"12 EUR"', "-3", '"two"', "nan"])
def test_a_wrong_price_is_refused_at_its_line(value: str) -> None:
    text = f'{starter("mower")}\n[prices.parts]\n"main fuse" = {value}\n'
    (only,) = problems(text)
    assert only.line == len(text.splitlines())


def test_a_machine_at_a_socket_has_prices_of_its_parts_and_of_nothing_else() -> None:
    text = FILES["wall"].read_text(encoding="utf-8")
    bill = priced({"mill motor": 80, "cord 1.5 mm²": 2}, text)
    assert bill["totals"]["parts"]["cost"] == pytest.approx(80.0 + 2.0 * 27.5)
    (only,) = problems(text + "\n[prices]\nelectricity = 0.3\n")
    assert "prices.parts" in only.hint


def test_a_price_may_have_a_dot_in_its_name_and_keeps_its_line() -> None:
    text = f'{starter("mower")}\n[prices.parts]\n"cable 2.5 mm²" = 1.2\n'
    plan = read_text(text).machine
    (part,) = plan.part_prices
    assert part.name == address_name("cable 2.5 mm²")
    origin = plan.pedigree[f"part_prices.{part.name}.each"]
    assert (origin.typical, origin.line, origin.written) == (1.2, len(text.splitlines()), "1.2")


def test_prices_change_nothing_but_the_list() -> None:
    plan = read_text(f'{starter("mower")}\n[prices.parts]\n"main fuse" = 12\n').machine
    bare = machine("mower")
    assert plan.part_prices
    assert not bare.part_prices
    assert plan.pedigree.keys() - bare.pedigree.keys() == {"part_prices.main fuse.each"}
    assert repr(replace(plan, part_prices=(), pedigree={})) == repr(replace(bare, pedigree={}))


def test_the_list_of_a_machine_with_draws_is_that_of_the_typical_one() -> None:
    from headrace.machine.draws import draws

    plan = draws(machine("mower"), 3, 1)
    bill, _ = lists_of(plan, design.evidence(plan))
    typical = lines(lists("mower")[0])
    for name, line in lines(bill).items():
        assert line["count"] == typical[name]["count"]
        assert all(not isinstance(value, dict) for one in line["ratings"] for value in one.values())


# --- what the ratings say ------------------------------------------------------------------------


def test_the_board_s_amps_have_their_delays_beside_them() -> None:
    """As the file has them: 120 A for a second, 320 A for 300 µs."""
    board = lines(lists("alley-mower")[0])["board"]
    names = [one["name"] for one in board["ratings"]]
    assert names.index("when those last") == names.index("opens above") + 1
    assert names.index("when that lasts") == names.index("opens on a short above") + 1
    assert (rating(board, "opens above"), rating(board, "when those last")) == (120.0, 1.0)
    assert (rating(board, "opens on a short above"), rating(board, "when that lasts")) == (320.0, 300e-6)


def test_the_main_fuse_is_asked_for_the_pack_s_volts_and_its_class_has_more() -> None:
    """The diagram has the first: ten cells of 4.2 V; the second is what is printed on the class."""
    fuse, found = lines(lists("alley-mower")[0])["main fuse"], evidence("alley-mower").netlist
    assert found is not None
    asked, has = rating(fuse, "direct current of at least"), rating(fuse, "its class has")
    assert asked == pytest.approx(42.0)
    assert asked == pytest.approx(float(np.asarray(next(part.voltage for part in found.parts if part.name == "fuse"))))
    assert has is not None
    assert has >= 42.0


@pytest.mark.parametrize("name", [name for name in ALL if name != "wall"])
def test_what_is_bought_is_made_for_what_the_diagram_says(name: str) -> None:
    """Amps of the shopping list and of the netlist are the same number, and metal of both the same size."""
    found, (bill, cut) = evidence(name).netlist, lists(name)
    assert found is not None
    for part in found.of("isolator", "contactor", "stop", "control", "port"):
        assert rating(lines(bill)[part.name], "carries for long") == pytest.approx(
            float(np.asarray(part.current).flat[0])
        )
    for wire, piece in zip(found.wires, cut["pieces"], strict=True):
        area = float(np.asarray(wire.area).flat[0])
        assert math.isnan(area) or piece["area_m2"] == pytest.approx(area), wire.ends


def test_cells_cost_on_the_list_what_they_cost_in_the_pack() -> None:
    """The alley mower's list says 4.2 for one: 60 of them cost 252, and so does the pack without extra cost."""
    found, bought = evidence("alley-mower"), lines(lists("alley-mower")[0])["cells"]
    extra = float(np.asarray(machine("alley-mower").source.extra_cost).flat[0])
    assert bought["cost"] == pytest.approx(60 * 4.2)
    assert float(np.asarray(found.cost).flat[0]) - extra == pytest.approx(bought["cost"])
