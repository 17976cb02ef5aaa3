"""How long the tool turns after release, and the brake that would stop it in time."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from headrace.drive.demand import Demand, work_terms
from headrace.drive.links import Parts, parts
from headrace.drive.train import Warmth
from headrace.machine.links import AnyMotor, Motor, Transmission
from headrace.machine.records import Chain, DutyState, Job, Lanes
from headrace.physics import loads, motors, stopping


@dataclass(frozen=True)
class Spin:
    """A chain turning freely: what keeps it going and what slows it, all seen at the motor shaft."""

    inertia: Lanes  # kg m2
    work: Demand  # drag without load
    constant: Lanes  # V s/rad; 0 where nothing but current makes a field, so that no resistor brakes
    brush_drop: Lanes  # V
    winding: Lanes  # ohm

    @property
    def brakes(self) -> bool:
        """Whether a resistor across the motor brakes it."""
        return bool(np.all(np.asarray(self.constant) > 0.0))


def spin(chain: Chain, unloaded: DutyState, job: Job, warmth: Warmth) -> Spin:
    """Return what turns and what drags once the power is gone; transmission losses by load fall away."""
    row = parts(chain)
    work = work_terms(_lossless(row), chain.work, unloaded, job, warmth.air)
    return Spin(
        inertia=row.motor.rotor_inertia + loads.reflected_inertia(chain.work.inertia, work.turns),
        work=work,
        constant=magnet_constant(row.motor, warmth),
        brush_drop=row.motor.brush_drop,
        winding=motors.winding_resistance(row.motor.resistance, warmth.winding),
    )


def magnet_constant(motor: AnyMotor, warmth: Warmth) -> Lanes:
    """Return the constant of a motor whose field stays without current; 0 of one that has no magnets. [V·s/rad]"""
    if isinstance(motor, Motor):
        return motors.magnet_constant(motor.constant, motor.magnet_slope, warmth.magnets)
    return 0.0


def _lossless(row: Parts) -> Parts:
    """Let the blade drive the motor: what a belt or gear loses in proportion to load is not counted as brake."""
    mechanical = tuple(
        replace(link, efficiency=1.0) if isinstance(link, Transmission) else link for link in row.mechanical
    )
    return replace(row, mechanical=mechanical)


def coast_time(free: Spin, tool_speed: Lanes) -> Lanes:
    """Return the time from a tool speed to standstill with nothing but drag. [s]"""
    terms = free.work.terms
    return stopping.coast_time(free.inertia, tool_speed * free.work.turns, terms.constant, terms.linear, terms.square)


def stop_time(free: Spin, tool_speed: Lanes, resistance: Lanes) -> Lanes:
    """Return the time to standstill with a resistor across the motor; that of coasting where it has no magnets. [s]"""
    if not free.brakes:
        return coast_time(free, tool_speed)
    terms = free.work.terms
    return stopping.stop_time(
        free.inertia,
        tool_speed * free.work.turns,
        terms.constant,
        terms.linear,
        terms.square,
        free.constant,
        free.brush_drop,
        resistance + free.winding,
    )


@dataclass(frozen=True)
class Brake:
    """A resistor that stops the tool in time."""

    resistance: float  # ohm
    time: float  # s
    peak_current: float  # A
    energy: float  # J, at most, into the resistor


def brake_for(free: Spin, tool_speed: float, limit: float, values: tuple[float, ...]) -> Brake | None:
    """Return the largest preferred resistor that stops the tool within the limit, or None when none does.

    Parameters
    ----------
    free
        The chain turning freely, typical lane only.
    tool_speed
        Speed at release. [rad/s]
    limit
        Time allowed. [s]
    values
        Resistors to choose from. [Ω]
    """
    if not free.brakes:
        return None
    sizes = np.sort(np.asarray(values, dtype=float))[::-1]
    times = np.asarray(stop_time(free, tool_speed, sizes))
    fast = np.flatnonzero(times <= limit)
    if fast.size == 0:
        return None
    best = int(fast[0])
    speed = tool_speed * free.work.turns
    loop = sizes[best] + free.winding
    return Brake(
        resistance=float(sizes[best]),
        time=float(times[best]),
        peak_current=float(stopping.brake_current(free.constant, speed, free.brush_drop, loop)),
        energy=float(stopping.brake_energy(loads.spin_energy(free.inertia, speed), sizes[best], loop)),
    )
