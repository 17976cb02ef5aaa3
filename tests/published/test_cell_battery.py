"""Cells of the shelf and packs made of them, against data sheets, labels and a published open-circuit voltage.

Rows with basis "computed" (chen_energy, pack_wh, sag_ex, iec61960_dcir_ex) are a second route to the number, not
evidence.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from headrace.machine import edit, read_text, starter
from headrace.machine.records import Source
from headrace.pack import arrangement, designation
from headrace.pack import source as pack
from headrace.physics import cells, heat
from headrace.tables import load
from tests.machines import EXAMPLE
from tests.published.rows import CELSIUS, Calculation, Row, cases, every_row_has_its_calculation, holds, nearest

HOUR = 3600.0  # s
SHELF = {str(cell["name"]): cell for cell in load("cells")}
BANDS = load("cell_bands")


def of_chemistry(chemistry: str, column: str) -> float:
    """Return what all cells of a chemistry have in common."""
    (value,) = {cell[column] for cell in SHELF.values() if cell["chemistry"] == chemistry}
    return float(value)


def in_band(printed: float, name: str, column: str, scale: float = 1.0) -> Any:
    """Return what of the band of a generic cell lies nearest to a number printed in another unit."""
    cell = SHELF[name]
    chemistries = (cell["chemistry"], "")
    band = next(b for c in chemistries for b in BANDS if (b["field"], b["chemistry"], b["cell"]) == (column, c, ""))
    return nearest(printed, {end: scale * cell[column] * band[end] for end in ("low", "high")})


def size(_row: Row) -> list[float]:
    cell = SHELF["energy-18650"]
    return [1e3 * cell["diameter"], 1e3 * cell["length"], 1e3 * cell["mass"]]


def ratings(_row: Row) -> list[float]:
    cell = SHELF["energy-18650"]
    return [cell["continuous_current"], cell["charge_min_temperature"] - CELSIUS]


def power_cell(row: Row) -> list[Any]:
    cell, amp_hours = SHELF["power-18650"], row["value"][2]
    return [cell["full_voltage"], cell["empty_voltage"], in_band(amp_hours, "power-18650", "capacity", 1.0 / HOUR)]


def volts(name: str) -> list[float]:
    return [SHELF[name][column] for column in ("nominal_voltage", "full_voltage", "empty_voltage")]


def sodium(row: Row) -> list[Any]:
    grams, milliohms = row["value"]
    name = "sodium-18650"
    return [in_band(grams, name, "mass", 1e3), in_band(milliohms, name, "resistance", 1e3)]


def ready_made(row: Row) -> Source:
    """Return a finished pack of which the file has the label only."""
    given = row["inputs"]
    label = f'kind = "ready-made"\nvoltage = "{given["V"]} V"\ncapacity = "{given["Ah"]} Ah"\ncurrent = "20 A"\n'
    text = starter("shaft")
    before, after = text[: text.index("[source]")], text[text.index("[job]") :]
    return read_text(f"{before}[source]\n{label}\n{after}").machine.source


def of_cells(row: Row, **cell: str) -> Source:
    """Return a pack of cells of which the file says what the row does."""
    given = row["inputs"]
    changes = {f"source.cell.{key}": value for key, value in {"shelf": "energy-18650", **cell}.items()}
    counts = {"source.series": given["ns"], "source.parallel": given["np"]}
    return read_text(edit(EXAMPLE.read_text(encoding="utf-8"), {**changes, **counts})).machine.source


def watt_hours(source: Source) -> float:
    return float(arrangement.energy(source)) / HOUR


def scooter(row: Row) -> list[Any]:
    given = row["inputs"]
    source = of_cells(row, capacity=f"{given['Ah_cell']} Ah", nominal_voltage=f"{given['V_cell']} V")
    amp_hours = source.parallel * source.cell.capacity / HOUR
    count = arrangement.count(source)
    return [
        count / source.parallel,
        count / source.series,
        count,
        source.series * source.cell.nominal_voltage,
        amp_hours,
        watt_hours(source),
    ]


def thirteen_of_four(row: Row) -> float:
    given = row["inputs"]
    return watt_hours(of_cells(row, capacity=f"{given['Ah']} Ah", nominal_voltage=f"{given['V']} V"))


def sag(row: Row) -> Any:
    """What the terminals give way at once, half full at 25 °C, where a cell has the ohms of its sheet."""
    source = of_cells(row, resistance=f"{row['inputs']['r_mohm']} mΩ")
    offered = pack.at(source, pack.fresh(CELSIUS + 25.0, 0.5))
    return offered.voltage - offered.inside(row["inputs"]["I"])


def rest(charge: Any) -> Any:
    table = [line for line in load("ocv") if line["table"] == "nmc"]
    known, volts_ = ([line[column] for line in table] for column in ("charge", "volts"))
    return cells.open_circuit_voltage(np.array(charge), np.array(known), np.array(volts_))


def energy_of_the_curve(row: Row) -> float:
    """Volts at the listed points of the published table, five ampere-hours of them."""
    charge = np.linspace(0.0, 1.0, 11)
    return float(np.trapezoid(rest(charge), charge) * row["inputs"]["Ah"])


def two_loads(_row: Row) -> list[Any]:
    (test,) = load("dc_tests")
    return [test[column] for column in ("first_rate", "first_time", "second_rate", "second_time")]


def of_two_loads(row: Row) -> Any:
    """Amps of the test's rates for that capacity, then the ohms of the volts they leave."""
    given, (test,) = row["inputs"], load("dc_tests")
    first, second = (cells.rate_current(HOUR * given["Ah"], test[rate]) for rate in ("first_rate", "second_rate"))
    assert (first, second) == (given["I1"], given["I2"])
    return 1e3 * cells.dc_resistance(given["U1"], first, given["U2"], second)


