"""Records as short tables for a person at a terminal. Only turns what the record holds into bench units."""

from __future__ import annotations

import textwrap
from typing import Any

from headrace.paper.balance import balance
from headrace.paper.charging import charging
from headrace.paper.measures import done, pace, paces, power_left
from headrace.paper.pack_grid import grid
from headrace.paper.protection import protection
from headrace.paper.resting import sloping, stopping
from headrace.paper.seasons import seasons
from headrace.paper.starting import starting
from headrace.paper.trail import trail
from headrace.paper.trial import powering
from headrace.paper.warming import warming
from headrace.paper.wiring import conductor, fuse
from headrace.paper.words import (
    celsius,
    chains_of,
    empties,
    giver,
    minutes,
    pack_name,
    percent,
    plain,
    rpm,
    size,
    spoken,
    watt_hours,
    watts,
)

Record = dict[str, Any]
NOT_TRIED = "outside what was tried"
OF_NOTHING = 0.005  # a charge that is said as 0 %
OF_A_PACK = ("a full pack works", "down to the reserve", "lowest cell")
OF_A_SHAFT = "tool_speed_rad_s"
WIDE = 100
LEAST = 0.5  # W, a saving smaller than this is not worth a line


def losses(record: Record) -> str:
    """Return the power trail and the ranked losses of every duty state."""
    left = f" ({percent(record['charge'])} charge left)" if empties(chains_of(record)[0]["states"][0]) else ""
    parts = [f"{record['machine']}: where the watts go, in the middle of the day{left}"]
    for chain in chains_of(record):
        parts += [chain["name"].upper()] if chain["name"] else []
        parts += [_state(state) for state in chain["states"]]
    return "\n\n".join([*parts, *(_auxiliary(one) for one in record.get("auxiliaries", ()))])


def _auxiliary(one: Record) -> str:
    wide = _wide(one["states"])
    states = (
        f"  {state['name']:<{wide}}{watts(state['power_W']):>8}, {watts(state['source_W'])} out of the cells"
        for state in one["states"]
    )
    return "\n".join([f"{one['name']}, beside the chains", *states])


def _state(state: Record) -> str:
    said = pace(state)
    speeds = rpm(state["tool_speed_rad_s"])
    if said.field() != OF_A_SHAFT:  # whose pace is its speed
        speeds += f", {said.name} {said.say(state[said.field()])}"
    head = f"{state['name']}, {percent(state['share'])} of the time: {speeds}; {state['reason']}"
    lines = [head, *trail(state)]
    if state["slow_crossing_rad_s"] is not None:
        lines.append(f"  slowed below {rpm(state['slow_crossing_rad_s'])} it goes on to a stop")
    worth = sorted((link for link in state["links"] if link["saves_removed_W"] > LEAST), key=lambda k: -k["loss_W"])
    if worth:
        lines.append("  worth saving, at the same pace           loss   without   halved by")
    lines += [
        f"    {link['name']:<36}{watts(link['loss_W']):>8}{'−' + watts(link['saves_removed_W']):>10}"
        f"   −{watts(link['saves_halved_W'])}: {link['how']}"
        for link in worth
    ]
    return "\n".join(lines)


def packs(record: Record) -> str:
    """Return the map of packs, the smallest that works and why not fewer."""
    planned = record["planned"]
    plan = size(planned["series"], planned["parallel"])
    head = f"{record['machine']}: which packs of {record['cell']} work (planned: {plan})"
    lines = [head, "", *grid(record), ""]
    smallest, last = record["smallest"], record["candidates"][-1]
    if smallest is None:
        return "\n".join(
            [*lines, f"No pack of these cells works, up to {last['series']}s{last['parallel']}p.", *_why_not(record)]
        )
    lines.append(
        f"The smallest that works: {smallest['series']} in series, {smallest['parallel']} in parallel "
        f"({smallest['cells']} of them). One step down:"
    )
    for step in record["steps_down"]:
        reason = step["breaks_first"]
        said = reason["says"] if reason is not None else NOT_TRIED
        lines.append(f"  {size(step['series'], step['parallel'])}: {said}")
    lines.append("Why not only one of them:")
    return "\n".join([*lines, *(f"  {lesson['says']}" for lesson in record["lessons"])])


