"""Wire gauge, resistance and copper, against their standards."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from headrace.physics import ampacity, conductors, motors
from headrace.tables import load
from tests.published.rows import (
    CELSIUS,
    FOOT,
    INCH,
    Calculation,
    Row,
    cases,
    every_row_has_its_calculation,
    holds,
    nearest,
)

IACS = {"rho_20": 1.0 / 58e6, "alpha_20": 0.00393}  # IEC 60028
CIRCULAR_MIL = conductors.wire_area(1e-3 * INCH)
SPAN = np.array([0.0, 500.0])  # K; the law of windings is a straight line, whatever its range
STRANDED = 1.02  # copper in a stranded conductor runs about 2 % longer than the conductor


def gauge(size: str) -> int:
    """Return the gauge number of a printed size: "2/0" and "00" are -1."""
    if size.endswith("/0"):
        return 1 - int(size.removesuffix("/0"))
    return 1 - len(size) if set(size) == {"0"} else int(size)


def area(size: str) -> Any:
    return conductors.wire_area(conductors.awg_diameter(gauge(size)))


def ohm_per_kft(size: str, strand: float) -> Any:
    """Return copper at 75 °C, as the table of the code has it."""
    return strand * conductors.wire_resistance(1000.0 * FOOT, area(size), CELSIUS + 75.0, **IACS)


def sizes(row: Row) -> list[str]:
    return [line[0] for line in row["value"]]


def copper() -> Any:
    return next(metal for metal in load("metals") if metal["name"] == "copper")


def six_gauge(row: Row) -> Any:
    given = row["inputs"]
    return given["strand"] * conductors.wire_resistance(
        1000.0 * FOOT, 1e-6 * given["area_mm2"], CELSIUS + given["T"], 1e-6 * given["rho20"], given["alpha"]
    )


def class_5(row: Row) -> list[float]:
    printed = {round(1e6 * float(line["area"]), 6): line for line in load("conductors_iec60228_class5")}
    assert len(printed) == len(row["value"])
    return [1e3 * float(printed[size]["resistance_20"]) for size, _ in row["value"]]


def ratio_of_copper(row: Row) -> Any:
    given = row["inputs"]
    hot, cold = (conductors.resistance_at(1.0, given["alpha20"], CELSIUS + given[key]) for key in ("T2", "T1"))
    return hot / cold


def drop(row: Row) -> Any:
    given = row["inputs"]
    pair = conductors.pair_resistance(
        given["length_one_way_m"], 1e-3 * given["r_ohm_per_km"], IACS["alpha_20"], CELSIUS + 20.0
    )
    return conductors.voltage_drop(given["I"], pair)


def tabled(table: str, row: Row) -> list[list[float]]:
    """Return the lines of a table of ampacities, by gauge, in the order the row prints them."""
    lines = {int(line["gauge"]): line for line in load(table)}
    assert set(lines) == {gauge(size) for size in sizes(row)}
    columns = [column for column in load(table)[0] if column.startswith("rated_")]
    return [[lines[gauge(size)][column] for column in columns] for size in sizes(row)]


def warmer(row: Row) -> list[float]:
    """Return the factors at the warm end of a step of five degrees, as the code prints them: two digits."""
    warm, base = CELSIUS + row["inputs"]["ambient_C"][1], CELSIUS + 30.0
    ratings = row["inputs"]["rating_C"]
    return [round(float(ampacity.ambient_factor(warm, CELSIUS + rating, base)), 2) for rating in ratings]


def moulded_pair(row: Row) -> list[Any]:
    """What of the shelf's class lies nearest to the sheet: its rating, and its resistance within the band."""
    part = next(line for line in load("connectors") if line["name"] == "moulded-pair-30a")
    ends = {"low": 1e3 * part["resistance_low"], "high": 1e3 * part["resistance_high"]}
    return [part["current"], nearest(row["value"][1], ends)]


def small_conductors(row: Row) -> list[float]:
    """The 60 °C column of the same code, which since 2011 is not above the limit for small conductors."""
    lines = {int(line["gauge"]): line for line in load("ampacity_nec_310_16")}
    return [lines[gauge(size)]["rated_60"] for size in row["inputs"]["size"]]


CALCULATIONS: dict[str, Calculation] = {
    "awg_formula_36": lambda row: conductors.awg_diameter(36.0) / INCH,
    "awg_formula_0000": lambda row: conductors.awg_diameter(row["inputs"]["n"]) / INCH,
    "awg_ratio": lambda row: conductors.awg_diameter(11.0) / conductors.awg_diameter(12.0),
    "awg_table": lambda row: [
        [1e3 * conductors.awg_diameter(gauge(size)), 1e6 * area(size), area(size) / CIRCULAR_MIL] for size in sizes(row)
    ],
    "cmil": lambda row: 1e6 * CIRCULAR_MIL,
    "nec_t8_stranded_large": lambda row: [ohm_per_kft(size, STRANDED) for size in sizes(row)],
    "nec_t8_solid_small": lambda row: [ohm_per_kft(size, 1.0) for size in sizes(row)],
    "nec_t8_stranded_small": lambda row: [ohm_per_kft(size, STRANDED) for size in sizes(row)],
    "nec_t8_cmil": lambda row: [area(size) / CIRCULAR_MIL for size in sizes(row)],
    "iacs_to_nec_6awg": six_gauge,
    "iec60228_class5": class_5,
    "iacs_rho": lambda row: 1e6 * copper()["resistivity"],
    "iacs_sigma": lambda row: 1e-6 / copper()["resistivity"],
    "iacs_alpha": lambda row: copper()["temperature_slope"],
    # where the law of windings gives no resistance at all
    "inferred_zero": lambda row: CELSIUS - np.interp(0.0, motors.winding_resistance(1.0, SPAN), SPAN),
    "r_ratio_75_20": ratio_of_copper,
    "drop_10m_6mm2_40A": drop,
    "nec_310_16": lambda row: tabled("ampacity_nec_310_16", row),
    "nec_310_16_corr": warmer,
    "nec_240_4D": small_conductors,
    "moulded_pair_30A": moulded_pair,
    "cfr33_183_425": lambda row: tabled("ampacity_cfr33_183_425", row),
    "abyc_drop_limits": lambda row: (
        100.0 * next(r["typical"] for r in load("defaults") if r["key"] == "limits.cable_drop")
    ),
}


@pytest.mark.parametrize("row", cases("wire"))
def test_wire_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_wire_row_is_used() -> None:
    every_row_has_its_calculation("wire", CALCULATIONS)
