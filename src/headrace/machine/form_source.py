"""The form of the source: cells in series and parallel, a finished pack by its label, a socket, a supply."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, GetCoreSchemaHandler, GetJsonSchemaHandler, Tag
from pydantic_core import CoreSchema, core_schema

from headrace.machine.form_table import Table
from headrace.machine.quantities import Quantity, Written


class CellNumbers(Table):
    """What can be known of a cell. A pulse test, its volts noted after ten seconds, says the resistance too."""

    capacity: Annotated[Written | None, Quantity("charge", 360.0, 3.6e6)] = None
    full_voltage: Annotated[Written | None, Quantity("voltage", 1.0, 20.0, "none")] = None
    empty_voltage: Annotated[Written | None, Quantity("voltage", 0.5, 18.0, "none")] = None
    nominal_voltage: Annotated[Written | None, Quantity("voltage", 1.0, 18.0, "none")] = None
    resistance: Annotated[Written | None, Quantity("resistance", 2e-5, 1.0)] = None
    pulse_current: Annotated[Written | None, Quantity("current", 0.05, 2000.0)] = None
    pulse_drop: Annotated[Written | None, Quantity("voltage", 1e-4, 5.0)] = None
    continuous_current: Annotated[Written | None, Quantity("current", 0.1, 2000.0, "none")] = None
    peak_current: Annotated[Written | None, Quantity("current", 0.1, 5000.0, "none")] = None
    charge_current: Annotated[Written | None, Quantity("current", 0.01, 2000.0, "none")] = None
    max_temperature: Annotated[Written | None, Quantity("temperature", 303.15, 343.15, "none")] = None
    charge_min_temperature: Annotated[Written | None, Quantity("temperature", 233.15, 293.15, "none")] = None
    mass: Annotated[Written | None, Quantity("mass", 0.005, 100.0)] = None
    specific_heat: Annotated[Written | None, Quantity("specific heat", 300.0, 3000.0)] = None
    diameter: Annotated[Written | None, Quantity("length", 0.005, 0.6, "written")] = None
    length: Annotated[Written | None, Quantity("length", 0.01, 0.5, "written")] = None
    price: Annotated[Written | None, Quantity("money", 0.0, 1e5)] = None


class CellTable(CellNumbers):
    """A cell from the shelf, and what is known better; ``energy`` is the label's, held against the rest."""

    shelf: str
    energy: Annotated[Written | None, Quantity("energy", 360.0, 3.6e7, "none")] = None


class StripsTable(Table):
    """The metal between the groups: nickel between cells, copper between blocks; as long as their pitch by default."""

    metal: str | None = None
    width: Annotated[Written | None, Quantity("length", 5e-4, 0.1, "written")] = None
    thickness: Annotated[Written | None, Quantity("length", 2e-5, 0.01, "written")] = None
    length: Annotated[Written | None, Quantity("length", 2e-3, 0.5, "written")] = None


class ByName:
    """Takes the bare name of a cell on the shelf for a table that says no more."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Let the form see a table either way."""
        return core_schema.no_info_before_validator_function(
            lambda value: {"shelf": value} if isinstance(value, str) else value, handler(source)
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Describe both to an editor."""
        return {"anyOf": [{"type": "string"}, handler(schema)]}


class CellsTable(Table):
    """Cells, or batteries, in series and parallel; ``in_turn`` such packs are worked one after the other.

    ``scatter`` is the standard deviation of capacity and resistance between its cells, over their mean.
    """

    kind: Literal["cells"] = "cells"
    cell: Annotated[CellTable, ByName()]
    series: Annotated[int, Field(ge=1, le=200)]
    parallel: Annotated[int, Field(ge=1, le=200)]
    strips: StripsTable = Field(default_factory=StripsTable)
    extra_mass: Annotated[Written | None, Quantity("fraction", 0.0, 3.0)] = None
    extra_cost: Annotated[Written | None, Quantity("money", 0.0, 1e6, "written")] = None
    gap: Annotated[Written | None, Quantity("length", 0.0, 0.05)] = None
    wall: Annotated[Written | None, Quantity("length", 0.0, 0.1)] = None
    film: Annotated[Written | None, Quantity("film", 0.5, 200.0)] = None
    current_limit: Annotated[Written | None, Quantity("current", 0.5, 2000.0, "none")] = None
    in_turn: Annotated[int, Field(ge=1, le=10)] = 1
    scatter: Annotated[Written | None, Quantity("fraction", 0.0, 0.3, "none")] = None


class ReadyMadeTable(Table):
    """A finished pack, by its label; ``current`` is what the board inside lets through for long.

    ``packs`` are side by side, ``in_turn`` one after the other.
    """

    kind: Literal["ready-made"]
    voltage: Annotated[Written, Quantity("voltage", 3.0, 400.0, "none")]
    capacity: Annotated[Written, Quantity("charge", 3600.0, 7.2e6)]
    current: Annotated[Written, Quantity("current", 0.5, 1000.0, "none")]
    cell: str = "energy-18650"
    mass: Annotated[Written | None, Quantity("mass", 0.05, 500.0)] = None
    price: Annotated[Written | None, Quantity("money", 0.0, 1e5)] = None
    packs: Annotated[int, Field(ge=1, le=20)] = 1
    in_turn: Annotated[int, Field(ge=1, le=10)] = 1


class SocketTable(Table):
    """A wall socket; ``current`` is what its fuse or breaker lets through for long."""

    kind: Literal["wall-socket"]
    voltage: Annotated[Written | None, Quantity("voltage", 90.0, 480.0)] = None
    frequency: Annotated[Written | None, Quantity("frequency", 10.0, 500.0, "written")] = None
    resistance: Annotated[Written | None, Quantity("resistance", 0.0, 10.0)] = None
    current: Annotated[Written | None, Quantity("current", 1.0, 200.0, "none")] = None


class SupplyTable(Table):
    """A bench supply that holds its volts up to ``current``."""

    kind: Literal["bench-supply"]
    voltage: Annotated[Written, Quantity("voltage", 1.0, 1000.0, "written")]
    current: Annotated[Written, Quantity("current", 0.1, 1000.0, "none")]
    resistance: Annotated[Written | None, Quantity("resistance", 0.0, 10.0)] = None


SOURCE_KINDS: dict[str, type[Table]] = {
    "cells": CellsTable,
    "ready-made": ReadyMadeTable,
    "wall-socket": SocketTable,
    "bench-supply": SupplyTable,
}
SUPPLIES = ("wall-socket", "bench-supply")  # kinds that never empty, and that a machine does not carry
USUAL_SOURCE = "cells"  # of a file that does not say
AnySourceTable = CellsTable | ReadyMadeTable | SocketTable | SupplyTable


def _kind_of(table: Any) -> Any:
    """Return the kind of source a table is about; one that does not say is cells."""
    return table.get("kind", USUAL_SOURCE) if isinstance(table, dict) else getattr(table, "kind", None)


SourceTable = Annotated[
    Annotated[CellsTable, Tag("cells")]
    | Annotated[ReadyMadeTable, Tag("ready-made")]
    | Annotated[SocketTable, Tag("wall-socket")]
    | Annotated[SupplyTable, Tag("bench-supply")],
    Discriminator(_kind_of),
]
