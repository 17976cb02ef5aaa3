"""Workings of the numbers of a day: each is a sum, an extreme or a first time, and opens the point at its instant."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from headrace.design.corners import points_at
from headrace.drive.tools import paces_wanted, tool_of
from headrace.drive.train import Warmth
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.physics import cells
from headrace.physics.working import Node, Traced, leaves, node_of
from headrace.runs.run import REASONS, End, Run, Trace


@dataclass(frozen=True)
class _Day:
    """A run of one lane with its trace, on plain numbers."""

    machine: Machine
    run: Run
    trace: Trace
    steps: np.ndarray  # s, that were worked

    def channel(self, name: str) -> np.ndarray:
        return np.asarray(getattr(self.trace, name)).reshape(len(self.trace.time), -1)[: len(self.steps), 0]


Value = Callable[[_Day], float]
Place = Callable[[_Day], int]


def _last(day: _Day) -> int:
    return len(day.steps) - 1


def _sum(values: np.ndarray) -> float:
    total = 0.0
    for value in values:  # in the order of the march
        total += float(value)
    return total


def _drawn(day: _Day) -> float:
    cell = day.machine.source.cell
    share = day.channel("battery_current") / day.machine.source.parallel
    capacity = cells.capacity_at(cell.capacity, cell.cold_loss, day.channel("cell_temperature"))
    return 1.0 - _sum(share * day.steps / capacity)


def _done(day: _Day, well: bool) -> float:
    job, states = day.machine.job, day.machine.job.states
    work = day.machine.chains[0].work
    visits = [states[k] for k in day.trace.state[: len(day.steps)]]
    counts = np.array([state.loaded for state in visits])
    if well:
        counts &= day.channel("pace") >= paces_wanted(day.machine.limits, work)[0]
    speeds = day.channel("tool_speed")
    rates = [tool_of(work).rate(work, state, job, speed) for state, speed in zip(visits, speeds, strict=True)]
    return _sum(np.where(counts, np.array(rates) * day.steps, 0.0))


def _square(day: _Day) -> float:
    share = day.channel("battery_current") / day.machine.source.parallel
    return float(np.sqrt(_sum(share**2 * day.steps) / _sum(day.steps)))


def _first_below(day: _Day) -> int:
    below = np.append(day.channel("charge")[1:], float(day.run.charge_left)) <= day.machine.limits.reserve
    return int(np.argmax(below)) if below.any() else _last(day)


def _to_reserve(day: _Day) -> float:
    k, reserve = _first_below(day), day.machine.limits.reserve
    charge = np.append(day.channel("charge"), float(day.run.charge_left))
    if charge[k + 1] > reserve:
        return _sum(day.steps)
    passed = (charge[k] - reserve) / (charge[k] - charge[k + 1])
    return float(day.trace.time[k] + passed * day.steps[k])


# field of Run -> what it is, its instant, and how the channels of the march give it
NUMBERS: dict[str, tuple[str, Place, Value]] = {
    "duration": ("sum of the steps worked", _last, lambda d: _sum(d.steps)),
    "energy": (
        "sum of terminal voltage times current times step",
        lambda d: int(np.argmax(d.channel("battery_current"))),
        lambda d: _sum(d.channel("terminal_voltage") * d.channel("battery_current") * d.steps),
    ),
    "charge_left": ("full, less the sum of current times step over capacity", _last, _drawn),
    "to_reserve": ("first time the charge falls to the reserve", _first_below, _to_reserve),
    "amount": ("sum of what is done in each step under load", _last, lambda d: _done(d, well=False)),
    "well_done": ("the same, while the tool is fast enough", _last, lambda d: _done(d, well=True)),
    "lowest_cell_voltage": (
        "least voltage of a cell under load",
        lambda d: int(np.argmin(d.channel("cell_voltage"))),
        lambda d: float(np.min(d.channel("cell_voltage"))),
    ),
    "rms_cell_current": ("root mean square over the run, in one cell", _last, _square),
    "peak_cell_current": (
        "greatest current in one cell",
        lambda d: int(np.argmax(d.channel("battery_current"))),
        lambda d: float(np.max(d.channel("battery_current")) / d.machine.source.parallel),
    ),
}

# fields whose value is the state a march had come to: nothing shorter than the march says it
CARRIED = {
    "highest_cell_temperature": ("highest temperature of the cells", "cell_temperature"),
    "highest_winding": ("highest temperature of the winding", "winding"),
    "pace_full": ("slowest pace under load, first cycle", "pace"),
    "pace_empty": ("slowest pace under load, last cycle", "pace"),
}


def traced_run(plan: Machine, machine: Machine, run: Run) -> Run:
    """Return a run whose numbers know their instant and the operating point there.

    Parameters
    ----------
    plan
        The machine, its numbers knowing their origin.
    machine
        The same on plain numbers.
    run
        One lane, with its trace.
    """
    trace = run.trace
    if trace is None:
        never: Run = leaves(run, "march", "a run that never started")
        return never
    worked = int(np.sum(trace.running.reshape(len(trace.time), -1)[:, 0]))
    day = _Day(machine, run, trace, trace.seconds.reshape(len(trace.time), -1)[:worked, 0])
    ended = REASONS[End(int(run.ended_because.flat[0]))]
    changed: dict[str, Any] = {
        name: _number(plan, day, name, words, place, value) for name, (words, place, value) in NUMBERS.items()
    }
    for name, (words, channel) in CARRIED.items():
        changed[name] = _carried(plan, day, name, words, channel)
    changed["duration"] = Traced(replace(changed["duration"].node, name=f"sum of the steps worked, until {ended}"))
    return replace(run, **changed)


def _number(plan: Machine, day: _Day, name: str, words: str, place: Place, value: Value) -> Traced:
    k = place(day)
    held = float(np.asarray(getattr(day.run, name)).flat[0])

    def call(_: Sequence[float]) -> float:
        return value(day)

    words = f"{words}; opened at {float(day.trace.time[k]):.0f} s"
    return Traced(Node(held, "march", words, _opened(plan, day, k), call))


def _carried(plan: Machine, day: _Day, name: str, words: str, channel: str) -> Traced:
    held = float(np.asarray(getattr(day.run, name)).flat[0])
    k = int(np.argmin(np.abs(day.channel(channel) - held)))
    words = f"{words}; opened at {float(day.trace.time[k]):.0f} s"
    return Traced(Node(held, "march", words, _opened(plan, day, k), lambda _: held))


def _opened(plan: Machine, day: _Day, k: int) -> tuple[tuple[str, Node], ...]:
    """Return the operating point of the first chain at one instant of the march, and the state it was solved in."""
    instant = leaves(day.trace.instants[k], "march", f"the march at {day.trace.instants[k].time:.0f} s")
    air = plan.job.ambient
    terminals = pack.at(plan.source, pack.PackState(instant.charge, instant.cell_temperature, instant.slow_voltages))
    warmths = [Warmth(w, c, air) for w, c in zip(instant.winding, instant.case, strict=True)]
    point = points_at(plan, plan.job.states[day.trace.state[k]], terminals, warmths)[0]
    found = {
        "time": instant.time,
        "tool_speed": point.tool_speed,
        "battery_current": point.battery_current,
        "terminal_voltage": point.terminal_voltage,
    }
    return tuple((name, node_of(value)) for name, value in found.items())
