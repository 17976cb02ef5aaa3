"""A plug of the file stands in no drawing: where it is bought and where the pack's ends are joined it has its place."""

from __future__ import annotations

from headrace.drive.links import parts
from headrace.machine.links import Contacts
from headrace.wiring.plugs import stands
from tests.wiring.machines import evidence, lines, lists, machine


def test_the_alley_mower_s_plug_has_its_place_in_the_pack_s_two_leads() -> None:
    step = next(step for step in evidence("alley-mower").order if step.name == "ends")
    says = lines(lists("alley-mower")[0])["blade plug"]["says"]
    assert "the two main leads at the pack, from fuse.out and from board.load, its covered sockets to the pack" in says
    assert "The blade plug, in the two leads from fuse.out and board.load, sockets to the pack" in step.does
    found = evidence("alley-mower").netlist
    assert found is not None
    assert {"fuse.out", "board.load"} <= {end for wire in found.wires if wire.carries == "main" for end in wire.ends}


def test_without_a_plug_the_step_has_no_words_of_one() -> None:
    step = next(step for step in evidence("winch").order if step.name == "ends")
    plugs = [link for link in machine("winch").chains[0].links if isinstance(link, Contacts) and link.of == "plug"]
    assert bool(plugs) == ("sockets to the pack" in step.does)


def test_a_plug_of_one_of_several_chains_stands_in_that_chain_s_leads() -> None:
    plan = machine("wood-cart")
    (plug,) = (k for k in machine("alley-mower").chains[0].links if isinstance(k, Contacts) and k.of == "plug")
    assert parts(plan.chains[1]).motor_leads == ()
    assert "the two leads to winch controller.plus and winch controller.minus" in stands(plan, plan.chains[1], plug)
