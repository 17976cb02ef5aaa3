"""Rules between the keys of a machine file.

They are held against the file as read, so that they speak even where some key is wrong.

A rule stays silent about what it cannot read: the form has complained about that already.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields
from itertools import pairwise
from typing import Any

from headrace.machine.form import JobTable, LimitsTable
from headrace.machine.form_links import CONVERTERS, LINK_KINDS, MOTORS, TRANSMISSIONS, MotorNumbers
from headrace.machine.form_source import CellNumbers
from headrace.machine.form_works import OVER_GROUND, PACES, WORKS, PumpTable, Speed, Torque
from headrace.machine.loose import link_name, number, quantity_in, table, tables, text
from headrace.machine.places import Path
from headrace.machine.problems import key_of, shown
from headrace.machine.records import Job
from headrace.machine.rules_balance import LISTS, balance_rules
from headrace.machine.rules_corded import corded_rules
from headrace.machine.rules_job import job_rules
from headrace.machine.rules_prices import price_rules
from headrace.machine.rules_protection import protection_rules
from headrace.machine.rules_variants import variant_rules
from headrace.machine.rules_wiring import wiring_rules
from headrace.machine.shelf import NUMBERS, Shelf
from headrace.machine.values import slug
from headrace.machine.wording import NOTHING, Said, did_you_mean
from headrace.tables import Row

MECHANICAL = ("bearings", "v-belt", "toothed-belt", "flat-belt", "roller-chain", "gears", "worm")


def rules(data: dict[str, Any], shelf: Shelf) -> Iterator[Said]:
    """Yield what is wrong between keys, and which names are not on the shelf."""
    yield from _shelves(data, shelf)
    yield from _names(data)
    for place, chain in enumerate(tables(data.get("chains"))):
        yield from _row(("chains", place, "links"), tables(chain.get("links")))
        for k, link in enumerate(tables(chain.get("links"))):
            for said in _link(link):
                yield (("chains", place, "links", k, *said[0]), *said[1:])
        yield from _blade(("chains", place, "work"), table(chain.get("work")))
        yield from _points(("chains", place, "work", "points"), table(chain.get("work")))
        yield from _capstan(("chains", place, "work"), table(chain.get("work")))
        yield from _pump(("chains", place, "work"), table(chain.get("work")))
    yield from corded_rules(data)
    yield from _cell(table(table(data.get("source")).get("cell")), shelf)
    yield from job_rules(data)
    yield from balance_rules(data)
    yield from protection_rules(data)
    yield from wiring_rules(data)
    yield from price_rules(data)
    for key in LISTS:
        parts = tables(table(data.get("balance")).get(key))
        yield from once(("balance", key), data, [text(part.get("name")) for part in parts])
    yield from _wishes(data)
    yield from variant_rules(data)


# --- names and shelves -------------------------------------------------------------------------------


def _shelves(data: dict[str, Any], shelf: Shelf) -> Iterator[Said]:
    source = table(data.get("source"))
    cell = source.get("cell")
    path: Path = ("source", "cell") if isinstance(cell, str) else ("source", "cell", "shelf")
    named: list[tuple[Path, str, Any]] = [(path, "cells", cell if isinstance(cell, str) else table(cell).get("shelf"))]
    named.append((("source", "strips", "metal"), "metals", table(source.get("strips")).get("metal")))
    for place, chain in enumerate(tables(data.get("chains"))):
        for k, link in enumerate(tables(chain.get("links"))):
            named.append((("chains", place, "links", k, "shelf"), "motors", link.get("shelf")))
    for where, kind, name in named:
        if kind in NUMBERS and not shelf.whole:
            continue  # it may stand where the file of parts cannot be read
        known = shelf.names(kind)
        if isinstance(name, str) and name not in known:
            yield where, name, f"not one of {', '.join(known)}", did_you_mean(name, known)


def _tool_name(work: dict[str, Any]) -> str:
    asks = WORKS.get(text(work.get("kind")))
    return text(work.get("name", asks.table.model_fields["name"].default if asks else ""))


def _names(data: dict[str, Any]) -> Iterator[Said]:
    chains, states = tables(data.get("chains")), tables(table(data.get("job")).get("states"))
    yield from once(("chains",), data, [text(chain.get("name")) for chain in chains])
    yield from _auxiliaries(data, [text(chain.get("name")) for chain in chains])
    yield from once(("job", "states"), data, [text(state.get("name")) for state in states])
    yield from once(("variants",), data, [text(variant.get("name")) for variant in tables(data.get("variants"))])
    for place, chain in enumerate(chains):
        links = [link_name(link) for link in tables(chain.get("links"))]
        yield from once(("chains", place, "links"), data, links)
        for k, name in enumerate(links):
            if name and name in ("work", _tool_name(table(chain.get("work")))):
                yield ("chains", place, "links", k, "name"), name, "is the name of the work; a link needs its own", ""
    taken = {field.name for field in fields(Job)} | set(JobTable.model_fields)
    for k, state in enumerate(states):
        if text(state.get("name")) in taken:
            yield ("job", "states", k, "name"), state["name"], "is the name of a key of [job]; take another", ""


def _auxiliaries(data: dict[str, Any], chains: list[str]) -> Iterator[Said]:
    """Hold the names of auxiliaries against each other's and the chains': a state names both in off."""
    names = [text(one.get("name")) for one in tables(data.get("auxiliaries"))]
    yield from once(("auxiliaries",), data, names)
    for place, name in enumerate(names):
        if name and name in chains:
            yield ("auxiliaries", place, "name"), name, "is the name of a chain; an auxiliary needs its own", ""


def once(path: Path, data: dict[str, Any], names: list[str]) -> Iterator[Said]:
    """Yield which of the names at a place are used twice, or have the same address as another."""
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
    kinds = [text(link.get("kind")) for link in links]
    if kinds.count("controller") > 1:
        yield path, NOTHING, "may have one controller at most", ""
    there = [k for k, kind in enumerate(kinds) if kind in MOTORS]
    if len(there) != 1:
        if all(kind in LINK_KINDS for kind in kinds):  # otherwise the motor may be the one that cannot be read
            yield path, NOTHING, f"must have exactly one motor, {', '.join(MOTORS)}; there are {len(there)}", ""
        return
    motor = there[0]
    hint = "links stand in order, from the work back to the terminals"
    for k, kind in enumerate(kinds):
        if kind in MECHANICAL and k > motor:
            yield (*path, k), NOTHING, f"{kind} must stand before the motor", hint
        elif kind in ("controller", "cable", "contacts", *CONVERTERS) and k < motor:
            yield (*path, k), NOTHING, f"{kind} must stand behind the motor", hint


def _motor(link: dict[str, Any]) -> Iterator[Said]:
    if "efficiencies" in link and "constant" not in link:
        yield ("constant",), NOTHING, "is missing; efficiencies say the losses, and not the speed for each volt", ""
    elif "shelf" not in link and "efficiencies" not in link:
        for key in ("constant", "resistance"):
            if key not in link:
                yield (key,), NOTHING, "is missing; give it, or a motor of the shelf", ""
    yield from motor_rules(link)


def motor_rules(link: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong between the numbers of a motor."""
    if "drag" in link and "no_load_current" in link:
        yield ("no_load_current",), link["no_load_current"], "says the same as drag; give one of them", ""
    grows = any(number(MotorNumbers, link, key) for key in ("drag_slope", "drag_square"))
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
    if "efficiencies" in link:
        return
    if ("lead_angle" in link) == ("efficiency" in link):
        yield (), NOTHING, "must have a lead_angle, or a measured efficiency, one of them", ""


