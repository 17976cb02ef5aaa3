"""The power trail on paper: one drawing for each duty state, all to one scale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.drawings.course import course, says
from headrace.paper.sheets.blocks import Block, Drawing, Heading, Sheet, Together, Words
from headrace.paper.words import capital, chains_of, giver, middle, moment, percent, rpm

Record = dict[str, Any]
NOTHING = 0.05  # W, below which nothing is drawn


def trail(record: Record) -> Sheet:
    """Return the sheet."""
    losses = record["losses"]
    chains = chains_of(losses)
    drawn = [state for chain in chains for state in chain["states"] if _draws(state)]
    full = max((middle(state["source_W"]) for state in drawn), default=1.0)
    warmth = "motor warm" if losses["time_s"] > 0.0 else "motor cold"
    return Sheet(
        "trail",
        "Power trail",
        f"Where each watt goes, from the tool back to {giver(record['pack'])}, {moment(record)}. "
        "Hatched: known; dotted: assumed.",
        [block for chain in chains for block in _chain(chain, full, warmth)],
        lying=True,
    )


def _chain(chain: Record, full: float, warmth: str) -> Iterator[Block]:
    """Yield a drawing for each state in which it draws, and a sentence for those in which it does not."""
    for state in chain["states"]:
        if _draws(state):
            yield Together(
                (
                    Heading(capital(f"{_of(chain)}{state['name']}, {percent(middle(state['share']))} of the time")),
                    Words(f"{rpm(middle(state['tool_speed_rad_s']))}, {warmth}: {state['reason']}."),
                    Drawing(course(state, full), says(state)),
                )
            )
    still = [state for state in chain["states"] if not _draws(state)]
    for reason in dict.fromkeys(state["reason"] for state in still):
        names = ", ".join(state["name"] for state in still if state["reason"] == reason)
        yield Words(capital(f"{_of(chain)}in {names}: {reason}."))


def _draws(state: Record) -> bool:
    return bool(state["links"]) and middle(state["source_W"]) > NOTHING


def _of(chain: Record) -> str:
    return f"{chain['name']}: " if chain["name"] else ""
