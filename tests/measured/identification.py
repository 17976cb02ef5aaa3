"""From the slow cycle and the pulses of one cell to a Cell and what cools it.

Nothing here sees a drive file. In order, with what each step looks at:

- ``branches``: discharge and charge of the C/20 file, each over its own charge; rest voltage over charge is their
  middle.
- ``rests``: capacity, and how far under that middle a cell rests that comes from discharge: the two numbers with which
  the rests of half an hour and more of a pulse file lie on the curve. One pair for each pulse file.
- ``resistances``: first second, two slow pairs with their times and the rise towards empty, by least squares on the
  volts of the whole pulse file at 25 °C, every second of it counting the same.
- ``growth``: how much larger all of them are in the pulse file at 0 °C; from it the one activation energy.
- ``warming``: heat capacity and conductance to the air, from the can's temperature in both pulse files.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from scipy.optimize import minimize_scalar, nnls

from headrace.machine.records import Cell, Source, Strips
from headrace.pack.arrangement import surface
from headrace.physics import cells, heat
from headrace.physics.law import law_of
from tests.measured.cell_logs import Log
from tests.measured.logs import CELSIUS, Numbers

AT_REST = 0.05  # A; below it the tester's channel is off
LONG = 1700.0  # s; rests of half an hour and more, of which the shortest is 1809 s
CURVE = np.linspace(0.0, 1.0, 101)  # charges of the rest voltage's table
RISE = law_of(cells.resistance_with_charge).valid["empty_rise"]  # within which the law holds
# s, ladders of the two slow pairs' times
FAST, SLOW = (2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0), (70.0, 100.0, 150.0, 200.0, 300.0, 500.0, 700.0, 1000.0)
LADDER = np.array(FAST + SLOW)
SETTLING = np.arange(200.0, 700.0, 5.0)  # s, ladder of the time in which the can nears its settled temperature


# --- rest voltage and charge -------------------------------------------------------------------------


@dataclass(frozen=True)
class Branch:
    """One way of the C/20 cycle."""

    charge: Numbers  # -, of its own total, rising
    volts: Numbers  # V
    total: float  # A s, as the meter counts it
    duration: float  # s

    def at(self, charge: Numbers) -> Numbers:
        """Return the volts at charges. [V]"""
        return np.asarray(np.interp(charge, self.charge, self.volts))


def branches(log: Log) -> tuple[Branch, Branch]:
    """Return discharge and charge of the C/20 file."""
    return _branch(log, 1.0), _branch(log, -1.0)


def _branch(log: Log, sign: float) -> Branch:
    rows = np.flatnonzero(sign * log.current > AT_REST)
    moved = np.cumsum(np.abs(log.current[rows]) * log.seconds[rows])
    share = moved / moved[-1]
    charge, volts = (1.0 - share[::-1], log.volts[rows][::-1]) if sign > 0.0 else (share, log.volts[rows])
    return Branch(charge, volts, float(moved[-1]), float(np.sum(log.seconds[rows])))


def meter_offset(discharge: Branch, charge: Branch) -> float:
    """Return what the meter shows too much: with it taken off, as much comes back as went out. [A]

    Out: (I − d) t. Back: (I + d) t', because the meter, whose sign is that of discharge, shows −I for −(I + d).
    """
    return (discharge.total - charge.total) / (discharge.duration + charge.duration)


def middle(discharge: Branch, charge: Branch) -> Numbers:
    """Return the middle of both branches, at the charges of ``CURVE``. [V]"""
    return 0.5 * (discharge.at(CURVE) + charge.at(CURVE))


@dataclass(frozen=True)
class Rests:
    """What the long rests of a pulse file say."""

    capacity: float  # A s
    below: float  # V, by which they lie under the middle of the C/20 branches
    scatter: float  # V, what is left of them
    air: float  # K, of the chamber: the can's mean temperature at their ends


def rests(log: Log, curve: Numbers) -> Rests:
    """Return the capacity, and the one step in voltage, with which the long rests lie on the curve."""
    flowing = np.abs(log.current) > AT_REST
    ends = np.flatnonzero(np.diff(flowing.astype(int)) == 1)  # last row of each rest
    # a rest begins where current last flowed; the first has lasted unknown hours before the file
    last = np.maximum.accumulate(np.where(flowing, log.time, -math.inf))
    long = ends[log.time[ends] - last[ends] > LONG]

    def over(capacity: float) -> Numbers:
        return np.asarray(log.volts[long] - np.interp(1.0 - log.drawn[long] / capacity, CURVE, curve))

    most = float(log.drawn[-1])
    found = minimize_scalar(lambda q: float(np.std(over(q))), bounds=(most, 1.25 * most), options={"xatol": 1.0})
    left = over(float(found.x))
    return Rests(float(found.x), -float(np.mean(left)), float(np.std(left)), float(np.mean(log.temperature[long])))


# --- resistances ---------------------------------------------------------------------------------------


class Pulses:
    """A pulse file with the charge of each row and the volts it has lost against rest."""

    def __init__(self, log: Log, rested: Rests, curve: Numbers) -> None:
        self.log = log
        self.charge = 1.0 - log.drawn / rested.capacity
        self.drop = np.interp(self.charge, CURVE, curve) - rested.below - log.volts
        self.air = rested.air
        self.duration = float(np.sum(log.seconds))
        # where its heat is made, there the file has its temperature
        self.temperature = float(np.average(log.temperature, weights=log.current**2 * log.seconds))

    def per_ohm(self, empty_rise: float, times: Numbers) -> Numbers:
        """Return the volts over one ohm at half charge: at once, and behind each of the times. [V]"""
        before = np.concatenate([[1.0], self.charge[:-1]])  # a step's resistances are those at its start
        ohms = np.asarray(cells.resistance_with_charge(1.0, before, empty_rise))
        volts = np.zeros(len(times))
        slow = np.empty((len(self.charge), len(times)))
        steps = zip(self.log.current.tolist(), ohms.tolist(), self.log.seconds.tolist(), strict=True)
        for row, (amps, ohm, seconds) in enumerate(steps):
            volts = np.asarray(cells.rc_step(volts, amps, ohm, times, seconds))
            slow[row] = volts
        at_once = self.log.current * cells.resistance_with_charge(1.0, self.charge, empty_rise)
        return np.column_stack([at_once, slow])

    def by_time(self, rows: Numbers) -> Numbers:
        """Return rows weighted so that the sum of their squares is an integral over time."""
        return np.asarray((rows.T * np.sqrt(self.log.seconds)).T)


@dataclass(frozen=True)
class Resistances:
    """What the pulses of one file say of a cell's resistances, at the temperature of the file."""

    ohms: Numbers  # ohm at half charge: first second, two slow pairs
    times: tuple[float, float]  # s, of the pairs
    empty_rise: float  # -
    left: float  # V, root mean square over time of what they leave of the file's volts


