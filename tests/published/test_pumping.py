"""Water, pipes, pumps and fans, against handbooks and worked examples."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.physics import fans, pipes, pump_power, pumping
from headrace.physics.heat import GRAVITY
from tests.published.rows import CELSIUS, FOOT, INCH, Calculation, Row, cases, every_row_has_its_calculation, holds

GALLON = 231.0 * INCH**3  # US
MINUTE = 60.0
HORSEPOWER = 550.0 * FOOT * 0.45359237 * GRAVITY


def pump_of_a_motor(row: Row) -> list[Any]:
    given = row["inputs"]
    shaft, flow = given["P_el"] * given["eta_m"], 1e-3 * given["Q_Ls"]
    head = 1e3 * given["dp_kPa"] / (given["rho"] * GRAVITY)
    lost = pump_power.pump_loss(shaft, flow, head, given["rho"])
    return [
        pump_power.pump_efficiency(shaft, flow, head, given["rho"]),
        pump_power.flow_warming(lost, flow, given["rho"], 1e3 * given["cp_kJ"]),
    ]


def flow_of_a_power(row: Row) -> list[Any]:
    """Power for one cubic metre a second is the pressure."""
    given = row["inputs"]
    head = pumping.system_head(1.0, given["z"], given["hL"])
    pressure = pumping.hydraulic_power(1.0, head, given["rho"])
    return [given["P"] * given["eta"] / pressure, 1e-3 * pressure]


def warm_water(row: Row) -> Any:
    """At its best point, at the reference speed, a pump has the efficiency it was given."""
    given = row["inputs"]
    density = pipes.water_density((given["water_F"] - 32.0) / 1.8 + CELSIUS)
    flow, head = given["gpm"] * GALLON / MINUTE, given["head_ft"] * FOOT
    return pump_power.best_point_power(300.0, 300.0, flow, head, given["eta"], density) / HORSEPOWER


def scaled_fan(row: Row) -> list[Any]:
    given = row["inputs"]
    return list(
        fans.fan_law_point(
            given["Q1"], given["p1"], given["P1"],
            given["N2"] / given["N1"], given["D2"] / given["D1"], given["rho2"] / given["rho1"],
        )
    )  # fmt: skip


def slowed(row: Row) -> list[Any]:
    """As a fan, as a pump, and as the torque terms of a fan have it."""
    ratio = row["inputs"]["speed_ratio"]
    by_fan = fans.fan_law_point(1.0, 1.0, 1.0, ratio, 1.0, 1.0)
    by_pump = pumping.affinity_point(1.0, 1.0, 1.0, ratio)
    assert by_pump == pytest.approx(by_fan, rel=1e-15)
    flow = fans.fan_flow(ratio, 1.0)
    terms = fans.fan_torque_terms(1.0, 1.0, 0.5, 0.0)
    assert [flow, fans.duct_pressure(flow, 1.0), 0.5 * terms.square * ratio**3] == pytest.approx(by_fan, rel=1e-12)
    return list(by_fan)


def kelvins(row: Row) -> list[float]:
    return [float(key) for key, _ in row["value"]]


def densities(row: Row) -> list[Any]:
    return [pipes.water_density(t) / row["inputs"]["molar_mass"] for t in kelvins(row)]


def viscosities(row: Row) -> list[Any]:
    return [1e6 * pipes.water_viscosity(t) for t in kelvins(row)]


def iron_pipe(row: Row) -> list[Any]:
    given = row["inputs"]
    friction = pipes.friction_factor(given["Re"], given["eps"] / given["D"])
    return [friction, pipes.friction_head(friction, given["L"], given["D"], given["V"])]


def two_pipes(row: Row) -> Any:
    given = row["inputs"]
    coefficient = sum(
        pipes.pipe_coefficient(given["Q"], given["L"], diameter, given["eps"], zeta, given["nu"])
        for diameter, zeta in zip(given["D"], given["zeta"], strict=True)
    )
    return pumping.system_head(given["Q"], 0.0, coefficient)


# Rows with basis "computed" (cengel_5_12, cengel_5_15, fan_scale, fan_speed) are a second route, not evidence.
CALCULATIONS: dict[str, Calculation] = {
    "cengel_5_12": pump_of_a_motor,
    "cengel_5_15": flow_of_a_power,
    "pump_hp": warm_water,
    "fan_scale": scaled_fan,
    "fan_speed": slowed,
    "perry_density": densities,
    "perry_viscosity": viscosities,
    "ductile_iron": iron_pipe,
    "two_pipes": two_pipes,
}


@pytest.mark.parametrize("row", cases("pumping"))
def test_pumping_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_pumping_row_is_used() -> None:
    every_row_has_its_calculation("pumping", CALCULATIONS)
