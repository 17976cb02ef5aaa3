"""Pumps and fans: heads that balance, powers of the speed, and where the watts go."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headrace.physics import fans, loads, pipes, pump_power, pumping, torque_terms, transmission
from headrace.physics.law import Law, relations
from tests.physics.holds import can_be_worked_out_again, treats_lanes_as_one

close = 1e-10
WATER = 998.2


class Pump(NamedTuple):
    """The curve of a pump, in the order of the laws."""

    reference_speed: float
    shut_off_head: float
    best_flow: float
    best_head: float
    best_efficiency: float
    no_flow_share: float

    @property
    def fall(self) -> float:
        return float(pumping.pump_curve_fall(self.shut_off_head, self.best_flow, self.best_head))

    def flow(self, speed: Any, static: float, coefficient: float) -> Any:
        return pumping.pump_flow(speed, self.reference_speed, self.shut_off_head, self.fall, static, coefficient)

    def start(self, static: float) -> float:
        return float(pumping.flow_start_speed(self.reference_speed, self.shut_off_head, static))

    def power(self, speed: Any, static: float, coefficient: float) -> Any:
        return pump_power.pump_shaft_power(speed, *self, static, coefficient, WATER)

    def torque(self, speed: Any, static: float, coefficient: float) -> Any:
        return pump_power.pump_shaft_torque(speed, *self, static, coefficient, WATER)


def a_pump(speed: float, head: float, ratio: float, flow: float, efficiency: float, share: float) -> Pump:
    return Pump(speed, head, flow, head / ratio, efficiency, share)


pumps = st.builds(
    a_pump, st.floats(100.0, 600.0), st.floats(2.0, 80.0), st.floats(1.05, 2.0), st.floats(1e-4, 0.03),
    st.floats(0.25, 0.85), st.floats(0.2, 1.0),
)  # fmt: skip
statics = st.floats(0.0, 0.9)  # of the shut-off head
pipe_shares = st.floats(0.0, 3.0)  # friction at the best flow over the best head
ratios = st.floats(0.05, 1.5)
OURS = [
    pytest.param(entry, id=entry.name)
    for entry in relations()
    if entry.function.__module__ in {room.__name__ for room in (pumping, pipes, fans)}
]


def pipe_of(pump: Pump, share: float) -> float:
    return share * pump.best_head / pump.best_flow**2


# heads and flows


@given(pumps, statics, pipe_shares, ratios)
def test_pump_and_system_have_one_head_at_the_flow(pump: Pump, static: float, share: float, ratio: float) -> None:
    height, k, speed = static * pump.shut_off_head, pipe_of(pump, share), ratio * pump.reference_speed
    flow = float(pump.flow(speed, height, k))
    given_ = pumping.pump_head(speed, flow, pump.reference_speed, pump.shut_off_head, pump.fall)
    asked = pumping.system_head(flow, height, k)
    if speed > pump.start(height) * (1.0 + 1e-12):
        assert flow > 0.0
        assert given_ == pytest.approx(asked, rel=close, abs=close * pump.shut_off_head)
    elif speed < pump.start(height) * (1.0 - 1e-12):
        assert flow == 0.0
        assert given_ < asked


@given(pumps, statics, pipe_shares, st.floats(0.01, 2.0))
def test_the_speed_for_a_flow_gives_that_flow(pump: Pump, static: float, share: float, part: float) -> None:
    height, k, wanted = static * pump.shut_off_head, pipe_of(pump, share), part * pump.best_flow
    speed = pumping.speed_for_flow(wanted, pump.reference_speed, pump.shut_off_head, pump.fall, height, k)
    assert speed > pump.start(height)
    # the small difference of two heads that lifts a trickle costs digits
    assert float(pump.flow(speed, height, k)) == pytest.approx(wanted, rel=1e-8)


@given(pumps, statics, pipe_shares)
def test_no_flow_wants_the_speed_of_start(pump: Pump, static: float, share: float) -> None:
    height = static * pump.shut_off_head
    speed = pumping.speed_for_flow(
        0.0, pump.reference_speed, pump.shut_off_head, pump.fall, height, pipe_of(pump, share)
    )
    assert float(speed) == pytest.approx(pump.start(height), rel=close)


@given(pumps)
def test_the_curve_goes_through_the_best_point(pump: Pump) -> None:
    head = pumping.pump_head(pump.reference_speed, pump.best_flow, pump.reference_speed, pump.shut_off_head, pump.fall)
    assert head == pytest.approx(pump.best_head, rel=close)


def test_the_flow_of_design_and_the_coefficient_at_it_agree() -> None:
    """A coefficient held at the flow of design gives the flow of design back."""
    pump, height, hose = (
        Pump(300.0, 20.0, 1e-3, 16.0, 0.5, 0.44),
        5.0,
        (50.0, np.array([0.02, 0.025, 0.032]), 7e-6, 4.0),
    )
    left = pumping.pump_head(300.0, 0.0, 300.0, pump.shut_off_head, pump.fall) - height
    design = pipes.flow_under_head(left, pump.fall, *hose, 1e-6)
    held = pipes.pipe_coefficient(design, *hose, 1e-6)
    again = pumping.pump_flow(300.0, 300.0, pump.shut_off_head, pump.fall, height, held)
    assert np.asarray(again) == pytest.approx(np.asarray(design), rel=1e-9)


# affinity


@given(pumps, pipe_shares, st.floats(0.3, 1.5), st.floats(0.3, 1.5))
def test_without_a_height_flow_follows_the_speed_and_power_its_cube_but_for_the_efficiency(
    pump: Pump, share: float, one: float, other: float
) -> None:
    k = pipe_of(pump, share)
    speeds = np.array([one, other]) * pump.reference_speed
    flow, power = np.asarray(pump.flow(speeds, 0.0, k)), np.asarray(pump.power(speeds, 0.0, k))
    best = np.asarray(pump_power.pump_best_efficiency(speeds, pump.reference_speed, pump.best_efficiency))
    s = other / one
    carried = pumping.affinity_point(flow[0], 1.0, power[0] * best[0], s)
    assert flow[1] == pytest.approx(carried[0], rel=close)
    assert power[1] * best[1] == pytest.approx(carried[2], rel=close)
    lost = 1.0 - best
    assert lost[1] / lost[0] == pytest.approx(s**-0.1, rel=close)


@given(pumps, st.floats(0.1, 0.9), pipe_shares)
def test_against_a_height_the_flow_falls_faster_than_the_speed(pump: Pump, static: float, share: float) -> None:
    height, k = static * pump.shut_off_head, pipe_of(pump, share)
    start = pump.start(height)
    speeds = np.linspace(start, 1.2 * pump.reference_speed, 40)[1:]
    per_speed = np.asarray(pump.flow(speeds, height, k)) / speeds
    assert np.all(np.diff(per_speed) > 0.0)


# power, torque, efficiency


@given(pumps, statics, pipe_shares, ratios)
def test_water_lifted_pipe_and_pump_loss_are_the_shaft_power(
    pump: Pump, static: float, share: float, ratio: float
) -> None:
    height, k, speed = static * pump.shut_off_head, pipe_of(pump, share), ratio * pump.reference_speed
    shaft = float(pump.torque(speed, height, k)) * speed
    flow = float(pump.flow(speed, height, k))
    head = float(pumping.system_head(flow, height, k))
    lifted = pumping.hydraulic_power(flow, height, WATER)
    rubbed = pumping.flow_friction_power(flow, k, WATER)
    lost = pump_power.pump_loss(float(pump.power(speed, height, k)), flow, head, WATER)
    assert lifted + rubbed + lost == pytest.approx(shaft, rel=1e-9)
    assert lost > 0.0


@given(pumps, st.floats(0.05, 0.9), pipe_shares)
def test_torque_does_not_jump_where_flow_starts(pump: Pump, static: float, share: float) -> None:
    height, k = static * pump.shut_off_head, pipe_of(pump, share)
    start = pump.start(height)
    still = float(pump.torque(start * (1.0 - 1e-12), height, k))
    best = float(pump_power.best_point_power(start, *pump[:1], *pump[2:5], WATER))
    assert still * start == pytest.approx(pump.no_flow_share * best, rel=1e-9)
    # flow sets in as the square root of the speed gained, and power over flow starts with a slope of 3 at the most
    steps = np.array([1e-6, 1e-8, 1e-10])
    shares = math.sqrt(pump.shut_off_head / (pump.fall + k)) / pump.best_flow * np.sqrt(2.0 * steps)
    rise = np.abs(np.asarray(pump.torque(start * (1.0 + steps), height, k)) - still) / still
    assert np.all(rise < 3.1 * shares / pump.no_flow_share)


@given(pumps, statics, pipe_shares)
def test_torque_is_steady_everywhere_and_nothing_at_standstill(pump: Pump, static: float, share: float) -> None:
    height, k = static * pump.shut_off_head, pipe_of(pump, share)
    speeds = np.linspace(0.0, 1.3 * pump.reference_speed, 4001).reshape(1, -1)
    torque = np.asarray(pump.torque(speeds, height, k))
    assert torque.shape == speeds.shape
    assert torque[0, 0] == 0.0
    assert np.all(torque[0, 1:] > 0.0)
    start = pump.start(height)
    apart = np.abs(speeds - start) > 0.02 * pump.reference_speed
    step = np.abs(np.diff(torque, axis=1)) / torque.max()
    assert step[(apart[:, 1:] & apart[:, :-1])].max() < 0.02


@given(pumps, st.floats(0.3, 1.5))
def test_efficiency_is_best_and_as_given_at_the_best_point(pump: Pump, ratio: float) -> None:
    shares = np.linspace(0.0, math.sqrt(pump.shut_off_head / (pump.shut_off_head - pump.best_head)), 301)
    power = pump_power.shaft_power_share(shares, pump.shut_off_head / pump.best_head, pump.no_flow_share)
    head = np.asarray(pumping.pump_head(1.0, shares * pump.best_flow, 1.0, pump.shut_off_head, pump.fall))
    whole = pump_power.best_point_power(1.0, 1.0, *pump[2:5], WATER)
    efficiency = np.asarray(pump_power.pump_efficiency(whole * power, shares * pump.best_flow, head, WATER))
    assert efficiency[0] == 0.0
    assert efficiency[-1] == pytest.approx(0.0, abs=1e-12)
    assert np.all(efficiency <= pump.best_efficiency * (1.0 + 1e-12))
    assert np.all(np.asarray(power) > 0.0)
    # working at the best point needs a pipe that takes the best head there
    speed = ratio * pump.reference_speed
    shaft = pump.power(speed, 0.0, pipe_of(pump, 1.0))
    water = pumping.hydraulic_power(ratio * pump.best_flow, ratio**2 * pump.best_head, WATER)
    wanted = pump_power.pump_best_efficiency(speed, pump.reference_speed, pump.best_efficiency)
    assert float(water / shaft) == pytest.approx(float(wanted), rel=close)


@given(pumps)
def test_shaft_power_is_a_parabola_in_the_flow(pump: Pump) -> None:
    shares = np.linspace(0.0, 2.0, 9)
    power = np.asarray(pump_power.shaft_power_share(shares, pump.shut_off_head / pump.best_head, pump.no_flow_share))
    assert np.abs(np.diff(power, n=3)).max() < 1e-12
    assert power[0] == pytest.approx(pump.no_flow_share, rel=close)
    assert power[4] == pytest.approx(1.0, rel=close)


@given(pumps, pipe_shares, st.floats(1e-3, 1.0))
def test_torque_times_speed_is_the_power_at_a_crawl(pump: Pump, share: float, speed: float) -> None:
    k = pipe_of(pump, share)
    assert float(pump.torque(speed, 0.0, k)) * speed == pytest.approx(float(pump.power(speed, 0.0, k)), rel=1e-9)


@pytest.mark.parametrize("ratio", [1.1, 1.25, 1.4])
def test_the_usual_parabola_of_efficiency_is_near_where_it_has_the_same_power_without_flow(ratio: float) -> None:
    shares = np.linspace(0.5, 1.3, 81)
    power = np.asarray(pump_power.shaft_power_share(shares, ratio, 0.5 * ratio))
    water = shares * (ratio - (ratio - 1.0) * shares**2)
    apart = np.abs(water / power - shares * (2.0 - shares))
    assert apart.max() < 0.05  # what the law says


@given(pumps, statics, pipe_shares)
def test_stirring_below_the_speed_of_start_takes_power_for_nothing(pump: Pump, static: float, share: float) -> None:
    height, k = (0.05 + static) * pump.shut_off_head, pipe_of(pump, share)
    speed = 0.9 * pump.start(height)
    assert float(pump.flow(speed, height, k)) == 0.0
    assert float(pump.power(speed, height, k)) > 0.0
    assert np.isinf(pump_power.energy_per_volume(pump.power(speed, height, k), 0.0))


def test_a_fatter_hose_saves_energy_for_the_same_water() -> None:
    """The least is the height: a hose can only save what friction takes."""
    pump, height, flow = Pump(300.0, 20.0, 1e-3, 16.0, 0.5, 0.44), 5.0, 8e-4
    k = pipes.pipe_coefficient(flow, 50.0, np.array([0.019, 0.025, 0.032, 0.05]), 7e-6, 4.0, 1e-6)
    speed = pumping.speed_for_flow(flow, 300.0, pump.shut_off_head, pump.fall, height, k)
    power = pump_power.pump_shaft_power(speed, *pump, height, k, WATER)
    each = np.asarray(pump_power.energy_per_volume(power, flow))
    assert np.all(np.diff(each) < 0.0)
    least = pumping.hydraulic_power(1.0, height, WATER)
    assert each[-1] > 2.0 * least
    assert each[0] / each[-1] > 3.0


@given(st.floats(1.0, 5000.0), st.floats(1e-5, 0.05))
def test_heat_carried_off_by_a_flow_warms_it(heat: float, flow: float) -> None:
    rise = pump_power.flow_warming(heat, flow, WATER, 4180.0)
    assert rise * 4180.0 * WATER * flow == pytest.approx(heat, rel=close)


# fans


@given(st.floats(10.0, 2000.0), st.floats(1e3, 1e7), st.floats(1e-6, 1e-3), st.floats(0.1, 0.8), st.floats(0.0, 1.0))
def test_a_fan_asks_for_air_loss_and_drag(w: float, k: float, volume: float, efficiency: float, idle: float) -> None:
    terms = fans.fan_torque_terms(k, volume, efficiency, idle)
    flow = fans.fan_flow(w, volume)
    pressure = fans.duct_pressure(flow, k)
    useful, lost = fans.air_power(flow, pressure), fans.fan_loss(flow, pressure, efficiency)
    assert useful + lost == pytest.approx(fans.fan_power(flow, pressure, efficiency), rel=close)
    by_law = useful + lost + transmission.drag_loss(idle, 0.0, w)
    assert torque_terms.torque_at(terms, w) * w == pytest.approx(by_law, rel=1e-9)


@given(st.floats(10.0, 5000.0), st.floats(1e-3, 1.0), st.floats(0.5, 20.0), st.floats(1e-4, 0.1))
def test_a_duct_known_by_a_point_or_by_its_losses_is_the_same_duct(
    pressure: float, flow: float, zeta: float, area: float
) -> None:
    k = fans.duct_coefficient(pressure, flow)
    assert fans.duct_pressure(flow, k) == pytest.approx(pressure, rel=close)
    density = loads.air_density(293.15)
    velocity = flow / area
    by_losses = fans.duct_coefficient_of_losses(zeta, area, density)
    assert fans.duct_pressure(flow, by_losses) == pytest.approx(0.5 * zeta * density * velocity**2, rel=close)


@given(st.floats(0.3, 2.0), st.floats(0.5, 2.0), st.floats(0.5, 1.5))
def test_a_scaled_fan_keeps_its_efficiency_and_goes_there_and_back(s: float, d: float, r: float) -> None:
    point = (0.1, 1000.0, 200.0)
    there = fans.fan_law_point(*point, s, d, r)
    assert there[0] * there[1] / there[2] == pytest.approx(0.5, rel=close)
    assert fans.fan_law_point(*there, 1.0 / s, 1.0 / d, 1.0 / r) == pytest.approx(point, rel=close)


# form


def plain_case(entry: Law) -> dict[str, float]:
    """Return a plain case of a law: a garden pump, its hose, a blower."""
    usual = {
        "speed": 250.0, "reference_speed": 300.0, "flow": 8e-4, "head": 9.0, "density": 998.0, "coefficient": 6e6,
        "shut_off_head": 20.0, "best_flow": 1e-3, "best_head": 16.0, "best_efficiency": 0.5, "curve_fall": 4e6,
        "static_head": 5.0, "no_flow_share": 0.44, "share": 0.8, "head_ratio": 1.25, "speed_ratio": 0.8, "power": 200.0,
        "shaft_power": 250.0, "heat": 120.0, "specific_heat": 4180.0, "temperature": 293.15, "viscosity": 1e-3,
        "kinematic": 1e-6, "diameter": 0.025, "velocity": 1.6, "reynolds": 4e4, "relative_roughness": 3e-4,
        "friction": 0.024, "length": 50.0, "loss_sum": 4.0, "roughness": 7e-6, "held_coefficient": 4e6,
        "pressure": 900.0, "area": 0.005, "volume_per_radian": 2e-4, "efficiency": 0.45, "idle_torque": 0.02,
        "size_ratio": 1.2, "density_ratio": 0.9,
    }  # fmt: skip
    names = entry.function.__code__.co_varnames[: entry.function.__code__.co_argcount]
    return {name: usual[name] for name in names}


@pytest.mark.parametrize("entry", OURS)
def test_a_law_treats_lanes_as_it_treats_one(entry: Law) -> None:
    plain = plain_case(entry)
    ones = [{name: value * (1.0 + 0.01 * (lane * i % 4)) for i, (name, value) in enumerate(plain.items())}
            for lane in range(4)]  # fmt: skip
    assert np.isfinite(treats_lanes_as_one(entry, ones, rel=1e-12)).all()


@pytest.mark.parametrize("entry", OURS)
def test_a_law_can_be_worked_out_again(entry: Law) -> None:
    can_be_worked_out_again(entry, plain_case(entry))
