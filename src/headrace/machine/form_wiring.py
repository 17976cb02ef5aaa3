"""The form of ``[wiring]``: what is joined to what, as it is built."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from headrace.machine.form_table import Table

Terminal = Annotated[str, Field(min_length=3, max_length=130, pattern=r"^[^.\n]+\.[^.\n]+$")]
Join = Annotated[list[Terminal], Field(min_length=2, max_length=2)]
Boundary = Annotated[int, Field(ge=0, le=400)]


class WiringTable(Table):
    """Every wire as a pair of terminals, each "part.terminal"; ``sense``: where each pin of the sense plug goes.

    Boundaries between groups are counted from the pack's minus, which is 0.
    """

    joins: Annotated[list[Join], Field(max_length=400)] = Field(default_factory=list)
    sense: Annotated[list[Boundary], Field(max_length=401)] = Field(default_factory=list)
