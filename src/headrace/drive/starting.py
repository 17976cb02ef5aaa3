"""Starting: from standstill to speed with all the current the limits let through, and what it does to the source.

At each speed on the way the motor takes the most that volts, motor amps and battery amps allow; what the load leaves of
its torque speeds the shafts up. Quasi-steady: winding and source have their currents at once, temperatures stay.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np

from headrace.drive.demand import work_terms
from headrace.drive.links import parts
from headrace.drive.point import Array, Mask, Point
from headrace.drive.pulling import Puller, puller
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth, train
from headrace.machine.records import Chain, DutyState, Job, Lanes
from headrace.machine.values import in_one_row, lanes_of
from headrace.physics import loads, motors, starting
from headrace.physics.working import solution

STEPS = 40  # equal steps of speed; twice as many move time and energy by less than a hundredth
CRAWL = 1e-6  # rad/s, as good as standing
ARRIVED = 0.95  # of the speed it then holds: the last of it takes for ever


@dataclass(frozen=True)
class Start:
    """One start, in lanes; where the load outgrows the torque on the way, no time and no energy.

    Attributes
    ----------
    starts
        Whether it gets to speed. [-]
    time
        To 95 % of the speed it then holds. [s]
    motor_current, battery_current
        The greatest on the way, on both sides of the controller. [A]
    bus_voltage
        The lowest on the way, at the controller. [V]
    energy
        Given by the cells, before their own losses. [J]
    spun
        Of it, what is left in the turning and the carried masses. [J]
    work
        Of it, what load and drag took on the way. [J]
    apparent
        The most asked of a converter on the way; 0 without one. [VA]
    overloaded
        Time above its rated power. [s]
    watched
        Time with more amps from the source than somebody watches for. [s]
    """

    starts: Mask
    time: Array
    motor_current: Array
    battery_current: Array
    bus_voltage: Array
    energy: Array
    spun: Array
    work: Array
    apparent: Array
    overloaded: Array
    watched: Array


def start(
    chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals, held: Point, amps: Lanes = np.inf
) -> Start:
    """Return the start of one chain in a duty state.

    Parameters
    ----------
    chain, state, job
        What starts, and under which load.
    warmth
        Temperatures. [K]
    terminals
        Its source, with nothing else on it.
    held
        The operating point it starts towards.
    amps
        From the source, that somebody watches for. [A]
    """
    row = parts(chain)
    work = work_terms(row, chain.work, state, job, warmth.air)
    case = train(row, work, warmth)
    carried = tool_of(chain.work).carried(chain.work, state)
    inertia = row.motor.rotor_inertia + loads.reflected_inertia(chain.work.inertia + carried, work.turns)
    shape = lanes_of((case, terminals, held, inertia, np.asarray(amps)))
    rated = np.inf if row.converter is None else row.converter.rated_power
    rows = (terminals.open_voltage, inertia, ARRIVED * held.motor_speed, rated, amps)
    found = _spun_up(puller(case, terminals, shape), *in_one_row(tuple(np.asarray(v) for v in rows), shape))
    return Start(**{f.name: getattr(found, f.name).reshape(shape) for f in fields(Start)})


def _spun_up(pull: Puller, rest: Array, inertia: Array, speed: Array, rated: Array, amps: Array) -> Start:
    """Go through the speeds in equal steps, each at its middle."""
    step = speed / STEPS
    found = {
        name: np.zeros(speed.shape)
        for name in ("time", "motor", "battery", "energy", "work", "asked", "over", "watched")
    }
    lowest, starts = np.full(speed.shape, np.inf), speed > 0.0
    for k in range(STEPS):
        here = (k + 0.5) * np.where(starts, step, 1.0)
        point = pull(here)
        left = point.pull - point.load
        starts = starts & (left > 0.0)
        passing = starting.spin_up_time(inertia, step, np.where(starts, left, 1.0), 0.0)
        found["time"] += passing
        found["energy"] += rest * point.in_phase * passing
        found["work"] += motors.rotation_loss(point.load, here) * passing
        found["over"] += np.where(point.apparent > rated, passing, 0.0)
        found["watched"] += np.where(point.battery_current > amps, passing, 0.0)
        found["motor"] = np.maximum(found["motor"], point.motor_current)
        found["battery"] = np.maximum(found["battery"], point.battery_current)
        found["asked"] = np.maximum(found["asked"], point.apparent)
        lowest = np.minimum(lowest, point.bus_voltage)
    none = np.where(starts, 1.0, np.nan)
    return Start(
        starts=starts,
        time=none * found["time"],
        motor_current=found["motor"],
        battery_current=found["battery"],
        bus_voltage=lowest,
        energy=none * found["energy"],
        spun=none * loads.spin_energy(inertia, speed),
        work=none * found["work"],
        apparent=found["asked"],
        overloaded=found["over"],
        watched=found["watched"],
    )


@solution("held fast: the current the limits let through, and the heat it leaves in the winding")
def stalled(chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals) -> tuple[Lanes, Lanes]:
    """Return the current of a motor held fast, and the time until its winding is too hot. [A, s]"""
    row = parts(chain)
    case = train(row, work_terms(row, chain.work, state, job, warmth.air), warmth)
    shape = lanes_of((case, terminals))
    current = puller(case, terminals, shape)(np.full(math.prod(shape), CRAWL)).motor_current.reshape(shape)
    motor = row.motor
    heat = starting.stall_time(
        current, motor.resistance, motor.brush_drop, motor.winding_heat, warmth.winding, motor.winding_limit
    )
    return current, heat
