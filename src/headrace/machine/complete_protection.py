"""From the form of board and pre-charge to their records; a board the file does not name is the usual one."""

from __future__ import annotations

import math
import operator

import numpy as np

from headrace.machine.form_protection import BoardTable, PreChargeTable
from headrace.machine.pedigree import Fields, Pedigree
from headrace.machine.protection import Board, PreCharge
from headrace.machine.quantities import Written
from headrace.machine.records import Origin, Source


def complete_board(pedigree: Pedigree, table: BoardTable | None, source: Source) -> Board | None:
    """Return the board of a pack; lithium cells have one whether the file names it or not."""
    if table is None and source.kind != "cells":
        return None
    said = table or BoardTable()
    get = Fields(pedigree, said, "board", ("board",), "board")
    full, empty = (pedigree.origins[f"source.cell.{end}_voltage"] for end in ("full", "empty"))

    def usual(key: str, factor: str, parent: Origin, words: str) -> float:
        """Return a number as the file has it, else what it usually is of another."""
        if getattr(said, key) is not None:
            return get(key)
        times = pedigree.default(f"board.{factor}", f"board.{factor}", "-")
        return pedigree.work_out(f"board.{key}", operator.mul, (times, parent), get.unit(key), words)

    continuous = _continuous(get, said.continuous, source)
    amps = pedigree.origins["board.continuous"]
    return Board(
        continuous=continuous,
        peak=usual("peak", "peak_multiple", amps, "what it lets through for long"),
        peak_delay=get("peak_delay"),
        short_circuit=usual("short_circuit", "short_multiple", amps, "what it lets through for long"),
        short_circuit_delay=get("short_circuit_delay"),
        under_voltage=_taken_over(get, "under_voltage", empty, "the cell's lowest voltage"),
        under_voltage_delay=get("under_voltage_delay"),
        over_voltage=usual("over_voltage", "over_share", full, "the cell's full voltage"),
        balance_current=get("balance_current"),
        planned=table is not None,
    )


def _continuous(get: Fields, said: Written | None, source: Source) -> float:
    """Return what a board lets through for long: as the file has it, else the label's amps, else those of the cells."""
    pedigree = get.pedigree
    if said is None and not math.isfinite(float(source.current_limit)):
        cells = [pedigree.origins[f"source.{key}"] for key in ("cell.continuous_current", "parallel")]
        return pedigree.work_out("board.continuous", operator.mul, cells, "A", "what its cells can give for long")
    return _taken_over(get, "continuous", pedigree.origins["source.current_limit"], "what the source lets through")


def _taken_over(get: Fields, key: str, other: Origin, words: str) -> float:
    """Return a number as the file has it, else another as it is."""
    if getattr(get.table, key) is not None:
        return get(key)
    return get.pedigree.work_out(f"{get.at}.{key}", np.positive, [other], get.unit(key), words)


def complete_pre_charge(pedigree: Pedigree, table: PreChargeTable | None) -> PreCharge | None:
    """Return the pre-charge, where the file has one."""
    if table is None:
        return None
    get = Fields(pedigree, table, "pre_charge", ("pre_charge",), "pre_charge")
    return PreCharge(
        resistance=get("resistance"),
        power=get.or_else("power", math.inf),
        burst=get("burst"),
        time=get("time"),
        step=get("step"),
        times_out=table.times_out,
    )