def resistances(file: Pulses) -> Resistances:
    """Return the resistances that leave the least of a file's volts."""
    drop = file.by_time(file.drop)

    def best(empty_rise: float) -> Resistances:
        rows = np.column_stack([file.by_time(file.per_ohm(empty_rise, LADDER)), drop])
        triangle = np.linalg.cholesky(rows.T @ rows).T  # as good as all rows for any choice of columns
        found = []
        for times in product(FAST, SLOW):
            columns = np.array([0, *(1 + int(np.flatnonzero(time == LADDER)[0]) for time in times)])
            ohms, left = nnls(triangle[:, columns], triangle[:, -1])
            found.append(Resistances(ohms, times, empty_rise, float(left) / math.sqrt(file.duration)))
        return min(found, key=lambda one: one.left)

    rise = minimize_scalar(lambda rise: best(rise).left, bounds=RISE, options={"xatol": 0.01})
    return best(float(rise.x))


def growth(file: Pulses, warm: Resistances) -> tuple[float, float]:
    """Return by how much all resistances of a warm file are larger in this one [-], and what that leaves. [V]"""
    drop = file.by_time(file.drop)
    as_warm = file.by_time(file.per_ohm(warm.empty_rise, np.array(warm.times)) @ warm.ohms)
    times = float(as_warm @ drop / (as_warm @ as_warm))
    return times, float(np.linalg.norm(drop - times * as_warm)) / math.sqrt(file.duration)


# --- heat ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Warming:
    """One cell as one warm body in its chamber."""

    conductance: float  # W/K
    capacity: float  # J/K
    left: float  # K, root mean square over time


