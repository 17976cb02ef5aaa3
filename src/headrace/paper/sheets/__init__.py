"""The papers: what is printed for the bench, the shed and the class, formed from the record of ``design``."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import PurePath
from typing import Any

from headrace.paper.sheets.blocks import Papers, Sheet, Words
from headrace.paper.sheets.building import building
from headrace.paper.sheets.days import day_log
from headrace.paper.sheets.diagram import diagram
from headrace.paper.sheets.facts import facts
from headrace.paper.sheets.joining import joining
from headrace.paper.sheets.keeping import charging_card, season_card
from headrace.paper.sheets.lessons import answers, gathering, group_sheets, lesson_plan, without_cells
from headrace.paper.sheets.powering import powering
from headrace.paper.sheets.readings import readings
from headrace.paper.sheets.risks import risks
from headrace.paper.sheets.setting import SIZES, pdf
from headrace.paper.sheets.shopping import cutting, shopping
from headrace.paper.sheets.target import target
from headrace.paper.sheets.trail import trail
from headrace.paper.words import empties, spoken, typical

Record = dict[str, Any]
STOPPED = "Do not build, connect or run from this paper. A stop stands against the plan:"
OVER = "Do not build, connect or run from this page: a stop stands against the plan, see the sheet's head."
BEFORE_WORK = (
    trail,
    diagram,
    shopping,
    cutting,
    building,
    powering,
    joining,
)
AT_WORK = (
    day_log,
    charging_card,
    season_card,
    facts,
    risks,
)
OF_A_PACK = (diagram, joining, charging_card, facts)  # nothing stands on them where none is carried


def papers(record: Record) -> tuple[Papers, ...]:
    """Return every set of papers of a machine: for the bench, for a class, and the answers for its teacher.

    Parameters
    ----------
    record
        What ``results.json`` holds; no sheet holds a number it lacks.
    """
    lean = typical(record)
    pack = empties(lean["pack"])
    before, after = (
        [sheet(lean) for sheet in sheets if pack or sheet not in OF_A_PACK] for sheets in (BEFORE_WORK, AT_WORK)
    )
    apart = (without_cells(lean),) if pack else ()
    sets = (
        Papers("papers", "papers for the bench", (target(record), *before, readings(record), *after)),
        Papers("class", "lessons", (lesson_plan(lean), *group_sheets(lean), gathering(lean))),
        Papers("teacher", "for the teacher", (answers(lean), *apart)),
    )
    stops = [spoken(finding["slug"]) for finding in lean["findings"] if finding["level"] == "stop"]
    if not stops:
        return sets
    above = Words(f"{STOPPED} {', '.join(stops)}.", "stop")
    return tuple(replace(one, sheets=[_under(above, sheet) for sheet in one.sheets], over=OVER) for one in sets)


def _under(above: Words, sheet: Sheet) -> Sheet:
    """Return a sheet of a plan that must not be built, with that said above everything else."""
    return replace(sheet, blocks=(above, *sheet.blocks))


def printed(record: Record) -> Iterator[tuple[str, bytes]]:
    """Yield every PDF with the name of its file: "papers-A4.pdf"."""
    file = PurePath(record["file"] or "the file").name
    for one in papers(record):
        for size in SIZES:
            yield f"{one.name}-{size}.pdf", pdf(one, record["machine"], file, size)


__all__ = ["papers", "printed"]
