"""Bands turned into lanes: the typical machine first, then as many as asked for, each as likely as the next.

Low and high are the 5 % and 95 % ends of a band, and the typical value is its middle: half of the draws lie below. A
band whose low end is positive is two halves of lognormal distributions that meet at the typical value, one lognormal
where that stands between the ends in proportion; any other band is two halves of normal ones. No draw passes the hard
limits of its key. Numbers worked out of others are not drawn: they follow. All others are drawn on their own, so where
bands overlap a draw in some hundred may have the tall grass thinner than the grass.
"""

from __future__ import annotations

from collections.abc import Mapping
from zlib import crc32

import numpy as np
import numpy.typing as npt

from headrace.machine.records import Machine, Origin
from headrace.machine.values import with_numbers

Array = npt.NDArray[np.float64]

END = 1.6448536269514722  # standard normal deviate that 5 % lie above


def banded(machine: Machine) -> dict[str, Origin]:
    """Return the numbers of a machine that have a band of their own, by address."""
    return {a: origin for a, origin in machine.pedigree.items() if origin.low < origin.high and a not in machine.worked}


def draws(machine: Machine, count: int, seed: int) -> Machine:
    """Return the machine in one lane as it is, then in ``count`` lanes drawn from the bands of its numbers.

    Parameters
    ----------
    machine
        The machine, one lane.
    count
        How many draws.
    seed
        Of the draws. Each address has a stream of its own, so that a band more or less leaves the others alone.

    Returns
    -------
    Machine
        Lanes of shape (1 + count,); lane 0 is the typical machine.
    """
    shares = {address: evenly(count, seed, address) for address in banded(machine)}
    return at_shares(machine, shares)


def at_shares(machine: Machine, shares: Mapping[str, Array]) -> Machine:
    """Return the machine in one lane as it is, then in lanes with numbers at given shares of their distributions.

    Parameters
    ----------
    machine
        The machine, one lane.
    shares
        For each address, how much of the number's distribution lies below it, between 0 and 1; all of one length.
    """
    values = {}
    for address, below in shares.items():
        origin = machine.pedigree[address]
        values[address] = np.concatenate(([origin.typical], quantile(origin, below)))
    return with_numbers(machine, values)


def evenly(count: int, seed: int, address: str) -> Array:
    """Return shares between 0 and 1, one in each of ``count`` equal parts, in random order."""
    stream = np.random.default_rng([seed, crc32(address.encode())])
    return (stream.permutation(count) + stream.random(count)) / count


def quantile(origin: Origin, below: Array) -> Array:
    """Return the value of a number that a share of its distribution lies below."""
    from scipy.special import ndtri

    low, typical, high = origin.low, origin.typical, origin.high
    deviate = ndtri(below) / END
    lower = deviate < 0.0
    if low > 0.0:
        values = typical * np.exp(deviate * np.where(lower, np.log(typical / low), np.log(high / typical)))
    else:
        values = typical + deviate * np.where(lower, typical - low, high - typical)
    return np.asarray(np.clip(values, origin.least, origin.most))
