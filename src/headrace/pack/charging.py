"""A pack on a charger: what it accepts, what it holds after a time, and what its cells may take as warm as they are."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from headrace.machine.practice import practice
from headrace.machine.records import Cell, Lanes, Source
from headrace.pack.source import PackState, advance, capacity_of, open_voltage, resistance_factor
from headrace.pack.strips import joint_resistance
from headrace.physics import cells, charge_steps, charging, duty, lead_charging, thermistors
from headrace.physics.working import leaves
from headrace.tables import Row, load, sources

CHARGING_STEPS = 60  # of a time on a charger
LITHIUM = ("NMC", "LFP")  # what the bands of rates in the cold are for
LEAD = "lead-acid"
SLOPE = 0.005  # of charge, over which the slope of the rest voltage is taken
LOWER = "NMC"  # chemistry whose end voltage the printed windows lower when warm
ANY_RATE = 1.0  # 1/s: no band holds it back


def accepted(source: Source, state: PackState, limit: Lanes, voltage: Lanes, seconds: Lanes) -> tuple[Lanes, Lanes]:
    """Return the current a charger drives into a pack over a step, and the voltage at its end.

    Parameters
    ----------
    source, state
        The pack, at the start of the step.
    limit
        Current of the charger. [A]
    voltage
        It does not go above. [V]
    seconds
        Of the step; the current is such that its end does not pass the voltage. [s]
    """
    cell = source.cell
    factor = resistance_factor(cell, state.at_hand, state.temperature) / source.parallel
    first, second = state.slow_voltages
    now, before = (open_voltage(cell, charge) for charge in (state.at_hand, state.at_hand - SLOPE))
    rest = charge_steps.rest_after(now, first, second, *cell.slow_time, seconds)
    quick, slow = cell.slow_resistance
    ohms = factor * charge_steps.resistance_over(cell.resistance, quick, slow, *cell.slow_time, seconds)
    capacity = capacity_of(cell, state.temperature)
    ohms = ohms + charge_steps.rise_as_resistance(now, before, SLOPE, seconds, capacity) / source.parallel
    whole = source.series * ohms + joint_resistance(source, state.temperature)
    if cell.chemistry == LEAD:
        limit = duty.least([limit, source.parallel * lead_charging.ampere_hour_current(state.charge, cell.capacity)])
    current = cells.charging_current(limit, voltage, source.series * rest, whole)
    return current, source.series * rest + current * whole


def kept_of(source: Source, state: PackState, current: Lanes, usual: Lanes) -> Lanes:
    """Return the share of a charging current that stays: of lead-acid by its charge, of other cells the usual one. [-]

    Parameters
    ----------
    source, state
        The pack, at the start of the step.
    current
        Into it. [A]
    usual
        Share of other cells. [-]
    """
    if source.cell.chemistry != LEAD:
        return usual
    return lead_charging.share_kept(state.charge, current / source.parallel, source.cell.capacity)


def put_in(source: Source, state: PackState, current: Lanes, air: Lanes, seconds: Lanes, kept: Lanes) -> PackState:
    """Return the pack after a step of a charging current, of which not all is kept."""
    after = advance(source, state, -current, air, seconds)
    return replace(after, charge=charge_steps.charge_kept(state.charge, after.charge, kept))


def charged(source: Source, state: PackState, current: Lanes, air: Lanes, seconds: Lanes) -> PackState:
    """Return the pack after a time on a charger: at its current until it holds the full voltage, less from there on.

    Parameters
    ----------
    source, state
        The pack, as it is put on.
    current
        Of the charger; the cells take no more than they may. [A]
    air
        Temperature around the pack. [K]
    seconds
        On the charger. [s]
    """
    current = np.minimum(current, source.cell.charge_current * source.parallel)
    step = seconds / CHARGING_STEPS
    full = source.series * source.cell.full_voltage
    for _ in range(CHARGING_STEPS):
        taken, _volts = accepted(source, state, current, full, step)
        state = put_in(source, state, taken, air, step, 1.0)
    return state


def cold_limit(cell: Cell, temperature: Lanes) -> Lanes:
    """Return the current a cell may be charged with at its temperature. [A]"""
    edges, rates = bands(cell)
    lowest = cell.charge_min_temperature
    return charging.charge_current_allowed(cell.charge_current, cell.capacity, temperature, lowest, edges, rates)


def ready_at(cell: Cell, current: Lanes) -> Lanes:
    """Return how warm a cell has to be for a charging current. [K]"""
    edges, rates = bands(cell)
    return charging.temperature_for_charge(current, cell.capacity, cell.charge_min_temperature, edges, rates)


def sensor_at(temperature: Lanes) -> Lanes:
    """Return what the usual sensor of a board or charger reads. [Ω]"""
    known, ohms = sensor_points()
    return thermistors.thermistor_by_table(temperature, known, ohms)


def sensor_called() -> Lanes:
    """Return the ohms that the usual sensor is called by: those at 25 °C. [Ω]"""
    return sensor_at(practice("sensor.stated_at"))


@cache
def sensor_points() -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Return the printed points of that sensor: temperatures, rising, and the ohms beside them. [K, Ω]"""
    rows = load("thermistor")
    return np.array([row["temperature"] for row in rows]), np.array([row["resistance"] for row in rows])


@dataclass(frozen=True)
class Window:
    """Cells between two temperatures, and what a charger circuit that watches them does by its printed defaults."""

    name: str
    start: Lanes  # K; nan of the coldest
    end: Lanes  # K; nan of the hottest
    current: Lanes  # A into the pack, of what its cells take when warm
    voltage: Lanes  # V of the pack; nan where it does not charge


def windows(source: Source) -> tuple[Window, ...]:
    """Return the printed windows of a charger circuit for this pack; none of other than lithium.

    Parameters
    ----------
    source
        The pack.
    """
    cell = source.cell
    return tuple(_window(source, row) for row in load("charge_windows")) if cell.chemistry in LITHIUM else ()


def warmest_charge(source: Source) -> Lanes | None:
    """Return up to which temperature such a circuit charges at full amps and volts; None of other than lithium. [K]"""
    return next((window.end for window in windows(source) if window.name == "usual"), None)


def _window(source: Source, row: Row) -> Window:
    cell, title = source.cell, sources()[row["source"]].title
    start, end, share, volts = leaves(Printed(*(float(row[column]) for column in Printed._fields)), "table", title)
    lowered = np.isfinite(float(volts)) and cell.chemistry == LOWER
    voltage = source.series * (volts if lowered else cell.full_voltage) if float(share) > 0.0 else np.nan
    return Window(str(row["name"]), start, end, share * (source.parallel * cell.charge_current), voltage)


class Printed(NamedTuple):
    """What is printed of one window."""

    from_temperature: float  # K
    to_temperature: float  # K
    current_share: float  # -
    cell_voltage: float  # V


class Bands(NamedTuple):
    """What cells take in the cold: the rate from each temperature on."""

    from_temperature: tuple[float, ...]  # K, rising
    rate: tuple[float, ...]  # 1/s


def bands(cell: Cell) -> Bands:
    """Return the temperatures from which a cell takes which rates; of other than lithium its lowest is all there is."""
    if cell.chemistry not in LITHIUM:
        return Bands((0.0,), (ANY_RATE,))
    rows = load("charge_bands")
    title = sources()[rows[0]["source"]].title
    found = Bands(tuple(row["temperature"] for row in rows), tuple(row["rate"] for row in rows))
    known: Bands = leaves(found, "table", title)
    return known
