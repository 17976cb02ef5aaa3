"""A job as a timetable: which duty state comes when, in steps the march can take."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from headrace.machine.records import Job

LONGEST_STEP = 10.0  # s; a quarter of it moves the charge the example uses by less than 0.1 % (tests/laws)


@dataclass(frozen=True)
class Visit:
    """One stay in one duty state, cut into equal steps."""

    state: int
    steps: int
    step: float  # s


def cycle(job: Job, longest: float = LONGEST_STEP) -> tuple[Visit, ...]:
    """Return the stays of one cycle, in the file's order.

    Parameters
    ----------
    job
        Duty states whose shares add up to 1, and the cycle in which each comes up once.
    longest
        Longest step. [s]
    """
    visits = []
    for place, state in enumerate(job.states):
        stay = state.share * job.cycle
        if stay > 0.0:
            steps = math.ceil(stay / longest - 1e-9)
            visits.append(Visit(place, steps, stay / steps))
    return tuple(visits)


def timetable(job: Job, until: float, longest: float = LONGEST_STEP) -> Iterator[tuple[int, float]]:
    """Yield (state, seconds) step by step until a time, the last step cut to end on it."""
    clock = 0.0
    visits = cycle(job, longest)
    while True:
        for visit in visits:
            for _ in range(visit.steps):
                step = min(visit.step, until - clock)
                if step <= 1e-9:
                    return
                yield visit.state, step
                clock += step
