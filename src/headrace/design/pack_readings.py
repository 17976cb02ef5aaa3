"""What a meter says of a pack: its volts at rest, how far apart its groups are, and its resistance from two loads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from headrace.machine.practice import practice
from headrace.machine.records import Lanes, Machine, Source
from headrace.pack import source as pack
from headrace.pack.resting import rest_before
from headrace.physics import cells, conductors, duty, switching
from headrace.physics.working import leaves
from headrace.tables import load, sources
from headrace.wiring.fuse import Fused
from headrace.wiring.readings import Reading, reading

ENDS = "pack.plus and pack.minus"
TENTHS = tuple(percent / 100.0 for percent in range(100, -1, -10))
ENDLESS = "what never empties has the same volts at all times"
PLATEAU = "on the plateau of these cells the volts do not tell the charge: count what was drawn instead"
JUST_FULL = "minutes after the charger, nothing connected: these cells soon fall to their plateau"
STILL_HIGH = "it is read before its volts have fallen to the plateau, which a rest would wait for"
TELLS_APART = 2.0  # times the light load, below which a meter's last digit decides; by judgement
SOFT = "cells, board or main fuse let through too little beside the light load to tell the two apart"


@dataclass(frozen=True)
class Rested:
    """Volts of a new pack that has rested for hours, at one charge; arrays over lanes."""

    name: str
    charge: Lanes  # -
    voltage: Lanes  # V
    cell: Lanes  # V
    reason: str  # why the charge cannot be told from them; "" where it can


def rested(source: Source) -> tuple[Rested, ...]:
    """Return the volts at rest from full to empty in tenths; nothing of what never empties."""
    if source.endless:
        return ()
    found = []
    for tenth in TENTHS:
        charge = leaves(tenth, "search", "charge it is read at")
        cell = pack.open_voltage(source.cell, charge)
        flat = source.cell.plateau is not None and source.cell.plateau[0] < cell < source.cell.plateau[1]
        volts = switching.stack_voltage(source.series, cell)
        found.append(Rested(f"{100.0 * tenth:.0f} %", charge, volts, cell, PLATEAU if flat else ""))
    return tuple(found)


@dataclass(frozen=True)
class TwoLoads:
    """A pack under a light load and right after it under a heavy one; arrays over lanes.

    Attributes
    ----------
    first, second
        Currents. [A]
    first_time, second_time
        How long each is drawn. [s]
    first_voltage, second_voltage
        At the ends of the pack, at the end of each. [V]
    resistance
        From the two. [Ω]
    at_once, after
        What answers at once, and what stands after a while of the heavy load alone. [Ω]
    lasting
        How long that is. [s]
    limited
        Whether the heavy load is less than the test's, as something would open or is not made for it.
    reason
        Why it cannot be done; "" where it can.
    """

    first: Lanes
    first_time: Lanes
    second: Lanes
    second_time: Lanes
    first_voltage: Lanes
    second_voltage: Lanes
    resistance: Lanes
    at_once: Lanes
    after: Lanes
    lasting: Lanes
    limited: bool
    reason: str


def two_loads(machine: Machine, fused: Fused | None = None) -> TwoLoads | None:
    """Return what two loads say of a new pack at half charge; None of what never empties.

    Half full, because near full the volts at rest fall fast, and what they fall by would be taken for ohms. The heavy
    load is no more than cells, board and main fuse let through for hours.
    """
    source, air = machine.source, machine.job.ambient
    if source.endless:
        return None
    row = load("dc_tests")[0]
    columns = ("first_rate", "first_time", "second_rate", "second_time")
    light, first_time, heavy, second_time = leaves(
        tuple(float(row[c]) for c in columns), "table", sources()[row["source"]].title
    )
    group = source.parallel * source.cell.capacity
    first, wanted = (cells.rate_current(group, rate) for rate in (light, heavy))
    most = _lets_through(machine, fused)
    second = duty.least([wanted, most])
    fresh = pack.fresh(air, practice("readings.charge"))
    one = pack.advance(source, fresh, first, air, first_time)
    two = pack.advance(source, one, second, air, second_time)
    volts = [_held(source, state, amps) for state, amps in ((one, first), (two, second))]
    long = practice("readings.lasting")
    after = _held(source, pack.advance(source, fresh, second, air, long), second)
    rest = pack.at(source, fresh)
    bears = np.asarray(first * TELLS_APART <= second)

    def there(value: Lanes) -> Lanes:
        return np.where(bears, value, np.nan)

    low, high, first_volts, second_volts = (there(value) for value in (first, second, *volts))
    return TwoLoads(
        first=low,
        first_time=first_time,
        second=high,
        second_time=second_time,
        first_voltage=first_volts,
        second_voltage=second_volts,
        resistance=cells.dc_resistance(first_volts, low, second_volts, high),
        at_once=rest.resistance,
        lasting=long,
        after=cells.dc_resistance(rest.voltage, 0.0, after, high),
        limited=bool(np.asarray(second < wanted).flat[0]),
        reason="" if bears.flat[0] else SOFT,
    )


def _lets_through(machine: Machine, fused: Fused | None) -> Lanes:
    """Return what cells, the pack's own limit, board and main fuse let through for hours. [A]"""
    source, board = machine.source, machine.board
    limits = [source.parallel * source.cell.continuous_current, source.current_limit]
    limits += [] if board is None else [board.continuous]
    if fused is not None and fused.kind is not None:
        limits.append(
            switching.derated_current(fused.rating, practice("connector.share", "share of a rating used for hours"))
        )
    return duty.least(limits)


