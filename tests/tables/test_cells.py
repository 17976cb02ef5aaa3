"""Open-circuit voltage, entropy and the shelf of cells: pinned, and held against physics."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import brentq

from headrace.tables import Row, load

FARADAY = 96485.33212  # C/mol


def curve(table: str) -> tuple[list[float], list[float]]:
    """Return charges and volts of one open-circuit table."""
    rows = [row for row in load("ocv") if row["table"] == table]
    return [row["charge"] for row in rows], [row["volts"] for row in rows]


def chen_2020() -> tuple[Callable[[float], float], float]:
    """Return volts over charge and the capacity [A h] from the half-cell fits of Chen et al. (2020).

    Lithium is conserved: what the negative electrode gives up, the positive takes. Electrode data of the paper:
    largest concentration, active share, thickness, area, initial concentration.
    """

    def negative(x: float) -> float:
        return (
            1.9793 * math.exp(-39.3631 * x)
            + 0.2482
            - 0.0909 * math.tanh(29.8538 * (x - 0.1234))
            - 0.04478 * math.tanh(14.9159 * (x - 0.2769))
            - 0.0205 * math.tanh(30.4444 * (x - 0.6103))
        )

    def positive(y: float) -> float:
        return (
            -0.8090 * y
            + 4.4875
            - 0.0428 * math.tanh(18.5138 * (y - 0.5542))
            - 17.7326 * math.tanh(15.7890 * (y - 0.3117))
            + 17.5842 * math.tanh(15.9308 * (y - 0.3120))
        )

    area = 0.1027
    holds_negative = 33133.0 * 0.75 * 85.2e-6 * area * FARADAY / 3600.0
    holds_positive = 63104.0 * 0.665 * 75.6e-6 * area * FARADAY / 3600.0
    lithium = 29866.0 / 33133.0 * holds_negative + 17038.0 / 63104.0 * holds_positive

    def volts(x: float) -> float:
        return positive((lithium - x * holds_negative) / holds_positive) - negative(x)

    empty = brentq(lambda x: volts(x) - 2.5, 0.005, 0.1)
    full = brentq(lambda x: volts(x) - 4.2, 0.8, 0.99)
    return lambda charge: volts(empty + charge * (full - empty)), (full - empty) * holds_negative


@pytest.mark.parametrize(
    ("table", "rows", "charges", "volts"),
    [
        ("nmc", 26, 10.64, 92.0711),
        ("nmc-power", 10, 3.8393, 34.9284),
        ("lfp", 10, 3.4591, 30.0241),
        ("sodium", 12, 5.55, 35.59),
    ],
)
def test_ocv_is_the_table_we_typed_in(table: str, rows: int, charges: float, volts: float) -> None:
    charge, volt = curve(table)
    assert len(charge) == rows
    assert sum(charge) == pytest.approx(charges, abs=1e-9)
    assert sum(volt) == pytest.approx(volts, abs=1e-9)
    assert charge == sorted(charge)
    assert volt == sorted(volt)
    assert (charge[0], charge[-1]) == (0.0, 1.0)


def test_nmc_follows_from_the_half_cell_fits() -> None:
    rest, capacity = chen_2020()
    assert capacity == pytest.approx(5.1532, abs=5e-5)  # as an independent library has it
    for charge, volts in zip(*curve("nmc"), strict=True):
        assert volts == pytest.approx(rest(charge), abs=5.1e-5)  # half the last digit typed


# Volts at rest noted from the three sources when they were first read, to 1 mV.
NOTED_CHARGE = [0.0, 0.05, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 0.95, 1.0]
NOTED = {
    "nmc": [2.5, 3.109, 3.296, 3.485, 3.529, 3.581, 3.667, 3.751, 3.841, 3.948, 3.994, 4.042, 4.097, 4.124, 4.2],
    "nmc-power": [
        *(2.506, 3.163, 3.331, 3.475, 3.529, 3.58, 3.657, 3.743, 3.839, 3.935, 3.983, 4.031, 4.085, 4.101, 4.193)
    ],
    "lfp": [2.01, 3.067, 3.199, 3.239, 3.258, 3.278, 3.288, 3.299, 3.31, 3.321, 3.326, 3.331, 3.342, 3.348, 3.598],
}


@pytest.mark.parametrize("table", NOTED)
def test_ocv_agrees_with_the_volts_noted_apart(table: str) -> None:
    assert np.interp(NOTED_CHARGE, *curve(table)) == pytest.approx(NOTED[table], abs=0.00101)


def test_ocv_tables_say_how_coarse_they_are() -> None:
    stated = {row["name"]: row for row in load("ocv_tables")}
    assert set(stated) == {row["table"] for row in load("ocv")}
    for name, row in stated.items():
        charge, _ = curve(name)
        assert row["rows"] == len(charge)
        assert row["largest_gap"] == pytest.approx(max(np.diff(charge)), abs=1e-9)


def test_only_the_plateau_of_iron_phosphate_cannot_be_read() -> None:
    stated = {row["name"]: row for row in load("ocv_tables")}
    assert [name for name, row in stated.items() if not math.isnan(row["plateau_low"])] == ["lfp"]
    low, high = stated["lfp"]["plateau_low"], stated["lfp"]["plateau_high"]
    charge, volts = curve("lfp")
    worth = stated["lfp"]["hysteresis"] * np.diff(charge) / np.diff(volts)  # hysteresis as charge
    on_plateau = [w for w, v in zip(worth, volts, strict=False) if low - 0.01 < v < high and w > 0.01]
    assert [round(100.0 * w) for w in on_plateau] == [5, 19]
    middle = float(np.interp(0.5, charge, volts))
    assert low < middle < high


def test_entropy_is_the_cubic_of_its_source() -> None:
    for table in ("nmc", "nmc-power"):
        rows = [row for row in load("entropy") if row["table"] == table]
        assert [row["charge"] for row in rows] == pytest.approx([0.1 * k for k in range(1, 10)])
        for row in rows:
            z = row["charge"]
            cubic = 7.693e-4 * z**3 - 2.115e-3 * z**2 + 1.514e-3 * z - 2.375e-5  # Zheng (2024), V/K
            assert row["slope"] == pytest.approx(cubic, abs=5.1e-8)


def test_the_rest_voltage_of_sodium_slopes_all_the_way() -> None:
    """No stretch is flat, so charge can be read off the volts: a tenth of the charge is worth 0.1 V at least."""
    charge, volts = curve("sodium")
    assert min(np.diff(volts) / np.diff(charge)) > 1.0
    assert volts[0] > 1.5
    assert volts[-1] < 4.0


def test_entropy_of_sodium_is_lent_from_iron_phosphate() -> None:
    rows = {table: [(r["charge"], r["slope"]) for r in load("entropy") if r["table"] == table] for table in LENT}
    assert rows["sodium"] == rows["lfp"]


LENT = ("sodium", "lfp")


def test_entropy_of_iron_phosphate_stays_inside_the_usual_range() -> None:
    slopes = [row["slope"] for row in load("entropy") if row["table"] == "lfp"]
    assert len(slopes) == 5
    assert sum(slopes) == pytest.approx(0.0, abs=1e-12)  # over the whole charge entropy nearly cancels
    assert min(slopes) >= -0.3e-3
    assert max(slopes) <= 0.2e-3


def test_the_shelf_of_cells_is_the_one_we_typed_in() -> None:
    shelf = load("cells")
    assert [cell["name"] for cell in shelf] == [
        *("energy-18650", "power-18650", "energy-21700", "power-21700", "lfp-26650", "lfp-18650", "lfp-prismatic"),
        *("sodium-18650", "sodium-26650", "salvaged-18650"),
        *("agm-12v", "gel-12v", "flooded-12v"),
    ]
    lithium = 3.4 + 2.4 + 5.0 + 4.0 + 3.0 + 1.5 + 100.0 + 0.7 * 3.4
    assert sum(cell["capacity"] for cell in shelf) == pytest.approx(3600.0 * (lithium + 1.5 + 3.0 + 3 * 100.0))
    assert sum(cell["resistance"] for cell in shelf) == pytest.approx(0.123 + 0.0357 + 0.045 + 0.0688 + 0.023)
    assert sum(cell["mass"] for cell in shelf) == pytest.approx(0.319 + 2.041 + 0.115 + 0.047 + 87.0)
    assert sum(cell["peak_current"] for cell in shelf) == 132.0 + 210.0 + 24.0 + 6.0 + 750.0
    assert {cell["priced"] for cell in shelf} == {"2026"}


def test_a_salvaged_cell_is_an_energy_cell_after_years() -> None:
    shelf = {cell["name"]: cell for cell in load("cells")}
    new, old = shelf["energy-18650"], shelf["salvaged-18650"]
    assert old["capacity"] / new["capacity"] == pytest.approx(0.7)
    for part in ("resistance", "slow_resistance_1", "slow_resistance_2"):
        assert old[part] / new[part] == pytest.approx(1.6)
    assert all(old[column] == new[column] for column in ("ocv_table", "diameter", "length", "full_voltage"))
    own = [row for row in load("cell_bands") if row["chemistry"] == ""]
    spread = {(row["field"], row["cell"]): row["high"] / row["low"] for row in own}
    assert spread["capacity", "salvaged-18650"] > 1.4 * spread["capacity", ""]
    assert spread["resistance", "salvaged-18650"] > 1.4 * spread["resistance", ""]


# The ranges the middle was taken of: first-second resistance and the two slow parts, milliohm; times, s.
RANGES = {
    "energy-18650": ((35, 55), (10, 15), (20, 40), (10, 20), (200, 800)),
    "power-18650": ((16, 26), (5, 8), (20, 40), (5, 10), (200, 800)),
    "energy-21700": ((22, 35), (6, 12), (20, 40), (8, 15), (200, 1000)),
    "power-21700": ((11, 18), (5, 9), (20, 40), (5, 10), (200, 800)),
    "agm-12v": ((3.5, 10), (0, 0), (60, 60), (0, 0), (600, 600)),
    "gel-12v": ((6, 11), (0, 0), (60, 60), (0, 0), (600, 600)),
    "flooded-12v": ((6, 12), (0, 0), (60, 60), (0, 0), (600, 600)),
    "lfp-26650": ((12, 25), (5, 12), (20, 60), (10, 20), (300, 1000)),
    "lfp-18650": ((25, 50), (8, 20), (20, 60), (15, 30), (300, 1000)),
    "lfp-prismatic": ((0.5, 1.0), (0.2, 0.4), (20, 60), (0.3, 0.7), (300, 1000)),
    "sodium-18650": ((20, 45), (8, 16), (20, 40), (8, 18), (200, 800)),
    "sodium-26650": ((10, 22), (5, 10), (20, 40), (6, 12), (200, 800)),
    "salvaged-18650": ((50, 95), (14, 27), (20, 40), (14, 36), (200, 800)),
}
FIELDS = ("resistance", "slow_resistance_1", "slow_time_1", "slow_resistance_2", "slow_time_2")


@pytest.mark.parametrize("cell", load("cells"), ids=lambda cell: str(cell["name"]))
def test_resistances_are_the_geometric_middle_of_their_range(cell: Row) -> None:
    for field, (low, high) in zip(FIELDS, RANGES[cell["name"]], strict=True):
        scale = 1e3 if "resistance" in field else 1.0
        assert scale * cell[field] == pytest.approx(math.sqrt(low * high), rel=0.08), field


DENSITIES = {  # kg/m³ of the whole cell
    ("lead-acid", "block"): (2000.0, 2700.0),
    ("LFP", "block"): (1800.0, 2400.0),
    ("sodium", "cylinder"): (1900.0, 2400.0),
}
ENERGIES = {  # Wh/kg today; a salvaged cell keeps 70 % of what was there, which still is 180
    ("LFP", "cylinder"): (80.0, 130.0),
    ("LFP", "block"): (140.0, 190.0),
    ("sodium", "cylinder"): (90.0, 150.0),
    ("lead-acid", "block"): (30.0, 50.0),
}


@pytest.mark.parametrize("cell", load("cells"), ids=lambda cell: str(cell["name"]))
def test_a_cell_of_the_shelf_hangs_together(cell: Row) -> None:
    charge, volts = curve(cell["ocv_table"])
    assert cell["ocv_table"] in {row["name"] for row in load("ocv_tables") if row["chemistry"] == cell["chemistry"]}
    assert cell["entropy_table"] in {row["table"] for row in load("entropy")}
    # at rest nothing is left at the cut-off, or where sheets set that higher than the table goes, 2 % at most
    assert cell["empty_voltage"] <= volts[0] + 0.02 or np.interp(cell["empty_voltage"], volts, charge) < 0.02
    assert volts[-1] <= cell["full_voltage"] + 1e-9
    assert cell["empty_voltage"] < cell["nominal_voltage"] < cell["full_voltage"]
    assert cell["continuous_current"] < cell["peak_current"]
    # metal and powder over the space: lithium in cans 2.3 to 3 times water, sodium's hard carbon less; blocks, with
    # their corners and lids, 2 to 2.7 of lead and acid, 1.8 to 2.4 of iron phosphate
    kind = (cell["chemistry"], cell["form"])
    footprint = 1.0 if cell["form"] == "block" else math.pi / 4.0
    low, high = DENSITIES.get(kind, (2300.0, 3000.0))
    assert low < cell["mass"] / (footprint * cell["diameter"] ** 2 * cell["length"]) < high
    energy = cell["capacity"] * cell["nominal_voltage"] / 3600.0 / cell["mass"]
    low, high = ENERGIES.get(kind, (180.0, 290.0))
    assert low < energy < high
    sag = cell["peak_current"] * cell["resistance"]
    assert sag < 0.25 * cell["nominal_voltage"]  # more would pull a half-charged cell under its cut-off


def test_nominal_voltage_is_near_the_mean_of_the_open_circuit_table() -> None:
    for cell in load("cells"):
        charge, volts = curve(cell["ocv_table"])
        mean = float(np.dot(np.diff(charge), np.add(volts[1:], volts[:-1]) / 2.0))
        assert cell["nominal_voltage"] == pytest.approx(mean, rel=0.05)


def test_bands_of_cells_are_pinned() -> None:
    bands = load("cell_bands")
    assert len(bands) == 27
    assert sum(row["low"] for row in bands) == pytest.approx(11.015 + 2.48 + 2.3 + 2.72)
    assert sum(row["high"] for row in bands) == pytest.approx(21.35 + 6.18 + 6.8 + 6.22)
    assert all(0.0 < row["low"] < 1.0 < row["high"] for row in bands)
    per_cell = {name.rstrip("_12") for name in load("cells")[0]}
    assert {row["field"] for row in bands} <= per_cell
    shelf = load("cells")
    assert {row["chemistry"] for row in bands} <= {"", *(cell["chemistry"] for cell in shelf)}
    assert {row["cell"] for row in bands} <= {"", *(cell["name"] for cell in shelf)}
