"""The balance of a machine on two axles: statics, ballast, a hand calculation, its draws and its workings."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.balance import balance
from headrace.design.balance_record import balance_record
from headrace.design.workings import addresses, worked_record
from headrace.findings import Balanced, Poise
from headrace.machine import edit, read_text, starter
from headrace.machine.draws import draws
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import with_numbers
from headrace.machine.weights import Balance, Part
from headrace.machine.works import Wheels
from headrace.physics import balance as physics
from headrace.physics.heat import GRAVITY
from headrace.physics.working import LEAVES, Traced
from tests.machines import SMALL_TEXT

WEIGHED = {
    "balance.wheelbase": "70 cm",
    "balance.front": "14 kg",
    "balance.rear": "21 kg",
    "balance.height": "36 cm",
    "balance.handle": "145 cm",
    "balance.pack_position": "50 cm",
    "balance.pack_height": "34 cm",
    "balance.front_share": "40 %",
    "balance.out": [{"name": "engine", "mass": "12 kg", "position": "25 cm", "height": "40 cm"}],
    "balance.put_in": [{"name": "motor", "mass": "4 kg", "position": "25 cm", "height": "38 cm"}],
}
CART = {
    "balance.wheelbase": "90 cm",
    "balance.mass": "62 kg",
    "balance.centre": "50 cm",
    "balance.height": "40 cm",
    "balance.pack_position": "60 cm",
    "balance.pack_height": "35 cm",
    "balance.driven": "rear",
    "balance.out": [{"name": "old battery", "mass": "22 kg", "position": "25 cm", "height": "30 cm"}],
    "balance.put_in": [{"name": "motor", "mass": "5 kg", "position": "85 cm", "height": "20 cm"}],
}


@cache
def mower() -> Machine:
    return read_text(edit(starter("mower"), WEIGHED)).machine


@cache
def cart() -> Machine:
    return read_text(edit(starter("cart"), CART)).machine


def found(machine: Machine) -> Balanced:
    """Return the balance of a machine that has one."""
    told = balance(machine)
    assert told is not None
    return told


def plan_of(machine: Machine) -> Balance:
    assert machine.balance is not None
    return machine.balance


def all_close(value: Lanes, expected: Lanes, rel: float = 1e-9) -> None:
    one, other = np.broadcast_arrays(value, expected)
    assert one == pytest.approx(other, rel=rel, abs=1e-9)


# --- statics --------------------------------------------------------------------------------------


@pytest.mark.parametrize("machine", [draws(mower(), 50, 1), draws(cart(), 50, 1)], ids=["mower", "cart"])
def test_loads_and_moments_balance_in_every_draw(machine: Machine) -> None:
    plan = plan_of(machine)
    for poise in (found(machine).before, found(machine).after):
        all_close(poise.front + poise.rear, poise.mass * GRAVITY)
        for mark in (0.0, 0.31, -1.0):  # about any point of the ground
            turned = poise.front * (0.0 - mark) + poise.rear * (plan.wheelbase - mark)
            all_close(turned, poise.mass * GRAVITY * (poise.centre - mark))


def test_the_mass_is_what_is_left_and_what_came() -> None:
    machine = draws(cart(), 20, 2)
    plan, after = plan_of(machine), found(machine).after
    all_close(after.mass, plan.mass - plan.out[0].mass + plan.put_in[0].mass + plan.pack_mass)


def test_on_the_grade_that_tips_it_the_upper_axle_carries_nothing() -> None:
    """Two routes: the angle of the centre over the lower axle, and the share a slope moves there."""
    base = plan_of(mower()).wheelbase
    for poise in (found(mower()).before, found(mower()).after):
        backward = physics.share_shift(poise.height, base, poise.tips_backward)
        forward = physics.share_shift(poise.height, base, poise.tips_forward)
        assert float(poise.front_share - backward) == pytest.approx(0.0, abs=1e-12)
        assert float(poise.rear_share - forward) == pytest.approx(0.0, abs=1e-12)


def test_the_hand_and_the_other_axle_hold_the_whole_weight() -> None:
    """With the front wheels just off the ground: moments about the front axle, of weight, hand and rear wheels."""
    plan, after = plan_of(mower()), found(mower()).after
    weight, hand = float(after.mass) * GRAVITY, float(after.lift_front)
    rear = weight - hand
    assert hand * plan.handle + rear * plan.wheelbase == pytest.approx(weight * float(after.centre), rel=1e-12)
    assert hand < 0.0  # behind the rear axle a hand presses down
    assert float(after.lift_rear) > 0.0


def test_over_the_axle_that_stays_no_force_lifts_the_other() -> None:
    on_the_axle = with_numbers(mower(), {"balance.handle": plan_of(mower()).wheelbase})
    told = balance_record(on_the_axle, found(on_the_axle))
    assert told is not None
    assert told["after"]["lift_front_N"] is None
    assert told["after"]["lift_rear_N"] > 0.0


def test_what_came_out_put_in_again_changes_nothing() -> None:
    machine = draws(mower(), 20, 3)
    plan = plan_of(machine)
    same = replace(plan, out=(Part("pack", plan.pack_mass, plan.pack_position, plan.pack_height),), put_in=())
    told = found(replace(machine, balance=replace(same, front_share=math.nan)))
    for name in ("mass", "centre", "height", "front", "rear", "push", "climb", "lift_front", "tips_backward"):
        all_close(getattr(told.after, name), getattr(told.before, name))
    all_close(told.ballast, 0.0 * np.asarray(plan.mass))


def test_a_machine_of_double_weight_takes_double_force() -> None:
    plan = plan_of(cart())
    twice = {"balance.mass": 2.0 * plan.mass, "balance.pack_mass": 2.0 * plan.pack_mass}
    twice |= {f"balance.{at}.mass": 2.0 * part.mass for at, part in (("out.old battery", plan.out[0]),)}
    twice |= {"balance.put_in.motor.mass": 2.0 * plan.put_in[0].mass}
    light, heavy = found(cart()).after, found(with_numbers(cart(), twice)).after
    for name in ("mass", "front", "push", "climb", "pull", "climb_pull"):
        all_close(getattr(heavy, name), 2.0 * getattr(light, name))
    all_close(heavy.tips_backward, light.tips_backward)


# --- ballast --------------------------------------------------------------------------------------


def with_ballast(machine: Machine) -> Poise:
    """Return how the machine stands with the ballast it was told to carry."""
    told, plan = found(machine), plan_of(machine)
    ballast = Part("ballast", told.ballast, told.ballast_position, 0.3)
    return found(replace(machine, balance=replace(plan, put_in=(*plan.put_in, ballast)))).after


@pytest.mark.parametrize("wanted", ["25 %", "40 %", "60 %"])
def test_ballast_brings_the_share_wanted(wanted: str) -> None:
    machine = draws(read_text(edit(starter("mower"), {**WEIGHED, "balance.front_share": wanted})).machine, 20, 4)
    assert np.all(np.asarray(found(machine).ballast) > 0.0)
    all_close(with_ballast(machine).front_share, 0.01 * float(wanted.split()[0]))


def test_without_a_wish_ballast_brings_back_what_was_there() -> None:
    machine = draws(cart(), 20, 5)
    all_close(with_ballast(machine).front_share, found(machine).before.front_share)


def test_farther_out_less_ballast_does_and_on_the_wrong_side_none() -> None:
    ahead = found(with_numbers(mower(), {"balance.ballast_position": -0.2}))
    behind = found(with_numbers(mower(), {"balance.ballast_position": 0.6}))
    assert 0.0 < float(ahead.ballast) < float(found(mower()).ballast)
    assert math.isinf(float(behind.ballast))
    record = balance_record(mower(), behind)
    assert record is not None
    assert record["ballast"]["mass_kg"] is None


# --- by hand --------------------------------------------------------------------------------------


def test_a_mower_by_hand() -> None:
    """Formula and numbers written out; 2 % would do, and the rounding below is within a tenth of it."""
    pack = 70 * 0.070 * 1.25  # kg: 10s7p of 70 g, a quarter more for strips, holders and box
    mass = 14.0 + 21.0 - 12.0 + 4.0 + pack  # kg: 33.1
    moments = 21.0 * 0.70 - 12.0 * 0.25 + 4.0 * 0.25 + pack * 0.50  # kg m about the front axle: 15.8
    centre = moments / mass  # m: 0.476
    upward = 35.0 * 0.36 - 12.0 * 0.40 + 4.0 * 0.38 + pack * 0.34  # kg m above the ground: 11.4
    height = upward / mass  # m: 0.344
    weight = mass * 9.81  # N: 325
    rear = weight * centre / 0.70  # N: 221
    front = weight - rear  # N: 104
    rolling, slope = 0.07, math.radians(10.0)  # short grass; the usual slope
    after, told = found(mower()).after, found(mower())
    for value, expected in (
        (after.mass, mass),
        (after.centre, centre),
        (after.height, height),
        (after.front, front),
        (after.rear, rear),
        (after.push, rolling * weight),
        (after.climb, weight * (math.sin(slope) + rolling * math.cos(slope))),
        (after.lift_front, -front * 0.70 / (1.45 - 0.70)),
        (after.lift_rear, rear * 0.70 / 1.45),
        (after.tips_backward, math.atan((0.70 - centre) / height)),
        (after.tips_forward, math.atan(centre / height)),
        (told.ballast, mass * (centre - 0.70 * 0.60) / (0.70 * 0.60 - 0.0)),  # over the front axle, for 40 %
    ):
        assert float(value) == pytest.approx(expected, rel=2e-3)


def test_a_cart_s_driven_wheels_by_hand() -> None:
    """Grip on the load of the rear axle, on the level and 10 degrees nose uphill."""
    after = found(cart()).after
    mass, centre, height = (float(value) for value in (after.mass, after.centre, after.height))
    slope, grip = math.radians(10.0), 0.4  # short grass
    level = mass * 9.81 * centre / 0.90
    uphill = mass * 9.81 * (centre * math.cos(slope) + height * math.sin(slope)) / 0.90
    assert float(after.pull) == pytest.approx(grip * level, rel=2e-3)
    assert float(after.climb_pull) == pytest.approx(grip * uphill, rel=2e-3)


# --- wheels, draws, workings ----------------------------------------------------------------------


def wheels(machine: Machine) -> Wheels:
    work = machine.chains[0].work
    assert isinstance(work, Wheels)
    return work


def test_the_share_on_driven_wheels_follows_from_the_balance() -> None:
    machine = draws(cart(), 20, 6)
    all_close(wheels(machine).driven_share, found(machine).after.rear_share)
    more = with_numbers(cart(), {"source.parallel": 9.0})
    assert float(wheels(more).pack_mass) == pytest.approx(float(plan_of(more).pack_mass))
    all_close(wheels(more).driven_share, found(more).after.rear_share)
    assert float(wheels(more).driven_share) != pytest.approx(float(wheels(cart()).driven_share), abs=1e-4)


def test_all_wheels_driven_carry_all() -> None:
    machine = read_text(edit(starter("cart"), {**CART, "balance.driven": "both"})).machine
    assert wheels(machine).driven_share == 1.0
    after = found(machine).after
    all_close(after.pull, wheels(machine).grip * after.mass * GRAVITY)


def test_the_steepest_slope_of_the_job_counts() -> None:
    assert float(found(cart()).steepest) == pytest.approx(math.radians(10.0))
    steeper = read_text(edit(starter("cart"), {**CART, "job.loaded, uphill.slope": "14 °"})).machine
    assert float(found(steeper).steepest) == pytest.approx(math.radians(14.0))


def test_draws_give_bands_about_the_typical_machine() -> None:
    plain, drawn = (balance_record(m, found(m)) for m in (mower(), draws(mower(), 60, 7)))
    assert plain is not None
    assert drawn is not None
    for when in ("before", "after"):
        for key in ("mass_kg", "front_N", "front_share", "push_N", "climb_N", "tips_backward_rad"):
            band = drawn[when][key]
            assert band["typical"] == pytest.approx(plain[when][key], rel=1e-12)
            assert band["low"] < band["typical"] < band["high"]


def test_what_the_file_does_not_tell_is_null() -> None:
    bare = {key: value for key, value in WEIGHED.items() if "height" not in key and "handle" not in key}
    for key in ("balance.out", "balance.put_in"):
        bare[key] = [{k: v for k, v in WEIGHED[key][0].items() if k != "height"}]  # type: ignore[attr-defined]
    machine = read_text(edit(starter("mower"), bare)).machine
    record = balance_record(machine, found(machine))
    assert record is not None
    none = {key for key, value in record["after"].items() if value is None}
    assert none == {
        "height_m", "lift_front_N", "lift_rear_N", "tips_backward_rad", "tips_forward_rad", "pull_N", "climb_pull_N",
    }  # fmt: skip
    assert balance(read_text(starter("mower")).machine) is None


def test_every_number_of_the_balance_has_a_working() -> None:
    machine = read_text(edit(SMALL_TEXT, WEIGHED)).machine
    known: dict[str, Any] = addresses(worked_record(design.solve(machine)))
    numbers = {address: value for address, value in known.items() if address.startswith("balance.")}
    assert {"balance.after.front", "balance.before.centre", "balance.ballast.mass", "balance.steepest"} <= set(numbers)
    assert len(numbers) > 25
    for address, value in numbers.items():
        assert isinstance(value, Traced), address
        assert value.node.again() == pytest.approx(float(value), rel=1e-12, abs=1e-300), address
        for node in value.node.all():
            assert node.inputs or node.kind in LEAVES, (address, node.name)
            assert node.kind != "given" or node.origin is not None, address
    origins = {node.origin.address for node in numbers["balance.after.front"].node.all() if node.origin is not None}
    assert {"balance.front", "balance.out.engine.mass", "source.cell.mass", "balance.wheelbase"} <= origins
