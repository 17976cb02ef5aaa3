"""Is what the builder has joined safe? What burns, and what goes on turning when it is let go."""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, finding
from headrace.machine.works import Blade
from headrace.physics.working import leaves
from headrace.wiring.built import built
from headrace.wiring.cuts import SENSE_WIRE
from headrace.wiring.rules import RULES


def broken(evidence: Evidence, rule: str, action: str, *, joins: bool = True, parts: tuple[str, ...] = ()) -> Verdict:
    """Return what one rule says of what the file has joined; against nothing where the file does not say.

    Parameters
    ----------
    evidence
        Of the machine.
    rule
        Of ``wiring.rules``.
    action
        What to do about it.
    joins
        Whether the rule needs to know every wire, not the order of the sense plug alone.
    parts
        Against which it is raised; none where it is the wiring as a whole.
    """
    said, found = evidence.machine.wiring, built(evidence.machine)
    if found is None or said is None or (joins and not said.joins):
        return NOT_HELD
    faults = list(RULES[rule](found))
    count: float = leaves(float(len(faults)), "search", "wires or parts that break the rule")
    sentence = f"As the file has it joined, {'; '.join(faults)}."
    return Verdict(count, 0.0, above(count, 0.0), "-", lambda v, m: sentence, lambda v, m: action, parts=parts)


@finding(
    "wired-unfused", level="stop", source="common practice: one fuse within 20 cm of the pack, before everything else"
)
def wired_unfused(evidence: Evidence) -> Verdict:
    """The plus of the pack, or of the charge port, meets something else than a fuse.

    To do: join the plus of the pack to the main fuse and to nothing else, within 20 cm; the charge port behind a
    fuse of its own.

    What is compared: which terminals a wire joins to the plus of a source, against those of fuses.

    How it comes about: a wire that chafes through before the fuse is fed by the whole pack, and nothing but the
    cells limits its amps.

    Raised by:
        wiring.joins = [["pack.plus", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Where it does not hold: a fuse inside a ready-made pack; name it in the wiring.

    The limit is from: common practice.
    """  # noqa: E501 - a list of the file is one line
    return broken(evidence, "unfused", "Put the main fuse at the pack's plus, before everything else.")


@finding("wired-turned-round", level="stop", source="plus meets plus")
def wired_turned_round(evidence: Evidence) -> Verdict:
    """Plus and minus are connected, or a part is the wrong way round.

    To do: do not put the fuse in; trace plus and minus with a meter on ohms and turn the part round.

    What is compared: every terminal of the plus side against every one of the minus side that wires, fuses,
    switches and resistors connect it with.

    How it comes about: controllers and inverters conduct backwards: their capacitors burst and their transistors
    short at the first touch.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.minus"], ["pack.minus", "blade controller.plus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Where it does not hold: a motor's own leads may be swapped to turn it the other way; they are not looked at.

    The limit is from: plus meets plus.
    """  # noqa: E501 - a list of the file is one line
    return broken(
        evidence, "turned-round", "Do not put the fuse in; trace both sides with a meter and turn the part round."
    )


@finding(
    "wired-past-held-control", level="stop", source="16 CFR 1205.5(a)(1) for mowing blades; common practice for others"
)
def wired_past_held_control(evidence: Evidence) -> Verdict:
    """The machine is not cut off when the held control is let go.

    To do: put the held control in series with the contactor's coil, and every controller and converter behind the
    contactor.

    What is compared: whether a coil or a tool keeps both ends of the pack with the held control open, and with the
    contactor open.

    How it comes about: a second way past a switch, or a switch beside the coil instead of before it, and letting go
    stops nothing.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Where it does not hold: where the file plans no held control and no blade mows: ``no-held-control`` speaks of
    that. What a controller's own enable does is not seen.

    The limit is from: 16 CFR 1205.5(a)(1) for mowing blades; common practice for others.
    """  # noqa: E501 - a list of the file is one line
    machine = evidence.machine
    mows = any(isinstance(chain.work, Blade) for chain in machine.chains)
    if not (mows or machine.safety.dead_man):
        return NOT_HELD
    return broken(
        evidence,
        "not-let-go",
        "Put the held control in series with the contactor's coil, and every tool behind the contactor.",
    )


