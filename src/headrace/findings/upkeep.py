"""What has to be looked at over a season, why, how often, and at what reading somebody acts: of parts that are there.

The rows are those of ``tables/upkeep.csv``, common practice from memory unless their source says otherwise; a maker's
book comes first. Volts and seconds that belong to this machine are read off its design.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from headrace.drive.links import parts
from headrace.findings.evidence import Evidence
from headrace.findings.rest import Stopping
from headrace.machine.fed import fed
from headrace.machine.links import Bearings, Cable, Contacts, Motor, SeriesMotor, Transmission
from headrace.machine.records import Chain, Lanes
from headrace.machine.values import first_number
from headrace.machine.works import Auger, Blade, Chipper, Fan, Pump, Saw, Tiller, Wheels, Winch, Work
from headrace.pack import source as pack
from headrace.pack.charging import LITHIUM
from headrace.pack.resting import rest_before
from headrace.physics import ageing, duty, intervals, switching
from headrace.physics.working import leaves
from headrace.tables import Row, load

Names = tuple[str, ...]
NEVER_EMPTIES = "what never empties has no season to count by"
NO_HOURS = "how long it works in a season is not known, as its day's work does not come to an end"
NO_TIME = "no time says when it comes round again"
STORED = "storage charge"  # row of the table
AT_REST = "groups apart"  # likewise, the one that is read after a rest
STOPPED, STOPPED_BY_CONTROLLER = "stopping time", "stopping time by its controller"  # likewise
COASTED, LET_GO = "coasting time", ("emergency stop", "held control")  # likewise
EACH_USE, WORK, CALENDAR = "use", "work", "calendar"


@dataclass(frozen=True)
class Care:
    """One thing to look at.

    Attributes
    ----------
    name, of
        What it is called, and the parts of this machine that it is about.
    when
        use, work, calendar or season: before each use, after hours of work, by the calendar, once a season.
    machine
        dead, live or running: fuse or plug out, volts within reach but nothing turns, or read while it runs.
    first, every
        After so long for the first time, and then again; nan where no time says it. [s]
    times
        In a season; nan where nobody knows. [-]
    look, why, act
        What is looked at, why, and at what reading what is done.
    limits
        Readings that go with it, with their units: what each is, its value, its unit.
    rested
        For how long nothing flowed before it is read; nan of what is not read at rest. [s]
    source
        Key of ``tables/sources.toml``.
    """

    name: str
    of: Names
    when: str
    machine: str
    first: Lanes
    every: Lanes
    times: Lanes
    look: str
    why: str
    act: str
    limits: tuple[tuple[str, Lanes, str], ...]
    rested: Lanes
    source: str


def upkeep(evidence: Evidence, worked: Lanes = np.nan) -> tuple[Care, ...]:
    """Return what has to be looked at on a machine, by the order of the table.

    Parameters
    ----------
    evidence
        Of the machine.
    worked
        Time it works in a season; nan where nobody knows. [s]
    """
    cares = ((row, PARTS[str(row["of"])](evidence)) for row in load("upkeep"))
    return tuple(_care(evidence, row, of, worked) for row, of in cares if of)


def _care(evidence: Evidence, row: Row, of: Names, worked: Lanes) -> Care:
    first, every = _told(row, "first", "first after"), _every(evidence, row)
    words = fed(evidence.machine.source.kind)
    return Care(
        name=str(row["name"]),
        of=of,
        when=str(row["when"]),
        machine=str(row["machine"]),
        first=first,
        every=every,
        times=_times(evidence, str(row["when"]), every, worked),
        look=words.told(str(row["look"])),
        why=str(row["why"]),
        act=words.told(str(row["act"])),
        limits=(*_printed(row), *_of_the_design(evidence, str(row["name"]))),
        rested=rest_before(evidence.machine.source) if row["name"] == AT_REST else np.nan,
        source=str(row["source"]),
    )


def _every(evidence: Evidence, row: Row) -> Lanes:
    """Return after which time it comes round again: of a stored pack as its charging says."""
    if row["name"] == STORED and evidence.charging is not None:
        return evidence.charging.look
    return _told(row, "every", "again after")


def _told(row: Row, key: str, words: str) -> Lanes:
    told: Lanes = leaves(float(row[key]), "table", f"{words}, {row['name']}")
    return told


def _times(evidence: Evidence, when: str, every: Lanes, worked: Lanes) -> Lanes:
    """Return how often it comes round in a season. [-]"""
    prices = evidence.machine.prices
    if when == EACH_USE:
        return np.nan if prices is None else prices.jobs
    if when == WORK:
        return intervals.times_within(worked, every)
    if when == CALENDAR:
        return intervals.times_within(ageing.time_of_years(leaves(1.0, "search", "one season")), every)
    once: Lanes = leaves(1.0, "table", "once a season")
    return once


def no_times(evidence: Evidence, care: Care) -> str:
    """Return why nobody knows how often it comes round in a season."""
    if evidence.machine.source.endless:
        return NEVER_EMPTIES
    return NO_HOURS if np.isfinite(first_number(care.every)) else NO_TIME


def _printed(row: Row) -> tuple[tuple[str, Lanes, str], ...]:
    """Return the limits of the row itself."""
    found = (("at most", "volts", "V"), ("warmer than the air by at most", "kelvin", "K"))
    return tuple((what, _told(row, key, what), unit) for what, key, unit in found if np.isfinite(row[key]))


def _braked(evidence: Evidence, *, by_controller: bool) -> list[Stopping]:
    """Return the stops with a brake, planned or drawn: those by a controller, or those by a resistor."""
    return [one for one in evidence.stops if one.built is not None and one.by_controller is by_controller]


def _coasting(evidence: Evidence) -> list[Stopping]:
    """Return the stops without a brake of what runs free where it stands, with nothing taken off or lifted."""
    return [one for one in evidence.stops if one.built is None and not one.timed.care and not one.timed.reason]


def _of_the_design(evidence: Evidence, name: str) -> tuple[tuple[str, Lanes, str], ...]:
    """Return the readings that belong to this machine."""
    machine, stop, most = evidence.machine, evidence.stop, fed(evidence.machine.source.kind).most
    if name in (STOPPED, STOPPED_BY_CONTROLLER):
        limit: Lanes = leaves(stop.limit, "table", "a mower's blade; 16 CFR 1205.5(a)(1)(iii)")
        braked = _braked(evidence, by_controller=name == STOPPED_BY_CONTROLLER)
        expected = (
            reading
            for one in braked
            for reading in (
                (f"{one.chain}, typical", one.timed.braked_time, "s"),
                (f"{one.chain}, at worst ({most}, least friction)", one.built_time, "s"),
            )
        )
        return (*expected, ("at most", limit, "s")) if np.isfinite(stop.limit) else tuple(expected)
    if name == COASTED:
        return tuple(
            reading
            for one in _coasting(evidence)
            for reading in (
                (f"{one.chain}, typical", one.timed.coast_time, "s"),
                (f"{one.chain}, at worst ({most}, least friction)", one.coast_time, "s"),
            )
        )
    if name in LET_GO:
        held = (one for one in evidence.stops if not one.timed.reason)
        return tuple((f"{one.chain} stands within", one.built_time, "s") for one in held)
    if name == STORED and machine.charger is not None:
        rested = pack.open_voltage(machine.source.cell, machine.charger.storage)
        return (("the pack stands at", switching.stack_voltage(machine.source.series, rested), "V"),)
    if name == "charger" and machine.charger is not None:
        return (("it ends at", duty.least([machine.charger.voltage, evidence.full_voltage]), "V"),)
    if name == "plugs" and evidence.guard is not None:
        plugs = (one for one in evidence.guard.switches.joints if one.of == "plug")
        return tuple(
            reading
            for one in plugs
            for reading in (
                (f"a good {one.link} of {one.chain}", one.drop, "V"),
                (f"{one.link} of {one.chain} read at", one.current, "A"),
            )
        )
    return ()


# --- which parts are there ------------------------------------------------------------------------------------


def _links(evidence: Evidence, kind: type, fits: Callable[[object], bool] = lambda link: True) -> Names:
    chains = evidence.machine.chains
    named = [(chain, link) for chain in chains for link in chain.links if isinstance(link, kind) and fits(link)]
    return tuple(dict.fromkeys(f"{chain.name} {link.name}" if len(chains) > 1 else link.name for chain, link in named))


def _stages(*kinds: str) -> Callable[[Evidence], Names]:
    return lambda evidence: _links(evidence, Transmission, lambda link: getattr(link, "kind", "") in kinds)


def _contacts(*kinds: str) -> Callable[[Evidence], Names]:
    return lambda evidence: _links(evidence, Contacts, lambda link: getattr(link, "of", "") in kinds)


def _tools(*kinds: type[Work]) -> Callable[[Evidence], Names]:
    return lambda evidence: tuple(chain.work.name for chain in evidence.machine.chains if isinstance(chain.work, kinds))


def _brushes(evidence: Evidence) -> Names:
    sliding = _links(evidence, Motor, lambda link: getattr(link, "commutation", "") == "brushed")
    return (*sliding, *_links(evidence, SeriesMotor))


def _if(there: Callable[[Evidence], bool], *names: str) -> Callable[[Evidence], Names]:
    return lambda evidence: names if there(evidence) else ()


def _converters(evidence: Evidence) -> Names:
    rows = [parts(chain).converter for chain in evidence.machine.chains]
    return tuple(dict.fromkeys(row.name for row in rows if row is not None and row.kind == "inverter"))


def _motors(evidence: Evidence) -> Names:
    return tuple(dict.fromkeys(f"{chain.name} {parts(chain).motor.name}" for chain in evidence.machine.chains))


def _lugs(evidence: Evidence) -> Names:
    if evidence.machine.source.at_a_socket:
        return ()  # who may joins its cords
    return _contacts("lug", "bolt")(evidence) or ("every lug",)  # a wire ends in lugs whether the file has them or not


def _cables(evidence: Evidence) -> Names:
    """Return the cables whoever builds makes up."""
    if evidence.machine.source.at_a_socket:
        return ()
    cords = _cords(evidence)
    return tuple(name for name in _links(evidence, Cable) if name not in cords) or ("every cable",)


def _cords(evidence: Evidence) -> Names:
    """Return the cords that mains runs in: all of a socket's, and what lies behind an inverter."""
    chains = [chain for chain in evidence.machine.chains if chain.alternating]
    mains = {id(link) for chain in chains for link in chain.links[: _where_mains_begins(chain)]}
    return _links(evidence, Cable, lambda link: id(link) in mains)


