"""Every reading a builder takes with a meter on the bench, and what it should be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from headrace.design.pack_readings import TwoLoads, pack_readings, two_loads
from headrace.design.trial import Charged, Trial, Working, works
from headrace.drive.alone import runs_free
from headrace.drive.links import parts
from headrace.drive.point import REASONS, Outcome, Point
from headrace.drive.tools import tool_of
from headrace.findings import Evidence, Stopping
from headrace.machine.records import Chain, Machine
from headrace.machine.values import first_number
from headrace.physics import duty
from headrace.wiring.brake_words import brake_words
from headrace.wiring.drops import MAINS, drops
from headrace.wiring.readings import Reading, reading

ENDLESS_CLAMP = "round the lead of the supply"
CLAMP = "a clamp meter for direct current round the wire from pack.plus to fuse.in"
MORE_AMPS = "More: friction, a brake that drags, heavier work than planned. Less: lighter work, or it turns too slowly."
COLD = "Cold it takes other amps, those in brackets of the first power-up."
STAYS_ON = "More: something stays on that should be off, as a display, a controller or the board."
STAYS_ON_SUPPLIED = "More: something stays on that should be off."
IDLES = (
    "Less: the held control has cut the feed of the inverter too, which then does not idle. The day counts it as "
    "idling on."
)
SLOWER = "Slower: volts lost on the way, a limit that holds it, more load. Faster: less load, or another winding."
COLD_SPEED = "Cold it turns at another speed, that in brackets of the first power-up."
FEWER_VOLTS = "Less: look for the joint or cable that takes them, in the readings of the drops. More: fewer amps flow."
COASTS = "Shorter: {}. Longer: less drag or more mass than planned"
DRAGS, STOPPED = "it drags", "it drags, or the brake that does not work unplugged has stopped it"
FITTED = "it drags, or a brake is fitted, as is proposed"
NEVER_WORKED = "no day was worked"


@dataclass(frozen=True)
class Readings:
    """All of them, and what two loads say of the pack."""

    rows: tuple[Reading, ...]
    loads: TwoLoads | None  # None of what never empties


def readings(machine: Machine, evidence: Evidence, trial: Trial) -> Readings:
    """Return every reading of a machine, its cells new; those at work as warm as it is after the day's work."""
    loads = two_loads(machine, evidence.fused)
    first = trial.charged[0]
    rows = [*pack_readings(machine, loads), *_at_work(machine, first)]
    for place, chain in enumerate(machine.chains):
        hardest = _hardest(first, chain, place)
        when = "nothing works" if hardest is None else f"in {hardest[0]}, {FILLED[first.name]}, once warm"
        point = None if hardest is None else hardest[1]
        rows += _controller(trial, chain, place, None if hardest is None else hardest[0])
        rows += drops(machine, chain, point, when, evidence.netlist, evidence.proposals)
    for chain, stop in zip(machine.chains, evidence.stops, strict=True):
        rows += _stopping(chain, stop)
    rows.append(_warm(machine, evidence))
    return Readings(tuple(rows), loads)


FILLED = {"full": "pack full", "half": "pack half full", "reserve": "pack at the reserve", "supply": "on its supply"}


def _hardest(first: Charged, chain: Chain, place: int) -> tuple[str, Point] | None:
    """Return the duty state in which the typical motor takes most amps, of those that work; None where none does."""
    found = [
        (one.state.name, one.points[place])
        for one in first.states
        if one.state.at_work(chain) and works(one.points[place])
    ]
    return max(found, key=lambda pair: first_number(pair[1].motor_current), default=None)


def _at_work(machine: Machine, first: Charged) -> Iterator[Reading]:
    """Yield amps out of the source and speed of every tool in each duty state."""
    when = f"{FILLED[first.name]}, once warm"
    for one in first.states:
        on = [point for point in one.points if point.outcome.flat[0] != Outcome.OFF]
        bad = next((point for point in on if not works(point)), None)
        yield reading(
            f"amps in {one.state.name}",
            "current",
            "a power meter in the socket" if machine.source.at_a_socket else _clamp(machine),
            when,
            one.current if bad is None else np.nan,
            _amps_differ(one) if on else _stays_on(machine, one),
            reason="" if bad is None else _why(bad),
        )
        for chain, point, cold in zip(machine.chains, one.points, one.cold_points, strict=True):
            if not one.state.at_work(chain):
                continue
            yield reading(
                f"speed of {chain.name} in {one.state.name}",
                "speed",
                "a mark on the shaft of the tool and a tachometer that needs no touch, from outside the guard",
                when,
                np.where(point.works, point.tool_speed, np.nan),
                SLOWER if _as_fast(point, cold) else f"{SLOWER} {COLD_SPEED}",
                reason=_why(point),
            )