def _held(source: Source, state: pack.PackState, current: Lanes) -> Lanes:
    """Return the volts at a pack's ends under a current. [V]"""
    offered = pack.at(source, state)
    return offered.voltage - conductors.voltage_drop(current, offered.resistance)


def pack_readings(machine: Machine, found: TwoLoads | None) -> Iterator[Reading]:
    """Yield what is read of a pack that stands by itself; nothing of what never empties."""
    source = machine.source
    if found is None or machine.charger is None:
        return
    half, rest = practice("readings.charge"), rest_before(source)
    for name, charge in (
        ("full", leaves(1.0, "search", "full")), ("half full", half), ("at the reserve", machine.limits.reserve)
    ):  # fmt: skip
        full = name == "full"
        at_once = full and source.cell.plateau is not None
        yield reading(
            f"rest {name}",
            "rest-full" if full else "rest-voltage",
            ENDS,
            JUST_FULL if at_once else "nothing connected",
            switching.stack_voltage(source.series, pack.open_voltage(source.cell, charge)),
            f"{_left_out(source)} {_less(full=full)} {_more(source, full=full)}",
            rested=np.nan if at_once else rest,
            unrested=STILL_HIGH,
        )
    if source.kind != "batteries":  # they are not wired group by group
        yield _apart(machine, half)
    yield reading(
        "resistance of the pack",
        "resistance",
        ENDS,
        "half full; the light load, then at once the heavy one, read at the end of each; draw them behind "
        "the main fuse with lamps or a load resistor made for these amps and volts, and never with a piece of wire",
        found.resistance,
        "More: cold or worn cells, or a bad joint inside. Much less: the leads or the clock, read it again.",
        current=found.second,
        reason=found.reason,
        rested=rest,
    )


def _left_out(source: Source) -> str:
    """Return what it means when volts of one of several in series are missing: of a cell itself nothing is read."""
    if source.kind == "batteries":
        return "One battery's volts less: one left out, or flat. Two volts less: a dead cell in one of them, read each."
    if source.ready_made:
        return "A group's volts less: one inside is dead; it is not opened, it goes back to its maker."
    return "A group's volts less: one left out."


def _less(*, full: bool) -> str:
    """Return what a little less than those volts means."""
    cause = "not charged to the end" if full else "emptier than taken for"
    return f"Some tenths less: {cause}, or not rested."


def _more(source: Source, *, full: bool) -> str:
    """Return what more volts than those mean: beyond full they are the charger's doing, below it a wrong belief."""
    overcharged = "More than a full pack has: overcharged by a wrong charger, stop."
    if source.kind == "batteries":
        staying = "a wrong charger, stop" if full else "fuller than taken for"
        return f"More, and falling by the hour: not rested since the charger. More and staying: {staying}."
    return overcharged if full else f"More: fuller than taken for. {overcharged}"


def _apart(machine: Machine, half: Lanes) -> Reading:
    """Return how far apart the groups may be at half charge."""
    source, charger = machine.source, machine.charger
    gap = np.nan if charger is None else charger.gap
    volts: Lanes = np.nan
    if source.kind == "cells":
        volts = pack.open_voltage(source.cell, half) - pack.open_voltage(source.cell, half - gap)
    return reading(
        "groups apart",
        "apart",
        "neighbouring pins of the sense plug, the highest less the lowest",
        "half full, nothing connected",
        volts,
        "More, new and balanced: a group of fewer or weaker cells, or one that leaks. Balance it, and look again "
        "after a week. In use it is acted on at the limit of the season card, read full and rested.",
        reason="these groups are not wired one by one",
        rested=rest_before(source),
    )
