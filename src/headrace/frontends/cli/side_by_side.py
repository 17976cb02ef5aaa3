"""A comparison as a table for a person at a terminal: a column a machine, and a sentence on what to do with each."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from headrace.frontends.cli.bands import head
from headrace.machine.naming import named
from headrace.paper.measures import amount, pace, paces
from headrace.paper.words import (
    celsius,
    empties,
    giver,
    middle,
    minutes,
    pack_name,
    percent,
    plain,
    some,
    spread,
    watts,
)

Record = dict[str, Any]
Say = Callable[[Any], str]
Row = tuple[str, list[str]]  # what it is, and a cell for each machine

WIDE = 80
LABEL = 24  # columns for what a row is
ABREAST = 4  # machines in one table
WIDEST = 26  # columns of one machine
DASH = "–"
NO_COMPARISON = "These machines do not do the same job, and numbers of unlike jobs are no comparison. What differs:"
SAYS: dict[str, Say] = {
    "time_wanted": minutes,
    "cycle": minutes,
    "ambient": celsius,
    "share": percent,
    "field_efficiency": percent,
    "reserve": percent,
}
IN_WORDS = {"chains.work": "the tools", "job.states": "the duty states"}


def compared(record: Record) -> str:
    """Return the machines side by side, and what costs each of them most."""
    parts = [_unlike(record)] if not record["same_job"] else []
    parts += [_table(some_of, record["links"]) for some_of in _abreast(record["machines"])]
    return "\n\n".join([*parts, "\n".join(_sentence(one) for one in record["machines"])])


def bands(record: Record) -> str:
    """Return the headlines of each machine with their bands, and how often each finding is raised."""
    lines = [head(record), "Same seed for each: what two machines have in common is drawn alike."]
    return "\n\n".join(["\n".join(lines), *(_bands(some_of) for some_of in _abreast(record["machines"]))])


# --- is it the same job? -----------------------------------------------------------------------------


def _unlike(record: Record) -> str:
    names = [one["name"] for one in record["machines"]]
    return "\n".join([*textwrap.wrap(NO_COMPARISON, WIDE), *(_differs(found, names) for found in record["differs"])])


def _differs(found: Record, names: list[str]) -> str:
    address, unit, values = found["address"], found["unit"], found["values"]
    if unit:
        what, said = named(address), _told_apart(address, unit, values)
    else:
        what, said = IN_WORDS.get(address, address.removeprefix("job.")), [value or DASH for value in values]
    whose = "; ".join(
        f"{value} ({', '.join(name for name, other in zip(names, said, strict=True) if other == value)})"
        for value in dict.fromkeys(said)
    )
    return textwrap.fill(f"{what}: {whose}", WIDE, initial_indent="  ", subsequent_indent="    ")


def _told_apart(address: str, unit: str, values: Sequence[float | None]) -> list[str]:
    """Return values as they are said; where that makes them alike, in more digits."""
    bare = "" if unit == "-" else unit
    say = SAYS.get(address.rpartition(".")[2])
    said = [say(value) for value in values] if say else []
    if len(set(said)) > 1:
        return said
    return [DASH if value is None else f"{value:.4g} {bare}".strip() for value in values]


# --- the table ---------------------------------------------------------------------------------------


def _abreast(machines: list[Record]) -> Iterator[list[Record]]:
    for start in range(0, len(machines), ABREAST):
        yield machines[start : start + ABREAST]


def _table(machines: list[Record], links: list[str]) -> str:
    groups = [
        ("THE JOB", _job(machines)),
        ("THE ANSWER", _answer(machines)),
        ("WATTS OVER THE JOB, ON AVERAGE", _losses(machines, links)),
        ("WHAT COSTS MOST", _most(machines)),
        ("FINDINGS", _findings(machines)),
    ]
    return _set(machines, groups)


def _set(machines: list[Record], groups: Iterable[tuple[str, list[Row]]]) -> str:
    wide = min(WIDEST, (WIDE - LABEL) // len(machines))
    lines = _row("", [one["name"] for one in machines], wide)
    for name, rows in groups:
        lines.append(name)
        for row in rows:
            lines += _row(*row, wide)
    return "\n".join(lines)


def _row(label: str, cells: list[str], wide: int) -> list[str]:
    """Return a row's lines; what is too long for its column is folded."""
    columns = [_folded(f"  {label}", LABEL - 1, "    "), *(_folded(cell, wide - 1, " ") for cell in cells)]
    widths = [LABEL, *(wide for _ in cells)]
    deep = max(len(column) for column in columns)
    padded = [column + [""] * (deep - len(column)) for column in columns]
    return [
        "".join(f"{part:<{width}}" for part, width in zip(parts, widths, strict=True)).rstrip()
        for parts in zip(*padded, strict=True)
    ]


