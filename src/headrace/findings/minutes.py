"""Does the charge last?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, apart, below, by_source, finding
from headrace.runs.run import End, Run

LONG = 600.0  # s, from which on whole minutes will do


@finding("too-short-new", level="stop", rejects_pack=True, source="limits.time and limits.reserve of the machine file")
def too_short_new(evidence: Evidence) -> Verdict:
    """With new cells the charge does not last for the job and the reserve.

    To do: more cells in parallel, cells of more capacity, or a second pack.

    What is compared: time until the reserve is touched, or the charge ends the work, against the time wanted.

    How it comes about: cells in parallel add ampere-hours, so minutes.

    Raised by:
        limits.time = "4 h"

    Silenced by:
        limits.time = "20 min"

    Where it does not hold: none.

    The limit is from: the builder's own wish.
    """
    return _too_short(evidence, evidence.days.new, by_source(evidence, "With new cells the", "The"))


@finding("too-short-aged", level="stop", rejects_pack=True, source="limits.end_of_life_capacity of the machine file")
def too_short_aged(evidence: Evidence) -> Verdict:
    """At the end of the cells' life the charge does not last for the job and the reserve.

    To do: more cells in parallel, or accept an earlier replacement.

    What is compared: as ``too-short-new``, with the capacity and resistance the file calls end of life.

    How it comes about: a pack bought for today's minutes is too small after a few seasons.

    Raised by:
        limits.time = "4 h"

    Silenced by:
        limits.time = "20 min"

    Where it does not hold: choose a shorter life by raising ``limits.end_of_life_capacity``.

    The limit is from: the builder's own wish; 80 % is the usual end of life.
    """
    if evidence.machine.source.endless:
        return NOT_HELD
    return _too_short(evidence, evidence.days.aged, "At the end of the cells' life the")


# A hot winding that ends a run is told of by ``winding-too-hot``: more cells would not cure it.


def _too_short(evidence: Evidence, run: Run, when: str) -> Verdict:
    value, limit = run.to_reserve, evidence.machine.limits.time_wanted
    does = by_source(evidence, "charge lasts {} min down to the reserve", "work lasts {} min")
    cure = by_source(
        evidence,
        "Add cells in parallel: ampere-hours are minutes. If day ends with charge left, its reason is first.",
        "See why the day ends there: its reason comes first.",
    )
    by_motor = (run.ended_because == End.WINDING_LIMIT) & (run.charge_left > evidence.machine.limits.reserve)
    return Verdict(
        value,
        limit,
        below(value, limit) & ~by_motor,
        "s",
        lambda v, m: (
            f"{when} job cannot even be begun; {_minutes(v, m)[1]} min are wanted."
            if v <= 0.0
            else f"{when} {does}; {{}} min are wanted.".format(*_minutes(v, m))
        ),
        lambda v, m: "See what the other findings say of volts and amps first." if v <= 0.0 else cure,
    )


def _minutes(value: float, limit: float) -> tuple[str, str]:
    """Return two times in minutes, told apart."""
    return apart(value / 60.0, limit / 60.0, 0 if limit >= LONG else 1)
