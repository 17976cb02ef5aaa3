"""Does the charge last?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, finding
from headrace.machine.records import Lanes


@finding("too-short-new", level="stop", rejects_pack=True, source="limits.time and limits.reserve of the machine file")
def too_short_new(evidence: Evidence) -> Verdict:
    """With new cells the charge does not last for the job and the reserve.

    What: time until the reserve is touched, or something ends the work, against the time wanted.

    Why: cells in parallel add ampere-hours, so minutes.

    Example:
        limits.time = "4 h"

    Cure:
        limits.time = "20 min"

    Exceptions: none.

    Source: the builder's own wish.

    Action: more cells in parallel, cells of more capacity, or a second pack.
    """
    return _too_short(evidence, evidence.days.new.to_reserve, "With new cells")


@finding("too-short-aged", level="stop", rejects_pack=True, source="limits.end_of_life_capacity of the machine file")
def too_short_aged(evidence: Evidence) -> Verdict:
    """At the end of the cells' life the charge does not last for the job and the reserve.

    What: as ``too-short-new``, with the capacity and resistance the file calls end of life.

    Why: a pack bought for today's minutes is too small after a few seasons.

    Example:
        limits.time = "4 h"

    Cure:
        limits.time = "20 min"

    Exceptions: choose a shorter life by raising ``limits.end_of_life_capacity``.

    Source: the builder's own wish; 80 % is the usual end of life.

    Action: more cells in parallel, or accept an earlier replacement.
    """
    return _too_short(evidence, evidence.days.aged.to_reserve, "At the end of the cells' life")


def _too_short(evidence: Evidence, value: Lanes, when: str) -> Verdict:
    limit = evidence.machine.limits.time_wanted
    return Verdict(
        value,
        limit,
        value < limit - 1e-6,
        "s",
        lambda v, m: f"{when} the charge lasts {v / 60:.0f} min down to the reserve; {m / 60:.0f} min are wanted.",
        lambda v, m: "Add cells in parallel: ampere-hours are minutes.",
    )
