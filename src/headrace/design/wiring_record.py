"""The part of the record that is about wires and the main fuse."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.machine.records import Machine
from headrace.wiring.ampacities import RATINGS, source_of
from headrace.wiring.conductors import Conductor, gauge_of
from headrace.wiring.fuse import Fault, Fused, about_class

Record = dict[str, Any]

NOT_BY_FUSE = "the limit of the controller or converter guards it; without one, no fuse is proposed"
NO_FUSE_SIZE = "no fuse is proposed, or no size of the table bears it"


def wiring_record(machine: Machine, evidence: Evidence) -> Record:
    """Return all cables, of the file and proposed, and the main fuse; null where a socket or a supply has its own."""
    return {
        "conductors": [_run(machine, wire) for wire in evidence.runs],
        "fuse": evidence.fused and _fuse(evidence.fused),
    }


def _run(machine: Machine, wire: Conductor) -> Record:
    return {
        "name": f"{wire.chain} {wire.side} {wire.name}",
        "chain": wire.chain,
        "side": wire.side,
        "cable": wire.name,
        "planned": wire.planned,
        "rated_by": wire.rated_by,
        "rated_for": RATINGS[wire.rated_by].says,
        "source": source_of(wire.rated_by),
        "one_way_m": number(wire.length),
        "rms_A": number(wire.rms),
        "wire_rms_A": number(wire.wire_rms),
        "peak_A": number(wire.peak),
        "heating_A": number(wire.heating),
        "time_constant_s": number(wire.time_constant),
        "area_m2": number(wire.area),
        "carries_A": number(wire.carries),
        "by_heat_m2": number(wire.by_heat),
        "by_drop_m2": number(wire.by_drop),
        "by_fuse_m2": number(wire.by_fuse),
        "by_fuse_reason": _no_fuse(wire),
        "limit_A": number(wire.limit),
        "by_limit_m2": number(wire.by_limit),
        "limit_reason": _no_limit(wire),
        "needed_m2": number(wire.needed),
        "gauge": gauge_of(wire.needed),
        "decided": wire.decided,
        "resistance_ohm": number(wire.resistance),
        "loss_W": number(wire.loss),
        "drop_V": number(wire.drop),
        "drop_share": number(wire.drop_share),
        "most_drop_share": number(machine.limits.cable_drop),
    }


def _no_fuse(wire: Conductor) -> str | None:
    if number(wire.by_fuse) is not None:
        return None
    if wire.side != "source":
        return NOT_BY_FUSE
    return NO_FUSE_SIZE


def _no_limit(wire: Conductor) -> str | None:
    if number(wire.limit) is None:
        return "told of wires behind a controller that limits the motor's current"
    return "no size of the table bears it" if number(wire.by_limit) is None else None


def _fuse(found: Fused) -> Record:
    asked = found.asked
    return {
        "planned": found.planned,
        "present": found.present,
        "class": found.kind,
        "about": found.kind and about_class(found.kind),
        "speed": found.speed,
        "at": found.at,
        "reason": None if found.kind is not None else "no class of the shelf holds these amps, volts and short circuit",
        "rating_A": number(found.rating),
        "max_voltage_V": number(found.max_voltage),
        "breaking_capacity_A": number(found.breaking_capacity),
        "rms_A": number(asked.rms),
        "peak_A": number(asked.peak),
        "least_rating_A": number(found.least_rating),
        "wire": asked.wire and f"{asked.wire.name} of the {asked.wire.chain}",
        "wire_carries_A": number(asked.carries),
        "wire_needed_m2": number(found.wire_area),
        "highest_voltage_V": number(asked.voltage),
        "open_voltage_V": number(asked.open_voltage),
        "at_once_ohm": number(asked.resistance),
        "short_circuit_A": number(asked.at_pack),
        "start_strain": number(found.start_strain),
        "most_start_strain": number(found.start_limit),
        "wire_bears_K": number(found.bears),
        "full": found.full and _fault(found.ended(found.full)),
        "empty": found.empty and _fault(found.ended(found.empty)),
    }


def _fault(fault: Fault) -> Record:
    return {
        "current_A": number(fault.current),
        "opens_after_s": number(fault.opens_after),
        "wire_temperature_K": number(fault.temperature),
        "wire_becomes": fault.becomes,
    }
