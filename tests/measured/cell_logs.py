"""Logs of one 18650 energy cell on a laboratory tester, as arrays.

Source: P. Kollmeyer, "Panasonic 18650PF Li-ion Battery Data", Mendeley Data v1 (2018), DOI 10.17632/wykht8y7tg.1,
CC BY 4.0, in the folder of open data as panasonic_18650pf; its README says what was done to the files (units, sign,
sampling).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

Numbers = npt.NDArray[np.float64]

FOLDER = "panasonic_18650pf"
CELSIUS = 273.15  # K at 0 °C
HOUR = 3600.0  # s


@dataclass(frozen=True, eq=False)
class Log:
    """One file, row by row; discharge positive. The current of a row flowed since the row before."""

    time: Numbers  # s
    current: Numbers  # A
    volts: Numbers  # V
    temperature: Numbers  # K, of the can
    counted: Numbers  # A s, the tester's own count of the discharge

    @cached_property
    def seconds(self) -> Numbers:
        """Time since the row before; the first row counts from the start of the file. [s]"""
        return np.diff(self.time, prepend=0.0)

    @cached_property
    def drawn(self) -> Numbers:
        """Charge drawn up to the end of each row. [A·s]"""
        return np.cumsum(self.current * self.seconds)


def read(data: Path, name: str) -> Log:
    """Return one file of the cell, or skip the test that asks for it where it is missing."""
    file = data / FOLDER / f"{name}.csv"
    if not file.is_file():
        pytest.skip(f"{file} is not there")
    rows = np.genfromtxt(file, delimiter=",", names=True)
    return Log(
        time=rows["time_s"],
        current=rows["current_A"],
        volts=rows["voltage_V"],
        temperature=rows["temperature_C"] + CELSIUS,
        counted=rows["discharged_Ah"] * HOUR,
    )
