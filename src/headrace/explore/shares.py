"""Which assumptions carry the answer: shares of its variance over the bands of the numbers.

The first-order share of a number is the part of an answer's variance that knowing it would take away; its total share
adds what it does together with others. The shares belong to the bands: another file has others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from headrace.design.corners import points_at
from headrace.design.days import LONGEST_RUN
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth
from headrace.machine.draws import at_shares, banded
from headrace.machine.records import Machine
from headrace.pack import arrangement
from headrace.pack import source as pack
from headrace.physics import duty
from headrace.physics.arrangement import cells_for_charge
from headrace.runs.march import Progress, march
from headrace.runs.run import End

Array = npt.NDArray[np.float64]

SEEDS = (1, 2)
DAYS, POINTS = 512, 8192  # base samples, powers of two, of what takes a march and of what takes an operating point
CHUNK = 8192  # lanes solved at once: more cost memory, fewer cost time
STEP = 60.0  # s, longest step: a stay in a duty state is one step, which moves a run by a few parts in a thousand
MOVES = 0.01  # least part of the summed swings that makes a number worth the full look
STILL = 1e-9  # of an answer; if all bands together move it by less it does not move
EDGE = 1e-6  # shares are kept this far from 0 and 1, where a distribution has no end


@dataclass(frozen=True)
class Carried:
    """What one number carries of one answer.

    Attributes
    ----------
    address, basis
        Of the number.
    first, total
        First-order and total share of the answer's variance, under the first seed; estimates, so that a share near
        nothing may come out a little below 0. [-]
    gap
        Largest difference of either under the second seed. [-]
    """

    address: str
    basis: str
    first: float
    total: float
    gap: float


@dataclass(frozen=True)
class Shares:
    """What carries each answer, widest first.

    Attributes
    ----------
    carried
        By answer: run_time, pack_size, and the pace of the first tool (tip_speed).
    nothing_found
        By answer: numbers that were looked at and whose total share came out at nothing, or a little below.
    left_out
        By answer: numbers that were not looked at, because their band, one at a time, moves next to nothing.
    samples
        By answer: base samples for each seed.
    seeds
        Of the samples.
    """

    carried: Mapping[str, tuple[Carried, ...]]
    nothing_found: Mapping[str, tuple[str, ...]]
    left_out: Mapping[str, tuple[str, ...]]
    samples: Mapping[str, int]
    seeds: tuple[int, ...] = SEEDS

    def sum_first(self, answer: str) -> float:
        """Return the sum of the first-order shares: what is missing to 1 the numbers do together. [-]"""
        return sum(carried.first for carried in self.carried[answer])


def indices(function: Callable[[Array], Array], dimension: int, samples: int, seeds: tuple[int, ...]) -> Array:
    """Return first-order and total shares of a function's variance, under each of some seeds.

    Parameters
    ----------
    function
        From shares between 0 and 1, [number, draw], to answers, [answer, draw].
    dimension
        How many numbers.
    samples
        Base samples, a power of two; for each seed the function is asked for ``asked_for`` draws, all in one call.
    seeds
        Of the samples.

    Returns
    -------
    Array
        Shares of the variance, [seed, first-order or total, answer, number]. [-]
    """
    below = np.concatenate([_sample(dimension, samples, seed) for seed in seeds], axis=1)
    answers = function(below[:dimension])
    return np.stack([_of_one_sample(part, dimension, samples) for part in np.split(answers, len(seeds), axis=1)])


def asked_for(dimension: int, samples: int) -> int:
    """Return how many draws the shares of one seed take: two samples, and one more with each number exchanged."""
    return samples * (_wide(dimension) + 2)


def _wide(dimension: int) -> int:
    return max(dimension, 2)  # the library loses the axis of a single number, so that one gets an idle companion


def _sample(dimension: int, samples: int, seed: int) -> Array:
    """Return two samples, then the first with the numbers of the second, one number at a time."""
    from scipy.stats import qmc

    wide = _wide(dimension)
    one, other = qmc.Sobol(d=2 * wide, rng=seed, bits=64).random(samples).T.reshape(2, wide, samples)
    exchanged = np.repeat(one[:, np.newaxis], wide, axis=1)
    exchanged[np.arange(wide), np.arange(wide)] = other
    return np.concatenate([one, other, exchanged.reshape(wide, -1)], axis=1)


def _of_one_sample(answers: Array, dimension: int, samples: int) -> Array:
    """Return the shares, [first-order or total, answer, number], from the answers at one seed's draws."""
    from scipy.stats import sobol_indices

    one, other, exchanged = np.split(answers, [samples, 2 * samples], axis=1)
    by_number = np.moveaxis(exchanged.reshape(len(answers), _wide(dimension), samples), 1, 0)
    found = sobol_indices(func={"f_A": one, "f_B": other, "f_AB": by_number}, n=samples)
    parts = (found.first_order, found.total_order)
    return np.stack([np.reshape(part, (len(answers), _wide(dimension)))[:, :dimension] for part in parts])


Answers = Callable[[Machine], Array]  # of a machine with a typical lane and draws: [answer, lane]


def shares(machine: Machine, progress: Progress | None = None, days: int = DAYS, points: int = POINTS) -> Shares:
    """Return which numbers carry run time, pack size and tip speed.

    Parameters
    ----------
    machine
        The machine, one lane.
    progress
        Told the share of the work done.
    days, points
        Base samples for each seed, powers of two.
    """
    by_day = _looked_at(machine, ("run_time", "pack_size"), _of_the_run, days, progress)
    pace = tool_of(machine.chains[0].work).pace.key
    by_point = _looked_at(machine, (pace,), of_the_tool, points, None)  # done in a fraction of the time
    looked_at = by_day | by_point
    return Shares(
        carried={answer: tuple(row for row in rows if row.total > 0.0) for answer, rows in looked_at.items()},
        nothing_found={answer: tuple(r.address for r in rows if r.total <= 0.0) for answer, rows in looked_at.items()},
        left_out={answer: _others(machine, rows) for answer, rows in looked_at.items()},
        samples=dict.fromkeys(by_day, days) | dict.fromkeys(by_point, points),
    )


