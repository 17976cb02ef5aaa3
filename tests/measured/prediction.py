"""A drive file run through the model: the measured current in, volts and temperature out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from headrace.machine.records import Source
from headrace.pack import source as pack
from tests.measured.cell_logs import Log
from tests.measured.logs import Numbers

ABOVE = 0.1  # charge down to which volts are held against the file


@dataclass(frozen=True)
class Predicted:
    """What the model says at each row of a file, and how far off it is."""

    volts: Numbers  # V
    charge: Numbers  # -
    temperature: Numbers  # K
    volts_off: float  # V, root mean square over the rows above a tenth of the charge
    energy_off: float  # -, over the whole file
    warmth_off: float  # K, root mean square over all rows


def predict(source: Source, log: Log, air: float | None = None) -> Predicted:
    """Return the course of a full cell under the current of a file.

    Parameters
    ----------
    source
        One cell.
    log
        The file; only its current is used, and its temperature where ``air`` is None.
    air
        Around the cell, which then finds its own temperature from the file's first on; None holds the cell at the
        temperature measured. [K]
    """
    state = pack.fresh(float(log.temperature[0]))
    course = np.empty((len(log.time), 3))
    rows = zip(log.current.tolist(), log.seconds.tolist(), log.temperature.tolist(), strict=True)
    for row, (amps, seconds, measured) in enumerate(rows):
        if air is None:
            state = replace(state, temperature=measured)
        state = pack.advance(source, state, amps, measured if air is None else air, seconds)
        offered = pack.at(source, state)
        course[row] = offered.voltage - amps * offered.resistance, state.charge, state.temperature
    volts, charge, temperature = course.T
    judged = charge > ABOVE
    power = log.current * log.seconds
    return Predicted(
        volts,
        charge,
        temperature,
        volts_off=float(np.sqrt(np.mean((volts - log.volts)[judged] ** 2))),
        energy_off=float(np.sum(volts * power) / np.sum(log.volts * power) - 1.0),
        warmth_off=float(np.sqrt(np.mean((temperature - log.temperature) ** 2))),
    )
