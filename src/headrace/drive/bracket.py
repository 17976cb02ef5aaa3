"""An operating point that is no sum of plain terms: searched for between standstill and the fastest there is.

A speed holds where every margin is left, and the fastest that holds is the operating point. A load that takes more
torque the faster it turns has one such speed. One that takes less has two or none, so where neither end of the range
holds, the range is looked through from its fast side until a speed does. Slopes are not asked for: the curve of a pump
has none where its flow starts.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol, TypeVar

import numpy as np

from headrace.drive.point import Array, Codes, Mask, Point
from headrace.machine.values import some_lanes

SLOWEST = 1e-3  # of the fastest: below it a shaft is taken to stand
CLOSE = 1e-13  # relative step at which the search ends
FALSE_POSITIONS = 30  # tried before the bracket is halved instead; 6 to 9 do
ROUNDS = 90
KEEP = 0.7  # share of lanes still on below which they are gathered

# Where a range is looked through, as shares of the fastest speed: an island of speeds that hold and is narrower than
# the gap between two of them may be passed over, and is then told as a stall.
LOOKS = np.concatenate([np.linspace(0.995, 0.5, 67), np.geomspace(0.49, SLOWEST, 45)])


class Hunted(Protocol):
    """A chain on its source in one row of lanes, as a named tuple, so that lanes of it can be taken."""

    def fastest(self) -> Array:
        """Return a speed that nothing can pass; 0 where nothing turns. [rad/s]"""

    def room(self, speed: Array) -> tuple[Array, Codes]:
        """Return the least of the margins at a speed, as a share of what there is, and which one it is."""

    def point(self, speed: Array, moving: Mask) -> Point:
        """Return the point at a speed; that at standstill where the lane does not move."""


Chain = TypeVar("Chain", bound=Hunted)


def search(chain: Chain) -> Point:
    """Return the operating point of a chain, in its row of lanes."""
    fastest = np.array(chain.fastest(), dtype=float)
    turning = fastest > 0.0
    fastest = np.where(turning, fastest, 1.0)
    slowest = SLOWEST * fastest
    at_fastest, at_slowest = chain.room(fastest)[0], chain.room(slowest)[0]
    at_once = at_fastest >= 0.0
    low, at_low, high, at_high = slowest, at_slowest, fastest, at_fastest
    hidden = np.flatnonzero(turning & ~at_once & (at_slowest < 0.0))
    if hidden.size > 0:
        seen = _looked_through(_some(chain, fastest.size, hidden), fastest[hidden], at_fastest[hidden])
        for whole, part in zip((low, at_low, high, at_high), seen, strict=True):
            whole[hidden] = part
    moving = turning & (at_once | (at_low >= 0.0))
    speed = np.where(moving, fastest, slowest)
    between = np.flatnonzero(moving & ~at_once)
    if between.size > 0:
        ends = _Hunt(low, at_low, high, at_high, high, np.zeros(speed.size, dtype=bool), high)
        hunting = (chain, ends) if between.size == speed.size else some_lanes((chain, ends), (speed.size,), between)
        speed[between] = _crossing(*hunting)
    return chain.point(speed, moving)


def _some(chain: Chain, size: int, chosen: np.ndarray) -> Chain:
    some: Chain = some_lanes(chain, (size,), chosen)
    return some


def _looked_through(chain: Chain, fastest: Array, at_fastest: Array) -> tuple[Array, Array, Array, Array]:
    """Return the first speed from above that holds, and the one looked at before it; a margin below zero where none."""
    low, at_low = SLOWEST * fastest, np.full(fastest.shape, -1.0)
    high, at_high = fastest.copy(), at_fastest.copy()
    looking = np.ones(fastest.shape, dtype=bool)
    for share in LOOKS:
        here = share * fastest
        left = chain.room(here)[0]
        found = looking & (left >= 0.0)
        low, at_low = np.where(found, here, low), np.where(found, left, at_low)
        looking &= ~found
        high, at_high = np.where(looking, here, high), np.where(looking, left, at_high)
        if not looking.any():
            break
    return low, at_low, high, at_high


class _Hunt(NamedTuple):
    """Brackets under way, one in each lane: some margin is left at the low end, none at the high one."""

    low: Array  # rad/s
    at_low: Array
    high: Array  # rad/s
    at_high: Array
    here: Array  # rad/s, looked at last
    was_low: Mask  # whether that became the low end
    moved: Array  # rad/s, from the one before


def _crossing(chain: Chain, hunt: _Hunt) -> Array:
    """Return the speed at which the tightest margin is used up, from brackets that hold it.

    False position after Anderson and Björck (BIT 13 (1973) 253, from memory): an end that stays where it is counts for
    less from step to step, so that both close in.
    """
    found, place = hunt.high.copy(), np.arange(hunt.high.size)
    for step in range(ROUNDS):
        hunt = _closer(chain, hunt, halved=step >= FALSE_POSITIONS)
        found[place] = hunt.here
        on = np.flatnonzero(hunt.moved > CLOSE * hunt.here)
        if on.size == 0:
            break
        if on.size < KEEP * place.size:
            chain, hunt = some_lanes((chain, hunt), (place.size,), on)
            place = place[on]
    return found


def _closer(chain: Chain, hunt: _Hunt, *, halved: bool) -> _Hunt:
    """Return brackets that are one look narrower."""
    low, at_low, high, at_high, before, was_low, _ = hunt
    here = 0.5 * (low + high) if halved else high - at_high * (high - low) / (at_high - at_low)
    left = chain.room(here)[0]
    is_low = left >= 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        shrunk = 1.0 - left / np.where(is_low, at_low, at_high)
    less = np.where(is_low == was_low, np.where(shrunk > 0.0, shrunk, 0.5), 1.0)
    return _Hunt(
        low=np.where(is_low, here, low),
        at_low=np.where(is_low, left, at_low * less),
        high=np.where(is_low, high, here),
        at_high=np.where(is_low, at_high * less, left),
        here=here,
        was_low=is_low,
        moved=np.abs(here - before),
    )
