"""The weakest of the groups in series: it holds less, resists more, and is the first that a board sees."""

from __future__ import annotations

from typing import NamedTuple

from headrace.machine.records import Lanes, Source
from headrace.pack.source import aged
from headrace.physics import scatter


class Weakest(NamedTuple):
    """A pack all of whose groups are as weak as its weakest, and the charge they are at."""

    source: Source
    charge: Lanes


def weakest(source: Source, charge: Lanes) -> Weakest:
    """Return the weakest group of a pack, written as a pack of such groups.

    What it holds is as far below the mean as its resistance is above it: weak cells are usually both.

    Parameters
    ----------
    source
        The pack, of mean groups.
    charge
        That these have left. [-]
    """
    between = scatter.scatter_of_a_group(source.scatter, source.parallel)
    short = between * scatter.shortfall_of_the_least(source.series)
    return Weakest(aged(source, 1.0 - short, 1.0 + short), scatter.charge_of_the_weak(charge, short))
