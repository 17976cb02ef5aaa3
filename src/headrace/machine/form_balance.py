"""The form of ``[balance]``: the machine weighed as it was, and what goes out and comes in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from headrace.machine.form_table import Name, Table
from headrace.machine.form_works import Ground
from headrace.machine.quantities import Quantity, Written

Along = Quantity("length", -5.0, 10.0, "written")
Up = Quantity("length", 0.0, 3.0, "written")
Load = Annotated[Written | None, Quantity("mass", 0.1, 5000.0)]


class PartTable(Table):
    """A part taken out or put in, and where its middle lies."""

    name: Name
    mass: Annotated[Written, Quantity("mass", 0.01, 2000.0)]
    position: Annotated[Written, Along]
    height: Annotated[Written | None, Up] = None


class BalanceTable(Table):
    """A machine on two axles, weighed before the conversion: by its loads on both, or by mass and centre.

    Positions count from the front axle towards the rear, heights from the ground; in front of the axle they are
    negative. Without a height of the centre, how steep a slope tips it is not told.
    """

    wheelbase: Annotated[Written, Quantity("length", 0.1, 5.0, "written")]
    front: Load = None
    rear: Load = None
    mass: Load = None
    centre: Annotated[Written | None, Along] = None
    height: Annotated[Written | None, Quantity("length", 0.02, 3.0)] = None
    handle: Annotated[Written | None, Along] = None
    pack_position: Annotated[Written | None, Along] = None
    pack_height: Annotated[Written | None, Up] = None
    driven: Literal["front", "rear", "both"] | None = None
    ground: Ground | None = None
    rolling: Annotated[Written | None, Quantity("number", 0.0, 1.0)] = None
    slope: Annotated[Written | None, Quantity("angle", 0.0, 1.0, "written")] = None
    front_share: Annotated[Written | None, Quantity("fraction", 0.01, 0.99, "none")] = None
    ballast_position: Annotated[Written | None, Along] = None
    out: Annotated[list[PartTable], Field(max_length=40)] = Field(default_factory=list)
    put_in: Annotated[list[PartTable], Field(max_length=40)] = Field(default_factory=list)