def _folded(text: str, wide: int, indent: str) -> list[str]:
    lines = [textwrap.wrap(line, wide, subsequent_indent=indent, drop_whitespace=True) for line in text.split("\n")]
    return [part for folded in lines for part in folded] or [""]


def _each(machines: list[Record], say: Callable[[Record], str]) -> list[str]:
    return [say(one) for one in machines]


def _job(machines: list[Record]) -> list[Row]:
    rows = [
        ("time wanted", _each(machines, lambda one: minutes(one["job"]["time_wanted_s"]))),
        ("charge to be left", _each(machines, lambda one: percent(one["job"]["reserve"]))),
    ]
    if any(one["job"]["area_m2"] is not None for one in machines):
        rows.append(("area", _each(machines, lambda one: plain(one["job"]["area_m2"], "m²", 0))))
    shares = [{state["name"]: percent(state["share"]) for state in one["job"]["states"]} for one in machines]
    return rows + [
        (name, [share.get(name, DASH) for share in shares]) for name in dict.fromkeys(n for s in shares for n in s)
    ]


def _answer(machines: list[Record]) -> list[Row]:
    speed = _speed(machines)
    return [
        (
            "pack" if all(empties(one["pack"]) for one in machines) else "source",
            _each(machines, lambda one: pack_name(one["pack"])),
        ),
        ("when full", _each(machines, lambda one: plain(one["pack"]["full_voltage_V"], "V"))),
        ("pack's mass", _each(machines, lambda one: _kilograms(middle(_of_a_pack(one, "mass_kg"))))),
        ("pack's cost", _each(machines, lambda one: _money(middle(_of_a_pack(one, "cost"))))),
        ("works, to the reserve", _each(machines, _to_the_reserve)),
        ("works, until it ends", _each(machines, lambda one: minutes(one["day"]["lasts_s"]))),
        ("what ends that", _each(machines, lambda one: one["day"]["lasts_reason"])),
        (
            "what ends the job",
            _each(machines, lambda one: f"{one['day']['reason']}, {minutes(one['day']['duration_s'])}"),
        ),
        (f"{speed} when full", _each(machines, lambda one: _pace(one, 0)[1](_pace(one, 0)[0]))),
        (f"{speed} when run out", _each(machines, lambda one: _pace(one, 1)[1](_pace(one, 1)[0]))),
        ("energy for the work", _each(machines, lambda one: _per_amount(one)[1](_per_amount(one)[0]))),
    ]


def _losses(machines: list[Record], links: list[str]) -> list[Row]:
    lost = [{loss["name"]: loss["loss_W"] for loss in one["losses"]} for one in machines]
    rows = [("into the work", _each(machines, lambda one: _watts(one["useful_W"])))]
    rows += [(name, [_watts(row.get(name)) for row in lost]) for name in links if any(name in row for row in lost)]
    return [*rows, (_from(machines), _each(machines, lambda one: _watts(one["source_W"])))]


def _most(machines: list[Record]) -> list[Row]:
    most = [_costliest(one) for one in machines]
    return [
        ("link", [loss["name"] if loss else DASH for loss in most]),
        ("saved without it", [_watts(loss["saves_removed_W"] if loss else None) for loss in most]),
        ("saved by halving it", [_watts(loss["saves_halved_W"] if loss else None) for loss in most]),
        ("halved by", [loss["how"] if loss else DASH for loss in most]),
    ]


def _findings(machines: list[Record]) -> list[Row]:
    raised = [{found["slug"]: found["level"] for found in one["findings"]} for one in machines]
    rows = [(slug, [row.get(slug, DASH) for row in raised]) for slug in _slugs(machines, ("findings",))]
    return rows or [("stops and cautions", ["none" for _ in machines])]


def _slugs(machines: list[Record], lists: Sequence[str]) -> list[str]:
    """Return the slugs of stops and cautions that some machine has, stops first."""
    raised = [found for key in lists for one in machines for found in one[key]]
    return [
        slug
        for level in ("stop", "caution")
        for slug in dict.fromkeys(f["slug"] for f in raised if f["level"] == level)
    ]


# --- how sure ----------------------------------------------------------------------------------------


