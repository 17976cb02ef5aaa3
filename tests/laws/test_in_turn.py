"""Packs worked in turn, and a top-up in a rest: what they put in is in the minutes, and every number still opens."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from headrace import design
from headrace.design.bands import Sample
from headrace.design.days import day, four_days_at_a_glance, until_empty
from headrace.errors import MachineFileError
from headrace.explore.working import Workings
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.records import Machine
from headrace.pack import arrangement
from headrace.pack import source as pack
from headrace.runs.march import march
from headrace.runs.run import End
from tests.machines import SMALL_TEXT, small

TOP_UP = """[job.top_up]
after = "6 min"
time = "20 min"
current = "5 A"

[[job.states]]
"""


@cache
def two() -> Machine:
    """The alley mower with a small pack, and another of the same in the shed."""
    return read_text(edit(SMALL_TEXT, {"source.in_turn": 2})).machine


@cache
def topped() -> Machine:
    """The same with one pack and twenty minutes on a charger of 5 A."""
    return read_text(SMALL_TEXT.replace("[[job.states]]\n", TOP_UP, 1)).machine


def test_two_in_turn_last_twice_as_long_but_for_the_warmth() -> None:
    one, both = (until_empty(plan, keep_trace=False) for plan in (small(), two()))
    # the second pack meets motors that are warm already, which draw a little more
    assert float(both.to_reserve) == pytest.approx(2.0 * float(one.to_reserve), rel=0.03)
    assert float(both.energy) > 1.9 * float(one.energy)
    assert float(arrangement.cost(two().source)) == pytest.approx(2.0 * float(arrangement.cost(small().source)))
    assert float(arrangement.mass(two().source)) == float(arrangement.mass(small().source))


def test_each_draw_changes_its_pack_at_its_own_time() -> None:
    plan = draws(two(), 6, 2)
    lasts = until_empty(plan, keep_trace=False)
    alone = until_empty(draws(small(), 6, 2), keep_trace=False)
    emptied = np.asarray(alone.to_reserve) < np.asarray(alone.duration) - 1.0  # the others end for another reason
    no_pack_s = np.asarray(alone.ended_because) == End.WINDING_LIMIT  # which no pack mends
    assert np.count_nonzero(emptied) > 3
    assert lasts.to_reserve[emptied] == pytest.approx(2.0 * alone.to_reserve[emptied], rel=0.05)
    lasting = ~no_pack_s & (np.asarray(alone.duration) > 60.0)  # the rest fails on a fresh pack too
    assert np.all(lasts.duration[lasting] > 1.5 * alone.duration[lasting])
    assert lasts.to_reserve[no_pack_s & ~emptied] == pytest.approx(alone.to_reserve[no_pack_s & ~emptied])


def test_what_a_rest_on_the_charger_puts_in_by_hand() -> None:
    # one cell takes 5 A / 2 in parallel for 20 min; from 40 % on it never comes near its full voltage, so all of it
    # is at the charger's current. The cell warms a little on the way and then holds a little more.
    plan = topped()
    source, air = plan.source, plan.job.ambient
    gained = float(pack.charged(source, pack.fresh(air, 0.4), 5.0, air, 1200.0).charge) - 0.4
    hours = 1200.0 / 3600.0
    ampere_hours = float(pack.capacity_of(source.cell, air)) / 3600.0
    assert gained == pytest.approx(5.0 / float(source.parallel) * hours / ampere_hours, rel=0.02)


def test_near_full_the_charger_tapers_and_never_overfills() -> None:
    plan = topped()
    source, air = plan.source, plan.job.ambient
    slow = float(pack.charged(source, pack.fresh(air, 0.97), 10.0, air, 600.0).charge)
    free = 0.97 + 10.0 / float(source.parallel) * 600.0 / float(pack.capacity_of(source.cell, air))
    assert 0.97 < slow < min(1.0, free)
    assert float(pack.charged(source, pack.fresh(air, 0.97), 10.0, air, 36_000.0).charge) <= 1.0


def test_the_balance_of_charge_over_a_day_with_a_rest() -> None:
    plan = topped()
    run = until_empty(plan)
    trace = run.trace
    assert trace is not None
    worked = trace.running.reshape(len(trace.time), -1)[:, 0]
    capacity = pack.capacity_of(plan.source.cell, trace.cell_temperature.reshape(len(trace.time), -1)[worked, 0])
    used = trace.battery_current.reshape(len(trace.time), -1)[worked, 0] / plan.source.parallel
    used = np.sum(used * trace.seconds.reshape(len(trace.time), -1)[worked, 0] / capacity)
    assert float(run.topped_up) > 0.1
    assert float(run.charge_left) == pytest.approx(1.0 - used + float(run.topped_up), abs=1e-9)
    without = until_empty(small(), keep_trace=False)
    assert float(run.to_reserve) > float(without.to_reserve)


@pytest.mark.parametrize("plan", [two, topped])
def test_every_number_of_the_day_opens_to_what_the_march_has(plan: object) -> None:
    machine = plan()  # type: ignore[operator]
    workings = Workings(machine, Sample(0, 0), Sample(0, 0))
    found = design.solve(machine)
    for field in ("duration", "energy", "charge_left", "amount", "rms_cell_current"):
        addresses = [name for name in workings.known if name.removesuffix("_s") == f"day.{field}"]
        for address in addresses:
            assert workings.at(address).value == pytest.approx(float(getattr(found.day, field)), rel=1e-6)
    assert workings.at("day.lasts_to_reserve").value == pytest.approx(float(found.lasts.to_reserve), rel=1e-6)


def test_a_glance_counts_the_packs_too() -> None:
    one, both = (four_days_at_a_glance(plan).new for plan in (small(), two()))
    assert float(both.to_reserve) >= float(one.to_reserve)
    marched = march(two(), two().limits.time_wanted)
    assert float(both.duration) == pytest.approx(float(marched.duration), rel=0.05)
    assert float(day(two(), keep_trace=False).duration) == float(marched.duration)


def test_what_never_empties_is_not_topped_up() -> None:
    text = starter("corded")
    start = text.index("[source]")
    end = text.index("[job]")
    text = text[:start] + '[source]\nkind = "wall-socket"\n\n' + text[end:].replace("[[job.states]]\n", TOP_UP, 1)
    with pytest.raises(MachineFileError, match="never empties"):
        read_text(text)
