"""The page of predicted and measured: its tables, and the numbers as they are printed there."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "measured.md"
CONDITION = re.compile(r"\b(25|0) °C|C/20|1/e")  # names of a file or of a measure, not what was found
NUMBER = re.compile(r"-?\b\d+(?:\.(\d+))?\b")


def rows_under(heading: str) -> list[list[str]]:
    """Return the rows of the first table under a heading, its head left out; none before the page has it."""
    _, _, after = PAGE.read_text(encoding="utf-8").partition(f"\n### {heading}\n")
    lines = after.partition("\n#")[0].splitlines()
    starts = [place for place, line in enumerate(lines) if line.startswith("|")]
    table = [line for place, line in enumerate(lines[starts[0] :], starts[0]) if place in starts] if starts else []
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table[2:]]


def printed(words: str) -> list[tuple[float, float]]:
    """Return every number in some words, with half a unit of its last digit."""
    found = NUMBER.finditer(CONDITION.sub("", words))
    return [(float(number[0]), 0.5 * 10.0 ** -len(number[1] or "")) for number in found]


def hold(words: str, computed: Sequence[float]) -> None:
    """Hold every number in some words against one that was computed, to its last digit."""
    numbers = printed(words)
    assert len(numbers) == len(computed), (words, computed)
    wrong = [
        (number, value) for (number, half), value in zip(numbers, computed, strict=True) if abs(value - number) > half
    ]
    assert not wrong, f"{words}: printed, computed: {wrong}"
