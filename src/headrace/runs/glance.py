"""A day at a glance: the sums of a march without marching, for choosing among many machines.

The charge that is there is spent at the mean current of the job, looked at in a few charges on the way down; motors and
cells are as warm as constant losses make them half-way through. What a march would say of a day comes out within a few
per cent (``tests/laws/test_glance.py``), at the cost of some dozen operating points.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from headrace.drive.bus import solve_together
from headrace.drive.demand import Demand, work_terms
from headrace.drive.links import Parts, parts
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Warmth, trains_in
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import lanes_of
from headrace.pack import source as pack
from headrace.physics import heat
from headrace.runs.motor_warmth import after, heat_of
from headrace.runs.run import Array, End, Run

CHARGES = 3  # looked at on the way down, at the nodes of Gauss
WARMINGS = 1  # further looks at how warm it gets, each with the losses of the one before
LEAST = 1e-9  # A, to divide by
SHORTEST = 1e-3  # s, to divide by


@dataclass(frozen=True)
class _Motors:
    """Temperatures of every chain's motor. [K]"""

    winding: list[Lanes]
    case: list[Lanes]


def glance(machine: Machine, until: Lanes) -> Run:
    """Return what a march would say of a day from a full, rested pack and cold motors.

    Parameters
    ----------
    machine
        The machine; floats or lanes.
    until
        Time to work. [s]

    Returns
    -------
    Run
        Times, charge left and temperatures; what only a march can say is no number.
    """
    look = _Look(machine)
    air = [machine.job.ambient for _ in look.rows]
    half, end = look.warmed(_Motors(air, air), until)
    for _ in range(WARMINGS):
        half, end = look.warmed(half, until)
    return look.run(half, end, until)


