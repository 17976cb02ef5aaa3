"""The machine as lessons: a plan, a sheet for each group, one that gathers the class, and the teacher's answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from headrace.paper.sheets.blocks import (
    WRITE,
    Blanks,
    Block,
    Column,
    Heading,
    Lines,
    Sheet,
    Steps,
    Table,
    Together,
    Words,
)
from headrace.paper.sheets.building import step
from headrace.paper.sheets.task import LIKEWISE, PAPER, Task
from headrace.paper.sheets.tasks import tasks

Record = dict[str, Any]

NO_TASKS = "No task can be set: the tool turns in no duty state of this plan. Mend the plan first."
BARE = "Nobody handles bare cells. Packs are finished, covered and fused before a class sees them."
SWITCHES_ON = "The teacher alone switches on, and only with the guards in place and everybody behind the line."
OFF_THE_BENCH = "Rings, watches and loose tools stay off the bench."
RULES = (
    "Nobody works on anything live. What is clipped on is clipped on while the fuse or the plug is out.",
    "Nobody but the teacher holds a meter to a pack.",
    BARE,
    SWITCHES_ON,
    f"Nobody makes a short, opens a pack, or charges unwatched. {OFF_THE_BENCH}",
)
RULES_OF = {
    "batteries": (
        RULES[0],
        "Nobody but the teacher touches a battery or holds a meter to it: acid burns and their gas explodes.",
        "Batteries are strapped down, capped and fused before a class sees them, in moving air.",
        SWITCHES_ON,
        f"Nobody makes a short, or charges unwatched. {OFF_THE_BENCH}",
    ),
    "wall-socket": (
        "Nobody works on anything live. A power meter is put between plug and socket while the plug is out.",
        "Nobody opens a box, a plug or a cord: mains kills. No tip of a meter goes near it.",
        "Who may work on the mains has tested the machine before a class sees it.",
        "A residual-current device stands before it, and is tried by its button before each lesson.",
        SWITCHES_ON,
        f"Between lessons the plug is out, in the teacher's keeping. {OFF_THE_BENCH}",
    ),
    "bench-supply": (
        "Nobody works on anything live. What is clipped on is clipped on while the supply is off.",
        "Nobody but the teacher sets the supply's volts and its limit, or joins its leads.",
        SWITCHES_ON,
        f"Nobody makes a short. {OFF_THE_BENCH}",
    ),
}
GROUPS = (Column("group"), Column("its question", 2.6), Column("measures with", 1.8), Column("who", 1.2))
ANSWERS = (Column("asked", 2.0), Column("the plan's answer", 1.2), Column("how", 1.8))
ASKED = (
    Column("predict first, then measure", 2.2),
    Column("predicted"),
    Column("measured"),
    Column("why they differ", 1.8),
)


def lesson_plan(record: Record) -> Sheet:
    """Return the sheet that cuts the machine into tasks for groups."""
    found = tasks(record)
    rows = [(f"{place}. {task.name}", task.title, _tools(task), WRITE) for place, task in enumerate(found, 1)]
    return Sheet(
        "lesson-plan",
        "The machine in groups",
        "Each group predicts its numbers from what is known, writes them down, and only then measures. "
        "The class gathers both on one sheet and talks about where they differ.",
        (
            *(Words(rule, "caution") for rule in RULES_OF.get(record["pack"]["source"], RULES)),
            *_table(
                (Column("group"), Column("its question", 2.6), Column("measures with", 1.8), Column("who", 1.2)), rows
            ),
            Words(
                "Local rules for schools, codes and licensed practice come first. Fill in the risk sheet with whoever "
                "is responsible before the first lesson.",
                "note",
            ),
        ),
    )


def _table(columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> list[Block]:
    """Return a table; of a machine whose tool turns in no duty state the reason why it is empty."""
    return [Table(columns, rows)] if rows else [Words(NO_TASKS, "stop")]


def _tools(task: Task) -> str:
    measured = dict.fromkeys(one.how for one in task.asked if not one.how.startswith((PAPER, LIKEWISE)))
    return "; ".join(measured) or "pen and paper"


def group_sheets(record: Record) -> tuple[Sheet, ...]:
    """Return a sheet for each group."""
    return tuple(_group(place, task) for place, task in enumerate(tasks(record), 1))


def _group(place: int, task: Task) -> Sheet:
    blocks: tuple[Block, ...] = (
        Blanks(("group", "names", "on")),
        Heading("What is known"),
        Table((Column("of the typical machine, as planned", 2.0), Column("value")), task.known),
        Words(task.rule, "note"),
        Heading("Your numbers"),
        Table(ASKED, [(f"{one.what} ({one.how})", WRITE, WRITE, WRITE) for one in task.asked]),
        Words(task.care, "caution"),
        Heading("How you worked it out"),
        Lines(9),
    )
    return Sheet(f"group-{task.name}", f"Group {place}: {task.name}", task.title, blocks)


def gathering(record: Record) -> Sheet:
    """Return the sheet on which the class gathers what it predicted and measured."""
    rows = [(task.name, one.what, WRITE, WRITE, WRITE) for task in tasks(record) for one in task.asked]
    return Sheet(
        "gathering",
        "What the class predicted and measured",
        "One line for each number. Where the two differ by more than the meter can be wrong, say why.",
        (
            *_table(
                (
                    Column("group", 0.8),
                    Column("number", 2.0),
                    Column("predicted"),
                    Column("measured"),
                    Column("why", 2.0),
                ),
                rows,
            ),
            Blanks(("class", "teacher", "on")),
        ),
        lying=True,
    )


def answers(record: Record) -> Sheet:
    """Return the teacher's answers."""
    blocks: list[Block] = []
    for place, task in enumerate(tasks(record), 1):
        rows = [(one.what, one.answer, one.how) for one in task.asked]
        slip = Words(f"Usual slip: {task.slip}", "note")
        blocks.append(Together((Heading(f"{place}. {task.name}"), Table(ANSWERS, rows), slip)))
    if not blocks:
        blocks.append(Words(NO_TASKS, "stop"))
    return Sheet(
        "answers",
        "Teacher’s answers",
        "All parts solved together for the typical machine. A prediction link by link comes close, not equal: "
        "that difference is the lesson. Machines differ, and so do measurements.",
        blocks,
    )


