"""Bands: what the draws behind a typical machine say of one number, of a channel over time, of an outcome.

The first lane is the typical machine, the others are the draws.
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from headrace.drive.point import Outcome
from headrace.machine.records import Lanes
from headrace.runs.run import End

Array = npt.NDArray[np.float64]

LOW, HIGH = 0.05, 0.95  # quantiles of a band


@dataclass(frozen=True)
class Sample:
    """The draws behind a record: how many, and the seed they can be had again with."""

    count: int
    seed: int


def sample_record(sample: Sample | None) -> dict[str, Any]:
    """Return what stands at the head of every record about its draws."""
    return {"draws": asdict(sample) if sample is not None else {"count": 0, "seed": None}}


def typical(value: Lanes) -> float | None:
    """Return the typical lane of a value as a plain number, or None where it is not finite."""
    first = float(np.asarray(value, dtype=float).flat[0])
    return first if math.isfinite(first) else None


def number(value: Lanes) -> Any:
    """Return a value as data: a plain number or null, or its band where the draws move it.

    A number that does not exist in some draws, such as the slow crossing of a tool without load, has the band of the
    others; what became of each draw is counted in the outcomes.
    """
    if isinstance(value, float):
        return value if math.isfinite(value) else None  # a traced number keeps its working
    others = np.asarray(value, dtype=float).reshape(-1)[1:]
    first, there = typical(value), others[np.isfinite(others)]
    if there.size == 0 or np.all(there == first):
        return first
    low, high = np.quantile(there, (LOW, HIGH))
    return {"typical": first, "low": float(low), "high": float(high)}


def shares(codes: npt.NDArray[np.int8], names: type[Outcome] | type[End]) -> dict[str, float]:
    """Return how often each outcome comes up among the draws, or which it is where there are none."""
    counted = codes.reshape(-1)[1:] if codes.size > 1 else codes.reshape(-1)
    return {name.slug: float(np.mean(counted == name)) for name in names if np.any(counted == name)}


def channel(values: Array, there: npt.NDArray[np.bool_]) -> dict[str, list[float]]:
    """Return a channel, [step, lane...]: typical, and the ends of the band of the draws that are there."""
    first = values.reshape(len(values), -1)[:, 0]
    low, high = _ends(drawn(values), drawn(there), first)
    return {"typical": first.tolist(), "low": low.tolist(), "high": high.tolist()}


def drawn(values: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """Return the draws of a channel, [step, draw]; the typical lane where there is no other."""
    flat = values.reshape(len(values), -1)
    return flat[:, 1:] if flat.shape[1] > 1 else flat


def _ends(values: Array, there: npt.NDArray[np.bool_], otherwise: Array) -> tuple[Array, Array]:
    """Return the ends of the band of those draws of each step that are there; where none is, another value."""
    ordered = np.sort(np.where(there, values, np.inf), axis=1)
    last = np.count_nonzero(there, axis=1) - 1
    rows = np.arange(len(ordered))

    def end(share: float) -> Array:
        place = share * np.maximum(last, 0)
        below = place.astype(int)
        above = np.minimum(below + 1, np.maximum(last, 0))
        lower, upper = ordered[rows, below], ordered[rows, above]
        with np.errstate(invalid="ignore"):
            return np.where(last < 0, otherwise, lower + (place - below) * (upper - lower))

    return end(LOW), end(HIGH)
