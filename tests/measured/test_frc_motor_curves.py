"""Measured curves of two small brushless motors behind a controller on 12 V, told to give 4 to 12 V.

Source: frc_motor_curves in the folder of open data, whose README names publisher and licence. Rows are straight lines
between a measured run without load and a measured standstill; the amps are those of the 12 V source.

One set of numbers for each motor is fitted to its curves at 12 and 10 V: constant, resistance, drag, and resistance on
the source's side. A set from 12 V alone cannot reach 10 V, because volts over amps at standstill differ by a tenth
between the two. What is held against the rows: the torque at each speed that was read, the speed and the source
current under each torque that was read. Errors are shares of full scale, the largest number of the same column at the
same voltage; of all rows the worst counts.

Asked for the source current at each speed that was read, which these tests do not hold against the rows, the set of
the larger motor is 3.0 % off at 12 V: its torque per amp at standstill and its volts per speed without load are 8 %
apart, and no one constant has both. The fit says so among its doubts.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from headrace.bench.motor_curves import MotorFit, fit
from headrace.bench.motor_set import predict
from headrace.bench.readings import Curve, Side
from tests.measured.logs import measured_data, table

LARGE, SMALL = "rev-neo", "rev-neo-550"
MOTORS = [LARGE, SMALL]
SOURCE = 12.0  # V
FITTED_FROM = 10.0  # V
RPM = math.pi / 30.0  # rad/s


@cache
def rows(motor: str) -> dict[float, npt.NDArray[Any]]:
    """The rows of one motor, their columns by name, by the voltage the controller was told to give."""
    read = table(measured_data(), "frc_motor_curves", motor)
    return {float(volts): read[read["supply_V"] == volts] for volts in np.unique(read["supply_V"])}


def curve(motor: str, volts: float, side: Side = Side.SOURCE) -> Curve:
    speed, torque, current = (rows(motor)[volts][name] for name in ("speed_rpm", "torque_Nm", "current_A"))
    return Curve(volts, SOURCE, speed * RPM, torque, current, side)


@cache
def fitted(motor: str, side: Side = Side.SOURCE) -> MotorFit:
    return fit([curve(motor, volts, side) for volts in rows(motor)], least_voltage=FITTED_FROM)


def worst(motor: str, volts: float) -> dict[str, float]:
    """The largest errors over the rows as the file has them, worked out apart from the fit's own residuals."""
    said = predict(fitted(motor).numbers, curve(motor, volts))
    columns = {"torque_Nm": said.torque, "speed_rpm": said.speed / RPM, "current_A": said.source_current}
    errors = {}
    for name, computed in columns.items():
        read = rows(motor)[volts][name]
        errors[name] = float(np.max(np.abs(computed - read)) / np.max(read))
    return errors


def doubt(motor: str, start: str, side: Side = Side.SOURCE) -> str:
    (said,) = (s for s in fitted(motor, side).doubts if s.startswith(start))
    return said


def number(pattern: str, text: str) -> float:
    found = re.search(pattern, text)
    assert found is not None, text
    return float(found.group(1))


@pytest.mark.parametrize("motor", MOTORS)
def test_the_data_is_what_the_tests_were_written_for(motor: str) -> None:
    assert {volts: len(lines) for volts, lines in rows(motor).items()} == dict.fromkeys((4, 6, 8, 10, 12), 101)


@pytest.mark.parametrize("motor", MOTORS)
@pytest.mark.parametrize("column", ["torque_Nm", "speed_rpm", "current_A"])
@pytest.mark.parametrize(("volts", "share"), [(12.0, 0.02), (10.0, 0.07)])
def test_one_set_gives_torque_speed_and_source_current(motor: str, column: str, volts: float, share: float) -> None:
    assert worst(motor, volts)[column] <= share


@pytest.mark.parametrize("motor", MOTORS)
def test_the_residuals_reported_are_those_of_the_rows(motor: str) -> None:
    for residual in fitted(motor).residuals:
        errors = worst(motor, residual.supply_voltage)
        assert [residual.torque, residual.speed, residual.current] == pytest.approx(list(errors.values()), rel=1e-9)
    assert [r.supply_voltage for r in fitted(motor).residuals if not r.fitted] == [8.0, 6.0, 4.0]


