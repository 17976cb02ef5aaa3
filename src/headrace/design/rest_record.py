"""The part of the record that is about rest: how each chain stops, and what holds it on its slopes."""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.design.bands import number
from headrace.drive.alone import runs_free
from headrace.drive.descent import Descent
from headrace.drive.stopping import Brake
from headrace.drive.tools import tool_of
from headrace.findings import Evidence, Slope, Stopping, Timed
from headrace.machine.records import Chain, Machine
from headrace.machine.values import first_number
from headrace.physics.working import leaves

Record = dict[str, Any]
AT_WORST = "at worst: full volts without load, motor hot, the least friction of the bands"
AS_TIMED = "typical: let go without load at full volts, motor cold"
NO_BRAKE = "the file plans no brake for it, and none is drawn"
ONLY_FED = "the file's brake does not work with the pack unplugged, and is not counted"
BLADES = "16 CFR 1205.5(a)(1)(iii), for walk-behind power mowers"


def rest_record(machine: Machine, evidence: Evidence) -> Record:
    """Return how every chain stops, and every slope it works on."""
    chains = {chain.name: chain for chain in machine.chains}
    return {
        "stops": [_stop(*pair) for pair in zip(machine.chains, evidence.stops, strict=True)],
        "slopes": [_slope(machine, chains[one.chain], one) for one in evidence.slopes],
    }


def _stop(chain: Chain, one: Stopping) -> Record:
    short, most = one.short_current, one.most_current
    return {
        "name": one.chain,
        "tool": one.tool,
        "cuts": one.cuts,
        "case": AT_WORST if runs_free(chain) is not None else f"{AT_WORST}, run dry, which it must not",
        "tool_speed_rad_s": number(one.tool_speed),
        "coast_time_s": number(one.coast_time),
        "limit_s": number(leaves(one.limit, "table", BLADES)),
        "spin_energy_J": number(one.spin_energy),
        "by_controller": one.by_controller,
        "planned": one.planned and _brake(one.planned),
        "proposed": one.proposed and _brake(one.proposed),
        "why": one.why,
        "reason": one.reason,
        "short_current_A": number(short),
        "most_current_A": number(most),
        "short": _shorting(first_number(short), first_number(most)),
        "timed": {**_timed(one.timed, ONLY_FED if one.only_fed else NO_BRAKE), "brake": _brake_timed(one)},
    }


def _timed(one: Timed, unbraked: str) -> Record:
    """Return the stop that a watch shows; ``unbraked`` says why there is none with a brake."""
    braked = number(one.braked_time)
    return {
        "case": f"{AS_TIMED}, {one.care}" if one.care else AS_TIMED,
        "tool_speed_rad_s": number(one.tool_speed),
        "current_A": number(one.current),
        "coast_time_s": number(one.coast_time),
        "braked_time_s": braked,
        "reason": one.reason or None,
        "braked_reason": (one.reason or unbraked) if braked is None else None,
    }


def _brake_timed(one: Stopping) -> str | None:
    """Return whose brake the watch is held to: the file's, or the one proposed; None without a brake."""
    if not np.isfinite(first_number(one.timed.braked_time)):
        return None
    return "proposed" if one.planned is None and one.drawn else "planned"


def _shorting(short: float, most: float) -> str | None:
    """Return what is said of shorting a motor outright; nothing of one without magnets."""
    if not np.isfinite(short):
        return None
    if not np.isfinite(most):
        return "unknown"
    return "rejected" if short > most else "not-rejected"


def _brake(brake: Brake) -> Record:
    return {
        "resistance_ohm": number(brake.resistance),
        "time_s": number(brake.time),
        "peak_current_A": number(brake.peak_current),
        "brush_drop_V": number(brake.brush_drop),
        "resistor_J": number(brake.heat),
        "winding_J": number(brake.winding_heat),
        "brushes_J": number(brake.brush_heat),
        "drag_J": number(brake.drag_heat),
    }


def _slope(machine: Machine, chain: Chain, one: Slope) -> Record:
    standing, pace = one.standing, tool_of(chain.work).pace
    return {
        "name": f"{one.chain} in {one.state}",
        "chain": one.chain,
        "tool": one.tool,
        "state": one.state,
        "goes": "down" if one.down else "up",
        "pace": pace.field(),
        "hold_tool_N_m": number(standing.weight_torque),
        "hold_motor_N_m": number(standing.motor_torque),
        "passed_back": number(standing.passed_back),
        "friction_N_m": number(standing.friction),
        "holds_by_itself": bool(np.asarray(standing.holds).flat[0]),
        "friction_brake": machine.safety.friction_brake,
        "regenerates": one.regenerates,
        "descent": one.descent and _descent(machine, chain, one, one.descent),
        "runaway": one.runaway and {pace.field(): number(one.runaway.pace), "voltage_V": number(one.runaway.voltage)},
    }


def _descent(machine: Machine, chain: Chain, one: Slope, found: Descent) -> Record:
    pace = tool_of(chain.work).pace
    source = machine.source
    told: Record = {
        "motor_speed_rad_s": number(found.motor_speed),
        pace.field(): number(found.pace),
        "drives": first_number(found.driving) > 0.0,
        "driving_N_m": number(found.driving),
        "load_W": number(found.load_power),
        "motor_current_A": number(found.motor_current),
        "within_limit": bool(np.asarray(found.within_limit).flat[0]),
        "given_back_W": number(found.given_back),
        "current_A": number(found.current),
        "cell_current_A": number(found.into_pack / source.parallel),
        "bus_voltage_V": number(found.bus_voltage),
        "cell_voltage_V": number(found.inside_voltage / source.series),
        "headroom_A_s": number(one.headroom),
    }
    if told["drives"]:
        return told
    kept = ("drives", "driving_N_m", "load_W")  # a motor that has to push holds nothing and gives nothing back
    return {key: value if key in kept else None for key, value in told.items()}
