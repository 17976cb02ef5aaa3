"""The record of what stands between pack and machine: board, pre-charge, switches, sense plug; as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.machine.records import Machine
from headrace.wiring.board import Strain
from headrace.wiring.fuse import about_class, beside
from headrace.wiring.pre_charge import Filling, Inrush
from headrace.wiring.sense import Pair, Pin
from headrace.wiring.switching import Contactor, Joint, Plug, Switches

Record = dict[str, Any]

ENDLESS = "what never empties has its own breaker and no cells to guard"
NO_BOARD = "lead-acid batteries have none, and the file names none"
NO_CAPACITOR = "no capacitor stands behind the switch"
NO_FUSE = "no class of the shelf carries all the work alone and breaks the short circuit of both packs together"
NO_CLASS = "no class of contactor says what its coil draws"
NO_PLUG = "batteries are not wired group by group"


def protection_record(machine: Machine, evidence: Evidence) -> Record:
    """Return board, pre-charge, switches and sense plug; each null where it is none, with the reason."""
    guard = evidence.guard
    if guard is None:
        return {part: {"reason": ENDLESS} for part in ("board", "pre_charge", "switches", "sense")}
    bare = guard.inrush
    return {
        "board": _board(machine, guard.strains),
        "pre_charge": {
            "reason": NO_CAPACITOR if bare is None else None,
            "bare": bare and _inrush(bare),
            "planned": guard.planned and _filling(guard.planned),
            "proposed": guard.proposed and _filling(guard.proposed),
        },
        "switches": _switches(guard.switches),
        "sense": {
            "reason": None if guard.pins else NO_PLUG,
            "pins": [_pin(pin) for pin in guard.pins],
            "side_by_side": {**_pair(guard.pair), "fuse": _own_fuse(machine, evidence)},
        },
    }


def _board(machine: Machine, strains: tuple[Strain, ...]) -> Record:
    board = machine.board
    if board is None:
        return {"reason": NO_BOARD}
    return {
        "reason": None,
        "planned": board.planned,
        "opens_at": {
            "continuous_A": number(board.continuous),
            "peak_A": number(board.peak),
            "peak_delay_s": number(board.peak_delay),
            "short_circuit_A": number(board.short_circuit),
            "short_circuit_delay_s": number(board.short_circuit_delay),
            "under_voltage_V": number(board.under_voltage),
            "under_voltage_delay_s": number(board.under_voltage_delay),
            "over_voltage_V": number(board.over_voltage),
            "balance_current_A": number(board.balance_current),
        },
        "strains": [_strain(one) for one in strains],
    }


def _strain(one: Strain) -> Record:
    return {
        "name": f"{one.what} of {one.chain}" if one.chain else one.what,
        "what": one.what,
        "chain": one.chain or None,
        f"value_{one.unit}": number(one.value),
        f"limit_{one.unit}": number(one.limit),
        "lasts_s": number(one.lasts),
        "delay_s": number(one.delay),
        "trips": bool(one.trips.flat[0]),
    }


def _inrush(bare: Inrush) -> Record:
    return {
        "voltage_V": number(bare.voltage),
        "capacitance_F": number(bare.capacitance),
        "resistance_ohm": number(bare.resistance),
        "time_constant_s": number(bare.time_constant),
        "current_A": number(bare.current),
        "energy_J": number(bare.energy),
        "standby_A": number(bare.standby),
    }


def _filling(found: Filling) -> Record:
    return {
        "resistance_ohm": number(found.resistance),
        "time_s": number(found.time),
        "step_V": number(found.step),
        "hold_s": number(found.hold),
        "sag_V": number(found.sag),
        "left_V": number(found.left),
        "current_A": number(found.current),
        "peak_W": number(found.peak),
        "heat_J": number(found.heat),
        "kept_on_W": number(found.kept_on),
    }


def _switches(found: Switches) -> Record:
    return {
        "voltage_V": number(found.voltage),
        "carries_A": number(found.carries),
        "rated_A": number(found.rated),
        "coils_A": number(found.coils),
        "coils_reason": NO_CLASS if number(found.coils) is None else None,
        "breaks_A": number(found.breaks),
        "inductance_H": number(found.inductance),
        "time_constant_s": number(found.time_constant),
        "arc_J": number(found.energy),
        "contactor": found.contactor and _contactor(found.contactor),
        "plug": found.plug and _plug(found.plug),
        "joints": [_joint(one) for one in found.joints],
    }


def _contactor(found: Contactor) -> Record:
    return {
        "class": found.name,
        "current_A": number(found.current),
        "voltage_V": number(found.voltage),
        "breaks_A": number(found.breaks),
        "hold_W": number(found.hold_power),
        "coil_A": number(found.coil_current),
    }


def _plug(found: Plug) -> Record:
    return {
        "class": found.name,
        "rating_A": number(found.rating),
        "usable_A": number(found.usable),
        "drop_at_rating_V": number(found.drop_at_rating),
    }


def _joint(one: Joint) -> Record:
    return {
        "name": f"{one.link} of {one.chain}",
        "link": one.link,
        "chain": one.chain,
        "of": one.of,
        "current_A": number(one.current),
        "rating_A": number(one.rating),
        "usable_A": number(one.usable),
        "drop_V": number(one.drop),
        "drop_at_rating_V": number(one.drop_at_rating),
        "made_for_V": number(one.voltage),
        "alternating": one.alternating,
    }


def _pin(pin: Pin) -> Record:
    return {
        "name": pin.name,
        "joins": pin.joins,
        "full_V": number(pin.full),
        "half_V": number(pin.storage),
        "empty_V": number(pin.empty),
    }


def _pair(pair: Pair) -> Record:
    return {
        "resistance_ohm": number(pair.resistance),
        "current_at_one_volt_A": number(pair.current_at_one_volt),
        "charge_current_A": number(pair.charge_current),
        "gap_V": number(pair.gap),
        "gap_of_a_group_V": number(pair.gap_of_a_group),
    }


def _own_fuse(machine: Machine, evidence: Evidence) -> Record:
    """Return the fuse that each of two packs side by side needs; what is null has the reason."""
    if evidence.fused is None:
        return {"reason": ENDLESS}
    asked = evidence.fused.asked
    found = beside(asked, machine.limits.ambient_hot)
    return {
        "reason": NO_FUSE if found.kind is None else None,
        "class": found.kind,
        "about": found.kind and about_class(found.kind),
        "speed": found.speed,
        "rating_A": number(found.rating),
        "max_voltage_V": number(found.max_voltage),
        "breaking_capacity_A": number(found.breaking_capacity),
        "least_rating_A": number(found.least_rating),
        "wire_needed_m2": number(found.wire_area),
        "highest_voltage_V": number(asked.voltage),
        "short_circuit_A": number(asked.of_two),
    }
