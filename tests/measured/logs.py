"""What every log of a battery has, whoever measured it: time, current, volts and warmth, row by row."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

Numbers = npt.NDArray[np.float64]

CELSIUS = 273.15  # K at 0 °C
HOUR = 3600.0  # s


@dataclass(frozen=True, eq=False)
class BatteryLog:
    """One file, row by row; discharge positive. The current of a row flowed since the row before."""

    time: Numbers  # s
    current: Numbers  # A
    volts: Numbers  # V
    temperature: Numbers  # K

    @cached_property
    def seconds(self) -> Numbers:
        """Time since the row before; the first row counts from the start of the file. [s]"""
        return np.diff(self.time, prepend=0.0)

    @cached_property
    def drawn(self) -> Numbers:
        """Charge drawn up to the end of each row. [A·s]"""
        return np.cumsum(self.current * self.seconds)


def measured_data() -> Path:
    """Return the folder of open measured data, or skip the test that asks for it."""
    folder = os.environ.get("HEADRACE_DATA", "")
    if not folder or not Path(folder).is_dir():
        pytest.skip("HEADRACE_DATA names no folder of measured data")
    return Path(folder)


def table(data: Path, folder: str, name: str) -> npt.NDArray[Any]:
    """Return the rows of one file by the names of its columns, or skip the test that asks for a file not there."""
    file = data / folder / f"{name}.csv"
    if not file.is_file():
        pytest.skip(f"{file} is not there")
    return np.asarray(np.genfromtxt(file, delimiter=",", names=True))


def common(rows: npt.NDArray[Any]) -> dict[str, Numbers]:
    """Return the columns that all files have, in SI."""
    return {
        "time": rows["time_s"],
        "current": rows["current_A"],
        "volts": rows["voltage_V"],
        "temperature": rows["temperature_C"] + CELSIUS,
    }
