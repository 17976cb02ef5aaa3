"""Workings of the numbers of a day: each is a sum, an extreme or a first time, and opens the point at its instant."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from headrace.design.corners import points_at
from headrace.drive.links import parts
from headrace.drive.point import in_phase_of
from headrace.drive.tools import paces_wanted, tool_of
from headrace.drive.train import Warmth
from headrace.machine.records import DutyState, Machine
from headrace.machine.values import first_number
from headrace.pack import source as pack
from headrace.physics import duty
from headrace.physics.working import Node, Traced, leaves, node_of
from headrace.runs.motor_warmth import warmed
from headrace.runs.run import REASONS, End, Instant, Run, Trace

LEAST_PUT_IN = 1e-9  # of the charge; less is the rounding of a march


@dataclass(frozen=True)
class _Day:
    """A run of one lane with its trace, on plain numbers."""

    machine: Machine
    run: Run
    trace: Trace
    steps: np.ndarray  # s, that were worked

    def channel(self, name: str) -> np.ndarray:
        return np.asarray(getattr(self.trace, name)).reshape(len(self.trace.time), -1)[: len(self.steps), 0]

    @cached_property
    def end(self) -> dict[str, Any]:
        """What the last step leads to, on plain numbers."""
        return _opened(self.machine, self, _last(self))

    @property
    def refilled(self) -> bool:
        """Whether another pack, or a rest, puts charge in on the way."""
        return bool(self.machine.source.in_turn > 1.0) or self.machine.job.top_up is not None

    @cached_property
    def used(self) -> np.ndarray:
        """The share of the charge that each step takes out of a cell, as marched."""
        source = self.machine.source
        capacity = pack.capacity_of(source.cell, self.channel("cell_temperature"))
        used: np.ndarray = self.channel("battery_current") / source.parallel * self.steps / capacity
        return used

    @cached_property
    def put_in(self) -> np.ndarray:
        """Charge put in between a step and the next, by another pack or a rest."""
        begun = self.channel("charge")
        found = begun[1:] - (begun[:-1] - self.used[:-1])
        return np.where(np.abs(found) > LEAST_PUT_IN, found, 0.0)

    def visits(self) -> list[DutyState]:
        return [self.machine.job.states[k] for k in self.trace.state[: len(self.steps)]]


@dataclass(frozen=True)
class _Step:
    """A day seen from one of its steps: what was opened there is the step's own, the rest is the march's."""

    day: _Day
    k: int
    opened: Mapping[str, float]

    def channel(self, name: str) -> np.ndarray:
        values = np.array(self.day.channel(name), dtype=float)
        values[self.k] = self.opened[name]
        return values

    def after(self, name: str) -> np.ndarray:
        """Return the states of a channel behind each step, the cold start in front."""
        values = np.append(np.array(self.day.channel(name), dtype=float), float(self.day.end[f"{name}_after"]))
        values[self.k + 1] = self.opened[f"{name}_after"]
        return values


Value = Callable[[_Step], float]
Place = Callable[[_Day], int]


def _last(day: _Day) -> int:
    return len(day.steps) - 1


def _last_loaded(day: _Day) -> int:
    loaded = [k for k, state in enumerate(day.visits()) if state.loads(day.machine.chains[0])]
    return loaded[-1] if loaded else _last(day)


def _sum(values: np.ndarray) -> float:
    total = 0.0
    for value in values:  # in the order of the march
        total += float(value)
    return total


def _worked(step: _Step) -> float:
    return float(step.opened["time"] + step.day.steps[step.k])


def _energy(step: _Step) -> float:
    return _sum(step.channel("power") * step.day.steps)


def _used(step: _Step) -> np.ndarray:
    """Return the share of the charge that each step takes out of a cell."""
    source = step.day.machine.source
    capacity = pack.capacity_of(source.cell, step.day.channel("cell_temperature"))
    used: np.ndarray = step.channel("battery_current") / source.parallel * step.day.steps / capacity
    return used


def _done(step: _Step, well: bool) -> float:
    job, chain = step.day.machine.job, step.day.machine.chains[0]
    work, visits, speeds = chain.work, step.day.visits(), step.channel("tool_speed")
    counts = np.array([state.loads(chain) for state in visits])
    if well:
        counts &= step.channel("pace") >= paces_wanted(step.day.machine.limits, work)[0]
    rates = [tool_of(work).rate(work, state, job, speed) for state, speed in zip(visits, speeds, strict=True)]
    rates[step.k] = step.opened["rate"]
    return _sum(np.where(counts, np.array(rates) * step.day.steps, 0.0))


def _left(step: _Step) -> float:
    left = 1.0 - _sum(_used(step))
    return left + _sum(step.day.put_in) if step.day.refilled else left


def _square(step: _Step) -> float:
    share = step.channel("battery_current") / step.day.machine.source.parallel
    return float(np.sqrt(_sum(share**2 * step.day.steps) / _sum(step.day.steps)))


def _first_below(day: _Day) -> int:
    """Return the step in which the last pack passes the reserve."""
    begun, reserve = day.channel("charge"), day.machine.limits.reserve
    after = np.append((begun - day.used)[:-1], float(day.run.charge_left)) if day.refilled else _after(day)
    passing = np.flatnonzero((begun > reserve) & (after <= reserve))
    if day.machine.source.in_turn > 1.0:  # of the last pack, put in full
        fresh = np.flatnonzero((day.put_in > LEAST_PUT_IN) & (begun[1:] >= 1.0)) + 1
        last = int(day.machine.source.in_turn) - 1
        passing = passing[passing >= fresh[last - 1]] if fresh.size >= last else passing[:0]
    return int(passing[0]) if passing.size else _last(day)


def _after(day: _Day) -> np.ndarray:
    return np.append(day.channel("charge")[1:], float(day.run.charge_left))


def _to_reserve(step: _Step) -> float:
    length, reserve = float(step.day.steps[step.k]), step.day.machine.limits.reserve
    charge, used = step.opened["charge"], float(_used(step)[step.k])
    passed = min(1.0, (charge - reserve) / used) if used > 0.0 else 1.0
    return float(step.opened["time"] + passed * length)


def _loaded_once(day: _Day, order: Iterable[int]) -> list[int]:
    """Return the first step, in an order, of each loaded duty state."""
    found: dict[int, int] = {}
    for k in order:
        if day.machine.job.states[day.trace.state[k]].loads(day.machine.chains[0]):
            found.setdefault(int(day.trace.state[k]), k)
    return list(found.values())


def _slowest(order: Callable[[int], Iterable[int]]) -> tuple[Place, Value]:
    """Return where the slowest pace among the loaded states stands, each met once in an order, and how it is had."""

    def place(day: _Day) -> int:
        met = _loaded_once(day, order(len(day.steps)))
        return min(met, key=lambda k: float(day.channel("pace")[k])) if met else _last(day)

    def value(step: _Step) -> float:
        met = _loaded_once(step.day, order(len(step.day.steps)))
        return float(np.min(step.channel("pace")[met])) if met else 0.0

    return place, value


def _hottest(name: str) -> tuple[Place, Value]:
    """Return the step that leads to the highest temperature of a channel, and how that is had."""

    def place(day: _Day) -> int:
        return max(int(np.argmax(np.append(day.channel(name), float(day.end[f"{name}_after"])))) - 1, 0)

    return place, lambda step: float(np.max(step.after(name)))


def _most_current(day: _Day) -> int:
    return int(np.argmax(day.channel("battery_current")))


# field of Run -> what it is, its instant, and how the channels of the march give it
NUMBERS: dict[str, tuple[str, Place, Value]] = {
    "duration": ("sum of the steps worked", _last, _worked),
    "energy": ("sum of terminal voltage times current times step", _most_current, _energy),
    "charge_left": (
        "full, less the sum of current times step over capacity, with what another pack or a rest put in",
        _last,
        _left,
    ),
    "to_reserve": ("first time the charge falls to the reserve", _first_below, _to_reserve),
    "amount": ("sum of what is done in each step under load", _last_loaded, lambda step: _done(step, well=False)),
    "well_done": (
        "sum of what is done in each step under load with the tool fast enough",
        _last_loaded,
        lambda step: _done(step, well=True),
    ),
    "lowest_cell_voltage": (
        "least voltage of a cell under load",
        lambda day: int(np.argmin(day.channel("cell_voltage"))),
        lambda step: float(np.min(step.channel("cell_voltage"))),
    ),
    "rms_cell_current": ("root mean square over the run, in one cell", _last, _square),
    "peak_cell_current": (
        "greatest current in one cell",
        _most_current,
        lambda step: float(np.max(step.channel("battery_current")) / step.day.machine.source.parallel),
    ),
    "highest_cell_temperature": ("highest temperature of the cells", *_hottest("cell_temperature")),
    "highest_winding": ("highest temperature of the winding", *_hottest("winding")),
    "pace_full": ("slowest pace under load, first cycle", *_slowest(range)),
    "pace_empty": ("slowest pace under load, last cycle", *_slowest(lambda count: range(count - 1, -1, -1))),
}

# what is opened at the instant of every number, and what else some numbers are made of
POINT = ("time", "tool_speed", "battery_current", "terminal_voltage")
MORE = {
    "energy": ("power",),
    "to_reserve": ("charge",),
    "amount": ("rate",),
    "well_done": ("rate", "pace"),
    "lowest_cell_voltage": ("cell_voltage",),
    "highest_cell_temperature": ("cell_temperature_after",),
    "highest_winding": ("winding_after",),
    "pace_full": ("pace",),
    "pace_empty": ("pace",),
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
    if machine.job.top_up is not None:
        changed["topped_up"] = leaves(run.topped_up, "march", "charge put in while it rests on the charger")
    changed["duration"] = Traced(replace(changed["duration"].node, name=f"sum of the steps worked, until {ended}"))
    return replace(run, **changed)


def _number(plan: Machine, day: _Day, name: str, words: str, place: Place, value: Value) -> Traced:
    k = place(day)
    held = first_number(getattr(day.run, name))
    opened = _opened(plan, day, k)
    inputs = tuple((part, node_of(opened[part])) for part in (*POINT, *MORE.get(name, ())))

    def call(values: Sequence[float]) -> float:
        there = dict(zip((part for part, _ in inputs), values, strict=True))
        return value(_Step(day, k, there))

    words = f"{words}; opened at {float(day.trace.time[k]):.0f} s"
    return Traced(Node(held, "march", words, inputs, call))


def _opened(plan: Machine, day: _Day, k: int) -> dict[str, Any]:
    """Return the operating point of the first chain at one instant of the march, and what its step leads to."""
    instant: Instant = day.trace.instants[k]
    air, length = plan.job.ambient, float(day.steps[k])
    if plan is not day.machine:
        instant = leaves(instant, "march", f"the march at {instant.time:.0f} s")
        length = Traced(Node(length, "march", "length of the step"))
    state = pack.PackState(instant.charge, instant.cell_temperature, instant.slow_voltages, instant.behind)
    terminals = pack.at(plan.source, state)
    warmths = [Warmth(w, c, air) for w, c in zip(instant.winding, instant.case, strict=True)]
    now = plan.job.states[day.trace.state[k]]
    points = points_at(plan, now, terminals, warmths)
    current = sum(point.battery_current for point in points)
    work, speed = plan.chains[0].work, points[0].tool_speed
    windings = [
        warmed(parts(chain), point, warmth, air, length)[0]
        for chain, point, warmth in zip(plan.chains, points, warmths, strict=False)
    ]
    return {
        "time": instant.time,
        "charge": instant.charge,
        "tool_speed": speed,
        "pace": tool_of(work).pace_at(work, speed),
        "rate": tool_of(work).rate(work, now, plan.job, speed),
        "battery_current": current,
        "terminal_voltage": points[0].terminal_voltage,
        "power": terminals.given(current, in_phase_of(points)),
        "cell_voltage": terminals.inside(current) / plan.source.series,
        "cell_temperature_after": pack.advance(plan.source, state, current, air, length).temperature,
        "winding_after": windings[0] if len(windings) == 1 else duty.greatest(windings),
    }