def _contacts(link: dict[str, Any]) -> Iterator[Said]:
    if "of" not in link and "resistance" not in link:
        yield ("of",), NOTHING, "is missing; say what it is, or give its resistance", ""


# What a table of efficiencies says already.
OF_A_STAGE = ("efficiency", "drag", "drag_slope")
SAID_BY_EFFICIENCIES = {
    **dict.fromkeys(TRANSMISSIONS, OF_A_STAGE),
    "worm": (*OF_A_STAGE, "lead_angle", "friction", "pressure_angle"),
    "dc-motor": ("shelf", "resistance", "no_load_current", "no_load_speed", "drag", "drag_slope", "drag_square"),
    "controller": ("resistance", "idle_power"),
    "inverter": ("idle_power", "linear", "square"),
    "dc-dc": ("efficiency", "idle_power"),
}


def _efficiencies(link: dict[str, Any]) -> Iterator[Said]:
    for key in SAID_BY_EFFICIENCIES.get(text(link.get("kind")), ()):
        if "efficiencies" in link and key in link:
            yield (key,), link[key], "is said by efficiencies already; give one of them", ""


LINK_RULES = {"dc-motor": _motor, "controller": _controller, "worm": _worm, "contacts": _contacts}


def _link(link: dict[str, Any]) -> Iterator[Said]:
    kind = text(link.get("kind"))
    if kind in LINK_RULES:
        yield from LINK_RULES[kind](link)
    yield from _efficiencies(link)


