"""Does a brake across the motor harm the motor?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, finding, gravest, share_of
from headrace.findings.rest import Stopping


@finding(
    "motor-harmed-by-brake", level="caution", source="the maker's limit; else 3 to 6 times the plate's current, memory"
)
def motor_harmed_by_brake(evidence: Evidence) -> Verdict:
    """The brake across the motor takes more amps at first than its magnets or brushes stand.

    To do: a larger resistor if it still stops in time, otherwise a mechanical brake; ask the maker what the motor
    stands.

    What is compared: current of the planned brake at release, full charge, no load, winding cold, against the motor's
    own limit; where the file gives none, three to six times the current of its plate.

    How it comes about: at full speed the motor's own volts are those of the pack, and only winding and resistor stand
    against them. Shorted outright it takes as much as held fast on all the volts there are: magnets lose their strength
    for good, brushes burn, gears and keys see many times their torque.

    Raised by:
        safety.brake_resistance = "0.05 ohm"
        safety.brake_works_unplugged = true

    Silenced by:
        safety.brake_resistance = "0.6 ohm"

    Where it does not hold: the inductance of the winding takes the edge off the first milliseconds.

    The limit is from: the maker where the file says it, ``most_current``; otherwise common practice, from memory.
    """
    verdicts = [_brakes(one) for one in evidence.stops]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _brakes(one: Stopping) -> Verdict:
    if one.planned is None or not np.any(np.isfinite(one.most_current)):
        return NOT_HELD
    amps, where = one.planned.peak_current, f"in the motor of {one.tool}"

    def says(v: float, m: float) -> str:
        taken, most = apart(v, m, 0)
        return f"The planned brake takes {taken} A at first {where}; more than {most} A may harm it."

    return Verdict(
        amps,
        one.most_current,
        above(amps, one.most_current),
        "A",
        says,
        lambda v, m: "Take a larger resistor if it still stops in time, otherwise a mechanical brake.",
    )
