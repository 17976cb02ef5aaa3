"""How each chain of a machine comes to rest once it is let go, and the brake that would stop it in time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np

from headrace.design.corners import NO_LOAD, bare_speeds, points_at, warm_magnets
from headrace.drive.alone import runs_free
from headrace.drive.links import parts
from headrace.drive.point import Point
from headrace.drive.stopping import (
    Brake,
    Spin,
    braked,
    coast_time,
    first_amps,
    harming_current,
    largest_resistor,
    spin,
    stop_time,
)
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth
from headrace.findings.evidence import Days
from headrace.findings.rest import Stopping, Timed
from headrace.machine.records import Chain, DutyState, Lanes, Machine
from headrace.machine.values import first_lane, first_number, low_drag
from headrace.pack import source as pack
from headrace.physics import loads
from headrace.physics.working import leaves
from headrace.tables import load
from headrace.wiring.brake import has_phases
from headrace.wiring.order_tried import Tried

MUST_STAND = "time a rule allows; 16 CFR 1205.5(a)(1)(iii) of a mower's blade"
COASTING = DutyState("coasting", 1.0, loaded=False)  # wheels on level ground, everything else without its load
BRAKE_LIMIT = 2.5  # s, wanted from a brake that is proposed: its resistor and the friction may be off
NO_TURNS = "it does not turn without its load"
RUNS_DRY = "a pump must not run dry to be timed; with water in it it stands almost at once"
USUAL = "largest usual resistor that stops it in two and a half seconds"


def stops(machine: Machine, days: Days) -> tuple[Stopping, ...]:
    """Return how every chain comes to rest: drag at the low ends of its bands, motor hot, from its fastest corner."""
    slick = low_drag(machine)
    timing = [partial(_timed, machine, *pair) for pair in zip(machine.chains, _bare(machine), strict=False)]
    rows = zip(slick.chains, bare_speeds(slick, days), timing, strict=True)
    return tuple(_stopping(slick, chain, speed, days, one) for chain, speed, one in rows)


def _bare(machine: Machine) -> list[Point]:
    """Return how every chain runs with its tool on and nothing for it to do, full, new and cold."""
    air = machine.job.ambient
    terminals = pack.at(machine.source, pack.fresh(air, leaves(1.0, "search", "full")))
    return points_at(machine, NO_LOAD, terminals, [Warmth(air, air, air) for _ in machine.chains])


def _timed(machine: Machine, chain: Chain, bare: Point, drawn: Brake | None) -> Timed:
    """Return how long a tool turns on after release as somebody times it, and with the brake planned or drawn."""
    care = runs_free(chain)
    if care is None:
        return Timed(np.nan, np.nan, np.nan, np.nan, RUNS_DRY, "")
    air, safety = machine.job.ambient, machine.safety
    free = spin(chain, NO_LOAD, machine.job, Warmth(air, air, air))
    speed = np.where(bare.works & (bare.tool_speed > 0.0), bare.tool_speed, np.nan)
    planned = safety.brake_resistance if _counts(machine, chain, free) else np.nan
    ohms = planned if drawn is None else drawn.resistance
    braked_time = stop_time(free, speed, ohms) if np.all(np.isfinite(ohms)) else np.nan
    amps = np.where(np.isfinite(speed), bare.battery_current, np.nan)
    reason = "" if np.isfinite(first_number(speed)) else NO_TURNS
    return Timed(speed, amps, coast_time(free, speed), braked_time, reason, care)


def tried(machine: Machine, found: Sequence[Stopping]) -> tuple[Tried, ...]:
    """Return every chain as it is first run, of the stops of a machine."""
    rows = []
    for chain, one in zip(machine.chains, found, strict=True):
        braked = bool(np.isfinite(first_number(one.timed.braked_time)))
        rows.append(
            Tried(
                chain=chain.name,
                care=runs_free(chain),
                speed=one.timed.tool_speed,
                current=one.timed.current,
                stands=one.timed.braked_time if braked else one.timed.coast_time,
                braked=braked,
                coasts=one.timed.coast_time,
                limit=leaves(one.limit, "table", MUST_STAND),
            )
        )
    return tuple(rows)


def _has_brake(machine: Machine, chain: Chain, free: Spin) -> bool:
    """Return whether the file has a resistor for this chain's motor, and it brakes it."""
    return free.brakes and is_braked(machine, chain) and bool(np.all(np.isfinite(machine.safety.brake_resistance)))


def _counts(machine: Machine, chain: Chain, free: Spin) -> bool:
    """Return whether that brake counts as planned: one that needs the pack is gone when it is needed most."""
    return machine.safety.brake_works_unplugged and _has_brake(machine, chain, free)


def _stopping(
    machine: Machine, chain: Chain, speed: Lanes, days: Days, timing: Callable[[Brake | None], Timed]
) -> Stopping:
    limits, tool, row = machine.limits, tool_of(chain.work), parts(chain)
    hot = Warmth(
        np.maximum(limits.ambient_hot, days.hottest_winding), warm_magnets(machine, chain, days), limits.ambient_hot
    )
    free = spin(chain, COASTING, machine.job, hot)
    box = row.converter
    volts = machine.source.series * machine.source.cell.nominal_voltage if box is None else box.voltage
    most = harming_current(row.motor, volts, row.controller.motor_current)
    coast = coast_time(free, speed)
    why, proposed = _proposed(free, speed, coast, most, cuts=tool.cuts)
    by_controller = has_phases(row.motor)
    planned = braked(free, speed, machine.safety.brake_resistance) if _counts(machine, chain, free) else None
    drawn = planned is None and proposed is not None and not by_controller and not machine.source.endless
    return Stopping(
        chain=chain.name,
        tool=chain.work.name,
        cuts=tool.cuts,
        limit=tool.must_stop,
        tool_speed=speed,
        coast_time=coast,
        spin_energy=loads.spin_energy(free.inertia, speed * free.work.turns),
        planned=planned,
        only_fed=_has_brake(machine, chain, free) and not machine.safety.brake_works_unplugged,
        proposed=proposed,
        why=why,
        short_current=first_amps(free, speed, 0.0) if free.brakes else np.nan,
        most_current=most,
        timed=timing(proposed if drawn else None),
        by_controller=by_controller,
        drawn=drawn,
    )


def is_braked(machine: Machine, chain: Chain) -> bool:
    """Return whether the file's brake is this chain's: it is for what cuts, and for all where nothing does."""
    return tool_of(chain.work).cuts or not any(tool_of(one.work).cuts for one in machine.chains)


def _proposed(free: Spin, speed: Lanes, coast: Lanes, most: Lanes, *, cuts: bool) -> tuple[str, Brake | None]:
    """Return the brake that is proposed; the word says why none is, where none is."""
    if not cuts or first_number(coast) <= BRAKE_LIMIT:
        return "no-need", None
    if not free.brakes:
        return "no-magnets", None
    found = largest_resistor(first_lane(free), first_number(speed), BRAKE_LIMIT, resistors())
    if found is None:
        return "too-weak", None
    brake = braked(free, speed, leaves(found, "search", USUAL))
    if first_number(brake.peak_current) > first_number(most):
        return "harms", None
    return "proposed", brake


def resistors() -> tuple[float, ...]:
    """Return the usual values of resistors from a hundredth of an ohm up. [Ω]"""
    return tuple(float(row["value"]) * scale for scale in (0.01, 0.1, 1.0) for row in load("preferred_e12"))