def _why_not(record: Record) -> list[str]:
    """Return what the plan breaks, what the pack that misses by least breaks, and what no count of cells can cure."""
    planned, near = record["planned"], record["nearest"]
    plan = next(c for c in record["candidates"] if (c["series"], c["parallel"]) == tuple(planned.values()))
    lines = ["What the plan breaks:", *_broken(plan)]
    if (near["series"], near["parallel"]) != tuple(planned.values()):
        lines += ["What misses by least:", *_broken(near)]
    return [*lines, near["says"]] if near["says"] else lines


def _broken(candidate: Record) -> list[str]:
    pack = size(candidate["series"], candidate["parallel"])
    return [f"  {pack}: {reason['says']}" for reason in candidate["reasons"]]


def day(record: Record) -> str:
    """Return a day's work in a dozen lines."""
    winding = celsius(record["highest_winding_temperature_K"])
    one = "battery" if record["source"] == "batteries" else "cell"
    full, empty, say = paces(record)
    rows = [
        ("worked", f"{minutes(record['duration_s'])} of {minutes(record['wanted_s'])} wanted; {record['reason']}"),
        ("a full pack works", f"{minutes(record['lasts_s'])}; then {record['lasts_reason']}"),
        ("down to the reserve", minutes(record["lasts_to_reserve_s"])),
        (f"energy from {giver(record)}", _energy(record)),
        ("done", done(record)),
        *_speeds(record),
        (f"{pace(record).name}, {_ends(record)}", f"{say(full)} to {say(empty)}, in the heaviest work"),
        *([("power at the cut-out", power_left(record["power_left"]))] if empties(record) else []),
        (f"lowest {one}", plain(record["lowest_cell_voltage_V"], "V", 2)),
        (
            f"each {one} gives" if empties(record) else "amps",
            f"{plain(record['rms_cell_current_A'], 'A')} (rms), {plain(record['peak_cell_current_A'], 'A')} at most",
        ),
        ("hottest", f"{_hottest(record)}winding {winding}"),
    ]
    if not empties(record):
        rows = [row for row in rows if row[0] not in OF_A_PACK]
    name = size(record["series"], record["parallel"]) if empties(record) else spoken(record["source"])
    lines = [f"{record['machine']}, {name}: a day's work"]
    wide = max(len(label) for label, _ in rows) + 2
    lines += [f"  {label:<{wide}}{said}" for label, said in rows]
    if not empties(record):
        return "\n".join(lines)
    lines.append("  each state works down to a charge of")
    wide = _wide(record["states"])
    return "\n".join([*lines, *(f"    {state['name']:<{wide}}{_lowest(state)}" for state in record["states"])])


def _wide(states: list[Record]) -> int:
    """Return the columns that the names of duty states take."""
    return max(20, 2 + max(len(state["name"]) for state in states))


def _speeds(record: Record) -> list[tuple[str, str]]:
    """Return the speeds of a tool that goes by another pace."""
    if pace(record).field() == OF_A_SHAFT:
        return []
    full, empty = (rpm(record[f"tool_speed_{when}_rad_s"]) for when in ("full", "empty"))
    return [(f"tool, {_ends(record)}", f"{full} to {empty}")]


def _ends(record: Record) -> str:
    return "full to run out" if empties(record) else "at first to at last"


def _energy(record: Record) -> str:
    left = f"; {percent(record['charge_left'])} left" if empties(record) else ""
    if record.get("topped_up") is not None:
        left += f", {percent(record['topped_up'])} put in on the way"
    return f"{watt_hours(record['energy_J'])}{left}"


