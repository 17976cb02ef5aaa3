"""What every table of a machine file is, and what may be a name in it."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Table(BaseModel):
    """A table of the file: no unknown keys, nothing converted on the quiet."""

    model_config = ConfigDict(strict=True, extra="forbid", arbitrary_types_allowed=True)


# A name is a step of an address, so what parts addresses cannot stand in it.
Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\.\[\]\n]+$")]
Rows = Field(min_length=2, max_length=60)
Few = Annotated[int, Field(ge=1, le=100)]
