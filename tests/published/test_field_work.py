"""Field capacity, rolling and grade, hoists and tackle, against extension bulletins and textbooks."""

from __future__ import annotations

import math
from typing import Any

import pytest

from headrace.machine.units import to_si
from headrace.physics import lifting, loads, torque_terms, transmission, travel
from headrace.physics.heat import GRAVITY
from headrace.tables import load
from tests.published.rows import FOOT, RPM, Calculation, Row, cases, every_row_has_its_calculation, holds, nearest

HOUR = 3600.0
MILE_PER_HOUR = 5280.0 * FOOT / HOUR
KILOMETRE_PER_HOUR = 1000.0 / HOUR
ACRE = 43560.0 * FOOT**2
HECTARE = 10_000.0


def acres_per_hour(width_ft: float, speed_mph: float, efficiency: float) -> float:
    return float(loads.field_capacity(width_ft * FOOT, speed_mph * MILE_PER_HOUR, efficiency)) * HOUR / ACRE


def hectares_per_hour(width: float, speed_kmh: float, efficiency: float) -> float:
    return float(loads.field_capacity(width, speed_kmh * KILOMETRE_PER_HOUR, efficiency)) * HOUR / HECTARE


def worked_example(row: Row) -> float:
    given = row["inputs"]
    return acres_per_hour(given["W_ft"], given["S_mph"], given["E"])


def drill(row: Row) -> list[float]:
    given = row["inputs"]
    rates = [
        acres_per_hour(given["W_ft"], speed, share) for speed, share in zip(given["S_mph"], given["E"], strict=True)
    ]
    return rates + [1.0 / rate for rate in rates]


def bulletin(row: Row) -> list[float]:
    """The key of a line is its width in ft, speed in mph and field efficiency in per cent."""
    lines = [[float(word) for word in str(key).split()[::2]] for key, _ in row["value"]]
    return [acres_per_hour(width, speed, per_cent / 100.0) for width, speed, per_cent in lines]


def metric(row: Row) -> list[float]:
    given = row["inputs"]
    return [hectares_per_hour(*line) for line in zip(given["W_m"], given["S_kmh"], given["E"], strict=True)]


def garden(row: Row) -> float:
    given = row["inputs"]
    return hectares_per_hour(given["W_m"], given["S_kmh"], given["E"])


def towed_wheel(row: Row) -> list[Any]:
    rolling = travel.soil_rolling(row["inputs"]["Cn"])
    mass = 1e3 * row["inputs"]["W_kN"] / GRAVITY
    return [rolling, 1e-3 * travel.rolling_force(mass, 0.0, rolling)]


def cart(row: Row) -> list[Any]:
    given = row["inputs"]
    angle = travel.grade_angle(given["grade"])
    force = travel.rolling_force(given["m"], angle, given["c"]) + travel.grade_force(given["m"], angle)
    return [force, lifting.pull_power(force, given["v"])]


def grade(row: Row) -> Any:
    return travel.grade_force(row["inputs"]["m"], travel.grade_angle(row["inputs"]["grade"]))


def work_of_lift(mass: float, height: float, gravity: float) -> Any:
    """The sources round the standard acceleration, each in its own way."""
    return lifting.lifting_work(mass * gravity / GRAVITY, height)


def lift_time(row: Row) -> Any:
    given = row["inputs"]
    return work_of_lift(given["m"], given["h"], given["g"]) / given["P"]


def mine_lift(row: Row) -> list[Any]:
    given = row["inputs"]
    useful = work_of_lift(1e3 * sum(given["m_t"]), given["h"], given["g"]) / given["t"]
    pull, speed = useful / (given["h"] / given["t"]), given["h"] / given["t"]
    return [1e-3 * useful, 1e-3 * (useful + transmission.load_loss(pull, speed, given["eta"]))]


