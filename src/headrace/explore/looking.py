"""Looking through the shelf at a glance: motor, winding, ratio, cells and their counts, under the limits of the file.

Motors and kinds of cell are gone through one by one; everything that is a number is a lane. Each combination is looked
at a glance (``runs.glance``) and held against the same findings as a plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from headrace import design
from headrace.design.days import four_days_at_a_glance
from headrace.drive.gearing import stage_of
from headrace.drive.links import parts
from headrace.findings import Evidence, Judged, judge
from headrace.machine.reading import Reading
from headrace.machine.records import Lanes, Machine
from headrace.machine.substitute import with_shelf_parts
from headrace.machine.values import value_at, with_numbers
from headrace.pack import arrangement
from headrace.physics import motors
from headrace.runs.march import Progress
from headrace.tables import Row

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

WINDINGS = (0.6, 0.75, 0.9, 1.1, 1.35, 1.7)  # turns, over those of the shelf's motor
RATIOS = (0.6, 0.8, 1.0, 1.25, 1.6)  # over the ratio of the file
SERIES, PARALLEL = tuple(range(1, 21)), tuple(range(1, 13))
NEARLY = 1e-6  # over a limit, so that only what certainly breaks it is left out before it is looked at


@dataclass(frozen=True)
class Offer:
    """What may be combined."""

    motors: tuple[str, ...]
    cells: tuple[str, ...]
    windings: tuple[float, ...]
    ratios: tuple[float, ...]
    series: tuple[int, ...]
    parallel: tuple[int, ...]

    @property
    def count(self) -> int:
        """Number of combinations."""
        return int(np.prod([len(getattr(self, name)) for name in self.__dataclass_fields__]))


def whole_shelf(reading: Reading) -> Offer:
    """Return everything there is; the ratio only where the first chain has a belt, chain or gear to change."""
    return Offer(
        motors=tuple(reading.shelf.names("motors")),
        cells=tuple(reading.shelf.names("cells")),
        windings=WINDINGS,
        ratios=RATIOS if stage_of(reading.machine.chains[0]) is not None else (1.0,),
        series=SERIES,
        parallel=PARALLEL,
    )


@dataclass(frozen=True)
class Choice:
    """One combination of the shelf."""

    motor: str
    cell: str
    winding: float  # turns, over those of the shelf's motor
    ratio: float  # over the ratio of the file
    series: int
    parallel: int


@dataclass(frozen=True)
class Looked:
    """What a look at combinations says; arrays over lanes."""

    judged: tuple[Judged, ...]
    works: Mask
    cost: Array  # money, motor and pack
    mass: Array  # kg, motor and pack
    time: Array  # s, down to the reserve with new cells


@dataclass(frozen=True)
class Group:
    """All combinations of one motor with one kind of cell that were looked at."""

    motor: str
    cell: str
    row: Row  # of the motor
    plan: Machine
    axes: Array  # [4, lane]: winding, ratio, series, parallel
    looked: Looked

    def choice(self, lane: int) -> Choice:
        """Return one of its combinations."""
        winding, ratio, series, parallel = (float(value) for value in self.axes[:, lane])
        return Choice(self.motor, self.cell, winding, ratio, round(series), round(parallel))


def looked_through(reading: Reading, offer: Offer, progress: Progress | None = None) -> Iterator[Group]:
    """Yield every motor with every kind of cell, all of their combinations looked at."""
    pairs = [(motor, cell) for motor in offer.motors for cell in offer.cells]
    grid = np.meshgrid(*(np.array(getattr(offer, name), dtype=float) for name in _fields(offer)), indexing="ij")
    axes = np.stack([axis.ravel() for axis in grid])
    for place, (motor, cell) in enumerate(pairs):
        plan = with_shelf_parts(reading, motor, cell)
        likely, row = axes[:, thinkable(plan, axes)], reading.shelf.part("motors", motor).typical
        if likely.shape[1] > 0:
            yield Group(motor, cell, row, plan, likely, look(plan, likely, row))
        if progress is not None:
            progress((place + 1) / len(pairs))


def _fields(offer: Offer) -> tuple[str, ...]:
    return tuple(name for name in offer.__dataclass_fields__ if name not in ("motors", "cells"))


def thinkable(plan: Machine, axes: Array) -> Mask:
    """Return which combinations are not out of the question by volts, mass, size or money alone."""
    source = replace(plan.source, series=axes[2], parallel=axes[3])
    limits, cells = plan.limits, arrangement.count(source)
    over = 1.0 + NEARLY
    fits = arrangement.mass(source) <= limits.max_mass * over
    fits &= arrangement.cost(source) <= limits.budget * over
    fits &= cells <= arrangement.room_in_box(source, limits.box) * over
    ratings = [getattr(link, "max_voltage", np.inf) for chain in plan.chains for link in chain.links]
    return np.asarray(fits & (source.series * source.cell.full_voltage <= min(ratings) * over))


def look(plan: Machine, axes: Array, motor: Row) -> Looked:
    """Look at combinations of one plan at a glance.

    Parameters
    ----------
    plan
        The file with motor and cells of the shelf; one lane, or draws as a last axis.
    axes
        Winding, ratio, series and parallel, [4, lane...].
    motor
        Its row of the shelf, for price and mass.
    """
    lanes = combined(plan, axes)
    return judged(lanes, design.gathered(lanes, four_days_at_a_glance(lanes), ()), motor)


def judged(lanes: Machine, evidence: Evidence, motor: Row) -> Looked:
    """Hold combinations against the findings that reject a pack, by whatever evidence there is of them."""
    verdicts = judge(evidence, packs_only=True)
    shape = evidence.shape
    source = lanes.source
    return Looked(
        judged=verdicts,
        works=np.broadcast_to(~np.any([j.failing for j in verdicts], axis=0), shape),
        cost=_wide(arrangement.cost(source) + float(motor["price"]), shape),
        mass=_wide(arrangement.mass(source) + float(motor["mass"]), shape),
        time=_wide(evidence.days.new.to_reserve, shape),
    )


def _wide(value: Lanes, shape: tuple[int, ...]) -> Array:
    return np.array(np.broadcast_to(value, shape), dtype=float)


def combined(plan: Machine, axes: Array) -> Machine:
    """Return a plan in lanes: rewound, geared and with its cells counted as asked.

    A motor rewound with a times the turns has a times the constant, a² times the resistance, and the same friction: its
    current without load goes the other way.
    """
    winding, ratio, series, parallel = axes
    chain = plan.chains[0]
    at = f"chains.{chain.name}.{parts(chain).motor.name}"
    values: dict[str, Lanes] = {
        f"{at}.constant": winding * value_at(plan, f"{at}.constant"),
        f"{at}.resistance": motors.rewound_resistance(value_at(plan, f"{at}.resistance"), winding),
        f"{at}.drag": value_at(plan, f"{at}.drag") * np.ones_like(winding),
        "source.series": series,
        "source.parallel": parallel,
    }
    stage = stage_of(plan.chains[0])
    if stage is not None:
        address = f"chains.{chain.name}.{stage.name}.ratio"
        values[address] = ratio * value_at(plan, address)
    return with_numbers(plan, values)
