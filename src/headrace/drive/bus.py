"""Several chains on one source: they meet only at the bus voltage, which is solved for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from headrace.drive.point import Outcome, Point, solve, switched_off
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.machine.records import Lanes
from headrace.machine.values import lanes_of, some_lanes
from headrace.physics.working import solution

STEPS_DOWN = 40  # doublings of the step that looks for the lower end of the bracket
CLOSED = 1e-9  # of the open voltage: a bus that cannot be balanced closer than this is no operating point


@solution("operating point: the highest speed at which volts, motor amps and battery amps all suffice")
def solve_together(trains: Sequence[Train | None], terminals: Terminals) -> list[Point]:
    """Return the operating point of each chain, all drawing on one source.

    Parameters
    ----------
    trains
        The chains, reduced; floats or lanes. None for a chain that is switched off.
    terminals
        Their source at this instant.

    Returns
    -------
    list of Point
        One for each chain, in order. A single chain is solved directly. With several, the bus voltage is bracketed
        from its fast side: from the voltage without current downwards, to the first voltage the source could exceed.
    """
    working = iter(_solved([train for train in trains if train is not None], terminals))
    shape = lanes_of((tuple(train for train in trains if train is not None), terminals))
    return [next(working) if train is not None else switched_off(terminals, shape) for train in trains]


def _solved(trains: Sequence[Train], terminals: Terminals) -> list[Point]:
    """Return the points of chains that are all switched on."""
    if len(trains) < 2:
        return [solve(train, terminals) for train in trains]
    voltage = _balance(trains, terminals)
    balanced = np.abs(_gap(trains, terminals, voltage)) <= CLOSED * np.abs(terminals.voltage)
    return _judged(_held(trains, terminals, voltage), terminals, balanced)


def _balance(trains: Sequence[Train], terminals: Terminals) -> npt.NDArray[np.float64]:
    """Return the bus voltage, found from its fast side; where there is none, the last one looked at. [V]"""
    from scipy.optimize import elementwise

    lower, upper = _bracket(trains, terminals)
    everything = (tuple(trains), terminals)

    def gap_in(voltage: npt.NDArray[np.float64], lane: npt.NDArray[np.intp]) -> npt.NDArray[np.float64]:
        """Return the gap in the lanes that the search has not yet done with. [V]"""
        some_trains, some_terminals = some_lanes(everything, upper.shape, np.ravel(lane))
        return _gap(some_trains, some_terminals, np.ravel(voltage)).reshape(np.shape(voltage))

    lanes = np.arange(upper.size).reshape(upper.shape)
    bounds = {"xatol": 0.0, "xrtol": 1e-15, "fatol": 0.0}
    found = elementwise.find_root(gap_in, (lower, upper), args=(lanes,), tolerances=bounds)
    return np.where(found.success, found.x, lower)


def _bracket(trains: Sequence[Train], terminals: Terminals) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Return a voltage that the source could exceed, where there is one, and the voltage without current. [V]"""
    start = _gap(trains, terminals, terminals.voltage)
    upper = terminals.voltage + np.zeros_like(start)
    step = -start
    lower = upper - step
    for _ in range(STEPS_DOWN):
        short = (_gap(trains, terminals, lower) < 0.0) & (lower > 0.0)
        if not np.any(short):
            break
        step = np.where(short, 2.0 * step, step)
        lower = np.where(short, np.maximum(lower - step, 0.0), lower)
    return lower, upper


def _gap(trains: Sequence[Train], terminals: Terminals, voltage: Lanes) -> npt.NDArray[np.float64]:
    """Return the volts the source would hold under the currents asked for at a voltage, less that voltage. [V]"""
    total = sum(point.battery_current for point in _held(trains, terminals, voltage))
    return np.asarray(terminals.voltage - terminals.resistance * total - voltage)


def _held(trains: Sequence[Train], terminals: Terminals, voltage: Lanes) -> list[Point]:
    """Return the points with the bus held at a voltage."""
    stiff = replace(
        terminals,
        open_voltage=voltage,
        slow_voltage=0.0,
        cell_resistance=0.0,
        settled_resistance=0.0,
        joint_resistance=0.0,
        floor_voltage=0.0,
    )
    return [solve(train, stiff) for train in trains]


def _judged(points: list[Point], terminals: Terminals, balanced: npt.NDArray[np.bool_]) -> list[Point]:
    """Hold the cells' own floor against the sum of the currents; a bus without balance is no operating point."""
    inside = terminals.inside(sum(point.battery_current for point in points))
    judged = []
    for point in points:
        code = np.where(point.works & (inside < terminals.floor_voltage), np.int8(Outcome.CELL_FLOOR), point.outcome)
        code = np.where(balanced, code, np.int8(Outcome.NO_CROSSING)).astype(np.int8)
        judged.append(replace(point, outcome=code))
    return judged
