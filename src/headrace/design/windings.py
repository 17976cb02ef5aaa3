"""Which motor constants keep a tool in its window, the motor's frame kept.

Of the typical machine alone. The corners are those the findings hold a plan against: full pack without load on a hot
day with warm magnets, and the slowest loaded state at the reserve with worn cells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.design.corners import NO_LOAD
from headrace.design.ends import Ends, ends, tool_speed, with_chain
from headrace.design.gearing import NOT_A_MAGNET
from headrace.drive.gearing import rewound, rewound_motor
from headrace.drive.links import parts
from headrace.drive.looking import edge
from headrace.drive.terminals import Terminals
from headrace.drive.tools import paces_wanted, tool_of
from headrace.drive.train import Warmth
from headrace.findings.evidence import Days
from headrace.machine.links import Motor
from headrace.machine.records import Chain, Lanes, Machine
from headrace.machine.values import first_lane
from headrace.physics import duty
from headrace.physics.working import solution

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

WINDINGS = np.geomspace(0.2, 5.0, 321)  # turns over those of the file; a window narrower than 1 % is passed over
NO_LIMITS = "[limits] gives no least and greatest pace"
FAILS = {
    "weak": "no winding keeps the tool at its least pace at the reserve: frame, limits or volts are too weak",
    "spread": "no winding does it: those that are fast enough at the reserve are too fast on a full pack",
}


@dataclass(frozen=True)
class Windings:
    """The motor constants with which a tool stays in its window.

    Attributes
    ----------
    constant
        Of the file. [V·s/rad]
    fastest, slowest
        Constants of the fastest and the slowest winding that keep both paces; nan where none does. [V·s/rad]
    at_top
        Pace at the reserve of the fastest winding that keeps to the greatest pace when full; nan where all do.
    why
        Where there is no window, why.
    """

    chain: Chain
    constant: Lanes = np.nan
    fastest: Lanes = np.nan
    slowest: Lanes = np.nan
    at_top: Lanes = np.nan
    why: str = ""


def windings(machine: Machine, days: Days) -> tuple[Windings, ...]:
    """Return the window of windings of every chain of the typical machine."""
    machine, days = first_lane((machine, days))
    at = ends(machine, days)
    return tuple(_windings(machine, place, at) for place in range(len(machine.chains)))


def _windings(machine: Machine, place: int, at: Ends) -> Windings:
    chain = machine.chains[place]
    motor = parts(chain).motor
    least, most = paces_wanted(machine.limits, chain.work)
    if not isinstance(motor, Motor):
        return Windings(chain, why=NOT_A_MAGNET)
    if not (least > 0.0 and np.isfinite(most)):
        return Windings(chain, motor.constant, why=NO_LIMITS)
    window = winding_window(machine, place, at.empty, at.hot_full, at.warm, at.hot)
    if not np.isfinite(window[0]):
        spread = np.any(Wound(machine, place, at.empty, at.hot_full, at.warm, at.hot).quick_enough(WINDINGS))
        return Windings(chain, motor.constant, at_top=window[2], why=FAILS["spread" if spread else "weak"])
    fastest, slowest = (rewound_motor(motor, turns).constant for turns in window[:2])
    return Windings(chain, motor.constant, fastest, slowest, window[2])


@dataclass(frozen=True)
class Wound:
    """The two ends of a tool's pace as functions of its motor's turns, over those of the file."""

    machine: Machine
    place: int
    empty: Terminals
    full: Terminals
    warm: Sequence[Warmth]
    hot: Sequence[Warmth]

    @property
    def chain(self) -> Chain:
        """The chain as the file has it."""
        return self.machine.chains[self.place]

    def slowest(self, turns: Array) -> Array:
        """Return the slowest loaded pace at the reserve."""
        plan = with_chain(self.machine, self.place, rewound(self.chain, turns))
        loaded = [state for state in plan.job.states if state.loads(self.chain)]
        return self._pace(duty.least([tool_speed(plan, self.place, s, self.empty, self.warm) for s in loaded]))

    def fastest(self, turns: Array) -> Array:
        """Return the pace without load after a full charge."""
        plan = with_chain(self.machine, self.place, rewound(self.chain, turns))
        return self._pace(tool_speed(plan, self.place, NO_LOAD, self.full, self.hot))

    def _pace(self, speed: Lanes) -> Array:
        return np.asarray(tool_of(self.chain.work).pace_at(self.chain.work, speed))

    def quick_enough(self, turns: Array) -> Mask:
        """Return where the least pace is kept."""
        return self.slowest(turns) >= paces_wanted(self.machine.limits, self.chain.work)[0]

    def slow_enough(self, turns: Array) -> Mask:
        """Return where the greatest pace is kept."""
        return self.fastest(turns) <= paces_wanted(self.machine.limits, self.chain.work)[1]

    def keeps_both(self, turns: Array) -> Mask:
        """Return where both are kept."""
        return self.slow_enough(turns) & self.quick_enough(turns)


@solution(
    "the window of windings: turns, over those of the file, with which the tool keeps its least and greatest pace"
)
def winding_window(
    machine: Machine, place: int, empty: Terminals, full: Terminals, warm: Sequence[Warmth], hot: Sequence[Warmth]
) -> tuple[float, float, float]:
    """Return the fewest and the most turns that keep both paces, and the pace when empty with the fewest when full.

    Parameters
    ----------
    machine, place
        The chain, of one lane.
    empty, full
        Its source, nearly empty and full.
    warm, hot
        Temperatures of each chain on them. [K]

    Returns
    -------
    tuple of float
        Turns, nan where no winding keeps both; and the pace on the nearly empty pack of the fastest winding that keeps
        to the greatest pace when full, nan where all do. [-, -, that of the pace]
    """
    wound = Wound(machine, place, empty, full, warm, hot)
    slow_enough = wound.slow_enough(WINDINGS)
    over, at_top = np.flatnonzero(~slow_enough), np.nan
    if over.size > 0 and over[-1] + 1 < WINDINGS.size:
        top = edge(wound.slow_enough, WINDINGS[over[-1] + 1], WINDINGS[over[-1]])
        at_top = float(wound.slowest(top))
    both = np.flatnonzero(slow_enough & wound.quick_enough(WINDINGS))
    if both.size == 0:
        return np.nan, np.nan, at_top
    gaps = np.flatnonzero(np.diff(both) > 1)  # what is slow because its limits hold it is another window
    first = both[gaps[-1] + 1] if gaps.size > 0 else both[0]
    return _end(wound, int(first), -1), _end(wound, int(both[-1]), 1), at_top


def _end(wound: Wound, at: int, step: int) -> float:
    """Return the turns at one end of the window; where what was looked through ends first, its end."""
    if not 0 <= at + step < WINDINGS.size:
        return float(WINDINGS[at])
    return float(edge(wound.keeps_both, WINDINGS[at], WINDINGS[at + step]))
