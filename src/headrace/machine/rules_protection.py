"""Rules of board and pre-charge: they belong to a pack, and a board's thresholds come in order."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from headrace.machine.form_protection import BoardTable
from headrace.machine.form_source import SUPPLIES
from headrace.machine.loose import number, table, text
from headrace.machine.wording import NOTHING, Said

RISING = (("continuous", "peak", "short_circuit"), ("under_voltage", "over_voltage"))


def protection_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong between the numbers of board and pre-charge."""
    kind = text(table(data.get("source")).get("kind"))
    for key in ("board", "pre_charge"):
        if isinstance(data.get(key), dict) and kind in SUPPLIES:
            yield (key,), NOTHING, f"is that of a pack, and a {kind} has none", "leave it out"
    board = table(data.get("board"))
    for keys in RISING:
        given = [(key, value) for key in keys if (value := number(BoardTable, board, key)) is not None]
        for (lower, small), (higher, large) in pairwise(given):
            if large <= small:
                yield ("board", higher), board[higher], f"must be above board.{lower}", f"which is {small:.4g}"
