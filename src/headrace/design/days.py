"""The four days a machine is held against, marched together as lanes."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from headrace.findings.evidence import Days
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import lanes_of
from headrace.pack import source as pack
from headrace.runs.glance import glance
from headrace.runs.march import Progress, march
from headrace.runs.run import End, Run

LONGEST_RUN = 24 * 3600.0  # s, after which a run to empty is given up: that machine lacks nothing in minutes


def four_days(machine: Machine, progress: Progress | None = None) -> Days:
    """March the job with new and with worn cells, in the usual and in the hottest weather.

    Parameters
    ----------
    machine
        The machine; floats or lanes.
    progress
        Told the share of the work done.
    """
    days = _by_day(machine)
    return _told_apart(march(days, machine.limits.time_wanted, progress=progress))


def four_days_at_a_glance(machine: Machine) -> Days:
    """Look at the same four days without marching them."""
    return _told_apart(glance(_by_day(machine), machine.limits.time_wanted))


WEARS = 4  # days marched side by side


def _by_day(machine: Machine) -> Machine:
    """Return the machine with new and with worn cells, in the usual and in the hottest weather, as a first axis."""
    limits = machine.limits
    ones = (1,) * len(lanes_of(machine))

    def by_day(*values: Lanes) -> Lanes:
        shape = np.broadcast_shapes(ones, *(np.shape(value) for value in values))
        return np.stack([np.broadcast_to(value, shape) for value in values])

    wear = (1.0, limits.end_of_life_capacity, 1.0, limits.end_of_life_capacity)
    rise = (1.0, limits.end_of_life_resistance, 1.0, limits.end_of_life_resistance)
    usual, hot = machine.job.ambient, limits.ambient_hot
    source = pack.aged(machine.source, by_day(*wear), by_day(*rise))
    weather = replace(machine.job, ambient=by_day(usual, usual, hot, hot))
    return replace(machine, source=source, job=weather)


def _told_apart(run: Run) -> Days:
    return Days(*(one_day(run, day) for day in range(WEARS)))


def one_day(run: Run, day: int) -> Run:
    """Return one day out of a run that marched several along its first axis."""
    lanes = {f.name: getattr(run, f.name)[day] for f in fields(Run) if f.name != "trace"}
    return replace(run, trace=None, **lanes)


def day(machine: Machine, progress: Progress | None = None, *, keep_trace: bool = True) -> Run:
    """March the job once with new cells in the usual weather; what happened over time is kept unless nobody asks."""
    return march(machine, machine.limits.time_wanted, keep_trace=keep_trace, progress=progress)


def until_empty(machine: Machine, progress: Progress | None = None, *, keep_trace: bool = True) -> Run:
    """Go on past the end of the job until a full charge is used up or something else ends it.

    What hangs on a socket or a supply works its job and no longer.
    """
    if machine.source.endless:
        return day(machine, progress, keep_trace=keep_trace)
    return march(machine, LONGEST_RUN, at_end=End.TIME_LIMIT, keep_trace=keep_trace, progress=progress)