def _of_the_run(drawn: Machine) -> Array:
    """Return the run time to the reserve, and the cells that the job's charge asks for at the end of life. [s, -]

    A draw that stalls or trips counts with the minutes it reached, and asks for cells at the rate at which it used
    charge while it worked; one that never starts asks for none. By charge alone: whether amps and volts do is judged
    by the findings.
    """
    run = march(drawn, LONGEST_RUN, at_end=End.TIME_LIMIT, longest_step=STEP)
    limits = drawn.limits
    job = duty.charge_at_rate(run.charge_left, run.duration, limits.time_wanted)
    cells = cells_for_charge(arrangement.count(drawn.source), job, limits.reserve, limits.end_of_life_capacity)
    return np.stack(np.broadcast_arrays(run.to_reserve, cells))


def of_the_tool(drawn: Machine) -> Array:
    """Return the slowest pace of the first tool among the loaded states at the reserve; 0 where the load stops it.

    New cells that have sagged, motors no warmer than the air.
    """
    air = drawn.job.ambient
    terminals = pack.at_length(drawn.source, pack.fresh(air, drawn.limits.reserve))
    warmths = [Warmth(air, air, air) for _ in drawn.chains]
    first = drawn.chains[0]
    points = [points_at(drawn, state, terminals, warmths)[0] for state in drawn.job.states if state.loads(first)]
    paces = [np.where(point.works, tool_of(first.work).pace_at(first.work, point.tool_speed), 0.0) for point in points]
    return np.atleast_2d(duty.least(paces))


def _looked_at(
    machine: Machine, names: tuple[str, ...], answers: Answers, samples: int, progress: Progress | None
) -> dict[str, tuple[Carried, ...]]:
    """Return, for each of the answers that come together, what each number that moves any of them carries."""
    addresses = _moving(machine, answers)
    if not addresses:
        return dict.fromkeys(names, ())
    done, whole = 0, len(SEEDS) * asked_for(len(addresses), samples)

    def asked(below: Array) -> Array:
        nonlocal done
        below = np.clip(below, EDGE, 1.0 - EDGE)
        parts = []
        for start in range(0, below.shape[1], CHUNK):
            chunk = below[:, start : start + CHUNK]
            parts.append(_at(machine, dict(zip(addresses, chunk, strict=True)), answers))
            done += chunk.shape[1]
            if progress is not None:
                progress(done / whole)
        return np.concatenate(parts, axis=1)

    one, other = indices(asked, len(addresses), samples, SEEDS)
    gaps = np.max(np.abs(one - other), axis=0)
    return {name: _ranked(machine, addresses, one[0, row], one[1, row], gaps[row]) for row, name in enumerate(names)}


def _ranked(machine: Machine, addresses: list[str], first: Array, total: Array, gap: Array) -> tuple[Carried, ...]:
    """Return what the numbers carry of an answer, by their total share."""
    rows = zip(addresses, first.tolist(), total.tolist(), gap.tolist(), strict=True)
    found = [Carried(address, machine.pedigree[address].basis, *numbers) for address, *numbers in rows]
    return tuple(sorted(found, key=lambda row: -row.total))


def _others(machine: Machine, rows: tuple[Carried, ...]) -> tuple[str, ...]:
    """Return the numbers with a band that are not among those looked at."""
    looked_at = {row.address for row in rows}
    return tuple(address for address in banded(machine) if address not in looked_at)


def _moving(machine: Machine, answers: Answers) -> list[str]:
    """Return the numbers whose band moves some answer by more than a hundredth of what all bands do, one at a time."""
    names = list(banded(machine))
    if not names:
        return []
    ends = {name: np.full(2 * len(names), 0.5) for name in names}
    for place, name in enumerate(names):
        ends[name][2 * place], ends[name][2 * place + 1] = 0.05, 0.95
    found = _at(machine, ends, answers)
    swing = np.abs(found[:, 1::2] - found[:, ::2])
    whole = swing.sum(axis=1, keepdims=True)
    moved = whole > STILL * np.max(np.abs(found), axis=1, keepdims=True)
    return [name for name, moves in zip(names, np.any(moved & (swing > MOVES * whole), axis=0), strict=True) if moves]


def _at(machine: Machine, below: Mapping[str, Array], answers: Answers) -> Array:
    """Return the answers, [answer, draw], of a machine with numbers at shares of their distributions."""
    lanes = 1 + len(next(iter(below.values())))
    found = answers(at_shares(machine, below))
    return np.broadcast_to(found, (len(found), lanes))[:, 1:]


def shares_record(found: Shares) -> dict[str, Any]:
    """Return the two parts a record has of it: what carries each answer, and how that was found."""
    return {
        "carries": {answer: [asdict(number) for number in rows] for answer, rows in found.carried.items()},
        "carried_by": {
            "samples": dict(found.samples),
            "seeds": list(found.seeds),
            "sum_first": {answer: found.sum_first(answer) for answer in found.carried},
            "nothing_found": {answer: list(addresses) for answer, addresses in found.nothing_found.items()},
            "left_out": {answer: list(addresses) for answer, addresses in found.left_out.items()},
        },
    }
