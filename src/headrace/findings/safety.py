"""Can the machine hurt someone who lets go of it, or be hurt on charge?"""

from __future__ import annotations

import numpy as np

from headrace.drive.links import parts
from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, below, finding
from headrace.findings.rest import Stopping
from headrace.machine.joins import BRAKE, BRAKE_RESISTOR, part_of, part_of_link
from headrace.machine.records import Chain
from headrace.machine.values import first_number
from headrace.machine.works import Blade

ZERO = 273.15  # K
YARDSTICK = 3.0  # s, a mower's blade


@finding("blade-coasts", level="stop", source="16 CFR 1205.5(a)(1)(iii): the blade stops within 3.0 s of release")
def blade_coasts(evidence: Evidence) -> Verdict:
    """The blade turns too long after the control is released.

    To do: a resistor across the motor on release that works with the pack unplugged, or a mechanical brake; then
    measure the stopping time with a stopwatch and a marked blade, from a safe distance.

    What is compared: time from the fastest corner (full charge, no grass, warm magnets) to standstill, with friction
    and windage at their low ends, and with the brake the file plans if that works with the pack unplugged.

    How it comes about: a heavy blade on good bearings runs on for ten seconds. A foot or a hand is there sooner.

    Raised by:
        safety.brake_resistance = "20 ohm"

    Silenced by:
        safety.brake_resistance = "0.3 ohm"

    Where it does not hold: a mechanical brake is not modelled; measure its time.

    The limit is from: 16 CFR 1205.5(a)(1)(iii), 3.0 s, for walk-behind power mowers in the United States; elsewhere the
    local rule counts and comes first.
    """
    value = evidence.stop.time
    if not np.isfinite(evidence.stop.limit):
        return NOT_HELD  # no rule for any of its tools
    return Verdict(
        value,
        evidence.stop.limit,
        above(value, evidence.stop.limit),
        "s",
        lambda v, m: "The blade runs on for {} s after release; the limit is {} s.".format(*apart(v, m)),
        lambda v, m: _brake_words(evidence.stop.longest),
        parts=_planned_brake(evidence),
    )


def _planned_brake(evidence: Evidence) -> tuple[str, ...]:
    """Return what the brake is made of that the file plans: contact and resistor, or the controller; none of none."""
    one = evidence.stop.longest
    if one is None or one.planned is None:
        return ()
    return parts_of_brake(next(chain for chain in evidence.machine.chains if chain.name == one.chain), one)


def parts_of_brake(chain: Chain, one: Stopping) -> tuple[str, ...]:
    """Return what brakes a chain on release: its controller, or a relay and a resistor."""
    if one.by_controller:
        return (part_of_link(chain.name, parts(chain).controller),)
    return tuple(part_of(one.chain, name) for name in (BRAKE, BRAKE_RESISTOR))


def _brake_words(one: Stopping | None) -> str:
    if one is None or one.proposed is None:
        why = "it needs a brake of its own" if one is None else one.reason
        return f"{why[0].upper()}{why[1:]}: a mechanical one, or less mass that turns."
    brake = one.proposed
    ohms, time, amps, heat = (
        first_number(number) for number in (brake.resistance, brake.time, brake.peak_current, brake.heat)
    )
    if one.by_controller:
        return (
            f"Its controller has to brake it on release as {ohms:.2g} Ω across the motor would: it stops in "
            f"{time:.1f} s, with {amps:.0f} A at first and {heat:.0f} J into the brake; it must work with the pack "
            "unplugged, and the file must say so."
        )
    return (
        f"A resistor of {ohms:.2g} Ω across the motor on release stops it in {time:.1f} s, "
        f"with {amps:.0f} A at first and {heat:.0f} J into the resistor; "
        "it must work unplugged, and the file must say so."
    )


