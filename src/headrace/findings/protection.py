"""What opens by itself at the wrong moment, what sparks, what cannot break, what melts?"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, Words, above, apart, finding, gravest, share_of
from headrace.machine.records import Lanes
from headrace.wiring.board import Strain

SPARK = 1.0  # J, from which on a spark pits contacts; common practice, no source
WHOSE = {True: "The board", False: "A board of the usual class"}


def _strains(evidence: Evidence, *kinds: str) -> list[Strain]:
    """Return what of some kinds is held against a board; nothing without one."""
    guard = evidence.guard
    return [] if guard is None else [one for one in guard.strains if one.what in kinds]


def _board(evidence: Evidence) -> str:
    board = evidence.machine.board
    return WHOSE[board is not None and board.planned]


def _says(words: str) -> Words:
    return lambda v, m: words


@finding("board-trips-on-inrush", level="caution", source="the board's short-circuit threshold and its delay")
def board_trips_on_inrush(evidence: Evidence) -> Verdict:
    """The board takes the rush into empty capacitors for a short circuit and opens.

    To do: a pre-charge: a resistor that fills the capacitors before the main contact closes. A bigger board is no cure:
    the rush is a hundred times what the work takes.

    What is compared: how long the rush is above the board's short-circuit amps, new and warm cells after a full charge,
    against the delay of that threshold; with a pre-charge, the rush that it leaves.

    How it comes about: an empty capacitor is a short circuit for some tens of microseconds, and its amps are the volts
    over the ohms of cells and leads. Large capacitors make it long enough for the board to see.

    Raised by:
        chains.blade.controller.capacitance = "10 mF"
        board.short_circuit = "300 A"
        board.short_circuit_delay = "100 us"

    Silenced by:
        pre_charge.resistance = "10 ohm"
        pre_charge.time = "1 s"

    Where it does not hold: the capacitors' own resistance and the leads' inductance, not counted, make the rush smaller.

    The limit is from: the board's sheet; where the file has no board, the usual one for these cells.
    """
    for one in _strains(evidence, "inrush"):
        amps = float(np.asarray(one.value).flat[0])
        return Verdict(
            one.lasts,
            one.delay,
            one.trips,
            "s",
            lambda v, m: (
                f"{_board(evidence)} opens when the pack is connected: {amps:.0f} A rush into the capacitors and are "
                f"above its short-circuit amps for {1e6 * v:.0f} µs; it waits {1e6 * m:.0f} µs."
            ),
            _says("Fit a pre-charge: a resistor that fills the capacitors first. A bigger board is no cure."),
        )
    return NOT_HELD


@finding("board-trips-at-start", level="caution", source="the board's peak amps and its delay")
def board_trips_at_start(evidence: Evidence) -> Verdict:
    """Starting the motor takes more amps for longer than the board bears.

    To do: a lower limit on the controller's battery side, or a slower ramp. A board for a higher peak only where the
    cells' own peak allows it.

    What is compared: the most amps from the source on the way to speed, on a full pack or on a cold and worn one,
    against the board's peak, where they last longer than its delay; and against its short-circuit amps.

    How it comes about: a motor at rest takes all that its limits let through. Boards bear some of that for a second;
    a heavy blade or a loaded cart takes longer.

    Raised by:
        board.continuous = "20 A"
        board.peak = "35 A"
        board.peak_delay = "100 ms"

    Silenced by:
        board.continuous = "60 A"
        board.peak = "120 A"

    Where it does not hold: a motor held fast, or a second start while it is still slow, may take it longer.

    The limit is from: the board's sheet; where the file has no board, the usual one for these cells.
    """
    return _gravest(
        [
            Verdict(
                one.value,
                one.limit,
                one.trips,
                "A",
                _starts(_board(evidence), one),
                _says("Lower the limit on battery current or let the controller ramp up slowly."),
            )
            for one in _strains(evidence, "start")
        ],
        lambda verdict: share_of(verdict.value, verdict.limit),
    )


def _starts(board: str, one: Strain) -> Words:
    lasts, delay = (float(np.asarray(time).flat[0]) for time in (one.lasts, one.delay))
    return lambda v, m: "{} opens while the {} starts: up to {} A, above {} A for {:.1f} s; it bears {:.1f} s.".format(
        board, one.chain, *apart(v, m, 0), lasts, delay
    )


@finding("board-trips-on-sag", level="caution", source="the board's lowest group voltage and its delay")
def board_trips_on_sag(evidence: Evidence) -> Verdict:
    """A start or the work pulls a group of cells below the board's lowest voltage, and it opens with charge left.

    To do: more cells in parallel, a lower limit on battery current, warmer cells, or a larger reserve. A bigger board is
    no cure: the volts are the cells'.

    What is compared: the lowest volts of a group, worn cells at the reserve on the coldest day, during a start and in
    work, against the board's lowest voltage, where they last longer than its delay.

    How it comes about: resistance doubles in the cold and grows with age; amps times ohms come off the volts of each
    group, and the board looks at volts, not at charge.

    Raised by:
        source.parallel = 3
        board.under_voltage = "2.8 V"
        board.under_voltage_delay = "100 ms"

    Silenced by:
        source.parallel = 12
        limits.ambient_cold = "15 °C"

    Where it does not hold: the weakest group sags deeper than the mean that is computed here.

    The limit is from: the board's sheet; where the file has no board, the lowest voltage of the cell.
    """
    return _gravest(
        [
            Verdict(
                one.value,
                one.limit,
                one.trips,
                "V",
                _sags(_board(evidence), one),
                _says("Add cells in parallel, lower the limit on battery current, or keep the cells warm."),
            )
            for one in _strains(evidence, "start-sag", "work-sag")
        ],
        lambda verdict: np.where(verdict.failing, 1.0, 0.0) - np.asarray(share_of(verdict.value, verdict.limit)),
    )


def _sags(board: str, one: Strain) -> Words:
    when = f"while the {one.chain} starts" if one.chain else "in the heaviest work"
    return lambda v, m: (
        "{} opens {} with worn cells on the coldest day, only the reserve left: a group falls to {} V, its lowest is "
        "{} V.".format(board, when, *apart(v, m, 2))
    )


@finding("board-too-small", level="caution", source="the board's continuous amps")
def board_too_small(evidence: Evidence) -> Verdict:
    """The hardest work takes more amps than the board carries for long.

    To do: a bigger board, where the cells can give those amps; lighter work or more volts where they cannot.

    What is compared: the amps of the hardest duty state, on a full pack or at the reserve, against the board's
    continuous amps.

    How it comes about: the number in a board's name is often its peak. Its transistors get hot in minutes and it opens,
    or it fails closed and guards nothing any more.

    Raised by:
        board.continuous = "15 A"

    Silenced by:
        board.continuous = "60 A"

    Where it does not hold: what the file has no board for is not judged; a board on a cooled plate carries more.

    The limit is from: the board's sheet.
    """
    board, source = evidence.machine.board, evidence.machine.source
    if board is None or not board.planned:
        return NOT_HELD
    one = _strains(evidence, "work")[0]
    cells = float(np.asarray(source.cell.continuous_current * source.parallel).flat[0])

    def action(value: float, limit: float) -> str:
        if cells < value:
            return f"A bigger board is no cure: the cells give {cells:.0f} A for long. Work lighter or add cells."
        return "Take a bigger board; the cells can give it."

    return Verdict(
        one.value,
        one.limit,
        above(one.value, one.limit),
        "A",
        lambda v, m: "The heaviest work takes {} A through the board; it carries {} A for long.".format(
            *apart(v, m, 0)
        ),
        action,
    )


@finding("no-pre-charge", level="caution", source="common practice: from about a joule on a spark pits contacts")
def no_pre_charge(evidence: Evidence) -> Verdict:
    """Connecting the pack makes a spark that eats its contacts.

    To do: a pre-charge: a resistor across the main contact that fills the capacitors before it closes.

    What is compared: half the capacitance of controllers and inverters times the square of the full pack's volts. As
    much as ends up in the capacitors is turned into heat at the contact.

    How it comes about: without anything in between a plug or a contactor closes on empty capacitors. The spark melts
    metal, and a contactor that welds cannot be opened in an emergency.

    Raised by:
        chains.blade.controller.capacitance = "4 mF"

    Silenced by:
        pre_charge.resistance = "10 ohm"

    Where it does not hold: a controller that fills its capacitors softly, as some do, makes no spark.

    The limit is from: common practice; no source gives the joules.
    """
    guard = evidence.guard
    if guard is None or guard.inrush is None or guard.planned is not None:
        return NOT_HELD
    value = guard.inrush.energy
    found = guard.proposed
    what = "a resistor" if found is None else f"{float(np.asarray(found.resistance).flat[0]):.0f} Ω"
    return Verdict(
        value,
        SPARK,
        above(value, SPARK),
        "J",
        lambda v, m: "Connecting a full pack makes a spark of {} J; from {} J on it pits contacts.".format(
            *apart(v, m)
        ),
        _says(f"Fill the capacitors through {what} before the main contact closes."),
    )


@finding("pre-charge-resistor-burns", level="caution", source="watts on the resistor's plate")
def pre_charge_resistor_burns(evidence: Evidence) -> Verdict:
    """The pre-charge resistor is given more than it stands.

    To do: a resistor for more watts or of more ohms, and something that takes it off after a second or two if the main
    contact has not closed.

    What is compared: where nothing takes it off, the watts it has for good with the load started behind it, or shorted,
    against its plate; where something does, the joules of that fault within its time against what it takes in one go.

    How it comes about: in good order it is warm for a moment. When the main contact fails to close, or the controller
    starts at once, it has the whole voltage for as long as somebody holds the button, and glows.

    Raised by:
        pre_charge.resistance = "10 ohm"
        pre_charge.power = "10 W"

    Silenced by:
        pre_charge.times_out = true
        pre_charge.power = "25 W"
        pre_charge.time = "1 s"

    Where it does not hold: fuses in series with the resistor are not counted; a resistor without watts in the file is
    not judged.

    The limit is from: the resistor's plate; what it takes in one go is that of wire-wound ones, from memory.
    """
    guard, plan = evidence.guard, evidence.machine.pre_charge
    if guard is None or guard.planned is None or plan is None or np.all(np.isinf(plan.power)):
        return NOT_HELD
    value: Lanes = guard.planned.kept_on
    limit, unit, words = plan.power, "W", "has {} W for good if the load starts behind it; it stands {} W."
    if plan.times_out:
        value, limit, unit = value * plan.time, plan.power * plan.burst, "J"
        words = "has {} J to take if the load starts behind it; it stands {} J in one go."
    return Verdict(
        value,
        limit,
        above(value, limit),
        unit,
        lambda v, m: f"The pre-charge resistor {words.format(*apart(v, m, 0))}",
        _says("Take one for more watts, and let something take it off after a second if the main contact stays open."),
    )


@finding("switch-too-few-volts", level="stop", source="volts of direct current on the switch's plate")
def switch_too_few_volts(evidence: Evidence) -> Verdict:
    """A switch for alternating current is to break a pack it cannot break.

    To do: a contactor or isolator with volts of direct current on its plate, above those of the full pack.

    What is compared: the voltage after a full charge against some thirty volts, up to which contacts for mains break
    direct current as well.

    How it comes about: alternating current is nothing a hundred times a second and the arc goes out by itself. Direct
    current keeps it burning; the switch is off, the current goes on, and the switch burns.

    Raised by:
        chains.blade.lugs.of = "isolator"
        chains.blade.lugs.alternating = true

    Silenced by:
        chains.blade.lugs.alternating = false

    Where it does not hold: switches that give their volts of direct current are judged with all other parts.

    The limit is from: plates of small relays and switches, from memory.
    """
    guard = evidence.guard
    joints = () if guard is None else tuple(one for one in guard.switches.joints if one.alternating)
    full = evidence.full_voltage
    return _gravest(
        [
            Verdict(
                full,
                one.voltage,
                above(full, one.voltage),
                "V",
                _volts(one.link),
                _says("Take one with volts of direct current on its plate, above those of the full pack."),
            )
            for one in joints
        ],
        lambda verdict: share_of(verdict.value, verdict.limit),
    )


def _volts(name: str) -> Words:
    return lambda v, m: (
        "The {} is for alternating current; of direct current it breaks about {} V, and the full pack has {} V: the "
        "arc stands and it burns.".format(name, *apart(m, v, 0))
    )


@finding("plug-past-its-amps", level="stop", source="amps on the plug's plate, a fifth off for hours in a warm box")
def plug_past_its_amps(evidence: Evidence) -> Verdict:
    """A plug, lug or contact carries more amps than it may for hours, and melts.

    To do: a larger one, with the wire it is made for; then measure the millivolts across it at known amps, and look at
    it after the first day and each season: brown plastic means it is past its end.

    What is compared: root mean square of the chain's amps over the job, in the gravest corner, against the share of the
    printed rating that is used for hours.

    How it comes about: ratings are printed for new contacts in free air. Dirt and wear raise the resistance, the heat
    does the rest.

    Raised by:
        chains.blade.lugs.of = "plug"
        chains.blade.lugs.max_current = "15 A"

    Silenced by:
        chains.blade.lugs.max_current = "60 A"

    Where it does not hold: what gives no rating in the file is not judged.

    The limit is from: the plate; the share of it is common practice.
    """
    guard = evidence.guard
    joints = () if guard is None else tuple(o for o in guard.switches.joints if not np.all(np.isinf(o.rating)))
    return _gravest(
        [
            Verdict(
                one.current,
                one.usable,
                above(one.current, one.usable),
                "A",
                _melts(one.link),
                _says("Take a larger one with the wire it is made for."),
            )
            for one in joints
        ],
        lambda verdict: share_of(verdict.value, verdict.limit),
    )


def _melts(name: str) -> Words:
    return lambda v, m: "The {} carries {} A over the job (rms); for hours it should carry {} A.".format(
        name, *apart(v, m)
    )


def _gravest(verdicts: list[Verdict], strain: Callable[[Verdict], Lanes]) -> Verdict:
    return gravest(verdicts, [strain(verdict) for verdict in verdicts])
