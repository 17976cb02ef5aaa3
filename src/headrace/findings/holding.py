"""What holds a machine on its slopes, or a load on its rope, once nobody holds it?"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from headrace.drive.descent import Runaway
from headrace.drive.links import parts
from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, finding, gravest, share_of
from headrace.findings.rest import Slope
from headrace.machine.joins import part_of_link
from headrace.machine.links import AnyMotor, Contacts, Controller
from headrace.machine.records import Chain
from headrace.machine.values import first_number
from headrace.machine.works import Winch

Rated = AnyMotor | Contacts | Controller  # what has volts that it bears


@finding("no-friction-brake", level="stop", source="balance of torques; common practice, local rules come first")
def no_friction_brake(evidence: Evidence) -> Verdict:
    """A slope or a load drives the machine, and no brake is planned that works with the pack unplugged.

    To do: a mechanical brake that closes by a spring or stays where a hand puts it, sized for the whole weight, and let
    the file say so, ``friction_brake = true`` in ``[safety]``.

    What is compared: torque of the weight on its slope at the tool's shaft, in the steepest state up or down, against
    none; whether the file says that such a brake is planned.

    How it comes about: a motor without power holds nothing. A board that opens, a plug that is pulled or a controller
    that trips on its volts takes away whatever it held, in the middle of the slope.

    Raised by:
        starter = "cart"
        safety.friction_brake = false

    Silenced by:
        safety.friction_brake = true

    Where it does not hold: only wheels and winches are looked at. A worm or a stiff gear may hold by itself, which
    ``held-by-friction`` says; shaking frees it, so that it is no brake.

    The limit is from: statics, and the practice of vehicles and hoists; the local rule comes first.
    """
    verdicts = []
    for one in evidence.slopes:
        weight = one.standing.weight_torque
        failing = (not evidence.machine.safety.friction_brake) & above(weight, 0.0)
        verdicts.append(Verdict(weight, 0.0, failing, "N·m", _pulls(one), _brake_words(one)))
    return gravest(verdicts, [verdict.value for verdict in verdicts])


def _pulls(one: Slope) -> Callable[[float, float], str]:
    return lambda v, m: (
        f"In {one.state} the weight pulls at the {one.tool} with {v:.0f} N·m, and without power no motor holds it."
    )


def _brake_words(one: Slope) -> Callable[[float, float], str]:
    return lambda v, m: (
        f"Fit a mechanical brake for all of {v:.0f} N·m at the {one.tool} that works unplugged, "
        "and try it on the flat first."
    )


@finding("runs-away-past-volts", level="stop", source="lowest rating of what sees the motor's volts")
def runs_away_past_volts(evidence: Evidence) -> Verdict:
    """Let go on its slope the machine turns its motor so fast that its volts go past what a part is rated for.

    To do: a mechanical brake that works unplugged; nothing electric helps once the volts are there.

    What is compared: volts of the motor at the speed at which drag alone ends the running away, on a slope without end,
    against the least rating of controller, contacts and motor; only where the file plans no friction brake.

    How it comes about: a motor with magnets makes volts by turning, switched on or not. Above the pack's they go
    backwards through the controller's switches into the pack, or, with the plug out, onto the controller alone.

    Raised by:
        starter = "cart"
        job.loaded, uphill.slope = "-10 °"
        safety.friction_brake = false

    Silenced by:
        safety.friction_brake = true

    Where it does not hold: a slope that ends before the machine is so fast.

    The limit is from: the sheets of the parts.
    """
    if evidence.machine.safety.friction_brake:
        return NOT_HELD
    verdicts = [_away(evidence, one, one.runaway) for one in evidence.slopes if one.runaway is not None]
    return gravest(verdicts, [np.where(np.isnan(verdict.value), 0.0, verdict.value) for verdict in verdicts])


def _away(evidence: Evidence, one: Slope, found: Runaway) -> Verdict:
    """Return the verdict on what a motor let go does to the part of its chain that bears the fewest volts."""

    def judged(link: Rated) -> Verdict:
        def says(v: float, m: float) -> str:
            volts = f"{v:.0f} V" if np.isfinite(v) else "more and more volts"
            made = f"Let go in {one.state} the motor of the {one.tool} makes {volts}"
            return f"{made}; the {link.name} may have {m:.0f} V at most."

        limit, words = link.max_voltage, "Fit a mechanical brake that works unplugged."
        failing = above(found.voltage, limit)
        part = part_of_link(one.chain, link)
        return Verdict(found.voltage, limit, failing, "V", says, lambda v, m: words, parts=(part,))

    return least_rated(evidence, one, judged)


@finding("hand-holds-the-load", level="stop", source="statics: on a capstan only the pull on the tail holds")
def hand_holds_the_load(evidence: Evidence) -> Verdict:
    """On a capstan nothing holds a load that moves by itself but the hand on the tail.

    To do: a cleat or a jaw that takes the tail, or a drum that winds the rope; never hoist over a capstan by hand.

    What is compared: torque of the load's weight on its slope at the drum, where friction does not hold it, against
    none.

    How it comes about: the brake of a drum holds the drum, and a capstan's rope slips on it as soon as the tail is let
    go. A hand that lets go drops the load.

    Raised by:
        starter = "winch"
        chains.winch.work.layer = 1
        chains.winch.work.laps = 3
        job.hauling.slope = "60 °"

    Silenced by:
        job.hauling.slope = "5 °"

    Where it does not hold: a capstan with a jaw that grips the tail by itself.

    The limit is from: statics.
    """
    verdicts = []
    for one in evidence.slopes:
        work = chain_of(evidence, one).work
        if isinstance(work, Winch) and np.all(np.asarray(work.laps) > 0.0):
            pulls = np.where(one.standing.holds, 0.0, one.standing.weight_torque)
            words = f"In {one.state} the load comes down by itself, and only the hand on the tail holds it."
            verdicts.append(
                Verdict(pulls, 0.0, above(pulls, 0.0), "N·m", _holds(words), _holds("Take a drum that winds the rope."))
            )
    return gravest(verdicts, [verdict.value for verdict in verdicts])


@finding("held-by-friction", level="note", source="efficiency of the stages driven backwards, 2 - 1/efficiency")
def held_by_friction(evidence: Evidence) -> Verdict:
    """A worm or another stage of low efficiency holds the load by itself, and passes nothing back.

    To do: count on it neither to hold nor to give back: fit a brake all the same.

    What is compared: share of the load's torque that the stages pass back to the motor, against none.

    How it comes about: driven from its output a stage loses as much torque as it does when driving. Where that is half
    or more of what it carries nothing is left: the load stays, and lowering it takes power from the motor.

    Raised by:
        starter = "cart"
        chains.axle.reduction.kind = "worm"
        chains.axle.reduction.lead_angle = "1.5 °"

    Silenced by:
        chains.axle.reduction.lead_angle = "25 °"

    Where it does not hold: friction falls with sliding and with oil, and shaking frees a worm that held at rest.

    The limit is from: equal friction torque in both directions, to first order.
    """
    verdicts = [
        Verdict(
            one.standing.passed_back,
            0.0,
            ~above(one.standing.passed_back, 0.0),
            "-",
            _holds(f"In {one.state} the drive of the {one.tool} passes nothing back: it holds by friction, at rest."),
            _holds("Fit a brake all the same: shaking and oil free what friction holds."),
        )
        for one in evidence.slopes
    ]
    return gravest(verdicts, [-np.asarray(verdict.value) for verdict in verdicts])


def _holds(words: str) -> Callable[[float, float], str]:
    return lambda v, m: words


def least_rated(evidence: Evidence, one: Slope, judged: Callable[[Rated], Verdict]) -> Verdict:
    """Return the verdict on the part that bears the fewest volts, of what sees those of a chain's motor or the pack's.

    Parameters
    ----------
    evidence
        Of the machine.
    one
        The slope, which says the chain.
    judged
        The verdict on one part.
    """
    row = parts(chain_of(evidence, one))
    leads = [link for link in (*row.motor_leads, *row.battery_leads) if isinstance(link, Contacts)]
    rated = [link for link in (row.controller, row.motor, *leads) if np.any(np.isfinite(link.max_voltage))]
    verdicts = [judged(link) for link in sorted(rated, key=lambda link: first_number(link.max_voltage))]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def chain_of(evidence: Evidence, one: Slope) -> Chain:
    """Return the chain that goes up or down a slope."""
    return next(chain for chain in evidence.machine.chains if chain.name == one.chain)