def _as_fast(warm: Point, cold: Point) -> bool:
    """Return whether the tool is as fast in the first minutes, as far as a tachometer shows it."""
    return round(first_number(warm.tool_speed)) == round(first_number(cold.tool_speed))


def _amps_differ(one: Working) -> str:
    """Return what other amps mean; those of the first minutes are told of as far as they differ."""
    warm, cold = (f"{first_number(amps):.1f}" for amps in (one.current, one.cold_current))
    return MORE_AMPS if warm == cold else f"{MORE_AMPS} {COLD}"


def _stays_on(machine: Machine, one: Working) -> str:
    more = STAYS_ON_SUPPLIED if machine.source.endless else STAYS_ON
    return f"{more} {IDLES}" if _idles(machine, one) else more


def _idles(machine: Machine, one: Working) -> bool:
    """Return whether a converter draws while its chain is off."""
    boxed = (parts(chain).converter is not None for chain in machine.chains)
    return any(box and first_number(point.battery_current) > 0.0 for box, point in zip(boxed, one.points, strict=True))


def _clamp(machine: Machine) -> str:
    return ENDLESS_CLAMP if machine.source.endless else CLAMP


def _why(point: Point) -> str:
    return REASONS[Outcome(int(point.outcome.flat[0]))]


def _controller(trial: Trial, chain: Chain, place: int, state: str | None) -> Iterator[Reading]:
    """Yield the volts that a controller or a converter sees in its hardest state, on each charge."""
    row = parts(chain)
    box = row.converter or row.controller
    mains = row.alternating and row.converter is None
    where = f"{chain.name} {box.name}.plus and {chain.name} {box.name}.minus"
    for one in trial.charged:
        points = [work.points[place] for work in one.states if work.state.name == state]
        volts = duty.least([np.where(point.works, point.bus_voltage, np.nan) for point in points]) if points else np.nan
        yield reading(
            f"volts at {box.name} of {chain.name}, {FILLED[one.name]}",
            "loaded-voltage",
            "nowhere by hand" if mains else where,
            "nothing works" if state is None else f"in {state}, once warm",
            np.nan if mains else volts,
            FEWER_VOLTS,
            current=np.nan if mains or not points else points[0].battery_current,
            reason=MAINS if mains else _why(points[0]) if points else "no duty state of this chain works",
        )


def _stopping(chain: Chain, stop: Stopping) -> Iterator[Reading]:
    """Yield how long a tool turns on after release; a brake that is planned nobody takes off to time it without."""
    tool, timed, care = tool_of(chain.work), stop.timed, runs_free(chain)
    held = np.isfinite(tool.must_stop)
    must = f"; past {tool.must_stop:.0f} s it is not used before it brakes" if held else ""
    where = "a watch, and a mark on the tool seen from outside the guard"
    when = f"{f'{care}; ' if care else ''}motor cold, run up without load at full volts, then let go"
    braked = bool(np.isfinite(first_number(timed.braked_time)))
    if not braked:
        yield reading(
            f"{chain.name} to rest, coasting",
            "coasting",
            where,
            "never" if care is None else when,
            timed.coast_time,
            f"{COASTS.format(_sooner(stop))}{must}.",
            reason=timed.reason,
        )
    else:
        yield reading(
            f"{chain.name} to rest, braked",
            "braking",
            where,
            when,
            timed.braked_time,
            f"Longer: {brake_words(by_controller=stop.by_controller).longer}; without any brake it takes "
            f"{first_number(timed.coast_time):.1f} s{must}.",
            reason=timed.reason,
        )


def _sooner(stop: Stopping) -> str:
    """Return why what coasts may stand sooner than told."""
    if stop.only_fed:
        return STOPPED
    return DRAGS if stop.proposed is None else FITTED


def _warm(machine: Machine, evidence: Evidence) -> Reading:
    """Return how warm the hottest motor's case is after the day's work."""
    run = evidence.days.new
    worked = np.asarray(run.duration) > 0.0
    return reading(
        "motor's case after the work",
        "warmth",
        "a contact thermometer on the motor's case, at once after it stands",
        "after the whole job in its usual weather",
        np.where(worked, run.highest_case, np.nan),
        "Warmer: more load, less air, or a winding that is shorted. It burns the hand: do not feel for it.",
        start=machine.job.ambient,
        reason=NEVER_WORKED,
    )
