"""Rules of ``[wiring]``: it belongs to a pack, and names parts and terminals that there are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.machine.form_source import SUPPLIES
from headrace.machine.joins import KINDS, MAY_HAVE, kind_by_name, parted
from headrace.machine.loose import link_name, table, tables, text
from headrace.machine.wording import NOTHING, Said, did_you_mean

OF_A_LINK = {
    "controller": ("controller", "three-phase controller", "mains switch"),
    "motor": ("motor", "three-phase motor", "mains motor"),
    "inverter": ("inverter",),
    "dc-dc": ("dc-dc",),
}
FIRST = ("pack", "board", "fuse", "isolator", "contactor", "pre-charge relay", "pre-charge resistor", "delay relay")
FUSES = ("control fuse", "pre-charge fuse", "charge fuse")
OTHERS = ("emergency stop", "held control", *FUSES, "charge port", "pre-charge contact")


def wiring_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong with what is said to be joined."""
    wiring = data.get("wiring")
    if not isinstance(wiring, dict):
        return
    kind = text(table(data.get("source")).get("kind"))
    if kind in SUPPLIES:
        yield ("wiring",), NOTHING, f"is that of a pack, and a {kind} has none", "leave it out"
        return
    known = named_parts(data)
    joins = wiring.get("joins")
    for place, join in enumerate(joins if isinstance(joins, list) else []):
        for end, terminal in enumerate(join if isinstance(join, list) else []):
            for limit, hint in _unknown(text(terminal), known):
                yield ("wiring", "joins", place, end), terminal, limit, hint
    yield from _past_the_last(data, wiring)


def _past_the_last(data: dict[str, Any], wiring: dict[str, Any]) -> Iterator[Said]:
    series = table(data.get("source")).get("series")
    sense = wiring.get("sense")
    if isinstance(series, int) and isinstance(sense, list) and sense and len(sense) != series + 1:
        yield ("wiring", "sense"), sense, f"must have {series + 1} pins: one more than groups in series", ""
    for place, boundary in enumerate(sense if isinstance(sense, list) else []):
        if isinstance(series, int) and isinstance(boundary, int) and boundary > series:
            yield ("wiring", "sense", place), boundary, f"must be 0 to {series}, the groups in series", ""


def named_parts(data: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """Return the terminals of every part that a file may name, by the part's name."""
    found = {name: tuple(KINDS[kind_by_name(name) or name]) for name in (*FIRST, *OTHERS)}
    for one in tables(data.get("auxiliaries")):
        found[text(one.get("name"))] = tuple(KINDS["auxiliary"])
    for chain in tables(data.get("chains")):
        for link in tables(chain.get("links")):
            kind = text(link.get("kind"))
            of = [word for word, kinds in OF_A_LINK.items() if kind == word or kind.endswith(f"-{word}")]
            if of:
                name = f"{text(chain.get('name'))} {link_name(link)}"
                found[name] = tuple(
                    dict.fromkeys(end for word in OF_A_LINK[of[0]] for end in (*KINDS[word], *MAY_HAVE.get(word, ())))
                )
    return found


def _unknown(terminal: str, known: dict[str, tuple[str, ...]]) -> Iterator[tuple[str, str]]:
    part, end = parted(terminal)
    if not part:
        return
    of_its_kind = kind_by_name(part)
    ends = known.get(part, tuple(KINDS[of_its_kind]) if of_its_kind else ())
    if not ends:
        yield f"names no part of this machine: {', '.join(known)}", did_you_mean(part, list(known))
    elif end not in ends:
        yield f"is no terminal of the {part}: {', '.join(ends)}", did_you_mean(end, list(ends))
