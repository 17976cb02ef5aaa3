"""Bearings, belts, gears and worms, against catalogues and textbooks."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from scipy.optimize import brentq

from headrace.physics import bearings, motors, transmission
from headrace.tables import load
from tests.published.rows import (
    INCH,
    RPM,
    Calculation,
    Row,
    cases,
    every_row_has_its_calculation,
    holds,
    nearest,
    rows,
)

RATED_TORQUE, RATED_SPEED = 4.0, 300.0  # N·m and rad/s: about a kilowatt at the speed of a blade
PRESSURE_ANGLE = math.radians(20.0)


def default(key: str, end: str = "typical") -> float:
    return float(next(line[end] for line in load("defaults") if line["key"] == key))


def friction_of_a_catalogue(row: Row) -> list[float]:
    """Torque over load and half the bore gives each printed coefficient back; deep groove is our default."""
    printed = dict(row["value"])
    deep_groove = next(number for name, number in printed.items() if name.lower().startswith("deep groove"))
    assert default("bearings.friction") == pytest.approx(deep_groove, rel=1e-12)
    load_, bore = 1000.0, 0.020
    return [
        float(bearings.rolling_bearing_torque(number, load_, bore)) / (load_ * 0.5 * bore)
        for number in printed.values()
    ]


def tapered_roller(_row: Row) -> float:
    """What the other maker's catalogue prints for it, through the law."""
    catalogue = next(dict(row["value"]) for row in rows("transmission") if row["id"] == "skf_mu")
    load_, bore = 1000.0, 0.020
    torque = bearings.rolling_bearing_torque(catalogue["tapered roller"], load_, bore)
    return float(torque) / (load_ * 0.5 * bore)


def bearing_example(row: Row) -> list[Any]:
    given = row["inputs"]
    torque = bearings.rolling_bearing_torque(given["mu"], given["P"], 1e-3 * given["d_mm"])
    return [1e3 * torque, motors.rotation_loss(torque, given["rpm"] * RPM)]


def whole_drive(kind: str) -> list[float]:
    """Power out over power in of a drive by default, at the ends of its efficiency: load, creep and drag together."""
    creep, drag, drag_slope = (default(f"{kind}.{part}") for part in ("creep", "drag", "drag_slope"))
    wholes = []
    for end in ("low", "typical", "high"):
        efficiency = default(f"{kind}.efficiency", end)
        idling, loaded = (
            float(transmission.input_torque(torque, 1.0, efficiency, drag, drag_slope, RATED_SPEED))
            for torque in (0.0, 1.0)
        )
        passed_on = (RATED_TORQUE - idling) / (loaded - idling)
        turned = RATED_SPEED / float(transmission.input_speed(1.0, 1.0, creep))
        wholes.append(turned * passed_on / (RATED_SPEED * RATED_TORQUE))
    return wholes


def on_the_shelf(name: str) -> dict[str, float]:
    """Return the band of a whole drive of the shelf, and its middle."""
    part = next(line for line in load("drives") if line["name"] == name)
    return {"low": part["efficiency_low"], "typical": part["efficiency"], "high": part["efficiency_high"]}


def belts_of_the_shelf(row: Row) -> list[Any]:
    shelf = {"synchronous": "toothed-belt"}
    return [nearest(printed, on_the_shelf(shelf.get(name, "v-belt"))) for name, printed in row["value"]]


def one_greased_stage(shelf: str) -> Calculation:
    """Our default is a box of two stages, the shelf's is one."""
    return lambda _row: [*(math.sqrt(whole) for whole in whole_drive("gears")[1:]), on_the_shelf(shelf)["typical"]]


def worm_box(_row: Row) -> list[float]:
    """The default frictions at the lead angle of Mott's example, and the two boxes of the shelf."""
    return [
        float(
            transmission.worm_efficiency(
                math.radians(14.04), default("worm.friction", end), default("worm.pressure_angle")
            )
        )
        for end in ("low", "typical", "high")
    ] + [on_the_shelf(name)["typical"] for name in ("worm-quick", "worm-slow")]


def two_belts(row: Row) -> list[float]:
    first, second, third, fourth = row["inputs"]["d"]
    speeds = []
    for slip in (0.0, row["inputs"]["slip"]):
        # input_speed asks what turns in for a speed that turns out: both stages for one rev/min of output
        per_output = transmission.input_speed(1.0, transmission.ratio_of(third, fourth), slip)
        per_output = transmission.input_speed(per_output, transmission.ratio_of(first, second), slip)
        speeds.append(row["inputs"]["N1"] / float(per_output))
    return speeds


