"""Discharges at constant current: the Peukert exponent they show, or why they show none.

Peukert describes one battery, full at each start, alike in warmth and age. The heavier discharge then gives less
charge, and the exponent lies above 1. Where it comes out below 1 the discharges were not alike, and the number is
refused: it would promise more charge for more current.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from headrace.errors import HeadraceError
from headrace.physics import charge_wells
from headrace.physics.law import check

ALIKE = 0.01  # share by which two currents have to differ to be two
MISFIT = 0.05  # share of a time; meters and clocks of 1 % cannot be blamed for more
STEEP = 1.6  # exponent above which no table of lead-acid goes
FLAT = 1.03  # exponent below which sag at the cut-off says all there is
WARMTH = 1.0  # K between discharges, from which it is worth saying
COLD_LOSS = 0.01  # share of the charge for each kelvin, the upper end of common practice


class UnlikeDischarges(HeadraceError):  # noqa: N818 - reads as the outcome it is
    """Discharges that cannot have been of one full battery in one condition.

    Parameters
    ----------
    what
        What is wrong, in numbers.
    why
        What makes it so.
    way_out
        What to do instead.
    """

    def __init__(self, what: str, why: str, way_out: str) -> None:
        self.what = what
        self.why = why
        self.way_out = way_out
        super().__init__(f"{what} {why} {way_out}")


@dataclass(frozen=True)
class Discharge:
    """One discharge at constant current, from full down to the voltage at which all of them end.

    Attributes
    ----------
    current
        Drawn. [A]
    seconds
        Time it lasted. [s]
    temperature
        Mean of the battery; None when nobody looked. [K]
    """

    current: float
    seconds: float
    temperature: float | None = None

    def __post_init__(self) -> None:
        """Refuse what is no discharge."""
        check(charge_wells.peukert_exponent, current=self.current, seconds=self.seconds)

    @property
    def charge(self) -> float:
        """What came out. [A·s]"""
        return self.current * self.seconds


@dataclass(frozen=True)
class PeukertFit:
    """Peukert's law through discharges, rated at their middle, as ``charge_wells.peukert_time`` takes it.

    Attributes
    ----------
    exponent
        Peukert's. [-]
    capacity
        Charge at the rated time. [A·s]
    rated_time
        Geometric mean of the times. [s]
    misfit
        Largest departure of a time from the fit, as a share of it. [-]
    doubts
        What to doubt, one sentence each.
    """

    exponent: float
    capacity: float
    rated_time: float
    misfit: float
    doubts: tuple[str, ...]


def fit(discharges: Sequence[Discharge]) -> PeukertFit:
    """Fit a Peukert exponent to discharges, by least squares over the logarithms of their times.

    Parameters
    ----------
    discharges
        At two or more currents, of one battery, down to one voltage.

    Raises
    ------
    ValueError
        All discharges have one current.
    UnlikeDischarges
        The exponent comes out below 1.
    """
    ordered = sorted(discharges, key=lambda run: run.current)
    if not ordered or ordered[-1].current < (1.0 + ALIKE) * ordered[0].current:
        raise ValueError("a Peukert exponent needs discharges at two currents")
    current, seconds = (np.log([getattr(run, name) for run in ordered]) for name in ("current", "seconds"))
    away = current - np.mean(current)
    exponent = -float(np.sum(away * seconds) / np.sum(away**2))
    if exponent < 1.0:
        raise _unlike(exponent, ordered)
    rated_time, middle = (float(np.exp(np.mean(logs))) for logs in (seconds, current))
    capacity = rated_time * middle
    said = [charge_wells.peukert_time(capacity, rated_time, exponent, run.current) for run in ordered]
    misfit = max(abs(run.seconds / float(time) - 1.0) for run, time in zip(ordered, said, strict=True))
    return PeukertFit(exponent, capacity, rated_time, misfit, tuple(_doubts(exponent, misfit, ordered)))


def _unlike(exponent: float, ordered: Sequence[Discharge]) -> UnlikeDischarges:
    """Say what an exponent below 1 means."""
    gave = ", ".join(f"{run.current:.3g} A gave {run.charge / 3600.0:.3g} A·h" for run in ordered)
    least, most = (end(run.charge for run in ordered) for end in (min, max))
    return UnlikeDischarges(
        what=f"A Peukert exponent of {exponent:.3f} is below 1: {gave}, so more current would give more charge.",
        why=(
            "No battery does that from one full start, so the discharges differed in more than the current: a start "
            f"that was not full, a colder battery, or one that had aged in between.{_warmth(ordered)} Missing at the "
            f"least: {1.0 - least / most:.0%}."
        ),
        way_out=(
            "Charge fully each time, hold one temperature, go down to one voltage, and run the first current once more "
            "at the end: if it gives less than before, the battery changed and not the rate. Until then give the "
            "exponent of a data sheet, or capacities at two hours from it."
        ),
    )


def _warmth(ordered: Sequence[Discharge]) -> str:
    """Say how the temperatures went with the currents; nothing where they were not noted or alike."""
    noted = [(run.temperature, run.current) for run in ordered if run.temperature is not None]
    if not noted or max(noted)[0] - min(noted)[0] < WARMTH:
        return ""
    (cold, at_cold), (warm, at_warm) = min(noted), max(noted)
    return (
        f" At {at_cold:.3g} A the battery had {cold - 273.15:.1f} °C, at {at_warm:.3g} A {warm - 273.15:.1f} °C; cold "
        f"takes up to {COLD_LOSS:.0%} of the charge for each kelvin, {COLD_LOSS * (warm - cold):.0%} here."
    )


def _doubts(exponent: float, misfit: float, ordered: Sequence[Discharge]) -> Iterator[str]:
    """Yield what to doubt about an exponent that is no nonsense."""
    if misfit > MISFIT:
        yield (
            f"One exponent misses a time by {misfit:.0%}: the discharges do not lie on one power of the current, so "
            "keep to the currents that were measured."
        )
    for slow, fast in pairwise(ordered):
        if fast.current > (1.0 + ALIKE) * slow.current and fast.charge > slow.charge:
            yield (
                f"{fast.current:.3g} A gave more charge than {slow.current:.3g} A ({fast.charge / 3600.0:.3g} and "
                f"{slow.charge / 3600.0:.3g} A·h): one of the two did not start full, or was colder or older."
            )
    if exponent > STEEP:
        yield (
            f"An exponent of {exponent:.2f} is more than lead-acid shows (1.05 to 1.6): was the fall of voltage in "
            "leads and lugs part of it, or a start that was not full?"
        )
    if exponent < FLAT:
        yield (
            f"An exponent of {exponent:.3f} says that the rate hardly matters: reckon with the charge and the fall of "
            "voltage, and leave Peukert out."
        )
    if said := _warmth(ordered):
        yield f"The discharges were not equally warm.{said}"
