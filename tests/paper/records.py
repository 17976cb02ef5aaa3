"""A small invented record in the form of ``results.json``: two duty states, four by three packs, nothing to scale.

Invented numbers, to hold the drawings against; ``tests/paper/test_report.py`` opens a report of a real record as well.
"""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree as ET

from headrace.paper.words import SHAPES

Record = dict[str, Any]

LOSSES = (("air round the blade", 120.0, "assumed"), ("motor: copper", 30.0, "datasheet"), ("fuse", 0.02, "measured"))


def parsed(drawing: str) -> ET.Element:
    """Return a drawing of our own as a tree."""
    return ET.fromstring(drawing)  # noqa: S314 - drawn a line ago


def band(value: float, draws: bool, low: float = 0.8, high: float = 1.25) -> Any:
    """Return a number with a band where there are draws."""
    return {"typical": value, "low": low * value, "high": high * value} if draws else value


def state(name: str, useful: float, draws: bool, *, scale: float = 1.0) -> Record:
    """Return one duty state; each loss joins what the links before it handed on."""
    links, power = [], useful
    for link, loss, basis in LOSSES:
        links.append(
            {
                "name": link,
                "kind": "",
                "power_in_W": band(power + scale * loss, draws),
                "power_out_W": band(power, draws),
                "loss_W": band(scale * loss, draws),
                "basis": basis,
                "saves_removed_W": 1.1 * scale * loss,
                "saves_halved_W": 0.6 * scale * loss,
                "how": "half of it",
            }
        )
        power += scale * loss
    return {
        "name": name,
        "share": 0.5,
        "outcome": "full-voltage",
        "reason": "runs at all the voltage there is",
        "tool_speed_rad_s": band(300.0, draws),
        "pace": "tip_speed_m_s",
        "tip_speed_m_s": band(63.0, draws),
        "slow_crossing_rad_s": band(20.0, draws),
        "useful_W": band(useful, draws),
        "source": "cells",
        "source_W": band(power, draws),
        "links": links,
    }


def stalled(name: str) -> Record:
    """Return a duty state in which nothing turns."""
    return {**state(name, 0.0, False), "links": [], "tool_speed_rad_s": 0.0, "reason": "the motor cannot turn"}


def packs(draws: bool, series: tuple[int, ...] = (9, 10, 11, 12), parallel: tuple[int, ...] = (4, 5, 6, 7)) -> Record:
    """Return a map of packs in which 10s6p works and every limit stops one of the others."""
    limits = [*SHAPES, "a-limit-to-come"]
    candidates: list[Record] = []
    for s in series:
        for p in parallel:
            slug = limits[len(candidates) % len(limits)]
            works = (s, p) == (10, 6)
            reasons = [{"slug": slug, "says": f"{s}s{p}p breaks {slug}.", "value": 1.0, "limit": 0.5, "unit": "-"}]
            often = 0.75 if works else 0.125 if s == 10 else 0.0
            candidates.append(
                {"series": s, "parallel": p, "works": works, "often": often, "reasons": [] if works else reasons}
            )
    return {
        "draws": {"count": 8 if draws else 0, "seed": 1 if draws else None},
        "planned": {"series": 10, "parallel": 5},
        "candidates": candidates,
        "smallest": {"series": 10, "parallel": 6, "cells": 60},
        "nearest": None,
        "steps_down": [{"series": 9, "parallel": 6, "breaks_first": {"says": "Too slow."}}],
        "lessons": [{"series": 10, "parallel": 1, "says": "10s1p: the volts are right; the amps are not."}],
    }


