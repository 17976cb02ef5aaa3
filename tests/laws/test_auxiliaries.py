"""Lamps beside the chains: what they take shows at the cells, in the balance and in the minutes."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headrace.design import day, losses, solve
from headrace.design.corners import points_at
from headrace.drive import bus
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.terminals import Terminals
from headrace.drive.train import Resting, train
from headrace.explore.comparing import column, comparison
from headrace.machine import edit, read_text
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import source as pack
from tests.machines import SMALL_TEXT, small, warmth

WATTS = 60.0
LAMPS = f"""
[[auxiliaries]]
name = "lamps"
power = "{WATTS} W"

[source]
"""


@cache
def lit() -> Machine:
    """The alley mower with a small pack, and lamps that are off while it turns."""
    text = SMALL_TEXT.replace("\n[source]\n", LAMPS, 1)
    return read_text(text.replace("turning = true", 'turning = true\noff = ["lamps"]', 1)).machine


def test_the_bus_holds_the_chain_and_the_lamps_in_every_draw() -> None:
    plan = draws(lit(), 20, 1)
    terminals = pack.at_length(plan.source, pack.fresh(plan.job.ambient, 0.5))
    blade, lamps = points_at(plan, plan.job.states[0], terminals, [warmth(plan)])
    total = blade.battery_current + lamps.battery_current
    held = terminals.voltage - terminals.resistance * total
    # the lamps hang on the terminals, the blade's controller behind its cable
    assert lamps.terminal_voltage == pytest.approx(held, rel=1e-12)
    assert blade.terminal_voltage == pytest.approx(held, rel=1e-12)
    assert lamps.battery_current * lamps.terminal_voltage == pytest.approx(plan.auxiliaries[0].power, rel=1e-12)


def test_the_lamps_slow_the_blade_a_little() -> None:
    dark, bright = small(), lit()
    speeds = []
    for plan in (dark, bright):
        terminals = pack.at_length(plan.source, pack.fresh(plan.job.ambient, 0.5))
        speeds.append(float(points_at(plan, plan.job.states[0], terminals, [warmth(plan)])[0].tool_speed))
    assert 0.97 * speeds[0] < speeds[1] < speeds[0]


def test_every_watt_of_the_lamps_is_light_or_a_loss_of_the_pack() -> None:
    plan = lit()
    for state in losses(plan, day(plan)):
        (found,) = state.auxiliaries
        lost = sum(line.loss for line in found.ledger.lines)
        on = "lamps" not in state.state.off
        assert found.ledger.useful == (WATTS if on else 0.0)
        assert found.ledger.source == pytest.approx(found.ledger.useful + lost, rel=1e-9, abs=1e-12)
        assert (found.ledger.source > WATTS) == on


def test_lamps_alone_empty_the_pack_by_hand() -> None:
    # 20 W for 10 min of a job in which the blade is idle but for a moment would be drowned by the blade: here the
    # blade stands, and what the cells give is P t, with a sag of I R at 20 W / 36 V = 0.6 A: under a hundredth.
    text = edit(SMALL_TEXT.replace("\n[source]\n", LAMPS, 1), {"job.field_efficiency": 0.5})
    text = text.replace("turning = true", 'turning = true\noff = ["blade"]', 1)
    plan = read_text(text).machine
    found = {state.state.name: state for state in losses(plan, day(plan))}["turning"]
    (one,) = found.auxiliaries
    amps = WATTS / float(found.terminals.voltage)
    assert one.point.battery_current == pytest.approx(amps, rel=0.02)
    assert one.ledger.source == pytest.approx(float(found.terminals.open_voltage) * amps, rel=0.02)


def test_compare_counts_the_lamps_and_its_watts_still_add_up() -> None:
    one = comparison([column("lit", solve(lit()))]).columns[0]
    lamps = next(loss for loss in one.losses if loss.kind == "auxiliary")
    assert WATTS * 0.7 < np.asarray(lamps.loss).item() < WATTS  # off for three tenths of the time
    lost = sum(np.asarray(loss.loss).item() for loss in one.losses)
    assert np.asarray(one.source).item() == pytest.approx(np.asarray(one.useful).item() + lost, rel=1e-9)


def test_the_names_in_off_are_held_against_chains_and_auxiliaries() -> None:
    text = SMALL_TEXT.replace("\n[source]\n", LAMPS, 1).replace("turning = true", 'turning = true\noff = ["lamp"]', 1)
    with pytest.raises(Exception, match="no chain and no auxiliary") as caught:
        read_text(text)
    assert "lamps" in str(caught.value)


@pytest.mark.parametrize("watts", [20.0, 150.0, 400.0, 900.0])
def test_watts_that_nearly_empty_the_bus_are_found_as_two_chains_are(watts: float) -> None:
    """Both ways of solving a chain with watts beside it lead to one bus, near the most power too."""
    plan = lit()
    row, state = parts(plan.chains[0]), plan.job.states[0]
    chain = train(row, work_terms(row, plan.chains[0].work, state, plan.job, plan.job.ambient), warmth(plan))
    loop = np.array([0.02, 0.1, 0.3, 0.6])
    terminals = Terminals(36.0 + 0.0 * loop, 0.0, loop, 0.0, 0.0, 0.0)
    beside = Resting(watts, 0.0)
    one, together = (how([chain], [beside], terminals, (4,)) for how in (bus._one, bus._several))
    assert one[0][0].outcome.tolist() == together[0][0].outcome.tolist()
    for name in ("terminal_voltage", "battery_current", "motor_speed"):
        assert getattr(one[0][0], name) == pytest.approx(getattr(together[0][0], name), rel=1e-8, abs=1e-9)
