"""What lets each of several chains run: one held control feeds all, so each has an input or a switch of its own."""

from __future__ import annotations

import numpy as np

from headrace.drive.links import Parts, parts
from headrace.machine.naming import spoken
from headrace.machine.records import Chain, Machine
from headrace.wiring.brake import has_phases

INPUT = "an input of its own, throttle or enable, that lets it run"
BY_ITS_SHEET = (
    f"has {INPUT}: it is joined by its maker's sheet, drawn nowhere here, and stays off, because the held control "
    "feeds all chains at once"
)
SWITCH_OFF = "stays open until its chain is meant to run, because the held control feeds all chains at once"


def bare_switch(row: Parts) -> bool:
    """Return whether a motor hangs on a switch: nothing in its controller turns volts down or fills."""
    box = row.controller
    fills = bool(np.any(np.asarray(box.capacitance) > 0.0))
    return box.mode == "full" and not fills and not has_phases(row.motor)


def lets_run(machine: Machine, chain: Chain) -> str:
    """Return what lets one of several chains run; "" of a chain that is alone behind its held control."""
    if len(machine.chains) == 1:
        return ""
    row = parts(chain)
    box = f"{chain.name} {spoken(row.controller.name)}"
    return f"the {box}" if bare_switch(row) else f"the {box}'s own input"


def let_run_notes(machine: Machine) -> dict[str, str]:
    """Return what the controller of each of several chains has beside its drawn terminals, by its name as a part."""
    if len(machine.chains) == 1:
        return {}
    rows = [(chain.name, parts(chain)) for chain in machine.chains]
    return {f"{name} {row.controller.name}": SWITCH_OFF if bare_switch(row) else BY_ITS_SHEET for name, row in rows}


def only(machine: Machine, chain: Chain) -> str:
    """Return what is kept off while one of several chains is tried, and what lets that run; "" of one alone."""
    others = [lets_run(machine, one) for one in machine.chains if one.name != chain.name]
    if not others:
        return ""
    return f"Keep {' and '.join(others)} off; once the control is held, {lets_run(machine, chain)} lets it run. "


def all_off(machine: Machine) -> str:
    """Return what is off when the contactor first closes; "" of a chain that is alone behind it."""
    found = [lets_run(machine, chain) for chain in machine.chains]
    return f"Keep {' and '.join(found)} off. " if len(found) > 1 else ""
