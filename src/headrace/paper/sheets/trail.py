"""The power trail on paper: one drawing for each duty state, all to one scale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.paper.drawings.course import course, says
from headrace.paper.sheets.blocks import Block, Drawing, Heading, Sheet, Words
from headrace.paper.words import chains_of, giver, middle, percent, rpm

Record = dict[str, Any]


def trail(record: Record) -> Sheet:
    """Return the sheet."""
    losses = record["losses"]
    chains = chains_of(losses)
    full = max((middle(s["source_W"]) for chain in chains for s in chain["states"] if s["links"]), default=1.0)
    return Sheet(
        "trail",
        "Power trail",
        f"Where each watt goes, from the tool back to {giver(record['pack'])}, in the middle of the day, "
        f"{percent(middle(losses['charge']))} of the charge left. Hatched: known; dotted: assumed.",
        [block for chain in chains for block in _chain(chain, full)],
        lying=True,
    )


def _chain(chain: Record, full: float) -> Iterator[Block]:
    """Yield a drawing for each state in which it draws, and a sentence for those in which it does not."""
    for state in chain["states"]:
        if state["links"]:
            yield Heading(_capital(f"{_of(chain)}{state['name']}, {percent(middle(state['share']))} of the time"))
            yield Words(f"{rpm(middle(state['tool_speed_rad_s']))}: {state['reason']}.")
            yield Drawing(course(state, full), says(state))
    still = [state for state in chain["states"] if not state["links"]]
    for reason in dict.fromkeys(state["reason"] for state in still):
        names = ", ".join(state["name"] for state in still if state["reason"] == reason)
        yield Words(_capital(f"{_of(chain)}in {names}: {reason}."))


def _of(chain: Record) -> str:
    return f"{chain['name']}: " if chain["name"] else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
