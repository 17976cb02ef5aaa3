"""The march: a job worked through step by step, in any number of lanes, until it is done or something ends it.

In each step the operating point is solved for the state the pack and the motors are in, currents and heats are held,
and charge, RC pairs and temperatures move exactly for constant input. The only error is that of holding the inputs
over a step; it shrinks in proportion to the step and is measured in the tests.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.drive.bus import solve_together
from headrace.drive.demand import Demand, work_terms
from headrace.drive.links import Parts, parts
from headrace.drive.point import Outcome, Point, in_phase_of
from headrace.drive.terminals import Terminals
from headrace.drive.tools import paces_wanted, tool_of
from headrace.drive.train import Warmth, trains_in
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import lanes_of, some_lanes
from headrace.pack import source as pack
from headrace.runs.job import LONGEST_STEP, Visit, timetable
from headrace.runs.motor_warmth import cooled, warmed
from headrace.runs.run import Array, End, Instant, Run, Trace
from headrace.runs.tally import Tally

Mask = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]
Progress = Callable[[float], None]

CLOSE = 1e-9  # s; less than that from its end a lane is at its end
KEEP = 0.7  # share of lanes still at work below which the others are set aside

# What each failing outcome of the operating point is called when it ends a run.
ENDS = {
    Outcome.CUT_OUT: End.CUT_OUT,
    Outcome.CELL_FLOOR: End.CELL_FLOOR,
    Outcome.NO_CROSSING: End.NO_CROSSING,
    Outcome.STALL: End.STALL,
    Outcome.SOURCE_LIMIT: End.SOURCE_LIMIT,
    Outcome.OVERLOAD: End.OVERLOAD,
}


# Outcomes that another pack would mend.
SPENT = (Outcome.CUT_OUT, Outcome.CELL_FLOOR, Outcome.NO_CROSSING, Outcome.STALL)


@dataclass
class _Motors:
    """Temperatures of every chain's motor. [K]"""

    winding: list[Lanes]
    case: list[Lanes]


def march(
    machine: Machine,
    until: Lanes,
    *,
    at_end: End = End.JOB_DONE,
    longest_step: float = LONGEST_STEP,
    keep_trace: bool = False,
    progress: Progress | None = None,
) -> Run:
    """Work through the job from a full, rested pack and cold motors.

    Parameters
    ----------
    machine
        The machine; floats or lanes.
    until
        Longest time to work. [s]
    at_end
        What it means to have worked that long.
    longest_step
        Longest time step. [s]
    keep_trace
        Keep the channels over time.
    progress
        Told the share of the longest time that has been worked through.

    Returns
    -------
    Run
        One result for each lane. A lane that ends early stays as it was when it ended.
    """
    march_ = _March(machine, until, at_end, keep_trace)
    for visit in timetable(machine.job, longest_step):
        if not march_.step(visit):
            break
        if progress is not None:
            progress(march_.done())
    if progress is not None:
        progress(1.0)  # every lane may have ended before its time
    return march_.run()


