"""Ratios and windings: laws, two routes to one number, and a hand calculation with its numbers written out."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from headrace import design
from headrace.design.corners import NO_LOAD
from headrace.design.ends import ends, tool_speed, with_chain
from headrace.design.gear_records import gearing_record, windings_record
from headrace.design.gearing import FITS, Gearing, gearings
from headrace.design.windings import Wound, windings
from headrace.drive.gearing import geared, pairs_for, rewound, stage_of
from headrace.drive.links import parts
from headrace.drive.tools import paces_wanted
from headrace.findings import Days
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.links import Motor
from headrace.machine.records import Machine
from headrace.machine.works import Saw
from headrace.physics import conductors, motors
from headrace.tables import load

RPM = math.pi / 30.0


def plan_of(name: str, **changes: object) -> Machine:
    """Return a starter with some of its lines changed; in an address ``__`` stands for a dot."""
    return read_text(edit(starter(name), {key.replace("__", "."): v for key, v in changes.items()}), file=name).machine


@cache
def saw() -> Machine:
    return plan_of("saw")


@cache
def days_of_saw() -> Days:
    return design.four_days(saw())


def fitted(plan: Machine) -> Gearing:
    return gearings(plan, design.four_days(plan))[0]


# --- ratios ------------------------------------------------------------------------------------------


def test_the_ratio_found_puts_the_tool_at_the_pace_that_is_wanted() -> None:
    """The search against one operating point, solved at the ratio it gives."""
    plan = plan_of("shaft")
    days = design.four_days(plan)
    found, at = gearings(plan, days)[0], ends(plan, days)
    stage = stage_of(plan.chains[0])
    assert stage is not None
    assert found.state is not None
    turned = tool_speed(
        with_chain(plan, 0, geared(plan.chains[0], stage, found.ratio)), 0, found.state, at.half, at.warm
    )
    least, most = paces_wanted(plan.limits, plan.chains[0].work)
    assert float(found.wanted) == pytest.approx(0.5 * (least + most), rel=1e-12)
    assert float(turned) == pytest.approx(float(found.wanted), rel=1e-4)


def test_without_load_the_speed_of_the_tool_goes_inversely_with_the_ratio() -> None:
    """A motor alone holds its speed; friction of the belt, and the tool's own, take what is left."""
    plan, at = saw(), ends(saw(), days_of_saw())
    stage = stage_of(plan.chains[0])
    assert stage is not None
    work = plan.chains[0].work
    assert isinstance(work, Saw)
    smooth = with_chain(plan, 0, replace(plan.chains[0], work=replace(work, idle_torque=0.0, windage=0.0)))
    stage = replace(stage, drag=0.0)
    ratios = np.array([1.0, 2.0, 4.0])
    speeds = tool_speed(with_chain(smooth, 0, geared(smooth.chains[0], stage, ratios)), 0, NO_LOAD, at.full, at.warm)
    assert np.asarray(speeds * ratios) == pytest.approx(float(np.asarray(speeds)[0]), rel=1e-9)


def test_no_offered_pair_is_too_fast_on_a_full_pack() -> None:
    found = gearing_record(saw().limits, gearings(saw(), days_of_saw())[0])
    assert found["held_back"]  # the middle of the window would be
    assert found["ratio"] == found["least_ratio"]
    assert len(found["pairs"]) == 3
    assert [pair["too_fast"] for pair in found["pairs"]] == [False, False, False]
    faster = plan_of("saw", chains__saw__reduction__ratio=0.99 * found["least_ratio"])
    assert gearing_record(saw().limits, fitted(faster))["now"]["too_fast"]


def test_a_held_speed_is_the_pace_wanted() -> None:
    """A fan whose controller holds a speed is geared for that, not for the middle of its window."""
    governed = {"chains__fan__controller__mode": "governed", "chains__fan__controller__speed": "7000 rpm"}
    plan = plan_of("fan", **governed)
    chain = plan.chains[0]
    set_speed = parts(chain).controller.speed
    stage = stage_of(chain)
    assert stage is not None
    found = fitted(plan)
    assert math.isfinite(set_speed)
    assert float(found.wanted) == pytest.approx(set_speed / stage.ratio * (1.0 - stage.creep), rel=1e-6)


def test_a_motor_on_the_tool_gets_a_stage_only_where_it_is_worth_one() -> None:
    fits = fitted(plan_of("mower"))
    assert abs(float(fits.ratio) - 1.0) <= FITS
    assert fits.pairs == ()
    slow = fitted(plan_of("mower", chains__blade__motor__constant="45 rpm/V", limits__tip_speed_max="70 m/s"))
    assert float(slow.ratio) < 1.0 - FITS
    assert slow.stage is None
    assert len(slow.pairs) == 3


