"""The loss ledger: from the tool back to the cells, every watt by its own law.

The solver knows a chain as a few reduced numbers. The ledger does not look at them: it takes only the speed, currents
and volts the solver found, asks each link's law for its loss, and hands each link's output to the next as input. So
what the last line asks of the source can be held against what the cells give, and any slip shows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.drive import converting
from headrace.drive.demand import bearing_drag, driven, shaft_terms
from headrace.drive.links import Parts, Wiring, parts
from headrace.drive.motors import kind_of
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.tools import tool_of
from headrace.drive.train import Warmth, wiring_resistance
from headrace.machine.links import Bearings, Transmission
from headrace.machine.records import Auxiliary, Chain, DutyState, Job, Lanes
from headrace.machine.works import Work
from headrace.physics import cells, conductors, converters, motors, torque_terms, transmission

LEAST_SPEED = 1e-9  # rad/s; a shaft at rest carries no power, whatever its torque


@dataclass(frozen=True)
class Line:
    """One loss between the tool and the cells; powers in lanes. [W]"""

    name: str
    kind: str
    power_in: Lanes
    power_out: Lanes
    loss: Lanes
    parameter: str  # address of the number that carries the loss


@dataclass(frozen=True)
class Ledger:
    """All lines of one chain in one duty state. [W]"""

    useful: Lanes  # power that does the work
    lines: tuple[Line, ...]
    delivered: Lanes  # what the last line asks of the cells
    source: Lanes  # what the cells give: rest voltage times current

    @property
    def closure(self) -> Lanes:
        """Gap between what the cells give and useful work plus every loss, as a share of it. [-]"""
        gap: Lanes = abs(self.source - self.delivered) / np.maximum(np.abs(self.source), 1e-12)
        return gap


def ledger(
    chain: Chain,
    state: DutyState,
    job: Job,
    warmth: Warmth,
    point: Point,
    terminals: Terminals,
    others: Lanes = 0.0,
) -> Ledger:
    """Return the ledger of one chain at its operating point.

    Parameters
    ----------
    chain, state, job
        What works, and at what.
    warmth
        Temperatures the point was solved at. [K]
    point
        The operating point; only its speed, currents and volts are used.
    terminals
        The source it was solved on.
    others
        Current the other chains draw from it; each chain pays for the sag in proportion to its own. [A]
    """
    row = parts(chain)
    at = f"chains.{chain.name}."
    useful = tool_of(chain.work).useful(chain.work, state, job, point.tool_speed)
    walk = _Walk(useful, at)
    speed = _mechanical_lines(walk, chain.work, row, state, job, warmth, point)
    for lost in kind_of(row.motor).losses(row.motor, warmth, point, speed):
        walk.add(f"{row.motor.name}: {lost.name}", lost.kind, lost.watts, f"{at}{row.motor.name}.{lost.parameter}")
        if lost.kind == "rotation":
            walk.at_the_motor()
    for lead in row.motor_leads:
        walk.wiring(lead, point.motor_current)
    kept = controller_loss(row, point) if state.at_work(chain) else 0.0  # a converter behind it may stay on without it
    walk.add(row.controller.name, "controller", kept, f"{at}{row.controller.name}.resistance")
    if row.converter is not None:
        for lead in row.feed_leads:
            walk.wiring(lead, point.feed_current)
        box = row.converter
        apparent = converting.apparent_at(box, point)
        walk.add(box.name, box.kind, converting.loss(box, walk.power, apparent), f"{at}{box.name}.linear")
    for lead in row.battery_leads:
        walk.wiring(lead, point.battery_current)
    return _closed(walk, useful, point, terminals, others)


def auxiliary_ledger(one: Auxiliary, state: DutyState, point: Point, terminals: Terminals, others: Lanes) -> Ledger:
    """Return the ledger of an auxiliary, all of whose watts do what it is for; arguments as of ``ledger``."""
    useful = one.power if state.at_work(one) else 0.0
    return _closed(_Walk(useful, f"auxiliaries.{one.name}."), useful, point, terminals, others)


def _closed(walk: _Walk, useful: Lanes, point: Point, terminals: Terminals, others: Lanes) -> Ledger:
    """Walk the last of the way, through the source, and close the ledger."""
    amps = point.battery_current
    if terminals.endless:
        walk.add("line to it", "line", _cell_loss(amps, others, terminals), "source.cell.resistance")
    else:
        joints = _shared_loss(amps, others, terminals.joint_resistance)
        walk.add("strips", "strips", joints, "source.strips.resistivity")
        walk.add("inside the cells", "cells", _cell_loss(amps, others, terminals), "source.cell.resistance")
    return Ledger(useful, tuple(walk.lines), walk.power, terminals.open_voltage * amps * point.in_phase)


class _Walk:
    """The walk upstream: the power that has to be delivered so far, and the lines it has passed."""

    def __init__(self, power: Lanes, at: str) -> None:
        self.power = power
        self.at = at
        self.lines: list[Line] = []
        self.carried: Lanes | None = None  # what the shaft carries, below nothing where the load pays for it
        self.alone: npt.NDArray[np.bool_] = np.zeros((), dtype=bool)  # lanes in which the motor gives nothing

    def driven(self, given: Lanes, alone: npt.NDArray[np.bool_]) -> None:
        """Let a load give power from here to the motor: a loss that it pays for is none of the source's."""
        self.carried, self.alone = self.power - given, alone

    def at_the_motor(self) -> None:
        """End what a load pays for: past its shaft the motor has only what the source gives it."""
        self.carried = None

    def add(self, name: str, kind: str, loss: Lanes, parameter: str) -> None:
        before = self.power
        if self.carried is not None:
            self.carried = self.carried + loss
            loss = np.where(self.alone, 0.0, np.maximum(self.carried, 0.0)) - before
        self.power = before + loss
        self.lines.append(Line(name, kind, self.power, before, loss, parameter))

    def wiring(self, link: Wiring, current: Lanes) -> None:
        kind = type(link).__name__.lower()
        field = "area" if kind == "cable" else "resistance"
        self.add(
            link.name, kind, conductors.joule_loss(current, wiring_resistance(link)), f"{self.at}{link.name}.{field}"
        )


