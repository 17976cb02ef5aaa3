"""How long a motor bears each duty state, in a sentence."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import celsius, middle, minutes

Record = dict[str, Any]
HALF = 0.5


def warming(chain: Record, *, several: bool) -> str:
    """Return the sentence for one chain; with its name where there are several."""
    name = f"{chain['name'].capitalize()}: " if several else ""
    told = "; ".join(f"{state['name']}, {_state(state)}" for state in chain["states"])
    return f"{name}Kept at one thing without a pause, in the hottest weather: {told}."


def _state(state: Record) -> str:
    if state["hottest_winding_K"] is None:
        return "does not work at half charge"
    if middle(state["stops_when_warm"]) > HALF:
        return "its load stops it once it is warm"
    if state["to_limit_s"] is None:
        return f"the winding settles at {celsius(state['hottest_winding_K'])}"
    cool = f"{minutes(state['looked_s'])} and more" if state["to_cool_s"] is None else minutes(state["to_cool_s"])
    return f"the winding reaches its limit after {minutes(state['to_limit_s'])} and takes {cool} to cool"
