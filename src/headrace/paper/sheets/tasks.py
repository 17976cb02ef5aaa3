"""What a class can predict and then measure on one machine, cut into tasks for groups; filled from the record."""

from __future__ import annotations

from headrace.paper.sheets.task import Record, Task, heaviest
from headrace.paper.sheets.tasks_drive import losses, stopping, work
from headrace.paper.sheets.tasks_joined import fuse, wires
from headrace.paper.sheets.tasks_pack import amps, charge, lasting, volts

KINDS = (work, losses, volts, amps, wires, fuse, lasting, charge, stopping)


def tasks(record: Record) -> tuple[Task, ...]:
    """Return the tasks that a machine gives, of a record without bands; none where its tool turns in no duty state."""
    heavy = heaviest(record)
    return () if heavy is None else tuple(task for kind in KINDS for task in kind(record, heavy))
