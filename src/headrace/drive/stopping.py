"""How long the tool turns after release, and the brake that would stop it in time."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from headrace.drive.demand import Demand, work_terms
from headrace.drive.links import Parts, parts
from headrace.drive.tools import tool_of
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
    cold_winding: Lanes  # ohm, before it has worked

    @property
    def brakes(self) -> bool:
        """Whether a resistor across the motor brakes it."""
        return bool(np.all(np.asarray(self.constant) > 0.0))


def spin(chain: Chain, unloaded: DutyState, job: Job, warmth: Warmth) -> Spin:
    """Return what turns and what drags once the power is gone; transmission losses by load fall away."""
    row = parts(chain)
    work = work_terms(lossless(row), chain.work, unloaded, job, warmth.air)
    carried = tool_of(chain.work).carried(chain.work, unloaded)
    return Spin(
        inertia=row.motor.rotor_inertia + loads.reflected_inertia(chain.work.inertia + carried, work.turns),
        work=work,
        constant=magnet_constant(row.motor, warmth),
        brush_drop=row.motor.brush_drop,
        winding=motors.winding_resistance(row.motor.resistance, warmth.winding),
        cold_winding=motors.winding_resistance(row.motor.resistance, job.ambient),
    )


def magnet_constant(motor: AnyMotor, warmth: Warmth) -> Lanes:
    """Return the constant of a motor whose field stays without current; 0 of one that has no magnets. [V·s/rad]"""
    if isinstance(motor, Motor):
        return motors.magnet_constant(motor.constant, motor.magnet_slope, warmth.magnets)
    return 0.0


def lossless(row: Parts) -> Parts:
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
    """A resistor across the motor on release, and one stop with it; in lanes.

    Attributes
    ----------
    resistance
        Of the resistor. [Ω]
    time
        To standstill. [s]
    peak_current
        At release, winding cold. [A]
    brush_drop
        Over both brushes; below it the motor's volts brake no more. [V]
    heat, winding_heat, brush_heat, drag_heat
        Into the resistor, the winding and the brushes, and what drag takes: together all that turned. [J]
    """

    resistance: Lanes
    time: Lanes
    peak_current: Lanes
    brush_drop: Lanes
    heat: Lanes
    winding_heat: Lanes
    brush_heat: Lanes
    drag_heat: Lanes


def braked(free: Spin, tool_speed: Lanes, resistance: Lanes) -> Brake:
    """Return a stop with a resistor across a motor that has magnets."""
    terms, speed, loop = free.work.terms, tool_speed * free.work.turns, resistance + free.winding
    heat = stopping.stop_heat(
        free.inertia, speed, terms.constant, terms.linear, terms.square, free.constant, free.brush_drop, loop
    )
    return Brake(
        resistance=resistance,
        time=stop_time(free, tool_speed, resistance),
        peak_current=first_amps(free, tool_speed, resistance),
        brush_drop=free.brush_drop,
        heat=stopping.brake_energy(heat.loop, resistance, loop),
        winding_heat=stopping.brake_energy(heat.loop, free.winding, loop),
        brush_heat=heat.brushes,
        drag_heat=heat.drag,
    )


def first_amps(free: Spin, tool_speed: Lanes, resistance: Lanes) -> Lanes:
    """Return the current at release, winding cold; of no resistance that of a motor shorted outright. [A]"""
    loop = resistance + free.cold_winding
    return stopping.brake_current(free.constant, tool_speed * free.work.turns, free.brush_drop, loop)


def largest_resistor(free: Spin, tool_speed: float, limit: float, values: tuple[float, ...]) -> float | None:
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
    fast = np.flatnonzero(np.asarray(stop_time(free, tool_speed, sizes)) <= limit)
    return float(sizes[fast[0]]) if fast.size else None


def harming_current(motor: AnyMotor, voltage: Lanes, allowed: Lanes) -> Lanes:
    """Return the current that harms a motor with magnets: the maker's, else by its plate, else what is allowed it. [A]

    Parameters
    ----------
    motor
        The motor; of one without magnets the answer is none, nan.
    voltage
        It works on. [V]
    allowed
        The controller's limit on the motor's current. [A]
    """
    if not isinstance(motor, Motor):
        return np.nan
    by_plate = stopping.harming_current(
        motor.rated_power, voltage, motor.resistance, motor.brush_drop, motor.most_multiple
    )
    found = np.where(np.isfinite(by_plate), by_plate, allowed)
    return np.where(np.isfinite(motor.most_current), motor.most_current, found)
