"""How long a motor bears one state, and how long it cools: against the march, by hand, and in lanes."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from headrace.design.warmings import warmings
from headrace.machine import edit, read_text
from headrace.machine.draws import draws
from headrace.machine.links import Motor
from headrace.machine.records import Machine
from headrace.runs.march import march
from headrace.runs.run import End
from headrace.runs.warming import COOLED, LONGEST, Heats, Losses, warming
from tests.machines import EXAMPLE, alley, motor, with_link

OF_A_PACK = re.compile(r"^\[(?:board|fuse|charger|pre_charge)\]\n(?:(?!\[).*\n)*", re.MULTILINE)
ONE_STATE = """
[[job.states]]
name = "grass"
sward = "0.45 kg/m²"
[limits]
"""


def _stuffy() -> Machine:
    """The alley mower on a bench supply, in one thick sward, its motor in a box that sheds no heat to speak of."""
    text = OF_A_PACK.sub("", EXAMPLE.read_text(encoding="utf-8"))
    source, job, limits = (text.index(f"[{name}]") for name in ("source", "job", "limits"))
    supply = '[source]\nkind = "bench-supply"\nvoltage = "36 V"\ncurrent = "200 A"\n'
    states = text[job:limits].split("[[job.states]]")[0].replace("field_efficiency = 0.7", "field_efficiency = 1")
    text = text[:source] + supply + states + ONE_STATE + text[limits:].removeprefix("[limits]\n")
    at = "chains.blade.motor"
    return read_text(edit(text, {f"{at}.case_to_air": "0.8 K/W", "job.ambient": "35 °C"})).machine


def _straight(watts: float, slope: float) -> Losses:
    """Heat in the winding alone, growing with its temperature from 300 K on. [W, 1/K]"""
    hot = watts * (1.0 + 100.0 * slope)
    return Losses(Heats(300.0, 300.0, watts, 0.0), Heats(400.0, 300.0, hot, 0.0), Heats(400.0, 400.0, hot, 0.0))


def test_a_state_without_a_pause_is_what_a_march_in_fine_steps_says() -> None:
    plan = _stuffy()
    (one,) = [w for w in warmings(plan) if w.state == "grass"]
    run = march(plan, 4.0 * 3600.0, longest_step=2.0)
    assert End(int(run.ended_because)) is End.WINDING_LIMIT
    # losses straight in both temperatures stand for those of the operating point at each moment
    assert one.warming.to_limit == pytest.approx(float(run.duration), rel=0.05)


def test_constant_losses_by_hand() -> None:
    # 40 W in the winding, none beside; case held near the air by a resistance a thousand times less: one body.
    # T(t) = Ta + q R (1 - exp(-t / (R C))); R = 2 K/W, C = 200 J/K, q = 40 W: settles 80 K above the air
    body = replace(
        motor(alley()),
        winding_to_case=2.0,
        case_to_air=0.002,
        winding_heat=200.0,
        case_heat=1e6,
        winding_limit=300.0 + 60.0,
    )
    found = warming(body, _straight(40.0, 0.0), 300.0)
    assert found.to_limit == pytest.approx(-400.0 * math.log(1.0 - 60.0 / 80.0), rel=0.02)  # 555 s
    assert found.to_cool == pytest.approx(400.0 * math.log(60.0 / COOLED), rel=0.02)  # 439 s
    assert found.hottest == pytest.approx(360.0)


def test_copper_that_outruns_its_cooling_has_no_settled_temperature_and_less_has() -> None:
    # heat grows with the winding as q (1 + a dT); the winding settles where q R (1 + a dT) = dT:
    # dT = q R / (1 - a q R). With q R = 100 K, a = 0.004 /K: 166.7 K; with q R = 300 K: never.
    body = replace(
        motor(alley()),
        winding_to_case=1.0,
        case_to_air=0.001,
        winding_heat=100.0,
        case_heat=1e6,
        winding_limit=1000.0,
    )
    calm, wild = (warming(body, _straight(watts, 0.004), 300.0) for watts in (100.0, 300.0))
    assert calm.hottest == pytest.approx(466.7, rel=0.005)
    assert np.isnan(calm.to_limit)
    assert wild.to_limit < LONGEST


def test_hotter_air_and_worse_cooling_never_give_more_minutes() -> None:
    plan = _stuffy()
    times = []
    for ambient, shed in ((288.0, 0.8), (308.0, 0.8), (308.0, 1.2)):
        hot = replace(plan, limits=replace(plan.limits, ambient_hot=ambient))
        times.append(float(warmings(with_link(hot, Motor, case_to_air=shed))[0].warming.to_limit))
    assert times[0] > times[1] > times[2]


def test_each_draw_is_what_it_is_alone() -> None:
    plan = draws(_stuffy(), 5, 3)
    together = warmings(plan)[0].warming
    assert together.hottest.shape == (6,)
    alone = draws(_stuffy(), 0, 3)
    first = warmings(alone)[0].warming
    assert together.to_limit[0] == pytest.approx(first.to_limit.flat[0], rel=1e-9)


def test_a_state_that_does_not_work_has_no_number() -> None:
    plan = _stuffy()
    states = tuple(replace(state, sward=50.0 * state.sward) for state in plan.job.states)
    one = warmings(replace(plan, job=replace(plan.job, states=states)))[0].warming
    assert np.isnan(one.hottest).all()
    assert np.isnan(one.to_limit).all()
