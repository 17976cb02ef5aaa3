"""Is any part given too many volts, or left with too few?"""

from __future__ import annotations

import numpy as np

from headrace.drive.links import parts
from headrace.findings.evidence import Evidence
from headrace.findings.finding import (
    NOT_HELD,
    Verdict,
    above,
    apart,
    at_its_worst,
    below,
    by_source,
    finding,
    gravest,
    one_of,
    share_of,
)
from headrace.machine.joins import part_of_link
from headrace.machine.links import AnyMotor, Contacts, Controller, Converter, Link
from headrace.machine.records import Chain
from headrace.machine.values import first_number

CLOSE_TO = 0.01  # of the volts: a cut-out this near below the cells is at them
ASSUMED = " (its rating is assumed, the file gives none)"
Rated = AnyMotor | Controller | Contacts | Converter


@finding(
    "part-over-voltage",
    level="stop",
    rejects_pack=True,
    source="ratings in the machine file, held against the voltage after a full charge",
)
def part_over_voltage(evidence: Evidence) -> Verdict:
    """A part gets more volts than it is made for.

    To do: fewer cells in series, or parts for more volts.

    What is compared: the voltage after a full charge against the lowest voltage rating of any part it reaches.

    How it comes about: a "36 V" pack stands at 42 V when full, a "48 V" pack at 54.6 V. Capacitors, transistors and
    fuses are chosen by that number; a fuse above its voltage does not put out its arc.

    Raised by:
        source.series = 16

    Silenced by:
        source.series = 10

    Where it does not hold: none. Spikes of a regenerating brake come on top and are not counted here.

    The limit is from: each part's own rating.
    """
    verdicts = [_rated(evidence, chain, link) for chain, link in _ratings(evidence)]
    return gravest(verdicts, [share_of(verdict.value, verdict.limit) for verdict in verdicts])


def _at_source(chain: Chain) -> tuple[Link, ...]:
    """Return the links that see the source's own volts: those from the converter on, all where there is none."""
    converter = parts(chain).converter
    return chain.links if converter is None else chain.links[chain.links.index(converter) :]


def _ratings(evidence: Evidence) -> list[tuple[Chain, Rated]]:
    """Return the parts that see the source's volts with their chains, first those whose rating the file gives."""
    rated = [
        (chain, link) for chain in evidence.machine.chains for link in _at_source(chain) if isinstance(link, Rated)
    ]
    return sorted(rated, key=lambda one: _basis(evidence, *one))


def _rated(evidence: Evidence, chain: Chain, link: Rated) -> Verdict:
    """Return the verdict on one part, in words that name those of the same rating behind it."""
    value, limit = evidence.full_voltage, link.max_voltage
    stands = by_source(evidence, "After a full charge the pack stands", "The source stands")
    cure = by_source(evidence, "Take fewer cells in series", "Take a source of fewer volts")
    alike = [one for one in _ratings(evidence) if first_number(one[1].max_voltage) == first_number(limit)]
    told = [_told(evidence, *one) for one in sorted(alike, key=lambda one: one[1] is not link)]
    return Verdict(
        value,
        limit,
        above(value, limit),
        "V",
        lambda v, m: "{stands} at {} V; the {parts} may have {} V at most.".format(
            *apart(v, m), stands=stands, parts=" and the ".join(told)
        ),
        lambda v, m: f"{cure}, or parts for more volts.",
        parts=(part_of_link(chain.name, link),),
    )


def _told(evidence: Evidence, chain: Chain, link: Rated) -> str:
    """Return what a part is called, by its chain as well where there are several, and that its rating is assumed."""
    name = link.name if len(evidence.machine.chains) == 1 else part_of_link(chain.name, link)
    return f"{name}{_basis(evidence, chain, link)}"


def _basis(evidence: Evidence, chain: Chain, link: Rated) -> str:
    """Return that the rating of a part is assumed; "" of one that the file gives."""
    origin = evidence.machine.pedigree.get(f"chains.{chain.name}.{link.name}.max_voltage")
    return ASSUMED if origin is not None and origin.basis == "assumed" else ""


