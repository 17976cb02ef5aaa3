"""Does it get going, and does that trip anything?"""

from __future__ import annotations

import numpy as np

from headrace.drive.links import parts
from headrace.findings.evidence import Evidence, Starting
from headrace.findings.finding import (
    Verdict,
    Words,
    apart,
    at_its_worst,
    below,
    by_source,
    finding,
    gravest,
    share_of,
)
from headrace.machine.records import Chain


@finding("cannot-start", level="stop", source="torque the limits let through against that of the load")
def cannot_start(evidence: Evidence) -> Verdict:
    """A chain does not get its load going.

    To do: a larger reduction, a higher limit on the motor's current, a stronger motor, or a lighter load to start with.

    What is compared: whether the motor has torque to spare at every speed from standstill to the one it then holds, on
    a full pack and, with worn cells on the coldest day, at the reserve. What cuts starts without work; what hauls,
    pumps or drives starts with its load on.

    How it comes about: a load that hangs on the rope, or stands on a slope, asks for its whole torque at once, and the
    controller's limit on motor current is all the torque there is.

    Raised by:
        starter = "winch"
        chains.winch.controller.motor_current = "6 A"

    Silenced by:
        chains.winch.controller.motor_current = "60 A"

    Where it does not hold: friction of rest, which is more than that of motion, is not counted; a second try may help.

    The limit is from: the balance of torques.
    """
    failing = [~np.asarray(one.full.starts & one.empty.starts) for one in evidence.starts]
    verdicts = [
        Verdict(
            np.where(fails, 0.0, 1.0),
            1.0,
            fails,
            "-",
            _says(f"Nothing here gets the {_what(evidence, place)} going under its load."),
            _says("Gear it down further, raise the limit on the motor's current, or start it with less on."),
        )
        for place, fails in enumerate(failing)
    ]
    return gravest(verdicts, [np.where(fails, 1.0, 0.0) for fails in failing])


@finding("trips-at-start", level="caution", source="the cut-out against the volts during a start")
def trips_at_start(evidence: Evidence) -> Verdict:
    """Starting pulls the volts below the controller's cut-out.

    To do: a lower limit on battery current, a slower ramp where the controller has one, more cells in parallel, or
    starting before the pack is nearly empty.

    What is compared: lowest voltage at the controller on the way to speed, with all the current its limits let through,
    against its cut-out, worn cells on the coldest day at the reserve.

    How it comes about: a start takes the limit's amps, several times those of work, for a second; a cold and worn pack
    sags under them, the controller opens, and the machine seems dead.

    Raised by:
        source.parallel = 2
        limits.ambient_cold = "-5 °C"

    Silenced by:
        source.parallel = 10
        limits.ambient_cold = "15 °C"

    Where it does not hold: a controller that ramps up slowly, or that takes less as its volts fall, does not trip.

    The limit is from: the controller's setting.
    """
    pairs = zip(evidence.starts, evidence.machine.chains, strict=True)
    verdicts = [_tripping(evidence, one, chain) for one, chain in pairs]
    return gravest(verdicts, [-np.asarray(share_of(verdict.value, verdict.limit)) for verdict in verdicts])


def _tripping(evidence: Evidence, one: Starting, chain: Chain) -> Verdict:
    row = parts(chain)
    cut_out, value = row.cut_out, one.empty.bus_voltage
    what = "controller" if row.converter is None else row.converter.kind
    cells = "add cells in parallel" if row.converter is None else "add batteries in parallel"
    amps = by_source(evidence, "battery", "supply")
    more = by_source(evidence, cells, "take a source that lets more through")
    return Verdict(
        value,
        cut_out,
        below(value, cut_out) & one.empty.starts,
        "V",
        lambda v, m: "{} a start takes the {} down to {} V; it cuts out at {} V.".format(
            at_its_worst(evidence), what, *apart(v, m)
        ),
        _says(
            f"Lower the limit on {amps} current, let the controller ramp up slowly, or {more}."
            if row.converter is None
            else f"Start softly or without load, shorten or thicken the leads, or {more}."
        ),
    )


def _what(evidence: Evidence, place: int) -> str:
    return evidence.machine.chains[place].work.name


def _says(words: str) -> Words:
    return lambda v, m: words
