"""The record of ``packs``."""

from __future__ import annotations

from typing import Any

import numpy as np

from headrace.design.record import finding_record
from headrace.explore.packs import PackMap, smallest, steps_down
from headrace.findings import Finding

Record = dict[str, Any]


def packs_record(packs: PackMap) -> Record:
    """Return every candidate with its reasons, the smallest that works, and what each step down breaks first."""
    planned = packs.machine.source
    record: Record = {
        "machine": packs.machine.name,
        "cell": planned.cell.name,
        "planned": {"series": float(np.asarray(planned.series)), "parallel": float(np.asarray(planned.parallel))},
        "candidates": [_candidate(packs, s, p) for s in packs.series for p in packs.parallel],
        "smallest": None,
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
                "works": step.works,
                "breaks_first": reason_record(step.breaks_first) if step.breaks_first is not None else None,
            }
            for step in steps_down(packs, pack)
        ]
        record["lessons"] = [_lesson(packs, pack[0], 1), _lesson(packs, 1, pack[1])]
    return record


def reason_record(found: Finding) -> Record:
    """Return a reason with the number of the limit it breaks and by how much."""
    data = finding_record(found)
    return {**{key: data[key] for key in ("slug", "value", "limit", "unit", "says")}, "by": abs(found.value - found.limit)}


def _candidate(packs: PackMap, series: int, parallel: int) -> Record:
    lane = packs.place(series, parallel)
    return {
        "series": series,
        "parallel": parallel,
        "works": bool(packs.works[lane]),
        "reasons": [reason_record(found) for found in packs.reasons(series, parallel)],
    }


def _lesson(packs: PackMap, series: int, parallel: int) -> Record:
    """Say what the right count one way and a single cell the other way gets right and wrong."""
    broken = {found.slug: found for found in packs.reasons(series, parallel)}
    volts = [broken[slug] for slug in VOLTS if slug in broken]
    amps = [broken[slug] for slug in AMPS if slug in broken]
    said = [_half("volts", volts), _half("amps", amps)]
    return {"series": series, "parallel": parallel, "says": f"{series}s{parallel}p: " + " ".join(said)}


VOLTS = ("part-over-voltage", "tip-too-fast", "too-slow-when-empty", "cuts-out-under-load")
AMPS = ("cell-current-continuous", "cell-current-peak", "too-short-new")


def _half(what: str, broken: list[Finding]) -> str:
    if not broken:
        return f"the {what} are right."
    return f"the {what} are wrong: " + " ".join(found.says for found in broken)
