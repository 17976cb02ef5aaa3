"""The power trail in block characters: a water course that widens upstream as each loss joins it."""

from __future__ import annotations

from typing import Any

from headrace.paper.words import giver, watts

WATER = "█"
KNOWN = "▓"  # measured, datasheet, table, given
ASSUMED = "░"
LEAST_NAME = 20


def trail(state: dict[str, Any], width: int = 40) -> list[str]:
    """Return the lines of one duty state's power trail, tool first.

    Parameters
    ----------
    state
        One entry of ``states`` in the record of ``losses``.
    width
        Columns for the power of the source.
    """
    if not state["links"]:
        return [f"  {state['reason']}"]
    scale = width / state["source_W"]
    names = max(LEAST_NAME, *(len(link["name"]) for link in state["links"]))
    lines = [_line("into the work", names, _bar(0.0, state["useful_W"], scale, WATER), state["useful_W"], "", width)]
    for link in state["links"]:
        shade = ASSUMED if link["basis"] == "assumed" else KNOWN
        lines.append(
            _line(
                link["name"],
                names,
                _bar(0.0, link["power_out_W"], scale, WATER) + _joining(link, scale, shade),
                link["loss_W"],
                link["basis"],
                width,
            )
        )
    lines.append(_line(f"from {giver(state)}", names, WATER * width, state["source_W"], "", width))
    return lines


def _line(name: str, names: int, bar: str, power: float, basis: str, width: int) -> str:
    return f"  {name:<{names}}  {bar:<{width}}  {watts(power):>8}  {basis}".rstrip()


def _bar(start: float, end: float, scale: float, shade: str) -> str:
    return shade * (round(end * scale) - round(start * scale))


def _joining(link: dict[str, Any], scale: float, shade: str) -> str:
    """Return the loss as it joins; too small for a column of its own it still leaves a mark."""
    return _bar(link["power_out_W"], link["power_in_W"], scale, shade) or ("▏" if link["loss_W"] > 0.0 else "")
