"""From the form of the fuse to its record; what the file leaves out, its class on the shelf says."""

from __future__ import annotations

from headrace.machine.form_fuse import FuseTable
from headrace.machine.fuse import Fuse
from headrace.machine.pedigree import Fields, Pedigree, row_of

COLUMNS = {"max_voltage": "voltage", "breaking_capacity": "breaking_current"}


def complete_fuse(pedigree: Pedigree, table: FuseTable | None) -> Fuse | None:
    """Return the fuse, where the file has one."""
    if table is None:
        return None
    get = Fields(pedigree, table, "fuse", ("fuse",), "fuse")
    row = row_of("fuses", table.kind)
    shelf = {key: row[f"{column}_low"] for key, column in COLUMNS.items()}  # the least of its class: nobody has looked
    get.shelf = {**shelf, "source": row["source"]}
    return Fuse(
        kind=table.kind,
        at=table.at,
        rating=get("rating"),
        max_voltage=get("max_voltage"),
        breaking_capacity=get("breaking_capacity"),
    )
