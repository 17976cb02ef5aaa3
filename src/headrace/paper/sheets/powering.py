"""First power-up: the motor alone on a supply with a limit, before the tool and before the pack."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.sheets.blocks import WRITE, Blanks, Block, Column, Heading, Sheet, Step, Steps, Table, Words
from headrace.paper.trial import BEFORE, at_work, charges, first, has_limits, last, meanings, steps
from headrace.paper.words import capital, empties

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
    early = ", before a pack is connected wherever a supply does" if empties(record["pack"]) else ""
    return Sheet(
        "power-up",
        "First power-up",
        f"Each motor alone, without its tool, fed as told below{early}: what is wrong shows here, and not in the field "
        "at full power.",
        (
            Words(BEFORE, "caution"),
            *(block for one in record["trial"]["chains"] for block in _by_itself(record, one)),
            *(Words(says, "note") for says in dict.fromkeys(meanings(record))),
            *_with_the_tool(record),
            Blanks(("supply used", "meters used", "by", "on")),
        ),
        lying=True,
    )


def _by_itself(record: Record, one: Record) -> Iterator[Block]:
    """Yield what is done before a motor has volts, what is set and read, and what is done after."""
    if len(record["trial"]["chains"]) > 1:
        yield Heading(f"{capital(one['name'])} by itself")
    early = first(one)
    yield Steps([Step(does) for does in early])
    yield Table(STEPS if has_limits(record) else AT_A_SOCKET, [(*row, WRITE, WRITE, WRITE) for row in steps(one)])
    if after := last(one):
        yield Steps([Step(does) for does in after], before=len(early))


def _with_the_tool(record: Record) -> Iterator[Block]:
    """Yield what volts, amps and speed are to be expected later, at work."""
    yield Heading("Then with its tool, outdoors, guards on, motors warm from work")
    columns = (
        Column("work", 0.7),
        *(Column(head, 1.5) for head in charges(record)),
        Column("volts, amps, rpm read", 1.4),
    )
    yield Table(columns, [(name, *says, WRITE) for name, says in at_work(record)])
