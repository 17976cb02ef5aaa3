"""How sure an answer is, as short tables: each headline with its band, and how often each outcome came up."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from headrace.drive.point import REASONS as POINTS
from headrace.paper.balance import degrees
from headrace.paper.charging import hours
from headrace.paper.measures import PACES, amounts, pace, paces
from headrace.paper.seasons import WHEN
from headrace.paper.starting import seconds
from headrace.paper.sureness import stopped, surest
from headrace.paper.words import (
    band,
    celsius,
    chains_of,
    empties,
    giver,
    middle,
    minutes,
    percent,
    plain,
    rpm,
    some,
    watt_hours,
    watts,
)
from headrace.runs.run import REASONS as ENDS
from headrace.wiring.brake_words import brake_words

REASONS = {outcome.slug: words for reasons in (POINTS, ENDS) for outcome, words in reasons.items()}

Record = dict[str, Any]
Row = tuple[str, Any, Callable[[Any], str]]
ANSWERS = {
    "run_time": "minutes to the reserve",
    "pack_size": "cells needed, by charge",
    **{said.key: f"slowest {said.name} at the reserve" for said in PACES.values()},
}
SUPPLIED = {  # of what never empties: how many cells it takes is no question
    "run_time": "minutes at work",
    **{said.key: f"slowest {said.name} under load" for said in PACES.values()},
}
FEWEST = 20  # draws below which 5 % of them is less than one
MOST = 5  # numbers named for each answer
OFTEN = 0.005  # share of the draws below which an outcome is not worth a line
OF_A_PACK = ("a full pack works", "down to the reserve", "power left at the reserve")
NEAR = 2  # counts around the planned pack whose chances are printed


def losses(record: Record) -> str:
    """Return the bands of every duty state."""
    lines = [head(record)]
    for chain in chains_of(record):
        lines += [f"  {chain['name'].upper()}"] if chain["name"] else []
        for state in chain["states"]:
            lines += _state(state)
    return "\n".join(
        [*lines, "  Low and high ends of a ledger do not add up: each draw does, and so does the typical machine."]
    )


def _state(state: Record) -> list[str]:
    said = pace(state)
    rows: list[Row] = [
        *([] if said.name == "tool" else [("tool", state["tool_speed_rad_s"], rpm)]),
        (said.name, state[said.field()], said.say),
        ("into the work", state["useful_W"], watts),
        (f"from {giver(state)}", state["source_W"], watts),
    ]
    ranked = sorted(state["links"], key=lambda link: -_middle(link["loss_W"]))
    rows += [(link["name"], link["loss_W"], watts) for link in ranked[:3]]
    return [f"  {state['name']}", *_rows(rows, indent=4), *_outcomes(state["outcomes"], indent=4)]


def packs(record: Record) -> str:
    """Return how often the packs around the planned one work."""
    planned = record["planned"]
    lines = [head(record), "  how often a pack works, in per cent of the draws"]
    series = [s for s in _counts(record, "series") if abs(s - planned["series"]) <= NEAR]
    parallel = [p for p in _counts(record, "parallel") if abs(p - planned["parallel"]) <= 2 * NEAR]
    often = {(c["series"], c["parallel"]): c["often"] for c in record["candidates"]}
    lines += [f"  {p:>3}p " + "".join(f"{100.0 * often[s, p]:>6.0f}" for s in series) for p in reversed(parallel)]
    lines.append("       " + "".join(f"{f'{s}s':>6}" for s in series))
    return "\n".join([*lines, f"  {surest(record)}"])


def day(record: Record) -> str:
    """Return the bands of a day's work."""
    full, empty, pace_said = paces(record)
    _, well_done, amount_said = amounts(record)
    inside = giver(record).removeprefix("the ")
    rows: list[Row] = [
        ("worked", record["duration_s"], minutes),
        ("a full pack works", record["lasts_s"], minutes),
        ("down to the reserve", record["lasts_to_reserve_s"], minutes),
        (f"energy from {giver(record)}", record["energy_J"], watt_hours),
        ("done fast enough", well_done, amount_said),
        ("power left at the reserve", (record["power_left"] or {}).get("reserve_W"), watts),
        (f"{pace(record).name} {'when full' if empties(record) else 'at first'}", full, pace_said),
        (f"{pace(record).name} {'when run out' if empties(record) else 'at last'}", empty, pace_said),
        ("each of them gives" if empties(record) else "amps", record["rms_cell_current_A"], partial(plain, unit="A")),
        *([(f"hottest {inside}", record["highest_cell_temperature_K"], celsius)] if empties(record) else []),
        ("hottest winding", record["highest_winding_temperature_K"], celsius),
    ]
    if not empties(record):
        rows = [row for row in rows if row[0] not in OF_A_PACK]
    lines = [head(record), *_rows(rows, indent=2)]
    lines += ["  what ended the job", *_outcomes(record["outcomes"], indent=4)]
    if not empties(record):
        return "\n".join(lines)
    return "\n".join([*lines, "  what ended a full pack", *_outcomes(record["lasts_outcomes"], indent=4)])


def check(record: Record) -> str:
    """Return how often each finding is raised."""
    raised = [*record["findings"], *record["sometimes"]]
    lines = [head(record), f"  {stopped(record)}"]
    lines += [f"  {some(found['share']):>5}  {found['level']:<8}{found['slug']}" for found in raised]
    lines += [] if raised else ["  no draw is past any limit"]
    return "\n".join([*lines, *_rest(record), *_charging(record["charging"]), *_balance(record.get("balance"))])


