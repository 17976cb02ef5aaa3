"""The record of ``packs``."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from headrace.design.bands import Sample, sample_record
from headrace.design.check_record import finding_record
from headrace.explore.packs import PackMap, nearest, smallest, squeezed, steps_down
from headrace.findings import TOO_FAST, Finding

Record = dict[str, Any]


def packs_record(packs: PackMap, sample: Sample | None = None) -> Record:
    """Return every candidate with its reasons, the smallest that works, and what each step down breaks first."""
    planned, often = packs.machine.source, packs.often
    record: Record = {
        "machine": packs.machine.name,
        **sample_record(sample),
        "cell": planned.cell.name,
        "planned": {"series": int(np.max(planned.series)), "parallel": int(np.max(planned.parallel))},
        "candidates": [_candidate(packs, s, p, often) for s in packs.series for p in packs.parallel],
        "smallest": None,
        "nearest": None,
        "steps_down": [],
        "lessons": [],
    }
    pack = smallest(packs)
    if pack is not None:
        record["smallest"] = {"series": pack[0], "parallel": pack[1], "cells": pack[0] * pack[1]}
        record["steps_down"] = [
            {
                "series": step.series,
                "parallel": step.parallel,
                "breaks_first": reason_record(step.breaks_first) if step.breaks_first is not None else None,
            }
            for step in steps_down(packs, pack)
        ]
        record["lessons"] = [_one_in_parallel(packs, pack[0]), _one_in_series(packs, pack[1])]
    else:
        record["nearest"] = _nearest(packs)
    return record


def _nearest(packs: PackMap) -> Record:
    """Return the pack that misses by least, with its reasons, and what to do where no count of cells helps."""
    series, parallel = nearest(packs)
    between = squeezed(packs)
    return {
        "series": series,
        "parallel": parallel,
        "reasons": [reason_record(found) for found in packs.reasons(series, parallel)],
        "says": _squeezed(*between) if between is not None else "",
    }


def _squeezed(slow: int, fast: int) -> str:
    says = (
        f"No count of cells is right at both ends: up to {slow} in series the tool is too slow near the end of the "
        f"charge, from {fast} on it is too fast when full."
    )
    if fast > slow:
        return f"{says} The right speed lies between two counts: change the ratio, or the motor for another constant."
    return (
        f"{says} The speed falls too far from full to empty: govern it with volts to spare, or lose fewer on the way."
    )


def reason_record(found: Finding) -> Record:
    """Return a reason with the number of the limit it breaks and by how much."""
    data = finding_record(found)
    return {
        **{key: data[key] for key in ("slug", "value", "limit", "unit", "says")},
        "by": abs(found.value - found.limit),
    }


def _candidate(packs: PackMap, series: int, parallel: int, often: npt.NDArray[np.float64]) -> Record:
    lane = packs.place(series, parallel)
    return {
        "series": series,
        "parallel": parallel,
        "works": bool(packs.every_works[lane]),
        "often": float(often[lane[:2]]),
        "reasons": [reason_record(found) for found in packs.reasons(series, parallel)],
    }


def _one_in_parallel(packs: PackMap, series: int) -> Record:
    """Say what the right count in series does with a single cell in parallel: volts right at rest, amps not."""
    broken = {found.slug: found for found in packs.reasons(series, 1)}
    full = series * float(np.max(packs.machine.source.cell.full_voltage))
    over = [broken[slug] for slug in ("part-over-voltage", *TOO_FAST) if slug in broken]
    volts = _half("volts", over) or f"the volts are right, {full:.1f} V when full;"
    amps = _half("amps", [broken[slug] for slug in AMPS if slug in broken]) or "and so are the amps and the minutes."
    if not broken:
        return {"series": series, "parallel": 1, "says": f"{series}s1p: it is enough."}
    sags = [slug for slug in SAG if slug in broken]
    sag = " Carried by so few cells the volts then sag away under load." if sags else ""
    return {"series": series, "parallel": 1, "says": f"{series}s1p: {_joined(volts, amps)}{sag}"}


def _one_in_series(packs: PackMap, parallel: int) -> Record:
    """Say what the right count in parallel does with a single cell in series: amps right, volts not."""
    broken = {found.slug: found for found in packs.reasons(1, parallel)}
    lane = packs.place(1, parallel)
    each = float(np.broadcast_to(packs.evidence.corners.rms_cell_current, packs.every_works.shape)[lane])
    most = float(np.max(packs.machine.source.cell.continuous_current))
    over = [broken[slug] for slug in ("cell-current-continuous", "cell-current-peak") if slug in broken]
    amps = _half("amps", over) or f"the amps are right, {each:.1f} of {most:.0f} A from each cell;"
    volts = _half("volts", [broken[slug] for slug in SAG if slug in broken]) or "and so are the volts."
    return {"series": 1, "parallel": parallel, "says": f"1s{parallel}p: {_joined(amps, volts)}"}


SAG = ("too-slow-when-empty", "cuts-out-under-load", "cell-pulled-too-low")
AMPS = ("cell-current-continuous", "cell-current-peak", "too-short-new")


def _joined(first: str, second: str) -> str:
    """Return two halves as one text; behind a full stop the second begins anew."""
    return f"{first} {second[0].upper() + second[1:] if first.endswith('.') else second}"


def _half(what: str, broken: list[Finding]) -> str:
    return f"the {what} are not right. " + " ".join(found.says for found in broken) if broken else ""
