"""Does a wire get too hot, or leave too little for what hangs on it?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, apart, finding, gravest, share_of
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
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


def _heat(wire: Conductor) -> Verdict:
    return Verdict(
        wire.heating,
        wire.carries,
        above(wire.heating, wire.carries),
        "A",
        lambda v, m: "The {} is as hot as {} A make it for long; its size bears {} A.".format(
            _name(wire), *apart(v, m)
        ),
        lambda v, m: _thicker(wire),
    )


def _drop(wire: Conductor, most: Lanes) -> Verdict:
    return Verdict(
        wire.drop_share,
        most,
        above(wire.drop_share, most),
        "-",
        lambda v, m: "The {} takes {} % of the volts in the hardest work; {} % is what it may.".format(
            _name(wire), *apart(100.0 * v, 100.0 * m)
        ),
        lambda v, m: _thicker(wire),
    )


def _name(wire: Conductor) -> str:
    named = wire.name if wire.name.endswith(("cable", "cord", "lead", "leads")) else f"{wire.name} cable"
    return (
        f"{named} on the {wire.side}'s side of the {wire.chain}"
        if wire.side != "feed"
        else f"{named} of the {wire.chain}"
    )


def _thicker(wire: Conductor) -> str:
    """Return what to do, with the size the typical machine needs."""
    if wire.decided == "none":
        return "No size of the table does: shorten it, or lay two in parallel, each with a fuse of its own."
    return f"Use {1e6 * float(first_number(wire.needed)):.3g} mm² or more (gauge {wire.gauge})."
