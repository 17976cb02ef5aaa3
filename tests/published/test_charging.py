"""Chargers, sensors and batteries on charge as they are printed, against laws and defaults.

Rows with basis "computed" are a second route to the number, not evidence.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headrace.pack import charging as charging_of_a_pack
from headrace.pack.charging import Window, cold_limit
from headrace.physics import cells, thermistors
from headrace.tables import load
from tests.machines import started
from tests.published.rows import CELSIUS, Calculation, Row, cases, every_row_has_its_calculation, holds

DEFAULTS = {str(row["key"]): row for row in load("defaults")}


def two_loads(row: Row) -> float:
    i = row["inputs"]
    return 1e3 * float(cells.dc_resistance(i["U1"], i["I1"], i["U2"], i["I2"]))


def steady_ends(row: Row) -> float:
    """Return the highest rest voltage at which the charger still drives its full current."""
    i, rest = row["inputs"], np.linspace(40.0, 42.0, 20_001)
    current = cells.charging_current(i["I"], i["Vset"], rest, i["R"])
    return float(np.max(rest[current >= i["I"] * (1.0 - 1e-9)]))


def thermistor(row: Row) -> list[float]:
    i = row["inputs"]
    return [float(thermistors.thermistor_resistance(i["R25_kohm"], i["B"], CELSIUS + celsius)) for celsius in i["T_C"]]


def cool_share(_row: Row) -> float:
    cell = started("mower").source.cell
    return float(cold_limit(cell, CELSIUS + 2.0)) / float(cell.charge_current)


def windows(series: int) -> dict[str, Window]:
    source = replace(started("mower").source, series=float(series))
    return {one.name: one for one in charging_of_a_pack.windows(source)}


def regions(_row: Row) -> list[float]:
    found = windows(2)
    edges = (found["cold"].end, found["cool"].end, found["warm"].start, found["hot"].start)
    return [float(edge) - CELSIUS for edge in edges]


def sensed(row: Row) -> list[float]:
    return [1e-3 * float(charging_of_a_pack.sensor_at(CELSIUS + line[0])) for line in row["value"]]


CALCULATIONS: dict[str, Calculation] = {
    "iec61960_dcir_ex": two_loads,
    "cccv": steady_ends,
    "cccv_cut": lambda row: DEFAULTS["charger.end_share"]["typical"],
    "lead_eff": lambda row: DEFAULTS["charger.kept.lead-acid"]["typical"],
    "li_charge_cold": lambda row: started("mower").source.cell.charge_min_temperature - CELSIUS,
    "jeita_cool": cool_share,
    "jeita_regions": regions,
    "jeita_warm": lambda row: windows(2)["warm"].voltage,
    "ntc_103at": sensed,
    "ntc_beta": thermistor,
    "ntc_table": thermistor,
}


def test_every_row_has_its_calculation() -> None:
    every_row_has_its_calculation("charging", CALCULATIONS)


@pytest.mark.parametrize("row", cases("charging"))
def test_published(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))
