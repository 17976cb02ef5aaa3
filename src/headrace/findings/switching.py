"""What sparks when it closes, what cannot break when it opens, and what melts while it carries?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, Words, above, apart, below, finding, gravest, share_of
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.pack.transport import touch_limit

SPARK = 1.0  # J, from which on a spark pits contacts; common practice, no source


@finding("no-pre-charge", level="caution", source="common practice: from about a joule on a spark pits contacts")
def no_pre_charge(evidence: Evidence) -> Verdict:
    """Connecting the pack makes a spark that eats its contacts.

    To do: a pre-charge: a resistor across the main contact that fills the capacitors before it closes.

    What is compared: half the capacitance of controllers and inverters times the square of the full pack's volts. As
    much as ends up in the capacitors is turned into heat at the contact.

    How it comes about: without anything in between a plug or a contactor closes on empty capacitors. The spark melts
    metal, and a contactor that welds cannot be opened in an emergency.

    Raised by:
        chains.blade.controller.capacitance = "4 mF"

    Silenced by:
        pre_charge.resistance = "10 ohm"

    Where it does not hold: a controller that fills its capacitors softly, as some do, makes no spark.

    The limit is from: common practice; no source gives the joules.
    """
    guard = evidence.guard
    if guard is None or guard.inrush is None or guard.planned is not None:
        return NOT_HELD
    value = guard.inrush.energy
    found = guard.proposed
    what = "a resistor" if found is None else f"{first_number(found.resistance):.0f} Ω"
    return Verdict(
        value,
        SPARK,
        above(value, SPARK),
        "J",
        lambda v, m: "Connecting a full pack makes a spark of {} J; from {} J on it pits contacts.".format(
            *apart(v, m)
        ),
        _says(f"Fill the capacitors through {what} before the main contact closes."),
    )


@finding("pre-charge-falls-short", level="caution", source="common practice: contacts close on a few volts at most")
def pre_charge_falls_short(evidence: Evidence) -> Verdict:
    """The pre-charge leaves so many volts that the main contact still sparks.

    To do: a smaller resistor, or hold it longer; and keep loads off while it fills.

    What is compared: the volts left across the main contact when the pre-charge ends, and the step it may close on.

    How it comes about: a large resistor fills slowly, and what the electronics draw meanwhile holds it back for good:
    that current times its ohms never goes away. The contact then closes on the rest as if there were no pre-charge.

    Raised by:
        pre_charge.resistance = "470 ohm"
        pre_charge.power = "5 W"
        pre_charge.time = "0.1 s"

    Silenced by:
        pre_charge.resistance = "10 ohm"
        pre_charge.power = "50 W"
        pre_charge.time = "1 s"

    Where it does not hold: a controller that draws nothing until it is switched on lets a large resistor get there.

    The limit is from: common practice; no source gives the volts.
    """
    guard = evidence.guard
    if guard is None or guard.planned is None:
        return NOT_HELD
    value, limit = guard.planned.left, guard.planned.step
    return Verdict(
        value,
        limit,
        above(value, limit),
        "V",
        lambda v, m: "The pre-charge leaves {} V at the main contact; it may close on {} V.".format(*apart(v, m)),
        _says("Take a smaller resistor, or hold it for longer, with loads off meanwhile."),
    )


@finding("pre-charge-resistor-burns", level="caution", source="watts on the resistor's plate")
def pre_charge_resistor_burns(evidence: Evidence) -> Verdict:
    """The pre-charge resistor is given more than it stands.

    To do: a resistor for more watts or of more ohms, and something that takes it off after a second or two if the main
    contact has not closed.

    What is compared: where nothing takes it off, the watts it has for good with the load started behind it, or shorted,
    against its plate; where something does, the joules of that fault within its time against what it takes in one go.

    How it comes about: in good order it is warm for a moment. When the main contact fails to close, or the controller
    starts at once, it has the whole voltage for as long as somebody holds the button, and glows.

    Raised by:
        pre_charge.resistance = "10 ohm"
        pre_charge.power = "10 W"

    Silenced by:
        pre_charge.times_out = true
        pre_charge.power = "25 W"
        pre_charge.time = "1 s"

    Where it does not hold: fuses in series with the resistor are not counted; a resistor without watts in the file is
    not judged.

    The limit is from: the resistor's plate; what it takes in one go is that of wire-wound ones, from memory.
    """
    guard, plan = evidence.guard, evidence.machine.pre_charge
    if guard is None or guard.planned is None or plan is None or np.all(np.isinf(plan.power)):
        return NOT_HELD
    value: Lanes = guard.planned.kept_on
    limit, unit, words = plan.power, "W", "has {} W for good if the load starts behind it; it stands {} W."
    if plan.times_out:
        value, limit, unit = value * plan.time, plan.power * plan.burst, "J"
        words = "has {} J to take if the load starts behind it; it stands {} J in one go."
    return Verdict(
        value,
        limit,
        above(value, limit),
        unit,
        lambda v, m: f"The pre-charge resistor {words.format(*apart(v, m, 0))}",
        _says("Take one for more watts, and let something take it off after a second if the main contact stays open."),
    )


@finding("switch-too-few-volts", level="stop", source="volts of direct current on the switch's plate")
def switch_too_few_volts(evidence: Evidence) -> Verdict:
    """A switch for alternating current is to break a pack it cannot break.

    To do: a contactor or isolator with volts of direct current on its plate, above those of the full pack.

    What is compared: the voltage after a full charge against some thirty volts, up to which contacts for mains break
    direct current as well.

    How it comes about: alternating current is nothing a hundred times a second and the arc goes out by itself. Direct
    current keeps it burning; the switch is off, the current goes on, and the switch burns.

    Raised by:
        chains.blade.lugs.of = "isolator"
        chains.blade.lugs.alternating = true

    Silenced by:
        chains.blade.lugs.alternating = false

    Where it does not hold: switches that give their volts of direct current are judged with all other parts.

    The limit is from: plates of small relays and switches, from memory.
    """
    guard = evidence.guard
    joints = () if guard is None else tuple(one for one in guard.switches.joints if one.alternating)
    full = evidence.full_voltage
    verdicts = [
        Verdict(
            full,
            one.voltage,
            above(full, one.voltage),
            "V",
            _volts(one.link),
            _says("Take one with volts of direct current on its plate, above those of the full pack."),
            parts=(one.part,),
        )
        for one in joints
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _volts(name: str) -> Words:
    return lambda v, m: (
        "Made for alternating current, the {} can break about {} V of direct current, and the full pack has {} V: the "
        "arc stands and burns on.".format(name, *apart(m, v, 0))
    )


@finding("live-parts-to-guard", level="note", source="29 CFR 1910.303(g)(2)(i): live parts of 50 V or more are guarded")
def live_parts_to_guard(evidence: Evidence) -> Verdict:
    """The full pack has so many volts that live parts must be out of reach.

    To do: covers over terminals, lugs and sense wires, plugs with hooded pins, one hand behind the back at the bench;
    or fewer cells in series. On a wet lawn even 35 V are felt.

    What is compared: the voltage after a full charge against 50 V; further printed limits stand under ``facts.touch``
    in the record.

    How it comes about: a "48 V" pack stands at 54.6 V when full. What a touch does hangs on wet skin and on how much of
    it: the same pack that only tingles dry hands holds wet ones.

    Raised by:
        source.series = 13

    Silenced by:
        source.series = 10

    Where it does not hold: it is a rule for workplaces in the United States; other rules draw the line at 60 V dry and
    30 to 35 V wet. The local one counts.

    The limit is from: 29 CFR 1910.303(g)(2)(i), seen as quoted in a letter of interpretation of 4 September 2015.
    """
    if evidence.machine.source.endless:
        return NOT_HELD
    full, limit = evidence.full_voltage, touch_limit("guarded")
    return Verdict(
        full,
        limit,
        ~below(full, limit),
        "V",
        lambda v, m: "The full pack has {} V; from {} V on live parts are guarded.".format(*apart(v, m)),
        _says("Cover terminals, lugs and sense wires, take plugs with hooded pins, or fewer cells in series."),
    )


@finding("plug-past-its-amps", level="stop", source="amps on the plug's plate, a fifth off for hours in a warm box")
def plug_past_its_amps(evidence: Evidence) -> Verdict:
    """A plug, lug or contact carries more amps than it may for hours, and melts.

    To do: a larger one, with the wire it is made for; then measure the millivolts across it at known amps, and look at
    it after the first day and each season: brown plastic means it is past its end.

    What is compared: root mean square of the chain's amps over the job, in the gravest corner, against the share of the
    printed rating that is used for hours.

    How it comes about: ratings are printed for new contacts in free air. Dirt and wear raise the resistance, the heat
    does the rest.

    Raised by:
        chains.blade.lugs.of = "plug"
        chains.blade.lugs.max_current = "15 A"

    Silenced by:
        chains.blade.lugs.max_current = "60 A"

    Where it does not hold: what gives no rating in the file is not judged.

    The limit is from: the plate; the share of it is common practice.
    """
    guard = evidence.guard
    joints = () if guard is None else tuple(o for o in guard.switches.joints if not np.all(np.isinf(o.rating)))
    verdicts = [
        Verdict(
            one.current,
            one.usable,
            above(one.current, one.usable),
            "A",
            _melts(one.link),
            _says("Take a larger one with the wire it is made for."),
            parts=(one.part,),
        )
        for one in joints
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _melts(name: str) -> Words:
    return lambda v, m: "Over the job {0} A (rms) go through the {name}; for hours {1} A may.".format(
        *apart(v, m), name=name
    )


def _says(words: str) -> Words:
    return lambda v, m: words
