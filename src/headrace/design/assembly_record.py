"""The record of how a machine is built, step by step; as plain data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.findings import Evidence
from headrace.machine.records import Machine
from headrace.wiring.assembly import assembly
from headrace.wiring.assembly_step import AssemblyStep
from headrace.wiring.assembly_volts import cells_apart, rows_apart
from headrace.wiring.touch import MAINS, touch_words

Record = dict[str, Any]

NOTHING_READ = "nothing is read at this step"
NO_VOLTS = "tried by hand, by eye or in ohms; no volts to expect"


def assembly_record(machine: Machine, evidence: Evidence) -> Record:
    """Return the steps of building it, and the steps where no bare cell is handled."""
    found = assembly(machine, evidence.guard)
    endless, mains = machine.source.endless, machine.source.at_a_socket
    return {
        "series": None if endless else number(machine.source.series),
        "parallel": None if endless else number(machine.source.parallel),
        "cells": None if endless else number(evidence.cells),
        "cells_apart_V": None if endless else number(cells_apart(machine)),
        "rows_apart_V": None if endless else number(rows_apart(machine)),
        "reason": "what never empties has no cells to join" if endless else None,
        "bare_cells": found.steps != found.without_cells,
        "steps": [_step(step, mains=mains) for step in found.steps],
        "without_cells": [_step(step, mains=mains) for step in found.without_cells],
    }


def _step(step: AssemblyStep, *, mains: bool) -> Record:
    full = number(step.full)
    return {
        "name": step.name,
        "live": step.live,
        "does": step.does,
        "cover": step.cover,
        "tools": list(step.tools),
        "hands": step.hands,
        "never": list(step.never),
        "touch": (MAINS if mains and step.live else touch_words(step.reach)) or None,
        "reach_V": number(step.reach),
        "read": step.read or None,
        "full_V": full,
        "half_V": number(step.half),
        "reason": None if full is not None else NO_VOLTS if step.read else NOTHING_READ,
        "differs": step.differs or None,
    }
