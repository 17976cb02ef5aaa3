"""What a cell and a pack of such cells are called by the open standard: 10INR19/66-6."""

from __future__ import annotations

import math

import numpy as np

from headrace.machine.records import Cell, Lanes, Source
from headrace.tables import load

MILLI = 1e3  # the name is in millimetres, whatever else here is in metres
SLACK = 1e-9  # of a millimetre: 18.000000001 is 18
ROUND = "cylinder"


def of_cell(cell: Cell) -> str | None:
    """Return the designation of a round lithium-ion cell; None of others, whose sizes or letters are not known here.

    The letters are I for lithium ion, that of the positive electrode, R for round; then diameter and height in
    millimetres, each rounded up to a whole number (IEC 61960:2011, 5.1, as quoted).

    Parameters
    ----------
    cell
        Typical; its sizes are taken for the greatest ones that the standard asks for.
    """
    letter = next((str(row["letter"]) for row in load("designations") if row["chemistry"] == cell.chemistry), None)
    if letter is None or cell.form != ROUND:
        return None
    return f"I{letter}R{_whole(cell.diameter)}/{_whole(cell.length)}"


def of_pack(source: Source) -> str | None:
    """Return the designation of a pack: cells in series, the cell, and cells in parallel where they are two or more.

    Parameters
    ----------
    source
        The pack, of which the typical lane is told; a labelled one is named by its maker.
    """
    one = None if source.ready_made or source.endless else of_cell(source.cell)
    if one is None:
        return None
    series, parallel = (round(_typical(count)) for count in (source.series, source.parallel))
    return f"{series if series > 1 else ''}{one}{f'-{parallel}' if parallel > 1 else ''}"


def _whole(size: Lanes) -> int:
    return math.ceil(MILLI * _typical(size) - SLACK)


def _typical(value: Lanes) -> float:
    return float(np.asarray(value, dtype=float).flat[0])
