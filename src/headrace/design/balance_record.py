"""The record of the balance, as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Balanced, Poise
from headrace.machine.records import Machine

Record = dict[str, Any]


def balance_record(machine: Machine, found: Balanced | None) -> Record | None:
    """Return how a machine stands on its axles before and after; None where the file does not say what it weighs."""
    plan = machine.balance
    if found is None or plan is None:
        return None
    return {
        "wheelbase_m": number(plan.wheelbase),
        "handle_m": number(plan.handle),
        "driven": plan.driven or None,
        "steepest_rad": number(found.steepest),
        "before": _poise(found.before),
        "after": _poise(found.after),
        "ballast": {
            "front_share": number(found.wanted),
            "position_m": number(found.ballast_position),
            "mass_kg": number(found.ballast),
        },
    }


def _poise(poise: Poise) -> Record:
    return {
        "mass_kg": number(poise.mass),
        "centre_m": number(poise.centre),
        "height_m": number(poise.height),
        "front_N": number(poise.front),
        "rear_N": number(poise.rear),
        "front_share": number(poise.front_share),
        "rear_share": number(poise.rear_share),
        "push_N": number(poise.push),
        "climb_N": number(poise.climb),
        "lift_front_N": number(poise.lift_front),
        "lift_rear_N": number(poise.lift_rear),
        "tips_backward_rad": number(poise.tips_backward),
        "tips_forward_rad": number(poise.tips_forward),
        "pull_N": number(poise.pull),
        "climb_pull_N": number(poise.climb_pull),
    }