class _Look:
    """One machine being looked at."""

    def __init__(self, machine: Machine) -> None:
        self.machine = machine
        self.rows: list[Parts] = [parts(chain) for chain in machine.chains]
        self.works: list[list[Demand]] = [
            [work_terms(row, chain.work, state, machine.job, machine.job.ambient) for state in machine.job.states]
            for row, chain in zip(self.rows, machine.chains, strict=True)
        ]

    def points(self, terminals: Terminals, warm: _Motors) -> list[list[Point]]:
        """Return the points of every chain, and of the auxiliaries after them, in every duty state."""
        air = self.machine.job.ambient
        warmths = [Warmth(winding, case, air) for winding, case in zip(warm.winding, warm.case, strict=True)]
        found = []
        for place, state in enumerate(self.machine.job.states):
            demands = [works[place] for works in self.works]
            trains = trains_in(state, self.machine.chains, self.rows, demands, warmths, self.machine.auxiliaries)
            found.append(solve_together(trains, terminals))
        return found

    def mean(self, values: list[Lanes]) -> Lanes:
        """Return the mean over the job of a number known in each state."""
        states = self.machine.job.states
        return sum(state.share * value for state, value in zip(states, values, strict=True))

    def warmed(self, warm: _Motors, until: Lanes) -> tuple[_Motors, _Motors]:
        """Return how warm the motors are half-way and at the end, by the losses of half a charge when warm as given."""
        air = self.machine.job.ambient
        points = self.points(pack.at_length(self.machine.source, pack.fresh(air, pack.HALF_FULL)), warm)
        half, end = _Motors([], []), _Motors([], [])
        for k, row in enumerate(self.rows):
            warmth = Warmth(warm.winding[k], warm.case[k], air)
            made = [heat_of(row, chains[k], warmth) for chains in points]
            inner, outer = (self.mean([heats[place] for heats in made]) for place in range(2))
            for found, seconds in ((half, 0.5 * until), (end, until)):
                winding, case = after(row.motor, air, air, inner, outer, air, seconds)
                found.winding.append(winding)
                found.case.append(case)
        return half, end

    def run(self, half: _Motors, end: _Motors, until: Lanes) -> Run:
        """Return the sums of a day on which the motors are as warm as half-way through."""
        source, air = self.machine.source, self.machine.job.ambient
        shape = np.broadcast_shapes(lanes_of(self.machine), np.shape(until))
        lasts, watts = (np.inf, 0.0) if source.endless else self._spent(half, shape)
        depth = 1.0 - self.machine.limits.reserve
        lasts = lasts * source.in_turn
        used = depth * np.minimum(until / np.maximum(lasts, SHORTEST), 1.0)
        mass = source.cell.mass * source.cell.specific_heat
        cell = air if source.endless else heat.one_node_step(air, watts, pack.cooling(source), mass, air, until)
        too_hot = [np.asarray(w > row.motor.winding_limit) for w, row in zip(end.winding, self.rows, strict=True)]
        numbers = {
            "duration": np.minimum(until, lasts),
            "to_reserve": np.minimum(until, lasts) if source.endless else lasts,
            "charge_left": 1.0 - np.where(np.asarray(lasts) > 0.0, used, 0.0),
            "highest_cell_temperature": cell,
            "highest_winding": _hottest(end.winding),
            "highest_case": _hottest(end.case),
        }
        known = {name: _wide(value, shape) for name, value in numbers.items()}
        nothing = {f.name: np.full(shape, np.nan) for f in fields(Run) if f.name not in known}
        ended = np.where(np.any(np.broadcast_arrays(*too_hot), axis=0), End.WINDING_LIMIT, End.JOB_DONE)
        code = np.broadcast_to(ended, shape).astype(np.int8)
        return Run(**{**nothing, **known, "ended_because": code, "trace": None})  # type: ignore[arg-type]

    def _spent(self, warm: _Motors, shape: tuple[int, ...]) -> tuple[Array, Lanes]:
        """Return the time the charge above the reserve lasts, and the mean heat made in a cell meanwhile. [s, W]"""
        depth = 1.0 - self.machine.limits.reserve
        nodes, weights = np.polynomial.legendre.leggauss(CHARGES)
        watts: Lanes = 0.0
        lasts, going = np.zeros(shape), np.ones(shape, dtype=bool)
        for node, weight in zip(nodes, weights, strict=True):
            seconds, works, made = self._at(warm, 1.0 - depth * 0.5 * (node + 1.0))
            going = going & works
            lasts = lasts + np.where(going, 0.5 * weight * depth * seconds, 0.0)
            watts = watts + 0.5 * weight * made
        return lasts, watts

    def _at(self, warm: _Motors, charge: Lanes) -> tuple[Lanes, Array, Lanes]:
        """Return what a whole charge would last at a charge, whether all works there, and a cell's heat. [s, -, W]"""
        source, air = self.machine.source, self.machine.job.ambient
        state = pack.fresh(air, charge)
        points = self.points(pack.at_length(source, state), warm)
        if source.cell.wells is not None:  # what is next to the plates lags behind
            behind = pack.lag(source.cell, self._mean_of_a_cell(points), air)
            state = replace(state, behind=behind)
            points = self.points(pack.at_length(source, state), warm)
        works = np.all([point.works for chains in points for point in chains], axis=0)
        made = [
            pack.cell_heat(source, pack.settled(source, state, current), current) for current in map(_drawn, points)
        ]
        seconds = pack.capacity_of(source.cell, air) / np.maximum(self._mean_of_a_cell(points), LEAST)
        return seconds, works & (np.asarray(state.at_hand) > 0.0), self.mean(made)

    def _mean_of_a_cell(self, points: list[list[Point]]) -> Lanes:
        """Return the mean current of one cell. [A]"""
        return self.mean([_drawn(chains) for chains in points]) / self.machine.source.parallel


def _drawn(points: list[Point]) -> Lanes:
    return sum(point.battery_current for point in points)


def _hottest(temperatures: list[Lanes]) -> Lanes:
    return np.asarray(np.max(np.broadcast_arrays(*temperatures), axis=0))


def _wide(value: Lanes, shape: tuple[int, ...]) -> Array:
    return np.array(np.broadcast_to(value, shape), dtype=float)
