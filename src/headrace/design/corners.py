"""Operating points at the ends of what may happen: fastest, slowest, coldest, hardest on the cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from headrace.drive.bus import solve_together
from headrace.drive.converting import apparent_at
from headrace.drive.demand import heavier, work_terms
from headrace.drive.links import parts
from headrace.drive.motors import kind_of
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth, train, trains_in
from headrace.drive.walk import slow_crossing
from headrace.findings.evidence import Corners, Days
from headrace.machine.links import AnyMotor, Motor
from headrace.machine.records import Chain, DutyState, Job, Lanes, Machine
from headrace.pack import source as pack
from headrace.pack.weakest import weakest
from headrace.physics import duty

NO_LOAD = DutyState("no load", 1.0, loaded=False, lifted=True)
ALONE: Mapping[int, Lanes] = {}  # nothing beside the load


def points_at(
    machine: Machine,
    state: DutyState,
    terminals: Terminals,
    warmths: Sequence[Warmth],
    added: Mapping[int, Lanes] = ALONE,
) -> list[Point]:
    """Solve every chain, and after them the auxiliaries, in one duty state on given terminals at given warmths.

    Parameters
    ----------
    machine, state, terminals, warmths
        What is solved, and where.
    added
        Torque beside the load, by the place of the chain it meets, at its tool's shaft. [N·m]
    """
    rows = [parts(chain) for chain in machine.chains]
    demands = [
        work_terms(row, chain.work, state, machine.job, warmth.air)
        for row, chain, warmth in zip(rows, machine.chains, warmths, strict=True)
    ]
    for place, torque in added.items():
        demands[place] = heavier(demands[place], torque)
    return solve_together(trains_in(state, machine.chains, rows, demands, warmths, machine.auxiliaries), terminals)


def slow_crossing_of(chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals) -> Lanes:
    """Return the tool speed below which the load stops the tool; nan when there is none. [rad/s]"""
    row = parts(chain)
    return slow_crossing(train(row, work_terms(row, chain.work, state, job, warmth.air), warmth), terminals)


def corners(machine: Machine, days: Days) -> Corners:
    """Solve the corners of a machine in all its lanes."""
    limits, job = machine.limits, machine.job
    worn = pack.worn(machine.source, limits)
    warm = [Warmth(days.aged.highest_winding, days.aged.highest_case, job.ambient) for _ in machine.chains]
    cold = [Warmth(limits.ambient_cold, limits.ambient_cold, limits.ambient_cold) for _ in machine.chains]
    weak = weakest(worn, limits.reserve)
    usual = pack.at_length(worn, pack.fresh(job.ambient, limits.reserve))
    chilled = pack.at_length(worn, pack.fresh(limits.ambient_cold, limits.reserve))
    full = pack.at(machine.source, pack.fresh(job.ambient))
    at_reserve = [points_at(machine, state, usual, warm) for state in job.states]
    in_cold = [points_at(machine, state, chilled, cold) for state in job.states]
    on_full = [points_at(machine, state, full, warm) for state in job.states]
    by_chain = list(zip(*on_full, strict=True))[: len(machine.chains)]
    shares = [state.share for state in job.states]
    cell_amps = [[_in_cell(machine, points) for points in corner] for corner in (on_full, at_reserve, in_cold)]
    return Corners(
        fastest=tuple(_pace(*pair) for pair in zip(machine.chains, bare_speeds(machine, days), strict=True)),
        slowest=_slowest(machine, at_reserve),
        coldest=_slowest(machine, in_cold),
        lowest_bus=duty.least([point.bus_voltage for points in at_reserve + in_cold for point in points]),
        lowest_cell=duty.least(
            [_cell_voltage(machine, usual, points) for points in at_reserve]
            + [_cell_voltage(machine, chilled, points) for points in in_cold]
        ),
        lowest_group=duty.least(
            [
                _cell_voltage(machine, pack.at_length(weak.source, pack.fresh(air, weak.charge)), points)
                for air, corner in ((job.ambient, at_reserve), (limits.ambient_cold, in_cold))
                for points in corner
            ]
        ),
        rms_cell_current=duty.greatest([duty.root_mean_square(shares, amps) for amps in cell_amps]),
        peak_cell_current=duty.greatest([amps for corner in cell_amps for amps in corner]),
        motor_current=tuple(
            duty.root_mean_square(shares, [point.motor_current for point in points]) for points in by_chain
        ),
        motor_speed=tuple(duty.mean(shares, [point.motor_speed for point in points]) for points in by_chain),
        apparent=tuple(
            duty.greatest([_apparent(chain, point) for point in points])
            for chain, points in zip(machine.chains, by_chain, strict=True)
        ),
        shaft_power=tuple(
            duty.mean(shares, [_shaft_power(chain, point, warmth) for point in points])
            for chain, points, warmth in zip(machine.chains, by_chain, warm, strict=True)
        ),
        chain_current=tuple(
            duty.greatest(
                [
                    duty.root_mean_square(shares, [points[place].battery_current for points in corner])
                    for corner in (on_full, at_reserve, in_cold)
                ]
            )
            for place, _ in enumerate(machine.chains)
        ),
    )


def bare_speeds(machine: Machine, days: Days) -> list[Lanes]:
    """Return each tool's speed after a full charge without load, magnets warm from work. [rad/s]"""
    hot = machine.limits.ambient_hot
    terminals = pack.at(machine.source, pack.fresh(hot))
    warmths = [Warmth(hot, warm_magnets(machine, chain, days), hot) for chain in machine.chains]
    points = points_at(machine, NO_LOAD, terminals, warmths)
    return [point.tool_speed for _, point in zip(machine.chains, points, strict=False)]


def warm_magnets(machine: Machine, chain: Chain, days: Days) -> Lanes:
    """Return the temperature of the magnets after work on a hot day, assumed or marched, whichever is more. [K]"""
    return np.maximum(machine.limits.ambient_hot + magnet_rise(parts(chain).motor), days.hottest_case)


def magnet_rise(motor: AnyMotor) -> Lanes:
    """Return how far above the air magnets are taken to be after work; a motor without has none. [K]"""
    return motor.magnet_rise if isinstance(motor, Motor) else 0.0


def _pace(chain: Chain, speed: Lanes) -> Lanes:
    return tool_of(chain.work).pace_at(chain.work, speed)


def _slowest(machine: Machine, states: list[list[Point]]) -> tuple[Lanes, ...]:
    """Return the slowest pace of each chain's tool among the loaded states."""
    pairs = list(zip(machine.job.states, states, strict=True))
    return tuple(
        duty.least([_pace(chain, points[place].tool_speed) for state, points in pairs if state.loads(chain)])
        for place, chain in enumerate(machine.chains)
    )


def _in_cell(machine: Machine, points: list[Point]) -> Lanes:
    return sum(point.battery_current for point in points) / machine.source.parallel


def _cell_voltage(machine: Machine, terminals: Terminals, points: list[Point]) -> Lanes:
    return terminals.inside(sum(point.battery_current for point in points)) / machine.source.series


def _apparent(chain: Chain, point: Point) -> Lanes:
    """Return the volt-amperes a chain asks of its converter; none without one. [VA]"""
    box = parts(chain).converter
    return 0.0 if box is None else apparent_at(box, point)


def _shaft_power(chain: Chain, point: Point, warmth: Warmth) -> Lanes:
    """Return the power at a chain's motor shaft. [W]"""
    motor = parts(chain).motor
    return kind_of(motor).shaft_power(motor, warmth, point)
