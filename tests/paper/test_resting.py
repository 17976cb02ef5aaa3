"""Stops and slopes in sentences: each says what its record says, and what it does not know it does not say."""

from __future__ import annotations

from functools import cache
from typing import Any

from headrace import design, machine
from headrace.design.rest_record import rest_record
from headrace.paper.resting import sloping, stopping
from tests.paper.records import record


@cache
def of(kind: str, *changes: tuple[str, object]) -> dict[str, Any]:
    text = machine.edit(machine.starter(kind), {"limits.time": "2 min", **dict(changes)})
    plan = machine.read_text(text, file=f"{kind}.toml").machine
    return rest_record(plan, design.evidence(plan))


DOWN = ("job.loaded, uphill.slope", "-8 °")


def test_a_stop_says_the_proposed_brake_and_what_a_short_would_do() -> None:
    said = stopping(record(draws=False)["stops"][0], several=True)
    assert said.startswith("Left: Time to rest of the blade, at worst: 9.0 s.")
    assert "By the watch, typical: 6.0 s from 2865 rpm without a brake, 1.5 s with the brake." in said
    assert "a resistor of 0.68 Ω stops it in 2.2 s: 50 A at first, 450 J of 600 J into the brake's resistor" in said
    assert "Never short the motor outright: it would take 400 A at first; more than 110 A may harm it." in said


def test_a_stop_without_a_known_limit_says_so_and_one_without_magnets_says_no_word_of_a_short() -> None:
    one = record(draws=False)["stops"][0]
    unknown = stopping({**one, "short": "not-rejected", "most_current_A": None}, several=False)
    assert "what harms it is not known" in unknown
    bare = {**one, "short": None, "proposed": None, "why": "no-magnets", "reason": "it has no field"}
    said = stopping({**bare, "coast_time_s": None}, several=False)
    assert "It has no field." in said
    assert "short" not in said.lower().replace("shortest", "")
    assert "no time that can be told" in said


def test_a_descent_into_a_full_pack_says_volts_and_room() -> None:
    (one,) = of("cart", DOWN, ("chains.axle.controller.regenerates", True))["slopes"]
    said = sloping(one)
    found = one["descent"]
    assert f"{found['bus_voltage_V']:.1f} V" in said
    assert f"{found['headroom_A_s'] / 3600.0:.2f} Ah have to be out of it first" in said
    assert "runs away to" in said


def test_a_descent_without_feeding_back_says_what_the_brake_takes() -> None:
    (one,) = of("cart", DOWN)["slopes"]
    said = sloping(one)
    assert f"a brake has to take {one['descent']['load_W']:.0f} W" in said
    assert "lifts a full pack" not in said


def test_a_load_on_a_rope_runs_away_faster_and_faster() -> None:
    (one,) = of("winch", ("job.hauling.slope", "-90 °"))["slopes"]
    assert one["runaway"]["load_speed_m_s"] is None
    assert sloping(one).endswith("Let go it runs away, faster and faster.")


def test_a_slope_up_says_only_what_holds_at_rest() -> None:
    (one,) = of("cart")["slopes"]
    assert one["descent"] is None
    assert sloping(one).endswith("N·m at the motor's shaft.")


def test_what_friction_holds_is_not_to_be_trusted_and_the_motor_pushes() -> None:
    worm = (("chains.axle.reduction.kind", "worm"), ("chains.axle.reduction.lead_angle", "1.5 °"))
    (one,) = of("cart", DOWN, *worm)["slopes"]
    said = sloping(one)
    assert "until something shakes it free" in said
    assert said.endswith("the motor pushes.")
