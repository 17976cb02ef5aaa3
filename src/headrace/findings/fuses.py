"""Is there a fuse, can it break what the pack gives, and does it open when it should and only then?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, Words, above, apart, below, finding, gravest
from headrace.machine.records import Lanes
from headrace.wiring.fuse import Fault, Fused


@finding("no-fuse", level="caution", source="common practice: one fuse within 20 cm of the pack")
def no_fuse(evidence: Evidence) -> Verdict:
    """The file names no fuse between the pack and its wires.

    To do: put one within 20 cm of the pack's plus, and say which in ``[fuse]``; the record proposes one.

    What is compared: whether there is a ``[fuse]``, contacts of a fuse, or a limit of the pack's own.

    How it comes about: the pack gives hundreds of amps into a wire that has chafed through; the wire glows before a
    controller or a board far from the chafe knows of it.

    Raised by:
        chains.blade.fuse.of = "bolt"

    Silenced by:
        fuse.rating = "50 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"

    Where it does not hold: a ready-made pack may have a fuse inside; say so by ``source.current_limit``.

    The limit is from: common practice; local codes and licensed practice come first.
    """
    found = evidence.fused
    if found is None:
        return NOT_HELD
    there = 1.0 if found.present else 0.0
    return Verdict(
        there,
        1.0,
        not found.present,
        "-",
        _says("The file names no fuse: a wire that chafes through glows on all the pack can give."),
        _says(_proposal(found)),
    )


@finding(
    "fuse-too-few-volts", level="stop", source="the fuse's volts for direct current against those of the full pack"
)
def fuse_too_few_volts(evidence: Evidence) -> Verdict:
    """The fuse is made for fewer volts than the full pack has.

    To do: a fuse rated for direct current of more than the full pack's volts; volts for alternating current do not
    count.

    What is compared: the fuse's volts for direct current against the pack's after a full charge, or what comes back
    downhill where that is more.

    How it comes about: a fuse that melts draws an arc, and direct current has no zero that puts it out; on too many
    volts the arc burns on through the fuse's body. Ordinary blade fuses are made for 32 V.

    Raised by:
        fuse.rating = "50 A"
        fuse.kind = "blade-large"
        fuse.max_voltage = "32 V"

    Silenced by:
        fuse.max_voltage = "58 V"

    Where it does not hold: nowhere; nominal volts are not what the fuse sees.

    The limit is from: the fuse's sheet, or the least of its class.
    """
    found = _planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.max_voltage,
        found.asked.voltage,
        below(found.max_voltage, found.asked.voltage),
        "V",
        lambda v, m: "The fuse breaks {} V of direct current; the full pack has {} V.".format(*apart(v, m)),
        _says("Use one that has more volts of direct current printed on it: on this one an arc burns on."),
    )


@finding("fuse-cannot-break", level="stop", source="the fuse's breaking capacity against the pack's short circuit")
def fuse_cannot_break(evidence: Evidence) -> Verdict:
    """The pack's short circuit is more than the fuse can break.

    To do: a fuse of a class with a higher breaking capacity.

    What is compared: breaking capacity against the current into a dead short at the terminals of new, warm and full
    cells, by their resistance in the first second and that of strips and joints.

    How it comes about: cells in parallel add their short circuits, and power cells give more than a hundred amps each;
    a fuse beyond its capacity bursts and feeds the arc with its own metal.

    Raised by:
        fuse.rating = "50 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"
        fuse.breaking_capacity = "500 A"

    Silenced by:
        fuse.breaking_capacity = "10000 A"

    Where it does not hold: in the first milliseconds cells give more than by the resistance of the first second, up to
    twice; leave room.

    The limit is from: Ohm's law, and the fuse's sheet or the least of its class.
    """
    found = _planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.breaking_capacity,
        found.asked.at_pack,
        below(found.breaking_capacity, found.asked.at_pack),
        "A",
        lambda v, m: f"The fuse breaks {v:.0f} A; shorted, the pack gives {m:.0f} A.",
        _says("Use a class of fuse that breaks more: this one bursts."),
    )


@finding("fuse-not-at-pack", level="stop", source="common practice: within 20 cm of the pack")
def fuse_not_at_pack(evidence: Evidence) -> Verdict:
    """The fuse sits at the far end of the wire it should guard.

    To do: move it within 20 cm of the pack, before the wire reaches metal it can chafe on.

    What is compared: where ``fuse.at`` says it sits.

    How it comes about: what lies between pack and fuse nothing guards.

    Raised by:
        fuse.rating = "50 A"
        fuse.kind = "strip-bolted"
        fuse.max_voltage = "58 V"
        fuse.at = "elsewhere"

    Silenced by:
        fuse.at = "pack"

    Where it does not hold: a second fuse further on is fine, beside one at the pack.

    The limit is from: common practice; local codes come first.
    """
    found = _planned(evidence)
    if found is None:
        return NOT_HELD
    there = 1.0 if found.at == "pack" else 0.0
    return Verdict(
        there,
        1.0,
        there < 1.0,
        "-",
        _says("The fuse is not at the pack: nothing guards the wire that leads to it."),
        _says("Move it within 20 cm of the pack."),
    )


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
    found = _planned(evidence)
    if found is None or found.asked.wire is None:
        return NOT_HELD
    named = f"the {found.asked.wire.name} of the {found.asked.wire.chain}"
    return Verdict(
        found.rating,
        found.asked.carries,
        above(found.rating, found.asked.carries),
        "A",
        lambda v, m: "The fuse is one of {} A; {wire} carries {} A for long.".format(*apart(v, m, 0), wire=named),
        lambda v, m: f"Use a fuse of at most {m:.0f} A, if that carries the load, or a thicker wire.",
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
    found = _planned(evidence)
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
        _says("Use a smaller or quicker fuse, or a thicker wire."),
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
    found = _planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.rating,
        found.least_rating,
        below(found.rating, found.least_rating),
        "A",
        lambda v, m: "The fuse is one of {} A; the work wants one of {} A at the least.".format(*apart(v, m, 0)),
        _says("Use the next larger one that the wire allows."),
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
    found = _planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.start_strain,
        found.start_limit,
        above(found.start_strain, found.start_limit),
        "-",
        lambda v, m: f"A start takes {100.0 * v:.0f} % of what melts the fuse; {100.0 * m:.0f} % is what it may.",
        _says("Use a slower or a larger fuse, if the wire allows it, or lower the limit on battery current."),
    )


def _planned(evidence: Evidence) -> Fused | None:
    """Return the fuse that the file plans; None where it does not."""
    found = evidence.fused
    return found if found is not None and found.planned else None


def _proposal(found: Fused) -> str:
    if found.kind is None:
        return "Ask somebody licensed: no usual class of fuse holds these amps, volts and short circuit."
    amps, volts, broken = (_first(of) for of in (found.rating, found.asked.voltage, found.asked.at_pack))
    return (
        f"Put one of {amps:.0f} A within 20 cm of the pack, for at least {volts:.0f} V of direct current, that breaks "
        f"{broken:.0f} A or more."
    )


def _first(lanes: Lanes) -> float:
    return float(np.asarray(lanes, dtype=float).flat[0])


def _says(words: str) -> Words:
    return lambda v, m: words
