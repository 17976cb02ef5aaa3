"""A load on the rope, and a machine on its slope, is let go of before the first work, and stays."""

from __future__ import annotations

import pytest

from headrace.machine import edit, read_text, starter
from headrace.wiring.order_held import held
from tests.wiring.machines import evidence, machine


def names(name: str) -> list[str]:
    return [step.name for step in evidence(name).order]


@pytest.mark.parametrize(
    ("name", "tried"), [("winch", ["load held"]), ("wood-cart", ["axle load held", "winch load held"])]
)
def test_what_a_weight_drives_is_let_go_of_after_it_ran_free_and_before_it_works(name: str, tried: list[str]) -> None:
    assert names(name)[-1 - len(tried) :] == [*tried, "work"]
    assert names(name)[-2 - len(tried)].endswith("run free")


def test_a_small_load_low_over_the_ground_comes_first_and_nobody_is_below() -> None:
    (step,) = held(machine("winch"))
    assert step.live
    assert step.does.index("a small load on the rope") < step.does.index("the whole load, as low")
    assert "a hand's breadth over the ground" in step.does
    assert step.does.endswith("Let go, then open the isolator: it stays both times.")
    assert step.cover.startswith("Nobody below")
    assert "no work before it holds" in step.differs


def test_a_cart_is_tried_on_its_slope_and_chocks_catch_it() -> None:
    (step,) = held(machine("cart"))
    assert "steepest slope of its work" in step.does
    assert "a chock" in step.does


def test_of_a_capstan_the_tail_is_held_by_what_is_no_hand() -> None:
    laps = {"chains.winch.work.layer": 1, "chains.winch.work.laps": 3}
    (step,) = held(read_text(edit(starter("winch"), laps)).machine)
    assert "its tail in the cleat or jaw" in step.does


def test_nothing_is_tried_so_that_no_weight_drives() -> None:
    assert not list(held(machine("mower")))
    level = edit(starter("cart"), {"safety.friction_brake": False, **dict.fromkeys(slopes("cart"), "0 °")})
    assert not list(held(read_text(level).machine))


def slopes(name: str) -> list[str]:
    return [f"job.{state.name}.slope" for state in machine(name).job.states if state.slope]
