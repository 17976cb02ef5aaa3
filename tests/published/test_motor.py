"""Direct-current motors and magnets, against a model library, worked examples and makers' pages."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from headrace.machine import edit, read_text
from headrace.physics import conductors, converters, motors
from headrace.tables import load
from tests.machines import EXAMPLE, motor, point
from tests.published.rows import (
    CELSIUS,
    RPM,
    Calculation,
    Row,
    cases,
    every_row_has_its_calculation,
    holds,
    nearest,
    rows,
)


def library_machine(row: Row) -> tuple[float, Any, float, float]:
    """Return speed, constant, current and resistance of the library's default machine."""
    given = row["inputs"]
    speed = given["rpm"] * RPM
    constant = motors.constant_from_test(given["V"], 0.0, given["R"], given["I"], speed)
    return speed, constant, given["I"], given["R"]


def library_torque(row: Row) -> Any:
    _, constant, current, _ = library_machine(row)
    return motors.airgap_torque(constant, current)


def library_efficiency(row: Row) -> Any:
    speed, constant, current, resistance = library_machine(row)
    output = motors.airgap_torque(constant, current) * speed
    return output / (output + conductors.joule_loss(current, resistance))


def library_no_load(row: Row) -> Any:
    """The constant comes from the machine's rated point; without current the whole voltage is back voltage."""
    rated = {"inputs": {"V": 100, "I": 100, "R": 0.05, "rpm": 1425}}
    _, constant, _, resistance = library_machine(rated)
    given = row["inputs"]
    return motors.back_voltage(given["V"], given["I0"], resistance, 0.0) / constant / RPM


def wave_wound(row: Row) -> list[Any]:
    given = row["inputs"]
    emf = motors.back_voltage(given["V"], given["I"], given["R"], 0.0)
    constant = given["P"] * given["Z"] * given["flux_Wb"] / (2.0 * np.pi * given["A"])
    speed = emf / constant
    assert motors.motor_voltage(constant, speed, given["I"], given["R"], 0.0) == pytest.approx(given["V"])
    return [emf, speed / RPM]


def twenty_horsepower(row: Row) -> list[Any]:
    given = row["inputs"]
    speed = given["rpm"] * RPM
    constant = motors.constant_from_test(given["V"], 0.0, given["Ra"], given["Ia"], speed)
    torque = motors.airgap_torque(constant, given["Ia"])
    loss = torque * speed - given["Pout_W"]
    return [torque, loss, given["Pout_W"] / (given["V"] * (given["Ia"] + given["If"]))]


def weakened_field(row: Row) -> Any:
    """A magnet four fifths as strong asks for five fourths of the current for its torque."""
    given = row["inputs"]
    before = given["Ea1"] / (given["n1"] * RPM)
    after = given["flux_ratio"] * before
    current = motors.motor_current(motors.airgap_torque(before, given["Ia1"]), 0.0, after)
    return motors.back_voltage(given["V"], current, given["Ra"], 0.0) / after / RPM


def series_machine(row: Row) -> list[Any]:
    given = row["inputs"]
    current = given["Pin"] / given["V"]
    emf = motors.back_voltage(given["V"], current, given["R"], 0.0)
    return [emf, emf * current]


def brushless(row: Row) -> list[Any]:
    given = row["inputs"]
    start = (given["V"] - given["Vdd"]) / (2.0 * given["Rph"])
    no_load = motors.back_voltage(given["V"], 0.0, 2.0 * given["Rph"], 0.0) / given["ke"]
    return [no_load / RPM, motors.airgap_torque(given["ke"], start)]


def twelve_volt_motor(row: Row) -> list[Any]:
    """From no-load speed and stall torque: constant, stall current, resistance, then the point asked for."""
    given = row["inputs"]
    constant = motors.constant_from_test(12.0, 0.0, 1.0, 0.0, given["n0"] * RPM)
    resistance = 12.0 / motors.motor_current(1e-3 * given["Ts_mNm"], 0.0, constant)
    speed = given["n"] * RPM
    torque = motors.airgap_torque(constant, (12.0 - constant * speed) / resistance)
    return [1e3 * torque, torque * speed]


def best_point(row: Row) -> list[Any]:
    given = row["inputs"]
    return [
        motors.best_efficiency(given["V"], given["R"], given["I0"]),
        motors.best_current(given["V"], given["R"], given["I0"]),
    ]


def share_of_stall_at_most_output(_row: Row) -> float:
    stall = 40.0 / 0.1
    current = np.linspace(0.0, stall, 4001)
    output = motors.back_voltage(40.0, current, 0.1, 0.0) * current
    return float(current[np.argmax(output)] / stall)


def copper_ratio(row: Row) -> Any:
    given = row["inputs"]
    hot, cold = (motors.winding_resistance(1.0, CELSIUS + given[key]) for key in ("T2", "T1"))
    return hot / cold


def magnet(name: str) -> float:
    return float(next(line["slope"] for line in load("magnets") if line["name"] == name))