def test_two_motors_fitted_apart_find_the_same_source() -> None:
    # Nothing but the bench is common to them, so this is a check on the reading of the rows. It rests on the difference
    # of two readings of volts over amps, each good to 1 %, at duties 1 and 10/12.
    large, small = (fitted(motor).numbers.source_resistance for motor in MOTORS)
    held = [12.0 / curve(motor, 12.0).motor_current[0] for motor in MOTORS]
    assert large == pytest.approx(small, abs=math.hypot(*held) * 0.01 * math.sqrt(2.0) / (1.0 - (10.0 / 12.0) ** 2))


@pytest.mark.parametrize("motor", MOTORS)
@pytest.mark.parametrize("volts", [4.0, 6.0, 8.0])
def test_the_rows_at_low_voltage_are_reported_with_the_reason_they_disagree(motor: str, volts: float) -> None:
    said = doubt(motor, f"At {volts:g} V the set misses")
    residual = fitted(motor).residual(volts)
    assert residual.worst > 0.05
    assert (
        f"{residual.torque:.0%} of full scale in torque, {residual.speed:.0%} in speed and {residual.current:.0%} in"
        in said
    )
    low, full = (curve(motor, v) for v in (volts, 12.0))
    held = [c.torque[0] / (c.current[0] * SOURCE / c.supply_voltage) for c in (low, full)]
    assert number(r"torque per motor amp at standstill is ([\d.]+) N", said) == pytest.approx(held[0], rel=0.005)
    assert number(r"N·m/A against ([\d.]+)", said) == pytest.approx(held[1], rel=0.005)
    assert held[0] > 1.03 * held[1]


def test_torque_per_motor_amp_of_the_larger_motor_is_the_one_its_readme_gives() -> None:
    said = doubt(LARGE, "At 4 V the set misses")
    assert number(r"torque per motor amp at standstill is ([\d.]+) N", said) == pytest.approx(0.024, abs=0.0005)
    assert number(r"N·m/A against ([\d.]+)", said) == pytest.approx(0.018, abs=0.0005)


@pytest.mark.parametrize("motor", MOTORS)
def test_no_sentence_at_the_voltages_that_fit(motor: str) -> None:
    assert not any(said.startswith(("At 10 V the set", "At 12 V the set")) for said in fitted(motor).doubts)


# The larger motor's resistance is the same at both voltages (67 and 66 milliohm, says the README), so its factor is
# that of the duty; the smaller one's differs by 7 %, so its factor, 3.2, is held to the digit of "3 times" only.
@pytest.mark.parametrize(("motor", "within"), [(LARGE, 0.02), (SMALL, 0.5 / 3.0)])
def test_read_as_the_motors_the_amps_make_the_resistance_three_times_too_high(motor: str, within: float) -> None:
    said = doubt(motor, "Read as motor-side amps", Side.MOTOR)
    assert said.endswith("these amps look like source-side amps.")
    low = number(r"are ([\d.]+) Ω at 4 V", said)
    full = number(r"and ([\d.]+) Ω at 12 V", said)
    assert low / full == pytest.approx(3.0, rel=within)
    assert number(r"([\d.]+) times too high", said) == pytest.approx(low / full, abs=0.06)


@pytest.mark.parametrize("motor", MOTORS)
def test_against_the_same_row_read_rightly_it_is_exactly_three_times(motor: str) -> None:
    wrong, right = (curve(motor, 4.0, side).motor_current[0] for side in (Side.MOTOR, Side.SOURCE))
    assert right / wrong == pytest.approx(3.0, rel=1e-12)


@pytest.mark.parametrize("motor", MOTORS)
def test_read_as_the_motors_more_power_leaves_the_shaft_than_enters(motor: str) -> None:
    said = doubt(motor, "At 4 V, with the amps read on the motor side", Side.MOTOR)
    out, into = (float(watts) for watts in re.findall(r"([\d.]+) W", said))
    assert out > 2.0 * into


@pytest.mark.parametrize("motor", MOTORS)
def test_read_as_the_sources_the_amps_are_not_doubted(motor: str) -> None:
    assert not any("these amps look like" in said or "cannot be" in said for said in fitted(motor).doubts)


def test_the_constants_of_the_larger_motor_are_told_to_be_apart_and_the_smaller_ones_are_not() -> None:
    said = doubt(LARGE, "At 12 V the shaft held gives 0.0181 N·m")
    assert "0.0197 V·s/rad, 8% apart" in said
    assert not any("one constant, and the fit" in s for s in fitted(SMALL).doubts)
