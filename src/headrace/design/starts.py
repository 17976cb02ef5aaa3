"""How each chain of a machine starts and stalls, at the ends of what its pack may be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields

import numpy as np

from headrace.design.corners import NO_LOAD, points_at
from headrace.drive.starting import Start, stalled, start
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth
from headrace.findings.evidence import Days, Starting
from headrace.machine.records import Chain, DutyState, Machine
from headrace.pack import source as pack
from headrace.physics.working import solution

LEAST = ("starts", "bus_voltage")  # of several starts the least is the gravest; of the other numbers the greatest


def starts(machine: Machine, days: Days) -> tuple[Starting, ...]:
    """Return the starts of every chain in all lanes of a machine, the others standing still."""
    limits, air = machine.limits, machine.job.ambient
    worn = pack.worn(machine.source, limits)
    full = pack.at(machine.source, pack.fresh(air))
    empty = pack.at(worn, pack.fresh(limits.ambient_cold, limits.reserve))
    usual, cold = Warmth(air, air, air), Warmth(*3 * [limits.ambient_cold])
    return tuple(
        Starting(
            chain.name,
            _gravest(machine, place, usual, full),
            _gravest(machine, place, cold, empty),
            *stalled(chain, NO_LOAD, machine.job, Warmth(days.new.highest_winding, days.new.highest_case, air), full),
        )
        for place, chain in enumerate(machine.chains)
    )


@solution("a start: at each speed all that volts, motor amps and battery amps let through, in forty steps")
def _gravest(machine: Machine, place: int, warmth: Warmth, terminals: Terminals) -> Start:
    """Return the gravest numbers of the starts in all states a chain may start in."""
    chain, found = machine.chains[place], []
    amps = np.inf if machine.board is None else machine.board.peak
    for state in starting_states(machine, chain):
        held = points_at(machine, state, terminals, [warmth for _ in machine.chains])[place]
        found.append(start(chain, state, machine.job, warmth, terminals, held, amps))
    return found[0] if len(found) == 1 else _worst(found)


def starting_states(machine: Machine, chain: Chain) -> Sequence[DutyState]:
    """Return the states a chain starts in: what cuts starts free, what hauls, pumps or drives with its load on.

    A load known by a table starts free where the job lets it turn without load, and otherwise against all of it.
    """
    tool, loaded = tool_of(chain.work), [state for state in machine.job.states if state.loads(chain)]
    coupled = tool.meets_its_load and not any(s.at_work(chain) and not s.loaded for s in machine.job.states)
    return loaded if coupled or not tool.cuts else (NO_LOAD,)


def _worst(found: Sequence[Start]) -> Start:
    def worst(name: str) -> np.ndarray:
        rows = np.stack(np.broadcast_arrays(*(getattr(one, name) for one in found)))
        return np.asarray(rows.min(axis=0) if name in LEAST else rows.max(axis=0))

    return Start(**{f.name: worst(f.name) for f in fields(Start)})