class _March:
    """One march under way."""

    def __init__(self, machine: Machine, until: Lanes, at_end: End, keep_trace: bool) -> None:
        self.until = until
        self.at_end = at_end
        self.keep_trace = keep_trace
        self.clock: Lanes = 0.0
        self._take(machine)
        air = machine.job.ambient
        self.motors = _Motors([air for _ in self.rows], [air for _ in self.rows])
        self.pack = pack.fresh(air)
        self.shape = np.broadcast_shapes(lanes_of(machine), np.shape(until))
        self.running: Mask = np.ones(self.shape, dtype=bool)
        self.spares: Lanes = np.broadcast_to(machine.source.in_turn, self.shape) - 1.0
        self.topped: Mask = np.full(self.shape, machine.job.top_up is None)
        self.worked: set[int] = set()  # loaded states that have come up
        self.kept: list[tuple[object, ...]] = []
        self.tally = Tally(self.shape)
        for name, value in STARTS.items():
            self.tally.start(name, value)
        for hottest in ("highest_cell_temperature", "highest_winding", "highest_case"):
            self.tally.start(hottest, air)
        self.tally.start("to_reserve", until)
        self.tally.start("ended", at_end)
        for state in range(len(machine.job.states)):
            self.tally.start(_last_pace(state), np.inf)

    def _take(self, machine: Machine) -> None:
        self.machine = machine
        self.rows: list[Parts] = [parts(chain) for chain in machine.chains]
        self.works: list[list[Demand]] = [
            [work_terms(row, chain.work, state, machine.job, machine.job.ambient) for state in machine.job.states]
            for row, chain in zip(self.rows, machine.chains, strict=True)
        ]

    def _solve(self, state: int) -> tuple[list[Point], Terminals, list[Warmth]]:
        terminals = pack.at(self.machine.source, self.pack)
        air = self.machine.job.ambient
        warmths = [Warmth(w, c, air) for w, c in zip(self.motors.winding, self.motors.case, strict=True)]
        duty = self.machine.job.states[state]
        demands = [works[state] for works in self.works]
        trains = trains_in(duty, self.machine.chains, self.rows, demands, warmths, self.machine.auxiliaries)
        return solve_together(trains, terminals), terminals, warmths

    def done(self) -> float:
        """Return how much of the longest time has been worked through. [-]"""
        return float(np.min(self.clock / np.maximum(self.until, CLOSE)))

    def step(self, visit: Visit) -> bool:
        """Take one step of a stay; return whether any lane is still working."""
        state = visit.state
        self._top_up()
        points, terminals, warmths = self._solve(state)
        if self._changed(points):
            points, terminals, warmths = self._solve(state)
        current = sum(point.battery_current for point in points)
        self._end(points)
        if not self.running.any():
            return False
        held = np.clip(self.until - self.clock, 0.0, visit.step(self.machine.job))
        if self.keep_trace:
            self._keep(state, points, terminals, current, held)
        before = self.pack.charge
        self._count(state, points, terminals, current, held)
        self._advance(points, warmths, current, held)
        self._reserve(before, held)
        self.clock = self.clock + held
        if not self.keep_trace and np.count_nonzero(self.running) < KEEP * self.running.size:
            self._set_aside(np.flatnonzero(self.running))
        return True

    def _set_aside(self, staying: Places) -> None:
        """Go on with some of the lanes, in one row: those that have ended would only cost time."""
        shape, self.shape = self.shape, staying.shape
        self.tally.set_aside(staying)
        self._take(some_lanes(self.machine, shape, staying))
        self.until = some_lanes(self.until, shape, staying)
        self.clock = some_lanes(self.clock, shape, staying)
        self.motors = some_lanes(self.motors, shape, staying)
        self.pack = some_lanes(self.pack, shape, staying)
        self.running = np.ones(self.shape, dtype=bool)
        self.spares, self.topped = some_lanes((self.spares, self.topped), shape, staying)

    def _top_up(self) -> None:
        """Rest, once, where the time for it has come: the pack is charged and the motors cool."""
        plan = self.machine.job.top_up
        if plan is None or self.topped.all():
            return
        due = self.running & ~self.topped & (self.clock >= plan.after - CLOSE)
        if not due.any():
            return
        source, air = self.machine.source, self.machine.job.ambient
        before = self.pack
        self._put(due, pack.charged(source, before, plan.current, air, plan.time))
        self.tally.add("topped_up", self.pack.charge - before.charge, due)
        for k, row in enumerate(self.rows):
            winding, case = cooled(row, self.motors.winding[k], self.motors.case[k], air, plan.time)
            self.motors.winding[k] = np.where(due, winding, self.motors.winding[k])
            self.motors.case[k] = np.where(due, case, self.motors.case[k])
        self.topped = self.topped | due

    def _changed(self, points: list[Point]) -> bool:
        """Put in the next pack where one is left and this one is down to the reserve, or gives no more."""
        if not np.any(self.spares > 0.0):
            return False
        source = self.machine.source
        spent = (np.asarray(self.pack.charge) <= self.machine.limits.reserve) | (np.asarray(self.pack.at_hand) <= 0.0)
        spent = spent | (np.asarray(self.pack.temperature) > source.cell.max_temperature)
        begun = np.asarray(self.pack.charge) < 1.0  # what a fresh pack cannot do either, another does not mend
        for point in points:
            spent = spent | (begun & np.isin(point.outcome, SPENT))
        due = self.running & spent & (self.spares > 0.0)
        if not due.any():
            return False
        self._put(due, pack.fresh(self.machine.job.ambient))
        self.spares = np.where(due, self.spares - 1.0, self.spares)
        return True

    def _put(self, lanes: Mask, after: pack.PackState) -> None:
        """Let the pack be another in some lanes."""
        old = self.pack
        behind = (after.behind, old.behind)
        self.pack = pack.PackState(
            np.where(lanes, after.charge, old.charge),
            np.where(lanes, after.temperature, old.temperature),
            (
                np.where(lanes, after.slow_voltages[0], old.slow_voltages[0]),
                np.where(lanes, after.slow_voltages[1], old.slow_voltages[1]),
            ),
            np.where(lanes, *behind) if any(np.ndim(value) for value in behind) else after.behind,
        )

    def _end(self, points: list[Point]) -> None:
        """Stop the lanes that cannot go on, each with its reason."""
        self._stop(np.asarray(self.until - self.clock) <= CLOSE, self.at_end)
        for point in points:
            if not point.works.all():
                for outcome, end in ENDS.items():
                    self._stop(point.outcome == outcome, end)
        self._stop(np.asarray(self.pack.at_hand) <= 0.0, End.CELLS_EMPTY)
        self._stop(self.pack.temperature > self.machine.source.cell.max_temperature, End.CELL_HEAT)
        for row, winding in zip(self.rows, self.motors.winding, strict=True):
            self._stop(winding > row.motor.winding_limit, End.WINDING_LIMIT)

    def _stop(self, lanes: Mask | bool | np.bool_, end: End) -> None:
        stopping = self.running & lanes
        if np.any(stopping):
            self.tally.put("ended", end, stopping)
            self.tally.least("to_reserve", self.clock, stopping)
            self.running = self.running & ~stopping

    def _count(self, state: int, points: list[Point], terminals: Terminals, current: Lanes, seconds: Lanes) -> None:
        job, tally, on = self.machine.job, self.tally, self.running
        source = self.machine.source
        tally.add("duration", seconds, on)
        in_phase = in_phase_of(points)
        tally.add("energy", terminals.given(current, in_phase) * seconds, on)
        tally.add("cell_energy", terminals.open_voltage * in_phase * seconds, on)
        in_cell = current / source.parallel
        tally.add("square", in_cell**2 * seconds, on)
        tally.most("peak_cell_current", in_cell, on)
        volts = terminals.inside(current) / source.series
        tally.least("lowest_cell_voltage", volts, on)
        if job.states[state].loads(self.machine.chains[0]):
            work, speed = self.machine.chains[0].work, points[0].tool_speed
            pace = tool_of(work).pace_at(work, speed)
            done = tool_of(work).rate(work, job.states[state], job, speed) * seconds
            tally.add("amount", done, on)
            tally.add("well_done", np.where(pace >= paces_wanted(self.machine.limits, work)[0], done, 0.0), on)
            if state not in self.worked:
                self.worked.add(state)
                tally.least("pace_full", pace, on)
            tally.put(_last_pace(state), pace, on)

    def _advance(self, points: list[Point], warmths: list[Warmth], current: Lanes, seconds: Lanes) -> None:
        air, on = self.machine.job.ambient, self.running
        for k, (row, point, warmth) in enumerate(zip(self.rows, points, warmths, strict=False)):
            winding, case = warmed(row, point, warmth, air, seconds)
            self.motors.winding[k] = np.where(on, winding, self.motors.winding[k])
            self.motors.case[k] = np.where(on, case, self.motors.case[k])
            self.tally.most("highest_winding", self.motors.winding[k], on)
            self.tally.most("highest_case", self.motors.case[k], on)
        self._put(on, pack.advance(self.machine.source, self.pack, current, air, seconds))
        self.tally.put("charge_left", self.pack.charge, on)
        self.tally.most("highest_cell_temperature", self.pack.temperature, on)

    def _reserve(self, before: Lanes, seconds: Lanes) -> None:
        """Note when the charge passes the reserve, between the two ends of the step."""
        reserve = self.machine.limits.reserve
        after = np.asarray(self.pack.charge)
        crossing = self.running & (before > reserve) & (after <= reserve) & (self.spares <= 0.0)
        if np.any(crossing):
            share = (before - reserve) / np.where(crossing, before - after, 1.0)
            self.tally.least("to_reserve", self.clock + share * seconds, crossing)

    def _keep(self, state: int, points: list[Point], terminals: Terminals, current: Lanes, held: Lanes) -> None:
        full = self.shape

        def lanes(value: Lanes) -> Array:
            return np.full(full, value, dtype=float)

        work = self.machine.chains[0].work
        pace = tool_of(work).pace_at(work, points[0].tool_speed)
        volts = terminals.inside(current) / self.machine.source.series
        instant = Instant(
            float(np.ravel(self.clock)[0]),
            lanes(self.pack.charge),
            lanes(self.pack.temperature),
            (lanes(self.pack.slow_voltages[0]), lanes(self.pack.slow_voltages[1])),
            lanes(self.pack.behind),
            tuple(lanes(w) for w in self.motors.winding),
            tuple(lanes(c) for c in self.motors.case),
        )
        power = terminals.given(current, in_phase_of(points))
        channels = (held, points[0].terminal_voltage, volts, current, power, points[0].tool_speed, pace)
        hottest = np.max([lanes(w) for w in self.motors.winding], axis=0)
        self.kept.append((state, instant, *(lanes(c) for c in channels), hottest, self.running.copy()))

    def run(self) -> Run:
        """Return what the march has gathered."""
        n = self.tally.all()
        worked = n["duration"] > 0.0
        paces = [number for name, number in n.items() if name.startswith(LAST_PACE)]
        return Run(
            ended_because=n["ended"].astype(np.int8),
            duration=n["duration"],
            energy=n["energy"],
            cell_energy=n["cell_energy"],
            charge_left=n["charge_left"],
            topped_up=n["topped_up"],
            to_reserve=n["to_reserve"],
            amount=n["amount"],
            well_done=n["well_done"],
            lowest_cell_voltage=np.where(worked, n["lowest_cell_voltage"], 0.0),
            highest_cell_temperature=n["highest_cell_temperature"],
            highest_winding=n["highest_winding"],
            highest_case=n["highest_case"],
            pace_full=_met(n["pace_full"]),
            pace_empty=_met(np.min(paces, axis=0)),
            rms_cell_current=np.sqrt(n["square"] / np.maximum(n["duration"], 1e-9)),
            peak_cell_current=n["peak_cell_current"],
            trace=self._trace() if self.kept else None,
        )

    def _trace(self) -> Trace:
        state, instants, seconds, volts, cell, amps, power, speed, pace, winding, running = zip(*self.kept, strict=True)
        return Trace(
            time=np.array([i.time for i in instants]),
            state=np.array(state),
            seconds=np.array(seconds),
            charge=np.array([i.charge for i in instants]),
            terminal_voltage=np.array(volts),
            cell_voltage=np.array(cell),
            battery_current=np.array(amps),
            power=np.array(power),
            tool_speed=np.array(speed),
            pace=np.array(pace),
            cell_temperature=np.array([i.cell_temperature for i in instants]),
            winding=np.array(winding),
            running=np.array(running),
            instants=tuple(instants),
        )


STARTS = {
    "duration": 0.0,
    "energy": 0.0,
    "cell_energy": 0.0,
    "charge_left": 1.0,
    "topped_up": 0.0,
    "square": 0.0,
    "amount": 0.0,
    "well_done": 0.0,
    "peak_cell_current": 0.0,
    "lowest_cell_voltage": np.inf,
    "pace_full": np.inf,
}
LAST_PACE = "last pace in state "


def _last_pace(state: int) -> str:
    return f"{LAST_PACE}{state}"


def _met(pace: Array) -> Array:
    """Return the slowest pace over the loaded states a lane came to; 0 where it came to none."""
    return np.where(np.isfinite(pace), pace, 0.0)
