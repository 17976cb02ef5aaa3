"""Volts of a pack while it is built: of one group, of half of it, of the whole; and the live step that reads them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from headrace.machine.records import Lanes, Machine, Source
from headrace.machine.values import first_number
from headrace.pack import source as pack
from headrace.physics import conductors, switching
from headrace.physics.working import leaves
from headrace.wiring.assembly_step import BY_A_PACK, AssemblyStep
from headrace.wiring.sense import pair

ONE_HAND = "one hand; the other away from the machine, the meter clipped on before the tip touches"
HALF = 0.5  # of the charge, which cells are built and put away at


@dataclass(frozen=True)
class Volts:
    """Volts of so many rested groups in series, full and half full. [V]"""

    full: Lanes
    half: Lanes


def volts_of(source: Source, groups: int | None = None) -> Volts:
    """Return the volts of the first so many groups of a pack; of all without a number."""
    count: Lanes = source.series if groups is None else leaves(float(groups), "search", "groups joined so far")
    full, half = (switching.stack_voltage(count, pack.open_voltage(source.cell, charge)) for charge in (1.0, HALF))
    return Volts(full, half)


def cells_apart(machine: Machine) -> Lanes:
    """Return how far a cell may lie from its group, so that no more flows into it than it is charged with. [V]

    As if the others had no resistance: new and warm, in the hottest weather.
    """
    alone = replace(machine.source, series=1.0, parallel=1.0)
    ohms = pack.at(alone, pack.fresh(machine.limits.ambient_hot)).resistance
    return conductors.voltage_drop(machine.source.cell.charge_current, ohms)


def rows_apart(machine: Machine) -> Lanes:
    """Return how far one of several packs or rows side by side may lie from another before the two are joined. [V]"""
    return pair(replace(machine, source=replace(machine.source, parallel=1.0))).gap


def groups_of(source: Source) -> int:
    """Return how many groups are in series, in the first lane."""
    return round(first_number(source.series))


def beside(source: Source) -> int:
    """Return how many stand side by side, in the first lane."""
    return round(first_number(source.parallel))


def live(
    name: str,
    does: str,
    cover: str,
    tools: tuple[str, ...],
    reach: Volts,
    read: str = "",
    reads: Volts | None = None,
    differs: str = "",
    *,
    hands: str = ONE_HAND,
    never: tuple[str, ...] = BY_A_PACK,
) -> AssemblyStep:
    """Return a step with cells, batteries or a source within reach."""
    said = Volts(np.nan, np.nan) if reads is None else reads
    return AssemblyStep(name, True, does, cover, tools, hands, never, reach.full, read, said.full, said.half, differs)
