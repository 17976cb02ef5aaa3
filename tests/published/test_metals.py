"""Metals of the tables, against handbooks, element data and each other."""

from __future__ import annotations

from typing import Any

import pytest

from headrace.physics import conductors
from headrace.tables import load
from tests.published.rows import CELSIUS, Calculation, Row, cases, every_row_has_its_calculation, holds

METALS: dict[str, Any] = {str(metal["name"]): metal for metal in load("metals")}
# Standard atomic weights, kg/mol (IUPAC 2021), for the row of molar heats.
ATOMIC = {"aluminium": 26.982e-3, "iron": 55.845e-3, "nickel": 58.693e-3, "copper": 63.546e-3, "zinc": 65.38e-3}


def resistivity(row: Row) -> Any:
    return METALS[row["id"].removesuffix("_rho")]["resistivity"]


def thermal(row: Row) -> list[Any]:
    metal = METALS[row["id"].removesuffix("_thermal")]
    return [metal["density"], metal["specific_heat"], metal["conductivity"]]


def brass(_row: Row) -> list[Any]:
    metal = METALS["brass"]
    share = METALS["copper"]["resistivity"] / metal["resistivity"]
    return [metal["density"], metal["conductivity"], metal["resistivity"], share]


def bar(row: Row, width: float, thickness: float, rho: float) -> Any:
    return conductors.strip_resistance(row["inputs"]["L"], width, thickness, rho, 0.004, CELSIUS + 20.0)


def copper_bar(row: Row) -> Any:
    given = row["inputs"]
    return 1e6 * bar(row, 1e-3 * given["w_mm"], 1e-3 * given["t_mm"], METALS["copper"]["resistivity"])


def nickel_over_copper(_row: Row) -> Any:
    nickel, copper = (
        conductors.wire_resistance(1.0, 1e-6, CELSIUS + 20.0, METALS[name]["resistivity"], 0.0)
        for name in ("nickel", "copper")
    )
    return nickel / copper


def wiedemann_franz(row: Row) -> Any:
    metal = METALS["copper"]
    return 1e8 * metal["conductivity"] * metal["resistivity"] / row["inputs"]["T"]


CALCULATIONS: dict[str, Calculation] = {
    **{f"{name}_rho": resistivity for name in ("aluminium", "nickel", "zinc", "iron", "silver", "tin", "lead")},
    "metal_alpha": lambda row: [METALS[name]["temperature_slope"] for name, _ in row["value"]],
    **{
        f"{name}_thermal": thermal
        for name in ("copper", "aluminium", "nickel", "iron", "zinc", "lead", "silver", "tin")
    },
    "crc_cp": lambda row: [ATOMIC[name] * METALS[name]["specific_heat"] for name in ATOMIC],
    "crc_density": lambda row: [METALS[name]["density"] for name in ATOMIC],
    "brass_c260": brass,
    "brass_cp": lambda row: METALS["brass"]["specific_heat"],
    "steel_1010": lambda row: METALS["steel"]["resistivity"],
    # a strip 0.15 by 8 mm has the area the row gives
    "ni_strip": lambda row: 1e3 * bar(row, 8e-3, 0.15e-3, METALS["nickel"]["resistivity"]),
    "ni_vs_cu": nickel_over_copper,
    "cu_bus": copper_bar,
    "wf_check": wiedemann_franz,
}


@pytest.mark.parametrize("row", cases("metals"))
def test_metals_give_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_metals_row_is_used() -> None:
    every_row_has_its_calculation("metals", CALCULATIONS)
