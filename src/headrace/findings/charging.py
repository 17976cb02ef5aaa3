"""Does the charger go with the pack?"""

from __future__ import annotations

import numpy as np

from headrace.findings.evidence import Evidence
from headrace.findings.finding import NOT_HELD, Verdict, above, apart, below, finding
from headrace.machine.charger import Charger
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.pack.charging import cold_limit, warmest_charge
from headrace.pack.source import HALF_FULL, open_voltage

ZERO = 273.15  # K
SPREAD = 0.005  # of the voltage, that a charger may be off and a cell's sheet allows


@finding(
    "charger-too-high", level="stop", source="the cell's full voltage times cells in series; its sheet comes first"
)
def charger_too_high(evidence: Evidence) -> Verdict:
    """The charger goes on to a higher voltage than the pack's cells may have.

    To do: take a charger for this chemistry and this number of cells in series; do not rely on the board to cut it off.

    What is compared: voltage the charger holds at the end against full voltage of a cell times cells in series, and
    half a per cent.

    How it comes about: a charger for one cell more, or for another chemistry, fits the same plug. Overcharged lithium
    cells vent and burn; lead-acid gases hydrogen and dries out.

    Raised by:
        charger.voltage = "46.2 V"

    Silenced by:
        charger.voltage = "42 V"

    Where it does not hold: a charger that is set by the pack itself over a data line.

    The limit is from: the cell's sheet.
    """
    charger = _planned(evidence)
    if charger is None:
        return NOT_HELD
    value, limit = charger.voltage, evidence.full_voltage
    return Verdict(
        value,
        limit,
        above(value, np.asarray(limit) * (1.0 + SPREAD)),
        "V",
        lambda v, m: "The charger goes up to {} V; this pack is full at {} V.".format(*apart(v, m)),
        lambda v, m: f"Do not plug it in. Take a charger for {m:.1f} V and this chemistry.",
        parts=("charger",),
    )


@finding("charger-wrong-chemistry", level="stop", source="the cell's sheet; a charger is made for one chemistry")
def charger_wrong_chemistry(evidence: Evidence) -> Verdict:
    """The charger is made for another chemistry than the pack's.

    To do: take a charger whose plate names the chemistry of the cells and their number in series.

    What is compared: ``charger.chemistry`` against the chemistry of the cell.

    How it comes about: a lead-acid charger pulses and floats; a charger for nickel-rich lithium goes to 4.2 V a cell
    where iron phosphate ends at 3.65 V. The number of volts on the plate can be the same.

    Raised by:
        charger.chemistry = "lead-acid"

    Silenced by:
        charger.chemistry = "NMC"

    Where it does not hold: a charger with a switch for the chemistry: write the one it is set to.

    The limit is from: the cell's sheet.
    """
    charger = _planned(evidence)
    if charger is None or not charger.chemistry:
        return NOT_HELD
    chemistry = evidence.machine.source.cell.chemistry
    return Verdict(
        1.0,
        0.0,
        np.full(evidence.shape, charger.chemistry != chemistry),
        "-",
        lambda v, m: f"The charger is for {charger.chemistry}; the cells are {chemistry}.",
        lambda v, m: f"Do not plug it in. Take a charger whose plate says {chemistry} and this number of cells.",
        parts=("charger",),
    )


@finding("charger-too-fast", level="stop", source="the cell's greatest charging current, as the file or its sheet says")
def charger_too_fast(evidence: Evidence) -> Verdict:
    """The charger drives more current into the cells than their sheet allows.

    To do: a charger of less current, or one that can be set down.

    What is compared: the charger's current against the charging current of a cell, as the file gives it, times cells in
    parallel.

    How it comes about: above its limit a lithium cell plates metal onto its electrode even when warm; it loses capacity
    and can short inside later.

    Raised by:
        source.cell.charge_current = "2.5 A"
        charger.current = "25 A"

    Silenced by:
        charger.current = "10 A"

    Where it does not hold: a cell whose limit the file does not give is judged by ``charger-fast``.

    The limit is from: the cell's sheet.
    """
    return _current(evidence, assumed=False)


