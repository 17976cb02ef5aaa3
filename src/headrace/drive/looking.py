"""Looking for how far something may go: the greatest value that still holds, in any number of lanes.

Every value looked at is one lane more of one solve, so a search costs a handful of solves, whatever kind of load or
motor it is about. What became of the lanes beyond the edge are outcomes like any other.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Holds = Callable[[Array], Mask]  # of values [place, lane...], in which of them something holds

ROUNDS, PLACES = 8, 4  # each round narrows what is left to a third; after all of them less than 1e-4 is left of a value
FACTORS = np.geomspace(1e-2, 1e3, 31)  # a first look over five decades


def greatest(holds: Holds, lanes: tuple[int, ...], factors: Array = FACTORS) -> Array:
    """Return the greatest value up to which something holds all the way.

    Parameters
    ----------
    holds
        Whether it holds at values.
    lanes
        Shape of the lanes.
    factors
        Values of the first look, rising; what holds in a gap between two of them only is passed over.

    Returns
    -------
    Array
        Infinite where it holds at all of them; a value below the first where it does not hold even there.
    """
    held = _asked(holds, factors, lanes)
    everywhere = held.all(axis=0)
    first = np.where(everywhere, factors.size - 1, np.argmin(held, axis=0))
    good = np.where(first > 0, factors[np.maximum(first - 1, 0)], 0.0)
    return np.where(everywhere, np.inf, edge(holds, good, factors[first]))


def edge(holds: Holds, good: Array, bad: Array) -> Array:
    """Return the value between one that holds and one that does not, nearest to where it ceases to.

    Parameters
    ----------
    holds
        Whether it holds at values.
    good, bad
        Its two sides, in lanes; which is the greater makes no difference.
    """
    good, bad = np.broadcast_arrays(np.asarray(good, dtype=float), np.asarray(bad, dtype=float))
    shares = np.linspace(0.0, 1.0, PLACES).reshape(-1, *(1 for _ in good.shape))
    for _ in range(ROUNDS):
        values = good + shares * (bad - good)
        held = np.ones(values.shape, dtype=bool)
        held[1:-1], held[-1] = holds(values[1:-1]), False
        first = np.argmin(held, axis=0)[np.newaxis]
        good, bad = (np.take_along_axis(values, first - step, axis=0)[0] for step in (1, 0))
    return good


def _asked(holds: Holds, factors: Array, lanes: tuple[int, ...]) -> Mask:
    column = factors.reshape(-1, *(1 for _ in lanes))
    return np.array(np.broadcast_to(holds(column), (factors.size, *lanes)))
