"""What a sheet is made of. Plain data: words are formed already, nothing here computes or draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

WRITE = "\u2007"  # a cell that is left for the pen


@dataclass(frozen=True)
class Heading:
    """A title inside a sheet."""

    text: str


@dataclass(frozen=True)
class Words:
    """A paragraph; ``rule`` is that of the findings at its edge: stop, caution, note, or none."""

    text: str
    rule: str = ""


@dataclass(frozen=True)
class Column:
    """One column: its title, how wide it is beside the others, and whether it holds figures."""

    title: str
    wide: float = 1.0
    figures: bool = False


@dataclass(frozen=True)
class Table:
    """Rows of words under their titles; a cell of ``WRITE`` is a line to write on."""

    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]
    caption: str = ""


@dataclass(frozen=True)
class Drawing:
    """A drawing of ours, as SVG, with the words that stand for it."""

    svg: str
    says: str


@dataclass(frozen=True)
class Step:
    """One thing to do and tick off.

    Attributes
    ----------
    does
        What to do.
    live
        Whether parts within reach have the pack's volts; None where that is no question.
    beside
        Pairs of a word and what it says: what to cover, what to read.
    """

    does: str
    live: bool | None = None
    beside: Sequence[tuple[str, str]] = ()


@dataclass(frozen=True)
class Steps:
    """Steps in their order, each with a box to tick; ``before`` of them stand further up, before something else."""

    steps: Sequence[Step]
    before: int = 0


@dataclass(frozen=True)
class Blanks:
    """Fields for the pen, each with its name."""

    names: Sequence[str]


@dataclass(frozen=True)
class Lines:
    """So many lines for the pen."""

    count: int


@dataclass(frozen=True)
class Together:
    """Blocks that no end of a page parts."""

    blocks: Sequence[Heading | Words | Table | Drawing | Blanks]


Block = Heading | Words | Table | Drawing | Steps | Blanks | Lines | Together


@dataclass(frozen=True)
class Sheet:
    """One sheet: what it is for in a sentence, and what stands on it.

    Attributes
    ----------
    name
        By which it is found.
    title, says
        Over it.
    blocks
        In their order.
    lying
        Whether the paper lies, for what is wide.
    """

    name: str
    title: str
    says: str
    blocks: Sequence[Block]
    lying: bool = False


@dataclass(frozen=True)
class Papers:
    """Sheets that are printed together.

    Attributes
    ----------
    name
        Of the file.
    title
        Of the whole.
    sheets
        In their order.
    over
        What stands over every page, also over those that a sheet goes on to; "" of nothing.
    """

    name: str
    title: str
    sheets: Sequence[Sheet]
    over: str = ""
