"""Which fuse: between load and wire, for the pack's volts and short circuit; and what that short circuit does."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace.machine.fuse import Fuse
from headrace.machine.links import Cable
from headrace.machine.practice import practice
from headrace.machine.printed import printed
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.physics import ampacity, fusing
from headrace.physics.working import leaves, solution
from headrace.tables import Row, load, sources
from headrace.wiring.conductors import Conductor, wire_for

SAFE, SPOILED, MELTED, UNCUT = "holds", "insulation-spoiled", "melts", "never-opens"
ARCS = "arc-burns-on"  # it melts, and cannot break what flows


@dataclass(frozen=True)
class Asked:
    """What the main fuse has to do; arrays over lanes.

    Attributes
    ----------
    rms, peak
        Of everything on the pack, over the cycle and in the hardest state. [A]
    start_current, start_time
        Of the start that is hardest on a fuse. [A, s]
    voltage
        Highest it may have to break: full, or what comes back downhill. [V]
    open_voltage, resistance
        Of the pack behind a short: cells new, warm and full, in the first instant. [V, Ω]
    at_pack, of_two
        Short circuit at its terminals, and with another such pack side by side. [A]
    far, least
        At the far end of the weakest wire: from those cells, and from worn, cold ones at the reserve. [A]
    carries
        Of the weakest wire on the pack's side, for long in the hottest weather; nan without one. [A]
    wire
        That wire; None without one.
    """

    rms: Lanes
    peak: Lanes
    start_current: Lanes
    start_time: Lanes
    voltage: Lanes
    open_voltage: Lanes
    resistance: Lanes
    at_pack: Lanes
    of_two: Lanes
    far: Lanes
    least: Lanes
    carries: Lanes
    wire: Conductor | None

    @property
    def table(self) -> str:
        """What its wires are held against: the table of the weakest, or the usual one."""
        return Cable.rated_by if self.wire is None else self.wire.rated_by


@dataclass(frozen=True)
class Fault:
    """A short circuit at the far end of the wire, until the fuse has opened; arrays over lanes.

    Attributes
    ----------
    current
        Through fuse and wire. [A]
    opens_after
        At the latest; infinite where the fuse's sheet promises no opening. [s]
    temperature
        Of the wire then, no heat leaving it; nan where the copper has melted or nothing opens. [K]
    becomes
        What becomes of the wire of the typical machine: ``holds``, ``insulation-spoiled``, ``melts``, ``never-opens``,
        ``arc-burns-on``.
    """

    current: Lanes
    opens_after: Lanes
    temperature: Lanes
    becomes: str


@dataclass(frozen=True)
class Fused:
    """The main fuse judged: that of the file, or one from the shelf; arrays over lanes.

    Attributes
    ----------
    planned
        Whether the file says which; otherwise it is proposed.
    present
        Whether the file has any fuse or board in the line.
    kind, at, speed
        Class on the shelf, where it sits, quick or slow; None where no class will do.
    rating, max_voltage, breaking_capacity
        Of it; nan where no class will do. [A, V, A]
    least_rating
        That carries the load. [A]
    start_strain, start_limit
        Part of what melts it that a start takes, and may take. [-]
    wire_area
        Smallest metric size of the table of its wires that carries the rating; nan where none does. [m²]
    full, empty
        Short circuits on a full pack and on a worn, cold one at the reserve, by its amps alone: see ``ended``.
    bears
        What the wire's insulation bears for that moment. [K]
    """

    asked: Asked
    planned: bool
    present: bool
    kind: str | None
    at: str
    speed: str | None
    rating: Lanes
    max_voltage: Lanes
    breaking_capacity: Lanes
    least_rating: Lanes
    start_strain: Lanes
    start_limit: Lanes
    wire_area: Lanes
    full: Fault | None
    empty: Fault | None
    bears: Lanes

    @property
    def breaks(self) -> npt.NDArray[np.bool_]:
        """Whether it is made for the volts of the pack and for its short circuit."""
        return np.asarray((self.max_voltage >= self.asked.voltage) & (self.breaking_capacity >= self.asked.at_pack))

    def ended(self, fault: Fault) -> Fault:
        """Return a short circuit with what the fuse promises: no time where it melts and cannot break what flows."""
        breaks = self.breaks
        return Fault(
            fault.current,
            np.where(breaks, fault.opens_after, np.inf),
            np.where(breaks, fault.temperature, np.nan),
            fault.becomes if breaks.flat[0] or fault.becomes == UNCUT else ARCS,
        )


def fused(asked: Asked, plan: Fuse | None, ambient: Lanes, *, present: bool) -> Fused:
    """Judge the fuse of the file, or propose one.

    Parameters
    ----------
    asked
        What it has to do.
    plan
        Of the file; None where it does not say.
    ambient
        Of the hottest weather. [K]
    present
        Whether the file has any fuse or board in the line.
    """
    least = fusing.least_fuse(asked.rms, asked.peak, practice("fuse.margin"))
    limit, bears = practice("fuse.start_share"), _adiabatic("bears")
    fuse = plan if plan is not None else _proposed(asked, least, limit)
    speed = None if fuse is None else _speed(fuse.kind)
    return Fused(
        asked=asked,
        planned=plan is not None,
        present=present or plan is not None,
        kind=fuse.kind if fuse else None,
        at=fuse.at if fuse else "pack",
        speed=speed,
        rating=fuse.rating if fuse else np.nan,
        max_voltage=fuse.max_voltage if fuse else np.nan,
        breaking_capacity=fuse.breaking_capacity if fuse else np.nan,
        least_rating=least,
        start_strain=_strain(asked, fuse.rating, speed) if fuse and speed else np.nan,
        start_limit=limit,
        full=_fault(asked, asked.far, fuse.rating, speed) if fuse and speed else None,
        empty=_fault(asked, asked.least, fuse.rating, speed) if fuse and speed else None,
        wire_area=wire_for(asked.table, fuse.rating, ambient) if fuse else np.nan,
        bears=bears,
    )


def beside(asked: Asked, ambient: Lanes) -> Fused:
    """Propose the fuse of each of two packs side by side.

    When the other's has opened it carries all the work; a short may be fed by both. Parameters as of ``fused``.
    """
    return fused(replace(asked, at_pack=asked.of_two), None, ambient, present=False)


def _proposed(asked: Asked, least: Lanes, limit: Lanes) -> Fuse | None:
    """Return the fuse of least rating on the shelf that will do for the typical machine; None where none does.

    Its volts are printed on it and can be asked for; of what it breaks the least of its class is counted on.
    """
    volts, broken = (first_number(value) for value in (asked.voltage, asked.at_pack))
    will_do = [row for row in load("fuses") if row["voltage"] >= volts and row["breaking_current_low"] >= broken]
    kinds = [str(row["name"]) for row in will_do]
    found = {kind: _rating(asked.start_current, asked.start_time, least, limit, kind) for kind in kinds}
    first = {kind: first_number(rating) for kind, rating in found.items()}
    usable = [name for name, rating in first.items() if np.isfinite(rating)]
    if not usable:
        return None
    kind = min(usable, key=lambda name: first[name])
    row = _class(kind)
    return Fuse(kind, "pack", found[kind], printed(row, "voltage"), printed(row, "breaking_current_low"))


@solution("the least rating of the class that carries the load and stands the start")
def _rating(current: Lanes, time: Lanes, least: Lanes, limit: Lanes, kind: str) -> Lanes:
    """Return the least rating of a class that will do, in each lane; nan where none does. [A]"""
    row, melting = _class(kind), _melting(_speed(kind))
    all_ratings = [one["rating"] for one in load("fuse_ratings")]
    in_class = [amps for amps in all_ratings if row["current_low"] <= amps <= row["current_high"]]
    found: Lanes = np.nan
    for amps in reversed(in_class):
        stands = np.asarray(fusing.start_strain(current, time, amps, melting)) <= np.asarray(limit)
        found = np.where(stands & (amps >= np.asarray(least)), amps, found)
    return found


def _fault(asked: Asked, current: Lanes, rating: Lanes, speed: str) -> Fault | None:
    """Tell a short circuit at the end of the wire; None where there is no wire."""
    if asked.wire is None:
        return None
    time = opens_within(speed, fusing.overload(current, rating))
    cable, melts, bears = asked.wire.cable, _adiabatic("melts"), _adiabatic("bears")
    constants = (_adiabatic("constant"), _adiabatic("zero"))
    warm = fusing.adiabatic_temperature(current, time, cable.area, cable.temperature, *constants)
    there = first_number(warm)
    ends = not np.isfinite(np.asarray(time).flat[0])
    becomes = UNCUT if ends else MELTED if there >= melts else SPOILED if there > bears else SAFE
    return Fault(current, time, np.where(warm < melts, warm, np.nan), becomes)


def opens_within(speed: str, multiple: Lanes) -> Lanes:
    """Return the longest a fuse takes to open at a multiple of its rating; infinite where nothing is promised. [s]"""
    rows = [row for row in load("fuse_curves") if row["speed"] == speed]
    at, most = (np.array([row[column] for row in rows]) for column in ("multiple", "most_time"))
    above = np.clip(np.searchsorted(at, np.asarray(multiple, dtype=float)), 1, len(at) - 1)
    title = sources()[rows[0]["source"]].title
    lines = leaves((at[above - 1], at[above], most[above - 1], most[above]), "table", title)
    first, last, at_last = leaves((at[0], at[-1], most[-1]), "table", title)
    inside = ampacity.power_between(multiple, *lines)
    past = fusing.time_past_curve(multiple, last, at_last)
    return np.where(multiple > last, past, np.where(multiple < first, np.inf, inside))


def about_class(kind: str) -> str:
    """Return what a class of fuses is for, in words."""
    return str(_class(kind)["about"])


def _speed(kind: str) -> str:
    return str(_class(kind)["speed"])


def _class(kind: str) -> Row:
    return next(row for row in load("fuses") if row["name"] == kind)


def _strain(asked: Asked, rating: Lanes, speed: str) -> Lanes:
    """Return the part of what melts a fuse that the hardest start takes. [-]"""
    return fusing.start_strain(asked.start_current, asked.start_time, rating, _melting(speed))


def _melting(speed: str) -> Lanes:
    """Return the melting integral of a kind of fuse over the square of its rating. [s]"""
    row = next(row for row in load("fuse_melting") if row["speed"] == speed)
    return fusing.melting_time(printed(row, "melting_integral"), printed(row, "rating"))


def _adiabatic(column: str) -> float:
    row = next(row for row in load("adiabatic") if row["metal"] == "copper")
    return printed(row, column)