def _bands(machines: list[Record]) -> str:
    speed = _speed(machines)

    def row(label: str, value: Callable[[Record], tuple[Any, Say]]) -> Row:
        return label, [_banded(*value(one)) for one in machines]

    rows = [
        row(_from(machines), lambda one: (one["source_W"], watts)),
        row(
            "works, to the reserve",
            lambda one: (one["day"]["lasts_to_reserve_s"] if empties(one["pack"]) else None, minutes),
        ),
        row("works, until it ends", lambda one: (one["day"]["lasts_s"], minutes)),
        row(f"{speed} when full", lambda one: _pace(one, 0)),
        row(f"{speed} when run out", lambda one: _pace(one, 1)),
        row("energy for the work", _per_amount),
        row("pack's mass", lambda one: (_of_a_pack(one, "mass_kg"), _kilograms)),
        row("pack's cost", lambda one: (_of_a_pack(one, "cost"), _money)),
        ("costs most", [loss["name"] if loss else DASH for loss in map(_costliest, machines)]),
        row("and loses", lambda one: ((_costliest(one) or {}).get("loss_W"), watts)),
    ]
    chances = [("draws with a stop", _each(machines, lambda one: some(one["stopped"])))]
    often = [{f["slug"]: f["share"] for key in ("findings", "sometimes") for f in one[key]} for one in machines]
    chances += [
        (slug, [some(row[slug]) if slug in row else DASH for row in often])
        for slug in _slugs(machines, ("findings", "sometimes"))
    ]
    return _set(machines, [("TYPICAL, LOW TO HIGH", rows), ("HOW OFTEN", chances)])


def _banded(value: Any, say: Say) -> str:
    return "\n".join(part for part in (say(middle(value)), spread(value, say)) if part)


def _from(machines: list[Record]) -> str:
    """Return what the machines draw from, in one word for all of them."""
    givers = {giver(one["pack"]) for one in machines}
    return f"from {givers.pop() if len(givers) == 1 else 'the source'}"


def _to_the_reserve(one: Record) -> str:
    return minutes(middle(_reserve(one)))


def _reserve(one: Record) -> Any:
    """Return the time down to the reserve; none of what never empties."""
    return one["day"]["lasts_to_reserve_s"] if empties(one["pack"]) else None


# --- numbers of one machine --------------------------------------------------------------------------


def _speed(machines: list[Record]) -> str:
    names = {pace(one["day"]).name for one in machines}
    return names.pop() if len(names) == 1 else "speed"


def _pace(one: Record, end: int) -> tuple[Any, Say]:
    """Return the pace when full, or when run out, and how it is said."""
    full, empty, say = paces(one["day"])
    return (full, empty)[end], say


def _per_amount(one: Record) -> tuple[Any, Say]:
    """Return the energy the cells give for each unit of work done, and how it is said."""
    counted = amount(one["day"])

    def say(joules: float | None) -> str:
        if joules is None:
            return DASH
        return f"{joules / 3600.0 / counted.scale:#.3g}".rstrip(".") + f" Wh/{counted.unit}"

    return one[f"cell_energy_per_{counted.suffix}_J"], say


def _costliest(one: Record) -> Record | None:
    return next((loss for loss in one["losses"] if loss["name"] == one["costliest"]), None)


def _watts(value: Any) -> str:
    return f"{watts(value):>7}"


def _of_a_pack(one: Record, key: str) -> Any:
    """Return a number of a pack; none of what never empties, which has neither mass nor price here."""
    return one["pack"][key] if empties(one["pack"]) else None


def _kilograms(value: float | None) -> str:
    return plain(value, "kg")


def _money(value: float | None) -> str:
    return plain(value, "", 0)


# --- in a sentence -----------------------------------------------------------------------------------


def _sentence(one: Record) -> str:
    """Return what costs a machine most and what to do about it, and where it does not work."""
    most = _costliest(one)
    said = f"{one['name']}: "
    said += (
        f"{most['name']} costs most, {watts(most['loss_W'])} over the job; without it "
        f"{watts(most['saves_removed_W'])} less from {giver(one['pack'])}; halved {watts(most['saves_halved_W'])}: "
        f"{most['how']}."
        if most
        else "nothing works."
    )
    for reason in dict.fromkeys(state["reason"] for state in one["stands"]):
        where = " and in ".join(state["name"] for state in one["stands"] if state["reason"] == reason)
        said += f" In {where} it does not work: {reason}."
    return textwrap.fill(said, WIDE, subsequent_indent="  ", break_on_hyphens=False)
