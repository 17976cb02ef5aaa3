"""What a machine is fed from, in words: how nothing feeds it any more, and when it has the most volts."""

from __future__ import annotations

from dataclasses import asdict, dataclass


@dataclass(frozen=True)
class Fed:
    """The words that go with one kind of source.

    Attributes
    ----------
    out
        What is out when it is dead.
    kept
        The same, so that nobody else undoes it.
    most
        With what it has the most volts.
    dead
        All that may be out when it is dead.
    """

    out: str
    kept: str
    most: str
    dead: str

    def told(self, text: str) -> str:
        """Return a text of a table in these words: "wait, {out}" as "wait, fuse out"."""
        return text.format_map(asdict(self))


PACK = Fed("fuse out", "fuse out and in your own pocket", "with a full pack", "fuse or plug out")
SUPPLIED = {
    "wall-socket": Fed("plug out", "plug out and in your own sight", "at full volts", "plug out"),
    "bench-supply": Fed("supply off", "supply off, its leads off and in your own sight", "at full volts", "supply off"),
}


def fed(kind: str) -> Fed:
    """Return the words of a kind of source, as ``Source.kind`` and a record say it."""
    return SUPPLIED.get(kind, PACK)