def _blade(path: Path, work: dict[str, Any]) -> Iterator[Said]:
    if "mass" in work and "inertia" in work:
        yield (*path, "mass"), work["mass"], "is used for the inertia, which is given too; give one of them", ""


def _capstan(path: Path, work: dict[str, Any]) -> Iterator[Said]:
    if work.get("kind") != "winch":
        return
    laps, layer = work.get("laps", 0), work.get("layer", 1)
    if isinstance(laps, int) and isinstance(layer, int) and laps > 0 and layer > 1:
        said = "is of a drum that winds; a capstan's rope lies on it in one layer"
        yield (*path, "layer"), layer, said, "leave it out"
    if laps == 0 and "rope_friction" in work:
        said = "is of a capstan, which has laps of rope round it"
        yield (*path, "rope_friction"), work["rope_friction"], said, "give laps, or leave it out"


def _pump(path: Path, work: dict[str, Any]) -> Iterator[Said]:
    """Hold the head with the tap closed against that at the best point, which it always passes."""
    if work.get("kind") != "centrifugal-pump":
        return
    closed, best = (number(PumpTable, work, key) for key in ("shut_off_head", "head"))
    if closed is not None and best is not None and closed <= best:
        said = (
            f"must be above the head at the best flow, {shown(work['head'])}: with the tap closed a pump pushes highest"
        )
        yield (*path, "shut_off_head"), work["shut_off_head"], said, "leave it out if nobody measured it"


def _points(path: Path, work: dict[str, Any]) -> Iterator[Said]:
    """Hold the rows of a measured table against the order they stand in."""
    rows = work.get("points")
    if work.get("kind") != "measured" or not isinstance(rows, list):
        return
    pairs = [row if isinstance(row, list) and len(row) == 2 else [None, None] for row in rows]
    speeds, torques = ([quantity_in(form, pair[k]) for pair in pairs] for k, form in enumerate((Speed, Torque)))
    for k, (before, speed) in enumerate(pairwise(speeds), start=1):
        if before is not None and speed is not None and speed <= before:
            said = f"must be faster than the row before it, {shown(pairs[k - 1][0])}"
            yield (*path, k, 0), pairs[k][0], said, "write the rows from the slowest to the fastest, each speed once"
    if torques and None not in torques and not any(torques):
        yield path, NOTHING, "must have a torque above zero", "a tool that takes nothing is a state with idle = true"


# --- source, job, limits -----------------------------------------------------------------------------


def _cell(cell: dict[str, Any], shelf: Shelf) -> Iterator[Said]:
    part = shelf.find("cells", cell.get("shelf"))
    for where, *said in cell_rules(cell, part.typical if part is not None else None):
        yield (("source", "cell", *where), *said)


def cell_rules(cell: dict[str, Any], row: Row | None) -> Iterator[Said]:
    """Yield what is wrong between the numbers of a cell, and those of the shelf's it is, or is like."""
    for key, other in (("pulse_current", "pulse_drop"), ("pulse_drop", "pulse_current")):
        if key in cell and other not in cell:
            yield (other,), NOTHING, f"is missing; a pulse test needs it beside {key}", ""
    if "resistance" in cell and "pulse_drop" in cell:
        yield ("resistance",), cell["resistance"], "says the same as the pulse test; give one of them", ""
    if row is None:
        return
    for lower, upper in (
        ("empty_voltage", "nominal_voltage"),
        ("nominal_voltage", "full_voltage"),
        ("continuous_current", "peak_current"),
    ):
        ends = [number(CellNumbers, cell, key) if key in cell else float(row[key]) for key in (lower, upper)]
        if lower in cell or upper in cell:
            low, high = ends
            if low is not None and high is not None and low > high:
                key = lower if lower in cell else upper
                yield (key,), cell[key], f"must keep {lower} at or below {upper}", ""


def _wishes(data: dict[str, Any]) -> Iterator[Said]:
    limits, job = table(data.get("limits")), table(data.get("job"))
    if "time" not in limits and "area" not in job and "job" in data:
        or_area = ", or job.area" if job.get("kind") in OVER_GROUND else ""
        yield ("limits", "time"), NOTHING, f"is missing; give it{or_area}", ""
    for lower, upper in (*((f"{pace}_min", f"{pace}_max") for pace in PACES), ("ambient_cold", "ambient_hot")):
        low, high = (number(LimitsTable, limits, key) for key in (lower, upper))
        if low is not None and high is not None and low >= high:
            yield ("limits", lower), limits[lower], f"must be below {upper}", ""
