"""Is the blade too fast, is it too slow?"""

from __future__ import annotations

import numpy as np

from headrace.drive.tools import paces_wanted, tool_of
from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, below, finding
from headrace.machine.records import DutyState, Lanes

RUNS = {"tip_speed": ("the tip runs at", "m/s")}  # how a pace is told


@finding(
    "tip-too-fast",
    level="stop",
    rejects_pack=True,
    source="ANSI/OPEI B71.1 (19,000 ft/min); 16 CFR 1205.3(a)(8) judges after a full charge",
)
def tip_too_fast(evidence: Evidence) -> Verdict:
    """The blade's tip runs faster than it may.

    To do: fewer cells in series, a motor wound slower, a larger reduction, or a governed speed.

    What is compared: tip speed after a full charge, without grass, with the magnets warm from work, against the limit.

    How it comes about: a blade that breaks or throws a stone does harm with the square of its speed. A fresh pack
    stands 15 % above its nominal voltage, and warm ferrite magnets let the motor turn faster still.

    Raised by:
        source.series = 13

    Silenced by:
        source.series = 10

    Where it does not hold: a controller that governs the speed holds it down; then the set speed counts.

    The limit is from: ANSI/OPEI B71.1, 19,000 ft/min (96.5 m/s); 16 CFR 1205.3(a)(8): maximum speed of a battery mower
    is the speed after a full charge. Both seen second-hand; the text of the standard comes first.
    """
    paces = evidence.corners.fastest
    _, value, limit = _worst(paces, [_wanted(evidence, k)[1] for k in range(len(paces))], fast=True)
    return Verdict(
        value,
        limit,
        above(value, limit),
        "m/s",
        lambda v, m: (
            f"After a full charge the tip runs at {v:.1f} m/s without grass and with warm magnets; "
            f"the limit is {m:.1f} m/s."
        ),
        lambda v, m: "Take fewer cells in series, a slower motor, a larger reduction, or govern the speed.",
    )


@finding("too-slow-when-empty", level="stop", rejects_pack=True, source="limits.tip_speed_min of the machine file")
def too_slow_when_empty(evidence: Evidence) -> Verdict:
    """At the end of the charge the blade is too slow to cut well.

    To do: more cells in series as long as the full pack stays below the fastest that is allowed; beyond that a governed
    speed with volts to spare, or fewer volts lost on the way: more cells in parallel, thicker cable, lighter work.

    What is compared: tip speed in the hardest duty state when only the reserve is left, cells at end of life.

    How it comes about: voltage is speed. A pack that is right when full can be a quarter slower when nearly empty, and
    a slow blade tears the grass and can be stopped by a tuft.

    Raised by:
        source.series = 6

    Silenced by:
        source.series = 10

    Where it does not hold: a governed speed with voltage to spare does not sag.

    The limit is from: the builder's own wish, ``limits.tip_speed_min``; 50 to 90 m/s is usual, a figure from memory.
    """
    paces = evidence.corners.slowest
    place, value, limit = _worst(paces, [_wanted(evidence, k)[0] for k in range(len(paces))], fast=False)
    runs, unit = _runs(evidence, place)
    heaviest = _heaviest(evidence)
    return Verdict(
        value,
        limit,
        below(value, limit),
        unit,
        lambda v, m: (
            f"With worn cells near the end of the charge the {_name(evidence, place)} is stopped by {heaviest}."
            if v <= 0.0
            else f"With worn cells near the end of the charge {runs} {v:.1f} {unit} in {heaviest}; "
            f"{m:.1f} {unit} is wanted."
        ),
        lambda v, m: (
            "Add cells in series (volts are speed) as far as the full pack may run; beyond that govern the speed, or "
            "lose fewer volts on the way: more cells in parallel, thicker cable, lighter work."
        ),
    )


def _wanted(evidence: Evidence, place: int) -> tuple[Lanes, Lanes]:
    return paces_wanted(evidence.machine.limits, evidence.machine.chains[place].work)


def _worst(paces: tuple[Lanes, ...], limits: list[Lanes], *, fast: bool) -> tuple[int, Lanes, Lanes]:
    """Return which chain is worst in the typical lane, and pace and limit of the worst in every lane."""
    if len(paces) == 1:
        return 0, paces[0], limits[0]
    shape = np.broadcast_shapes(*(np.shape(value) for value in (*paces, *limits)))
    value, limit = (np.stack([np.broadcast_to(row, shape) for row in rows]) for rows in (paces, limits))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(limit > 0.0, value / limit, np.inf)
    worst = np.argmax(share, axis=0) if fast else np.argmin(share, axis=0)
    found = (np.take_along_axis(rows, worst[np.newaxis], axis=0)[0] for rows in (value, limit))
    return int(worst.flat[0]), *found


def _runs(evidence: Evidence, place: int) -> tuple[str, str]:
    return RUNS[tool_of(evidence.machine.chains[place].work).pace.key]


def _name(evidence: Evidence, place: int) -> str:
    return evidence.machine.chains[place].work.name


def _heaviest(evidence: Evidence) -> str:
    """Return the hardest loaded state of the typical machine in words."""
    loaded = (state for state in evidence.machine.job.states if state.loaded)
    state = max(loaded, key=lambda s: float(np.asarray(s.sward + s.power).flat[0]))
    return f"{state.name}, {_load(state)}"


def _load(state: DutyState) -> str:
    return f"{float(np.asarray(state.sward).flat[0]):.2f} kg/m²"
