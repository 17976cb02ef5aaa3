"""Usual numbers of practice that no key of the file has."""

from __future__ import annotations

from headrace.machine.printed import printed
from headrace.tables import load


def practice(key: str, words: str = "") -> float:
    """Return a number of the table of defaults that a file cannot give.

    Parameters
    ----------
    key
        Its key in the table.
    words
        What it is, where a working has to say more than the title of its source.
    """
    row = next(row for row in load("defaults") if row["key"] == key)
    return printed(row, "typical", words)
