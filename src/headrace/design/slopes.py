"""What holds every chain of a machine on its slopes and under its loads, and what comes back on the way down."""

from __future__ import annotations

from dataclasses import replace

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
    return tuple(one for state in slick.job.states for one in _in_a_state(slick, state))


def _in_a_state(machine: Machine, state: DutyState) -> list[Slope]:
    """Return what every chain does in a state; what several feed back goes into one pack together."""
    if not np.any(np.asarray(state.slope) != 0.0):
        return []
    found = [
        _slope(machine, chain, state)
        for chain in machine.chains
        if isinstance(chain.work, Wheels | Winch) and state.loads(chain)
    ]
    back = [one.descent.given_back for one in found if one.regenerates and one.descent is not None]
    if not back:
        return found
    limits, worn = machine.limits, pack.worn(machine.source, machine.limits)
    full = pack.at_length(worn, pack.fresh(limits.ambient_cold))
    together = sum(back[1:], start=back[0])
    bus = converters.bus_voltage(full.voltage, full.resistance, -together, 0.0)
    into = together / bus
    room = _room(worn, limits.ambient_cold, together)
    charge = room * worn.parallel * pack.capacity_of(worn.cell, limits.ambient_cold)
    if len(back) == 1:
        return [replace(one, headroom=charge) if one.regenerates else one for one in found]
    return [_with_others(one, charge, into, full.inside(-into)) for one in found]


def _with_others(one: Slope, room: Lanes, into: Lanes, inside: Lanes) -> Slope:
    """Return a slope as it is with all that feeds back in its state, at the terminals."""
    if one.descent is None or not one.regenerates:
        return one
    lifted = np.maximum(one.descent.bus_voltage, inside)
    return replace(
        one, headroom=room, descent=replace(one.descent, into_pack=into, inside_voltage=inside, bus_voltage=lifted)
    )


def _slope(machine: Machine, chain: Chain, state: DutyState) -> Slope:
    limits, row = machine.limits, parts(chain)
    cold = Warmth(limits.ambient_cold, limits.ambient_cold, limits.ambient_cold)
    full = pack.at_length(pack.worn(machine.source, limits), pack.fresh(limits.ambient_cold))
    down = bool(np.any(np.asarray(state.slope) < 0.0))
    return Slope(
        chain=chain.name,
        tool=chain.work.name,
        state=state.name,
        standing=standing(chain, state, machine.job, machine.job.ambient),
        descent=descend(chain, state, machine.job, cold, full) if down else None,
        runaway=run_away(chain, state, machine.job, cold) if down else None,
        regenerates=row.controller.regenerates and can_feed_back(row, full),
        headroom=np.nan,
    )


@solution("share of the charge that has to be out, so that what comes back leaves the cells below their full voltage")
def _room(source: Source, temperature: Lanes, back: Lanes) -> Lanes:
    """Return the least of 201 shares that does, for a power coming back; infinite where no room is enough. [-]"""
    room: Lanes = np.inf
    for step in range(CHARGES, -1, -1):
        at = pack.at_length(source, pack.fresh(temperature, 1.0 - step / CHARGES))
        into = back / converters.bus_voltage(at.voltage, at.resistance, -back, 0.0)
        fits = at.inside(-into) <= source.series * source.cell.full_voltage
        room = np.where(fits, step / CHARGES, room)
    return room
