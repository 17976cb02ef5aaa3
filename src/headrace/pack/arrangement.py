"""Where the cells go: how many the box takes, what they weigh, cost, and what surface they cool by."""

from __future__ import annotations

from headrace.machine.records import Lanes, Source
from headrace.physics import arrangement


def count(source: Source) -> Lanes:
    """Return the number of cells. [-]"""
    return source.series * source.parallel


def pitch(source: Source) -> Lanes:
    """Return the distance between neighbouring cells, centre to centre. [m]"""
    return arrangement.square_pitch(source.cell.diameter, source.gap)


def room_in_box(source: Source, box: tuple[Lanes, Lanes, Lanes]) -> Lanes:
    """Return how many cells the box takes, upright in the best of its three positions. [-]"""
    return arrangement.cells_in_box(box, pitch(source), source.cell.length, source.wall)


def mass(source: Source) -> Lanes:
    """Return the mass of the finished pack. [kg]"""
    return arrangement.pack_mass(count(source), source.cell.mass, source.extra_mass)


def cost(source: Source) -> Lanes:
    """Return what the pack costs, all that are worked in turn, in the file's own money. [money]"""
    return (count(source) * source.cell.price + source.extra_cost) * source.in_turn


def surface(source: Source) -> Lanes:
    """Return the outer surface by which the pack cools. [m²]"""
    return arrangement.block_area(count(source), pitch(source), source.cell.length)


def energy(source: Source) -> Lanes:
    """Return the energy printed on such a pack: capacity times nominal voltage. [J]"""
    return count(source) * source.cell.capacity * source.cell.nominal_voltage
