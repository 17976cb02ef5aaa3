"""Does a wire get too hot, or leave too little for what hangs on it?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, apart, finding, gravest, share_of
from headrace.machine.joins import run_of
from headrace.machine.records import Lanes
from headrace.machine.values import first_number, is_known
from headrace.wiring.conductors import Conductor


@finding("wire-too-hot", level="stop", source="published ampacities of the table that the cable names")
def wire_too_hot(evidence: Evidence) -> Verdict:
    """A cable carries more than its size bears for long.

    To do: a thicker cable, insulation for a higher temperature, or less current.

    What is compared: the steady current that would make the cable as warm as the job does at its warmest instant, on a
    full pack or at the reserve, against the ampacity of its size in the hottest weather, by the table it names.

    How it comes about: heat goes with the square of the current, so a mean over the job hides the heavy minute; a thin
    wire is warm within that minute, a thick one only after several.

    Raised by:
        chains.blade.cable.area = "0.75 mm²"

    Silenced by:
        chains.blade.cable.area = "10 mm²"

    Where it does not hold: cables bundled with others that are loaded, coiled up, or lagged carry less than the table
    says; a size that stands in no table goes on a power between its neighbours, and beyond the last ones likewise.

    The limit is from: the standard whose table the cable names, seen second-hand but for the boats'; its own text and
    local codes count.
    """
    verdicts = [_heat(wire) for wire in evidence.laid]
    return gravest(verdicts, [share_of(v.value, v.limit) for v in verdicts])


@finding("wire-drops-too-much", level="caution", source="share of the volts a cable may take (limits.cable_drop)")
def wire_drops_too_much(evidence: Evidence) -> Verdict:
    """A cable takes more of the volts than it should.

    To do: a shorter or a thicker cable, or more volts and fewer amps for the same watts.

    What is compared: volts left in the cable, out and back, in the hardest state, over the nominal volts of what feeds
    it, against ``limits.cable_drop``, 3 % where the file does not say.

    How it comes about: both conductors count, and length is easily forgotten; at 12 V a share of 3 % is 0.36 V, which
    leads, lugs and a fuse can spend between them.

    Raised by:
        chains.blade.cable.length = "12 m"

    Silenced by:
        chains.blade.cable.length = "0.8 m"

    Where it does not hold: lugs, plugs and fuses stand on their own lines of the losses and are not counted here.

    The limit is from: a rule for boats' circuits that matter, and common practice elsewhere.
    """
    most = evidence.machine.limits.cable_drop
    verdicts = [_drop(wire, most) for wire in evidence.laid]
    return gravest(verdicts, [share_of(v.value, v.limit) for v in verdicts])


@finding(
    "limit-above-wire",
    level="caution",
    source="published ampacities of the table that the cable names; common practice against the controller's limit",
)
def limit_above_wire(evidence: Evidence) -> Verdict:
    """The controller lets more through to the motor than the motor's cable bears for long.

    To do: a thicker cable to the motor, or the controller's limit on the motor's amps set down.

    What is compared: the controller's limit on the motor's amps against the ampacity of the motor's cable in the
    hottest weather, by the table it names.

    How it comes about: a tool that is bogged down or held fast takes the limit for as long as somebody holds the
    control. The main fuse stands on the battery's side, where the amps are fewer, so it does not open.

    Raised by:
        chains.blade.links = [{kind = "dc-motor", shelf = "brushed-36v-medium"}, {kind = "cable", name = "motor cable", length = "0.6 m", area = "4 mm²"}, {kind = "controller", motor_current = "80 A", battery_current = "50 A", cut_out = "25 V", max_voltage = "60 V"}, {kind = "cable", length = "0.8 m", area = "10 mm²"}]

    Silenced by:
        chains.blade.links = [{kind = "dc-motor", shelf = "brushed-36v-medium"}, {kind = "cable", name = "motor cable", length = "0.6 m", area = "4 mm²"}, {kind = "controller", motor_current = "25 A", battery_current = "50 A", cut_out = "25 V", max_voltage = "60 V"}, {kind = "cable", length = "0.8 m", area = "10 mm²"}]

    Where it does not hold: a controller that lets its limit through for seconds only asks for less cable, and so does
    a motor that trips sooner; a cable that the file leaves out is proposed by this rule.

    The limit is from: the standard whose table the cable names, seen second-hand but for the boats'; that the limit
    counts for long is common practice, on the safe side.
    """  # noqa: E501 - a list of the file is one line
    verdicts = [_limit(wire) for wire in evidence.laid if wire.side == "motor" and is_known(wire.limit)]
    return gravest(verdicts, [share_of(v.value, v.limit) for v in verdicts])


def _limit(wire: Conductor) -> Verdict:
    def told(value: float, limit: float) -> str:
        most, bears = apart(value, limit)
        return f"The controller lets {most} A through; for long the {_name(wire)} may carry {bears} A."

    return Verdict(
        wire.limit,
        wire.carries,
        above(wire.limit, wire.carries),
        "A",
        told,
        lambda v, m: f"{_thicker(wire)} Or set the controller's motor_current down to {np.floor(m):.0f} A or less.",
    )


def _heat(wire: Conductor) -> Verdict:
    return Verdict(
        wire.heating,
        wire.carries,
        above(wire.heating, wire.carries),
        "A",
        lambda v, m: "The job makes the {name} as hot as {} A would for long; this size bears {} A.".format(
            *apart(v, m), name=_name(wire)
        ),
        lambda v, m: _thicker(wire),
        parts=(run_of(wire.chain, wire.side),),
    )


def _drop(wire: Conductor, most: Lanes) -> Verdict:
    return Verdict(
        wire.drop_share,
        most,
        above(wire.drop_share, most),
        "-",
        lambda v, m: "In the hardest work {} % of the volts are lost in the {name}; {} % may be.".format(
            *apart(100.0 * v, 100.0 * m), name=_name(wire)
        ),
        lambda v, m: _thicker(wire),
    )


def _name(wire: Conductor) -> str:
    named = wire.name if wire.name.endswith(("cable", "cord", "lead", "leads")) else f"{wire.name} cable"
    return f"{named} on the {run_of(wire.chain, wire.side)}"


def _thicker(wire: Conductor) -> str:
    """Return what to do, with the size the typical machine needs."""
    if wire.decided == "none":
        return "No size of the table does: shorten it, or lay two in parallel, each with a fuse of its own."
    return f"Use {1e6 * float(first_number(wire.needed)):.3g} mm² or more; of gauges {wire.gauge} does."