@finding("charger-fast", level="caution", source="common practice, no source: half the capacity in an hour")
def charger_fast(evidence: Evidence) -> Verdict:
    """The charger drives more current into the cells than is usual, and the file does not say what they take.

    To do: read the greatest charging current off the cell's sheet and write it down, or take a charger of less current.

    What is compared: the charger's current against the usual rate of the chemistry, times cells in parallel.

    How it comes about: energy cells take half their capacity in an hour, some a third, power cells all of it; the sheet
    says which.

    Raised by:
        charger.current = "30 A"

    Silenced by:
        charger.current = "10 A"

    Where it does not hold: a cell whose limit the file gives is judged by ``charger-too-fast``.

    The limit is from: common practice, no source.
    """
    return _current(evidence, assumed=True)


@finding(
    "charger-too-fast-in-the-cold", level="caution", source="common practice, no source: bands of charge_bands.csv"
)
def charger_too_fast_in_the_cold(evidence: Evidence) -> Verdict:
    """On the coldest day the charger drives more current into the cells than they take that cold.

    To do: bring the pack indoors until its cells are warm, charge it right after work, or turn the charger down.

    What is compared: the charger's current against what the cells take at the temperature they are put on charge at: a
    tenth of the capacity in an hour up to 5 °C, a quarter up to 10 °C, half up to 15 °C, their limit above.

    How it comes about: a board that locks out below freezing lets the whole current through at 1 °C, where cells plate
    at a fraction of it.

    Raised by:
        safety.charging.coldest = "3 °C"
        charger.current = "15 A"

    Silenced by:
        safety.charging.coldest = "18 °C"

    Where it does not hold: lead-acid and sodium cells; a charger or board that turns the current down in the cold.
    Below the lowest charging temperature see ``charged-below-freezing``.

    The limit is from: common practice; the cell's sheet comes first.
    """
    charger, source = _planned(evidence), evidence.machine.source
    if charger is None:
        return NOT_HELD
    value, limit = charger.current, source.parallel * cold_limit(source.cell, evidence.machine.safety.charging_cold)
    degrees = first_number(evidence.machine.safety.charging_cold) - ZERO
    return Verdict(
        value,
        limit,
        above(value, limit) & (np.asarray(limit) > 0.0),
        "A",
        lambda v, m: f"The charger drives {apart(v, m)[0]} A; cells at {degrees:.0f} °C take {apart(v, m)[1]} A.",
        lambda v, m: "Warm the pack up indoors first, charge it right after work, or turn the charger down.",
    )


@finding("charged-too-warm", level="caution", source="printed defaults of a charger circuit that feels the cells")
def charged_too_warm(evidence: Evidence) -> Verdict:
    """On the hottest day the cells get too warm to be put on charge straight after work.

    To do: let them cool in the shade first, or a charger or board that feels the cells and waits.

    What is compared: highest cell temperature over the job in the hottest weather, new or worn, against the end of the
    window in which a charger circuit charges at full volts, 45 °C.

    How it comes about: cells may work up to 60 °C and be charged only up to 45 °C; full and warm ages them most. A
    charger feels the air of the shed, not the middle of the pack.

    Raised by:
        limits.ambient_hot = "45 °C"

    Silenced by:
        limits.ambient_hot = "35 °C"

    Where it does not hold: lead-acid and sodium cells; packs that rest before they are charged. The cells
    may have been warmest well before the job was done.

    The limit is from: the printed defaults of one charger circuit; the cell's sheet comes first.
    """
    value, limit = evidence.days.hottest_cell, warmest_charge(evidence.machine.source)
    if limit is None:
        return NOT_HELD
    return Verdict(
        value,
        limit,
        above(value, limit),
        "K",
        lambda v, m: "On the hottest day the cells get up to {} °C; they are charged at up to {} °C.".format(
            *apart(v - ZERO, m - ZERO, 0)
        ),
        lambda v, m: "Let the pack cool in the shade before it is put on charge.",
    )


