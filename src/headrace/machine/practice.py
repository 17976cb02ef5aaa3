"""Usual numbers of practice that no key of the file has."""

from __future__ import annotations

from headrace.physics.working import leaves
from headrace.tables import load, sources


def practice(key: str, words: str = "") -> float:
    """Return a number of the table of defaults that a file cannot give.

    Parameters
    ----------
    key
        Its key in the table.
    words
        What it is called in a working; without them its source is.
    """
    row = next(row for row in load("defaults") if row["key"] == key)
    called = f"{words}, as usual" if words else sources()[row["source"]].title
    number: float = leaves(float(row["typical"]), "table", called)
    return number
