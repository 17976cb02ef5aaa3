"""Run contenders in turn, several rounds, and keep each one's least time: machines swing, minima less so."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping


def least_times(contenders: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Return the least time of each contender over interleaved rounds. [s]"""
    least = dict.fromkeys(contenders, float("inf"))
    for _ in range(rounds):
        for name, run in contenders.items():
            start = time.perf_counter()
            run()
            least[name] = min(least[name], time.perf_counter() - start)
    return least
