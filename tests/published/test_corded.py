"""Corded motors and converters, against exercises with their answers, a wiring code and a library's table.

Rows with basis "computed" are a second route to the number, not evidence.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from headrace.physics import induction, inverters, motors, series_motor
from tests.published.rows import RPM, Calculation, Row, cases, every_row_has_its_calculation, holds, rows

NO_FAN = 1e-14  # the exercises know none; far from bounding any speed


def on_the_mains(row: Row) -> list[Any]:
    """The constant comes from the run on direct current; on the mains the same current has the same flux."""
    given = row["inputs"]
    volts, amps, resistance = given["V"], given["I"], given["R"]
    constant = motors.back_voltage(volts, amps, resistance, 0.0) / (given["n_dc"] * RPM)
    reactance = 2.0 * math.pi * given["f"] * given["L"]
    in_phase = series_motor.in_phase_voltage(volts, amps, reactance)
    speed = motors.back_voltage(in_phase, amps, resistance, 0.0) / constant
    assert series_motor.mains_voltage(in_phase, amps, reactance) == pytest.approx(volts)
    return [speed / RPM, motors.airgap_torque(constant, amps), series_motor.power_factor(in_phase, volts)]


def filled_iron(row: Row) -> Any:
    """The current of saturation that gives the stated share of flux, then the constant from the known speed."""
    given = row["inputs"]
    much, little = given["I1"], given["I2"]

    def share_over(saturation: float) -> float:
        few, many = (float(series_motor.series_constant(amps, 1.0, saturation)) for amps in (little, much))
        return few / many - float(given["flux_share"])

    saturation = brentq(share_over, 1.0, 1000.0, xtol=1e-12)
    known = motors.back_voltage(given["V"], much, given["R"], 0.0) / (given["n1"] * RPM)
    constant = known / float(series_motor.series_constant(much, 1.0, saturation))
    motor = series_motor.SeriesMotor(given["R"], 0.0, constant, saturation, 0.0)
    assert series_motor.series_speed(motor, given["V"], much, 0.0, NO_FAN) == pytest.approx(given["n1"] * RPM)
    return series_motor.series_speed(motor, given["V"], little, 0.0, NO_FAN) / RPM


def field_speed(row: Row) -> float:
    return float(induction.synchronous_speed(row["inputs"]["f"], row["inputs"]["poles"] / 2.0))


def ten_horsepower(row: Row) -> list[Any]:
    given = row["inputs"]
    field = field_speed(row)
    idle, loaded = (induction.slipping_speed(field, given[key]) for key in ("slip_idle", "slip"))
    torque = given["Pout_W"] / loaded
    return [field / RPM, idle / RPM, loaded / RPM, torque]


def behind_a_generator(row: Row) -> Any:
    given = row["inputs"]
    frequency = given["generator_poles"] / 2.0 * given["generator_rpm"] / 60.0
    return induction.slipping_speed(induction.synchronous_speed(frequency, given["poles"] / 2.0), given["slip"]) / RPM


def rotor_cycles(row: Row) -> list[Any]:
    given = row["inputs"]
    slip = given["rotor_cycles_per_min"] / 60.0 / given["f"]
    speed = induction.slipping_speed(field_speed(row), slip)
    return [induction.rotor_slip(field_speed(row), speed), speed / RPM]


def rotor_copper(row: Row) -> list[Any]:
    given = row["inputs"]
    slip, _ = rotor_cycles(row)
    torque = 1e3 * given["P_gap_kW"] / field_speed(row)
    gap = induction.gap_power(torque, field_speed(row))
    developed = torque * induction.slipping_speed(field_speed(row), slip)
    loss = induction.rotor_loss(gap, slip)
    assert developed + loss == pytest.approx(gap)
    return [1e-3 * developed, loss / 3.0]


def rotor_circuit(row: Row) -> list[Any]:
    given = row["inputs"]
    field = field_speed(row)
    breakdown = 3.0 * given["E2"] ** 2 / (2.0 * field * given["X2"])
    at_breakdown = given["R2"] / given["X2"]
    running = induction.rotor_slip(field, given["n"] * RPM)
    standing, loaded = (induction.torque_at_slip(slip, breakdown, at_breakdown) for slip in (1.0, running))
    assert induction.slip_under_torque(loaded, breakdown, at_breakdown) == pytest.approx(running)
    return [standing, loaded, breakdown, induction.slipping_speed(field, at_breakdown) / RPM]


def same_motor_other_volts(row: Row) -> list[Any]:
    """Power and power factor stay; which power factor they share does not matter."""
    given = row["inputs"]
    powers = [115.0 * amps * 0.8 for amps in given["amps_115"]]
    return [[induction.single_phase_current(power, volts, 0.8) for volts in given["volts"]] for power in powers]


def drive_table(row: Row) -> list[Any]:
    given = row["inputs"]
    asked = np.array(given["asked"])
    return [inverters.measured_efficiency(asked, given["loads"], line) for line in given["efficiencies"]]


CALCULATIONS: dict[str, Calculation] = {
    "universal_50hz": on_the_mains,
    "universal_60hz": on_the_mains,
    "series_saturated": filled_iron,
    "induction_ten_horsepower": ten_horsepower,
    "induction_34_1": lambda row: 100.0 * induction.rotor_slip(row["inputs"]["n_s"], row["inputs"]["n"]),
    "induction_34_5": behind_a_generator,
    "induction_rotor_cycles": rotor_cycles,
    "induction_rotor_loss": rotor_copper,
    "kloss_from_circuit": rotor_circuit,
    "nec_430_248": same_motor_other_volts,
    "vfd_eff": drive_table,
}


@pytest.mark.parametrize("row", cases("corded"))
def test_corded_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_corded_row_is_used() -> None:
    every_row_has_its_calculation("corded", CALCULATIONS)


def test_a_drive_is_worse_at_small_loads_and_when_it_is_small() -> None:
    """The shape that the three terms have too: a loss that stays while the load goes."""
    printed = next(row for row in rows("corded") if row["id"] == "vfd_eff")
    table = np.array([line[1:] for line in printed["value"]])
    assert np.all(np.diff(table, axis=1) < 0.0)
    assert np.all(np.diff(table, axis=0) > 0.0)
    for line in table:
        rated, half, tenth = (share * (1.0 - line[place]) for share, place in ((1.0, 0), (0.5, 1), (0.1, 3)))
        assert rated > half > tenth > 0.3 * rated
