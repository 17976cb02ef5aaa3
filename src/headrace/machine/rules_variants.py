"""Rules for the variants of a machine file: what ``set`` may address. Its values meet the form when one is read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.machine.loose import table, tables
from headrace.machine.problems import shown
from headrace.machine.wording import Said

VARIED = (  # where an address may begin
    "auxiliaries",
    "balance",
    "board",
    "chains",
    "charger",
    "fuse",
    "job",
    "limits",
    "pre_charge",
    "prices",
    "safety",
    "source",
    "wiring",
)
EXAMPLE = 'an address stands in quotation marks, such as "source.series" = 12'


def variant_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield what is wrong with the addresses of each variant."""
    for place, variant in enumerate(tables(data.get("variants"))):
        for address, value in table(variant.get("set")).items():
            wrong = _wrong(address, value)
            if wrong is not None:
                yield ("variants", place, "set", address), value, *wrong


def _wrong(address: str, value: Any) -> tuple[str, str] | None:
    head, *rest = address.split(".")
    if not rest and head in VARIED:
        return "is a whole table, not the address of one value", _in_quotes(head, value)
    if head not in VARIED:
        return f"must begin with one of {', '.join(VARIED)}", EXAMPLE
    return None if all(rest) else ("must have a name between any two dots", EXAMPLE)


def _in_quotes(head: str, value: Any) -> str:
    """Return how the first value of a table, or of the tables in it, is addressed."""
    if not isinstance(value, dict) or not value:
        return EXAMPLE
    way = [head]
    while isinstance(value, dict) and value:
        way.append(next(iter(value)))
        value = value[way[-1]]
    return f'an address stands in quotation marks: "{".".join(way)}" = {shown(value)}'