INSTEAD = (  # of each lesson what takes the place of cells
    ("volts", "Dry cells in a holder: read one, predict two, three and four in series, then read them."),
    ("amps", "Two holders side by side feed one lamp: predict the sum of what each gives, then read each wire."),
    ("work", "A bench supply with a limit feeds the motor without its tool; the limit is set first."),
    (
        "minutes",
        "The finished pack feeds a lamp of known watts; the class reads volts and minutes, and draws the curve.",
    ),
    ("wires", "The supply again, its limit at what the thinnest wire on the table bears."),
    ("charging", "The teacher charges the finished pack; the class reads the meter at the socket."),
)


def without_cells(record: Record) -> Sheet:
    """Return the route that handles no bare lithium cells."""
    bare, names = record["assembly"]["bare_cells"], {task.name for task in tasks(record)}
    instead = [row for row in INSTEAD if row[0] in names]
    steps = [step(one) for one in record["assembly"]["without_cells"]]
    none = Words("This machine has no bare lithium cells: its steps are those of the assembly sheet.", "note")
    return Sheet(
        "without-cells",
        "Without bare cells",
        "The same lessons where nobody touches a lithium cell: dry cells, a supply with a limit, a finished pack.",
        (
            Words(BARE, "caution"),
            *_table((Column("lesson", 0.6), Column("in place of cells", 3.0)), instead),
            Heading("The machine built round a finished pack" if bare else "The machine as it is built"),
            *([] if bare else [none]),
            Steps(steps),
        ),
    )
