"""The building of a machine in order, from bare parts to what the connecting order begins with.

First everything that has no volts: frame, drive, guards, controls, boxes, wires. The pack comes last, so that as little
as possible is done beside something that cannot be switched off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from headrace.machine.records import Machine
from headrace.wiring.assembly_frame import frame
from headrace.wiring.assembly_pack import bought, pack
from headrace.wiring.assembly_step import CUTS, FEEDS, ON_THE_BODY, AssemblyStep
from headrace.wiring.guard import Guard


@dataclass(frozen=True)
class Assembly:
    """The steps, and the same where no bare cell is handled."""

    steps: tuple[AssemblyStep, ...]
    without_cells: tuple[AssemblyStep, ...]


def assembly(machine: Machine, guard: Guard | None) -> Assembly:
    """Return how a machine is built.

    Parameters
    ----------
    machine
        The machine.
    guard
        What stands between pack and machine; None of what never empties.
    """
    still = tuple(_of_its_source(step, machine) for step in frame(machine, guard))
    return Assembly((*still, *pack(machine, guard)), (*still, *bought(machine, guard)))


def _of_its_source(step: AssemblyStep, machine: Machine) -> AssemblyStep:
    """Return a dead step without what its own source could bring within reach, which is no pack everywhere."""
    feeds = FEEDS.get(machine.source.kind)
    return step if feeds is None else replace(step, never=(*ON_THE_BODY, CUTS, feeds))
