"""First power-up: each motor without its tool on a supply of few volts, then the whole machine on its own source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace.design.corners import points_at
from headrace.drive.alone import behind_converter, brake_let_off, brake_set_again, how_off, running, without_tool
from headrace.drive.links import Parts, parts
from headrace.drive.point import REASONS, Array, Outcome, Point, in_phase_of
from headrace.drive.terminals import Terminals
from headrace.drive.train import Warmth
from headrace.machine.links import Motor, SeriesMotor, Transmission
from headrace.machine.practice import practice
from headrace.machine.records import Chain, DutyState, Lanes, Machine
from headrace.pack import source as pack
from headrace.physics import allowances, duty, switching
from headrace.physics.working import leaves
from headrace.runs.motor_warmth import warmed
from headrace.runs.run import Run
from headrace.wiring.netlist import back_of
from headrace.wiring.netlist_parts import first_of

RUNS_UP = (
    "a universal motor without its load runs up until it bursts: try it only with its gears and its tool on, "
    "its wheel or blade guarded"
)


@dataclass(frozen=True)
class Step:
    """One motor without its tool on one voltage; arrays over lanes.

    Attributes
    ----------
    name
        low, full, or socket.
    voltage, limit
        To set on the supply; no limit where nothing can be set: nan. [V, A]
    time
        To let it run. [s]
    point
        How it then runs.
    power
        Out of the supply. [W]
    winding, case
        After that time, from the air's temperature on. [K]
    reason
        Why it is not run; "" where it is.
    """

    name: str
    voltage: Lanes
    limit: Lanes
    time: Lanes
    point: Point
    power: Lanes
    winding: Lanes
    case: Lanes
    reason: str = ""


@dataclass(frozen=True)
class Alone:
    """The first power-up of one motor.

    Attributes
    ----------
    chain, motor
        Names.
    off, stays
        What to take off, and the links that stay on.
    brake, brake_back
        What becomes of its mechanical brake, "" of a tool that no weight drives; and how it is set and tried again
        after the last step, "" where none is let off.
    supply, at
        What feeds it, and at which terminals.
    beside
        Terminals of the other chains that hang on the same two and are kept off them.
    steps
        In order.
    kind
        brushed, electronic, series, cage.
    """

    chain: str
    motor: str
    off: str
    stays: tuple[str, ...]
    brake: str
    brake_back: str
    supply: str
    at: str
    beside: tuple[str, ...]
    steps: tuple[Step, ...]
    kind: str


@dataclass(frozen=True)
class Working:
    """All chains in one duty state on one charge, motors and cells as warm as after the day's work; over lanes."""

    state: DutyState
    points: tuple[Point, ...]  # of the chains, in order
    voltage: Lanes  # V, at the source's ends
    current: Lanes  # A, out of the source, lamps and fans included
    cold_current: Lanes  # A, the same in the first minutes, everything as warm as the air
    cold_points: tuple[Point, ...]  # of the chains in those minutes


@dataclass(frozen=True)
class Charged:
    """The whole machine at one charge of its pack, cells new."""

    name: str  # full, half, reserve; supply for what never empties
    charge: Lanes  # -; nan of what never empties
    rest: Lanes  # V
    states: tuple[Working, ...]


@dataclass(frozen=True)
class Trial:
    """The first power-up of a machine."""

    alone: tuple[Alone, ...]
    charged: tuple[Charged, ...]


def trial_of(machine: Machine, day: Run) -> Trial:
    """Return what to expect of a machine at its first power-up, in all its lanes.

    Parameters
    ----------
    machine
        The machine.
    day
        Its job in the usual weather with new cells, at whose end everything is as warm as at work.
    """
    charged = tuple(_charged(machine, day, *at) for at in charges(machine))
    alone = tuple(_alone(machine, place, charged[0]) for place, _ in enumerate(machine.chains))
    return Trial(alone, charged)


def charges(machine: Machine) -> list[tuple[str, Lanes]]:
    """Return the charges a machine is read at, by name; nan of what never empties."""
    if machine.source.endless:
        return [("supply", np.nan)]
    full, half = (leaves(share, "search", "charge it is read at") for share in (1.0, pack.HALF_FULL))
    return [("full", full), ("half", half), ("reserve", machine.limits.reserve)]


def source_at(machine: Machine, charge: Lanes, cells: Lanes) -> Terminals:
    """Return what the source offers new after some minutes of the same current, its cells as warm as given."""
    return pack.at_length(machine.source, pack.fresh(cells, charge))


def _charged(machine: Machine, day: Run, name: str, charge: Lanes) -> Charged:
    air = machine.job.ambient
    warm = source_at(machine, charge, day.highest_cell_temperature)
    cold = source_at(machine, charge, air)
    found = []
    for state in machine.job.states:
        points = _with_all(machine, state, warm, Warmth(day.highest_winding, day.highest_case, air))
        first = _with_all(machine, state, cold, Warmth(air, air, air))
        found.append(
            Working(
                state=state,
                points=tuple(points[: len(machine.chains)]),
                voltage=duty.least([point.terminal_voltage for point in points]),
                current=sum(point.battery_current for point in points),
                cold_current=sum(point.battery_current for point in first),
                cold_points=tuple(first[: len(machine.chains)]),
            )
        )
    return Charged(name, charge, cold.voltage, tuple(found))