@pytest.mark.parametrize(
    ("name", "says"),
    [("corded", "speed of a motor with magnets"), ("pump", "least and greatest pace"), ("tiller", "own ratios")],
)
def test_a_chain_without_a_ratio_or_pairs_says_why(name: str, says: str) -> None:
    found = fitted(plan_of(name))
    assert found.pairs == ()
    assert says in found.why


def test_no_ratio_is_an_answer() -> None:
    weak = fitted(plan_of("tiller", chains__tines__controller__motor_current="8 A"))
    assert math.isnan(float(weak.ratio))
    assert "no ratio brings the tool to that pace" in weak.why


# --- wheels ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["roller-chain", "toothed-belt", "v-belt"])
@pytest.mark.parametrize("ratio", [0.4, 1.0, 1.7, 2.6, 4.0])
def test_the_nearest_pair_is_the_nearest_of_all_that_are_large_enough(kind: str, ratio: float) -> None:
    by = "diameter" if kind == "v-belt" else "teeth"
    limit = next(row[by] for row in load("least_wheels") if row["kind"] == kind)
    sizes = [row[by] for row in load("wheels") if row["kind"] == kind and row[by] >= limit]
    best = min(abs(math.log(b / a / ratio)) for a in sizes for b in sizes)
    pairs = pairs_for(kind, ratio)
    offs = [abs(math.log(float(pair.ratio) / ratio)) for pair in pairs]
    assert offs[0] == pytest.approx(best, abs=1e-12)
    assert offs == sorted(offs)
    assert all(min(float(pair.driver), float(pair.driven)) >= limit and pair.note == "" for pair in pairs)


def test_a_ratio_out_of_reach_is_met_with_small_wheels_and_says_so() -> None:
    pairs = pairs_for("roller-chain", 6.3)
    assert all(float(pair.driver) < 17 for pair in pairs)
    assert all("below 17 teeth" in pair.note and pair.source for pair in pairs)


def test_no_pair_below_the_least_ratio_is_offered() -> None:
    assert (
        min(float(pair.ratio) for pair in pairs_for("v-belt", 1.38))
        < 1.395
        < min(float(pair.ratio) for pair in pairs_for("v-belt", 1.38, 1.395))
    )


def test_gear_sets_and_worms_are_not_made_of_stocked_wheels() -> None:
    assert pairs_for("gears", 3.0) == pairs_for("worm", 20.0) == []


# --- windings ----------------------------------------------------------------------------------------


def magnet_motor(plan: Machine) -> Motor:
    motor = parts(plan.chains[0]).motor
    assert isinstance(motor, Motor)
    return motor


@pytest.mark.parametrize("turns", [0.5, 1.0, 1.3, 3.0])
def test_rewinding_leaves_the_torque_for_each_watt_of_copper(turns: float) -> None:
    """The frame: torque k I at the loss R I² is k/√R for each root of a watt, whatever the winding."""
    plan = saw()
    before, after = magnet_motor(plan), magnet_motor(with_chain(plan, 0, rewound(plan.chains[0], turns)))

    def torque_at(motor: Motor, watts: float) -> float:
        current = math.sqrt(watts / motor.resistance)
        assert conductors.joule_loss(current, motor.resistance) == pytest.approx(watts)
        return float(motors.airgap_torque(motor.constant, current))

    assert after.constant == pytest.approx(turns * before.constant)
    assert torque_at(after, 50.0) == pytest.approx(torque_at(before, 50.0), rel=1e-12)


def test_at_the_ends_of_the_window_the_paces_are_the_limits() -> None:
    plan, days = saw(), days_of_saw()
    found, at = windings(plan, days)[0], ends(plan, days)
    wound = Wound(plan, 0, at.empty, at.hot_full, at.warm, at.hot)
    least, most = paces_wanted(plan.limits, plan.chains[0].work)
    here = magnet_motor(plan).constant
    fewest, greatest = (np.array(float(k) / here) for k in (found.fastest, found.slowest))
    assert float(wound.fastest(fewest)) == pytest.approx(most, rel=1e-4)
    assert float(wound.slowest(greatest)) == pytest.approx(least, rel=1e-4)
    assert float(found.at_top) == pytest.approx(float(wound.slowest(fewest)), rel=1e-3)


def test_a_window_is_where_the_findings_are_silent() -> None:
    """What the window says of a winding, and what the findings on pace say of it, are one."""
    plan, days = saw(), days_of_saw()
    found = windings(plan, days)[0]
    for constant, ill in ((found.fastest * 0.98, True), (found.fastest * 1.02, False), (found.slowest * 1.02, True)):
        other = with_chain(plan, 0, rewound(plan.chains[0], float(constant) / magnet_motor(plan).constant))
        corners = design.gathered(other, days, ()).corners
        least, most = paces_wanted(plan.limits, plan.chains[0].work)
        assert (float(corners.fastest[0]) > most or float(corners.slowest[0]) < least) == ill


