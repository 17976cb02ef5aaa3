"""Which wire: for each run the smallest size that bears the heat and keeps the volts, and the file's own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace.machine.links import Cable
from headrace.machine.printed import printed
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.physics import ampacity, conductors, duty
from headrace.physics.working import leaves, solution
from headrace.tables import load
from headrace.wiring.ampacities import RATINGS, listed, sizes_of, strands

METRIC, GAUGES = "metric", "gauges"
EDGE = 1e-9  # of a limit: what lies on it to within rounding is not past it
NUMBERS = (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3)  # that a table of ampacities has


@dataclass(frozen=True)
class Line:
    """What one cable is asked to carry.

    Attributes
    ----------
    chain, side
        Of which chain; ``motor``, ``feed`` (out of a converter) or ``source``.
    cable
        As the file has it.
    voltage
        That the drop is held against. [V]
    cycle, shares
        Of the job: how long, and each state's share. [s, -]
    full, reserve
        Current in each state, on a full pack, and at the reserve; none there of what never empties. [A]
    phases
        Whether its wires are the three of a motor without brushes.
    """

    chain: str
    side: str
    cable: Cable
    voltage: Lanes
    cycle: Lanes
    shares: tuple[Lanes, ...]
    full: tuple[Lanes, ...]
    reserve: tuple[Lanes, ...] = ()
    phases: bool = False

    @property
    def corners(self) -> tuple[tuple[Lanes, ...], ...]:
        """The currents of the corners there are. [A]"""
        return (self.full, self.reserve) if self.reserve else (self.full,)


@dataclass(frozen=True)
class Conductor:
    """One run, out and back, judged; arrays over lanes.

    Attributes
    ----------
    chain, side, name, rated_by
        Whose, where, what it is called, and the table it is held against.
    rms, peak
        Over the cycle, and in the hardest state; of three phases the motor's current, that two of them carry. [A]
    wire_rms
        Over the cycle, in one wire: less than that where three take turns. [A]
    heating
        Steady current that makes the file's size as warm as the job does at its warmest. [A]
    time_constant
        Of the file's size. [s]
    carries
        The file's size for long in the hottest weather. [A]
    area
        The file's size. [m²]
    by_heat, by_drop, needed
        Smallest metric size that bears the heat, that keeps the volts, that does both and bears what lets the most
        through for long, main fuse or controller; nan where none does. [m²]
    gauge_area
        Metal of the smallest American gauge that does as much; nan where none does. [m²]
    resistance
        Out and back, at the metal's temperature. [Ω]
    loss
        Over the job. [W]
    drop, drop_share
        In the hardest state, and over the volts. [V, -]
    planned
        Whether the file has it; otherwise it is proposed, of the size it needs.
    by_fuse
        Smallest metric size that bears the main fuse, where that alone guards it; else nan. [m²]
    limit, by_limit
        Behind a controller: what that lets through to the motor, and the smallest metric size that bears it for long;
        else nan. [A, m²]
    """

    chain: str
    side: str
    name: str
    rated_by: str
    length: Lanes
    rms: Lanes
    wire_rms: Lanes
    peak: Lanes
    heating: Lanes
    time_constant: Lanes
    carries: Lanes
    area: Lanes
    by_heat: Lanes
    by_drop: Lanes
    needed: Lanes
    gauge_area: Lanes
    resistance: Lanes
    loss: Lanes
    drop: Lanes
    drop_share: Lanes
    cable: Cable
    planned: bool = True
    by_fuse: Lanes = np.nan
    limit: Lanes = np.nan
    by_limit: Lanes = np.nan

    @property
    def decided(self) -> str:
        """What decided the size of the typical machine: heat, drop, both, fuse, limit; none where no size does."""
        if np.isnan(first_number(self.needed)):
            return "none"
        heat, drop = (first_number(area) for area in (self.by_heat, self.by_drop))
        for name, area in (("fuse", self.by_fuse), ("limit", self.by_limit)):
            if first_number(area) > max(heat, drop):
                return name
        return "both" if heat == drop else "heat" if heat > drop else "drop"

    @property
    def gauge(self) -> str | None:
        """The gauge of the typical machine as it is printed: 8, 2/0; None where none does."""
        return gauge_of(self.gauge_area)


def guarded(wire: Conductor, rating: Lanes, ambient: Lanes) -> Conductor:
    """Return a run with the size that the main fuse asks for as well, of one that this alone guards.

    Parameters
    ----------
    wire
        Judged by heat and volts.
    rating
        Of the main fuse. [A]
    ambient
        Of the hottest weather. [K]
    """
    by_fuse, wire = _bearing(wire, rating, ambient)
    return replace(wire, by_fuse=by_fuse)


def limited(wire: Conductor, limit: Lanes, ambient: Lanes) -> Conductor:
    """Return a run with the size that a controller's limit asks for as well.

    A tool that is bogged down takes the limit for as long as somebody holds the control, no fuse opens at it, and a
    wire that the work alone asks for is spoiled within its time constant, a minute or less: so it bears it for long.

    Parameters
    ----------
    wire
        Of the motor's side, judged by heat and volts.
    limit
        Of the controller on the motor's current. [A]
    ambient
        Of the hottest weather. [K]
    """
    by_limit, wire = _bearing(wire, limit, ambient)
    return replace(wire, limit=limit, by_limit=by_limit)


def _bearing(wire: Conductor, amps: Lanes, ambient: Lanes) -> tuple[Lanes, Conductor]:
    """Return the metric size that bears some amps for long, and the run that bears them as well. [m²]"""
    metric, gauge = (wire_for(wire.rated_by, amps, ambient, standard) for standard in (METRIC, GAUGES))
    more = replace(
        wire,
        needed=duty.greatest([wire.needed, metric]),
        gauge_area=duty.greatest([wire.gauge_area, gauge]),
    )
    return metric, more


@solution("the smallest standard size that its table lets carry these amps for long")
def wire_for(table: str, rating: Lanes, ambient: Lanes, standard: str = METRIC) -> Lanes:
    """Return the smallest standard size of a table that carries a rating for long; nan where none does. [m²]"""
    return smallest(offered(table, standard), lambda area: within(rating, listed(table, area).carries(ambient)))


def gauge_of(area: Lanes) -> str | None:
    """Return the thinnest gauge of the tables with no less metal than the typical one, as printed; None without one."""
    least = first_number(area)
    enough = [number for number in NUMBERS if _metal(number) >= least * (1.0 - EDGE)]
    if np.isnan(least) or not enough:
        return None
    number = min(enough, key=_metal)
    return str(number) if number > 0 else f"{1 - number}/0"


def conductor(line: Line, ambient: Lanes, most_drop: Lanes) -> Conductor:
    """Judge the wire of one run and find the one it needs.

    Parameters
    ----------
    line
        What it carries.
    ambient
        Of the hottest weather. [K]
    most_drop
        Share of the volts that may be left in it. [-]
    """
    cable = line.cable
    peak = duty.greatest([amps for corner in line.corners for amps in corner])
    rms = duty.greatest([duty.root_mean_square(line.shares, corner) for corner in line.corners])
    heating, time = _heating(line, cable.area)
    resistance = _pair(line, cable.resistance_per_length)
    drop = conductors.voltage_drop(peak, resistance)
    by_heat, by_drop = _by_heat(line, ambient, METRIC), _by_drop(line, peak, most_drop, METRIC)
    return Conductor(
        chain=line.chain,
        side=line.side,
        name=cable.name,
        rated_by=cable.rated_by,
        length=cable.length,
        rms=rms,
        wire_rms=conductors.phase_current(rms) if line.phases else rms,
        peak=peak,
        heating=heating,
        time_constant=time,
        carries=listed(cable.rated_by, cable.area).carries(ambient),
        area=cable.area,
        by_heat=by_heat,
        by_drop=by_drop,
        needed=np.maximum(by_heat, by_drop),
        gauge_area=np.maximum(_by_heat(line, ambient, GAUGES), _by_drop(line, peak, most_drop, GAUGES)),
        resistance=resistance,
        loss=conductors.joule_loss(rms, resistance),
        drop=drop,
        drop_share=ampacity.drop_share(drop, line.voltage),
        cable=cable,
    )


@solution("the smallest standard size that its table lets bear the heat")
def _by_heat(line: Line, ambient: Lanes, standard: str) -> Lanes:
    table = line.cable.rated_by
    return smallest(offered(table, standard), lambda area: _bears(line, area, ambient))


def _bears(line: Line, area: float, ambient: Lanes) -> npt.NDArray[np.bool_]:
    return within(_heating(line, area)[0], listed(line.cable.rated_by, area).carries(ambient))


@solution("the smallest standard size that keeps the volts")
def _by_drop(line: Line, peak: Lanes, most: Lanes, standard: str) -> Lanes:
    table = line.cable.rated_by
    return smallest(offered(table, standard), lambda area: within(_drop_share(line, area, peak), most))


def _drop_share(line: Line, area: float, peak: Lanes) -> Lanes:
    lost = conductors.voltage_drop(peak, _pair(line, strands(area)))
    return ampacity.drop_share(lost, line.voltage)


def _heating(line: Line, area: Lanes) -> tuple[Lanes, Lanes]:
    """Return the steady current as hot as the job, and the time constant, of a size. [A, s]"""
    row, copper = listed(line.cable.rated_by, area), next(row for row in load("metals") if row["name"] == "copper")
    metal = printed(copper, "density"), printed(copper, "specific_heat")
    warmest = conductors.resistance_at(strands(area), line.cable.temperature_slope, row.insulation)
    time = ampacity.wire_time_constant(row.current, warmest, row.insulation - row.air, area, *metal)
    amps = [ampacity.heating_current(line.shares, corner, line.cycle, time) for corner in line.corners]
    return duty.greatest(amps), time


def _pair(line: Line, ohms_per_metre: Lanes) -> Lanes:
    cable = line.cable
    return conductors.pair_resistance(cable.length, ohms_per_metre, cable.temperature_slope, cable.temperature)


def within(value: Lanes, limit: Lanes) -> npt.NDArray[np.bool_]:
    """Return where a value is not past a limit, to within rounding."""
    return np.asarray(np.asarray(value) <= np.asarray(limit) * (1.0 + EDGE))


def offered(rated_by: str, standard: str) -> Sequence[float]:
    """Return the metric sizes, or the gauges, that a table of ampacities reaches, rising. [m²]"""
    sizes = sizes_of(RATINGS[rated_by].table)
    metric = [float(row["area"]) for row in load("conductors_iec60228_class5")]
    areas = metric if standard == METRIC else [_metal(number) for number in NUMBERS]
    return [area for area in areas if sizes[0] * (1.0 - EDGE) <= area <= sizes[-1] * (1.0 + EDGE)]


def smallest(areas: Sequence[float], fits: Callable[[float], npt.NDArray[np.bool_]]) -> Lanes:
    """Return the smallest size that fits; nan in lanes in which none does. [m²]"""
    found: Lanes = np.nan
    for area in reversed(areas):
        found = np.where(fits(area), leaves(area, "table", "a standard size"), found)
    return found


def _metal(gauge: int) -> float:
    return float(conductors.wire_area(conductors.awg_diameter(float(gauge))))
