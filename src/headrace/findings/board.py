"""Does the protection board open at the wrong moment? Each cause has its own time scale and its own cure."""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, Words, above, apart, finding, gravest, share_of
from headrace.machine.values import first_number
from headrace.wiring.board import Strain

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

    Where it does not hold: the capacitors' own resistance and the leads' inductance, not counted, lessen the rush.

    The limit is from: the board's sheet; where the file has no board, the usual one for these cells.
    """
    verdicts = [
        Verdict(
            one.lasts,
            one.delay,
            one.trips,
            "s",
            _rushes(_board(evidence), one),
            _says("Fit a pre-charge: a resistor that fills the capacitors first. A bigger board is no cure."),
        )
        for one in _strains(evidence, "inrush")
    ]
    return verdicts[0] if verdicts else NOT_HELD


def _rushes(board: str, one: Strain) -> Words:
    amps = first_number(one.value)
    return lambda v, m: (
        f"{board} opens when the pack is connected: {amps:.0f} A rush into the capacitors and stay above its "
        f"short-circuit amps for {1e6 * v:.0f} µs; it waits {1e6 * m:.0f} µs."
    )


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
    verdicts = [
        Verdict(
            one.value,
            one.limit,
            one.trips,
            "A",
            _starts(_board(evidence), one),
            _says("Lower the limit on battery current or let the controller ramp up slowly."),
        )
        for one in _strains(evidence, "start")
    ]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _starts(board: str, one: Strain) -> Words:
    lasts, delay = (first_number(time) for time in (one.lasts, one.delay))
    return lambda v, m: "{} opens while the {} starts: up to {} A, above {} A for {:.1f} s; it bears {:.1f} s.".format(
        board, one.chain, *apart(v, m, 0), lasts, delay
    )


@finding("board-trips-on-sag", level="caution", source="the board's lowest group voltage and its delay")
def board_trips_on_sag(evidence: Evidence) -> Verdict:
    """A start or the work pulls a group of cells below the board's lowest voltage, and it opens with charge left.

    To do: more cells in parallel, a lower limit on battery current, warmer cells, or a larger reserve. A bigger
    board is no cure: the volts are the cells'.

    What is compared: the lowest volts of the weakest group (``source.scatter``), worn cells at the reserve on the
    coldest day, during a start and in work, against the board's lowest voltage, where they last longer than its delay.

    How it comes about: resistance doubles in the cold and grows with age; amps times ohms come off the volts of each
    group, and the board looks at volts, not at charge.

    Raised by:
        source.parallel = 3
        board.under_voltage = "2.8 V"
        board.under_voltage_delay = "100 ms"

    Silenced by:
        source.parallel = 12
        limits.ambient_cold = "15 °C"

    Where it does not hold: groups that were never brought level differ by more than their cells do. The weakest is the
    one to expect: one pack in two has a weaker one.

    The limit is from: the board's sheet; where the file has no board, the lowest voltage of the cell.
    """
    verdicts = [
        Verdict(
            one.value,
            one.limit,
            one.trips,
            "V",
            _sags(_board(evidence), one),
            _says("Add cells in parallel, lower the limit on battery current, or keep the cells warm."),
        )
        for one in _strains(evidence, "start-sag", "work-sag")
    ]
    return gravest(
        verdicts,
        [
            np.where(verdict.failing, 1.0, 0.0) - np.asarray(share_of(verdict.value, verdict.limit))
            for verdict in verdicts
        ],
    )


def _sags(board: str, one: Strain) -> Words:
    when = f"while the {one.chain} starts" if one.chain else "in the heaviest work"
    return lambda v, m: (
        "{} opens {} with worn cells on the coldest day, only the reserve left: the weakest group falls to {} V, its "
        "lowest is {} V.".format(board, when, *apart(v, m, 2))
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
    cells = first_number(source.cell.continuous_current * source.parallel)

    small = f"A bigger board is no cure: the cells give {cells:.0f} A for long. Work lighter or add cells."

    return Verdict(
        one.value,
        one.limit,
        above(one.value, one.limit),
        "A",
        lambda v, m: "The heaviest work takes {} A through the board; it carries {} A for long.".format(
            *apart(v, m, 0)
        ),
        lambda v, m: small if cells < v else "Take a bigger board; the cells can give it.",
    )