def _charging(record: Record | None) -> list[str]:
    """Return how sure it is how long a charge takes; nothing of a source that never empties."""
    if record is None:
        return []
    rows: list[Row] = [
        ("on the charger", record["duration_s"], hours),
        ("from the mains", record["mains_J"], watt_hours),
        *([("balancing", record["balancing_s"], hours)] if record["balancing_s"] is not None else []),
    ]
    return _rows(rows, indent=2)


def seasons(record: Record) -> list[str]:
    """Return how sure it is how the pack ages."""
    rows: list[Row] = [(f"works {WHEN[one['name']]}", one["to_reserve_s"], minutes) for one in record["ages"]]
    rows.append(("years until worn", record["life"]["years"], partial(plain, unit="years")))
    return _rows(rows, indent=2)


def _rest(record: Record) -> list[str]:
    """Return how sure it is how long what cuts turns on, and what comes back on the way down."""
    rows: list[Row] = []
    for one in record["stops"]:
        brake = one["planned"] or one["proposed"]
        if one["cuts"]:
            rows.append((f"{one['tool']} to rest, at worst", one["coast_time_s"], seconds))
        if one["cuts"] and brake is not None:
            words, ohms = brake_words(by_controller=one["by_controller"]), middle(brake["resistance_ohm"])
            rows.append((words.braked.format(f"{ohms:.2g} Ω"), brake["time_s"], seconds))
    for one in record["slopes"]:
        found = one["descent"]
        if found is not None and one["regenerates"]:
            rows.append((f"comes back in {one['state']}", found["given_back_W"], watts))
            rows.append(("lifting a full cell to", found["cell_voltage_V"], partial(plain, unit="V", digits=2)))
    return _rows(rows, indent=2) if rows else []


def _balance(record: Record | None) -> list[str]:
    """Return how sure it is how the machine stands on its axles; nothing where it was not weighed."""
    if record is None:
        return []
    after = record["after"]
    newtons = partial(plain, unit="N", digits=0)
    rows: list[Row] = [
        ("on the front wheels", after["front_share"], percent),
        ("to push, level", after["push_N"], newtons),
        (f"to push up {degrees(middle(record['steepest_rad']))}", after["climb_N"], newtons),
        ("ballast", record["ballast"]["mass_kg"], partial(plain, unit="kg")),
    ]
    if after["tips_backward_rad"] is not None:
        rows += [(f"tips {way} at", after[f"tips_{way}_rad"], degrees) for way in ("backward", "forward")]
    return _rows(rows, indent=2)


def design(record: Record) -> str:
    """Return the headlines of the whole job with their bands."""
    years = ["\n".join(seasons(record["seasons"]))] if record["seasons"] else []
    parts = [
        check(record),
        *years,
        losses(record["losses"]),
        *([packs(record["packs"])] if record["packs"] else []),
        day(record["day"]),
        carries(record),
    ]
    return "\n\n".join(parts)


def carries(record: Record) -> str:
    """Return which numbers carry each answer, by their total share of its variance."""
    if not any(record["carries"].values()):
        return "No band moves an answer: there is nothing to share out."
    lines = ["Why the bands are that wide: shares of each answer's variance, alone and with others"]
    answers = ANSWERS if empties(record["pack"]) else SUPPLIED
    for answer in (name for name in record["carries"] if name in answers):
        words = answers[answer]
        if not record["carries"][answer]:
            lines.append(f"  {words}: no band moves it")
            continue
        alone = record["carried_by"]["sum_first"][answer]
        lines.append(f"  {words}; the numbers alone make up {percent(alone)}")
        lines += [
            f"    {percent(number['first']):>6} {percent(number['total']):>6}  {number['address']} ({number['basis']})"
            for number in record["carries"][answer][:MOST]
        ]
    widest = max(number["gap"] for ranked in record["carries"].values() for number in ranked)
    lines.append(
        f"  with another seed no share differs by more than {percent(widest)}; by that much one may pass 100 %"
    )
    return "\n".join(lines)


def head(record: Record) -> str:
    """Return the line that says how many draws stand behind what follows."""
    drawn = record["draws"]
    machines = f"How sure: {drawn['count']} machines drawn from the bands of the numbers (seed {drawn['seed']})"
    if drawn["count"] < FEWEST:
        return f"{machines}; too few to tell 5 % and 95 % by: a first look"
    return f"{machines}; 5 % to 95 %"


def _middle(value: Any) -> float:
    return float(value["typical"] if isinstance(value, dict) else value)


def _rows(rows: list[Row], indent: int) -> list[str]:
    wide = max(24 - indent, *(len(name) for name, _, _ in rows)) + 2
    return [f"{'':{indent}}{name:<{wide}}{band(value, say)}" for name, value, say in rows]


def _outcomes(shares: dict[str, float], indent: int) -> list[str]:
    ranked = sorted(shares.items(), key=lambda item: -item[1])
    return [f"{'':{indent}}{percent(share):>5}  {REASONS[slug]}" for slug, share in ranked if share >= OFTEN]


def _counts(record: Record, way: str) -> list[int]:
    return sorted({candidate[way] for candidate in record["candidates"]})
