"""Logs of one 18650 energy cell on a laboratory tester, as arrays.

Source: P. Kollmeyer, "Panasonic 18650PF Li-ion Battery Data", Mendeley Data v1 (2018), DOI 10.17632/wykht8y7tg.1,
CC BY 4.0, in the folder of open data as panasonic_18650pf; its README says what was done to the files (units, sign,
sampling).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tests.measured.logs import HOUR, BatteryLog, Numbers, common, table

FOLDER = "panasonic_18650pf"


@dataclass(frozen=True, eq=False)
class Log(BatteryLog):
    """One file of the cell; the temperature is that of its can."""

    counted: Numbers  # A s, the tester's own count of the discharge


def read(data: Path, name: str) -> Log:
    """Return one file of the cell, or skip the test that asks for it where it is missing."""
    rows = table(data, FOLDER, name)
    return Log(**common(rows), counted=rows["discharged_Ah"] * HOUR)
