"""How the pack of a machine is charged, warmed up for it and put away, in all lanes."""

from __future__ import annotations

import math

import numpy as np

from headrace.machine.charger import Charger
from headrace.machine.printed import printed
from headrace.machine.records import Lanes, Machine, Source
from headrace.pack import arrangement
from headrace.pack import charging as pack
from headrace.pack.source import cooling
from headrace.physics import charging as physics
from headrace.physics import duty, storing, switching
from headrace.runs.charge import Charging, Forgotten, charge
from headrace.tables import load

LOOKED_AT = "storage charge"  # row of ``tables/upkeep.csv``


def charging(machine: Machine) -> Charging | None:
    """Return how the pack is charged; None of a source that never empties."""
    source, charger, board = machine.source, machine.charger, machine.board
    if charger is None:
        return None
    cell, cold = source.cell, machine.safety.charging_cold
    group = source.parallel * cell.capacity
    ready = pack.ready_at(cell, charger.current / source.parallel)
    cells = arrangement.count(source)
    heat, shed = cells * (cell.mass * cell.specific_heat), cells * cooling(source)
    stored = storing.storage_time(charger.storage, charger.check, group, charger.drain, charger.self_discharge)
    return Charging(
        once=charge(source, charger, machine.limits.reserve, charger.room),
        cell_limit=source.parallel * cell.charge_current,
        cold_limit=source.parallel * pack.cold_limit(cell, cold),
        ready=ready,
        warming_time=storing.warming_time(cold, ready, charger.room, heat, shed),
        warming_heat=storing.warming_energy(cold, ready, heat),
        balancing=math.nan if board is None else physics.balancing_time(charger.gap, group, board.balance_current),
        forgotten=_forgotten(source, charger),
        stored=stored,
        look=_look(stored),
        sensor=math.nan if board is None else pack.sensor_at(cell.charge_min_temperature),
        windows=pack.windows(source),
    )


def _look(stored: Lanes) -> Lanes:
    """Return after which time a stored pack is looked at: the least of its way to the check charge and practice. [s]"""
    row = next(row for row in load("upkeep") if row["name"] == LOOKED_AT)
    usual = printed(row, "every")
    return duty.least([np.where(np.isfinite(np.asarray(stored, dtype=float)), stored, usual), usual])


def _forgotten(source: Source, charger: Charger) -> Forgotten | None:
    """Return the limits of a pack that is found below empty; None of a chemistry without such a rule."""
    if np.isnan(np.asarray(charger.scrap)).all():
        return None
    empty = source.cell.empty_voltage
    floor = duty.least([charger.scrap, empty])
    return Forgotten(
        empty=empty,
        floor=floor,
        pack_empty=switching.stack_voltage(source.series, empty),
        pack_floor=switching.stack_voltage(source.series, floor),
        current=charger.recover_share * (source.parallel * source.cell.charge_current),
        time=charger.recover_time,
        too_long=charger.scrap_after,
    )