def _mechanical_lines(
    walk: _Walk, work: Work, row: Parts, state: DutyState, job: Job, warmth: Warmth, point: Point
) -> Lanes:
    """Walk from the tool to the motor shaft; return the motor's speed as the links give it. [rad/s]"""
    speed: Lanes = point.tool_speed
    tool = tool_of(work)
    wastes = tool.wastes(work, state, job, warmth.air, speed)
    asked = tool.torque(work, state, job, warmth.air)
    if np.any(driven(asked)):
        left = motors.rotation_loss(torque_terms.torque_at(asked, np.maximum(speed, LEAST_SPEED)), speed)
        given = sum(waste.watts for waste in wastes) - left  # the torque asked for has them in it
        alone = driven(shaft_terms(row, work, state, job, warmth.air).terms)
        walk.driven(np.where(driven(asked), given, 0.0), alone)
    for waste in wastes:
        walk.add(waste.name, waste.kind, waste.watts, f"{walk.at}work.{waste.parameter}")
    for link in row.mechanical:
        if isinstance(link, Bearings):
            loss = motors.rotation_loss(bearing_drag(link), speed)
            walk.add(link.name, "bearings", loss, f"{walk.at}{link.name}.seal_drag")
        else:
            loss, speed = _stage_loss(link, walk.power if walk.carried is None else walk.carried, speed)
            walk.add(link.name, link.kind, loss, f"{walk.at}{link.name}.efficiency")
    return speed


def _stage_loss(link: Transmission, power_out: Lanes, speed_out: Lanes) -> tuple[Lanes, Lanes]:
    """Return the loss of a transmission stage and the speed of its input shaft. [W, rad/s]"""
    torque = power_out / np.maximum(speed_out, LEAST_SPEED)
    speed = transmission.input_speed(speed_out, link.ratio, link.creep)
    back = np.asarray(torque) < 0.0  # driven from its output it loses as much of what it carries, and does not creep
    carried, creeping = (np.abs(torque), np.where(back, 0.0, torque)) if back.any() else (torque, torque)
    loss = transmission.load_loss(carried, speed_out, link.efficiency)
    loss = loss + transmission.creep_loss(creeping, speed_out, link.efficiency, link.creep)
    return loss + transmission.drag_loss(link.drag, link.drag_slope, speed), speed


def controller_loss(row: Parts, point: Point) -> Lanes:
    """Return what the controller turns into heat: its path, its switching and its own supply. [W]"""
    controller = row.controller
    share = converters.switching_share(controller.switching_time, controller.switching_frequency)
    path = conductors.joule_loss(point.motor_current, controller.resistance)
    switching = converters.switching_loss(point.feed_voltage, point.motor_current, share, point.switched)
    return path + switching + controller.idle_power


def _shared_loss(current: Lanes, others: Lanes, resistance: Lanes) -> Lanes:
    """Return a chain's part of the loss in something that carries the others' current too. [W]"""
    drop = conductors.voltage_drop(current + others, resistance)
    return cells.overpotential_loss(current, drop)


def _cell_loss(current: Lanes, others: Lanes, terminals: Terminals) -> Lanes:
    now = _shared_loss(current, others, terminals.cell_resistance + terminals.settled_resistance)
    return now + cells.overpotential_loss(current, terminals.slow_voltage)