def gear_train(row: Row) -> Any:
    speed = row["inputs"]["N"]
    teeth = row["inputs"]["teeth"]
    for driver, driven in list(pairwise(teeth))[::2]:
        speed = speed / transmission.ratio_of(driver, driven)
    return speed


def held_by_a_rope(row: Row, pull: str, lap: float) -> Any:
    return row["inputs"][pull] / transmission.tension_ratio(row["inputs"]["mu"], lap)


def laps(row: Row) -> list[float]:
    given = row["inputs"]
    return [math.degrees(angle) for angle in transmission.lap_angles(given["d1"], given["d2"], given["c"])]


def worm_geometry(row: Row) -> list[Any]:
    given = row["inputs"]
    lead_angle = transmission.worm_lead_angle(INCH * given["lead_in"], INCH * given["Dw_in"])
    ratio = transmission.ratio_of(given["Nw"], given["Ng"])
    centre_distance = 0.5 * (given["Dw_in"] + given["Ng"] / given["Pd"])  # geometry only, no law of ours
    return [math.degrees(lead_angle), ratio, centre_distance, given["n_worm"] / ratio]


def worm_efficiencies(row: Row) -> list[Any]:
    given = row["inputs"]
    lead, pressure = math.radians(given["lead_deg"]), math.radians(given["phi_n_deg"])
    return [transmission.worm_efficiency(lead, friction, pressure) for friction in given["f"]]


def largest_holding_lead(_row: Row) -> float:
    """Where the margin of our usual running friction is used up: the advice must not be beaten."""
    friction = default("worm.friction")
    held = brentq(lambda lead: transmission.worm_holds(lead, friction, PRESSURE_ANGLE), 0.01, 0.5)
    assert transmission.worm_back_efficiency(held, friction, PRESSURE_ANGLE) == pytest.approx(0.0, abs=1e-9)
    return math.degrees(held)


def three_stages(row: Row) -> Any:
    """Power out over power in of stages one behind the other, without drag."""
    torque: Any = 1.0
    for efficiency in row["inputs"]["eta"]:
        torque = transmission.input_torque(torque, 1.0, efficiency, 0.0, 0.0, 100.0)
    return 1.0 / torque


CALCULATIONS: dict[str, Calculation] = {
    "skf_mu": friction_of_a_catalogue,
    "fluids_mu": friction_of_a_catalogue,
    "koyo_mu_taper": tapered_roller,
    "koyo_mu_dgbb": lambda row: default("bearings.friction"),
    "bearing_example": bearing_example,
    "vbelt_new": lambda row: whole_drive("v-belt"),
    "gates_belt": lambda row: whole_drive("v-belt"),
    "sync_belt": lambda row: whole_drive("toothed-belt")[1],
    "vbelt_worn": lambda row: nearest(row["value"], on_the_shelf("v-belt")),
    "fluids_belts": belts_of_the_shelf,
    "gear_spur": one_greased_stage("spur-gears"),
    "gear_helical": one_greased_stage("helical-gears"),
    "gear_straight_bevel": lambda _row: list(on_the_shelf("bevel-gears").values()),
    "gear_spiral_bevel": lambda _row: on_the_shelf("bevel-gears")["typical"],
    "gear_textbook": lambda row: whole_drive("gears")[2],
    "gear_worm": worm_box,
    "khurmi_11_1": two_belts,
    "khurmi_13_1": gear_train,
    "tayal_eytelwein": lambda row: held_by_a_rope(row, "W1", math.pi),
    "tayal_lap": laps,
    "num_eytelwein": lambda row: held_by_a_rope(row, "F", math.radians(row["inputs"]["theta_deg"])),
    "vbelt_wedge": lambda row: transmission.groove_friction(1.0, math.radians(row["inputs"]["groove_deg"])),
    "mott_worm": worm_geometry,
    "worm_eff": worm_efficiencies,
    "worm_selflock": largest_holding_lead,
    "chain_product": three_stages,
}


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [("v-belt", 0.95, 0.98), ("toothed-belt", 0.97, 0.99), ("flat-belt", 0.97, 0.99), ("roller-chain", 0.96, 0.985),
     ("gears", 0.88, 0.95)],
)  # fmt: skip
def test_a_whole_drive_by_default_lies_where_the_trade_puts_it(kind: str, least: float, most: float) -> None:
    """Common practice, no source but for the V-belt and the toothed belt (rows vbelt_new, sync_belt)."""
    low, typical, high = whole_drive(kind)
    assert least <= low < typical < high <= most


@pytest.mark.parametrize("row", cases("transmission"))
def test_transmission_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_transmission_row_is_used() -> None:
    every_row_has_its_calculation("transmission", CALCULATIONS)
