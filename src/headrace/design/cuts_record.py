"""The record of which pieces of cable to cut, as plain data. It is that of the typical machine: one cuts for one."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import number
from headrace.machine.values import is_known
from headrace.wiring.cut import Cuts, Piece, Run, Size
from headrace.wiring.cuts import OWN_CORD

Record = dict[str, Any]

NO_CABLE = "the file has no cable, and what never empties comes with its own wiring"
NO_AREA = "no size is worked out for it: the wiring diagram tells what it is part of"
NO_GAUGE = "no gauge of the tables of ampacities has as much metal"
NO_LENGTH = "none of its pieces has a length that is known"


def cuts_record(found: Cuts) -> Record:
    """Return pieces, runs and sizes."""
    longest = found.longest
    return {
        "reason": None if found.pieces else NO_CABLE,
        "allowance": number(found.allowance),
        "estimated_by": None if longest is None else longest.name,
        "runs": [_run(run, found) for run in found.runs],
        "pieces": [_piece(piece) for piece in found.pieces],
        "sizes": [_size(size) for size in found.sizes],
    }


def _run(run: Run, found: Cuts) -> Record:
    area = number(run.area)
    return {
        "name": run.name,
        "carries": run.carries,
        "basis": run.basis,
        "one_way_m": number(run.one_way),
        "there_and_back_m": number(run.there_and_back),
        "area_m2": area,
        "reason": NO_AREA if area is None else None,
        "shared_by": [" to ".join(piece.ends).replace(".", " ") for piece in found.pieces if piece.run == run.name],
    }


def _piece(piece: Piece) -> Record:
    area = number(piece.area)
    return {
        "name": " to ".join(piece.ends).replace(".", " "),
        "from": piece.ends[0],
        "to": piece.ends[1],
        "carries": piece.carries,
        "size": piece.size,
        "area_m2": area,
        "least_m2": number(piece.least),
        "area_reason": None if is_known(piece.least) else OWN_CORD if piece.reason == OWN_CORD else NO_AREA,
        "gauge": piece.gauge,
        "gauge_reason": _gauge_reason(piece.gauge, area),
        "length_m": number(piece.length),
        "basis": piece.basis or None,
        "run": piece.run or None,
        "reason": piece.reason or None,
        "ends": list(piece.made),
    }


def _gauge_reason(gauge: str | None, area: float | None) -> str | None:
    if gauge is not None:
        return None
    return NO_AREA if area is None else NO_GAUGE


def _size(size: Size) -> Record:
    area, length = number(size.area), number(size.length)
    return {
        "name": size.name,
        "area_m2": area,
        "area_reason": NO_AREA if area is None else None,
        "gauge": size.gauge,
        "gauge_reason": _gauge_reason(size.gauge, area),
        "laid_m": number(size.laid),
        "length_m": length,
        "reason": NO_LENGTH if length is None else None,
        "ends": [{"name": name, "count": number(count)} for name, count in size.ends],
    }
