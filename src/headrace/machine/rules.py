"""Rules between the keys of a machine file.

They are held against the file as read, so that they speak even where some key is wrong.

A rule stays silent about what it cannot read: the form has complained about that already.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from headrace.machine.form import (
    CellTable,
    JobTable,
    LimitsTable,
    StateTable,
    quantity_of,
)
from headrace.machine.form_links import LINK_KINDS, BladeTable, MotorTable, Table
from headrace.machine.places import Path
from headrace.machine.problems import key_of
from headrace.machine.quantities import NotAQuantity
from headrace.machine.records import Job
from headrace.machine.values import slug
from headrace.machine.wording import NOTHING, Said, did_you_mean
from headrace.tables import load

MECHANICAL = ("bearings", "v-belt", "toothed-belt", "flat-belt", "roller-chain", "gears", "worm")
CLOSE = 1e-3  # shares add up to 1 within this: three thirds written with three digits do


def rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong between keys."""
    yield from _shelves(data)
    yield from _names(data)
    for place, chain in enumerate(_tables(data.get("chains"))):
        yield from _row(("chains", place, "links"), _tables(chain.get("links")))
        for k, link in enumerate(_tables(chain.get("links"))):
            for said in _link(link):
                yield (("chains", place, "links", k, *said[0]), *said[1:])
        yield from _blade(("chains", place, "work"), _table(chain.get("work")))
    yield from _cell(_table(_table(data.get("source")).get("cell")))
    yield from _states(_table(data.get("job")))
    yield from _width(data)
    yield from _wishes(data)


# --- reading what is there, if it is -----------------------------------------------------------------


