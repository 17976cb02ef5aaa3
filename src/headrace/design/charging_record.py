"""The record of charging, as plain data."""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

from headrace.design.bands import number, typical
from headrace.machine.records import Machine
from headrace.pack.charging import LEAD, LOWER, Window, sensor_called
from headrace.runs.charge import WHY, Charging, Ended, Forgotten

Record = dict[str, Any]

NO_RULE = "no usual rule is known for this chemistry: the maker's sheet says what to do with one found below empty"

SENSOR = "assumed"  # the file names no sensor
NO_SENSOR = "no board senses the temperature of lead-acid batteries, and the file names none"
NO_WINDOWS = "the windows are printed for lithium cells"
NO_CHARGE = "it does not charge there"
NO_LOWER = "the lower voltage of warm cells is printed for those of 4.2 V"
BY_CELLS = "the cells' own volts and ohms"
BY_CHARGE = (
    "the ampere-hour law of 1935, a published fit of what gas takes, and the volts of the batteries; the fit's "
    "constants are from memory and assumed"
)
NO_DRAIN = "nothing drains it while it stands"
NO_EDGE = "nothing bounds it on that side"


def charging_record(machine: Machine, found: Charging | None) -> Record | None:
    """Return how the pack is charged and put away; None of a source that never empties."""
    charger = machine.charger
    if found is None or charger is None:
        return None
    once, ended = found.once, Ended(int(typical(found.once.ended_because) or 0))
    return {
        "planned": charger.planned,
        "chemistry": machine.source.cell.chemistry,
        "charger_for": charger.chemistry or None,
        "voltage_V": number(charger.voltage),
        "full_voltage_V": number(machine.source.series * machine.source.cell.full_voltage),
        "current_A": number(charger.current),
        "cell_limit_A": number(found.cell_limit),
        "end_current_A": number(charger.end_current),
        "model": BY_CHARGE if machine.source.cell.chemistry == LEAD else BY_CELLS,
        "ended_because": ended.slug,
        "reason": WHY[ended],
        "duration_s": number(once.duration),
        "steady_s": number(once.steady),
        "charge": number(once.charge),
        "put_in_A_s": number(once.put_in),
        "energy_J": number(once.energy),
        "mains_J": number(once.mains),
        "outlet_W": number(once.mains_power),
        "highest_cell_temperature_K": number(once.highest_cell_temperature),
        "cold": {
            "coldest_K": number(machine.safety.charging_cold),
            "limit_A": number(found.cold_limit),
            "lowest_K": number(machine.source.cell.charge_min_temperature),
            "ready_K": number(found.ready),
            "room_K": number(charger.room),
            "warming_s": number(found.warming_time),
            "heat_J": number(found.warming_heat),
            "locked": machine.safety.charging_lock,
            "sensor_ohm": number(found.sensor),
            "sensor_of_ohm": None if machine.board is None else number(sensor_called()),
            "sensor_basis": SENSOR if machine.board is not None else None,
            "sensor_reason": None if machine.board is not None else NO_SENSOR,
        },
        "windows": [_window(one, machine.source.cell.chemistry) for one in found.windows],
        "windows_reason": None if found.windows else NO_WINDOWS,
        "gap": number(charger.gap),
        "balancing_s": number(found.balancing),
        "storage": {
            "charge": number(charger.storage),
            "check_charge": number(charger.check),
            "drain_A": number(charger.drain),
            "self_discharge_per_s": number(charger.self_discharge),
            "look_after_s": number(found.look),
            "check_after_s": number(found.stored),
            "check_reason": NO_DRAIN if number(found.stored) is None else None,
            **_forgotten(found.forgotten),
        },
    }


def _forgotten(found: Forgotten | None) -> Record:
    """Return what is done with a pack found below empty; null with the reason where no rule is known."""
    limits = Forgotten(*[math.nan] * len(fields(Forgotten))) if found is None else found
    return {
        "reason": NO_RULE if found is None else None,
        "recover_of_a_group_V": number(limits.empty),
        "recover_V": number(limits.pack_empty),
        "recover_current_A": number(limits.current),
        "recover_time_s": number(limits.time),
        "scrap_of_a_group_V": number(limits.floor),
        "scrap_V": number(limits.pack_floor),
        "scrap_after_s": number(limits.too_long),
    }


def _window(one: Window, chemistry: str) -> Record:
    """Return one window; of an edge or a voltage that is not there the reason."""
    start, end, volts = number(one.start), number(one.end), number(one.voltage)
    why = NO_CHARGE if volts is None else NO_EDGE if start is None or end is None else None
    if one.name == "warm" and chemistry != LOWER:
        why = NO_LOWER
    return {
        "name": one.name,
        "from_K": start,
        "to_K": end,
        "current_A": number(one.current),
        "voltage_V": volts,
        "reason": why,
    }
