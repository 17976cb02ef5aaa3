"""A motor behind a converter of direct voltages: worked out by hand, balanced, and the same speed on any charge."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headrace import design
from headrace.design.corners import points_at
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import source as pack
from tests.machines import book, warmth

BOX = """[[chains.links]]
kind = "dc-dc"
power = "800 W"
voltage = "24 V"
efficiency = 0.92
cut_out = "30 V"

[source]
"""


@cache
def winch() -> Machine:
    """The winch's starter, its motor on 24 V out of its pack of 36 V."""
    text = starter("winch").replace("[source]\n", BOX, 1).replace('cut_out = "25 V"', 'cut_out = "18 V"')
    return read_text(edit(text, {"limits.load_speed_min": "0.02 m/s"})).machine


def test_amps_at_the_pack_by_hand() -> None:
    plan = winch()
    state, cold = plan.job.states[0], warmth(plan)
    terminals = pack.at_length(plan.source, pack.fresh(plan.job.ambient, 0.5))
    (found,) = points_at(plan, state, terminals, [cold])
    # out: 24 V x its amps; lost: at 800 W 800 (1/0.92 - 1) = 69.6 W, a tenth of it always, 45 % with the watts and 45 %
    # with their square: 7.0 + 0.0391 P + 4.89e-5 P²
    out = 24.0 * float(found.feed_current)
    lost = 6.957 + 0.03913 * out + 4.891e-5 * out**2
    assert float(found.bus_voltage * found.battery_current) == pytest.approx(out + lost, rel=2e-4)
    # and the volts: those of the pack less what its ohms take
    volts = float(terminals.voltage) - float(terminals.resistance) * float(found.battery_current)
    assert float(found.terminal_voltage) == pytest.approx(volts, rel=1e-9)


def test_the_speed_is_the_same_full_and_empty_while_the_amps_grow() -> None:
    plan = winch()
    charge = np.array([1.0, 0.5, 0.15])
    terminals = pack.at_length(plan.source, pack.fresh(plan.job.ambient + 0.0 * charge, charge))
    (found,) = points_at(plan, plan.job.states[0], terminals, [warmth(plan)])
    assert found.tool_speed == pytest.approx(found.tool_speed[0], rel=1e-12)
    assert np.all(np.diff(found.battery_current) > 0.0)


def test_every_watt_adds_up_and_the_whole_job_is_worked_out() -> None:
    plan = winch()
    for state in plan.job.states:
        if state.loaded:
            assert float(np.asarray(book(plan, state).closure)) < 1e-9
    found = design.solve(draws(plan, 4, 1))
    assert np.all(np.isfinite(found.day.duration))
    assert {line.kind for line in found.losses[0].chains[0].ledger.lines} >= {"dc-dc", "controller", "cells"}
