"""Several chains on one source, in lanes: each lane is what it is alone, and every verb takes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from headrace.design.corners import points_at
from headrace.drive import bus
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.point import Outcome
from headrace.drive.solve import solve
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.explore.shares import shares
from headrace.machine import edit, read_text
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.machine.values import some_lanes
from headrace.pack import source as pack
from tests.machines import EXAMPLE, magnet_train, warmth, with_pack

SECOND = """
[[chains]]
name = "trimmer"
[chains.work]
kind = "mowing-blade"
name = "string"
diameter = "25 cm"
inertia = "0.001 kg·m²"
[[chains.links]]
kind = "dc-motor"
constant = "0.11 N·m/A"
resistance = "0.2 ohm"
[[chains.links]]
kind = "controller"
motor_current = "25 A"

[source]
"""


@cache
def pair() -> Machine:
    """The alley mower with a trimmer on the same pack, and a quarter of an hour's work."""
    text = EXAMPLE.read_text(encoding="utf-8").replace("\n[source]\n", SECOND, 1)
    return read_text(edit(text, {"source.parallel": 3, "job.area": "200 m²", "job.cycle": "180 s"})).machine


def test_the_bus_holds_what_all_chains_draw_in_every_lane() -> None:
    drawn = draws(pair(), 40, 1)
    charge = np.linspace(0.05, 1.0, 41)
    terminals = pack.at_length(drawn.source, pack.fresh(drawn.job.ambient, charge))
    points = points_at(drawn, drawn.job.states[0], terminals, [warmth(drawn) for _ in drawn.chains])
    works = np.all([point.works for point in points], axis=0)
    assert works.sum() > 20
    held = np.asarray(terminals.voltage - terminals.resistance * sum(point.battery_current for point in points))
    for point in points:
        assert point.terminal_voltage[works] == pytest.approx(held[works], rel=1e-8)


def plainly(trains: Sequence[Train], terminals: Terminals) -> npt.NDArray[np.float64]:
    """Return the bus voltage by looking down from the fast side in steps of a hundredth, then halving. [V]"""

    def gap(voltage: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        stiff = Terminals(voltage, 0.0, 0.0, 0.0, 0.0, 0.0)
        return np.asarray(
            terminals.voltage
            - terminals.resistance * sum(solve(train, stiff).battery_current for train in trains)
            - voltage
        )

    upper = lower = np.asarray(terminals.voltage) + 0.0
    for share in np.arange(0.99, 0.3, -0.01):
        short = gap(lower) < 0.0
        upper, lower = np.where(short, lower, upper), np.where(short, share * np.asarray(terminals.voltage), lower)
    for _ in range(50):
        middle = 0.5 * (lower + upper)
        short = gap(middle) < 0.0
        upper, lower = np.where(short, middle, upper), np.where(short, lower, middle)
    return lower


LIMITS: dict[str, dict[str, Any]] = {
    "no limit": {},
    "a battery limit": {"battery_limit": 12.0},
    "a motor limit": {"motor_limit": 14.0},
    "a set speed": {"set_speed": 220.0},
}


def meeting(limit: str) -> tuple[list[Train], Terminals]:
    """Return both chains of draws of the pair, the first with a limit, on packs from nearly empty to full."""
    drawn = draws(pair(), 40, 1)
    state, warm = drawn.job.states[0], warmth(drawn)
    rows = [(parts(chain), chain.work) for chain in drawn.chains]
    trains = [magnet_train(row, work_terms(row, work, state, drawn.job, warm.air), warm) for row, work in rows]
    charge = np.linspace(0.05, 1.0, 41)
    return [replace(trains[0], **LIMITS[limit]), trains[1]], pack.at_length(
        drawn.source, pack.fresh(drawn.job.ambient, charge)
    )


@pytest.mark.parametrize("limit", LIMITS)
def test_the_bus_is_where_a_plain_search_from_the_fast_side_finds_it(limit: str) -> None:
    trains, terminals = meeting(limit)
    points = bus.solve_together(trains, terminals)
    works = np.all([point.outcome != Outcome.NO_CROSSING for point in points], axis=0)
    assert works.sum() > 20
    voltage = plainly(trains, terminals)
    for point, alone in zip(points, trains, strict=True):
        there = solve(alone, Terminals(voltage, 0.0, 0.0, 0.0, 0.0, 0.0))
        for name in ("terminal_voltage", "motor_speed", "motor_current", "battery_current"):
            assert getattr(point, name)[works] == pytest.approx(getattr(there, name)[works], rel=1e-9), name


@pytest.mark.parametrize("limit", LIMITS)
def test_chords_and_brackets_lead_to_one_bus(limit: str) -> None:
    trains, terminals = meeting(limit)
    together = bus._bus(trains, [], terminals, (41,))
    voltage, settled = bus._by_chords(together)
    assert settled.sum() > 20  # most lanes, or the search in brackets would go unseen for slowness alone
    assert voltage[settled] == pytest.approx(bus._by_bracket(together)[settled], rel=1e-9)


def test_a_lane_is_the_machine_alone() -> None:
    drawn = draws(pair(), 6, 1)
    state = drawn.job.states[1]
    together = points_at(drawn, state, pack.at(drawn.source, pack.fresh(drawn.job.ambient, 0.5)), [warmth(drawn)] * 2)
    for lane in range(7):
        one = some_lanes(drawn, (7,), np.array([lane]))
        alone = points_at(
            one, one.job.states[1], pack.at(one.source, pack.fresh(one.job.ambient, 0.5)), [warmth(one)] * 2
        )
        for here, there in zip(together, alone, strict=True):
            assert np.asarray(here.motor_speed)[lane] == pytest.approx(np.asarray(there.motor_speed)[0], rel=1e-9)
            assert np.asarray(here.outcome)[lane] == np.asarray(there.outcome)[0]


def test_what_carries_the_answer_is_asked_of_two_chains() -> None:
    found = shares(pair(), days=2, points=2)
    assert set(found.carried) == {"run_time", "pack_size", "tip_speed"}


def test_a_bus_that_collapses_carries_nothing() -> None:
    """Two chains on one string of worn, cold cells: no volts at which both are held, and no amps made up of it."""
    plan = pair()
    worn = pack.aged(with_pack(plan, 10.0, 1.0).source, 0.8, 1.5)
    terminals = pack.at_length(worn, pack.fresh(263.15, 0.05))
    points = points_at(plan, plan.job.states[0], terminals, [warmth(plan) for _ in plan.chains])
    lost = [point for point in points if int(point.outcome) == Outcome.NO_CROSSING]
    assert lost
    for point in lost:
        assert float(point.battery_current) == 0.0
        assert float(point.tool_speed) == 0.0
        assert float(point.terminal_voltage) == pytest.approx(float(terminals.voltage))
