"""What may trip a protection board, told apart by how fast it is: microseconds, a start, the work, a sag.

Each has its own threshold, its own delay and its own cure, and a bigger board is the cure of one of them only.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.drive.starting import Start
from headrace.machine.protection import Board
from headrace.machine.records import Lanes
from headrace.physics import duty, starting
from headrace.wiring.pre_charge import Filling, Inrush


@dataclass(frozen=True)
class Strain:
    """One thing held against one threshold of a board.

    Attributes
    ----------
    what
        inrush, start, work, start-sag or work-sag.
    chain
        Whose start it is; "" where it is not one's.
    unit
        A, or V of a group.
    value, limit
        What comes, and the threshold. [A or V]
    lasts, delay
        How long it comes for, and how long the board bears it; infinite of what lasts as long as the work. [s]
    trips
        Lanes in which the board opens.
    """

    what: str
    chain: str
    unit: str
    value: Lanes
    limit: Lanes
    lasts: Lanes
    delay: Lanes
    trips: npt.NDArray[np.bool_]


def of_inrush(board: Board, bare: Inrush, planned: Filling | None) -> Strain:
    """Return what the capacitors do to it: all at once, or what a pre-charge leaves for the main contact."""
    current = bare.current if planned is None else planned.current
    lasts = starting.time_above(board.short_circuit, current, 0.0, bare.time_constant)
    return Strain(
        "inrush",
        "",
        "A",
        current,
        board.short_circuit,
        lasts,
        board.short_circuit_delay,
        _both(np.greater(current, board.short_circuit), np.greater(lasts, board.short_circuit_delay)),
    )


def of_start(board: Board, chain: str, full: Start, empty: Start) -> Strain:
    """Return what a start does to it, on a full pack or a cold and worn one, whichever is more."""
    current = duty.greatest([full.battery_current, empty.battery_current])
    lasts = duty.greatest([full.watched, empty.watched])
    slowly = _both(np.greater(current, board.peak), np.greater(lasts, board.peak_delay))
    trips = slowly | np.asarray(np.greater(current, board.short_circuit))
    return Strain("start", chain, "A", current, board.peak, lasts, board.peak_delay, trips)


def of_work(board: Board, current: Lanes) -> Strain:
    """Return what the hardest work does to it, for as long as it lasts."""
    trips = np.asarray(np.greater(current, board.peak))
    return Strain("work", "", "A", current, board.continuous, np.inf, board.peak_delay, trips)


def of_start_sag(board: Board, chain: str, volts: Lanes, empty: Start) -> Strain:
    """Return what a start on the coldest day does to the weakest group's volts."""
    lasts = np.where(empty.starts, empty.time, np.inf)
    return _sag("start-sag", chain, board, volts, lasts)


def of_work_sag(board: Board, volts: Lanes) -> Strain:
    """Return what work does to the weakest group's volts, worn cells at the reserve."""
    return _sag("work-sag", "", board, volts, np.inf)


def _sag(what: str, chain: str, board: Board, volts: Lanes, lasts: Lanes) -> Strain:
    trips = _both(np.less(volts, board.under_voltage), np.greater(lasts, board.under_voltage_delay))
    return Strain(what, chain, "V", volts, board.under_voltage, lasts, board.under_voltage_delay, trips)


def _both(one: npt.ArrayLike, other: npt.ArrayLike) -> npt.NDArray[np.bool_]:
    return np.asarray(np.logical_and(one, other))