def trace(steps: int = 400) -> Record:
    """Return a day in which speed and volts fall; grass and turning by turns."""
    times = [10.0 * step for step in range(steps)]

    def channel(start: float, fall: float) -> Record:
        values = [start - fall * step / steps for step in range(steps)]
        return {"typical": values, "low": [0.9 * v for v in values], "high": [1.1 * v for v in values]}

    return {
        "time_s": times,
        "state": [("grass", "turning")[step // 3 % 2] for step in range(steps)],
        "limits": [
            {"channel": "terminal_voltage_V", "address": "chains.left.esc.cut_out", "value": 25.0},
            {"channel": "tip_speed_m_s", "address": "limits.tip_speed_min", "value": 55.0},
        ],
        "running": [1.0 if step < steps // 2 else 0.5 for step in range(steps)],
        "charge": channel(1.0, 0.95),
        "terminal_voltage_V": channel(41.0, 10.0),
        "tip_speed_m_s": channel(80.0, 25.0),
        "winding_temperature_K": channel(293.0, -70.0),
    }


def working() -> Record:
    """Return the working of a product of two numbers of the file."""
    leaf: Record = {
        "law": None,
        "formula": None,
        "low": 90.0,
        "high": 110.0,
        "source": "the machine file",
        "inputs": [],
    }
    return {
        "name": "energy", "address": "pack.energy_J", "law": "energy_of", "formula": r"E = \frac{Q_0 U}{2} <1>",
        "value": 3888000.0, "unit": "J", "basis": None, "source": None, "low": None, "high": None, "line": None,
        "inputs": [{**leaf, "name": "charge", "address": "source.cell.capacity", "value": 100.0, "unit": "C",
                    "basis": "datasheet", "line": 41}],
    }  # fmt: skip


def _warming(name: str, hottest: Any, to_limit: float | None, to_cool: float) -> Record:
    times = {"to_limit_s": to_limit, "to_cool_s": to_cool}
    return {"name": name, "hottest_winding_K": hottest, **times, "stops_when_warm": 0.0}


def record(*, draws: bool = True, workings: bool = True, carries: bool = True) -> Record:
    """Return the record of ``design``."""
    found: Record = {
        "machine": "Test <mower>",
        "file": "mower.toml",
        "draws": {"count": 8 if draws else 0, "seed": 1 if draws else None},
        "pack": _pack(draws),
        "losses": {"charge": 0.66, "states": [state("grass & moss", 400.0, draws), state("turning", 0.0, draws)]},
        "day": _day(draws),
        "trace": trace(),
        "source": "cells",
        "asked": ["Is the blade of steel?"],
        "findings": [_finding("blade-coasts", "stop"), _finding("assumed-numbers-carry", "note")],
        "stopped": 0.75 if draws else 1.0,
        "sometimes": [{"slug": "winding-too-hot", "level": "stop", "share": 0.125, "action": "Rest it."}]
        if draws
        else [],
        "in_order": ["over-budget", "too-heavy"],
        "not_held": ["wheels-spin"],
        "paces": [
            {
                "name": "left",
                "pace": "tip_speed_m_s",
                "tip_speed_slowest_m_s": band(57.0, draws),
                "tip_speed_fastest_m_s": band(84.0, draws),
            }
        ],
        "starts": [
            {
                "name": "left",
                "time_s": 0.8,
                "motor_current_A": 60.0,
                "battery_current_A": band(45.0, draws),
                "lowest_voltage_V": 38.0,
                "energy_J": 1300.0,
                "cold_lowest_voltage_V": 26.0,
                "stall_current_A": 60.0,
                "stall_time_s": 41.0,
            }
        ],
        "gearing": [_gearing()],
        "windings": [_windings()],
        "bogging": [{"name": "left", "states": [_bogging("grass", draws), _bogging("turning", draws, stops=True)]}],
        "stops": [
            {
                "name": "left",
                "tool": "blade",
                "cuts": True,
                "case": "at worst",
                "timed": {
                    "case": "typical",
                    "tool_speed_rad_s": 300.0,
                    "current_A": 8.0,
                    "coast_time_s": 6.0,
                    "braked_time_s": 1.5,
                    "brake": "planned",
                    "reason": None,
                    "braked_reason": None,
                },
                "tool_speed_rad_s": 340.0,
                "coast_time_s": band(9.0, draws),
                "limit_s": 3.0,
                "spin_energy_J": 600.0,
                "by_controller": False,
                "planned": None,
                "proposed": {
                    "resistance_ohm": 0.68,
                    "time_s": 2.2,
                    "peak_current_A": 50.0,
                    "brush_drop_V": 1.0,
                    "resistor_J": 450.0,
                    "winding_J": 70.0,
                    "brushes_J": 20.0,
                    "drag_J": 60.0,
                },
                "why": "proposed",
                "reason": "a brake on release stops it in time",
                "short_current_A": 400.0,
                "most_current_A": 110.0,
                "short": "rejected",
            }
        ],
        "slopes": [],
        "warming": [
            {
                "name": "left",
                "states": [
                    {
                        "name": "thin",
                        "hottest_winding_K": band(361.0, draws),
                        "to_limit_s": None,
                        "to_cool_s": 700.0,
                        "stops_when_warm": 0.0,
                    },
                    {
                        "name": "thick",
                        "hottest_winding_K": 428.0,
                        "to_limit_s": 1500.0,
                        "to_cool_s": 2400.0,
                        "stops_when_warm": 0.0,
                    },
                ],
            }
        ],
        "cautions": ["Blades cut.", "Local codes come first."],
        "swings": [_swing("chains.blade.work.windage", "assumed", 300.0), _swing("job.width", "given", 60.0)],
        "numbers": [
            _number("limits.tip_speed_min", 55.0, "m/s"),
            _number("chains.blade.controller.cut_out", 25.0, "V"),
        ],
        "packs": packs(draws),
    }
    if workings:
        found["workings"] = {"pack.energy_J": working()}
    if carries:
        ranked = [
            {"address": "chains.blade.work.windage", "basis": "assumed", "first": 0.5, "total": 0.61, "gap": 0.1},
            {"address": "source.cell.capacity", "basis": "measured", "first": 0.1, "total": 0.13, "gap": 0.03},
        ]
        found["carries"] = {"run_time": ranked, "tip_speed": ranked, "pack_size": ranked}
    return found


def _pack(draws: bool) -> Record:
    table = {"points": 26.0, "largest_gap": 0.05, "source": "a table"}
    return {
        "source": "cells", "cell": "energy-21700", "chemistry": "NMC",
        "rest_voltage_table": table, "series": 10.0, "parallel": 5.0,
        "cells": 50.0, "mass_kg": band(4.4, draws), "energy_J": band(3888000.0, draws), "full_voltage_V": 42.0,
    }  # fmt: skip


def _day(draws: bool) -> Record:
    state = {"name": "grass", "lowest_charge": 0.05, "works_when_full": True, "fails_with": "cut-out"}
    return {
        "duration_s": 3000.0, "wanted_s": 3000.0, "reason": "the job is done", "lasts_s": 3990.0,
        "lasts_to_reserve_s": band(3600.0, draws), "lasts_reason": "the controller cuts out", "energy_J": 2.5e6,
        "charge_left": 0.3, "area_m2": 800.0, "area_well_done_m2": 790.0, "lowest_cell_voltage_V": 3.3,
        "highest_cell_temperature_K": 303.0, "highest_winding_temperature_K": 360.0, "tip_speed_full_m_s": 78.0,
        "pace": "tip_speed_m_s", "amount": "area_m2", "tip_speed_empty_m_s": 50.0,
        "tool_speed_full_rad_s": band(370.0, draws),
        "tool_speed_empty_rad_s": band(240.0, draws), "rms_cell_current_A": 3.3, "peak_cell_current_A": 4.9,
        "power_left": {"full_W": 4200.0, "half_W": 3100.0, "reserve_W": band(1700.0, draws), "worst_W": 640.0},
        "states": [{**state, "fails_because": "the cut-out opens"}],
    }  # fmt: skip


def _gearing() -> Record:
    at: Record = {
        "ratio": 1.4, "full_rad_s": 340.0, "full_bare_rad_s": 370.0, "empty_rad_s": 250.0, "empty_bare_rad_s": 270.0,
        "torque_N_m": 1.7, "held_fast_N_m": 12.0, "too_fast": False, "too_slow": False,
    }  # fmt: skip
    pair = {**at, "ratio": 1.364, "too_fast": True, "name": "nearest", "wheels": "132 to 180 mm", "driver_m": 0.132}
    noted = {"driven_m": 0.18, "note": "below 71 mm the belt is bent hard", "note_source": "practice"}
    return {
        "name": "left", "stage": "belt", "kind": "v-belt", "state": "grass", "pace": "tip_speed_m_s",
        "tip_speed_m_s": 60.0, "tool_speed_rad_s": 300.0, "ratio": 1.38, "least_ratio": 1.38, "held_back": True,
        "now": at, "pairs": [{**pair, **noted}], "why": "",
    }  # fmt: skip


def _windings() -> Record:
    return {
        "name": "left", "constant_V_s_rad": 0.0868, "fastest_V_s_rad": 0.0855, "slowest_V_s_rad": 0.096, "inside": True,
        "pace": "tip_speed_m_s", "tip_speed_at_top_m_s": 50.8, "why": "",
    }  # fmt: skip


def _bogging(name: str, draws: bool, *, stops: bool = False) -> Record:
    hold: Record = {
        "tool_speed_rad_s": band(340.0, draws), "load_N_m": band(1.7, draws), "pull_out_N_m": 8.8,
        "in_reserve": band(5.3, draws), "lost_rad_s_N_m": 6.9, "drop": 0.0034, "beyond": "no-crossing",
        "beyond_reason": "", "outcomes": {"no-crossing": 1.0},
    }  # fmt: skip
    gone = {**dict.fromkeys(hold), "beyond": "off", "beyond_reason": "stands still", "outcomes": {"off": 1.0}}
    now = {"fed": "feed_m_s", "feed_now_m_s": 0.03}
    fed = {"feed_greatest_m_s": band(0.06, draws), "motor_current_A": 41.0, "battery_current_A": 40.0, "why": ""}
    none = {**dict.fromkeys(fed), "why": "no feed keeps it fast enough when nearly empty"}
    return {"name": name, "full": hold, "empty": gone if stops else hold, "feed": now | (none if stops else fed)}


def _finding(slug: str, level: str) -> Record:
    says = "The blade coasts for 11 s after release; the limit is 3.0 s."
    words = {"says": says, "action": "Brake it.", "source": "a rule"}
    return {"slug": slug, "level": level, **words, "share": 0.875, "parts": []}


def _swing(address: str, basis: str, width: float) -> Record:
    return {
        "address": address, "basis": basis, "source_low_W": 500.0, "source_high_W": 500.0 + width, "width_W": width,
    }  # fmt: skip


def _number(address: str, value: float, unit: str) -> Record:
    return {
        "address": address, "value": value, "low": value, "high": value, "unit": unit, "basis": "given",
        "source": "the machine file",
    }  # fmt: skip
