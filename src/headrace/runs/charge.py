"""A pack on its charger from the reserve until the charger switches off, marched with the model of its cells."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from headrace.machine.charger import Charger
from headrace.machine.records import Lanes, Source
from headrace.machine.values import lanes_of
from headrace.pack import charging as pack
from headrace.pack.source import PackState, capacity_of, fresh
from headrace.physics import charging
from headrace.physics.working import solution
from headrace.runs.run import Array

STEP = 0.0025  # of the capacity, put in in one step at the charger's current
LONGER = 8.0  # times, the steps become while the current fades
MOST = 6000  # steps, after which a charge is given up


class Ended(IntEnum):
    """What ended a charge in one lane."""

    TAPERED = 0
    FULL = 1
    TOO_LOW = 2
    TIME_LIMIT = 3

    @property
    def slug(self) -> str:
        """Name in the record."""
        return self.name.lower().replace("_", "-")


WHY = {
    Ended.TAPERED: "the current has faded and the charger switches off",
    Ended.FULL: "the pack is full",
    Ended.TOO_LOW: "the charger's voltage does not lift the pack's",
    Ended.TIME_LIMIT: "the charge was given up after the longest time looked at",
}


@dataclass(frozen=True)
class Charge:
    """One charge; arrays over lanes."""

    ended_because: npt.NDArray[np.float64]  # ``Ended`` codes
    duration: Array  # s
    steady: Array  # s, of it at the charger's current
    charge: Array  # -, at the end
    put_in: Array  # A s, through the terminals
    energy: Array  # J, into the terminals
    mains: Array  # J, from the outlet
    mains_power: Array  # W, most from the outlet
    highest_cell_temperature: Array  # K


@solution("charge, marched with the model of the cells")
def charge(source: Source, charger: Charger, start: Lanes, air: Lanes) -> Charge:
    """Return how a pack is charged.

    Parameters
    ----------
    source
        The pack.
    charger
        What charges it.
    start
        Charge it is put on at. [-]
    air
        Temperature of the room, and of the pack at the start. [K]
    """
    shape = np.broadcast_shapes(lanes_of(source), lanes_of(charger), np.shape(start), np.shape(air))
    state = fresh(np.broadcast_to(air, shape) + np.zeros(shape), np.broadcast_to(start, shape) + np.zeros(shape))
    done, steady, through, energy, mains, most = (np.zeros(shape) for _ in range(6))
    hottest: Lanes = state.temperature
    current: Lanes = np.broadcast_to(charger.current, shape)
    ended = np.full(shape, np.nan)
    for _ in range(MOST):
        going = np.isnan(ended)
        if not going.any():
            break
        held = np.maximum(current, charger.current / LONGER)
        seconds = STEP * source.parallel * capacity_of(source.cell, state.temperature) / held
        current, volts = pack.accepted(source, state, charger.current, charger.voltage, seconds)
        faded = going & (current < charger.end_current)
        ended = np.where(faded, np.where(through > 0.0, float(Ended.TAPERED), float(Ended.TOO_LOW)), ended)
        going = going & ~faded
        kept = pack.kept_of(source, state, current, charger.kept)
        after = pack.put_in(source, state, current, air, seconds, kept)
        state = _where(going, after, state)
        watts = charging.mains_power(current, volts, charger.efficiency)
        time = np.where(going, seconds, 0.0)
        done, through = done + time, through + current * time
        energy, mains = energy + current * volts * time, mains + watts * time
        steady = steady + np.where(current >= charger.current * (1.0 - 1e-9), time, 0.0)
        most = np.where(going, np.maximum(most, watts), most)
        hottest = np.maximum(hottest, state.temperature)
        ended = np.where(going & (state.charge >= 1.0), float(Ended.FULL), ended)
    ended = np.where(np.isnan(ended), float(Ended.TIME_LIMIT), ended)
    return Charge(
        np.asarray(ended), np.asarray(done), np.asarray(steady), np.asarray(state.charge), np.asarray(through),
        np.asarray(energy), np.asarray(mains), np.asarray(most), np.asarray(hottest),
    )  # fmt: skip


def _where(going: npt.NDArray[np.bool_], after: PackState, before: PackState) -> PackState:
    """Return the pack a step on in the lanes that go on, as it was in the others."""
    first, second = (np.where(going, a, b) for a, b in zip(after.slow_voltages, before.slow_voltages, strict=True))
    return replace(
        after,
        charge=np.where(going, after.charge, before.charge),
        temperature=np.where(going, after.temperature, before.temperature),
        slow_voltages=(first, second),
        behind=np.where(going, after.behind, before.behind),
    )


@dataclass(frozen=True)
class Forgotten:
    """Limits of a pack that is found below its empty voltage; floats or arrays over lanes.

    Attributes
    ----------
    empty, floor
        Of a group: below the first it is only brought back to it, below the second never charged again. [V]
    pack_empty, pack_floor
        The same of all groups together; a low one hides behind the others. [V]
    current, time
        That brings it back at most, and within which it has to be there. [A, s]
    too_long
        Below empty, after which it is never charged again whatever it reads. [s]
    """

    empty: Lanes
    floor: Lanes
    pack_empty: Lanes
    pack_floor: Lanes
    current: Lanes
    time: Lanes
    too_long: Lanes


@dataclass(frozen=True)
class Charging:
    """Everything about charging a pack and putting it away; floats or arrays over lanes.

    Attributes
    ----------
    once
        From the reserve until the charger switches off, in the room.
    cell_limit, cold_limit
        Current the pack may be charged with, warm and on the coldest day it is put on. [A]
    ready
        How warm its cells have to be for the charger's current. [K]
    warming_time, warming_heat
        Until they are, brought into the room, and the least heat that does it; a room too cold has no time. [s, J]
    balancing
        Time to close the gap between groups; nan without a board that bleeds. [s]
    stored
        Time from the charge it is put away at down to its check charge; nan where nothing drains it. [s]
    look
        After which it is looked at at the latest: no longer than that, nor than is common practice. [s]
    forgotten
        What becomes of it when nobody has; None of a chemistry without such a rule.
    sensor
        What the usual sensor of a board reads at the lowest temperature of charging; nan without a board. [Ω]
    windows
        What a charger circuit does between temperatures by its printed defaults; none of other than lithium.
    """

    once: Charge
    cell_limit: Lanes
    cold_limit: Lanes
    ready: Lanes
    warming_time: Lanes
    warming_heat: Lanes
    balancing: Lanes
    stored: Lanes
    look: Lanes
    forgotten: Forgotten | None
    sensor: Lanes
    windows: tuple[pack.Window, ...]
