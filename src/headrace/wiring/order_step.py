"""One step of the connecting order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.machine.records import Lanes
from headrace.physics.working import leaves

NOTHING = "no volts where nothing is connected yet"
STOP = "Stop here, pull the fuse, find out why."


@dataclass(frozen=True)
class Step:
    """One step.

    Attributes
    ----------
    name
        What it is called.
    live
        Whether parts within reach have the pack's volts after it.
    does, cover
        What is done, and what is covered or left apart meanwhile.
    between
        Where the meter is held; "" where nothing is read.
    full, storage
        What it should say on a full pack, and on one half full; nan where nothing is read. [V]
    differs
        What it means when it says something else.
    expects
        What else is read, in other units: what it is, the number, its unit as a record's keys end.
    parts
        What is put to use in it, called as in the netlist or, of runs, the cut list; else as on the shopping list.
    rested
        For how long nothing flowed before it is read; nan of what is not read at rest. [s]
    """

    name: str
    live: bool
    does: str
    cover: str
    between: str = ""
    full: Lanes = np.nan
    storage: Lanes = np.nan
    differs: str = ""
    expects: tuple[tuple[str, Lanes, str], ...] = ()
    parts: tuple[str, ...] = ()
    rested: Lanes = np.nan


def nothing() -> Lanes:
    """Return the volts where there are none yet. [V]"""
    none: Lanes = leaves(0.0, "search", NOTHING)
    return none
