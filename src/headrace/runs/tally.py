"""The tally of a march: sums, extremes and latest values, in the lanes still at work and in those set aside."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from headrace.machine.records import Lanes
from headrace.runs.run import Array

Mask = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]


class Tally:
    """Numbers by name, one for each lane, filled in as a march goes.

    Lanes that have ended can be set aside: what is counted from then on are the others, in one row, and ``all`` puts
    every lane back in its place.
    """

    def __init__(self, shape: tuple[int, ...]) -> None:
        self.shape = shape  # of all lanes
        self._place: Places = np.arange(int(np.prod(shape))).reshape(shape)  # of the lanes at work among all
        self._at_work: dict[str, Array] = {}
        self._all: dict[str, Array] = {}

    def start(self, name: str, value: Lanes) -> None:
        """Begin a number at a value."""
        self._at_work[name] = np.array(np.broadcast_to(value, self._place.shape), dtype=float)
        self._all.setdefault(name, np.full(self.shape, np.nan))

    def put(self, name: str, value: Lanes, lanes: Mask) -> None:
        """Set a number in some lanes."""
        np.copyto(self._at_work[name], value, where=lanes)

    def add(self, name: str, amount: Lanes, lanes: Mask) -> None:
        """Add to a number in some lanes."""
        numbers = self._at_work[name]
        np.add(numbers, amount, out=numbers, where=lanes)

    def most(self, name: str, value: Lanes, lanes: Mask) -> None:
        """Keep the larger in some lanes."""
        numbers = self._at_work[name]
        np.maximum(numbers, value, out=numbers, where=lanes)

    def least(self, name: str, value: Lanes, lanes: Mask) -> None:
        """Keep the smaller in some lanes."""
        numbers = self._at_work[name]
        np.minimum(numbers, value, out=numbers, where=lanes)

    def set_aside(self, staying: Places) -> None:
        """Go on with some of the lanes at work, by their places among these; the others stay as they are."""
        self._note()
        self._place = self._place.reshape(-1)[staying]
        self._at_work = {name: numbers.reshape(-1)[staying] for name, numbers in self._at_work.items()}

    def all(self) -> dict[str, Array]:
        """Return every number in every lane."""
        self._note()
        return self._all

    def _note(self) -> None:
        for name, numbers in self._at_work.items():
            self._all[name].reshape(-1)[self._place.reshape(-1)] = numbers.reshape(-1)