@finding(
    "runs-on-after-release", level="caution", source="16 CFR 1205.5(a)(1)(iii), which is for mowers, as a yardstick"
)
def runs_on_after_release(evidence: Evidence) -> Verdict:
    """A tool that cuts, and is no mower, runs on for long after it is let go.

    To do: keep everybody off until it stands, guard it, or brake it: a resistor across the motor on release that works
    with the pack unplugged, or a mechanical brake.

    What is compared: time from the fastest corner (full charge, no load, warm magnets) to standstill, drag at the low
    ends of its bands, with the brake the file plans if that works with the pack unplugged, against a mower's 3 s.

    How it comes about: a disc, a saw blade or a flywheel holds its speed; without the engine's compression nothing
    slows it, and a silent motor does not tell that it still turns.

    Raised by:
        starter = "saw"
        chains.saw.work.inertia = "0.05 kg m²"

    Silenced by:
        chains.saw.work.inertia = "0.0005 kg m²"

    Where it does not hold: a mechanical brake is not modelled; measure its time. Mowers have a rule of their own,
    ``blade-coasts``.

    The limit is from: 16 CFR 1205.5(a)(1)(iii), 3.0 s, a rule for walk-behind power mowers taken as a yardstick; no
    rule for other tools is held here, and the local one comes first.
    """
    stop = evidence.stop
    if stop.longest is None or np.isfinite(stop.limit):
        return NOT_HELD
    tool = stop.longest.tool
    return Verdict(
        stop.time,
        YARDSTICK,
        above(stop.time, YARDSTICK),
        "s",
        lambda v, m: "The {} runs on for {} s after release; a mower's blade has to stand within {} s.".format(
            tool, *apart(v, m)
        ),
        lambda v, m: f"Keep everybody off until it stands, and guard it. {_brake_words(stop.longest)}",
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

    Where it does not hold: only for machines with a mowing blade; for others see ``no-held-control``.

    The limit is from: 16 CFR 1205.5(a)(1); the local rule comes first.
    """
    if not _mows(evidence):
        return NOT_HELD
    return _held_control(
        evidence,
        "No control is planned that stops the blade when it is let go.",
        "Keep the bail on the handle; let it open the controller's enable and close the brake.",
    )


@finding("no-held-control", level="caution", source="common practice, no source; local rules come first")
def no_held_control(evidence: Evidence) -> Verdict:
    """No control that has to be held for a tool other than a mowing blade to run.

    To do: a switch or lever that has to be held and that opens the controller's enable; where both hands are at the
    work, a pedal or a trip line.

    What is compared: whether the file says that a control that has to be held is planned, ``safety.dead_man``.

    How it comes about: whoever falls, is caught or steps away lets go; a switch that stays on goes on.

    Raised by:
        starter = "winch"
        safety.dead_man = false

    Silenced by:
        safety.dead_man = true

    Where it does not hold: a machine nobody stands at, behind a fixed guard; then an emergency stop within reach.

    The limit is from: common practice; the local rule comes first.
    """
    if _mows(evidence):
        return NOT_HELD
    tools = " and the ".join(chain.work.name for chain in evidence.machine.chains)
    mains = all(chain.alternating for chain in evidence.machine.chains)
    opens = "opens its feed" if mains else "opens the controller's enable"
    return _held_control(
        evidence,
        f"No control is planned that stops the {tools} when it is let go.",
        f"Take a switch or lever that has to be held and that {opens}.",
    )


def _mows(evidence: Evidence) -> bool:
    return any(isinstance(chain.work, Blade) for chain in evidence.machine.chains)


def _held_control(evidence: Evidence, says: str, action: str) -> Verdict:
    planned = evidence.machine.safety.dead_man is True
    failing = np.full(evidence.shape, not planned)
    return Verdict(1.0 if planned else 0.0, 1.0, failing, "-", lambda v, m: says, lambda v, m: action)


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
    if evidence.machine.source.endless:
        return NOT_HELD
    limit = evidence.machine.source.cell.charge_min_temperature
    value = safety.charging_cold
    return Verdict(
        value,
        limit,
        below(value, limit) & (not safety.charging_lock),
        "K",
        lambda v, m: (
            "Cells at {} °C would be put on charge; below {} °C charging ruins them, and nothing refuses it.".format(
                *apart(v - ZERO, m - ZERO, 0)
            )
        ),
        lambda v, m: "Charge indoors, or take a board that senses the cells and locks out charging in the cold.",
    )
