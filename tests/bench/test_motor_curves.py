"""Curves made from known numbers: the fit gives them back, and doubts what was spoiled on purpose."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from headrace.bench import motor_curves
from headrace.bench.motor_curves import fit
from headrace.bench.motor_set import MotorSet, departure, predict
from headrace.bench.readings import Array, Curve, Side
from headrace.drive.point import Outcome
from headrace.drive.solve import solve
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.errors import NotSettled, OutOfRange
from headrace.physics.torque_terms import TorqueTerms

SOURCE = 24.0
PLAIN = MotorSet(constant=0.05, resistance=0.08, drag=0.06)
FULL = MotorSet(constant=0.05, resistance=0.08, source_resistance=0.03, brush_drop=0.6, drag=0.06, drag_slope=1e-4)


def made(numbers: MotorSet, volts: float, side: Side = Side.SOURCE, source: float = SOURCE, rows: int = 40) -> Curve:
    """A curve from free running to standstill: the balances written out once more, with the sag of the source."""
    n, duty = numbers, volts / source
    held = (volts - n.brush_drop) / (n.resistance + duty**2 * n.source_resistance)
    # without load: k I = T0 + k1 w and w on the line from (0, top) to (held, 0)
    top = (volts - n.brush_drop) / n.constant
    idle = (n.drag + n.drag_slope * top) / (n.constant + n.drag_slope * top / held)
    amps = np.linspace(idle, held, rows)
    bus = source - n.source_resistance * duty * amps
    speed = np.maximum((duty * bus - n.brush_drop - n.resistance * amps) / n.constant, 0.0)
    torque = n.constant * amps - n.drag - n.drag_slope * speed
    return Curve(volts, source, speed, torque, amps if side is Side.MOTOR else duty * amps, side)


def curves(numbers: MotorSet, *volts: float, **kwargs: Any) -> list[Curve]:
    return [made(numbers, v, **kwargs) for v in volts]


def changed(curve: Curve, fields: dict[str, Any]) -> Curve:
    return replace(curve, **fields)


def some(curve: Curve, rows: slice) -> Curve:
    """The curve with some of its rows only."""
    return replace(curve, speed=curve.speed[rows], torque=curve.torque[rows], current=curve.current[rows])


def same(got: MotorSet, wanted: MotorSet, rel: float = 1e-6) -> None:
    for name, value in vars(wanted).items():
        assert getattr(got, name) == pytest.approx(value, rel=rel, abs=1e-8), name


def test_two_duties_give_every_number_back() -> None:
    found = fit(curves(FULL, 24.0, 20.0), brushes=True)
    same(found.numbers, FULL)
    assert max(r.worst for r in found.residuals) < 1e-7


@settings(max_examples=25)
@given(st.floats(0.01, 0.2), st.floats(0.02, 0.1), st.floats(0.1, 0.5), st.floats(0.005, 0.03), st.floats(0.1, 0.5))
def test_any_motor_without_brushes_is_found_again(
    constant: float, resistance: float, source: float, idle: float, growth: float
) -> None:
    drag = idle * constant * SOURCE / (resistance * (1.0 + source))  # a share of the torque at standstill
    wanted = MotorSet(constant, resistance, source * resistance, 0.0, drag, growth * drag * constant / SOURCE)
    same(fit(curves(wanted, 24.0, 18.0, 12.0)).numbers, wanted)


@pytest.mark.parametrize("side", Side)
def test_the_side_of_the_reading_does_not_matter_when_it_is_told(side: Side) -> None:
    found = fit(curves(FULL, 24.0, 20.0, 8.0, side=side), brushes=True)
    same(found.numbers, FULL)
    assert not any("these amps look like" in said for said in found.doubts)


def test_curves_at_one_duty_leave_the_source_in_the_motors_resistance() -> None:
    found = fit(curves(replace(FULL, brush_drop=0.0, drag_slope=0.0), 24.0)).numbers
    assert (found.source_resistance, found.drag_slope, found.brush_drop) == (0.0, 0.0, 0.0)
    assert found.resistance == pytest.approx(FULL.resistance + FULL.source_resistance, rel=1e-6)


def test_a_supply_turned_down_at_full_duty_tells_the_drag_and_not_the_source() -> None:
    wanted = replace(FULL, brush_drop=0.0, source_resistance=0.0)
    same(fit([made(wanted, 24.0, source=24.0), made(wanted, 12.0, source=12.0)]).numbers, wanted)


def test_a_drop_is_looked_for_only_in_a_motor_with_brushes() -> None:
    assert fit(curves(FULL, 24.0, 20.0)).numbers.brush_drop == 0.0


def test_the_rows_may_stand_in_any_order_and_the_curves_too() -> None:
    high, low = curves(FULL, 24.0, 20.0)
    turned = replace(low, speed=low.speed[::-1], torque=low.torque[::-1], current=low.current[::-1])
    same(fit([turned, high], brushes=True).numbers, FULL)


def test_curves_below_the_least_voltage_are_predicted_and_not_fitted() -> None:
    odd = made(replace(PLAIN, constant=0.06), 6.0)
    found = fit([odd, *curves(PLAIN, 24.0, 20.0)], least_voltage=20.0)
    same(found.numbers, PLAIN)
    assert [(r.supply_voltage, r.fitted) for r in found.residuals] == [(24.0, True), (20.0, True), (6.0, False)]
    assert found.residual(24.0).worst < 1e-7 < 0.1 < found.residual(6.0).worst


def test_every_curve_weighs_the_same_however_many_rows_it_has() -> None:
    other = made(replace(PLAIN, resistance=0.1), 20.0)
    once, often = made(PLAIN, 24.0), made(PLAIN, 24.0)
    often = changed(often, {name: np.tile(getattr(often, name), 10) for name in ("speed", "torque", "current")})
    same(fit([often, other]).numbers, fit([once, other]).numbers)


# --- the prediction --------------------------------------------------------------------------------


def test_a_prediction_is_the_curve_it_was_made_from() -> None:
    curve = made(FULL, 16.0)
    said = predict(FULL, curve)
    for got, wanted in (
        (said.torque, curve.torque),
        (said.speed, curve.speed),
        (said.source_current, curve.current),
        (said.motor_current, curve.motor_current),
    ):
        assert got == pytest.approx(wanted, rel=1e-9, abs=1e-9)


def test_a_departure_is_a_share_of_the_largest_number_of_its_column() -> None:
    curve = made(PLAIN, 12.0)
    shares = departure(replace(PLAIN, drag=PLAIN.drag + 0.01), curve)
    assert shares.torque == pytest.approx(np.full(40, -0.01 / np.max(curve.torque)))
    assert shares.current == pytest.approx(np.full(40, 0.01 / PLAIN.constant / np.max(curve.motor_current)))


def _train(numbers: MotorSet, torque: Array, set_speed: Array | float) -> Train:
    terms = TorqueTerms(0.0, (torque + numbers.drag) / numbers.constant, numbers.drag_slope / numbers.constant, 0.0)
    return Train(
        current=terms, turns=1.0, constant=numbers.constant, resistance=numbers.resistance,
        brush_drop=numbers.brush_drop, idle_power=0.0, switching_share=0.0, wiring=0.0, set_speed=set_speed,
        motor_limit=np.inf, battery_limit=np.inf, cut_out=0.0,
    )  # fmt: skip


@pytest.mark.parametrize("volts", [24.0, 15.0])
def test_the_drive_of_a_machine_runs_where_the_bench_predicts(volts: float) -> None:
    turning = slice(0, 39)  # the drive has no speed at standstill
    curve = made(FULL, volts)
    said = predict(FULL, curve)
    full = volts == SOURCE
    train = _train(FULL, curve.torque[turning], np.inf if full else said.speed[turning])
    point = solve(train, Terminals(SOURCE, 0.0, FULL.source_resistance, 0.0, 0.0, 0.0))
    assert set(point.outcome) == {Outcome.FULL_VOLTAGE if full else Outcome.SET_SPEED}
    assert point.motor_speed == pytest.approx(said.speed[turning], rel=1e-9)
    assert point.battery_current == pytest.approx(said.source_current[turning], rel=1e-9)
    assert point.duty == pytest.approx(curve.duty, rel=1e-9)


# --- the doubts ------------------------------------------------------------------------------------


def misread(curve: Curve) -> Curve:
    """The same numbers on paper, believed to be of the other side."""
    return replace(curve, side=curve.side.other)


def test_clean_curves_raise_no_doubt() -> None:
    assert fit(curves(PLAIN, 24.0, 20.0, 8.0)).doubts == ()


def test_source_amps_taken_for_the_motors_are_told_by_the_resistance_at_standstill() -> None:
    read = [misread(c) for c in curves(PLAIN, 24.0, 8.0)]
    side, power = fit(read, least_voltage=24.0).doubts
    assert side == (
        "Read as motor-side amps, volts over motor amps at standstill are 0.24 Ω at 8 V and 0.08 Ω at 24 V, 3.0 times "
        "too high, where source over supply voltage is 3.0 and 1.0: these amps look like source-side amps."
    )
    assert power.startswith("At 8 V, with the amps read on the motor side, ")
    assert power.endswith(" enter the motor: that cannot be.")


def test_motor_amps_taken_for_the_sources_are_told_by_it_too() -> None:
    read = [misread(c) for c in curves(PLAIN, 24.0, 8.0, side=Side.MOTOR)]
    (side,) = fit(read, least_voltage=24.0).doubts
    assert "Read as source-side amps" in side
    assert "3.0 times too low" in side
    assert side.endswith("these amps look like motor-side amps.")


@pytest.mark.parametrize("side", Side)
def test_a_cool_winding_at_low_voltage_is_no_wrong_side(side: Side) -> None:
    # 60 K cooler copper has a fifth less resistance
    read = [made(PLAIN, 24.0, side), made(replace(PLAIN, resistance=0.8 * PLAIN.resistance), 8.0, side)]
    (said,) = fit(read, least_voltage=24.0).doubts
    assert "volts over motor amps at standstill are 0.064 Ω against 0.08 at 24 V" in said


def test_duties_near_each_other_cannot_tell_the_sides_apart() -> None:
    read = [misread(c) for c in curves(PLAIN, 24.0, 16.0)]
    assert not any("these amps look like" in said for said in fit(read, least_voltage=24.0).doubts)


def test_more_power_out_than_in_is_told_without_a_row_at_standstill() -> None:
    read = [misread(c) for c in curves(PLAIN, 24.0, 8.0)]
    (said,) = fit([some(c, slice(20)) for c in read], least_voltage=24.0).doubts
    out, into = (float(watts) for watts in re.findall(r"([\d.]+) W", said))
    assert 1.02 < out / into < 3.0


def test_a_row_of_another_constant_is_told_with_both_ratios_and_the_volts_it_had() -> None:
    # what a controller that gives 8 V where 10 are asked for does to torque per amp and volts per speed
    given_less = replace(made(PLAIN, 8.0), supply_voltage=10.0)
    found = fit([*curves(PLAIN, 24.0, 20.0), given_less], least_voltage=20.0)
    (said,) = found.doubts
    # 10 V believed where there were 8: speed, torque and amps all predicted a quarter too high
    assert found.residual(10.0).worst == pytest.approx(0.25, abs=0.01)
    assert said.startswith(
        "At 10 V the set misses by up to 25% of full scale in torque, 25% in speed and 25% in current"
    )
    assert "torque per motor amp at standstill is 0.0618 N·m/A against 0.0498" in said
    assert said.endswith("at 24 V, and no one motor constant has both; without load it turns as on 8.0 V.")
    assert "volts per speed without load are 0.0633 V·s/rad against 0.0502" in said


def test_a_row_whose_plain_ratios_agree_is_told_to_have_no_reason() -> None:
    bent = made(PLAIN, 8.0)
    bent = replace(bent, torque=bent.torque * (1.0 - 0.4 * np.sin(np.linspace(0.0, np.pi, 40))))
    (said,) = fit([made(PLAIN, 24.0), bent], least_voltage=24.0).doubts
    assert said.endswith("neither its torque per amp nor its volts per speed says why.")


def test_a_row_without_ends_is_judged_by_its_residual_alone() -> None:
    odd = some(made(replace(PLAIN, constant=0.06), 8.0), slice(10, 30))
    (said,) = fit([made(PLAIN, 24.0), odd], least_voltage=24.0).doubts
    assert said.endswith("neither its torque per amp nor its volts per speed says why.")


def test_held_but_never_free_rows_leave_out_the_volts_they_had() -> None:
    odd = some(made(replace(PLAIN, constant=0.06), 8.0), slice(10, None))
    (said,) = fit([made(PLAIN, 24.0), odd], least_voltage=24.0).doubts
    assert said.endswith("against 0.0498 at 24 V, and no one motor constant has both.")


def test_rows_without_ends_still_give_the_numbers_and_leave_out_what_only_ends_tell() -> None:
    numbers = replace(PLAIN, source_resistance=0.04)
    found = fit([some(c, slice(10, 30)) for c in curves(numbers, 24.0, 20.0, 8.0)])
    same(found.numbers, numbers)
    assert found.doubts == ()


def test_curves_fitted_together_that_disagree_are_told() -> None:
    found = fit([made(PLAIN, 24.0), made(replace(PLAIN, constant=0.07), 20.0)])
    assert any(said.endswith("the curves it was fitted to disagree.") for said in found.doubts)


def test_a_source_that_sags_is_told_with_the_volts_left() -> None:
    (said,) = fit(curves(replace(PLAIN, source_resistance=0.04), 24.0, 20.0)).doubts
    assert said.startswith("The fit puts 0.04 Ω on the source's side, so that only 16.0 of 24 V reach the controller")


def test_two_constants_in_one_curve_are_told_and_so_is_the_drag_that_hides_them() -> None:
    curve = made(PLAIN, 24.0)
    weak = replace(curve, torque=0.9 * curve.torque)  # torque that warm magnets would give
    said = fit([weak]).doubts
    assert any(s.startswith("At 24 V the shaft held gives 0.0448 N·m for each motor amp") for s in said)
    assert any("motor amps without load where 1.2 A were read" in s for s in said)


# --- what is refused -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "names"),
    [
        ({"supply_voltage": 25.0}, ("chopped", "duty")),
        ({"supply_voltage": 0.0}, ("from_plate", "voltage")),
        ({"source_voltage": np.nan}, ("from_plate", "voltage")),
        ({"speed": np.array([np.nan, 0.0])}, ("rotation_torque", "speed")),
        ({"torque": np.array([0.0, np.nan])}, ("motor_current", "shaft_torque")),
        ({"current": np.array([0.0, np.inf])}, ("motor_voltage", "current")),
    ],
)
def test_numbers_that_no_bench_shows_are_refused_by_name(change: dict[str, Any], names: tuple[str, str]) -> None:
    with pytest.raises(OutOfRange) as caught:
        changed(made(PLAIN, 12.0, rows=2), change)
    assert (caught.value.law, caught.value.parameter) == names


@pytest.mark.parametrize(
    "change",
    [
        {"speed": np.zeros(3)},
        {"speed": np.zeros((2, 1)), "torque": np.zeros((2, 1)), "current": np.zeros((2, 1))},
    ],
)
def test_columns_of_unlike_shape_are_refused(change: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="three columns of one length"):
        changed(made(PLAIN, 12.0, rows=2), change)


def test_amps_that_run_backwards_at_standstill_are_refused() -> None:
    with pytest.raises(ValueError, match="the slowest row of a curve carries more"):
        changed(made(PLAIN, 12.0), {"current": np.linspace(-50.0, -1.0, 40)})


@pytest.mark.parametrize("name", ["speed", "torque", "current"])
def test_a_curve_that_does_not_slow_down_under_load_is_refused(name: str) -> None:
    curve = made(PLAIN, 12.0)
    with pytest.raises(ValueError, match="the slowest row of a curve carries more"):
        changed(curve, {name: np.full(40, 5.0)})


def test_no_curve_to_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="no curve at 30 V or more"):
        fit(curves(PLAIN, 24.0), least_voltage=30.0)


def test_a_search_that_does_not_end_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(motor_curves, "ROUNDS", 1)
    with pytest.raises(NotSettled, match="motor curves: the set of numbers"):
        fit(curves(FULL, 24.0, 20.0), brushes=True)
