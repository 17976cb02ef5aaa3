"""Numbers of the tables: in a working each is a leaf that says where it is printed."""

from __future__ import annotations

from headrace.physics.working import leaves
from headrace.tables import Row, sources


def printed(row: Row, column: str, words: str = "") -> float:
    """Return a number of a row, in the SI unit of its column.

    Parameters
    ----------
    row
        Of a table with a source in every row.
    column
        Which of its numbers.
    words
        What it is, where a working has to say more than the title of its source.
    """
    title = sources()[row["source"]].title
    number: float = leaves(float(row[column]), "table", f"{words}, {title}" if words else title)
    return number
