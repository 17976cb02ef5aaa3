"""The record: what was computed, as plain data under names that carry their unit.

One form for ``--json``, ``results.json`` and whatever draws or prints. Keys are field names with a unit at the end,
bare where the number is a fraction or a count; a number that does not exist is null, never NaN. Of a machine with draws
behind its typical lane every number that moves has a band, ``{typical, low, high}``, and every outcome its share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields
from typing import Any

import numpy as np

from headrace.design import Design
from headrace.design.bands import Sample, number, sample_record, shares, typical
from headrace.design.bill_record import bill_record
from headrace.design.charges import WORKS, LowestCharge
from headrace.design.check_record import check_record
from headrace.design.cuts_record import cuts_record
from headrace.design.facts_record import facts_record
from headrace.design.gear_records import bogging_record, gearing_record, windings_record
from headrace.design.losses import AuxiliaryLosses, ChainLosses, StateLosses
from headrace.design.power_left import PowerLeft, power_left
from headrace.design.risks_record import risks_record
from headrace.design.seasons_record import seasons_record
from headrace.design.trace import trace_record
from headrace.design.trial_record import rest_volts_record
from headrace.design.upkeep_record import upkeep_record
from headrace.drive.converting import how_it_stands
from headrace.drive.ledger import Ledger
from headrace.drive.links import parts
from headrace.drive.point import REASONS, Outcome, Point
from headrace.drive.tools import tool_of
from headrace.findings import Evidence, raised
from headrace.machine.records import Machine
from headrace.machine.values import first_lane, known_numbers, leaf
from headrace.pack import arrangement
from headrace.physics.working import leaves
from headrace.runs.run import REASONS as END_REASONS
from headrace.runs.run import End, Run
from headrace.tables import load, sources
from headrace.wiring.cuts import cuts

Record = dict[str, Any]


def basis_of(machine: Machine, address: str) -> str:
    """Return where the number at an address came from."""
    origin = machine.pedigree.get(address)
    return origin.basis if origin is not None else "assumed"


def losses_record(machine: Machine, states: Sequence[StateLosses], sample: Sample | None = None) -> Record:
    """Return the record of ``losses``; with several chains each has its own list of states."""
    chains = [_chain_states(machine, states, place) for place in range(len(machine.chains))]
    record: Record = {"machine": machine.name, **sample_record(sample)}
    record |= {"time_s": states[0].time, "charge": number(states[0].charge)}
    record["states"] = chains[0]
    if len(chains) > 1:
        record["chains"] = [
            {"name": chain.name, "states": rows} for chain, rows in zip(machine.chains, chains, strict=True)
        ]
    if machine.auxiliaries:
        record["auxiliaries"] = [
            {"name": one.name, "states": [_auxiliary(state, state.auxiliaries[place]) for state in states]}
            for place, one in enumerate(machine.auxiliaries)
        ]
    return record


def _chain_states(machine: Machine, states: Sequence[StateLosses], place: int) -> list[Record]:
    return [_state(machine, state, state.chains[place]) for state in states]


def _auxiliary(state: StateLosses, one: AuxiliaryLosses) -> Record:
    """Return what a lamp or a fan takes in one duty state; nothing where it is switched off."""
    return {
        "name": state.state.name,
        "power_W": number(one.ledger.useful),
        "battery_current_A": number(one.point.battery_current),
        "source_W": number(one.ledger.source),
    }


def _state(machine: Machine, state: StateLosses, found: ChainLosses) -> Record:
    point, book = found.point, found.ledger
    outcome = Outcome(int(point.outcome.flat[0]))
    turning = typical(point.tool_speed) != 0.0
    draws = turning or typical(point.battery_current * (point.outcome == Outcome.OFF)) != 0.0
    pace = tool_of(found.chain.work).pace
    return {
        "name": state.state.name,
        "share": number(state.state.share),
        "outcome": outcome.slug,
        "reason": how_it_stands(parts(found.chain).converter, point),
        "outcomes": shares(point.outcome, Outcome),
        "tool_speed_rad_s": number(point.tool_speed),
        "pace": pace.field(),
        pace.field(): number(found.pace),
        "slow_crossing_rad_s": number(found.slow_crossing),
        "motor_current_A": number(point.motor_current),
        "battery_current_A": number(point.battery_current),
        "cell_current_A": number(point.battery_current / machine.source.parallel),
        "bus_voltage_V": number(point.bus_voltage),
        "terminal_voltage_V": number(point.terminal_voltage),
        "duty": number(point.duty),
        "useful_W": number(book.useful),
        "source": machine.source.kind,
        "source_W": number(book.source),
        "closure": _widest(point, book) if draws else None,
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
        if draws
        else [],
    }


def _widest(point: Point, book: Ledger) -> float:
    """Return the widest gap of a ledger among the lanes that turn."""
    gap = book.closure
    return gap if isinstance(gap, float) else float(np.max(np.where(point.tool_speed > 0.0, gap, 0.0)))


def day_record(
    machine: Machine, run: Run, lasts: Run, lowest: Sequence[LowestCharge], sample: Sample | None = None
) -> Record:
    """Return the record of ``day``."""
    left = None if machine.source.endless else power_left(machine)
    work = machine.chains[0].work
    tool = tool_of(work)
    return {
        "machine": machine.name,
        **sample_record(sample),
        "source": machine.source.kind,
        "series": number(machine.source.series),
        "parallel": number(machine.source.parallel),
        **_end(run),
        "duration_s": number(run.duration),
        "wanted_s": number(machine.limits.time_wanted),
        "lasts_s": number(lasts.duration),
        "lasts_to_reserve_s": number(lasts.to_reserve),
        "lasts_ended_because": End(int(lasts.ended_because.flat[0])).slug,
        "lasts_outcomes": shares(lasts.ended_because, End),
        "lasts_reason": END_REASONS[End(int(lasts.ended_because.flat[0]))],
        "energy_J": number(run.energy),
        "charge_left": number(run.charge_left),
        **({"topped_up": number(run.topped_up)} if machine.job.top_up is not None else {}),
        "amount": tool.amount.field(),
        tool.amount.field(): number(run.amount),
        tool.amount.field("well_done"): number(run.well_done),
        "lowest_cell_voltage_V": number(np.where(run.duration > 0.0, run.lowest_cell_voltage, np.nan)),
        "highest_cell_temperature_K": number(run.highest_cell_temperature),
        "highest_winding_temperature_K": number(run.highest_winding),
        "pace": tool.pace.field(),
        tool.pace.field("full"): number(run.pace_full),
        tool.pace.field("empty"): number(lasts.pace_empty),
        "tool_speed_full_rad_s": number(tool.speed_at(work, run.pace_full)),
        "tool_speed_empty_rad_s": number(tool.speed_at(work, lasts.pace_empty)),
        "rms_cell_current_A": number(run.rms_cell_current),
        "peak_cell_current_A": number(run.peak_cell_current),
        "power_left": left and {f"{f.name}_W": number(getattr(left, f.name)) for f in fields(PowerLeft)},
        "states": [_lowest(low) for low in lowest],
    }


def _lowest(low: LowestCharge) -> Record:
    """Return how far down one duty state can be worked."""
    code = low.fails_with.flat[0]
    below = None if code == WORKS else Outcome(int(code))
    return {
        "name": low.state.name,
        "lowest_charge": number(low.charge),
        "works_when_full": typical(low.charge) is not None,
        "fails_with": below.slug if below is not None else None,
        "fails_because": REASONS[below] if below is not None else None,
    }


def _end(run: Run) -> Record:
    end = End(int(run.ended_because.flat[0]))
    return {"ended_because": end.slug, "reason": END_REASONS[end], "outcomes": shares(run.ended_because, End)}


def pack_record(machine: Machine, evidence: Evidence) -> Record:
    """Return what the planned pack is."""
    source = machine.source
    return {
        "source": source.kind,
        "cell": source.cell.name,
        "chemistry": source.cell.chemistry,
        "rest_voltage_table": None if source.endless else _rest_voltage_table(source.cell.ocv_table),
        "series": number(source.series),
        "parallel": number(source.parallel),
        "cells": number(evidence.cells),
        "room": number(evidence.room),
        "mass_kg": number(evidence.mass),
        "cost": number(evidence.cost),
        "energy_J": number(arrangement.energy(source)),
        "full_voltage_V": number(evidence.full_voltage),
        "nominal_voltage_V": number(source.series * source.cell.nominal_voltage),
        **rest_volts_record(source),
    }


def _rest_voltage_table(name: str) -> Record:
    """Return how finely the cell's table of rest voltages resolves charge, and where it cannot."""
    row = next(row for row in load("ocv_tables") if row["name"] == name)
    title = sources()[row["source"]].title
    columns = ("rows", "largest_gap", "plateau_low", "plateau_high", "hysteresis")
    points, gap, low, high, hysteresis = leaves(tuple(float(row[c]) for c in columns), "table", title)
    return {
        "name": name,
        "points": points,
        "largest_gap": gap,
        "plateau_low_V": number(low),
        "plateau_high_V": number(high),
        "hysteresis_V": number(hysteresis),
        "source": title,
    }


