"""What has to be looked at over a season, as a table to pin to the wall."""

from __future__ import annotations

from typing import Any

from headrace.machine.fed import fed
from headrace.paper.quantity import risen
from headrace.paper.readings import at_rest
from headrace.paper.units_of_words import of_the_record, said_in
from headrace.paper.words import digits_of

Record = dict[str, Any]

MONTHS = of_the_record(2.0, "months")  # s, from which on a time is said in months
MACHINE = {
    "dead": "Dead, {dead}.",
    "live": "Live, nothing turns.",
    "running": "Running, stand clear.",
}
WORDS = {"use": "before each use", "season": "once a season"}


def upkeep(record: Record) -> list[tuple[str, str, str, str]]:
    """Return a row for each thing to look at: what it is of; when; what and why; at what reading what is done."""
    words = fed(record["pack"]["source"])
    return [
        (
            _part(care),
            _when(care),
            f"{words.told(MACHINE[care['machine']])} {_look(care)} {care['why']}",
            _act(care),
        )
        for care in record.get("upkeep") or ()
    ]


def _look(care: Record) -> str:
    """Return what is looked at, and after how long a rest where it is read at rest."""
    rest = at_rest(care)
    return f"{care['look'].removesuffix('.')}, {rest}." if rest else str(care["look"])


def _when(care: Record) -> str:
    times = care["times_a_season"]
    if care["when"] in WORDS:
        return WORDS[care["when"]]
    unit, of = ("h", " of work") if care["when"] == "work" else ("months" if care["every_s"] >= MONTHS else "days", "")
    first, every = care["first_s"], care["every_s"]
    said = f"every {said_in(every, unit, 0)}{of}"
    if first is not None and first != every:
        said = f"after {said_in(first, unit, 0)}{of}, then {said}"
    return said if times is None else f"{said}: {how_often(times)}"


def how_often(times: float) -> str:
    """Return how often in a season: "4 times a season", or "once in 8 seasons"."""
    if times <= 0.0:
        return "not in this season"
    if round(1.0 / times) <= 1:
        return "once a season" if round(times) == 1 else f"{digits_of(times)} times a season"
    return f"once in {digits_of(1.0 / times)} seasons"


def _act(care: Record) -> str:
    """Return at what reading what is done, the readings behind it in brackets."""
    said = [f"{limit['name']} {risen(limit)}" for limit in care["limits"]]
    return f"{care['act'].removesuffix('.')} ({'; '.join(said)})." if said else str(care["act"])


def _part(care: Record) -> str:
    name, of = care["name"].capitalize(), care["of"]
    return name if of == [care["name"]] else f"{name} ({', '.join(of)})"
