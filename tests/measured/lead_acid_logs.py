"""Logs of one 12 V valve-regulated lead-acid battery of 17 A·h, as arrays.

Source: the data behind V. Sulzer, S. J. Chapman, C. P. Please, D. A. Howey, C. W. Monroe, "Faster lead-acid battery
simulations from porous-electrode theory", J. Electrochem. Soc. 166 (2019) A2363 and A2372, BSD-3-Clause, in the folder
of open data as lead_acid_17Ah_vrla; its README says what was done to the files (units, sign, sampling). Three
discharges at constant current, rests around them, and one recharge; a row every minute under load, every ten at rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from tests.measured.logs import BatteryLog, common, table

FOLDER = "lead_acid_17Ah_vrla"
LOADED = 0.3  # A, above every meter's offset and below every load of the files


@dataclass(frozen=True, eq=False)
class Log(BatteryLog):
    """One file of the battery; the temperature is that of the battery."""

    @cached_property
    def on(self) -> tuple[int, int]:
        """The first and the last row under load."""
        under = np.flatnonzero(self.current > LOADED)
        return int(under[0]), int(under[-1])

    @property
    def lasted(self) -> float:
        """Time from the first row under load to the last. [s]"""
        first, last = self.on
        return float(self.time[last] - self.time[first])

    @property
    def charge(self) -> float:
        """What came out in that time. [A·s]"""
        first, last = self.on
        return float(self.drawn[last] - self.drawn[first])

    @property
    def warmth(self) -> float:
        """Mean temperature under load. [K]"""
        first, last = self.on
        under = slice(first + 1, last + 1)
        return float(np.average(self.temperature[under], weights=self.seconds[under]))

    def rested(self, seconds: float) -> float:
        """Return the voltage some time after the last row under load, between two rows. [V]"""
        after = slice(self.on[1] + 1, None)
        return float(np.interp(self.time[self.on[1]] + seconds, self.time[after], self.volts[after]))


def read(data: Path, name: str) -> Log:
    """Return one file of the battery, or skip the test that asks for it where it is missing."""
    return Log(**common(table(data, FOLDER, name)))