def design_record(design: Design, asked: Sequence[str] = (), sample: Sample | None = None) -> Record:
    """Return the record of ``design``: everything."""
    machine = design.machine
    checked = check_record(machine, design.evidence, design.judged, asked)
    known = known_numbers(machine)
    cut = cuts(machine, design.evidence.netlist, design.evidence.runs)
    return {
        "machine": machine.name,
        "file": machine.file,
        **sample_record(sample),
        "pack": pack_record(machine, design.evidence),
        "facts": facts_record(machine, design.evidence),
        "losses": losses_record(machine, design.losses, sample),
        "day": day_record(machine, design.day, design.lasts, design.lowest_charges, sample),
        "gearing": [gearing_record(first_lane(machine.limits), found) for found in design.gearings],
        "windings": [windings_record(found) for found in design.windings],
        "bogging": bogging_record(machine, design.evidence.bogs),
        "seasons": seasons_record(machine, design.seasons, design.lasts),
        "upkeep": upkeep_record(design.evidence, math.nan if design.seasons is None else design.seasons.worked),
        "trace": trace_record(machine, design.lasts),
        "risks": risks_record(design.evidence, raised(design.judged, (0,) * len(design.evidence.shape))),
        **{key: value for key, value in checked.items() if key not in ("machine", "draws")},
        "bill": bill_record(machine, design.evidence, cut),
        "cuts": cuts_record(cut),
        "swings": [
            {"address": s.address, "basis": s.basis, "source_low_W": s.low, "source_high_W": s.high, "width_W": s.width}
            for s in design.evidence.swings
        ],
        "numbers": [
            {
                "address": o.address,
                "value": number(known[o.address]),
                "low": number(leaf(o, o.low)),
                "high": number(leaf(o, o.high)),
                "unit": o.unit,
                "basis": o.basis,
                "source": sources()[o.source].title if o.source in sources() else o.source,
            }
            for o in machine.pedigree.values()
        ],
    }
