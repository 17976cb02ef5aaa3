"""Which assumptions carry the answer: shares of its variance over the bands of the numbers.

The first-order share of a number is the part of an answer's variance that knowing it would take away; its total share
adds what it does together with others. The shares belong to the bands: another file has others.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from headrace.design.corners import points_at
from headrace.design.days import LONGEST_RUN
from headrace.drive.train import Warmth
from headrace.machine.draws import at_shares, banded
from headrace.machine.records import Machine
from headrace.pack import source as pack
from headrace.physics import loads
from headrace.runs.march import Progress, march
from headrace.runs.run import End

Array = npt.NDArray[np.float64]

SEEDS = (1, 2)
DAYS, POINTS = 256, 8192  # base samples, powers of two, of what takes a march and of what takes an operating point
CHUNK = 4096  # lanes solved at once
LONGEST = 2.0  # times the typical run, after which a draw's run counts as that long
STEP = 60.0  # s, longest step: a stay in a duty state is one step, which moves a run by a few parts in a thousand
MOVES = 0.01  # least part of the summed swings that makes a number worth the full look
EDGE = 1e-6  # shares are kept this far from 0 and 1, where a distribution has no end


@dataclass(frozen=True)
class Carried:
    """What one number carries of one answer.

    Attributes
    ----------
    address, basis
        Of the number.
    first, total
        First-order and total share of the answer's variance, under the first seed. [-]
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
    """What carries each answer, widest first; numbers whose band moves no answer are left out."""

    carried: dict[str, tuple[Carried, ...]]  # run_time, pack_size, tip_speed
    samples: dict[str, int]
    seeds: tuple[int, ...] = SEEDS

    def sum_first(self, answer: str) -> float:
        """Return the sum of the first-order shares: what is missing to 1 the numbers do together. [-]"""
        return sum(carried.first for carried in self.carried[answer])


def indices(function: Callable[[Array], Array], dimension: int, samples: int, seed: int) -> tuple[Array, Array]:
    """Return first-order and total shares of a function's variance.

    Parameters
    ----------
    function
        From shares between 0 and 1, [number, draw], to answers, [answer, draw].
    dimension
        How many numbers.
    samples
        Base samples, a power of two; the function is asked for ``samples`` times ``dimension + 2`` draws.
    seed
        Of the sample.

    Returns
    -------
    tuple
        Shares of the variance, each [answer, number]. [-]
    """
    from scipy.stats import sobol_indices, uniform

    found = sobol_indices(func=function, n=samples, dists=[uniform()] * dimension, rng=seed)
    return np.atleast_2d(found.first_order), np.atleast_2d(found.total_order)


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
    alone = march(machine, LONGEST_RUN, at_end=End.TIME_LIMIT, longest_step=STEP)
    longest = LONGEST * float(alone.to_reserve)
    by_day = _carried(machine, ("run_time", "pack_size"), lambda drawn: _of_the_run(drawn, longest), days, progress)
    by_point = _carried(machine, ("tip_speed",), _of_the_blade, points, None)
    samples = dict.fromkeys(by_day, days) | dict.fromkeys(by_point, points)
    return Shares(by_day | by_point, samples)


def _of_the_run(drawn: Machine, longest: float) -> Array:
    """Return the run time to the reserve, and the cells that the job's charge asks for with worn cells. [s, -]

    By charge alone: amps and volts are judged elsewhere. A draw that stalls or trips counts with what it reached.
    """
    run = march(drawn, longest, at_end=End.TIME_LIMIT, longest_step=STEP)
    limits = drawn.limits
    used = (1.0 - run.charge_left) / np.maximum(run.duration, drawn.job.cycle)
    asked = used * limits.time_wanted / ((1.0 - limits.reserve) * limits.end_of_life_capacity)
    return np.stack(np.broadcast_arrays(run.to_reserve, drawn.source.series * drawn.source.parallel * asked))


def _of_the_blade(drawn: Machine) -> Array:
    """Return the slowest tip among the cutting states on a full, rested pack; 0 where the load stops it. [m/s]"""
    air = drawn.job.ambient
    terminals = pack.at(drawn.source, pack.fresh(air))
    tips = []
    for state in drawn.job.states:
        if state.cutting:
            points = points_at(drawn, state, terminals, [Warmth(air, air, air) for _ in drawn.chains])
            radius = drawn.chains[0].work.diameter / 2.0
            tips.append(np.where(points[0].works, loads.tip_speed(points[0].tool_speed, radius), 0.0))
    return np.atleast_2d(np.min(tips, axis=0))


def _carried(
    machine: Machine, names: tuple[str, ...], answers: Answers, samples: int, progress: Progress | None
) -> dict[str, tuple[Carried, ...]]:
    """Return what carries each of the answers that come together."""
    addresses = _moving(machine, answers)
    done, whole = 0, len(SEEDS) * samples * (len(addresses) + 2)

    def asked(below: Array) -> Array:
        nonlocal done
        flat = np.clip(below.reshape(len(addresses), -1), EDGE, 1.0 - EDGE)
        parts = []
        for start in range(0, flat.shape[1], CHUNK):
            chunk = flat[:, start : start + CHUNK]
            parts.append(_at(machine, dict(zip(addresses, chunk, strict=True)), answers))
            done += chunk.shape[1]
            if progress is not None:
                progress(min(1.0, done / whole))
        return np.concatenate(parts, axis=1).reshape(len(names), *below.shape[1:])

    (first, total), other = (indices(asked, len(addresses), samples, seed) for seed in SEEDS)
    gap = np.maximum(np.abs(first - other[0]), np.abs(total - other[1]))
    return {
        name: tuple(
            Carried(
                addresses[k],
                machine.pedigree[addresses[k]].basis,
                float(first[row, k]),
                float(total[row, k]),
                float(gap[row, k]),
            )
            for k in np.argsort(-total[row])
        )
        for row, name in enumerate(names)
    }


def _moving(machine: Machine, answers: Answers) -> list[str]:
    """Return the numbers whose band moves some answer by more than a hundredth of what all bands do, one at a time."""
    names = list(banded(machine))
    ends = {name: np.full(2 * len(names), 0.5) for name in names}
    for place, name in enumerate(names):
        ends[name][2 * place], ends[name][2 * place + 1] = 0.05, 0.95
    found = _at(machine, ends, answers)
    swing = np.abs(found[:, 1::2] - found[:, ::2])
    part = swing / np.maximum(swing.sum(axis=1, keepdims=True), 1e-12)
    return [name for name, most in zip(names, part.max(axis=0), strict=True) if most > MOVES]


def _at(machine: Machine, below: dict[str, Array], answers: Answers) -> Array:
    """Return the answers, [answer, draw], of a machine with numbers at shares of their distributions."""
    lanes = 1 + len(next(iter(below.values())))
    found = answers(at_shares(machine, below))
    return np.broadcast_to(found, (len(found), lanes))[:, 1:]


def shares_record(found: Shares) -> dict[str, Any]:
    """Return the two parts a record has of it: what carries each answer, and how that was found."""
    return {
        "carries": {answer: [asdict(number) for number in rows] for answer, rows in found.carried.items()},
        "carried_by": {
            "samples": found.samples,
            "seeds": list(found.seeds),
            "sum_first": {answer: found.sum_first(answer) for answer in found.carried},
        },
    }
