"""Which way an operating point is found: terms in the speed are walked down, everything else is searched."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headrace.drive.alternating import induction_hunt, series_hunt
from headrace.drive.bracket import search
from headrace.drive.chopped import hunt
from headrace.drive.converting import at_rest, output, through
from headrace.drive.point import Outcome, Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import AnyTrain, Converted, InductionTrain, Resting, Train
from headrace.drive.walk import walk
from headrace.machine.values import lanes_of


def solve(train: AnyTrain, terminals: Terminals) -> Point:
    """Return the operating point of one chain alone on its source.

    Parameters
    ----------
    train
        Reduced chain; floats or lanes.
    terminals
        Source at this instant; floats or lanes.

    Returns
    -------
    Point
        Arrays of the shape to which all inputs broadcast.
    """
    point = _found(train, terminals)
    if np.all(np.isinf(terminals.current_limit)):
        return point
    over = point.works & (point.battery_current > terminals.current_limit)
    return replace(point, outcome=np.where(over, np.int8(Outcome.SOURCE_LIMIT), point.outcome))


def _found(train: AnyTrain, terminals: Terminals) -> Point:
    """Return the operating point the chain itself would come to."""
    if isinstance(train, Resting):
        return at_rest(train, terminals)
    if isinstance(train, Converted):
        return through(train, solve(train.inner, output(train.box)), terminals)
    if isinstance(train, Train) and train.plain:
        return walk(train, terminals)
    shape = lanes_of((train, terminals))
    if isinstance(train, InductionTrain):
        return search(induction_hunt(train, terminals, shape)).reshaped(shape)
    if train.alternating and train.series is not None:
        return search(series_hunt(train, train.series, terminals, shape)).reshaped(shape)
    return search(hunt(train, terminals, shape)).reshaped(shape)
