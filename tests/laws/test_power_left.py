"""The power left at the cut-out: where the operating point trips, and how it falls with the charge."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from headrace.design.power_left import power_left
from headrace.drive.point import Outcome
from headrace.machine.draws import draws
from headrace.machine.links import Controller
from tests.machines import alley, point, state, with_link

OPEN = {"motor_current": math.inf, "battery_current": math.inf, "switching_time": 0.0}


@pytest.mark.parametrize(("when", "charge", "cut_out"), [("half", 0.5, 31.0), ("reserve", 0.10, 25.0)])
def test_a_load_trips_just_where_the_power_left_is_passed(when: str, charge: float, cut_out: float) -> None:
    """Watts asked for at the tool, more from lane to lane: the last that works takes no more, the next would."""
    plan = with_link(alley(), Controller, cut_out=cut_out, **OPEN)
    left = float(np.asarray(getattr(power_left(plan), when)))
    asked = np.linspace(0.2, 1.0, 4001) * left
    duty = replace(state(plan), sward=0.0, power=asked)
    found = point(plan, duty, charge)
    taken = found.bus_voltage * found.battery_current
    last = int(np.flatnonzero(found.works)[-1])
    assert found.outcome[last + 1] == Outcome.CUT_OUT
    assert taken[last] <= left
    assert taken[last] == pytest.approx(left, rel=1e-3)


def test_it_falls_faster_than_the_charge_does_and_with_age_and_cold() -> None:
    plan = draws(alley(), 30, 2)
    left = power_left(plan)
    half, reserve, worst = (np.asarray(getattr(left, name)) for name in ("half", "reserve", "worst"))
    assert np.all(np.asarray(left.full) > half)
    assert np.all(half > reserve)
    assert np.all(reserve > worst)
    assert np.all(worst >= 0.0)
