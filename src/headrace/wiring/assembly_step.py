"""One step of building the machine, and the words that steps share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headrace.machine.records import Lanes
from headrace.physics.working import leaves

ON_THE_BODY = ("rings, watch and chains", "loose sleeves and hair")
ON_THE_BENCH = ("tools without insulated handles", "liquids", "off-cuts of strip and bare wire", "another open pack")
BY_A_PACK = (*ON_THE_BODY, *ON_THE_BENCH)
CUTS = "the blade, the tines or whatever cuts"
BY_A_TOOL = (*ON_THE_BODY, CUTS, "a pack, or a lead that ends in one")
FEEDS = {"wall-socket": "a cord that is plugged in", "bench-supply": "a lead from a supply that is on"}
NOT_LIVE = "nothing within reach has volts"


@dataclass(frozen=True)
class AssemblyStep:
    """One step from bare parts to what the connecting order begins with.

    Attributes
    ----------
    name
        What it is called.
    live
        Whether something within reach has volts at it: cells and batteries always have.
    does, cover
        What is done, and what is covered or left apart meanwhile.
    tools
        What lies on the bench for it.
    hands
        How the hands work.
    never
        What is never on the bench, or on the body, at it.
    reach
        Most volts within reach, of full cells; 0 of a dead step. [V]
    read
        What is read or tried; "" where nothing is.
    full, half
        What a meter should say on full cells and on half full ones; nan where it is no matter of volts. [V]
    differs
        What it means when it says something else.
    """

    name: str
    live: bool
    does: str
    cover: str
    tools: tuple[str, ...]
    hands: str
    never: tuple[str, ...]
    reach: Lanes
    read: str = ""
    full: Lanes = np.nan
    half: Lanes = np.nan
    differs: str = ""


def dead(
    name: str, does: str, cover: str, tools: tuple[str, ...], read: str = "", differs: str = "", hands: str = ""
) -> AssemblyStep:
    """Return a step at which nothing within reach has volts."""
    none: Lanes = leaves(0.0, "search", NOT_LIVE)
    hands = hands or "both hands; gloves off near anything that can turn"
    return AssemblyStep(name, False, does, cover, tools, hands, BY_A_TOOL, none, read, differs=differs)


def millimetres(metres: float) -> str:
    """Return a length in millimetres, without noughts at its end."""
    return f"{metres * 1000.0:.2f}".rstrip("0").rstrip(".") + " mm"
