"""Choosing from the shelf: the front is that of looking at every combination alone, and a glance is nearly a march."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headrace import design
from headrace.design.days import four_days, four_days_at_a_glance
from headrace.explore.choosing import choose
from headrace.explore.choosing_record import choice_record
from headrace.explore.front import front_of, marched, pick_of, settled_front, unbeaten
from headrace.explore.looking import (
    Choice,
    Group,
    Looked,
    Offer,
    combined,
    look,
    looked_through,
    thinkable,
    whole_shelf,
)
from headrace.machine import edit, read_text, starter
from headrace.machine.links import Motor
from headrace.machine.substitute import with_shelf_parts

SMALL = Offer(
    motors=("brushed-36v-medium", "brushed-48v-medium"),
    cells=("energy-18650", "power-21700"),
    windings=(1.0, 1.35, 1.7, 2.0),
    ratios=(0.8, 1.0),
    series=tuple(range(6, 16)),
    parallel=tuple(range(1, 8)),
)


def alone(shelf: Offer, every: int) -> list[Group]:
    """Return groups of a shelf with each combination looked at in a lane of its own; one in ``every`` of them."""
    groups = []
    for group in looked_through(read_text(starter("shaft")), shelf):
        plan = with_shelf_parts(read_text(starter("shaft")), group.motor, group.cell)
        chosen = group.axes[:, ::every]
        one = [look(plan, chosen[:, [k]], group.row) for k in range(chosen.shape[1])]
        numbers = [
            np.concatenate([getattr(found, name) for found in one]) for name in ("works", "cost", "mass", "time")
        ]
        works, cost, mass, time = numbers
        groups.append(Group(group.motor, group.cell, group.row, plan, chosen, Looked((), works, cost, mass, time)))
    return groups


def at_once(shelf: Offer, every: int) -> list[Group]:
    """Return the same combinations looked at in lanes."""
    found = []
    for group in looked_through(read_text(starter("shaft")), shelf):
        chosen = group.axes[:, ::every]
        found.append(Group(group.motor, group.cell, group.row, group.plan, chosen, look(group.plan, chosen, group.row)))
    return found


def choices(groups: list[Group]) -> list[Choice]:
    return [pick.choice for _, pick in front_of(groups)]


def test_the_front_is_that_of_every_combination_looked_at_alone() -> None:
    """A sample of one in seven here; the whole in the campaign."""
    assert choices(at_once(SMALL, 7)) == choices(alone(SMALL, 7))
    assert len(choices(at_once(SMALL, 7))) > 2


@pytest.mark.campaign
def test_the_front_of_two_thousand_combinations_is_that_of_looking_at_each_alone() -> None:
    assert SMALL.count >= 2_000
    lanes, single = at_once(SMALL, 1), alone(SMALL, 1)
    assert choices(lanes) == choices(single)
    for one, other in zip(lanes, single, strict=True):
        assert np.array_equal(one.looked.works, other.looked.works)
        assert one.looked.time == pytest.approx(other.looked.time, rel=1e-12)


def test_what_none_beats_is_what_a_look_at_all_pairs_leaves() -> None:
    costs = np.random.default_rng(5).integers(0, 9, (200, 3)).astype(float)
    kept = {tuple(costs[k]) for k in unbeaten(costs)}
    beaten = [any(np.all(other <= row) and np.any(other < row) for other in costs) for row in costs]
    assert kept == {tuple(row) for row, lost in zip(costs, beaten, strict=True) if not lost}


def test_a_rewound_motor_has_the_square_of_the_turns_in_ohms_and_the_same_friction() -> None:
    plan = with_shelf_parts(read_text(starter("shaft")), "brushed-36v-medium", "energy-18650")
    lanes = combined(plan, np.array([[1.0, 2.0], [1.0, 0.5], [10.0, 10.0], [2.0, 3.0]]))
    motor = next(link for link in lanes.chains[0].links if isinstance(link, Motor))
    assert motor.constant == pytest.approx([0.099, 0.198])
    assert motor.resistance == pytest.approx([0.112, 0.448])
    assert motor.drag == pytest.approx([motor.drag[0], motor.drag[0]])  # type: ignore[index]
    assert lanes.chains[0].links[0].ratio == pytest.approx([5.0, 2.5])  # type: ignore[union-attr]


def test_what_is_left_out_unseen_breaks_a_limit_when_looked_at() -> None:
    plan = with_shelf_parts(read_text(starter("shaft")), "brushed-36v-medium", "energy-18650")
    axes = np.array([[1.0] * 40, [1.0] * 40, [10.0] * 20 + [20.0] * 20, [*range(1, 21)] * 2], dtype=float)
    likely = thinkable(plan, axes)
    assert likely.any()
    assert not likely.all()
    assert not look(plan, axes[:, ~likely], {"price": 110.0, "mass": 4.5}).works.any()


def test_the_shown_are_marched_and_tried_in_draws() -> None:
    few = replace(SMALL, cells=SMALL.cells[:1], windings=(1.35,), series=(11, 12), parallel=(4, 5, 6))
    found = choose(read_text(starter("shaft")), few, count=8)
    assert found.shown
    for pick in found.shown:
        assert pick.passes
        assert pick.often is not None
        assert 0.0 <= pick.often <= 1.0


def test_the_front_has_passed_a_march_and_nothing_that_passes_one_beats_it() -> None:
    # a winding limit that a glance, up to 15 K too cool, lets some past and a march does not
    text = edit(starter("shaft"), {"limits.ambient_hot": "45 °C"})
    few = replace(SMALL, cells=SMALL.cells[:1], windings=(1.1, 1.35), series=(11, 12), parallel=(4, 5, 6, 7))
    groups = list(looked_through(read_text(text), few))
    front, dropped = settled_front(groups)
    works = [(group, pick_of(group, int(lane))) for group in groups for lane in np.flatnonzero(group.looked.works)]
    passes = [one for group, pick in works for one in marched(group, [pick]) if one.passes]
    assert {pick.choice for pick in dropped}.isdisjoint(pick.choice for pick in passes)
    kept = unbeaten(np.array([[pick.cost, pick.mass, -pick.time] for pick in passes]).reshape(-1, 3))
    assert {pick.choice for _, pick in front} == {passes[k].choice for k in kept}
    assert all(pick.passes for _, pick in front)


def test_the_surest_works_in_no_fewer_draws_than_any_of_the_front() -> None:
    few = replace(SMALL, cells=SMALL.cells[:1], windings=(1.35, 1.7), series=(11, 12), parallel=(4, 5, 6))
    found = choose(read_text(starter("shaft")), few, count=32)
    names = [one["name"] for one in choice_record(found, 32, 1)["candidates"]]
    often = {name: pick.often or 0.0 for name, pick in zip(names, found.shown, strict=True)}
    assert max(often.values()) == next(share for name, share in often.items() if "surest" in name)
    assert all(pick.passes for pick in found.shown)


def test_a_loser_would_beat_the_whole_front_and_breaks_one_limit() -> None:
    found = choose(read_text(starter("shaft")), replace(SMALL, cells=SMALL.cells[:1], windings=(1.35,), ratios=(1.0,)))
    assert found.losers
    for loser in found.losers:
        assert loser.better in ("cost", "mass", "time")
        assert len(loser.reasons) == 1


def test_where_nothing_works_the_nearest_says_why() -> None:
    text = edit(starter("shaft"), {"limits.max_mass": "0.2 kg"})
    few = Offer(SMALL.motors[:1], SMALL.cells[:1], (1.7,), (1.0,), (10,), (1, 2))
    found = choose(read_text(edit(text, {"limits.max_mass": "3 kg", "limits.time": "20 h"})), few)
    assert not found.front
    assert found.losers[0].reasons


def test_the_whole_shelf_is_fifty_thousand_and_more() -> None:
    assert whole_shelf(read_text(starter("shaft"))).count >= 50_000


@pytest.mark.parametrize("name", ["mower", "tiller", "saw", "fan", "winch", "cart", "pump", "shaft", "corded"])
def test_a_glance_says_nearly_what_a_march_does(name: str) -> None:
    """Run time within 4 %; a winding within 15 K, for a glance does not know a cycle's peaks."""
    machine = read_text(starter(name)).machine
    glanced, marched = four_days_at_a_glance(machine), four_days(machine)
    lasts = design.until_empty(machine, keep_trace=False)
    assert float(np.ravel(glanced.new.to_reserve)[0]) == pytest.approx(float(np.ravel(lasts.to_reserve)[0]), rel=0.04)
    for day in ("new", "hot"):
        seen, is_ = (float(np.ravel(getattr(days, day).highest_winding)[0]) for days in (glanced, marched))
        assert abs(seen - is_) < 15.0
