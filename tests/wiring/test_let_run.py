"""One held control and one contactor before several chains: each controller has an input that lets it run."""

from __future__ import annotations

import pytest

from headrace.design.netlist_record import netlist_record
from headrace.drive.links import parts
from headrace.paper.wired import drawn_all, notes
from headrace.wiring.let_run import BY_ITS_SHEET, bare_switch
from tests.wiring.machines import Record, evidence, lines, lists, machine

SEVERAL = ("wood-cart", "strip-mower")


def record(name: str) -> Record:
    return netlist_record(evidence(name))


def steps(name: str) -> dict[str, Record]:
    return {step["name"]: step for step in record(name)["connecting"]}


@pytest.mark.parametrize("name", SEVERAL)
def test_each_controller_of_several_is_told_to_stay_off_where_it_is_drawn_and_where_it_is_bought(name: str) -> None:
    boxes = [part for part in record(name)["netlist"]["parts"] if "controller" in part["kind"]]
    bought = lines(lists(name)[0])
    assert len(boxes) == len(machine(name).chains) > 1
    for box in boxes:
        assert BY_ITS_SHEET in box["note"]
        assert BY_ITS_SHEET in bought[box["name"]]["says"]
    assert notes(record(name)["netlist"]).count("stays off, because the held control feeds all chains at once") == 2


def test_a_chain_alone_behind_its_control_has_no_such_words() -> None:
    assert BY_ITS_SHEET not in str(record("mower")["netlist"])
    assert "run free" in steps("mower")
    assert "nothing turns" not in steps("mower")["contactor"]["does"]


@pytest.mark.parametrize("name", SEVERAL)
def test_the_contactor_first_closes_with_all_of_them_off_and_each_is_tried_by_itself(name: str) -> None:
    found, chains = steps(name), [chain.name for chain in machine(name).chains]
    first = found["contactor"]
    assert all(f"{chain} controller's own input" in first["does"].split(" off. ")[0] for chain in chains)
    assert first["does"].endswith("the contactor closes, and nothing turns.")
    assert "Something turns" in first["differs"]
    for chain, other in (chains, chains[::-1]):
        alone = found[f"{chain} run free"]
        assert f"Keep the {other} controller's own input off" in alone["does"]
        assert {one["name"].split(" of ")[-1] for one in alone["expects"] if "speed" in one["name"]} == {chain}
        assert "Another one turns as well" in alone["differs"]
    assert "one chain after the other" in found["work"]["does"]


def test_a_drawing_says_that_it_leaves_out_the_inputs_of_controllers() -> None:
    assert drawn_all(record("wood-cart")["netlist"]).startswith(
        "What is not drawn is not joined, but for the small inputs"
    )
    assert drawn_all(record("inverter")["netlist"]) == "What is not drawn is not joined."


def test_a_bare_switch_is_one_that_turns_nothing_down_and_fills_nothing() -> None:
    assert bare_switch(parts(machine("wall").chains[0]))
    assert not [name for name in ("mower", *SEVERAL) if bare_switch(parts(machine(name).chains[0]))]
