"""Operating points at the ends of what may happen: fastest, slowest, coldest, hardest on the cells."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headrace.drive.bus import solve_together
from headrace.drive.links import parts
from headrace.drive.point import Point, slow_crossing
from headrace.drive.stopping import brake_for, coast_time, spin, stop_time
from headrace.drive.terminals import Terminals
from headrace.drive.train import Warmth, train, work_terms
from headrace.findings.evidence import Corners, Days, Stop
from headrace.machine.records import Chain, DutyState, Job, Lanes, Machine, Motor
from headrace.machine.values import low_drag
from headrace.pack import source as pack
from headrace.physics import duty, loads
from headrace.tables import load

NO_LOAD = DutyState("no load", 1.0, cutting=False, sward=0.0, wet_factor=1.0, power=0.0)
STOP_LIMIT = 3.0  # s, as in findings.safety
BRAKE_LIMIT = 2.5  # s, wanted from a brake that is proposed: its resistor and the friction may be off


def points_at(machine: Machine, state: DutyState, terminals: Terminals, warmths: Sequence[Warmth]) -> list[Point]:
    """Solve every chain in one duty state on given terminals at given temperatures."""
    trains = []
    for chain, warmth in zip(machine.chains, warmths, strict=True):
        row = parts(chain)
        trains.append(train(row, work_terms(row, chain.work, state, machine.job, warmth.air), warmth))
    return solve_together(trains, terminals)


def slow_crossing_of(chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals) -> Lanes:
    """Return the tool speed below which the load stops the tool; nan when there is none. [rad/s]"""
    row = parts(chain)
    return slow_crossing(train(row, work_terms(row, chain.work, state, job, warmth.air), warmth), terminals)


def corners(machine: Machine, days: Days) -> Corners:
    """Solve the corners of a machine in all its lanes."""
    limits, job = machine.limits, machine.job
    worn = pack.aged(machine.source, limits.end_of_life_capacity, limits.end_of_life_resistance)
    warm = [Warmth(days.aged.highest_winding, days.aged.highest_case, job.ambient) for _ in machine.chains]
    cold = [Warmth(limits.ambient_cold, limits.ambient_cold, limits.ambient_cold) for _ in machine.chains]
    usual = pack.at_length(worn, pack.fresh(job.ambient, limits.reserve))
    chilled = pack.at_length(worn, pack.fresh(limits.ambient_cold, limits.reserve))
    at_reserve = [points_at(machine, state, usual, warm) for state in job.states]
    in_cold = [points_at(machine, state, chilled, cold) for state in job.states]
    full = pack.at(machine.source, pack.fresh(job.ambient))
    on_full = [points_at(machine, state, full, warm) for state in job.states]
    slowest, which = _slowest_tip(machine, at_reserve)
    shares = [state.share for state in job.states]
    cell_amps = [_battery_current(points) / machine.source.parallel for points in on_full]
    return Corners(
        fastest_tip=_tip(machine, bare_speed(machine, days)),
        slowest_tip=slowest,
        slowest_state=which,
        lowest_bus=_lowest([points[0].bus_voltage for points in at_reserve + in_cold]),
        lowest_cell=_lowest(
            [_cell_voltage(machine, usual, points) for points in at_reserve]
            + [_cell_voltage(machine, chilled, points) for points in in_cold]
        ),
        rms_cell_current=np.asarray(duty.root_mean_square(shares, cell_amps)),
        peak_cell_current=np.max(np.broadcast_arrays(*cell_amps), axis=0),
        motor_current=np.asarray(duty.root_mean_square(shares, [points[0].motor_current for points in on_full])),
        motor_speed=np.asarray(duty.mean(shares, [points[0].motor_speed for points in on_full])),
    )


def bare_speed(machine: Machine, days: Days) -> Lanes:
    """Return the tool's speed after a full charge without load, magnets warm from work. [rad/s]"""
    hot = machine.limits.ambient_hot
    warmths = []
    for chain in machine.chains:
        motor = next(link for link in chain.links if isinstance(link, Motor))
        warmths.append(Warmth(hot, np.maximum(hot + motor.magnet_rise, days.hot.highest_case), hot))
    terminals = pack.at(machine.source, pack.fresh(hot))
    return points_at(machine, NO_LOAD, terminals, warmths)[0].tool_speed


def stop(machine: Machine, days: Days) -> Stop:
    """Return how long the blade turns after release, drag at the low ends of its bands."""
    slick = low_drag(machine)
    speed = np.asarray(bare_speed(slick, days))
    hot = machine.limits.ambient_hot
    chain = slick.chains[0]
    motor = next(link for link in chain.links if isinstance(link, Motor))
    free = spin(chain, NO_LOAD, slick.job, Warmth(hot, hot + motor.magnet_rise, hot))
    planned = machine.safety.brake_resistance
    braked = bool(np.all(np.isfinite(planned)))
    time = stop_time(free, speed, planned) if braked else coast_time(free, speed)
    values = tuple(float(row["value"]) * scale for scale in (0.01, 0.1, 1.0) for row in load("preferred_e12"))
    brake = brake_for(free, float(speed.flat[0]), BRAKE_LIMIT, values)
    if brake is None:
        words = "No resistor across the motor stops it in time: take a mechanical brake or a lighter blade."
    else:
        words = (
            f"A resistor of {brake.resistance:.2g} Ω across the motor on release stops it in {brake.time:.1f} s, "
            f"with {brake.peak_current:.0f} A at first and at most {brake.energy:.0f} J into the resistor; "
            "it must work with the pack unplugged."
        )
    return Stop(np.asarray(time), words)


def _tip(machine: Machine, speed: Lanes) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.asarray(loads.tip_speed(speed, machine.chains[0].work.diameter / 2.0))


def _slowest_tip(machine: Machine, states: list[list[Point]]):  # type: ignore[no-untyped-def]
    """Return the slowest tip speed among cutting states, and which state it is."""
    tips, places = [], []
    for place, (state, points) in enumerate(zip(machine.job.states, states, strict=True)):
        if state.cutting:
            tips.append(_tip(machine, points[0].tool_speed))
            places.append(place)
    stacked = np.stack(np.broadcast_arrays(*tips))
    return stacked.min(axis=0), np.asarray(places)[stacked.argmin(axis=0)]


def _battery_current(points: list[Point]) -> Lanes:
    return sum(point.battery_current for point in points)


def _cell_voltage(machine: Machine, terminals: Terminals, points: list[Point]) -> Lanes:
    inside = terminals.cell_resistance + terminals.settled_resistance
    return (terminals.voltage - inside * _battery_current(points)) / machine.source.series


def _lowest(values: Sequence[Lanes]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.asarray(np.min(np.broadcast_arrays(*values), axis=0))
