"""Is any box, or the source itself, used past what it is made for?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.links import parts
from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, finding, gravest, share_of
from headrace.machine.joins import part_of_link
from headrace.machine.links import Converter
from headrace.machine.records import Lanes


@finding("converter-past-its-plate", level="caution", source="the converter's plate")
def converter_past_its_plate(evidence: Evidence) -> Verdict:
    """A converter puts out more than its plate says, for as long as the work lasts.

    To do: a larger converter, a smaller or better motor, or none of both: a motor that runs on the pack's own volts.

    What is compared: volt-amperes asked of the converter in the hardest duty state, full pack and warm motor, against
    the power on its plate.

    How it comes about: plates are read as watts, but windings take amps that do no work as well, and a motor in heavy
    work takes more than its own plate says.

    Raised by:
        starter = "corded"
        chains.mill.inverter.power = "600 W"

    Silenced by:
        chains.mill.inverter.power = "2500 W"

    Where it does not hold: some boxes carry more than their plate for minutes; they say how long.

    The limit is from: the converter's plate.
    """
    pairs = zip(evidence.machine.chains, evidence.corners.apparent, strict=True)
    verdicts = [_plate(parts(chain).converter, asked) for chain, asked in pairs]
    held = [verdict for verdict in verdicts if verdict is not NOT_HELD]
    return gravest(held, [share_of(verdict.value, verdict.limit) for verdict in held])


def _plate(box: Converter | None, asked: Lanes) -> Verdict:
    if box is None:
        return NOT_HELD
    return Verdict(
        asked,
        box.rated_power,
        above(asked, box.rated_power),
        "W",
        lambda v, m: "The {} is asked for {} VA in the hardest work; its plate says {} W.".format(
            box.kind, *apart(v, m, 0)
        ),
        lambda v, m: "Take a larger one, or a motor that needs none.",
    )


@finding("converter-trips-at-start", level="stop", source="surge rating of the converter's plate against the start")
def converter_trips_at_start(evidence: Evidence) -> Verdict:
    """Starting the motor asks more of the converter than it stands.

    To do: a converter made for the start of a motor, two to three times the motor's plate for one with brushes and
    three to five times for an induction motor; or a soft start.

    What is compared: the most volt-amperes on the way to speed, full pack, against the plate's power times its surge
    multiple; and the time above the plate's power against the time the surge is allowed.

    How it comes about: a motor at rest takes several times its current at work, and a surge on a plate is a matter of a
    second or less.

    Raised by:
        starter = "corded"
        chains.mill.inverter.power = "800 W"
        chains.mill.inverter.surge_multiple = "1.5"

    Silenced by:
        chains.mill.inverter.power = "4000 W"
        chains.mill.inverter.surge_multiple = "2.5"

    Where it does not hold: many boxes hold their volts back while they are overloaded instead of switching off; the
    motor then starts slower.

    The limit is from: the converter's plate.
    """
    pairs = zip(evidence.machine.chains, evidence.starts, strict=True)
    verdicts = []
    for chain, one in pairs:
        box = parts(chain).converter
        if box is not None:
            most, long = box.rated_power * box.surge_multiple, one.full.overloaded > box.surge_time
            verdict = _surge(box, one.full.apparent, most, long & one.full.starts)
            verdicts.append(replace(verdict, parts=(part_of_link(chain.name, box),)))
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _surge(box: Converter, asked: Lanes, most: Lanes, too_long: np.ndarray) -> Verdict:
    verdict = Verdict(
        asked,
        most,
        above(asked, most) | too_long,
        "W",
        lambda v, m: "",
        lambda v, m: "Take a converter made for the start of a motor, or start it softly.",
    )

    def says(value: float, limit: float) -> str:
        if value <= limit:
            return f"A start keeps the {box.kind} above its plate's power for longer than it allows."
        more, stands = apart(value, limit, 0)
        return f"A start asks {more} VA of the {box.kind}; it stands {stands} VA for a moment."

    return replace(verdict, says=says)


@finding("source-past-its-amps", level="stop", rejects_pack=True, source="the board or fuse of the source in the file")
def source_past_its_amps(evidence: Evidence) -> Verdict:
    """The work takes more amps than the source lets through for long.

    To do: lighter work, a motor on more volts, or a source that lets more through.

    What is compared: current of the source in the hardest duty state against what its board, its fuse or its breaker
    lets through for long.

    How it comes about: the same watts at half the volts are twice the amps, and a label's amps are those of the board
    inside, whatever the cells could give.

    Raised by:
        starter = "corded"
        source.current_limit = "30 A"

    Silenced by:
        source.current_limit = "250 A"

    Where it does not hold: for seconds boards, fuses and breakers carry more; ``trips-at-start`` looks at those.

    The limit is from: the label, or the fuse, as the file gives it.
    """
    limit = evidence.machine.source.current_limit
    if np.all(np.isinf(limit)):
        return NOT_HELD
    value = evidence.corners.peak_cell_current * evidence.machine.source.parallel
    return Verdict(
        value,
        limit,
        above(value, limit),
        "A",
        lambda v, m: "The hardest work takes {} A; the source lets {} A through for long.".format(*apart(v, m, 0)),
        lambda v, m: "Work lighter, take a motor on more volts, or a source that lets more through.",
        parts=("pack",),
    )
