"""Does a cell give more amps than it should?"""

from __future__ import annotations

from headrace.findings.evidence import Evidence
from headrace.findings.finding import Verdict, above, apart, finding, one_of


@finding("cell-current-continuous", level="stop", rejects_pack=True, source="the cell's continuous current")
def cell_current_continuous(evidence: Evidence) -> Verdict:
    """Each cell gives more current than it can give for long.

    To do: more cells in parallel, or power cells.

    What is compared: root mean square of one cell's current over a cycle of the job, on a full pack or at the reserve,
    whichever is more, against the cell's continuous current.

    How it comes about: heat in a cell goes with the square of its current, so twice the amps are four times the heat.
    Cells in parallel share the amps; cells in series do not.

    Raised by:
        source.parallel = 1

    Silenced by:
        source.parallel = 5

    Where it does not hold: equal sharing is assumed; a poor take-off can load one cell much more than its share.

    The limit is from: the cell's sheet; generic cells carry the usual figure for their kind.
    """
    value, limit = evidence.corners.rms_cell_current, evidence.machine.source.cell.continuous_current
    return Verdict(
        value,
        limit,
        above(value, limit),
        "A",
        lambda v, m: "At its worst each {} gives {} A over the job (rms); {} A is what it can give for long.".format(
            one_of(evidence), *apart(v, m)
        ),
        lambda v, m: "Add cells in parallel: they share the amps.",
        parts=("pack",),
    )


@finding("cell-current-peak", level="stop", rejects_pack=True, source="the cell's peak current")
def cell_current_peak(evidence: Evidence) -> Verdict:
    """In its hardest state each cell gives more than its peak current.

    To do: more cells in parallel, power cells, or a lower limit on the controller's battery side.

    What is compared: one cell's current in the hardest duty state, on a full pack or at the reserve, whichever is more.

    How it comes about: a motor at full voltage asks for the most amps on a full pack, because it turns fastest there;
    one held at a set speed asks for the most when the pack is nearly empty.

    Raised by:
        source.parallel = 1

    Silenced by:
        source.parallel = 5

    Where it does not hold: the surge of starting is not counted here.

    The limit is from: the cell's sheet; generic cells carry the usual figure for their kind.
    """
    value, limit = evidence.corners.peak_cell_current, evidence.machine.source.cell.peak_current
    return Verdict(
        value,
        limit,
        above(value, limit),
        "A",
        lambda v, m: "In the heaviest work each {} gives up to {} A; {} A is its peak.".format(
            one_of(evidence), *apart(v, m)
        ),
        lambda v, m: "Add cells in parallel, or lower the controller's battery-side limit.",
        parts=("pack",),
    )
