"""The mechanical brake on the shopping list: one for each chain that a weight drives, for all that pulls at it."""

from __future__ import annotations

import math

import pytest

from headrace.findings import judge
from headrace.machine import edit, read_text, starter
from headrace.paper.bill import ratings
from tests.wiring.machines import evidence, lines, lists, lists_of, rating

HOLDS = "holds, where the tool's shaft turns"


@pytest.mark.parametrize("name", ["winch", "cart"])
def test_a_brake_is_bought_for_the_torque_that_a_file_without_one_is_stopped_for(name: str) -> None:
    line = lines(lists(name)[0])[f"{'axle' if name == 'cart' else name} friction brake"]
    (asked,) = (one.verdict.value for one in judge(evidence(name)) if one.rule.slug == "no-friction-brake")
    assert line["count"] == 1.0
    assert rating(line, HOLDS) == pytest.approx(float(asked))
    assert ratings(line).endswith("N·m")


def test_the_winch_s_by_hand() -> None:
    """90 kg up 25 ° on the second layer: what would hold back on the slope is not reckoned with."""
    line = lines(lists("wood-cart")[0])["winch friction brake"]
    weight = 90.0 * 9.80665 * math.sin(math.radians(25.0))
    assert rating(line, HOLDS) == pytest.approx(weight * (0.035 + 0.005 * (0.5 + 0.87)), rel=0.01)


def test_each_chain_has_its_own_and_a_file_without_one_none() -> None:
    assert {"axle friction brake", "winch friction brake"} <= set(lines(lists("wood-cart")[0]))
    bare = read_text(edit(starter("winch"), {"safety.friction_brake": False})).machine
    assert not [name for name in lines(lists_of(bare)[0]) if "friction" in name]
    assert not [name for name in lines(lists("mower")[0]) if "friction" in name]


def test_a_brake_has_a_price_by_its_name() -> None:
    text = f'{starter("winch")}\n[prices.parts]\n"winch friction brake" = 60\n'
    assert lines(lists_of(read_text(text).machine)[0])["winch friction brake"]["cost"] == 60.0
