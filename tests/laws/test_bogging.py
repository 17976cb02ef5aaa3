"""What is left before a tool bogs down: laws, two routes to one number, and a hand calculation written out."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from headrace import design
from headrace.design.bogging import bogs, hold
from headrace.design.corners import points_at
from headrace.design.ends import Ends, ends
from headrace.design.gear_records import bogging_record
from headrace.drive.bogging import Bog
from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.looking import PLACES, ROUNDS, edge, greatest
from headrace.drive.point import Outcome
from headrace.drive.pulling import puller
from headrace.drive.tools import paces_wanted, tool_of, torque_taken
from headrace.drive.train import train
from headrace.findings import Days
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.links import Controller
from headrace.machine.records import DutyState, Machine
from headrace.machine.values import first_lane
from headrace.physics import bogging
from tests.machines import with_link

RPM = math.pi / 30.0


def plan_of(name: str, **changes: object) -> Machine:
    """Return a starter with some of its lines changed; in an address ``__`` stands for a dot."""
    return read_text(edit(starter(name), {key.replace("__", "."): v for key, v in changes.items()}), file=name).machine


@cache
def mower() -> Machine:
    return plan_of("mower")


@cache
def days() -> Days:
    return design.four_days(mower())


@cache
def found() -> tuple[Bog, ...]:
    return bogs(mower(), days())[0]


def corners(plan: Machine) -> Ends:
    return ends(plan, days())


# --- looking for the greatest ------------------------------------------------------------------------


def test_the_greatest_that_holds_is_found_lane_by_lane() -> None:
    limits = np.array([0.0123, 7.0, 950.0])
    assert greatest(lambda values: values <= limits, (3,)) == pytest.approx(limits, rel=1e-4)


def test_what_always_holds_has_no_greatest_and_what_never_does_has_none() -> None:
    assert greatest(lambda values: values > 0.0, ()) == np.inf
    assert float(greatest(lambda values: values < 0.0, ())) < 1e-8
    left = (4.0 - 1.0) / (PLACES - 1) ** ROUNDS  # of the gap, after all rounds
    assert edge(lambda values: values >= 2.5, np.array(4.0), np.array(1.0)) == pytest.approx(2.5, abs=left)


# --- the reserve -------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", [0, 1])
def test_at_the_pull_out_torque_nothing_is_left(place: int) -> None:
    """A load heavier by all but a thousandth of it still turns, one by a thousandth more does not."""
    plan, bog, at = mower(), found()[place], corners(mower())
    most = float(np.asarray(bog.full.pull_out.torque))
    less, more = (
        points_at(plan, bog.state, at.full, at.warm, {0: np.array(share * most)})[0] for share in (0.999, 1.001)
    )
    assert bool(less.works)
    assert not bool(more.works)
    assert int(more.outcome) == int(np.asarray(bog.full.pull_out.outcome))


def test_the_reserve_is_that_of_the_curves() -> None:
    """The second route: all the motor is let pull, less load and drag, over every speed below the one it has."""
    plan, at = mower(), corners(mower())
    row, chain = parts(plan.chains[0]), plan.chains[0]
    for bog in found():
        work = work_terms(row, chain.work, bog.state, plan.job, at.warm[0].air)
        case = train(row, work, first_lane(at.warm[0]))
        speeds = np.linspace(0.02, 1.0, 4000) * float(np.asarray(bog.full.speed)) * float(work.turns)
        pulls = puller(case, at.full, speeds.shape)(speeds)
        best = bogging.torque_at_tool(np.max(pulls.pull - pulls.load), 0.0, work.gain)
        assert float(np.asarray(bog.full.pull_out.torque)) == pytest.approx(float(best), rel=1e-3)


def test_the_share_is_of_the_load_the_tool_takes() -> None:
    plan = mower()
    for bog in found():
        speed = float(np.asarray(bog.full.speed))
        load = torque_taken(plan.chains[0].work, bog.state, plan.job, plan.job.ambient, speed)
        assert float(bog.full.load) == pytest.approx(float(load), rel=1e-9)
        assert float(bog.full.share) == pytest.approx(
            float(np.asarray(bog.full.pull_out.torque)) / float(load), rel=1e-9
        )


def test_heavier_work_and_tighter_limits_leave_less() -> None:
    grass, tall = found()
    assert float(tall.full.share) < float(grass.full.share)
    tight = with_link(mower(), Controller, motor_current=40.0)
    assert float(bogs(tight, days())[0][1].full.share) < float(tall.full.share)


def test_a_cut_out_ends_it_before_the_motor_does() -> None:
    plan = plan_of("winch")
    bog = bogs(plan, design.four_days(plan))[0][0]
    assert Outcome(int(np.asarray(bog.empty.pull_out.outcome))) is Outcome.CUT_OUT
    lower = with_link(plan, Controller, cut_out=15.0)
    assert float(bogs(lower, design.four_days(plan))[0][0].empty.share) > float(bog.empty.share)


def test_a_tool_its_load_stops_has_no_reserve() -> None:
    plan = plan_of("mower", chains__blade__controller__motor_current="12 A")
    bog = bogs(plan, design.four_days(plan))[0][1]
    assert math.isnan(float(bog.full.share))
    record = bogging_record(plan, bogs(plan, design.four_days(plan)))[0]["states"][1]
    assert record["full"]["load_N_m"] is None
    assert record["full"]["in_reserve"] is None


# --- how far the speed gives -------------------------------------------------------------------------


@pytest.mark.parametrize("place", [0, 1])
def test_the_speed_lost_is_the_slope_of_the_curves(place: int) -> None:
    """Two solved points a thousandth of the load apart, against the slope at which pull and load part there."""
    plan, bog, at = mower(), found()[place], corners(mower())
    row, chain = parts(plan.chains[0]), plan.chains[0]
    added = 1e-3 * float(bog.full.load)
    speed = float(np.asarray(bog.full.speed))
    heavier = points_at(plan, bog.state, at.full, at.warm, {0: np.array(added)})[0]
    secant = (speed - float(heavier.tool_speed)) / added
    work = work_terms(row, chain.work, bog.state, plan.job, at.warm[0].air)
    pull = puller(train(row, work, first_lane(at.warm[0])), at.full, (2,))
    here = pull(np.array([speed, (1.0 - 1e-5) * speed]))
    spare = np.asarray(here.pull - here.load) / float(work.gain)
    assert secant == pytest.approx(1e-5 * speed / (spare[1] - spare[0]), rel=2e-3)
    assert float(bog.full.per_torque) == pytest.approx(secant, rel=0.02)  # a tenth more, so a little steeper
    assert float(bog.full.drop) == pytest.approx(secant * 0.1 * float(bog.full.load) / speed, rel=0.02)


def test_a_held_speed_does_not_give() -> None:
    plan = with_link(mower(), Controller, mode="governed", speed=250.0)
    bog = bogs(plan, days())[0][0]
    assert float(bog.full.drop) == pytest.approx(0.0, abs=1e-9)
    assert float(bog.full.per_torque) == pytest.approx(0.0, abs=1e-9)
    assert float(bog.full.share) > 0.5


# --- the feed ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "key"), [("mower", "travel_speed"), ("saw", "feed"), ("chipper", "material")])
def test_with_the_greatest_feed_the_tool_has_its_least_pace_or_is_at_its_limit(name: str, key: str) -> None:
    plan = plan_of(name)
    these, chain = design.four_days(plan), plan.chains[0]
    at = ends(plan, these)
    for bog in bogs(plan, these)[0]:
        feed, most = bog.fed.feed, float(np.asarray(bog.fed.greatest))
        assert feed is not None
        assert feed.key == key
        least, _ = paces_wanted(plan.limits, chain.work)
        paces = []
        for share in (0.999, 1.001):
            state, job = feed.at(bog.state, plan.job, share * most)
            point = points_at(replace(plan, job=job), state, at.empty, at.warm)[0]
            paces.append(float(tool_of(chain.work).pace_at(chain.work, point.tool_speed)) if point.works else 0.0)
        assert paces[0] >= least > paces[1]


def test_the_greatest_feed_by_the_straight_line_of_its_torque() -> None:
    """At a held speed the torque is a straight line over the feed, and all of it is what the motor can pull there."""
    plan, at = mower(), corners(mower())
    chain, row = plan.chains[0], parts(plan.chains[0])
    least, _ = paces_wanted(plan.limits, chain.work)
    slowest = float(tool_of(chain.work).speed_at(chain.work, least))
    for bog in found():
        work = work_terms(row, chain.work, bog.state, plan.job, at.warm[0].air)
        here = puller(train(row, work, first_lane(at.warm[0])), first_lane(at.empty), (1,))(np.array([slowest]))
        still = replace(plan.job, travel_speed=0.0)
        unfed, fed = (
            float(torque_taken(chain.work, bog.state, job, at.warm[0].air, slowest)) for job in (still, plan.job)
        )
        spare = float(here.pull[0] - here.load[0]) / float(work.gain)
        by_line = plan.job.travel_speed * (1.0 + spare / (fed - unfed))
        assert float(np.asarray(bog.fed.greatest)) == pytest.approx(by_line, rel=1e-3)


def test_no_feed_keeps_it_fast_enough_is_an_answer() -> None:
    plan = plan_of("mower", limits__tip_speed_min="75 m/s")
    record = bogging_record(plan, bogs(plan, design.four_days(plan)))[0]["states"][0]["feed"]
    assert record["travel_speed_greatest_m_s"] is None
    assert record["motor_current_A"] is None
    assert record["why"] == "no feed keeps it fast enough when nearly empty"


@pytest.mark.parametrize(
    ("name", "changes", "says"),
    [
        ("cart", {}, "nobody feeds"),
        ("saw", {"limits__tip_speed_min": "0 m/s"}, "no least pace"),
    ],
)
def test_where_no_feed_is_advised_it_says_why(name: str, changes: dict[str, object], says: str) -> None:
    plan = plan_of(name, **changes)
    record = bogging_record(plan, bogs(plan, design.four_days(plan)))[0]["states"][0]["feed"]
    assert says in record["why"]


def test_the_amps_at_the_greatest_feed_are_enough_and_no_more() -> None:
    """Limits a little below them on either side stop the tool short of its least pace at that feed."""
    plan, bog = mower(), found()[1]
    amps = {k: float(np.asarray(getattr(bog.fed, k))) for k in ("motor_current", "battery_current")}
    feed, most = bog.fed.feed, float(np.asarray(bog.fed.greatest))
    assert feed is not None
    state, job = feed.at(bog.state, plan.job, 0.999 * most)
    least, _ = paces_wanted(plan.limits, plan.chains[0].work)

    def kept(side: str, share: float) -> bool:
        limited = with_link(replace(plan, job=job), Controller, **{side: share * amps[side]})
        point = points_at(limited, state, corners(plan).empty, corners(plan).warm)[0]
        pace = tool_of(plan.chains[0].work).pace_at(plan.chains[0].work, point.tool_speed)
        return bool(point.works) and bool(pace >= least)

    assert [kept(side, share) for side in amps for share in (1.001, 0.97)] == [True, False, True, False]


# --- lanes and hand ----------------------------------------------------------------------------------


def test_a_lane_of_many_is_what_it_is_alone() -> None:
    drawn = draws(mower(), 6, 2)
    these = design.four_days(drawn)
    many = bogs(drawn, these)[0][1]
    assert np.shape(many.full.share) == (7,)
    alone = bogs(first_lane(drawn), first_lane(these))[0][1]
    assert float(np.asarray(many.full.share)[0]) == pytest.approx(float(alone.full.share), rel=1e-9)
    assert float(np.asarray(many.fed.greatest)[0]) == pytest.approx(float(np.asarray(alone.fed.greatest)), rel=1e-9)


def test_a_winch_by_hand() -> None:
    """What a winch can lift beyond its load, and how far its speed gives, worked out with pencil and paper.

    180 kg up 20° with friction 0.5: 180 · 9.81 · (sin 20° + 0.5 cos 20°) = 180 · 9.81 · (0.342 + 0.470) = 1434 N. The
    rope leaves the third layer at 80/2 + 6 · (0.5 + 0.87 · 2) = 53.4 mm: 1434 N · 0.0534 m = 76.6 N·m; with 0.2 N·m of
    the drum's own seals 76.8 N·m. One newton metre there is 1/(60 · 0.925) = 0.0180 N·m at the motor.

    On a full pack the controller's 60 A in a warm motor of 75 rpm/V: k = 30/(75 π) · (1 − 0.002 · ΔT), here 0.1273 less
    what the march warms the magnets by. Torque 60 k; friction of the motor 2.5 A · k and 0.02 N·m of the gears. So the
    drum gets (60 k − 2.5 k − 0.02)/0.0180 and can be asked for that less 76.8 N·m.

    A tenth more load, 7.68 N·m, asks for 7.68 · 0.0180/k more amps; through R the motor loses volts, at 1/k rad/s each,
    and the drum turns 60 times slower: 0.138/k · R/k / 60.
    """
    plan = plan_of("winch")
    these = design.four_days(plan)
    at, bog = ends(plan, these), bogs(plan, these)[0][0]
    warmed = float(these.aged.highest_case) - 298.15
    k = 30.0 / (75.0 * math.pi) * (1.0 - 0.002 * warmed)
    drum = 180.0 * 9.81 * (0.3420 + 0.5 * 0.9397) * 0.0534 + 0.2
    assert float(bog.full.load) == pytest.approx(drum, rel=0.02)
    most = (60.0 * k - 2.5 * k - 0.02) * 60.0 * 0.925 - drum
    assert float(np.asarray(bog.full.pull_out.torque)) == pytest.approx(most, rel=0.02)
    winding = 0.080 * (234.5 + float(these.aged.highest_winding) - 273.15) / 259.5
    cable = 2.0 * 1.0 * 1.91e-3 * (1.0 + 0.00393 * 20.0)
    ohms = winding + 0.005 + cable + 6 * 0.00015 + 0.0006 + float(np.asarray(at.full.resistance))
    slower = 0.1 * drum / (60.0 * 0.925) / k * ohms / k / 60.0
    assert float(bog.full.drop) * float(np.asarray(bog.full.speed)) == pytest.approx(slower, rel=0.02)


def test_the_reserve_of_one_state_is_asked_of_that_state() -> None:
    plan, at = mower(), corners(mower())
    loaded = [state for state in plan.job.states if state.loaded]
    heavy: DutyState = replace(loaded[0], sward=3.0 * np.asarray(loaded[0].sward).item())
    light, laden = (hold(plan, 0, state, at.full, at.warm) for state in (loaded[0], heavy))
    assert float(laden.share) < float(light.share)