def test_no_winding_does_it_says_which_end_fails() -> None:
    narrow = plan_of("saw", limits__tip_speed_min="62 m/s", limits__tip_speed_max="66 m/s")
    spread = windings_record(windings(narrow, design.four_days(narrow))[0])
    assert spread["fastest_V_s_rad"] is None
    assert "too fast on a full pack" in spread["why"]
    assert spread["tip_speed_at_top_m_s"] < 62.0
    feeble = plan_of("saw", chains__saw__controller__motor_current="4 A")
    assert "weak" in windings_record(windings(feeble, design.four_days(feeble))[0])["why"]


def test_draws_do_not_move_what_is_of_the_typical_machine() -> None:
    plan = saw()
    drawn = draws(plan, 4, 1)
    days = design.four_days(drawn)
    one, many = gearings(plan, days_of_saw())[0], gearings(drawn, days)[0]
    assert float(many.ratio) == pytest.approx(float(one.ratio), rel=1e-9)
    wound = windings(drawn, days)[0]
    assert float(wound.slowest) == pytest.approx(float(windings(plan, days_of_saw())[0].slowest), rel=1e-9)


# --- by hand -----------------------------------------------------------------------------------------


def mill_on_a_supply() -> Machine:
    """Return the mill of the starter on a supply that holds 36 V behind 10 mΩ, its motor's drag given."""
    head, _, rest = starter("shaft").partition("[source]")
    supply = '[source]\nkind = "bench-supply"\nvoltage = "36 V"\ncurrent = "80 A"\n\n'
    text = head.replace('no_load_current = "1.8 A"', 'drag = "0.12 N·m"') + supply + rest[rest.index("[job]") :]
    window = {"limits.tool_speed_min": "480 rpm", "limits.tool_speed_max": "800 rpm"}
    return read_text(edit(text, window), file="mill").machine


def test_a_ratio_and_a_window_by_hand() -> None:
    """A mill of 350 W at 600 rpm behind a V-belt on a supply of 36 V, worked out with pencil and paper.

    After work the march has the winding at 48 °C and the magnets at 38 °C; all else is of the file or of the tables.
    Torque at the mill 350 W / 62.83 rad/s = 5.570 N·m at any speed. Wanted (480 + 800)/2 = 640 rpm = 67.02 rad/s.
    Motor k = 30/(95 π) · (1 − 0.002 · 13) = 0.0978 V·s/rad and 60 mΩ · (234.5 + 48)/259.5 = 65.3 mΩ. With controller
    5 mΩ, cable 2 · 0.6 m · 1.91 mΩ/m · 1.08 = 2.5 mΩ, lugs 0.9 mΩ, fuse 0.6 mΩ and supply 10 mΩ that makes 84.3 mΩ.
    Brushes take 1 V, so 35 V are left.

    At a ratio i the motor turns at 67.02 i/0.99 = 67.70 i and gives 5.570/(0.985 i) + 0.04 + 0.12 = 5.655/i + 0.16 N·m:

        35 = 0.0978 · 67.70 i + 0.0843 · (5.655/i + 0.16)/0.0978,   6.621 i² − 34.86 i + 4.874 = 0
        i = (34.86 + √(34.86² − 4 · 6.621 · 4.874)) / (2 · 6.621) = 5.12

    Windings at the ratio of the file, 5: a times the turns make k = 0.0978 a and R = 0.0653 a² + 0.0190. The slow end
    turns the loaded mill at 480 rpm, the motor at 50.27 · 5/0.99 = 253.9 rad/s with 5.655/5 + 0.16 = 1.291 N·m:

        35 = 0.0978 a · 253.9 + (0.0653 a² + 0.0190) · 1.291/(0.0978 a),   25.69 a² − 35 a + 0.251 = 0,   a = 1.355

    The fast end turns it at 800 rpm, the motor at 423.1 rad/s, on a hot day with magnets at 35 + 40 = 75 °C,
    k = 0.1005 · 0.9 a = 0.0905 a, winding 62.3 mΩ · a², against 0.16 N·m of belt and motor:

        35 = 0.0905 a · 423.1 + (0.0623 a² + 0.0190) · 0.16/(0.0905 a),   38.40 a² − 35 a + 0.034 = 0,   a = 0.910
    """
    plan = mill_on_a_supply()
    days = design.four_days(plan)
    assert float(days.aged.highest_winding) - 273.15 == pytest.approx(48.0, abs=1.0)
    assert float(days.aged.highest_case) - 273.15 == pytest.approx(38.0, abs=1.0)
    wound, here = windings(plan, days)[0], magnet_motor(plan).constant
    assert float(gearings(plan, days)[0].ratio) == pytest.approx(5.12, rel=0.02)
    assert float(wound.slowest) / here == pytest.approx(1.355, rel=0.02)
    assert float(wound.fastest) / here == pytest.approx(0.910, rel=0.02)
