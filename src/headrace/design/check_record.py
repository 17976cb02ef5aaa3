"""What ``check`` found, as data: the findings with their shares, and all that the rules looked at."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from headrace.design.assembly_record import assembly_record
from headrace.design.balance_record import balance_record
from headrace.design.bands import Sample, number, sample_record
from headrace.design.charging_record import charging_record
from headrace.design.netlist_record import netlist_record
from headrace.design.protection_record import protection_record
from headrace.design.rest_record import rest_record
from headrace.design.trial_record import trial_record
from headrace.design.wiring_record import wiring_record
from headrace.drive.tools import tool_of
from headrace.findings import Enduring, Evidence, Finding, Judged, Starting, cautions, raised
from headrace.machine.records import Chain, Lanes, Machine
from headrace.physics.working import Traced, leaves
from headrace.runs.warming import LONGEST as LOOKED

Record = dict[str, Any]


def finding_record(found: Finding) -> Record:
    """Return one finding as data, as worded for the typical machine."""
    return {
        "slug": found.slug,
        "level": found.level,
        "value": found.value if math.isfinite(found.value) else None,
        "limit": number(found.limit if isinstance(found.limit, Traced) else leaves(found.limit, "table", found.source)),
        "unit": found.unit,
        "says": found.says,
        "action": found.action,
        "source": found.source,
        "rejects_pack": found.rejects_pack,
        "parts": [{"name": one.part, "says": one.says, "action": one.action} for one in found.parts],
    }


def check_record(
    machine: Machine,
    evidence: Evidence,
    judged: Sequence[Judged],
    asked: Sequence[str] = (),
    sample: Sample | None = None,
) -> Record:
    """Return the record of ``check``; ``asked`` is what the reading of the file asked back.

    ``share`` is that of the draws past the limit; ``sometimes`` lists what only some draws raise, with what to do in
    the first of them; ``stopped`` is the share of the draws with at least one stop; ``not_held`` lists what had no
    limit to be held against.
    """
    corners = evidence.corners
    share = {verdict.rule.slug: _share_failing(verdict) for verdict in judged}
    found = raised(judged, (0,) * len(evidence.shape))
    slugs = {finding.slug for finding in found}
    others = [j for j in judged if j.verdict.held and j.rule.slug not in slugs]
    return {
        "machine": machine.name,
        **sample_record(sample),
        "source": machine.source.kind,
        "asked": list(asked),
        "stopped": leaves(_share_stopped(judged), "search", "share of the draws with a stop"),
        "findings": [
            {**finding_record(finding), "share": leaves(share[finding.slug], "search", "share of the draws past it")}
            for finding in found
        ],
        "sometimes": [
            {"slug": j.rule.slug, "level": j.rule.level, "share": share[j.rule.slug], "action": _first_cure(j)}
            for j in sorted(others, key=lambda j: -share[j.rule.slug])
            if share[j.rule.slug] > 0.0
        ],
        "in_order": [j.rule.slug for j in others if share[j.rule.slug] == 0.0],
        "paces": [_paces(*row) for row in zip(machine.chains, corners.slowest, corners.fastest, strict=True)],
        "starts": [_starting(one) for one in evidence.starts],
        **rest_record(machine, evidence),
        "warming": [
            {"name": chain.name, "states": [_enduring(one) for one in evidence.endures if one.chain == chain.name]}
            for chain in machine.chains
        ],
        "balance": balance_record(machine, evidence.balance),
        "charging": charging_record(machine, evidence.charging),
        **wiring_record(machine, evidence),
        **protection_record(machine, evidence),
        **netlist_record(evidence),
        **trial_record(machine, evidence),
        "assembly": assembly_record(machine, evidence),
        "not_held": [j.rule.slug for j in judged if not j.verdict.held],
        "cautions": list(cautions(machine)),
    }


def _enduring(one: Enduring) -> Record:
    """Return how a motor warms that is kept at one duty state; a winding that never gets too hot has no time."""
    return {
        "name": one.state,
        "hottest_winding_K": number(one.warming.hottest),
        "to_limit_s": number(one.warming.to_limit),
        "to_cool_s": number(one.warming.to_cool),
        "looked_s": number(leaves(LOOKED, "search", "how long a motor is looked at")),
        "stops_when_warm": leaves(_share(one.stops), "search", "share of the draws that the load stops once warm"),
    }


def _paces(chain: Chain, slowest: Lanes, fastest: Lanes) -> Record:
    """Return the paces that the limits are held against: see ``Corners``."""
    pace = tool_of(chain.work).pace
    return {
        "name": chain.name,
        "pace": pace.field(),
        pace.field("slowest"): number(slowest),
        pace.field("fastest"): number(fastest),
    }


def _starting(one: Starting) -> Record:
    """Return how a chain starts and stalls."""
    return {
        "name": one.chain,
        "time_s": number(one.full.time),
        "motor_current_A": number(one.full.motor_current),
        "battery_current_A": number(one.full.battery_current),
        "lowest_voltage_V": number(one.full.bus_voltage),
        "energy_J": number(one.full.energy),
        "cold_lowest_voltage_V": number(one.empty.bus_voltage),
        "stall_current_A": number(one.stall_current),
        "stall_time_s": number(one.stall_time),
    }


def _first_cure(judged: Judged) -> str:
    """Return what to do in the first draw that raises a finding."""
    lane = np.unravel_index(int(np.argmax(judged.failing)), judged.failing.shape)
    return judged.at(tuple(int(place) for place in lane)).action


def _share_failing(judged: Judged) -> float:
    return _share(judged.failing)


def _share_stopped(judged: Sequence[Judged]) -> float:
    return _share(np.any([j.failing for j in judged if j.rule.level == "stop"], axis=0))


def _share(failing: npt.NDArray[np.bool_]) -> float:
    """Return the share of the draws, or of the typical lane where there is no other."""
    lanes = failing.reshape(-1)
    return float(np.mean(lanes[1:])) if lanes.size > 1 else float(lanes[0])
