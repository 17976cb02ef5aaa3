"""The risk sheet: hazards of this machine with the design's own numbers, and fields for the people who judge them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.risks import risks as hazards
from headrace.paper.sheets.blocks import Blanks, Block, Column, Heading, Sheet, Table, Together, Words

Record = dict[str, Any]
NONE = "no number of the design"


def risks(record: Record) -> Sheet:
    """Return the sheet."""
    found = record["risks"]
    return Sheet(
        "risks",
        "Risks",
        "Filled from the design. How likely and how bad is for those to say who know the place and the people; local "
        "codes and licensed practice come first.",
        (
            *(Words(says, "caution") for says in found["cautions"]),
            Words(found["method"], "note"),
            *(block for hazard in hazards(record) for block in _hazard(hazard)),
            Blanks(("responsible", "signed", "on", "to be looked at again")),
        ),
    )


def _hazard(hazard: Record) -> Iterator[Block]:
    against = [("against it, " + by, f"{there}; {says}") for there, by, says in hazard["measures"]]
    raised = [("said against the plan", ", ".join(hazard["findings"]))] if hazard["findings"] else []
    numbers = hazard["numbers"] or [("numbers", NONE)]
    rows = [*numbers, *against, ("people", hazard["people"]), *raised]
    yield Together(
        (
            Heading(hazard["name"]),
            Words(hazard["harm"]),
            Table((Column("what", 1.1), Column("of this design", 2.6)), rows),
            Blanks(hazard["left_open"]),
        )
    )
