"""The record of the facts about the pack for who carries, tests or touches it; as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.drive.links import parts
from headrace.findings import Evidence
from headrace.machine.links import Converter
from headrace.machine.records import Machine
from headrace.machine.values import first_number
from headrace.machine.works import Wheels
from headrace.pack import designation
from headrace.pack.transport import Threshold, class_of, counted, thresholds, touch, touch_limit
from headrace.tables import load, sources

Record = dict[str, Any]

ENDLESS = "what never empties carries no pack"
CLAIM = (
    "Sums held against printed limits, no claim that anything complies: that takes the whole of a rule, tests, papers "
    "and the carrier's own terms. The limits are those of rules of the United States and of international ones, as "
    "printed; a limit that is met does not make a pack harmless. The local rule comes first."
)
MAINS = "mains, which kills: boxes stay closed, earth and residual-current device stay in, and only who may works on it"
NO_CELL = {
    "labelled": "the label does not say which cells are inside, nor how many",
    "batteries": "a battery of lead-acid is counted as a whole",
}
NO_NAME = "the open standard names round lithium-ion cells of known electrodes, and packs made of them"
NO_LIMITS = "the limits on watt-hours are printed for lithium-ion"
NO_BOARD = "lead-acid batteries have none, and the file names none"
OF_CELLS = ("board-fails", "sense-wire", "fuse-each")  # asked of a pack that has groups of cells and a board
NO_FUSE = "no class of fuse of the shelf holds this pack's amps, volts and short circuit"


def facts_record(machine: Machine, evidence: Evidence) -> Record:
    """Return the facts about the pack; of what never empties the reason."""
    source = machine.source
    if source.endless or machine.charger is None:
        return {"reason": ENDLESS, "claim": CLAIM}
    found, known = counted(source), class_of(source.cell.chemistry)
    name, held = designation.of_pack(source), thresholds(source, found, machine.charger.storage)
    whole = "labelled" if source.ready_made else source.kind
    return {
        "reason": None,
        "claim": CLAIM,
        "chemistry": source.cell.chemistry,
        "counted": "pack" if whole in ("labelled", "cells") else "battery",
        "designation": name,
        "designation_reason": None if name else NO_NAME,
        "designation_of_a_cell": designation.of_cell(source.cell) if name else None,
        "series": number(source.series),
        "parallel": number(source.parallel),
        "pieces": number(found.pieces),
        "cell_energy_J": None if found.cell_energy is None else number(found.cell_energy),
        "cell_mass_kg": None if found.cell_mass is None else number(found.cell_mass),
        "cell_reason": None if found.cell_energy is not None else NO_CELL[whole],
        "energy_J": number(found.energy),
        "mass_kg": number(found.mass),
        "capacity_A_s": number(found.capacity),
        "nominal_voltage_V": number(found.voltage),
        "full_voltage_V": number(found.full_voltage),
        "protection": _protection(machine, evidence),
        "rule": None if known is None else known["rule"],
        "rule_source": None if known is None else sources()[known["source"]].title,
        "thresholds": [_threshold(one) for one in held],
        "thresholds_reason": None if held else NO_LIMITS,
        "touch": [_threshold(one) for one in touch(evidence.full_voltage) if _applies(machine, one)],
        "mains": [_mains(box) for box in _inverters(machine)],
        "questions": [
            {
                "name": row["name"],
                "about": row["about"],
                "asks": row["asks"],
                "source": sources()[row["source"]].title,
            }
            for row in load("transport_questions")
            if (held or row["about"] != "test") and not (source.kind == "batteries" and row["name"] in OF_CELLS)
        ],
    }


def _applies(machine: Machine, one: Threshold) -> bool:
    """Return whether a limit that is printed for lamps or for vehicles alone is about anything of this machine."""
    there = {
        "": True,
        "lamps": bool(machine.auxiliaries),
        "vehicles": any(isinstance(chain.work, Wheels) for chain in machine.chains),
    }
    return there[one.only]


def _inverters(machine: Machine) -> list[Converter]:
    boxes = (parts(chain).converter for chain in machine.chains)
    return list({box.name: box for box in boxes if box is not None and box.kind == "inverter"}.values())


def _mains(box: Converter) -> Record:
    """Return the mains behind an inverter, held against the volts from which live parts are guarded."""
    limit = touch_limit("guarded")
    return {
        "name": box.name,
        "value_V": number(box.voltage),
        "limit_V": number(limit),
        "met": first_number(box.voltage) < first_number(limit),
        "says": MAINS,
    }


def _threshold(one: Threshold) -> Record:
    ending = f"_{one.unit}" if one.unit else ""
    return {
        "name": one.name,
        "words": one.words,
        "of": one.of,
        f"value{ending}": number(one.value),
        f"limit{ending}": number(one.limit),
        "met": one.met,
        "says": one.says,
        "basis": one.basis,
        "source": sources()[one.source].title,
    }


def _protection(machine: Machine, evidence: Evidence) -> Record:
    """Return which protection the design has, planned in the file or proposed."""
    board, fused = machine.board, evidence.fused
    return {
        "board": None if board is None else "planned" if board.planned else "proposed",
        "board_reason": NO_BOARD if board is None else None,
        "over_voltage_V": None if board is None else number(board.over_voltage),
        "under_voltage_V": None if board is None else number(board.under_voltage),
        "short_circuit_A": None if board is None else number(board.short_circuit),
        "short_circuit_delay_s": None if board is None else number(board.short_circuit_delay),
        "balance_A": None if board is None else number(board.balance_current),
        "fuse": None if fused is None or fused.kind is None else "planned" if fused.planned else "proposed",
        "fuse_present": fused is not None and fused.present,
        "fuse_reason": NO_FUSE if fused is None or fused.kind is None else None,
        "fuse_A": None if fused is None or fused.kind is None else number(fused.rating),
        "cold_lock": machine.safety.charging_lock,
    }
