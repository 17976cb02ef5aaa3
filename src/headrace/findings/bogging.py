"""Is there torque to spare before a tool bogs down?"""

from __future__ import annotations

import numpy as np

from headrace.drive.bogging import Bog
from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, below, by_source, finding, gravest

SPARE = 0.2  # of the load; common practice
MORE = (
    "Feed it slower (the report says how slow), gear it down, or raise whatever ends it first: a limit "
    "on current as far as motor and {} allow, or the volts under load."
)


@finding("bogs-down", level="caution", source="common practice, a fifth of the load; no standard")
def bogs_down(evidence: Evidence) -> Verdict:
    """A tool has little torque to spare before its load stalls it.

    To do: a slower feed, a larger reduction or a slower winding, a higher limit on current as far as motor and cells
    allow, or more volts at the controller under load.

    What is compared: how much more torque the tool could be asked for before it stalls or something cuts out, in each
    loaded state, on a full pack and at the reserve with worn cells, as a share of its load, against a fifth.

    How it comes about: work is never even. A tuft, a knot or a root asks for more for a moment, and a tool without
    torque to spare slows, asks for more current, and stalls.

    Raised by:
        chains.blade.controller.motor_current = "26 A"

    Silenced by:
        chains.blade.controller.motor_current = "70 A"

    Where it does not hold: a heavy flywheel rides over what is short; wheels slip first. A tool its load stops anyhow
    is told by other findings.

    The limit is from: common practice.
    """
    cure = MORE.format(by_source(evidence, "cells", "source"))
    verdicts = [
        _spare(bog, evidence.machine.chains[place].work.name, cure)
        for place, bogs in enumerate(evidence.bogs)
        for bog in bogs
    ]
    return gravest(verdicts, [-verdict.value for verdict in verdicts])


def _spare(bog: Bog, tool: str, cure: str) -> Verdict:
    value = np.fmin(bog.full.share, bog.empty.share)  # of a state that works at one end of the charge only, that end

    def says(v: float, m: float) -> str:
        return (
            f"In {bog.state.name} a load {100.0 * v:.0f} % heavier stops the {tool}, or trips something; "
            f"{100.0 * m:.0f} % to spare are usual."
        )

    return Verdict(value, SPARE, below(value, SPARE), "-", says, lambda v, m: cure)