def _where_mains_begins(chain: Chain) -> int:
    """Return how many links of an alternating chain have mains: those before its inverter, else all."""
    kinds = [getattr(link, "kind", "") for link in chain.links]
    return kinds.index("inverter") if "inverter" in kinds else len(kinds)


def _plugs(evidence: Evidence) -> Names:
    port = ("charge port",) if evidence.machine.charger is not None else ()
    return (*_contacts("plug")(evidence), *port)


def _grouped(evidence: Evidence) -> bool:
    source = evidence.machine.source
    return source.kind == "cells" and not source.ready_made and first_number(source.series) > 1.0


def _alternating(evidence: Evidence) -> bool:
    return any(chain.alternating for chain in evidence.machine.chains)


PARTS: dict[str, Callable[[Evidence], Names]] = {
    "emergency-stop": _if(lambda e: e.guard is not None, "emergency stop"),
    "supplied-stop": _if(lambda e: e.machine.source.endless, "emergency stop"),
    "held-control": _if(lambda e: e.machine.safety.dead_man is True, "held control"),
    "brake": lambda e: tuple(one.chain for one in _braked(e, by_controller=False)),
    "controller-brake": lambda e: tuple(one.chain for one in _braked(e, by_controller=True)),
    "coasts": lambda e: tuple(one.chain for one in _coasting(e)),
    "friction-brake": _if(lambda e: e.machine.safety.friction_brake, "mechanical brake"),
    "guards": _if(lambda e: True, "guards"),
    "lugs": _lugs,
    "plugs": _plugs,
    "cables": _cables,
    "cords": _cords,
    "mains-terminals": _if(lambda e: e.machine.source.at_a_socket, "boxes"),
    "fuse": _if(lambda e: e.fused is not None, "main fuse"),
    "contactor": _if(lambda e: e.guard is not None, "contactor"),
    "brushes": _brushes,
    "air": _motors,
    "motor": _motors,
    "bearings": lambda e: _links(e, Bearings),
    "belts": _stages("v-belt", "toothed-belt", "flat-belt"),
    "chains": _stages("roller-chain"),
    "gears": _stages("gears", "worm"),
    "blade": _tools(Blade),
    "saw": _tools(Saw),
    "chipper": _tools(Chipper),
    "tines": _tools(Tiller),
    "auger": _tools(Auger),
    "fan": _tools(Fan),
    "pump": _tools(Pump),
    "rope": _tools(Winch),
    "wheels": _tools(Wheels),
    "packed": _if(lambda e: not e.machine.source.endless, "machine"),
    "supplied": _if(lambda e: e.machine.source.endless, "machine"),
    "pack": _if(lambda e: not e.machine.source.endless, "pack"),
    "sealed": _if(lambda e: e.machine.source.kind == "cells", "pack"),  # batteries stand open to the air
    "groups": _if(_grouped, "pack"),
    "lead": _if(lambda e: e.machine.source.kind == "batteries", "batteries"),
    "storage": _if(lambda e: e.machine.charger is not None and e.machine.source.cell.chemistry in LITHIUM, "pack"),
    "charger": _if(lambda e: e.machine.charger is not None, "charger"),
    "mains": _if(_alternating, "mains lead"),
    "inverter": _converters,
}