def warming(files: tuple[Pulses, ...]) -> Warming:
    """Return what makes one body follow the can's temperature under the heat measured: amps times volts lost.

    For each time constant of a ladder the rise above the air is one over the conductance times that of a body that
    sheds 1 W/K.
    """

    def of_one_watt_each_kelvin(file: Pulses) -> Numbers:
        above = np.zeros(len(SETTLING))
        course = np.empty((len(file.drop), len(SETTLING)))
        steps = zip((file.log.current * file.drop).tolist(), file.log.seconds.tolist(), strict=True)
        for row, (watts, seconds) in enumerate(steps):
            above = np.asarray(heat.one_node_step(above, watts, 1.0, SETTLING, 0.0, seconds))
            course[row] = above
        return file.by_time(course)

    said = np.concatenate([of_one_watt_each_kelvin(file) for file in files])
    seen = np.concatenate([file.by_time(file.log.temperature - file.air) for file in files])
    kelvin_per_watt = (seen @ said) / np.sum(said**2, axis=0)
    left = np.linalg.norm(seen[:, None] - kelvin_per_watt * said, axis=0)
    best = int(np.argmin(left))
    conductance = 1.0 / float(kelvin_per_watt[best])
    duration = sum(file.duration for file in files)
    return Warming(conductance, conductance * float(SETTLING[best]), float(left[best]) / math.sqrt(duration))


# --- the record ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Identified:
    """The source, and what was found on the way to it."""

    source: Source
    ways: tuple[Branch, Branch]  # of the C/20 file
    rests: tuple[Rests, Rests]  # at 25 and 0 °C, like all pairs below
    pulses: tuple[Pulses, Pulses]
    left: tuple[float, float]  # V, root mean square over time of what the fits leave
    warming: Warming


# What no file shows and no prediction reads is not a number.
BLANK = Cell(
    name="measured",
    chemistry="NCA",
    form="cylinder",
    ocv_table="measured",
    ocv_charge=CURVE,
    ocv_volts=np.full(len(CURVE), math.nan),
    plateau=None,
    entropy_charge=np.array([0.0, 1.0]),
    entropy_slope=np.array([0.0, 0.0]),  # no file shows it, and the can's temperature is met without
    capacity=math.nan,
    full_voltage=4.2,
    empty_voltage=2.5,
    nominal_voltage=math.nan,
    resistance=math.nan,
    slow_resistance=(math.nan, math.nan),
    slow_time=(math.nan, math.nan),
    empty_rise=math.nan,
    activation_energy=math.nan,
    cold_loss=math.nan,
    continuous_current=math.nan,
    peak_current=math.nan,
    charge_current=math.nan,
    max_temperature=math.nan,
    charge_min_temperature=math.nan,
    mass=0.048,  # usual for an 18650; only mass times specific heat counts, and that is found
    specific_heat=math.nan,
    diameter=0.018,
    length=0.065,
    price=math.nan,
)


def identify(slow_cycle: Log, pulses_25: Log, pulses_0: Log) -> Identified:
    """Return one cell as a source, from its C/20 file and its two pulse files alone."""
    ways = branches(slow_cycle)
    curve = middle(*ways)
    rested = rests(pulses_25, curve), rests(pulses_0, curve)
    warm, cold = Pulses(pulses_25, rested[0], curve), Pulses(pulses_0, rested[1], curve)
    at_warm = resistances(warm)
    larger, left = growth(cold, at_warm)
    energy = cells.GAS * math.log(larger) / (1.0 / cold.temperature - 1.0 / warm.temperature)
    loss = (1.0 - rested[1].capacity / rested[0].capacity) / (cells.REFERENCE - CELSIUS)
    at_25 = at_warm.ohms / float(cells.arrhenius_factor(energy, warm.temperature))
    body = warming((warm, cold))
    first, fast, slow = at_25.tolist()
    cell = replace(
        BLANK,
        ocv_volts=curve - rested[0].below,
        capacity=rested[0].capacity,
        resistance=first,
        slow_resistance=(fast, slow),
        slow_time=at_warm.times,
        empty_rise=at_warm.empty_rise,
        activation_energy=energy,
        cold_loss=loss,
        specific_heat=body.capacity / BLANK.mass,
    )
    return Identified(_alone(cell, body.conductance), ways, rested, (warm, cold), (at_warm.left, left), body)


def _alone(cell: Cell, conductance: float) -> Source:
    """Return one cell without strips or box that sheds heat as it did in the chamber."""
    no_strips = Strips(resistivity=0.0, temperature_slope=0.0, width=1.0, thickness=1.0, length=1.0)

    def shedding(film: float) -> Source:
        return Source(cell, 1.0, 1.0, no_strips, extra_mass=0.0, extra_cost=0.0, gap=0.0, wall=0.0, film=film)

    return shedding(conductance / float(surface(shedding(1.0))))
