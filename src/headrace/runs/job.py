"""A job as a timetable: which duty state comes when, in steps the march can take."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from headrace.machine.records import Job, Lanes

LONGEST_STEP = 10.0  # s; a quarter of it moves the charge the example uses by less than 0.1 % (tests/laws)


@dataclass(frozen=True)
class Visit:
    """One stay in one duty state, cut into equal steps."""

    state: int
    steps: int

    def step(self, job: Job) -> Lanes:
        """Return the length of each step; where the shares are drawn, a stay has as many steps in every lane. [s]"""
        return job.states[self.state].share * job.cycle / self.steps


def cycle(job: Job, longest: float = LONGEST_STEP) -> tuple[Visit, ...]:
    """Return the stays of one cycle, in the file's order.

    Parameters
    ----------
    job
        Duty states whose shares add up to 1, and the cycle in which each comes up once.
    longest
        Longest step of the first lane, so that draws beside it do not move it; a longer stay of another lane has
        longer steps. [s]
    """
    visits = []
    for place, state in enumerate(job.states):
        stays = np.ravel(state.share * job.cycle)
        if np.any(stays > 0.0):
            stay = float(stays[0]) if stays[0] > 0.0 else float(np.max(stays))
            visits.append(Visit(place, math.ceil(stay / longest - 1e-9)))
    return tuple(visits)


def timetable(job: Job, longest: float = LONGEST_STEP) -> Iterator[Visit]:
    """Yield the stay of every step, one by one and cycle after cycle, without end."""
    visits = [visit for visit in cycle(job, longest) for _ in range(visit.steps)]
    while True:
        yield from visits
