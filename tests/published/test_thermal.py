"""Lumped heat, convection and radiation, against an independent library and worked balances."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from headrace.physics import heat
from headrace.tables import load
from tests.published.rows import CELSIUS, Calculation, Row, cases, every_row_has_its_calculation, holds


def rayleigh(row: Row) -> Any:
    given = row["inputs"]
    return given["Ra"] if "Ra" in given else given["Gr"] * given["Pr"]


def plate(row: Row) -> Any:
    return heat.plate_nusselt(rayleigh(row), row["inputs"]["Pr"])


def cylinder(row: Row) -> Any:
    return heat.cylinder_nusselt(rayleigh(row), row["inputs"]["Pr"])


def film(row: Row, nusselt: Any) -> Any:
    """Return the film coefficient; the Rayleigh number worked from temperatures must be the row's own."""
    given = row["inputs"]
    rise, mean = given["Ts"] - given["Ta"], CELSIUS + 0.5 * (given["Ts"] + given["Ta"])
    worked = heat.rayleigh_number(rise, mean, given["L"], given["nu"], given["Pr"])
    assert worked == pytest.approx(rayleigh(row), rel=0.002)
    return heat.film_coefficient(nusselt(row), given["k"], given["L"])


def film_at_a_box(_row: Row) -> list[float]:
    """A box 5 to 30 cm high, 5 to 20 K above air of 25 °C; air properties of the row h_box_side."""
    heights, rises = np.meshgrid([0.05, 0.10, 0.30], [5.0, 20.0])
    number = heat.rayleigh_number(rises, 308.15, heights, 1.6519e-5, 0.7061)
    return np.ravel(heat.film_coefficient(heat.plate_nusselt(number, 0.7061), 0.02699, heights)).tolist()


CALCULATIONS: dict[str, Calculation] = {
    "h_free_gas": film_at_a_box,
    "ht_vp": plate,
    "ht_vp_ra": plate,
    "ht_hc": cylinder,
    "ht_hc_94": cylinder,
    "h_box_side": lambda row: film(row, plate),
    "h_box_low": lambda row: film(row, plate),
    "h_cell21": lambda row: film(row, cylinder),
    "q_rad": lambda row: heat.radiation(row["inputs"]["eps"], row["inputs"]["T1"], row["inputs"]["T2"]),
    "cp_rule": lambda row: sorted(float(cell["specific_heat"]) for cell in load("cells"))[len(load("cells")) // 2],
    "chen_area": lambda row: heat.cylinder_area(0.0105, 0.070),
    "heat_rise": lambda row: heat.adiabatic_rise(*(row["inputs"][key] for key in ("P", "t", "m", "cp"))),
    "steady_rise": lambda row: heat.steady_rise(*(row["inputs"][key] for key in ("P", "h", "A"))),
    "tau": lambda row: heat.time_constant(*(row["inputs"][key] for key in ("m", "cp", "h", "A"))),
}


@pytest.mark.parametrize("row", cases("thermal"))
def test_heat_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_thermal_row_is_used() -> None:
    every_row_has_its_calculation("thermal", CALCULATIONS)