@finding(
    "wired-past-emergency-stop", level="stop", source="common practice: the emergency stop is in series with the coil"
)
def wired_past_emergency_stop(evidence: Evidence) -> Verdict:
    """The machine is not cut off by the emergency stop.

    To do: put the emergency stop in series with the contactor's coil, and every controller and converter behind the
    contactor.

    What is compared: whether a coil or a tool keeps both ends of the pack with the emergency stop open, and with
    the contactor open.

    How it comes about: the same as for the held control; and it is the one that somebody else reaches for.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Where it does not hold: a switch that breaks the full current of the pack itself; name it as an isolator and as
    a stop.

    The limit is from: common practice.
    """  # noqa: E501 - a list of the file is one line
    return broken(evidence, "not-stopped", "Put the emergency stop in series with the contactor's coil.")


@finding(
    "wired-through-pre-charge",
    level="stop",
    source="common practice: what lets go opens every way to the tool, that of the pre-charge as well",
)
def wired_through_pre_charge(evidence: Evidence) -> Verdict:
    """With the held control let go, or the emergency stop pressed, the pre-charge still feeds the tool.

    To do: put a relay's contact before the resistor, its coil behind emergency stop and held control; and let a second
    relay, which waits until the pre-charge is done, feed the contactor's coil.

    What is compared: whether a tool has both ends of the pack through a resistor while the held control, or the
    emergency stop, is open and every contactor and relay that has lost its coil with it. What a hand can close, as a
    push button, counts as closed.

    How it comes about: a push button with a resistor straight across the contactor. A controller that is awake turns
    its tool through some ohms: slowly, but with the fingers in it.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"], ["contactor.in", "pre-charge contact.in"], ["pre-charge contact.out", "pre-charge resistor.in"], ["pre-charge resistor.out", "contactor.out"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["contactor.coil-minus", "pack.minus"], ["contactor.in", "pre-charge relay.in"], ["pre-charge relay.out", "pre-charge resistor.in"], ["pre-charge resistor.out", "contactor.out"], ["held control.out", "pre-charge relay.coil-plus"], ["pre-charge relay.coil-minus", "pack.minus"], ["held control.out", "delay relay.coil-plus"], ["delay relay.coil-minus", "pack.minus"], ["held control.out", "delay relay.in"], ["delay relay.out", "contactor.coil-plus"]]

    Where it does not hold: a contact or a stop of a second pole, where the file calls it by another name. That a
    relay's contact has welded is not seen: try it with the meter, once a season.

    The limit is from: common practice.
    """  # noqa: E501 - a list of the file is one line
    return broken(
        evidence,
        "through-pre-charge",
        "Put a relay's contact before the resistor, and its coil behind emergency stop and held control.",
    )


@finding("wired-alternating", level="stop", source="plates of switches: volts of direct current are printed apart")
def wired_alternating(evidence: Evidence) -> Verdict:
    """A part for alternating current stands in what carries direct current.

    To do: take a part with volts of direct current on its plate; keep what an inverter gives apart from the pack's
    side.

    What is compared: terminals of alternating current, and parts that the file marks ``alternating``, against what
    is connected with plus or minus terminals.

    How it comes about: an arc of direct current does not go out by itself; and mains on the pack's side puts mains
    on the handle.

    Raised by:
        chains.blade.lugs.of = "isolator"
        chains.blade.lugs.alternating = true
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        chains.blade.lugs.alternating = false

    Where it does not hold: switches that give both kinds of volts.

    The limit is from: plates of switches.
    """  # noqa: E501 - a list of the file is one line
    return broken(evidence, "alternating", "Take a part made for direct current, and keep mains apart from the pack.")


@finding(
    "wired-sense-crossed", level="stop", source="each pin of the sense plug goes to the boundary of its own number"
)
def wired_sense_crossed(evidence: Evidence) -> Verdict:
    """Wires of the sense plug are swapped.

    To do: leave the plug out of the board; read each pin against the one before, and move the wires until each step
    is one cell.

    What is compared: the boundary that each pin goes to against the pin's own number, from the pack's minus up.

    How it comes about: two groups, or a group the wrong way round, between neighbouring pins burn the board, and it
    may burn the pack.

    Raised by:
        wiring.sense = [0, 2, 1, 3, 4, 5, 6, 7, 8, 9, 10]

    Silenced by:
        wiring.sense = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]

    Where it does not hold: boards whose plug counts from the plus: count from the minus all the same.

    The limit is from: each pin of the sense plug goes to the boundary of its own number.
    """
    return broken(
        evidence,
        "senses-crossed",
        "Leave the plug out of the board; read each pin against the one before and put the wires in order.",
        joins=False,
        parts=(SENSE_WIRE,),
    )
