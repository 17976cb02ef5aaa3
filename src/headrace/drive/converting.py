"""A box that makes its own voltage, between a chain and its source: what it puts out is what it takes in, and more.

Its output holds whatever the source does, so the chain is solved on it first. What it then asks of the source is a
power, and a power has no operating point on a source that sags too far: the box cuts out long before.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.point import REASONS, Outcome, Point, switched_off
from headrace.drive.terminals import Terminals
from headrace.drive.train import Converted, Resting
from headrace.machine.links import Converter
from headrace.machine.records import Lanes
from headrace.physics import converters, inverters, starting

DEAD = 1.0  # V; a supply takes no more amps below it, so that a search may look at a dead bus


def output(box: Converter) -> Terminals:
    """Return what a converter offers at its output."""
    return Terminals(box.voltage, 0.0, 0.0, 0.0, 0.0, 0.0)


def apparent_at(box: Converter, point: Point) -> Lanes:
    """Return the volt-amperes asked of a converter at a point. [VA]"""
    return starting.apparent_power(box.voltage, point.feed_current)


def loss(box: Converter, power: Lanes, apparent: Lanes) -> Lanes:
    """Return what a converter turns into heat. [W]"""
    return inverters.inverter_loss(power, apparent, box.idle_power, box.linear, box.square)


def how_it_stands(box: Converter | None, point: Point) -> str:
    """Return why a chain stands or turns as it does, and whether its converter draws all the same while it is off."""
    outcome = Outcome(int(point.outcome.flat[0]))
    idles = box is not None and outcome is Outcome.OFF and float(np.asarray(point.battery_current).flat[0]) > 0.0
    return f"{REASONS[outcome]}; the {box.name} idles on" if idles and box is not None else REASONS[outcome]


def resting_current(train: Resting, voltage: Lanes) -> Lanes:
    """Return the current of what takes watts at rest, out of a voltage. [A]"""
    bus = converters.bus_voltage(voltage, train.wiring, train.power, 0.0)
    return train.power / np.maximum(bus, DEAD)


def at_rest(train: Resting, terminals: Terminals) -> Point:
    """Return the point at which watts are taken and nothing turns."""
    loop = train.wiring + terminals.resistance
    bus = np.asarray(converters.bus_voltage(terminals.voltage, loop, train.power, 0.0))
    current = train.power / np.maximum(bus, DEAD)
    off = switched_off(terminals, np.shape(current))
    return replace(
        off,
        battery_current=np.asarray(current),
        bus_voltage=bus,
        terminal_voltage=np.asarray(bus + train.wiring * current),
    )


def through(train: Converted, inner: Point, terminals: Terminals) -> Point:
    """Return the point of a chain behind a converter, from that on the converter's output."""
    box = train.box
    apparent = apparent_at(box, inner)
    power = apparent * inner.in_phase
    asked = power + loss(box, power, apparent)
    loop = train.wiring + terminals.resistance
    bus = converters.bus_voltage(terminals.voltage, loop, asked, 0.0)
    met = np.asarray(inverters.power_discriminant(terminals.voltage, loop, asked) >= 0.0)
    current = np.where(met, asked / bus, bus / np.maximum(loop, 1e-300))
    code = np.where(apparent > box.rated_power * box.surge_multiple, np.int8(Outcome.OVERLOAD), inner.outcome)
    floored = inner.works & (terminals.inside(current) < terminals.floor_voltage)
    code = np.where(floored, np.int8(Outcome.CELL_FLOOR), code)
    code = np.where(~met | (bus < box.cut_out), np.int8(Outcome.CUT_OUT), code)
    shape = np.broadcast_shapes(np.shape(current), inner.outcome.shape)

    def wide(value: Lanes) -> np.ndarray:
        return np.asarray(value) if np.shape(value) == shape else np.array(np.broadcast_to(value, shape))

    point = Point(**{name: wide(value) for name, value in vars(inner).items()})
    return replace(
        point,
        battery_current=wide(current),
        bus_voltage=wide(bus),
        terminal_voltage=wide(bus + train.wiring * current),
        in_phase=np.ones(shape),
        outcome=wide(code).astype(np.int8),
    )
