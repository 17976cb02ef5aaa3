"""How a machine stands on its axles, in a few sentences."""

from __future__ import annotations

import math
from typing import Any

from headrace.paper.words import percent, plain

Record = dict[str, Any]

KILOGRAM = 9.80665  # N, what a scale shows as one
LITTLE = 0.05  # kg, of ballast, that is none


def balance(record: Record) -> list[str]:
    """Return the sentences for the typical record of a balance."""
    before, after = record["before"], record["after"]
    level, uphill = (_changed(before, after, key) for key in ("push_N", "climb_N"))
    said = [
        f"It weighed {_weights(before)}; now {_weights(after)}.",
        f"To push it takes {level} on the level and {uphill} up {degrees(record['steepest_rad'])}.",
    ]
    if after["pull_N"] is not None:
        pulls = f"{_changed(before, after, 'pull_N')} on the level"
        if after["climb_pull_N"] is not None:
            pulls += f", {_changed(before, after, 'climb_pull_N')} nose up that slope"
        said.append(f"Its driven wheels can pull with {pulls}.")
    if after["lift_front_N"] is not None and after["lift_rear_N"] is not None:
        said.append(f"At the handle it takes {_lift(before, after, 'front')}, and {_lift(before, after, 'rear')}.")
    if after["tips_backward_rad"] is not None:
        backward, forward = (degrees(after[f"tips_{way}_rad"]) for way in ("backward", "forward"))
        said.append(f"At rest it tips over backward at {backward} nose uphill, forward at {forward} nose downhill.")
    else:
        said.append("How steep a slope tips it is not told: the file gives no height.")
    return [*said, _ballast(record["ballast"])]


def degrees(angle: float | None) -> str:
    """Return an angle in degrees."""
    return "–" if angle is None else f"{math.degrees(angle):.0f}°"


def _weights(poise: Record) -> str:
    """Return what a scale shows of the machine and under each axle."""
    front, rear = (plain(poise[f"{axle}_N"] / KILOGRAM, "kg") for axle in ("front", "rear"))
    share = percent(poise["front_share"])
    return f"{plain(poise['mass_kg'], 'kg')}, {front} on the front wheels ({share}) and {rear} on the rear"


def _changed(before: Record, after: Record, key: str) -> str:
    return f"{plain(after[key], 'N', 0)} ({plain(before[key], 'N', 0)} before)"


def _lift(before: Record, after: Record, axle: str) -> str:
    force, was = (poise[f"lift_{axle}_N"] for poise in (after, before))
    way = "up" if force >= 0.0 else "down"
    return f"{plain(abs(force), 'N', 0)} {way} ({plain(abs(was), 'N', 0)} before) to lift the {axle} wheels"


def _ballast(ballast: Record) -> str:
    share, place = percent(ballast["front_share"]), place_of(ballast["position_m"])
    if ballast["mass_kg"] is None:
        return f"No ballast {place} brings {share} of the weight onto the front wheels."
    if ballast["mass_kg"] < LITTLE:
        return f"It needs no ballast to keep {share} of the weight on the front wheels."
    return f"{plain(ballast['mass_kg'], 'kg')} of ballast {place} bring {share} of the weight onto the front wheels."


def place_of(position: float | None) -> str:
    """Return where a position is, told from the front axle."""
    if position is None:
        return "anywhere"
    if position == 0.0:
        return "over the front axle"
    return f"{100.0 * abs(position):.0f} cm {'behind' if position > 0.0 else 'in front of'} the front axle"
