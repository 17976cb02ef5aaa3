"""One task of a class: what is known, what to predict, how to measure it; and the duty state it is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from headrace.paper.words import chains_of

Record = dict[str, Any]
CELLS = "cells"  # the kind of the loss that stays inside the cells, which no meter at the terminals sees
LIKEWISE = "likewise"
WHEN = "read"  # stands before the moment of the day that numbers are told of
PAPER = "worked out, not measured"


@dataclass(frozen=True)
class Asked:
    """One number to predict: what it is, how it is measured, what the plan says."""

    what: str
    how: str
    answer: str


@dataclass(frozen=True)
class Task:
    """The task of one group.

    Attributes
    ----------
    name, title
        By which it is found, and the question it is about.
    known
        Pairs of what is given and its value.
    rule
        How the numbers hang together.
    asked
        What to predict.
    care
        What to look out for while measuring.
    slip
        For the teacher: where predictions usually go wrong.
    """

    name: str
    title: str
    known: Sequence[tuple[str, str]]
    rule: str
    asked: Sequence[Asked]
    care: str
    slip: str


def heaviest(record: Record) -> Record | None:
    """Return the duty state that draws most among those in which the tool turns; None where it turns in none."""
    states: list[Record] = [
        state
        for chain in chains_of(record["losses"])
        for state in chain["states"]
        if state["links"] and state["tool_speed_rad_s"] > 0.0
    ]
    return max(states, key=lambda state: float(state["source_W"]), default=None)


def at_terminals(state: Record) -> float:
    """Return what goes in at the terminals, where a meter can be held. [W]"""
    return float(next(link for link in reversed(state["links"]) if link["kind"] != CELLS)["power_in_W"])
