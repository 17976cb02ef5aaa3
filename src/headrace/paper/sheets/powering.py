"""First power-up: the motor alone on a supply with a limit, before the tool and before the pack."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.sheets.blocks import WRITE, Blanks, Block, Column, Heading, Sheet, Table, Words
from headrace.paper.trial import BEFORE, at_work, charges, has_limits, meanings, steps
from headrace.paper.words import empties

Record = dict[str, Any]
STEPS = (
    Column("step", 1.5),
    Column("set", 1.2),
    Column("expect, motor as cold as the air", 2.2),
    Column("run it for", 1.6),
    Column("volts", 0.7),
    Column("amps", 0.7),
    Column("rpm", 0.7),
)
AT_A_SOCKET = tuple(Column("watts", 0.7) if column.title == "amps" else column for column in STEPS)


def powering(record: Record) -> Sheet:
    """Return the sheet."""
    first = ", before a pack is connected wherever a supply does" if empties(record["pack"]) else ""
    rows = [(*row, WRITE, WRITE, WRITE) for row in steps(record)]
    return Sheet(
        "power-up",
        "First power-up",
        f"Each motor alone, without its tool, fed as told below{first}: what is wrong shows here, and not in the field "
        "at full power.",
        (
            Words(BEFORE, "caution"),
            Table(STEPS if has_limits(record) else AT_A_SOCKET, rows),
            *(Words(says, "note") for says in dict.fromkeys(meanings(record))),
            *_with_the_tool(record),
            Blanks(("supply used", "meters used", "by", "on")),
        ),
        lying=True,
    )


def _with_the_tool(record: Record) -> Iterator[Block]:
    """Yield what volts, amps and speed are to be expected later, at work."""
    yield Heading("Then with its tool, outdoors, guards on, motors warm from work")
    columns = (
        Column("work", 0.7),
        *(Column(head, 1.5) for head in charges(record)),
        Column("volts, amps, rpm read", 1.4),
    )
    yield Table(columns, [(name, *says, WRITE) for name, says in at_work(record)])
