"""Which numbers carry the answer: each band on its own, everything else typical."""

from __future__ import annotations

import numpy as np

from headrace.design.corners import points_at
from headrace.drive.point import in_phase_of
from headrace.drive.train import Warmth
from headrace.findings.evidence import Swing
from headrace.machine.draws import banded
from headrace.machine.records import Machine
from headrace.machine.values import first_lane, with_numbers
from headrace.pack import source as pack
from headrace.physics import duty


def swings(machine: Machine) -> tuple[Swing, ...]:
    """Return what each number's band does to the mean power drawn, widest first.

    One lane for each end of each band, all solved together at half charge, rested, in the usual weather. Numbers that
    do not touch the power fall away; where an end stops the machine in a duty state, it draws nothing there.
    """
    typical = first_lane(machine)
    numbers = list(banded(typical).values())
    lanes = 2 * len(numbers)
    values = {}
    for place, origin in enumerate(numbers):
        ends = np.full(lanes, origin.typical)
        ends[2 * place], ends[2 * place + 1] = origin.low, origin.high
        values[origin.address] = ends
    changed = with_numbers(typical, values)
    air = changed.job.ambient
    terminals = pack.at_length(changed.source, pack.fresh(air + np.zeros(lanes), pack.HALF_FULL))
    warmths = [Warmth(air, air, air) for _ in changed.chains]
    powers = []
    for state in changed.job.states:
        points = points_at(changed, state, terminals, warmths)
        works = np.all([point.works for point in points], axis=0)
        drawn_here = terminals.open_voltage * in_phase_of(points)
        powers.append(np.where(works, drawn_here, 0.0))
    drawn = np.broadcast_to(duty.mean([state.share for state in changed.job.states], powers), (lanes,))
    found = [
        Swing(origin.address, origin.basis, float(drawn[2 * place]), float(drawn[2 * place + 1]))
        for place, origin in enumerate(numbers)
    ]
    return tuple(sorted((s for s in found if s.width > 1e-9), key=lambda s: -s.width))