def _with_all(machine: Machine, state: DutyState, terminals: Terminals, warmth: Warmth) -> list[Point]:
    return points_at(machine, state, terminals, [warmth for _ in machine.chains])


def full_volts(machine: Machine) -> Lanes:
    """Return the volts of a source at rest, a pack's when full. [V]"""
    source = machine.source
    if source.endless:
        return source.cell.nominal_voltage
    return switching.stack_voltage(source.series, pack.open_voltage(source.cell, leaves(1.0, "search", "full")))


def _alone(machine: Machine, place: int, first: Charged) -> Alone:
    chain = machine.chains[place]
    whole = parts(chain)
    row = without_tool(behind_converter(whole))
    supply, at = _fed(machine, chain, whole)
    volts = full_volts(machine) if whole.converter is None else whole.converter.voltage
    share, above = practice("trial.share"), practice("trial.above_cut_out")
    low = allowances.first_voltage(volts, share, row.controller.cut_out, above)
    most = "full" if whole.converter is None and not machine.source.endless else "own"
    names = (("socket", volts),) if whole.alternating else (("low", low), (most, volts))
    fastest = _most_speed(chain, row, [(one.state, one.points[place]) for one in first.states])
    return Alone(
        chain=chain.name,
        motor=row.motor.name,
        off=how_off(chain, whole),
        stays=tuple(link.name for link in row.mechanical),
        brake=brake_let_off(chain, whole, planned=machine.safety.friction_brake),
        brake_back=brake_set_again(chain, whole, planned=machine.safety.friction_brake),
        supply=supply,
        at=at,
        beside=tuple(_beside(machine, chain, whole)),
        steps=tuple(_step(machine, row, name, voltage, fastest) for name, voltage in names),
        kind=kind_of_motor(row),
    )


def kind_of_motor(row: Parts) -> str:
    """Return brushed, electronic, series or cage."""
    motor = row.motor
    if isinstance(motor, Motor):
        return motor.commutation
    return "series" if isinstance(motor, SeriesMotor) else "cage"


def _fed(machine: Machine, chain: Chain, row: Parts) -> tuple[str, str]:
    """Return what feeds a motor that is tried, and where."""
    if row.alternating:
        if row.converter is None:
            return "wall-socket", "a power meter in between"
        supplied = "supplied-inverter" if machine.source.endless else "inverter"
        return supplied, "a power meter that who may has joined in between"
    if row.converter is not None:
        name = f"{chain.name} {row.controller.name}"
        return "bench-supply", f"{name}.plus and {name}.minus, the converter's two wires taken off"
    if machine.source.endless:
        return "bench-supply", "the supply's own ends"
    return "bench-supply", f"contactor.out and {back_of(machine)}, isolator open, main fuse out"


def _beside(machine: Machine, chain: Chain, row: Parts) -> Iterator[str]:
    """Yield what else is fed where a chain's motor is tried."""
    at_its_own_socket = row.alternating and row.converter is None
    behind_its_converter = not row.alternating and row.converter is not None
    if at_its_own_socket or behind_its_converter:
        return
    for other in machine.chains:
        if other is not chain:
            yield f"{other.name} {first_of(other).name}.plus"


def _most_speed(chain: Chain, row: Parts, states: Sequence[tuple[DutyState, Point]]) -> Lanes:
    """Return the speed a motor may reach without its tool: no end where it does not run up, nan where it must not run.

    A universal motor without a load runs up until its fan holds it; how far that may be is told by its speed at work.
    """
    if not isinstance(row.motor, SeriesMotor):
        return np.inf
    geared = any(isinstance(link, Transmission) for link in row.mechanical)
    loaded = [np.where(point.works, point.motor_speed, 0.0) for state, point in states if state.loads(chain)]
    return practice("trial.series_run_up") * duty.greatest(loaded) if geared and loaded else np.nan


def _step(machine: Machine, row: Parts, name: str, voltage: Lanes, most: Lanes) -> Step:
    air, time = machine.job.ambient, practice("trial.time_at_socket" if name == "socket" else "trial.time")
    point = running(row, voltage, air)
    held = np.asarray(point.motor_speed <= most)
    runs = np.asarray(point.works) & held

    def there(value: Lanes) -> Array:
        return np.where(runs, value, np.nan)

    supply = Terminals(voltage, 0.0, 0.0, 0.0, 0.0, 0.0)
    winding, case = warmed(row, point, Warmth(air, air, air), air, time)
    return Step(
        name=name,
        voltage=voltage,
        limit=there(
            np.nan if name == "socket" else allowances.supply_limit(point.battery_current, practice("trial.margin"))
        ),
        time=there(time),
        point=replace(
            point,
            motor_speed=there(point.motor_speed),
            tool_speed=there(point.tool_speed),
            motor_current=there(point.motor_current),
            battery_current=there(point.battery_current),
        ),
        power=there(supply.given(point.battery_current, in_phase_of([point]))),
        winding=there(winding),
        case=there(case),
        reason=_why_not(point, held),
    )


def _why_not(point: Point, held: npt.NDArray[np.bool_]) -> str:
    """Return why the typical motor is not run; "" where it is."""
    if not held.flat[0]:
        return RUNS_UP
    return "" if works(point) else REASONS[Outcome(int(point.outcome.flat[0]))]


def works(point: Point) -> bool:
    """Return whether the typical machine goes on working at a point."""
    return bool(point.works.flat[0])
