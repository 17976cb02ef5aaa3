"""The assembly sheet: from bare parts to what the connecting order begins with, each step live or dead."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from headrace.paper.assembly import Usual, before, besides, kept_away, reading, touching, usual
from headrace.paper.sheets.blocks import Sheet, Step, Steps, Words

Record = dict[str, Any]
LAST = {
    "wall-socket": "What has no volts is built first; the mains last, by who may work on it.",
    "bench-supply": "What has no volts is built first, the supply joined last, switched off.",
}
OF_A_PACK = (
    "What has no volts is built first, the pack last. A step marked live has the volts of cells within reach: they "
    "cannot be switched off."
)
ALL_TOLD: Mapping[bool, Usual] = {}  # nothing is usual: each step tells all of it


def building(record: Record) -> Sheet:
    """Return the sheet."""
    assembly = record["assembly"]
    return Sheet(
        "assembly",
        "Assembly",
        LAST.get(record["pack"]["source"], OF_A_PACK),
        (
            Words(before(record), "caution"),
            *(Words(says, "caution") for says in kept_away(record)),
            *([Words(touching(record), "caution")] if touching(record) else []),
            Steps([step(one, usual(record)) for one in assembly["steps"]]),
        ),
    )


def step(one: Record, ready: Mapping[bool, Usual] = ALL_TOLD) -> Step:
    """Return one step of the assembly with its covers, and the tools and hands that are not those of most."""
    tools, hands = besides(one, ready)
    pairs = (
        ("tools", tools),
        ("hands", hands),
        ("cover", one["cover"]),
        ("read", reading(one)),
    )
    return Step(one["does"], one["live"], tuple((name, says) for name, says in pairs if says))