@finding("charger-too-low", level="caution", source="the cells' rest voltage at half charge")
def charger_too_low(evidence: Evidence) -> Verdict:
    """The charger's voltage does not even fill half of the pack.

    To do: take a charger for this number of cells in series.

    What is compared: voltage of the charger against the rest voltage of the pack half full.

    How it comes about: a charger for one cell less, or for a chemistry of fewer volts, charges for a while and stops.

    Raised by:
        charger.voltage = "36 V"

    Silenced by:
        charger.voltage = "42 V"

    Where it does not hold: nowhere; it is a plan that does no harm and little good.

    The limit is from: the cells' table of rest voltages.
    """
    charger = _planned(evidence)
    if charger is None:
        return NOT_HELD
    value, limit = charger.voltage, _half_full(evidence)
    return Verdict(
        value,
        limit,
        below(value, limit),
        "V",
        lambda v, m: "The charger ends at {} V; half full this pack stands at {} V already.".format(*apart(v, m)),
        lambda v, m: "Take a charger for this number of cells in series.",
    )


@finding("charger-below-full", level="note", source="the cell's full voltage times cells in series")
def charger_below_full(evidence: Evidence) -> Verdict:
    """The charger ends below the full voltage of the pack.

    To do: nothing, if that is meant: cells kept below full age slower; else a charger for the full voltage.

    What is compared: voltage of the charger against full voltage of a cell times cells in series, less half a per cent.

    How it comes about: a charger set lower, or made for cells of a lower full voltage. The minutes told elsewhere are
    those of a pack that is full.

    Raised by:
        charger.voltage = "41 V"

    Silenced by:
        charger.voltage = "42 V"

    Where it does not hold: below half full see ``charger-too-low``.

    The limit is from: the cell's sheet.
    """
    charger = _planned(evidence)
    if charger is None:
        return NOT_HELD
    value, limit = charger.voltage, evidence.full_voltage
    short = below(value, np.asarray(limit) * (1.0 - SPREAD)) & ~below(value, _half_full(evidence))
    return Verdict(
        value,
        limit,
        short,
        "V",
        lambda v, m: "The charger ends at {} V; full is {} V.".format(*apart(v, m)),
        lambda v, m: "Right if meant: cells live longer below full. The minutes told are those of a full pack.",
    )


def _planned(evidence: Evidence) -> Charger | None:
    """Return the charger that the file plans."""
    charger = evidence.machine.charger
    return charger if charger is not None and charger.planned else None


def _half_full(evidence: Evidence) -> Lanes:
    source = evidence.machine.source
    return source.series * open_voltage(source.cell, HALF_FULL)


def _current(evidence: Evidence, *, assumed: bool) -> Verdict:
    """Return the verdict on the charger's current, where what the cells take is as sure as asked."""
    charger, source = _planned(evidence), evidence.machine.source
    if charger is None:
        return NOT_HELD
    if (evidence.machine.pedigree["source.cell.charge_current"].basis == "assumed") is not assumed:
        return NOT_HELD
    value, limit = charger.current, source.parallel * source.cell.charge_current
    usual = "the usual limit" if assumed else "the cells' limit"
    return Verdict(
        value,
        limit,
        above(value, limit),
        "A",
        lambda v, m: f"The charger drives {apart(v, m)[0]} A; {usual} is {apart(v, m)[1]} A for the pack.",
        lambda v, m: (
            "Read the greatest charging current off the cell's sheet and write it down, or take less current."
            if assumed
            else "Take a charger of less current, or set it down."
        ),
        parts=("charger",),
    )
