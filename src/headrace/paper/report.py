"""The report: one self-contained page a builder can read, print and act on."""

from __future__ import annotations

from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from headrace.paper import words
from headrace.paper.course import course
from headrace.paper.pack_grid import window

Record = dict[str, Any]


def report(record: Record) -> str:
    """Return the page for the record of ``design``.

    Parameters
    ----------
    record
        What ``results.json`` holds; the page holds no number it lacks.
    """
    banded, record = record, words.typical(record)
    pages = Environment(
        loader=PackageLoader("headrace.paper", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.globals.update(
        watts=words.watts,
        watt_hours=words.watt_hours,
        minutes=words.minutes,
        rpm=words.rpm,
        celsius=words.celsius,
        percent=words.percent,
        plain=words.plain,
        size=words.size,
        band=words.band,
    )
    return pages.get_template("report.html").render(
        record=record,
        banded=banded,
        courses=[(state, course(state)) for state in record["losses"]["states"]],
        packs=_pack_rows(record["packs"]),
        shapes=_shapes_shown(record["packs"]),
        numbers=_ranked(record),
        works=words.WORKS,
    )


def _pack_rows(packs: Record) -> Record:
    """Return the window of the map as rows, most in parallel on top."""
    series, parallel = window(packs)
    candidates = {(c["series"], c["parallel"]): c for c in packs["candidates"]}
    planned = (int(packs["planned"]["series"]), int(packs["planned"]["parallel"]))
    rows = [
        (
            p,
            [
                {
                    "mark": words.WORKS if c["works"] else words.SHAPES[c["reasons"][0]["slug"]][0],
                    "says": "works" if c["works"] else " ".join(reason["says"] for reason in c["reasons"]),
                    "works": c["works"],
                    "planned": (s, p) == planned,
                }
                for s in series
                for c in [candidates[s, p]]
            ],
        )
        for p in reversed(parallel)
    ]
    return {"series": series, "rows": rows}


def _shapes_shown(packs: Record) -> list[tuple[str, str]]:
    series, parallel = window(packs)
    first = {
        c["reasons"][0]["slug"]
        for c in packs["candidates"]
        if not c["works"] and c["series"] in series and c["parallel"] in parallel
    }
    return [shape for slug, shape in words.SHAPES.items() if slug in first]


def _ranked(record: Record) -> list[Record]:
    """Return the numbers behind the answer, those that carry most of the doubt first."""
    carries = {s["address"]: s["width_W"] for s in record["swings"]}
    numbers = [{**number, "carries": carries.get(number["address"], 0.0)} for number in record["numbers"]]
    return sorted(numbers, key=lambda number: (-number["carries"], number["address"]))
