"""The form of a file of a builder's own parts: cells and motors, each like one of the shelf but for what it says."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from headrace.machine.form_links import MotorNumbers
from headrace.machine.form_source import CellNumbers
from headrace.machine.form_table import Name, Table

Known = Literal["datasheet", "measured"]


class OwnCell(CellNumbers):
    """A cell of the builder's, like one of the shelf; what it does not say is that one's."""

    name: Name
    like: str
    basis: Known = "datasheet"


class OwnMotor(MotorNumbers):
    """A motor of the builder's, like one of the shelf; what it does not say is that one's."""

    name: Name
    like: str
    basis: Known = "datasheet"


class PartsFile(Table):
    """A whole file of parts."""

    cells: Annotated[list[OwnCell], Field(max_length=200)] = Field(default_factory=list)
    motors: Annotated[list[OwnMotor], Field(max_length=200)] = Field(default_factory=list)
