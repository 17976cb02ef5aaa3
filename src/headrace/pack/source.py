"""A pack as a source: ``at`` says what its terminals offer now, ``advance`` what they offer a little later.

Equal cells in series and parallel, one temperature for all: the lumped pack. Charge counts from 0 (empty) to 1 (full)
of the capacity the cells have at this age and temperature.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from headrace.drive.terminals import Terminals
from headrace.errors import OutOfRange
from headrace.machine.records import Cell, Lanes, Limits, Source
from headrace.pack.arrangement import count, surface
from headrace.pack.strips import joint_resistance
from headrace.physics import cells, charge_wells, conductors, heat

HALF_FULL = 0.5  # charge at which packs are compared, read on the bench and held against a charger


@dataclass(frozen=True)
class PackState:
    """What a lumped pack remembers; floats or lanes.

    Attributes
    ----------
    charge
        Share of the capacity left. [-]
    temperature
        Of the cells. [K]
    slow_voltages
        Volts over the two RC pairs of one cell. [V]
    behind
        By how much the charge next to the plates lags behind the whole, as a share; 0 of cells without wells. [-]
    """

    charge: Lanes
    temperature: Lanes
    slow_voltages: tuple[Lanes, Lanes]
    behind: Lanes = 0.0

    @property
    def at_hand(self) -> Lanes:
        """Charge as the terminals see it, as a share. [-]"""
        return self.charge - self.behind


def fresh(temperature: Lanes, charge: Lanes = 1.0) -> PackState:
    """Return a rested pack at a temperature, full unless told otherwise."""
    return PackState(charge, temperature, (0.0 * temperature, 0.0 * temperature))


def aged(source: Source, capacity: Lanes, resistance: Lanes) -> Source:
    """Return the same pack with worn cells.

    Parameters
    ----------
    source
        Pack of new cells.
    capacity, resistance
        What is left of the capacity, and what the resistance has grown to, as shares of new. [-]
    """
    if source.endless:
        return source
    cell = source.cell
    first, second = cell.slow_resistance
    worn = replace(
        cell,
        capacity=cell.capacity * capacity,
        resistance=cell.resistance * resistance,
        slow_resistance=(first * resistance, second * resistance),
    )
    return replace(source, cell=worn)


def worn(source: Source, limits: Limits) -> Source:
    """Return the same pack with cells at what the file calls their end of life."""
    return aged(source, limits.end_of_life_capacity, limits.end_of_life_resistance)


def open_voltage(cell: Cell, charge: Lanes) -> Lanes:
    """Return the voltage of one rested cell. [V]"""
    return cells.open_circuit_voltage(charge, cell.ocv_charge, cell.ocv_volts)


def resistance_factor(cell: Cell, charge: Lanes, temperature: Lanes) -> Lanes:
    """Return how far the cell's resistances stand above those at half charge and 25 °C. [-]"""
    rise = cells.resistance_with_charge(1.0, charge, cell.empty_rise)
    return rise * cells.arrhenius_factor(cell.activation_energy, temperature)


def at(source: Source, state: PackState) -> Terminals:
    """Return what the terminals offer at this instant."""
    if source.endless:
        return _endless(source)
    factor = resistance_factor(source.cell, state.at_hand, state.temperature) / source.parallel
    first, second = state.slow_voltages
    return Terminals(
        open_voltage=source.series * open_voltage(source.cell, state.at_hand),
        slow_voltage=source.series * (first + second),
        cell_resistance=source.series * source.cell.resistance * factor,
        settled_resistance=0.0,
        joint_resistance=joint_resistance(source, state.temperature),
        floor_voltage=source.series * source.cell.empty_voltage,
        current_limit=source.current_limit,
    )


def _endless(source: Source) -> Terminals:
    """Return what a socket or a supply offers, the same at all times."""
    cell = source.cell
    return Terminals(cell.nominal_voltage, 0.0, cell.resistance, 0.0, 0.0, 0.0, source.current_limit, endless=True)


def at_length(source: Source, state: PackState) -> Terminals:
    """Return what the terminals offer after minutes of the same current: the slow part has settled."""
    now = at(source, state)
    if source.endless:
        return now
    factor = resistance_factor(source.cell, state.at_hand, state.temperature) / source.parallel
    slow = source.cell.slow_resistance[0] + source.cell.slow_resistance[1]
    return replace(now, slow_voltage=0.0, settled_resistance=source.series * slow * factor)


