"""The papers: what is printed for the bench, the shed and the class, formed from the record of ``design``."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath
from typing import Any

from headrace.paper.sheets.blocks import Papers
from headrace.paper.sheets.days import day_log
from headrace.paper.sheets.joining import joining
from headrace.paper.sheets.setting import SIZES, pdf
from headrace.paper.sheets.target import target
from headrace.paper.sheets.trail import trail
from headrace.paper.words import typical

Record = dict[str, Any]


def papers(record: Record) -> tuple[Papers, ...]:
    """Return every set of papers of a machine.

    Parameters
    ----------
    record
        What ``results.json`` holds; no sheet holds a number it lacks.
    """
    lean = typical(record)
    bench = (
        target(record),
        trail(record),
        joining(lean),
        day_log(lean),
    )
    return (Papers("papers", "papers for the bench", bench),)


def printed(record: Record) -> Iterator[tuple[str, bytes]]:
    """Yield every PDF with the name of its file: "papers-A4.pdf"."""
    for one in papers(record):
        for size in SIZES:
            yield (
                f"{one.name}-{size}.pdf",
                pdf(one, record["machine"], PurePath(record["file"] or "the file").name, size),
            )


__all__ = ["papers", "printed"]
