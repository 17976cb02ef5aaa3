"""Is there a fuse, where is it, and can it break what the pack gives?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, Words, apart, below, finding
from headrace.machine.values import first_number
from headrace.wiring.fuse import Fused


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
        says("The file names no fuse: a wire that chafes through glows on all the pack can give."),
        says(_proposal(found)),
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
    found = planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.max_voltage,
        found.asked.voltage,
        below(found.max_voltage, found.asked.voltage),
        "V",
        lambda v, m: "The fuse breaks {} V of direct current; the full pack has {} V.".format(*apart(v, m)),
        says("Use one that has more volts of direct current printed on it: on this one an arc burns on."),
        parts=("fuse",),
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
    found = planned(evidence)
    if found is None:
        return NOT_HELD
    return Verdict(
        found.breaking_capacity,
        found.asked.at_pack,
        below(found.breaking_capacity, found.asked.at_pack),
        "A",
        lambda v, m: f"The fuse breaks {v:.0f} A; shorted, the pack gives {m:.0f} A.",
        says("Use a class of fuse that breaks more: this one bursts."),
        parts=("fuse",),
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
    found = planned(evidence)
    if found is None:
        return NOT_HELD
    there = 1.0 if found.at == "pack" else 0.0
    return Verdict(
        there,
        1.0,
        there < 1.0,
        "-",
        says("The fuse is not at the pack: nothing guards the wire that leads to it."),
        says("Move it within 20 cm of the pack."),
        parts=("fuse",),
    )


def planned(evidence: Evidence) -> Fused | None:
    """Return the fuse that the file plans; None where it does not."""
    found = evidence.fused
    return found if found is not None and found.planned else None


def _proposal(found: Fused) -> str:
    if found.kind is None:
        return "Ask somebody licensed: no usual class of fuse holds these amps, volts and short circuit."
    amps, volts, broken = (first_number(of) for of in (found.rating, found.asked.voltage, found.asked.at_pack))
    return (
        f"Put one of {amps:.0f} A within 20 cm of the pack, for at least {volts:.0f} V of direct current, that breaks "
        f"{broken:.0f} A or more."
    )


def says(words: str) -> Words:
    """Return words that are the same in every lane."""
    return lambda v, m: words