def limits(_row: Row) -> list[float]:
    cell = SHELF["energy-21700"]
    return [cell["capacity"] / HOUR, cell["empty_voltage"], cell["full_voltage"]]


def sized(row: Row) -> Any:
    given = row["inputs"]
    return designation.of_cell(
        of_cells({"inputs": {"ns": 1, "np": 1}}, diameter=f"{given['d_mm']} mm", length=f"{given['h_mm']} mm").cell
    )


def called(row: Row) -> str:
    """A pack of the shelf's energy cell by its name; the clause leaves a count of one out, a label printed it."""
    name = designation.of_pack(of_cells(row))
    assert name is not None
    return f"{name}-1" if row["inputs"]["np"] == 1 else name


CALCULATIONS: dict[str, Calculation] = {
    "iec61960_pack_1": lambda row: [ready_made(row).series, ready_made(row).parallel],
    "iec61960_pack_2": scooter,
    "iec61960_pack_3": lambda row: watt_hours(ready_made(row)),
    "iec61960_pack_4": lambda row: watt_hours(ready_made(row)),
    "iec61960_letters": sized,
    **{f"iec61960_name_{counts}": called for counts in ("6s", "10s6p", "4s2p", "3s6p")},
    "energy_cell": ratings,
    "energy_cell_size": size,
    "energy_cell_capacity": lambda row: in_band(row["value"], "energy-18650", "capacity", 1.0 / HOUR),
    "power_cell": power_cell,
    "lfp_26650": lambda row: volts("lfp-26650"),
    "sodium_18650": sodium,
    "v_nmc": lambda row: of_chemistry("NMC", "full_voltage"),
    "v_nmc_nominal": lambda row: of_chemistry("NMC", "nominal_voltage"),
    "v_lfp": lambda row: of_chemistry("LFP", "full_voltage"),
    "v_lfp_nominal": lambda row: of_chemistry("LFP", "nominal_voltage"),
    "li_charge_range": lambda row: of_chemistry("NMC", "charge_min_temperature") - CELSIUS,
    "chen_limits": limits,
    "chen_ocv": lambda row: rest(row["inputs"]["charge"]),
    "chen_energy": energy_of_the_curve,
    "chen_geometry": lambda row: heat.cylinder_area(0.5e-3 * row["inputs"]["d_mm"], 1e-3 * row["inputs"]["l_mm"]),
    "pack_wh": thirteen_of_four,
    "sag_ex": sag,
    "iec61960_dcir": two_loads,
    "iec61960_dcir_ex": of_two_loads,
}


@pytest.mark.parametrize("row", cases("cell_battery"))
def test_cells_and_packs_give_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_cell_and_battery_row_is_used() -> None:
    every_row_has_its_calculation("cell_battery", CALCULATIONS)