def _hottest(record: Record) -> str:
    if not empties(record):
        return ""
    return f"{giver(record).removeprefix('the ')} {celsius(record['highest_cell_temperature_K'])}, "


def _lowest(state: Record) -> str:
    if not state["works_when_full"]:
        return f"not even full: {state['fails_because']}"
    if state["fails_with"] is None or state["lowest_charge"] < OF_NOTHING:
        return "nothing left"
    return f"{percent(state['lowest_charge'])}, below it {state['fails_because']}"


def check(record: Record) -> str:
    """Return the findings as sentences, gravest first."""
    lines = [f"{record['machine']}: what a careful colleague would say"]
    lines += [f"\n  ASKED  {question}" for question in record["asked"]]
    for found in record["findings"]:
        lines += ["", f"  {found['level'].upper()}  {found['says']}", f"        {found['action']}"]
        lines.append(f"        [{found['slug']}] {found['source']}")
    if not record["findings"] and not record["asked"]:
        lines.append("  Nothing to say against it.")
    others = ", ".join(spoken(slug) for slug in record["in_order"])
    lines += ["", f"  Looked at, and none of these on the typical machine: {others}."]
    if record["not_held"]:
        left = ", ".join(spoken(slug) for slug in record["not_held"])
        lines.append(f"  Not judged, for want of a limit or because the rule is for other machines: {left}.")
    lines += [line for title, sentences in _sections(record) if sentences for line in _section(title, sentences)]
    return "\n".join([*lines, "", *(f"  {caution}" for caution in record["cautions"])])


def _sections(record: Record) -> list[tuple[str, list[str]]]:
    """Return what ``check`` tells beside its findings, under the headings it stands under."""
    moving = [starting(one, giver(record), several=len(record["starts"]) > 1) for one in record["starts"]]
    moving += [stopping(one, several=len(record["stops"]) > 1) for one in record["stops"]]
    moving += [sloping(one) for one in record["slopes"]]
    moving += [warming(one, several=len(record["warming"]) > 1) for one in record["warming"]]
    wires = [conductor(one, record) for one in record["conductors"]]
    return [
        ("STARTING, STOPPING, WARMING", moving),
        ("WIRES AND FUSE" if empties(record) else "WIRES", [*wires, *(fuse(record["fuse"]) if record["fuse"] else ())]),
        ("BETWEEN PACK AND MACHINE", list(protection(record))),
        ("FIRST POWER-UP", powering(record)),
        ("CHARGING", _charging(record)),
        ("ON ITS WHEELS", list(balance(record["balance"])) if record.get("balance") else []),
    ]


def _charging(record: Record) -> list[str]:
    return charging(record) if record.get("charging") else []


def _section(title: str, sentences: list[str]) -> list[str]:
    told = [textwrap.fill(sentence, WIDE, initial_indent="  ", subsequent_indent="    ") for sentence in sentences]
    return ["", title, *told]


def design(record: Record) -> str:
    """Return the summary of the whole job."""
    pack, worked = record["pack"], record["day"]
    wants = f"the job wants {minutes(worked['wanted_s'])}."
    if empties(pack):
        what = f"{pack_name(pack)}, {watt_hours(pack['energy_J'])}, {plain(pack['mass_kg'], 'kg')}"
        works = minutes(worked["lasts_to_reserve_s"])
        head = [
            f"{record['machine']}: {what}, {plain(pack['full_voltage_V'], 'V')} when full",
            f"A full pack works {works} down to the reserve; {wants}",
        ]
    else:
        worked_for = f"It works {minutes(worked['duration_s'])}: {worked['reason']}"
        head = [f"{record['machine']}: {pack_name(pack)}", f"{worked_for}; {wants}"]
    mapped = [packs(record["packs"])] if record["packs"] else []
    years = ["\n".join(seasons(record["seasons"]))] if record["seasons"] else []
    return "\n\n".join(["\n".join(head), check(record), *years, losses(record["losses"]), *mapped, day(worked)])
