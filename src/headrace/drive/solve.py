"""Which way an operating point is found: terms in the speed are walked down, a curve is searched."""

from __future__ import annotations

from headrace.drive.bracket import search
from headrace.drive.point import Point
from headrace.drive.terminals import Terminals
from headrace.drive.train import Train
from headrace.drive.walk import walk


def solve(train: Train, terminals: Terminals) -> Point:
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
    return walk(train, terminals) if train.curve is None else search(train, train.curve, terminals)
