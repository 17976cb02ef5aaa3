"""Where the watts go, at one instant of the day: the middle of it, with the pack and the motor as they are then."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.design.corners import points_at, slow_crossing_of
from headrace.drive.ledger import Ledger, auxiliary_ledger, ledger
from headrace.drive.point import Point
from headrace.drive.savings import Saving, savings
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth
from headrace.machine.records import Auxiliary, Chain, DutyState, Lanes, Machine
from headrace.pack import source as pack
from headrace.physics.working import leaves
from headrace.runs.run import Instant, Run


@dataclass(frozen=True)
class ChainLosses:
    """One chain in one duty state."""

    chain: Chain
    point: Point
    pace: Lanes  # of its tool, in the unit of its kind
    slow_crossing: Lanes  # rad/s of the tool, below which the load stops it; nan when there is none
    ledger: Ledger
    savings: tuple[Saving, ...]


@dataclass(frozen=True)
class AuxiliaryLosses:
    """One auxiliary in one duty state, switched on or off."""

    auxiliary: Auxiliary
    point: Point
    ledger: Ledger


@dataclass(frozen=True)
class StateLosses:
    """All chains, and what runs beside them, in one duty state at one instant."""

    state: DutyState
    time: float  # s since the start of the day
    charge: Lanes  # -
    terminals: Terminals
    chains: tuple[ChainLosses, ...]
    auxiliaries: tuple[AuxiliaryLosses, ...]


def middle(run: Run) -> Instant | None:
    """Return the instant halfway through the first lane of a run, or None when it never started."""
    if run.trace is None:
        return None
    half = float(run.duration.flat[0]) / 2.0
    return min(run.trace.instants, key=lambda instant: abs(instant.time - half))


def losses(machine: Machine, run: Run) -> tuple[StateLosses, ...]:
    """Return the ledgers of every duty state at the middle of a day that was marched with its trace.

    A day that never started is opened at its beginning: full pack, everything at the temperature of the air.
    """
    air = machine.job.ambient
    instant = middle(run)
    if instant is None:
        time, state = 0.0, pack.fresh(air)
        warmths = [Warmth(air, air, air) for _ in machine.chains]
    else:
        instant = leaves(instant, "march", f"the march at {instant.time:.0f} s")
        time = instant.time
        state = pack.PackState(instant.charge, instant.cell_temperature, instant.slow_voltages, instant.behind)
        warmths = [Warmth(w, c, air) for w, c in zip(instant.winding, instant.case, strict=True)]
    terminals = pack.at(machine.source, state)
    return tuple(
        StateLosses(duty, time, state.charge, terminals, *_drawn(machine, duty, terminals, warmths))
        for duty in machine.job.states
    )


def _drawn(
    machine: Machine, state: DutyState, terminals: Terminals, warmths: list[Warmth]
) -> tuple[tuple[ChainLosses, ...], tuple[AuxiliaryLosses, ...]]:
    points = points_at(machine, state, terminals, warmths)
    total = sum(point.battery_current for point in points)
    chains = tuple(
        _chain(machine, chain, state, terminals, warmth, point, total - point.battery_current)
        for chain, warmth, point in zip(machine.chains, warmths, points, strict=False)
    )
    beside = zip(machine.auxiliaries, points[len(machine.chains) :], strict=True)
    return chains, tuple(
        AuxiliaryLosses(
            one, point, auxiliary_ledger(one, state, point, terminals, others=total - point.battery_current)
        )
        for one, point in beside
    )


def _chain(
    machine: Machine,
    chain: Chain,
    state: DutyState,
    terminals: Terminals,
    warmth: Warmth,
    point: Point,
    others: Lanes,
) -> ChainLosses:
    seen = terminals.beside(others)
    return ChainLosses(
        chain=chain,
        point=point,
        pace=tool_of(chain.work).pace_at(chain.work, point.tool_speed),
        slow_crossing=slow_crossing_of(chain, state, machine.job, warmth, seen),
        ledger=ledger(chain, state, machine.job, warmth, point, terminals, others),
        savings=savings(chain, state, machine.job, warmth, point, seen),
    )
