"""Limits of blades, brakes and packs when full, as rules print them, against defaults, findings and laws.

Rows with basis "computed" (tip_21in_3600, stop_energy, the volts of packs) are a second route to the number, not
evidence. What is printed here is information, not legal advice: the local rule comes first.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from headrace import design
from headrace.design.corners import NO_LOAD, bare_speeds, points_at
from headrace.drive.train import Warmth
from headrace.findings import Evidence, judge
from headrace.machine import edit, read_text
from headrace.machine.links import Motor
from headrace.machine.records import Machine
from headrace.pack import arrangement, transport
from headrace.pack import source as pack
from headrace.physics import loads, stopping
from headrace.tables import load
from tests.machines import SMALL_TEXT, small, with_link, with_pack
from tests.published.rows import FOOT, INCH, RPM, Calculation, Row, cases, every_row_has_its_calculation, holds

FOOT_PER_MINUTE = FOOT / 60.0
TIP_LIMIT = next(float(line["typical"]) for line in load("defaults") if line["key"] == "limits.tip_speed_max")
SERIES = (7.0, 10.0, 13.0, 14.0, 16.0, 20.0)


@cache
def evidence() -> Evidence:
    return design.evidence(small())


def tip(row: Row) -> Any:
    given = row["inputs"]
    return loads.tip_speed(given["rpm"] * RPM, 0.5 * given["d_in"] * INCH) / FOOT_PER_MINUTE


def at_the_limit(row: Row) -> list[Any]:
    """The speed at which a blade of each size reaches the limit that a machine file gets."""
    return [loads.speed_of_tip(TIP_LIMIT, 0.5 * inches * INCH) / RPM for inches in row["inputs"]["d_in"]]


def missing_control_stops_the_plan(_row: Row) -> bool:
    """A mower without a control that has to be held is stopped, one with it is not."""
    found, safety = evidence(), small().safety

    def stops(held: bool) -> bool:
        plan = replace(small(), safety=replace(safety, dead_man=held))
        judged = judge(replace(found, machine=plan))
        return any(j.rule.slug == "dead-man-missing" and j.rule.level == "stop" and bool(j.failing) for j in judged)

    return stops(False) and not stops(True)


def fastest_is_after_a_full_charge(_row: Row) -> bool:
    """The speed held against the limit is that of a full pack, and the last twentieth of its charge counts."""
    plan = with_link(small(), Motor, magnet_slope=0.0)  # so that only the charge is left to tell
    hot = plan.limits.ambient_hot
    warm = [Warmth(hot, hot, hot)]
    offered = [pack.at(plan.source, pack.fresh(hot, charge)) for charge in (1.0, 0.95)]
    full, nearly = (float(points_at(plan, NO_LOAD, source, warm)[0].tool_speed) for source in offered)
    judged = float(np.asarray(bare_speeds(plan, evidence().days)[0]))
    return nearly < full and math.isclose(judged, full, rel_tol=1e-9)


def stop_energy(row: Row) -> list[Any]:
    """Joules, and the steady torque of which the law of coasting takes just the time allowed."""
    given = row["inputs"]
    speed = given["rpm"] * RPM
    torque = stopping.coast_time(given["J"], speed, 1.0, 0.0, 0.0) / given["t"]
    assert stopping.coast_time(given["J"], speed, torque, 0.0, 0.0) == pytest.approx(given["t"])
    return [loads.spin_energy(given["J"], speed), torque]


@cache
def packs(cell: str) -> tuple[Machine, Evidence]:
    plan = with_pack(read_text(edit(SMALL_TEXT, {"source.cell": cell})).machine, np.array(SERIES), 2.0)
    return plan, design.evidence(plan)


def pack_volts(cell: str) -> Calculation:
    """Volts when full as the findings see them, and nominal as the watt-hours of the label have them."""

    def volts(row: Row) -> list[Any]:
        plan, found = packs(cell)
        place = SERIES.index(row["inputs"]["ns"])
        nominal = arrangement.energy(plan.source) / (plan.source.parallel * plan.source.cell.capacity)
        return [np.asarray(found.full_voltage)[place], np.asarray(nominal)[place]]

    return volts


def guarded_from(_row: Row) -> float:
    """The limit that the finding about live parts holds the full pack against."""
    return next(float(j.verdict.limit) for j in judge(packs("energy-21700")[1]) if j.rule.slug == "live-parts-to-guard")


def fifty_to_sixty_volts_are_guarded(_row: Row) -> bool:
    """A pack of 54.6 V is told to be guarded, one of 42 V is not."""
    judged = next(j for j in judge(packs("energy-21700")[1]) if j.rule.slug == "live-parts-to-guard")
    thirteen, ten = (bool(judged.failing[SERIES.index(series)]) for series in (13.0, 10.0))
    return thirteen and not ten


def touched(*names: str) -> Calculation:
    """The limits on volts of direct current that a full pack is held against in the record of its facts."""

    def found(_row: Row) -> list[Any]:
        held = {one.name: one for one in transport.touch(packs("energy-21700")[1].full_voltage)}
        return [held[name].limit for name in names]

    return found


CALCULATIONS: dict[str, Calculation] = {
    "osha_50V": guarded_from,
    "osha_60V": fifty_to_sixty_volts_are_guarded,
    "pelv_60": touched("pelv-dry"),
    "iec61201": touched("under-water", "wet-skin", "dry-skin"),
    "iec61140_elv": touched("elv"),
    "iec60598": touched("lamp-dry", "lamp-wet"),
    "outdoor_30": touched("outdoor"),
    "b711_tip": lambda row: TIP_LIMIT / FOOT_PER_MINUTE,
    "b711_tip_si": lambda row: TIP_LIMIT,
    "tip_21in_3100": tip,
    "tip_rpm_table": at_the_limit,
    "tip_21in_3600": tip,
    "cpsc_stop": lambda row: evidence().stop.limit,
    "cpsc_deadman": missing_control_stops_the_plan,
    "cpsc_batt_speed": fastest_is_after_a_full_charge,
    "stop_energy": stop_energy,
    **{f"pack_v_{ns}s_nmc": pack_volts("energy-21700") for ns in (7, 10, 13, 14, 20)},
    "pack_v_16s_lfp": pack_volts("lfp-26650"),
}


@pytest.mark.parametrize("row", cases("safety"))
def test_safety_gives_the_published_value(row: Row) -> None:
    holds(row, CALCULATIONS[row["id"]](row))


def test_every_safety_row_is_used() -> None:
    every_row_has_its_calculation("safety", CALCULATIONS)


@pytest.mark.parametrize(
    ("name", "series"),
    [
        ("guarded", {7, 10}),  # 42 V and less
        ("pelv-dry", {7, 10, 13, 14}),  # 58.8 V and less
        ("wet-skin", {7}),  # 29.4 V
        ("dry-skin", {7, 10, 13, 14, 16}),  # 67.2 V and less
        ("elv", {7, 10, 13, 14, 16, 20}),
        ("under-water", set()),
    ],
)
def test_a_full_pack_is_held_against_each_limit_by_itself(name: str, series: set[int]) -> None:
    """Seven to twenty cells of 4.2 V in series: which of them stand within which printed limit."""
    within = set()
    for count in SERIES:
        (held,) = [one for one in transport.touch(4.2 * count) if one.name == name]
        if held.met:
            within.add(int(count))
    assert within == series


def test_fifty_volts_themselves_are_guarded_and_sixty_are_still_within() -> None:
    """The one rule begins at its number, the others end at theirs."""
    at = {volts: {one.name: one.met for one in transport.touch(volts)} for volts in (50.0, 60.0)}
    assert not at[50.0]["guarded"]
    assert at[60.0]["pelv-dry"]
