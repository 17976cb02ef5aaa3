"""A lead-acid battery in five numbers, fitted to one discharge and the rest after it.

The five: strength of the acid when full, charge down to the last of the acid, share and rate of the available well,
resistance. Rest voltage is that of the acid at the fill of the available well, on Bode's curve, so its shape has no
free number. Every second of the discharge and of the rest counts the same. Left out are the first ten minutes under
load, in which what the charger left on the plates fades, the rows that stand on a switch, and the first five minutes
of the rest.

Lines of volts over charge stand beside it: what can be had without a model.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy.optimize import brentq, least_squares, minimize_scalar

from headrace.physics import charge_wells, lead_acid
from tests.measured.lead_acid_logs import LOADED, Log
from tests.measured.logs import HOUR, Numbers

Rows = npt.NDArray[np.int64]

CELLS = 6.0
SETTLED = 600.0  # s after switching on
OPENED = 300.0  # s after switching off
JUDGED = 11.0  # V above which a prediction is held against the file
TRIED = ((6.5, 24.0, 0.3, -7.0, 0.05), (8.0, 21.0, 0.6, -8.0, 0.1))  # where the search starts
LOW, HIGH = (4.0, 19.8, 0.02, -10.0, 0.0), (10.0, 40.0, 0.98, -5.0, 0.3)


@dataclass(frozen=True)
class Battery:
    """The five numbers."""

    full_molality: float  # mol/kg
    capacity: float  # A s, down to the last of the acid
    share: float  # of the available well
    rate: float  # 1/s
    resistance: float  # ohm

    def volts(self, log: Log) -> Numbers:
        """Return the voltage at each row of a file, full when the load is switched on; before that, no number."""
        course = np.full(len(log.time), np.nan)
        held = charge_wells.wells_at_rest(self.capacity, 1.0, self.share)
        fill = np.ones(len(log.time))
        first = log.on[0]
        for row, (amps, seconds) in enumerate(
            zip(log.current[first:].tolist(), log.seconds[first:].tolist(), strict=True), start=first
        ):
            drawn = amps if amps > LOADED else 0.0
            held = charge_wells.wells_step(*held, drawn, self.share, self.rate, seconds if row > first else 0.0)
            fill[row] = charge_wells.well_fill(held.available, self.capacity, self.share)
        under = np.where(log.current > LOADED, log.current, 0.0)[first:]
        acid = lead_acid.acid_molality(self.full_molality, np.maximum(fill[first:], 0.0))
        rest = lead_acid.acid_rest_voltage(acid, CELLS)
        course[first:] = lead_acid.lead_terminal_voltage(rest, under, self.resistance, 0.0, fill[first:])
        return course


def loaded(log: Log) -> Rows:
    """Return the rows under load that count; the last two stand on the switch."""
    first, last = log.on
    rows = np.flatnonzero(log.time > log.time[first] + SETTLED)
    return rows[rows < last - 1]


def judged(log: Log) -> Rows:
    """Return those of them above the voltage down to which predictions are held against the file."""
    rows = loaded(log)
    return rows[log.volts[rows] > JUDGED]


def resting(log: Log) -> Rows:
    """Return the rows of the rest after the discharge that count."""
    return np.flatnonzero(log.time > log.time[log.on[1]] + OPENED)


def fit(log: Log) -> tuple[Battery, ...]:
    """Return the five numbers found from each start of the search, best first."""
    rows = np.concatenate([loaded(log), resting(log)])
    weight = np.sqrt(log.seconds[rows] / np.sum(log.seconds[rows]))

    def off(numbers: Numbers) -> Numbers:
        return np.asarray(weight * (_battery(numbers).volts(log)[rows] - log.volts[rows]))

    scale = np.subtract(HIGH, LOW)
    found = [least_squares(off, start, bounds=(LOW, HIGH), x_scale=scale, xtol=1e-10) for start in TRIED]
    return tuple(_battery(search.x) for search in sorted(found, key=lambda search: float(search.cost)))


def _battery(numbers: Numbers) -> Battery:
    full, hours, share, pace, ohms = (float(number) for number in numbers)
    return Battery(full, hours * HOUR, share, float(np.exp(pace)), ohms)


def with_capacity_of(battery: Battery, log: Log) -> Battery:
    """Return the same battery with the one capacity that meets another file best, all else kept."""

    def off(hours: float) -> float:
        return root_mean_square(replace(battery, capacity=hours * HOUR).volts(log) - log.volts, loaded(log))

    hours = minimize_scalar(off, bounds=(15.0, 26.0), method="bounded").x
    return replace(battery, capacity=float(hours) * HOUR)


def capacity_at_rest(battery: Battery, log: Log, seconds: float) -> float:
    """Return the capacity told by the charge drawn and the voltage after a rest; no wells, no resistance. [A·s]"""
    rested = log.rested(seconds)

    def over(fill: float) -> float:
        acid = lead_acid.acid_molality(battery.full_molality, fill)
        return float(lead_acid.acid_rest_voltage(acid, CELLS)) - rested

    return log.charge / (1.0 - float(brentq(over, 1e-3, 1.0)))


def root_mean_square(off: Numbers, rows: Rows) -> float:
    """Return the root mean square over some rows."""
    return float(np.sqrt(np.mean(off[rows] ** 2)))


def share_off(volts: Numbers, log: Log) -> float:
    """Return how far volts are from those of a file, as a share, root mean square over the rows judged."""
    return root_mean_square(volts / log.volts - 1.0, judged(log))


# --- without a model ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Line:
    """Volts straight over charge drawn, one line for every current unless a resistance shifts it."""

    top: float  # V
    slope: float  # V/(A s)
    current: float  # A, of the file that it was fitted to

    def volts(self, log: Log, resistance: float = 0.0) -> Numbers:
        """Return the voltage at each row under load; a resistance lifts the line as the current falls."""
        return np.asarray(self.top - self.slope * charge(log) + resistance * (self.current - log.current))


def charge(log: Log) -> Numbers:
    """Return the charge drawn since the load was switched on. [A·s]"""
    return np.asarray(log.drawn - log.drawn[log.on[0]])


def line(log: Log) -> Line:
    """Return the straight line through the rows of a discharge."""
    rows = loaded(log)
    slope, top = np.polyfit(charge(log)[rows], log.volts[rows], 1)
    return Line(float(top), -float(slope), float(np.mean(log.current[rows])))


def same_curve(of: Log, log: Log, resistance: float = 0.0) -> Numbers:
    """Return the volts of another file at the same charge drawn, lifted by a resistance as the current falls."""
    rows = loaded(of)
    volts = np.interp(charge(log), charge(of)[rows], of.volts[rows])
    return np.asarray(volts + resistance * (np.mean(of.current[rows]) - log.current))
