"""Can what the builder has joined be served, closed without a spark, and is it all there?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, finding
from headrace.findings.joined import broken


@finding("wired-isolator", level="caution", source="common practice; local rules of lock-out come first")
def wired_isolator(evidence: Evidence) -> Verdict:
    """With the isolator open something stays fed.

    To do: put the isolator next behind the main fuse, and everything but the charge port behind it.

    What is compared: whether a tool, an auxiliary or a coil keeps both ends of the pack with every isolator open.

    How it comes about: whoever has the key in the pocket believes it dead and reaches in.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["fuse.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Where it does not hold: a plug that is pulled instead: name it as an isolator.

    The limit is from: common practice; local rules of lock-out come first.
    """  # noqa: E501 - a list of the file is one line
    return broken(
        evidence,
        "not-isolated",
        "Put the isolator next behind the main fuse, and everything but the charge port behind it.",
    )


@finding(
    "wired-no-pre-charge",
    level="caution",
    source="common practice: a resistor with its own contact across the main one",
)
def wired_no_pre_charge(evidence: Evidence) -> Verdict:
    """The contactor closes on empty capacitors, or the resistor never lets go.

    To do: a resistor and a relay's contact in series from one side of the main contact to the other, the relay's coil
    behind emergency stop and held control.

    What is compared: whether in and out of each contactor are connected through a resistor while it is open, never
    without one, and not with the pre-charge's own contact open.

    How it comes about: the contactor welds; or, where the resistor always conducts, the machine is never dead.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["contactor.coil-minus", "pack.minus"], ["contactor.in", "pre-charge relay.in"], ["pre-charge relay.out", "pre-charge resistor.in"], ["pre-charge resistor.out", "contactor.out"], ["held control.out", "pre-charge relay.coil-plus"], ["pre-charge relay.coil-minus", "pack.minus"], ["held control.out", "delay relay.coil-plus"], ["delay relay.coil-minus", "pack.minus"], ["held control.out", "delay relay.in"], ["delay relay.out", "contactor.coil-plus"]]

    Where it does not hold: controllers that fill their capacitors softly, and machines without any.

    The limit is from: common practice.
    """  # noqa: E501 - a list of the file is one line
    return broken(
        evidence,
        "no-pre-charge",
        "Put a resistor and a relay's contact in series across the main contact, its coil behind both controls.",
    )


@finding("wired-left-open", level="caution", source="every terminal has its wire")
def wired_left_open(evidence: Evidence) -> Verdict:
    """A terminal that belongs to a wire has none.

    To do: join it, or leave its part out of the file; then read the netlist in results.json beside it.

    What is compared: every terminal of the parts that are named, and of the pin count of a sense plug that is
    given, against the wires.

    How it comes about: a coil with one wire never pulls in, a board without its load end guards nothing, and a
    loose live wire finds metal.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"], ["fuse.out", "charge fuse.in"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["contactor.coil-minus", "pack.minus"], ["contactor.in", "pre-charge relay.in"], ["pre-charge relay.out", "pre-charge resistor.in"], ["pre-charge resistor.out", "contactor.out"], ["held control.out", "pre-charge relay.coil-plus"], ["pre-charge relay.coil-minus", "pack.minus"], ["held control.out", "delay relay.coil-plus"], ["delay relay.coil-minus", "pack.minus"], ["held control.out", "delay relay.in"], ["delay relay.out", "contactor.coil-plus"], ["blade controller.motor-a", "blade motor.a"], ["blade controller.motor-b", "blade motor.b"]]

    Where it does not hold: parts that are not named are not missed.

    The limit is from: every terminal has its wire.
    """  # noqa: E501 - a list of the file is one line
    return broken(evidence, "left-open", "Join it, or leave its part out.")


@finding("wired-twice", level="note", source="no wire is there twice")
def wired_twice(evidence: Evidence) -> Verdict:
    """A wire is in the list twice, or leads back to where it comes from.

    To do: strike it; a second wire in parallel is a cable of twice the metal.

    What is compared: the two ends of each wire against those of every other.

    How it comes about: usually another terminal was meant, and that one is open.

    Raised by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"], ["fuse.in", "pack.plus"]]

    Silenced by:
        wiring.joins = [["pack.plus", "fuse.in"], ["fuse.out", "isolator.in"], ["isolator.out", "contactor.in"], ["contactor.out", "blade controller.plus"], ["pack.minus", "blade controller.minus"], ["isolator.out", "emergency stop.in"], ["emergency stop.out", "held control.in"], ["held control.out", "contactor.coil-plus"], ["contactor.coil-minus", "pack.minus"]]

    Where it does not hold: nothing else is known to be.

    The limit is from: no wire is there twice.
    """  # noqa: E501 - a list of the file is one line
    return broken(evidence, "joined-twice", "Strike it, or put the terminal that was meant.")
