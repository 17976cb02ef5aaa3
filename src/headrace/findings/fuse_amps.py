"""Does the fuse open when it should, and only then?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, below, finding, gravest
from headrace.findings.fuses import planned, says
from headrace.wiring.fuse import Fault, Fused


@finding("fuse-above-wire", level="stop", source="the fuse's rating against what its weakest wire carries")
def fuse_above_wire(evidence: Evidence) -> Verdict:
    """The fuse lets through for hours what its weakest wire does not bear.

    To do: a smaller fuse, if it still carries the load, or a thicker wire.

    What is compared: the fuse's rating against the least ampacity of the cables on the pack's side, in the hottest
    weather.

    How it comes about: a fuse guards the wire, not the machine; it carries its rating for ever and a third more for
    minutes.

    Raised by:
        fuse.rating = "150 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"

    Silenced by:
        fuse.rating = "50 A"

    Where it does not hold: a thin branch with a fuse of its own; cables on the motor's side hang on the controller's
    limit instead.

    The limit is from: the table that the cable names.
    """
    found = planned(evidence)
    if found is None or found.asked.wire is None:
        return NOT_HELD
    named = f"the {found.asked.wire.name} of the {found.asked.wire.chain}"
    return Verdict(
        found.rating,
        found.asked.carries,
        above(found.rating, found.asked.carries),
        "A",
        lambda v, m: "The fuse is one of {} A; {wire} may carry {} A for long.".format(*apart(v, m, 0), wire=named),
        lambda v, m: f"Use a fuse of at most {m:.0f} A, if that carries the load, or a thicker wire.",
        parts=("fuse",),
    )


@finding("fuse-too-slow", level="stop", source="IEC 60949 against the longest times of the fuse's kind")
def fuse_too_slow(evidence: Evidence) -> Verdict:
    """In a short circuit the wire's insulation is spoiled before the fuse opens, or it never opens.

    To do: a smaller or quicker fuse, or a thicker or shorter wire.

    What is compared: temperature of the weakest wire on the pack's side when the fuse has opened, at the latest by its
    kind's times, shorted at its far end by a full pack and by a worn, cold one at the reserve.

    How it comes about: a small or cold pack gives few amps into a short, and a fuse of many amps takes its time over
    them, while the wire takes all of it.

    Raised by:
        fuse.rating = "300 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"

    Silenced by:
        fuse.rating = "50 A"

    Where it does not hold: no heat is taken to leave the wire, which is too strict where opening takes more than some
    five seconds; the times are those of blade fuses of 40 A, taken over to other kinds.

    The limit is from: what PVC bears for a moment, 160 °C; rubber and silicone bear more.
    """
    found = planned(evidence)
    if found is None or found.full is None or found.empty is None:
        return NOT_HELD
    faults = (("a full pack", found.full), ("a worn, cold pack at the reserve", found.empty))
    verdicts = [_burnt(found, fault, words) for words, fault in faults]
    return gravest(verdicts, [np.asarray(v.value) for v in verdicts])


def _burnt(found: Fused, fault: Fault, words: str) -> Verdict:
    hot = np.where(np.isnan(fault.temperature), np.inf, fault.temperature)
    return Verdict(
        hot,
        found.bears,
        above(hot, found.bears),
        "K",
        lambda v, m: f"Shorted at the wire's far end by {words}, {_story(v)}.",
        says("Use a smaller or quicker fuse, or a thicker wire."),
        parts=("fuse",),
    )


def _story(temperature: float) -> str:
    """Return what a short circuit does that ends at a temperature; infinite where nothing ends it in time."""
    if np.isfinite(temperature):
        return f"the wire is at {temperature - 273.15:.0f} °C when the fuse has opened, and its insulation is spoiled"
    return "the copper melts before the fuse opens, if it opens at all"


@finding("fuse-below-load", level="caution", source="the fuse's rating against the load it carries for long")
def fuse_below_load(evidence: Evidence) -> Verdict:
    """The fuse will open in ordinary work.

    To do: the next larger fuse that the wire allows.

    What is compared: its rating against the greatest current of the job, and a quarter more than its root mean square,
    on a full pack or at the reserve.

    How it comes about: a fuse in a warm box carries less than its rating, and mean amps hide the heavy minute.

    Raised by:
        fuse.rating = "15 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"

    Silenced by:
        fuse.rating = "50 A"

    Where it does not hold: a few seconds above the rating do not open a slow fuse.

    The limit is from: common practice.
    """
    found = planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.rating,
        found.least_rating,
        below(found.rating, found.least_rating),
        "A",
        lambda v, m: "The fuse is one of {} A; the work wants one of {} A at the least.".format(*apart(v, m, 0)),
        says("Use the next larger one that the wire allows."),
    )


@finding("fuse-opens-at-start", level="caution", source="the start against the fuse's melting integral")
def fuse_opens_at_start(evidence: Evidence) -> Verdict:
    """A start goes a long way towards melting the fuse.

    To do: a slower or larger fuse, if the wire allows it, or a lower limit on battery current.

    What is compared: square of the start's greatest battery current, times its time, over the fuse's melting integral,
    where that current is above the rating.

    How it comes about: each start within the limit ages the element a little; some hundred starts later it opens for no
    visible cause.

    Raised by:
        fuse.rating = "10 A"
        fuse.kind = "ceramic-10x38"

    Silenced by:
        fuse.rating = "50 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"

    Where it does not hold: the greatest current is taken for all of the start, which is more than the truth; integrals
    are those of 40 A blade fuses, taken to go with the square of the rating.

    The limit is from: common practice, a half to two thirds of what melts it.
    """
    found = planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.start_strain,
        found.start_limit,
        above(found.start_strain, found.start_limit),
        "-",
        lambda v, m: f"A start takes {100.0 * v:.0f} % of what melts the fuse; {100.0 * m:.0f} % is what it may.",
        says("Use a slower or a larger fuse, if the wire allows it, or lower the limit on battery current."),
    )
