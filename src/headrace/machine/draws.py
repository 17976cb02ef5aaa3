"""Bands turned into lanes: the typical machine first, then as many as asked for, each as likely as the next.

Low and high are the 5 % and 95 % ends of a band, and the typical value is its middle: half of the draws lie below. A
band is lognormal when both ends are positive and the typical value stands between them in proportion; any other band
is two halves of normal distributions that meet at the typical value. No draw passes the hard limits of its key.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from zlib import crc32

import numpy as np
import numpy.typing as npt

from headrace.machine.complete import TIME_FROM_AREA, time_to_mow
from headrace.machine.records import Machine, Origin
from headrace.machine.values import with_values

Array = npt.NDArray[np.float64]

END = 1.6448536269514722  # standard normal deviate that 5 % lie above
IN_PROPORTION = 0.1  # of a band's width in logarithms, by which its typical value may miss the geometric middle


def banded(machine: Machine) -> dict[str, Origin]:
    """Return the numbers of a machine that have a band, by address."""
    return {address: origin for address, origin in machine.pedigree.items() if origin.low < origin.high}


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
    drawn = with_values(machine, values)
    if machine.pedigree["limits.time_wanted"].source != TIME_FROM_AREA:
        return drawn
    return replace(drawn, limits=replace(drawn.limits, time_wanted=time_to_mow(drawn.job)))


def evenly(count: int, seed: int, address: str) -> Array:
    """Return shares between 0 and 1, one in each of ``count`` equal parts, in random order."""
    stream = np.random.default_rng([seed, crc32(address.encode())])
    return (stream.permutation(count) + stream.random(count)) / count


def quantile(origin: Origin, below: Array) -> Array:
    """Return the value of a number that a share of its distribution lies below."""
    from scipy.special import ndtri

    low, typical, high = origin.low, origin.typical, origin.high
    deviate = ndtri(below) / END
    if is_lognormal(low, typical, high):
        values = typical * np.exp(deviate * np.log(high / low) / 2.0)
    else:
        values = typical + deviate * np.where(deviate < 0.0, typical - low, high - typical)
    return np.asarray(np.clip(values, origin.least, origin.most))


def is_lognormal(low: float, typical: float, high: float) -> bool:
    """Return whether a band is lognormal: positive, and typical near the geometric middle of its ends."""
    if not 0.0 < low < high:
        return False
    width = np.log(high / low)
    return bool(abs(np.log(typical / np.sqrt(low * high))) <= IN_PROPORTION * width)
