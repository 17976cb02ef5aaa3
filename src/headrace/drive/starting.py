"""Starting: from standstill to speed with all the current the limits let through, and what it does to the source.

At each speed on the way the motor takes the most that volts, motor amps and battery amps allow; what the load leaves of
its torque speeds the shafts up. Quasi-steady: winding and source have their currents at once, temperatures stay.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from headrace.drive.block import Block, cap_battery, finish, flat, inputs_of
from headrace.drive.links import parts
from headrace.drive.point import Array, Mask, Point
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Train, Warmth, train, work_terms
from headrace.machine.records import Chain, DutyState, Job, Lanes
from headrace.machine.values import in_one_row, lanes_of
from headrace.physics import loads, margins, motors, starting
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
    """

    starts: Mask
    time: Array
    motor_current: Array
    battery_current: Array
    bus_voltage: Array
    energy: Array
    spun: Array
    work: Array


def start(chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals, held: Point) -> Start:
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
    """
    row = parts(chain)
    work = work_terms(row, chain.work, state, job, warmth.air)
    case = train(row, work, warmth)
    carried = tool_of(chain.work).carried(chain.work, state)
    inertia = row.motor.rotor_inertia + loads.reflected_inertia(chain.work.inertia + carried, work.turns)
    shape = lanes_of((case, terminals, held, inertia))
    return _spun_up(case, terminals, ARRIVED * held.motor_speed, inertia, shape)


def _spun_up(case: Train, terminals: Terminals, speed: Lanes, inertia: Lanes, shape: tuple[int, ...]) -> Start:
    """Go through the speeds in equal steps, each at its middle."""
    lanes = cap_battery(flat(inputs_of(case, terminals), shape))
    case, inertia, speed = in_one_row((case, np.asarray(inertia), np.asarray(speed)), shape)
    step = speed / STEPS
    found = {name: np.zeros(speed.shape) for name in ("time", "motor", "battery", "energy", "work")}
    lowest, starts = np.full(speed.shape, np.inf), speed > 0.0
    for k in range(STEPS):
        here = (k + 0.5) * np.where(starts, step, 1.0)
        point = pulling(lanes, here)
        load = np.asarray(case.current_at(here))
        left = motors.airgap_torque(lanes.motor_constant, point.motor_current - load)
        starts = starts & (left > 0.0)
        passing = starting.spin_up_time(inertia, step, np.where(starts, left, 1.0), 0.0)
        found["time"] += passing
        found["energy"] += _rest_power(terminals, shape, point) * passing
        found["work"] += motors.rotation_loss(motors.airgap_torque(lanes.motor_constant, load), here) * passing
        found["motor"] = np.maximum(found["motor"], point.motor_current)
        found["battery"] = np.maximum(found["battery"], point.battery_current)
        lowest = np.minimum(lowest, point.bus_voltage)
    none = np.where(starts, 1.0, np.nan)
    return Start(
        starts=starts.reshape(shape),
        time=(none * found["time"]).reshape(shape),
        motor_current=found["motor"].reshape(shape),
        battery_current=found["battery"].reshape(shape),
        bus_voltage=lowest.reshape(shape),
        energy=(none * found["energy"]).reshape(shape),
        spun=(none * loads.spin_energy(inertia, speed)).reshape(shape),
        work=(none * found["work"]).reshape(shape),
    )


def _rest_power(terminals: Terminals, shape: tuple[int, ...], point: Point) -> Array:
    """Return what the cells give before their own losses, in flat lanes. [W]"""
    rest = np.broadcast_to(terminals.open_voltage, shape).reshape(-1)
    return np.asarray(rest * point.battery_current)


def pulling(lanes: Block, speed: Array) -> Point:
    """Return the point at which all is drawn that the limits let through at a speed."""
    back = motors.motor_voltage(lanes.motor_constant, speed, 0.0, lanes.motor_resistance, lanes.brush_drop)
    most = margins.standstill_current(
        lanes.voltage,
        lanes.loop,
        lanes.motor_resistance,
        back,
        lanes.idle_power,
        lanes.switching_share,
        lanes.battery_limit,
    )
    current = np.minimum(most, lanes.motor_limit)
    held = lanes._replace(power=0.0, constant=current, linear=0.0, square=0.0, cut_out=0.0)
    return finish(held, speed.copy(), np.ones(speed.shape, dtype=bool), np.zeros(speed.shape, dtype=np.int8))


@solution("held fast: the current the limits let through, and the heat it leaves in the winding")
def stalled(chain: Chain, state: DutyState, job: Job, warmth: Warmth, terminals: Terminals) -> tuple[Lanes, Lanes]:
    """Return the current of a motor held fast, and the time until its winding is too hot. [A, s]"""
    row = parts(chain)
    case = train(row, work_terms(row, chain.work, state, job, warmth.air), warmth)
    shape = lanes_of((case, terminals))
    lanes = cap_battery(flat(inputs_of(case, terminals), shape))
    current = pulling(lanes, np.full(math.prod(shape), CRAWL)).motor_current.reshape(shape)
    motor = row.motor
    heat = starting.stall_time(
        current, motor.resistance, motor.brush_drop, motor.winding_heat, warmth.winding, motor.winding_limit
    )
    return current, heat
