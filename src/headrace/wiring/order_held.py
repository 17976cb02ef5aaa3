"""The step of the connecting order at which a load, or a slope, is let go of: it has to stay where it is."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from headrace.machine.records import Chain, Machine
from headrace.machine.works import Wheels, Winch
from headrace.wiring.let_run import only
from headrace.wiring.order_step import Step

AGAIN = "Let go, then open the isolator: it stays both times."
SLIPS = (
    "It comes down: the brake is missing, weak or late. Let it down to where nothing can fall, mend the brake, begin "
    "again with the small load; no work before it holds."
)


def held(machine: Machine) -> Iterator[Step]:
    """Yield how each chain that a weight drives is let go of under a small load, and then under all of it."""
    several = len(machine.chains) > 1
    for chain in machine.chains:
        does = _hangs(chain.work) if isinstance(chain.work, Winch) else _stands(machine, chain)
        if does:
            yield Step(
                f"{chain.name} load held" if several else "load held",
                True,
                f"{does} {only(machine, chain)}{AGAIN}",
                "Nobody below the load, behind it, or beside a rope that is taut.",
                f"how far the {'load' if isinstance(chain.work, Winch) else 'machine'} comes down, by a mark",
                differs=SLIPS,
            )


def _hangs(winch: Winch) -> str:
    """Return how a load is put on a rope."""
    tail = ", its tail in the cleat or jaw that holds it" if np.any(np.asarray(winch.laps) > 0.0) else ""
    return (
        f"Isolator open, fuse out: put the rope on{tail}, and a small load on the rope. Fuse in, isolator closed: hold "
        "the control until the load is a hand's breadth over the ground, or on a slope that far above a stop that "
        "catches it. When it holds, the same with the whole load, as low."
    )


def _stands(machine: Machine, chain: Chain) -> str:
    """Return how a machine on wheels is tried on its slope; "" of one that works on the level without a brake."""
    slopes = any(bool(np.any(np.asarray(state.slope) != 0.0)) for state in machine.job.states if state.loads(chain))
    if not isinstance(chain.work, Wheels) or not (slopes or machine.safety.friction_brake):
        return ""
    return (
        "Isolator open, fuse out: down on its wheels, on the steepest slope of its work, a chock a hand's breadth "
        "below each wheel. Fuse in, isolator closed: empty, hold the control until it has climbed that far; a brake "
        "that a hand sets is set before it is let go. When it holds, the same with the whole load."
    )
