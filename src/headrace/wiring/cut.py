"""What a cut list is made of: runs, pieces, sizes."""

from __future__ import annotations

from dataclasses import dataclass

from headrace.machine.records import Lanes


@dataclass(frozen=True)
class Run:
    """The cables of one chain and side.

    Attributes
    ----------
    name
        Of its side and chain, no part's.
    carries
        As its wires in the netlist.
    one_way, there_and_back
        From the source to what it feeds, and of wire for it. [m]
    area
        To be bought; nan where it is not worked out. [m²]
    cord
        Whether out and back lie in one cord, as with mains.
    basis
        Whether the file gives its length or it is an estimate.
    """

    name: str
    carries: str
    one_way: Lanes
    there_and_back: Lanes
    area: Lanes
    cord: bool
    basis: str

    @property
    def laid(self) -> Lanes:
        """Length of what is bought for it. [m]"""
        return self.one_way if self.cord else self.there_and_back


@dataclass(frozen=True)
class Piece:
    """One wire to be cut.

    Attributes
    ----------
    ends, made
        Its two terminals, and how each end is made.
    carries
        As in the netlist.
    size
        By which it is bought: a name in the list of sizes.
    area, least
        To be bought, and that it needs; nan where they are not worked out. [m²]
    gauge
        The thinnest that has as much metal; None where none has.
    length
        Its own; nan where the file does not give it. [m]
    basis
        Whether a length is given or an estimate; "" without one.
    run
        That it is part of; "" where there is none.
    reason
        Why it has no length of its own, or by what it is an estimate; "" where it has one.
    """

    ends: tuple[str, str]
    made: tuple[str, str]
    carries: str
    size: str
    area: Lanes
    least: Lanes
    gauge: str | None
    length: Lanes
    basis: str
    run: str
    reason: str


@dataclass(frozen=True)
class Size:
    """What is bought of one size.

    Attributes
    ----------
    name
        As on the shopping list.
    area, gauge
        As of its pieces.
    laid, length
        As far as it is known: of the wires, and to be bought. [m]
    ends
        Of each way of making an end that is bought: its name on the shopping list, and how many.
    """

    name: str
    area: Lanes
    gauge: str | None
    laid: Lanes
    length: Lanes
    ends: tuple[tuple[str, Lanes], ...]


@dataclass(frozen=True)
class Cuts:
    """All of it; of what never empties the cables of the file, which are all that is known."""

    allowance: Lanes  # -, bought over what is laid
    longest: Run | None  # on the source's side, that others are estimated by
    runs: tuple[Run, ...]
    pieces: tuple[Piece, ...]
    sizes: tuple[Size, ...]