def settled(source: Source, state: PackState, current: Lanes) -> PackState:
    """Return the pack once a current has lasted for minutes: its slow voltages are up."""
    factor = resistance_factor(source.cell, state.at_hand, state.temperature) / source.parallel
    first, second = (conductors.voltage_drop(current, ohms * factor) for ohms in source.cell.slow_resistance)
    return replace(state, slow_voltages=(first, second))


def advance(source: Source, state: PackState, current: Lanes, air: Lanes, seconds: Lanes) -> PackState:
    """Return the pack after drawing a current for a while.

    Parameters
    ----------
    source
        The pack.
    state
        Its state at the start.
    current
        At the terminals, discharge positive. [A]
    air
        Temperature around the pack. [K]
    seconds
        Time step; the RC pairs and the temperature move exactly for constant current and heat. [s]
    """
    if source.endless:
        return state
    cell = source.cell
    share = current / source.parallel
    factor = resistance_factor(cell, state.at_hand, state.temperature)
    first, second = (
        cells.rc_step(volts, share, ohms * factor, time, seconds)
        for volts, ohms, time in zip(state.slow_voltages, cell.slow_resistance, cell.slow_time, strict=True)
    )
    charge, behind = _drawn(cell, state, share, seconds)
    return PackState(
        charge=charge,
        temperature=heat.one_node_step(
            state.temperature,
            cell_heat(source, state, current),
            cooling(source),
            cell.mass * cell.specific_heat,
            air,
            seconds,
        ),
        slow_voltages=(first, second),
        behind=behind,
    )


def capacity_of(cell: Cell, temperature: Lanes) -> Lanes:
    """Return the charge of one full cell at its temperature, both wells where it has two. [A·s]"""
    excess = 1.0 if cell.wells is None else cell.wells.excess
    return excess * cells.capacity_at(cell.capacity, cell.cold_loss, temperature)


def _drawn(cell: Cell, state: PackState, current: Lanes, seconds: Lanes) -> tuple[Lanes, Lanes]:
    """Return the charge, and the lag of that next to the plates, once a cell has given a current for a while."""
    capacity = capacity_of(cell, state.temperature)
    charge = state.charge + cells.charge_change(current, capacity, seconds)
    if cell.wells is None:
        return charge, state.behind
    share, rate = cell.wells.share, cell.wells.rate
    available = share * capacity * state.at_hand
    left = charge_wells.wells_step(available, state.charge * capacity - available, current, share, rate, seconds)
    return charge, charge - charge_wells.well_fill(left.available, capacity, share)


def lag(cell: Cell, current: Lanes, temperature: Lanes) -> Lanes:
    """Return how far the charge next to the plates lags behind the whole under a lasting current of one cell. [-]"""
    if cell.wells is None:
        return 0.0 * current
    share, rate = cell.wells.share, cell.wells.rate
    return (1.0 - share) * current / (share * rate * capacity_of(cell, temperature))


def cell_heat(source: Source, state: PackState, current: Lanes) -> Lanes:
    """Return the heat made in, and next to, one cell: its own and its share of the strips'. [W]"""
    cell = source.cell
    share = current / source.parallel
    rest = open_voltage(cell, state.at_hand)
    ohms = cell.resistance * resistance_factor(cell, state.at_hand, state.temperature)
    loaded = rest - conductors.voltage_drop(share, ohms) - state.slow_voltages[0] - state.slow_voltages[1]
    slope = np.interp(state.charge, cell.entropy_charge, cell.entropy_slope)
    strips = conductors.joule_loss(current, joint_resistance(source, state.temperature)) / count(source)
    return cells.bernardi_heat(share, rest, loaded, state.temperature, slope) + strips


def cooling(source: Source) -> Lanes:
    """Return the heat one cell sheds to the air for each kelvin above it: its share of the box's surface. [W/K]"""
    return source.film * surface(source) / count(source)


def charge_at(cell: Cell, volts: float) -> float:
    """Return the charge of a rested cell from its voltage.

    Raises
    ------
    OutOfRange
        The voltage lies outside the table, or on a plateau where charge cannot be told from voltage.
    """
    low, high = float(cell.ocv_volts[0]), float(cell.ocv_volts[-1])
    if not low <= volts <= high:
        raise OutOfRange("charge_at", "volts", volts, low, high)
    if cell.plateau is not None and cell.plateau[0] < volts < cell.plateau[1]:
        raise OutOfRange("charge_at", "volts on the plateau", volts, *cell.plateau)
    return float(np.interp(volts, cell.ocv_volts, cell.ocv_charge))