def _table(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _tables(value: Any) -> list[dict[str, Any]]:
    return [_table(part) for part in value] if isinstance(value, list) else []


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""


def _number(form: type[Table], table: dict[str, Any], key: str) -> float | None:
    """Return the typical value of a key, or None where there is none that can be read."""
    quantity = quantity_of(form, key)
    if quantity is None or key not in table:
        return None
    try:
        return quantity.read(table[key]).typical
    except NotAQuantity:
        return None


# --- names and shelves -------------------------------------------------------------------------------


def _shelves(data: dict[str, Any]) -> Iterator[Said]:
    source = _table(data.get("source"))
    cell = source.get("cell")
    path: Path = ("source", "cell") if isinstance(cell, str) else ("source", "cell", "shelf")
    named: list[tuple[Path, str, Any]] = [(path, "cells", cell if isinstance(cell, str) else _table(cell).get("shelf"))]
    named.append((("source", "strips", "metal"), "metals", _table(source.get("strips")).get("metal")))
    for place, chain in enumerate(_tables(data.get("chains"))):
        for k, link in enumerate(_tables(chain.get("links"))):
            named.append((("chains", place, "links", k, "shelf"), "motors", link.get("shelf")))
    for where, table, name in named:
        known = [str(row["name"]) for row in load(table)]
        if isinstance(name, str) and name not in known:
            yield where, name, f"not one of {', '.join(known)}", did_you_mean(name, known)


def link_name(link: dict[str, Any]) -> str:
    """Return what a link is called: by its own name, or that of its kind."""
    form = LINK_KINDS.get(_text(link.get("kind")))
    return _text(link.get("name", form.model_fields["name"].default if form else ""))


def _names(data: dict[str, Any]) -> Iterator[Said]:
    chains, states = _tables(data.get("chains")), _tables(_table(data.get("job")).get("states"))
    yield from _once(("chains",), data, [_text(chain.get("name")) for chain in chains])
    yield from _once(("job", "states"), data, [_text(state.get("name")) for state in states])
    for place, chain in enumerate(chains):
        links = [link_name(link) for link in _tables(chain.get("links"))]
        yield from _once(("chains", place, "links"), data, links)
        for k, name in enumerate(links):
            if name and name in ("work", _text(_table(chain.get("work")).get("name", "blade"))):
                yield ("chains", place, "links", k, "name"), name, "is the name of the work; a link needs its own", ""
    taken = {field.name for field in fields(Job)} | set(JobTable.model_fields)
    for k, state in enumerate(states):
        if _text(state.get("name")) in taken:
            yield ("job", "states", k, "name"), state["name"], "is the name of a key of [job]; take another", ""


def _once(path: Path, data: dict[str, Any], names: list[str]) -> Iterator[Said]:
    for name, count in Counter(names).items():
        if name and count > 1:
            again = len(names) - 1 - names[::-1].index(name)
            yield (
                (*path, again, "name"),
                name,
                f"stands {count} times in {key_of(path, data)}; each name is used once",
                "",
            )
    said: dict[str, str] = {}
    for place, name in enumerate(names):
        other = said.setdefault(slug(name), name)
        if name and other != name:
            yield (
                (*path, place, "name"),
                name,
                f'has the same address as "{other}" in {key_of(path, data)}',
                "take another",
            )


# --- chains ------------------------------------------------------------------------------------------


def _row(path: Path, links: list[dict[str, Any]]) -> Iterator[Said]:
    """Hold the order of the links: tool side before the motor, wires behind it."""
    kinds = [_text(link.get("kind")) for link in links]
    if kinds.count("controller") > 1:
        yield path, NOTHING, "may have one controller at most", ""
    if kinds.count("dc-motor") != 1:
        if all(kind in LINK_KINDS for kind in kinds):  # otherwise the motor may be the one that cannot be read
            yield path, NOTHING, f"must have exactly one dc-motor; there are {kinds.count('dc-motor')}", ""
        return
    motor = kinds.index("dc-motor")
    hint = "links stand in order, from the work back to the terminals"
    for k, kind in enumerate(kinds):
        if kind in MECHANICAL and k > motor:
            yield (*path, k), NOTHING, f"{kind} must stand before the motor", hint
        elif kind in ("controller", "cable", "contacts") and k < motor:
            yield (*path, k), NOTHING, f"{kind} must stand behind the motor", hint


def _motor(link: dict[str, Any]) -> Iterator[Said]:
    if "shelf" not in link:
        for key in ("constant", "resistance"):
            if key not in link:
                yield (key,), NOTHING, "is missing; give it, or a motor of the shelf", ""
    if "drag" in link and "no_load_current" in link:
        yield ("no_load_current",), link["no_load_current"], "says the same as drag; give one of them", ""
    grows = any(_number(MotorTable, link, key) for key in ("drag_slope", "drag_square"))
    if "no_load_current" in link and grows and "no_load_speed" not in link:
        said = "needs no_load_speed too, to tell the friction that grows with speed from the rest"
        yield ("no_load_current",), link["no_load_current"], said, ""


def _controller(link: dict[str, Any]) -> Iterator[Said]:
    governed = link.get("mode") == "governed"
    if governed and "speed" not in link:
        yield ("speed",), NOTHING, 'is missing; mode = "governed" holds a speed of the motor', ""
    if not governed and "speed" in link:
        yield ("speed",), link["speed"], 'is held only with mode = "governed"', ""


def _worm(link: dict[str, Any]) -> Iterator[Said]:
    if ("lead_angle" in link) == ("efficiency" in link):
        yield (), NOTHING, "must have a lead_angle, or a measured efficiency, one of them", ""


def _contacts(link: dict[str, Any]) -> Iterator[Said]:
    if "of" not in link and "resistance" not in link:
        yield ("of",), NOTHING, "is missing; say what it is, or give its resistance", ""


LINK_RULES = {"dc-motor": _motor, "controller": _controller, "worm": _worm, "contacts": _contacts}


def _link(link: dict[str, Any]) -> Iterator[Said]:
    kind = _text(link.get("kind"))
    if kind in LINK_RULES:
        yield from LINK_RULES[kind](link)


def _blade(path: Path, work: dict[str, Any]) -> Iterator[Said]:
    if "mass" in work and "inertia" in work:
        yield (*path, "mass"), work["mass"], "is used for the inertia, which is given too; give one of them", ""


# --- source, job, limits -----------------------------------------------------------------------------


def _cell(cell: dict[str, Any]) -> Iterator[Said]:
    row = next((row for row in load("cells") if row["name"] == cell.get("shelf")), None)
    if row is None:
        return
    for lower, upper in (
        ("empty_voltage", "nominal_voltage"),
        ("nominal_voltage", "full_voltage"),
        ("continuous_current", "peak_current"),
    ):
        ends = [_number(CellTable, cell, key) if key in cell else float(row[key]) for key in (lower, upper)]
        if lower in cell or upper in cell:
            low, high = ends
            if low is not None and high is not None and low > high:
                key = lower if lower in cell else upper
                yield ("source", "cell", key), cell[key], f"must keep {lower} at or below {upper}", ""


def _states(job: dict[str, Any]) -> Iterator[Said]:
    states, path = _tables(job.get("states")), ("job", "states")
    cutting = [state for state in states if state.get("turning") is not True]
    if states and not cutting:
        yield path, NOTHING, "must have at least one state that is not turning", ""
        return
    yield from _shares(path, cutting)
    turning = 0
    for k, state in enumerate(states):
        turning += state.get("turning") is True
        if state.get("turning") is True and turning > 1:
            yield (*path, k), NOTHING, "may have one turning state at most", ""
        for key in ("sward", "power", "share", "time", "wet_factor"):
            if state.get("turning") is True and key in state:
                yield (*path, k, key), state[key], "turning is without load and takes the time that is left", ""
        if "sward" in state and "power" in state:
            yield (*path, k, "power"), state["power"], "says the same as sward; give one of them", ""


def _shares(path: Path, cutting: list[dict[str, Any]]) -> Iterator[Said]:
    """Hold shares, or times, of the states that cut."""
    shares, times = (sum(key in state for state in cutting) for key in ("share", "time"))
    if shares and times:
        yield path, NOTHING, "must give each state a share, or each a time", ""
    elif len(cutting) > 1 and shares + times < len(cutting):
        yield path, NOTHING, "must give each state a share, or each a time; turning takes what is left", ""
    elif shares:
        read = [_number(StateTable, state, "share") for state in cutting]
        total = sum(share for share in read if share is not None)
        if None not in read and abs(total - 1.0) > CLOSE:
            yield path, NOTHING, f"shares of the cutting time must add up to 1; they add up to {total:.6g}", ""


def _width(data: dict[str, Any]) -> Iterator[Said]:
    """Hold the width that is cut against the widest tool."""
    job = _table(data.get("job"))
    width = _number(JobTable, job, "width")
    works = [_table(chain.get("work")) for chain in _tables(data.get("chains"))]
    tools = [size for size in (_number(BladeTable, work, "diameter") for work in works) if size is not None]
    if width is not None and tools and width > max(tools) * (1.0 + CLOSE):
        yield ("job", "width"), job["width"], "must not be wider than the blade", "give the width one pass really cuts"


def _wishes(data: dict[str, Any]) -> Iterator[Said]:
    limits, job = _table(data.get("limits")), _table(data.get("job"))
    if "time" not in limits and "area" not in job and "job" in data:
        yield ("limits", "time"), NOTHING, "is missing; give it, or job.area", ""
    for lower, upper in (("tip_speed_min", "tip_speed_max"), ("ambient_cold", "ambient_hot")):
        low, high = (_number(LimitsTable, limits, key) for key in (lower, upper))
        if low is not None and high is not None and low >= high:
            yield ("limits", lower), limits[lower], f"must be below {upper}", ""
