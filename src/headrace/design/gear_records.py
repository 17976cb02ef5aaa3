"""Gears, windings and what is left before a tool bogs down, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from headrace.design.bands import number, shares, typical
from headrace.design.gearing import Geared, Gearing
from headrace.design.windings import Windings
from headrace.drive.bogging import WHY_UNFED, Bog, Fed, Hold
from headrace.drive.gearing import Pair
from headrace.drive.point import REASONS, Outcome
from headrace.drive.tools import paces_wanted, tool_of
from headrace.findings.finding import above, below
from headrace.machine.records import Chain, Limits, Machine

Record = dict[str, Any]

NEAREST = ("nearest", "second", "third")  # what the pairs of wheels go by


def gearing_record(limits: Limits, found: Gearing) -> Record:
    """Return how a chain of the typical machine is geared and might be, under limits of one lane."""
    chain = found.chain
    pace = tool_of(chain.work).pace
    return {
        "name": chain.name,
        "stage": found.stage.name if found.stage is not None else "",
        "kind": found.stage.kind if found.stage is not None else "direct",
        "state": found.state.name if found.state is not None else "",
        "pace": pace.field(),
        pace.field(): number(found.pace),
        "tool_speed_rad_s": number(found.wanted),
        "ratio": number(found.ratio),
        "least_ratio": number(found.least),
        "held_back": typical(found.ratio) is not None and typical(found.ratio) == typical(found.least),
        "now": None if found.now is None else _geared(limits, chain, found.now),
        "pairs": [
            {"name": name, **_pair(pair), **_geared(limits, chain, at)}
            for name, (pair, at) in zip(NEAREST, found.pairs, strict=False)
        ],
        "why": found.why,
    }


def _pair(pair: Pair) -> Record:
    unit = "" if pair.by == "teeth" else "_m"
    wheels = {f"driver{unit}": number(pair.driver), f"driven{unit}": number(pair.driven)}
    return {"wheels": pair.said, **wheels, "note": pair.note, "note_source": pair.source}


def _geared(limits: Limits, chain: Chain, at: Geared) -> Record:
    return {
        "ratio": number(at.ratio),
        "full_rad_s": number(at.full),
        "full_bare_rad_s": number(at.full_bare),
        "empty_rad_s": number(at.empty),
        "empty_bare_rad_s": number(at.empty_bare),
        "torque_N_m": number(at.torque),
        "held_fast_N_m": number(at.held_fast),
        **_kept(limits, chain, at),
    }


def _kept(limits: Limits, chain: Chain, at: Geared) -> Record:
    """Return whether the limits on the pace are kept at the ends of the charge; None where there is no limit."""
    tool = tool_of(chain.work)
    least, most = paces_wanted(limits, chain.work)
    fastest, slowest = (tool.pace_at(chain.work, speed) for speed in (at.full_bare, at.empty))
    stopped = typical(slowest) is None
    return {
        "too_fast": bool(above(fastest, most)) if np.isfinite(most) else None,
        "too_slow": stopped or bool(below(slowest, least)) if least > 0.0 else None,
    }


def windings_record(found: Windings) -> Record:
    """Return the window of windings of a chain."""
    pace = tool_of(found.chain.work).pace
    fastest, slowest = typical(found.fastest), typical(found.slowest)
    return {
        "name": found.chain.name,
        "constant_V_s_rad": number(found.constant),
        "fastest_V_s_rad": number(found.fastest),
        "slowest_V_s_rad": number(found.slowest),
        "inside": None if fastest is None or slowest is None else fastest <= float(found.constant) <= slowest,
        "pace": pace.field(),
        pace.field("at_top"): number(found.at_top),
        "why": found.why,
    }


def bogging_record(machine: Machine, bogs: Sequence[Sequence[Bog]]) -> list[Record]:
    """Return what is left before each tool bogs down, and what it may be fed."""
    return [
        {"name": chain.name, "states": [_bog(bog) for bog in found]}
        for chain, found in zip(machine.chains, bogs, strict=True)
    ]


def _bog(bog: Bog) -> Record:
    return {
        "name": bog.state.name,
        "full": _hold(bog.full),
        "empty": _hold(bog.empty),
        "feed": _fed(bog.fed),
    }


def _hold(held: Hold) -> Record:
    outcome = Outcome(int(np.asarray(held.pull_out.outcome).flat[0]))
    return {
        "tool_speed_rad_s": number(held.speed),
        "load_N_m": number(held.load),
        "pull_out_N_m": number(held.pull_out.torque),
        "in_reserve": number(held.share),
        "lost_rad_s_N_m": number(held.per_torque),
        "drop": number(held.drop),
        "beyond": outcome.slug,
        "beyond_reason": REASONS[outcome],
        "outcomes": shares(np.asarray(held.pull_out.outcome), Outcome),
    }


def _fed(fed: Fed) -> Record:
    if fed.feed is None:
        return {"fed": "", "why": WHY_UNFED[fed.why]}
    return {
        "fed": fed.feed.field(),
        fed.feed.field("now"): number(fed.now),
        fed.feed.field("greatest"): number(fed.greatest),
        "motor_current_A": number(fed.motor_current),
        "battery_current_A": number(fed.battery_current),
        "why": WHY_UNFED.get(fed.why, ""),
    }
