"""The loss ledger: from the tool back to the cells, every watt by its own law.

The solver knows a chain as a few reduced numbers. The ledger does not look at them: it takes only the speed, currents
and volts the solver found, asks each link's law for its loss, and hands each link's output to the next as input. So
what the last line asks of the source can be held against what the cells give, and any slip shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headrace.drive import converting
from headrace.drive.demand import bearing_drag, driven, left_alone
from headrace.drive.links import Parts, Wiring, parts
from headrace.drive.motors import kind_of
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.tools import Waste, tool_of
from headrace.drive.train import Warmth, wiring_resistance
from headrace.machine.links import Bearings, SeriesMotor, Transmission
from headrace.machine.records import Auxiliary, Chain, DutyState, Job, Lanes
from headrace.machine.works import Work
from headrace.physics import cells, conductors, converters, motors, torque_terms, transmission
from headrace.physics.torque_terms import TorqueTerms

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
    if isinstance(row.motor, SeriesMotor):
        walk.at_the_motor()  # its own drag is left to it
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
        self.given: Lanes | None = None  # what a load gives at this shaft, steady drags taken off; None without one
        self.alone: npt.NDArray[np.bool_] = np.zeros((), dtype=bool)  # lanes in which the motor gives nothing
        self.asked: Lanes = 0.0  # beside a load that gives, what is asked of this shaft

    def driven(self, given: Lanes, asked: Lanes, alone: npt.NDArray[np.bool_]) -> None:
        """Let a load give power from here to the motor: a loss that it pays for is none of the source's."""
        self.given, self.asked, self.alone = given, asked, alone

    def pays(self, steady: Lanes) -> None:
        """Take losses that do not grow with the speed off what a load gives; what it cannot pay stays asked for."""
        if self.given is None:
            return
        left = self.given - steady
        self.given, self.asked = np.maximum(left, 0.0), self.asked - steady + np.maximum(-left, 0.0)

    def at_the_motor(self) -> None:
        """End what a load pays for: past its shaft the motor has only what the source gives it."""
        self.given = None

    def add(self, name: str, kind: str, loss: Lanes, parameter: str) -> None:
        """Add a loss; while a load gives, that part of it which it does not pay for."""
        before = self.power
        if self.given is not None:
            self.asked = self.asked + loss
            loss = np.where(self.alone, 0.0, np.maximum(self.asked - self.given, 0.0)) - before
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
        _driven_wastes(walk, wastes, asked, speed, left_alone(row, work, state, job, warmth.air))
    else:
        _wastes(walk, wastes)
    for link in row.mechanical:
        if isinstance(link, Bearings):
            steady = motors.rotation_loss(bearing_drag(link), speed)
            walk.add(link.name, "bearings", steady, f"{walk.at}{link.name}.seal_drag")
        else:
            steady, speed = _stage(walk, link, speed)
        walk.pays(steady)
    return speed


def _stage(walk: _Walk, link: Transmission, speed_out: Lanes) -> tuple[Lanes, Lanes]:
    """Walk past a transmission stage; return that of its loss which a load pays first, and its input's speed."""
    at = f"{walk.at}{link.name}.efficiency"
    if walk.given is None:
        loss, speed = _stage_loss(link, walk.power, speed_out)
        walk.add(link.name, link.kind, loss, at)
        return 0.0, speed
    torque = walk.given / np.maximum(speed_out, LEAST_SPEED)
    held = transmission.load_loss(torque, speed_out, link.efficiency)  # as much as of a load that it drives
    loss, speed = _stage_loss(link, walk.asked, speed_out)
    walk.add(link.name, link.kind, loss + held, at)
    return held + transmission.drag_loss(link.drag, 0.0, speed), speed


def _wastes(walk: _Walk, wastes: Sequence[Waste]) -> None:
    for waste in wastes:
        walk.add(waste.name, waste.kind, waste.watts, f"{walk.at}work.{waste.parameter}")


def _driven_wastes(
    walk: _Walk, wastes: Sequence[Waste], asked: TorqueTerms, speed: Lanes, alone: npt.NDArray[np.bool_]
) -> None:
    """Walk past the wastes of a tool that its load drives; the torque asked for has them in it."""
    back = driven(asked)
    whole = motors.rotation_loss(torque_terms.torque_at(asked, np.maximum(speed, LEAST_SPEED)), speed)
    walk.driven(np.where(back, sum(waste.watts for waste in wastes) - whole, 0.0), walk.power, alone)
    _wastes(walk, wastes)
    steady = motors.rotation_loss(-asked.constant, speed)
    walk.driven(np.where(back, steady, 0.0), np.where(back, whole + steady, walk.power), alone)


def _stage_loss(link: Transmission, power_out: Lanes, speed_out: Lanes) -> tuple[Lanes, Lanes]:
    """Return the loss of a transmission stage and the speed of its input shaft. [W, rad/s]"""
    torque = power_out / np.maximum(speed_out, LEAST_SPEED)
    speed = transmission.input_speed(speed_out, link.ratio, link.creep)
    loss = transmission.load_loss(torque, speed_out, link.efficiency)
    loss = loss + transmission.creep_loss(torque, speed_out, link.efficiency, link.creep)
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
