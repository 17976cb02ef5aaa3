"""What holds every chain of a machine on its slopes and under its loads, and what comes back on the way down."""

from __future__ import annotations

import numpy as np

from headrace.drive.descent import can_feed_back, descend, run_away, standing
from headrace.drive.links import parts
from headrace.drive.train import Warmth
from headrace.findings.rest import Slope
from headrace.machine.records import Chain, DutyState, Lanes, Machine, Source
from headrace.machine.values import low_drag, low_loss
from headrace.machine.works import Wheels, Winch
from headrace.pack import source as pack
from headrace.physics import converters
from headrace.physics.working import solution

CHARGES = 200  # looked at between full and empty for the room a descent needs


def slopes(machine: Machine) -> tuple[Slope, ...]:
    """Return the slopes and loads of every chain in every loaded state, drag and losses at their least."""
    slick = low_loss(low_drag(machine))
    return tuple(
        _slope(slick, chain, state)
        for chain in slick.chains
        if isinstance(chain.work, Wheels | Winch)
        for state in slick.job.states
        if state.loads(chain) and np.any(np.asarray(state.slope) != 0.0)
    )


def _slope(machine: Machine, chain: Chain, state: DutyState) -> Slope:
    limits, row = machine.limits, parts(chain)
    cold = Warmth(limits.ambient_cold, limits.ambient_cold, limits.ambient_cold)
    worn = pack.aged(machine.source, limits.end_of_life_capacity, limits.end_of_life_resistance)
    full = pack.at_length(worn, pack.fresh(limits.ambient_cold))
    down = bool(np.any(np.asarray(state.slope) < 0.0))
    found = descend(chain, state, machine.job, cold, full) if down else None
    room: Lanes = np.nan
    if found is not None:
        room = (
            _room(worn, limits.ambient_cold, found.given_back)
            * worn.parallel
            * pack.capacity_of(worn.cell, limits.ambient_cold)
        )
    return Slope(
        chain=chain.name,
        tool=chain.work.name,
        state=state.name,
        standing=standing(chain, state, machine.job, machine.job.ambient),
        descent=found,
        runaway=run_away(chain, state, machine.job, cold) if down else None,
        regenerates=row.controller.regenerates and can_feed_back(row, full),
        headroom=room,
    )


@solution("share of the charge that has to be out, so that what comes back leaves the cells below their full voltage")
def _room(source: Source, temperature: Lanes, back: Lanes) -> Lanes:
    """Return the least of 201 shares that does, for a power coming back; all of it where none does. [-]"""
    room: Lanes = 1.0
    for step in range(CHARGES, -1, -1):
        at = pack.at_length(source, pack.fresh(temperature, 1.0 - step / CHARGES))
        into = back / converters.bus_voltage(at.voltage, at.resistance, -back, 0.0)
        fits = at.inside(-into) <= source.series * source.cell.full_voltage
        room = np.where(fits, step / CHARGES, room)
    return room
