"""Numbers worked out of others: the inertia of a blade from its mass and diameter, a share from the field efficiency.

They follow what they are made of. Whoever puts another number into a machine, a draw or the end of a band, does it by
``with_numbers``, and what hangs on that number is worked out anew.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from headrace.machine.lanes import Lanes

if TYPE_CHECKING:
    from headrace.machine.records import Origin

Law = Callable[..., Lanes]


@dataclass(frozen=True)
class Worked:
    """How one number is worked out."""

    law: Law  # of the numbers it is made of, floats or lanes, in order
    parents: tuple[str, ...]  # their addresses


def in_quadrature(law: Law, parents: Sequence[Origin]) -> tuple[float, float, float, Origin]:
    """Return low, typical and high of a number worked out of others, and the one of them that moves it most.

    The bands move it one at a time, each in its direction; moves of one direction are combined as the root of the sum
    of their squares, which is exact for a single band.
    """
    middle = [origin.typical for origin in parents]
    typical = float(law(*middle))
    down, up, widths = 0.0, 0.0, []
    for place, origin in enumerate(parents):
        ends = [float(law(*middle[:place], end, *middle[place + 1 :])) - typical for end in (origin.low, origin.high)]
        down += min(*ends, 0.0) ** 2
        up += max(*ends, 0.0) ** 2
        widths.append(max(ends) - min(ends))
    return typical - float(np.sqrt(down)), typical, typical + float(np.sqrt(up)), parents[int(np.argmax(widths))]


def followed(
    worked: Mapping[str, Worked], known_at: Callable[[str], Lanes], values: Mapping[str, Lanes]
) -> dict[str, Lanes]:
    """Return what becomes of the numbers that are made of some others.

    Parameters
    ----------
    worked
        How numbers are worked out, each after those it is made of.
    known_at
        Every number of the machine as it stands, by address.
    values
        Other numbers at some addresses; a worked number among them stays as it is given.
    """
    known = dict(values)
    for address, how in worked.items():
        if address not in known and any(parent in known for parent in how.parents):
            known[address] = how.law(
                *(known[parent] if parent in known else known_at(parent) for parent in how.parents)
            )
    return {address: value for address, value in known.items() if address not in values}