def neodymium_of_a_file(row: Row) -> Any:
    """What of the band that a machine file gets from the table lies nearest."""
    text = edit(EXAMPLE.read_text(encoding="utf-8"), {"chains.blade.motor.magnet": "neodymium"})
    slope = read_text(text).machine.pedigree["chains.blade.motor.magnet_slope"]
    return nearest(row["value"], {"low": slope.low, "high": slope.high})


def remanence(row: Row) -> Any:
    given = row["inputs"]
    return 100.0 * motors.remanence_slope(given["Br20"], given["Br150"], CELSIUS + 20.0, CELSIUS + 150.0)


def weaker_when_warm(row: Row) -> Any:
    """The row refers its coefficient to 20 °C, the law to 25 °C; the straight line is the same."""
    given = row["inputs"]
    slope = given["alpha"] / (1.0 + given["alpha"] * (25.0 - given["T1"]))
    hot, cold = (motors.magnet_constant(1.0, slope, CELSIUS + given[key]) for key in ("T2", "T1"))
    return hot / cold


def chopper(row: Row) -> list[Any]:
    given = row["inputs"]
    return list(converters.chopped(given["D"], given["Vb"], given["Im"]))


CALCULATIONS: dict[str, Calculation] = {
    "mdl_torque": library_torque,
    "mdl_power": lambda row: motors.rotation_loss(library_torque(row), row["inputs"]["rpm"] * RPM),
    "mdl_eff": library_efficiency,
    "mdl_noload": library_no_load,
    "mdl_kt": lambda row: library_machine(row)[1],
    "kosow_1_13": lambda row: motors.back_voltage(row["inputs"]["V"], row["inputs"]["I"], row["inputs"]["R"], 0.0),
    "bakshi_9_3": lambda row: motors.back_voltage(row["inputs"]["V"], row["inputs"]["I"], row["inputs"]["R"], 0.0),
    "bakshi_9_4": wave_wound,
    "dt_e02": twenty_horsepower,
    "dt_e03": weakened_field,
    "series_200V": series_machine,
    "bldc_48V": brushless,
    "pmdc_12V": twelve_volt_motor,
    "kt_ke_kv": lambda row: motors.constant_of(row["inputs"]["Kv"] * RPM),
    "kt_kv100": lambda row: motors.constant_of(row["inputs"]["Kv"] * RPM),
    # torque times rev/min for each kilowatt
    "power_9550": lambda row: 1000.0 / motors.rotation_loss(1.0, RPM),
    "max_eff": best_point,
    "max_power": share_of_stall_at_most_output,
    "cu_alpha": lambda row: next(m["temperature_slope"] for m in load("metals") if m["name"] == "copper"),
    "cu_100C": copper_ratio,
    "ndfeb_alpha": lambda row: 100.0 * magnet("neodymium"),
    "ndfeb_n48sh": remanence,
    "smco_alpha": lambda row: 100.0 * magnet("samarium-cobalt"),
    "modelica_smco5": lambda row: magnet("samarium-cobalt"),
    "modelica_ndfeb": neodymium_of_a_file,
    "alnico_alpha": lambda row: 100.0 * magnet("alnico"),
    "ferrite_alpha": lambda row: 100.0 * magnet("ferrite"),
    "kt_at_80C_ndfeb": weaker_when_warm,
    "duty_identity": chopper,
}


@pytest.mark.parametrize("row", cases("motor"))
def test_motor_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_motor_row_is_used() -> None:
    every_row_has_its_calculation("motor", CALCULATIONS)


# The library's machine as a file: its page gives no friction, no controller and no sag, so it has none here.
LIBRARY_MACHINE = """
[machine]
name = "The library's machine on a brake"
[[chains]]
name = "brake"
[chains.work]
kind = "shaft"
speed = "1425 rpm"
torque = "the-same"
[[chains.links]]
kind = "dc-motor"
commutation = "electronic"
constant = "15 rpm/V"
resistance = "50 mΩ"
no_load_current = "0 A"
max_voltage = "120 V"
[[chains.links]]
kind = "controller"
resistance = "0 Ω"
idle_power = "0 W"
max_voltage = "120 V"
[source]
kind = "bench-supply"
voltage = "100 V"
resistance = "0 Ω"
current = "200 A"
[job]
kind = "work"
ambient = "25 °C"
[[job.states]]
name = "rated"
share = 1
demand = "9500 W"
[limits]
time = "10 min"
"""


def test_the_library_machine_runs_in_a_file_as_on_its_page() -> None:
    """No-load speed (1500 rpm at 100 V) and resistance go in; torque, speed and watts of the rated point come out."""
    printed = {row["id"]: row for row in rows("motor")}
    plan = read_text(LIBRARY_MACHINE).machine
    rated = point(plan, plan.job.states[0])
    holds(printed["mdl_torque"], motor(plan).constant * rated.motor_current)
    assert float(rated.motor_speed) / RPM == pytest.approx(printed["mdl_torque"]["inputs"]["rpm"], rel=1e-4)
    holds(printed["mdl_power"], motor(plan).constant * rated.motor_current * rated.motor_speed)
    holds(printed["mdl_eff"], motor(plan).constant * rated.motor_speed / rated.bus_voltage)
    free = point(plan, replace(plan.job.states[0], demand=0.0))
    holds(printed["mdl_noload"], free.motor_speed / RPM)
