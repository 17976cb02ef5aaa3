"""The record: what was computed, as plain data under names that carry their unit.

One form for ``--json``, ``results.json`` and whatever draws or prints. Keys are field names with a unit at the end,
bare where the number is a fraction or a count; a number that does not exist is null, never NaN.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from headrace.design import Design
from headrace.design.charges import LowestCharge
from headrace.design.losses import ChainLosses, StateLosses
from headrace.drive.point import REASONS, Outcome
from headrace.findings import Evidence, Finding, Judged, raised
from headrace.machine.records import Lanes, Machine
from headrace.pack import arrangement
from headrace.physics import loads
from headrace.runs.run import REASONS as END_REASONS
from headrace.runs.run import End, Run
from headrace.tables import load, sources

Record = dict[str, Any]


def number(value: Lanes) -> float | None:
    """Return the first lane of a value as a plain number, or None where it is not finite."""
    first = float(np.asarray(value, dtype=float).flat[0])
    return first if math.isfinite(first) else None


def basis_of(machine: Machine, address: str) -> str:
    """Return where the number at an address came from."""
    origin = machine.pedigree.get(address)
    return origin.basis if origin is not None else "assumed"


def losses_record(machine: Machine, states: Sequence[StateLosses]) -> Record:
    """Return the record of ``losses``; with several chains each has its own list of states."""
    chains = [_chain_states(machine, states, place) for place in range(len(machine.chains))]
    record: Record = {"machine": machine.name, "time_s": states[0].time, "charge": states[0].charge}
    record["states"] = chains[0]
    if len(chains) > 1:
        record["chains"] = [
            {"name": chain.name, "states": rows} for chain, rows in zip(machine.chains, chains, strict=True)
        ]
    return record


def _chain_states(machine: Machine, states: Sequence[StateLosses], place: int) -> list[Record]:
    return [_state(machine, state, state.chains[place]) for state in states]


def _state(machine: Machine, state: StateLosses, found: ChainLosses) -> Record:
    point, book = found.point, found.ledger
    outcome = Outcome(int(point.outcome.flat[0]))
    turning = number(point.tool_speed) != 0.0
    return {
        "name": state.state.name,
        "share": state.state.share,
        "outcome": outcome.slug,
        "reason": REASONS[outcome],
        "tool_speed_rad_s": number(point.tool_speed),
        "tip_speed_m_s": number(found.tip_speed),
        "slow_crossing_rad_s": number(found.slow_crossing),
        "motor_current_A": number(point.motor_current),
        "battery_current_A": number(point.battery_current),
        "bus_voltage_V": number(point.bus_voltage),
        "terminal_voltage_V": number(point.terminal_voltage),
        "duty": number(point.duty),
        "useful_W": number(book.useful),
        "source_W": number(book.source),
        "closure": number(book.closure) if turning else None,
        "links": [
            {
                "name": line.name,
                "kind": line.kind,
                "power_in_W": number(line.power_in),
                "power_out_W": number(line.power_out),
                "loss_W": number(line.loss),
                "basis": basis_of(machine, line.parameter),
                "saves_removed_W": number(saving.removed),
                "saves_halved_W": number(saving.halved),
                "how": saving.how,
            }
            for line, saving in zip(book.lines, found.savings, strict=True)
        ]
        if turning
        else [],
    }


def day_record(machine: Machine, run: Run, lasts: Run, lowest: Sequence[LowestCharge]) -> Record:
    """Return the record of ``day``."""
    radius = machine.chains[0].work.diameter / 2.0
    return {
        "machine": machine.name,
        "series": number(machine.source.series),
        "parallel": number(machine.source.parallel),
        **_end(run),
        "duration_s": number(run.duration),
        "wanted_s": number(machine.limits.time_wanted),
        "lasts_s": number(lasts.duration),
        "lasts_to_reserve_s": number(lasts.to_reserve),
        "lasts_ended_because": End(int(lasts.ended_because.flat[0])).slug,
        "lasts_reason": END_REASONS[End(int(lasts.ended_because.flat[0]))],
        "energy_J": number(run.energy),
        "charge_left": number(run.charge_left),
        "area_m2": number(run.area),
        "area_well_cut_m2": number(run.area_well_cut),
        "lowest_cell_voltage_V": number(run.lowest_cell_voltage) if number(run.duration) else None,
        "highest_cell_temperature_K": number(run.highest_cell_temperature),
        "highest_winding_temperature_K": number(run.highest_winding),
        "tip_speed_full_m_s": number(run.tip_full),
        "tip_speed_empty_m_s": number(lasts.tip_empty),
        "tool_speed_full_rad_s": number(loads.speed_of_tip(run.tip_full, radius)),
        "tool_speed_empty_rad_s": number(loads.speed_of_tip(lasts.tip_empty, radius)),
        "rms_cell_current_A": number(run.rms_cell_current),
        "peak_cell_current_A": number(run.peak_cell_current),
        "states": [
            {
                "name": low.state.name,
                "lowest_charge": low.charge,
                "works_when_full": low.charge is not None,
                "fails_with": low.fails_with.slug if low.fails_with is not None else None,
                "fails_because": REASONS[low.fails_with] if low.fails_with is not None else None,
            }
            for low in lowest
        ],
    }


def _end(run: Run) -> Record:
    end = End(int(run.ended_because.flat[0]))
    return {"ended_because": end.slug, "reason": END_REASONS[end]}


def trace_record(machine: Machine, run: Run) -> Record:
    """Return the channels of a run over time, first lane."""
    trace = run.trace
    if trace is None:
        return {"time_s": []}
    names = [state.name for state in machine.job.states]
    channels = {
        "charge": trace.charge,
        "terminal_voltage_V": trace.terminal_voltage,
        "cell_voltage_V": trace.cell_voltage,
        "battery_current_A": trace.battery_current,
        "tip_speed_m_s": trace.tip_speed,
        "cell_temperature_K": trace.cell_temperature,
        "winding_temperature_K": trace.winding,
    }
    columns = {name: [float(v) for v in values.reshape(len(trace.time), -1)[:, 0]] for name, values in channels.items()}
    return {"time_s": [float(t) for t in trace.time], "state": [names[k] for k in trace.state], **columns}


def finding_record(found: Finding) -> Record:
    """Return one finding as data."""
    return {
        "slug": found.slug,
        "level": found.level,
        "value": found.value if math.isfinite(found.value) else None,
        "limit": found.limit if math.isfinite(found.limit) else None,
        "unit": found.unit,
        "says": found.says,
        "action": found.action,
        "source": found.source,
        "rejects_pack": found.rejects_pack,
    }


def check_record(machine: Machine, evidence: Evidence, judged: Sequence[Judged], asked: Sequence[str] = ()) -> Record:
    """Return the record of ``check``; ``asked`` is what the reading of the file asked back."""
    found = raised(judged, (0,) * len(evidence.shape))
    slugs = {finding.slug for finding in found}
    return {
        "machine": machine.name,
        "asked": list(asked),
        "findings": [finding_record(finding) for finding in found],
        "in_order": [verdict.rule.slug for verdict in judged if verdict.rule.slug not in slugs],
    }


def pack_record(machine: Machine, evidence: Evidence) -> Record:
    """Return what the planned pack is."""
    source = machine.source
    return {
        "cell": source.cell.name,
        "chemistry": source.cell.chemistry,
        "rest_voltage_table": _rest_voltage_table(source.cell.ocv_table),
        "series": number(source.series),
        "parallel": number(source.parallel),
        "cells": number(evidence.cells),
        "room": number(evidence.room),
        "mass_kg": number(evidence.mass),
        "cost": number(evidence.cost),
        "energy_J": number(arrangement.energy(source)),
        "full_voltage_V": number(evidence.full_voltage),
        "nominal_voltage_V": number(source.series * source.cell.nominal_voltage),
    }


def _rest_voltage_table(name: str) -> Record:
    """Return how finely the cell's table of rest voltages resolves charge, and where it cannot."""
    row = next(row for row in load("ocv_tables") if row["name"] == name)
    return {
        "name": name,
        "points": row["rows"],
        "largest_gap": row["largest_gap"],
        "plateau_low_V": number(row["plateau_low"]),
        "plateau_high_V": number(row["plateau_high"]),
        "hysteresis_V": number(row["hysteresis"]),
        "source": sources()[row["source"]].title,
    }


def design_record(design: Design, asked: Sequence[str] = ()) -> Record:
    """Return the record of ``design``: everything."""
    machine = design.machine
    checked = check_record(machine, design.evidence, design.judged, asked)
    return {
        "machine": machine.name,
        "file": machine.file,
        "pack": pack_record(machine, design.evidence),
        "losses": losses_record(machine, design.losses),
        "day": day_record(machine, design.day, design.lasts, design.lowest_charges),
        "trace": trace_record(machine, design.lasts),
        **{key: value for key, value in checked.items() if key != "machine"},
        "swings": [
            {"address": s.address, "basis": s.basis, "source_low_W": s.low, "source_high_W": s.high, "width_W": s.width}
            for s in design.evidence.swings
        ],
        "numbers": [
            {
                "address": o.address,
                "value": o.typical if math.isfinite(o.typical) else None,
                "low": o.low if math.isfinite(o.low) else None,
                "high": o.high if math.isfinite(o.high) else None,
                "unit": o.unit,
                "basis": o.basis,
                "source": sources()[o.source].title if o.source in sources() else o.source,
            }
            for o in machine.pedigree.values()
        ],
    }
