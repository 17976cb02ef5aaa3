"""Can the machine hurt someone who lets go of it, or be hurt on charge?"""

from __future__ import annotations

import numpy as np

from headrace.drive.stopping import Brake
from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, below, finding

ZERO = 273.15  # K


@finding("blade-coasts", level="stop", source="16 CFR 1205.5(a)(1)(iii): the blade stops within 3.0 s of release")
def blade_coasts(evidence: Evidence) -> Verdict:
    """The blade turns too long after the control is released.

    To do: a resistor across the motor on release that works with the pack unplugged, or a mechanical brake; then
    measure the stopping time with a stopwatch and a marked blade, from a safe distance.

    What is compared: time from the fastest corner (full charge, no grass, warm magnets) to standstill, with friction
    and windage at their low ends, and with the brake the file plans if that works with the pack unplugged.

    How it comes about: a heavy blade on good bearings turns on for ten seconds. A foot or a hand is there sooner.

    Raised by:
        safety.brake_resistance = "20 ohm"

    Silenced by:
        safety.brake_resistance = "0.3 ohm"

    Where it does not hold: a mechanical brake is not modelled; measure its time.

    The limit is from: 16 CFR 1205.5(a)(1)(iii), 3.0 s, for walk-behind power mowers in the United States; elsewhere the
    local rule counts and comes first.
    """
    value = evidence.stop.time
    return Verdict(
        value,
        evidence.stop.limit,
        above(value, evidence.stop.limit),
        "s",
        lambda v, m: f"The blade turns on for {v:.1f} s after release; the limit is {m:.1f} s.",
        lambda v, m: _brake_words(evidence.stop.brake),
    )


def _brake_words(brake: Brake | None) -> str:
    if brake is None:
        return "No resistor across the motor stops it in time: take a mechanical brake or a lighter blade."
    return (
        f"A resistor of {brake.resistance:.2g} Ω across the motor on release stops it in {brake.time:.1f} s, "
        f"with {brake.peak_current:.0f} A at first and at most {brake.energy:.0f} J into the resistor; "
        "it must work with the pack unplugged, and the file must say so."
    )


@finding("dead-man-missing", level="stop", source="16 CFR 1205.5(a)(1): blade control that has to be held")
def dead_man_missing(evidence: Evidence) -> Verdict:
    """No control that has to be held for the blade to turn.

    To do: keep the engine's bail and let it open the controller's enable and close the brake.

    What is compared: whether the file says that a dead-man control is planned.

    How it comes about: an engine mower had one; a switch does not replace it. Let go must mean stop.

    Raised by:
        safety.dead_man = false

    Silenced by:
        safety.dead_man = true

    Where it does not hold: none for a walk-behind machine with a blade.

    The limit is from: 16 CFR 1205.5(a)(1); the local rule comes first.
    """
    planned = evidence.machine.safety.dead_man is True
    return Verdict(
        1.0 if planned else 0.0,
        1.0,
        np.full(evidence.shape, not planned),
        "-",
        lambda v, m: "No control is planned that stops the blade when it is let go.",
        lambda v, m: "Keep the bail on the handle; let it open the controller's enable and close the brake.",
    )


@finding("charged-below-freezing", level="stop", source="the cell's lowest charging temperature; common practice 0 °C")
def charged_below_freezing(evidence: Evidence) -> Verdict:
    """The cells will be charged colder than they may, and nothing refuses it.

    To do: charge indoors, or take a board that locks out charging in the cold; the cells' temperature counts, not the
    air's.

    What is compared: coldest temperature at which the cells are put on charge against the lowest they may be charged
    at.

    How it comes about: below freezing lithium plates onto the electrode; the cell loses capacity and can short later.

    Raised by:
        safety.charging.coldest = "-5 °C"
        safety.charging.cold_lock = false

    Silenced by:
        safety.charging.coldest = "10 °C"

    Where it does not hold: a board or charger that senses the cells' temperature and refuses (``cold_lock = true``).

    The limit is from: cell sheets; 0 °C is common practice, some sheets say more.
    """
    safety = evidence.machine.safety
    limit = evidence.machine.source.cell.charge_min_temperature
    value = safety.charging_cold
    return Verdict(
        value,
        limit,
        below(value, limit) & (not safety.charging_lock),
        "K",
        lambda v, m: (
            f"Cells at {v - ZERO:.0f} °C would be put on charge; below {m - ZERO:.0f} °C charging ruins them, "
            "and nothing refuses it."
        ),
        lambda v, m: "Charge indoors, or take a board that senses the cells and locks out charging in the cold.",
    )