def winch(row: Row) -> Any:
    """Through drum and gear: the radius of the drum must not matter."""
    given, radius, ratio = row["inputs"], 0.05, 40.0
    pull = lifting.load_pull(given["m"], math.pi / 2.0, 0.0, 0.0)
    torque = lifting.pull_torque(pull, radius)
    turning = transmission.input_speed(loads.speed_of_tip(given["v"], radius), ratio, 0.0)
    return transmission.input_torque(torque, ratio, given["eta"], 0.0, 0.0, turning) * turning


def tackle(row: Row) -> list[Any]:
    given = row["inputs"]
    advantage = lifting.tackle_advantage(given["N"], given["E"], 1.0)
    return [advantage, lifting.rope_pull(given["W_lb"], advantage)]


def shaft_power(row: Row) -> Any:
    """A tool that asks for one torque at any speed, and the power that this is at the one given."""
    terms = lifting.hoist_torque_terms(row["inputs"]["T"] / 0.25, 0.25, 0.0)
    speed = row["inputs"]["rpm"] * RPM
    return 1e-3 * torque_terms.torque_at(terms, speed) * speed


def drawbar(row: Row) -> Any:
    given = row["inputs"]
    return 1e-3 * lifting.pull_power(1e3 * given["P_kN"], given["V_kmh"] * KILOMETRE_PER_HOUR)


ROLLING = {
    str(line["key"]).removeprefix("wheels.rolling."): line
    for line in load("defaults")
    if str(line["key"]).startswith("wheels.rolling.")
}


def rolling(*grounds: str) -> Calculation:
    """What of our bands lies nearest to the printed numbers of such grounds; of two printed for one, both are tried."""
    return lambda row: [
        nearest(printed, ROLLING[ground]) for printed, ground in zip(row["value"], grounds, strict=True)
    ]


# Rows with basis "computed" (efc_garden, wismer_luth, cart_grade, grade_rule, lift_book, winch, pto_9550, drawbar) are
# a second route to the number, not evidence.
CALCULATIONS: dict[str, Calculation] = {
    "efc_const": lambda _row: 1.0 / acres_per_hour(1.0, 1.0, 1.0),
    "efc_12ft": worked_example,
    "efc_drill": drill,
    "efc_pm696": bulletin,
    "efc_si": metric,
    "efc_garden": garden,
    "wismer_luth": towed_wheel,
    "cart_grade": cart,
    "grade_rule": grade,
    "lift_4kW": lift_time,
    "lift_book": mine_lift,
    "winch": winch,
    "tackle_handbook": tackle,
    "pto_9550": shaft_power,
    "drawbar": drawbar,
    "crr_car_concrete": rolling("hard-road", "hard-road"),
    "crr_car_gravel_rolled": lambda row: nearest(row["value"], ROLLING["gravel"]),
    "crr_loose_gravel_medium_soil": lambda _row: [ROLLING[ground]["typical"] for ground in ("loose-gravel", "soil")],
    "crr_loose_sand": rolling("sand", "sand"),
    "crr_truck_asphalt": lambda _row: ROLLING["hard-road"]["typical"],
    "crr_marks": lambda _row: [ROLLING[ground]["typical"] for ground in ("hard-road", "gravel", "loose-gravel")],
    "crr_carvill": rolling("hard-road", "gravel", "loose-gravel", "soil"),
    "hp": lambda _row: to_si(1.0, "power", "hp"),
    "acre": lambda _row: to_si(1.0, "area", "acre"),
}


@pytest.mark.parametrize("row", cases("field_work"))
def test_field_work_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_field_work_row_is_used() -> None:
    every_row_has_its_calculation("field_work", CALCULATIONS)


def test_the_small_angle_sum_is_outside_the_tolerance_of_the_cart() -> None:
    row = next(case.values[0] for case in cases("field_work") if case.id == "cart_grade")
    given = row["inputs"]
    flat = given["m"] * GRAVITY * (given["c"] + given["grade"])
    with pytest.raises(AssertionError):
        holds(row, [flat, flat * given["v"]])
