"""A risk assessment to be filled in by hand: what the design knows stands there, what people say is left open."""

from __future__ import annotations

from typing import Any

from headrace.paper.quantity import quantity
from headrace.paper.words import spoken

Record = dict[str, Any]

THERE = {True: "yes", False: "no", None: "to be looked at"}


def risks(record: Record) -> list[Record]:
    """Return each hazard with its sentences: numbers, what is against it, what people do, which findings touch it."""
    first: dict[tuple[str, str], str] = {}  # under which hazard a measure was told at length
    return [
        {
            "name": one["name"].capitalize(),
            "harm": f"{one['harm']} At worst: {one['severity']}.",
            "numbers": [(told["name"], _number(told)) for told in one["numbers"]],
            "measures": [
                (THERE[told["there"]], told["by"], _measure(told, one["name"], first)) for told in one["measures"]
            ],
            "people": f"{one['people']} {one['caution']}",
            "findings": [spoken(slug) for slug in one["findings"]],
            "left_open": list(one["left_open"]),
        }
        for one in (record.get("risks") or {}).get("hazards", ())
    ]


def _number(told: Record) -> str:
    """Return a number with the condition it is so in, behind it in brackets; alone where it is so in all."""
    return f"{quantity(told)} ({told['case']})" if told["case"] else quantity(told)


def _measure(told: Record, hazard: str, first: dict[tuple[str, str], str]) -> str:
    """Return what a measure means; told at length where it stands first."""
    at = first.setdefault((told["name"], told["says"]), hazard)
    return f"{told['name']}: {told['says'] if at == hazard else f'as under {at}'}"