@finding("cut-out-below-cells", level="caution", source="the cell's lowest voltage, tables/cells.csv")
def cut_out_below_cells(evidence: Evidence) -> Verdict:
    """The controller goes on below the volts at which the cells are harmed, so that nothing it does protects them.

    To do: set the cut-out to the cells' lowest voltage times those in series, or count on a board that opens there, and
    know which of the two it is.

    What is compared: the highest cut-out of the file's controllers and converters against the lowest voltage of all
    cells in series.

    How it comes about: a cut-out is set for one pack and the pack is changed. Cells that are drawn empty again and
    again lose capacity for good, and some short inside.

    Raised by:
        chains.blade.controller.cut_out = "18 V"

    Silenced by:
        chains.blade.controller.cut_out = "28 V"

    Where it does not hold: a protection board on every group opens before; what the board of a ready-made pack does is
    on its label.

    The limit is from: the cells' sheet; generic cells carry the usual figure.
    """
    source = evidence.machine.source
    if source.endless or np.all(np.isfinite(np.asarray(source.current_limit))):
        return NOT_HELD
    value = np.max(np.broadcast_arrays(*(parts(chain).cut_out for chain in evidence.machine.chains)), axis=0)
    limit = source.series * source.cell.empty_voltage
    return Verdict(
        value,
        limit,
        below(value, limit * (1.0 - CLOSE_TO)),
        "V",
        lambda v, m: "The cut-out is at {} V, and the cells' lowest voltage, all in series, is {} V.".format(
            *apart(v, m)
        ),
        lambda v, m: f"Set the cut-out to {m:.1f} V or more, or make sure that a protection board opens there.",
    )


@finding(
    "cuts-out-under-load",
    level="stop",
    rejects_pack=True,
    source="the controller's cut-out in the machine file",
)
def cuts_out_under_load(evidence: Evidence) -> Verdict:
    """The controller switches off although charge is left.

    To do: more cells in parallel or in series, shorter or thicker cable, or a lower cut-out if the cells allow it.

    What is compared: lowest voltage at the controller when only the reserve is left, cells at end of life, in the usual
    and in the coldest weather, against its under-voltage cut-out.

    How it comes about: under load a pack sags, and cold or worn cells sag more. The machine stops with charge left in
    it.

    Raised by:
        chains.blade.controller.cut_out = "36 V"

    Silenced by:
        chains.blade.controller.cut_out = "18 V"

    Where it does not hold: many controllers let the cut-out be set.

    The limit is from: the controller's own cut-out.
    """
    verdicts = [_cut_out(evidence, chain) for chain in evidence.machine.chains]
    return gravest(verdicts, [verdict.limit for verdict in verdicts])


def _cut_out(evidence: Evidence, chain: Chain) -> Verdict:
    """Return the verdict on what cuts out in one chain."""
    row = parts(chain)
    box = row.controller if row.converter is None else row.converter
    what = "controller" if row.converter is None else row.converter.kind
    value, limit = evidence.corners.lowest_bus, row.cut_out
    cure = by_source(
        evidence,
        "Add cells in parallel (less sag) or in series (more volts); set the cut-out lower only where no cell is "
        "then pulled below its lowest voltage.",
        "Lose fewer volts on the way, set the cut-out lower, or take a source of more volts.",
    )
    return Verdict(
        value,
        limit,
        below(value, limit),
        "V",
        lambda v, m: "{} the {} sees {} V under load; it cuts out at {} V.".format(
            at_its_worst(evidence), what, *apart(v, m)
        ),
        lambda v, m: cure,
        parts=(part_of_link(chain.name, box),),
    )


@finding("cell-pulled-too-low", level="stop", rejects_pack=True, source="the cell's lowest voltage, tables/cells.csv")
def cell_pulled_too_low(evidence: Evidence) -> Verdict:
    """A cell is pulled below its lowest voltage while charge is left.

    To do: more cells in parallel, warmer cells, or a larger reserve.

    What is compared: lowest voltage of a cell under load when only the reserve is left, cells at end of life, in the
    usual and in the coldest weather.

    How it comes about: below its lowest voltage a cell is damaged, and a protection board switches the machine off
    there.

    Raised by:
        source.parallel = 1

    Silenced by:
        source.parallel = 5

    Where it does not hold: none.

    The limit is from: the cell's sheet; generic cells carry the usual figure for their kind.
    """
    if evidence.machine.source.endless:
        return NOT_HELD
    value, limit = evidence.corners.lowest_cell, evidence.machine.source.cell.empty_voltage
    return Verdict(
        value,
        limit,
        below(value, limit),
        "V",
        lambda v, m: (
            "With worn cells on the coldest day, only the reserve left, a {} is pulled to {} V under load; "
            "{} V is its lowest.".format(one_of(evidence), *apart(v, m, 2))
        ),
        lambda v, m: "Add cells in parallel, or keep a larger reserve.",
        parts=("pack",),
    )
