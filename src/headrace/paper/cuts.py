"""Which pieces of cable to cut, how their ends are made, and what is bought of each size."""

from __future__ import annotations

from typing import Any

from headrace.machine.sizes import square
from headrace.paper.against import against
from headrace.paper.wiring import SIDES, thinner
from headrace.paper.words import capital, plain

Record = dict[str, Any]

STRING = "Cut nothing before you have laid a string where the wire will lie."
PRESS = f"{STRING} Press every end with the die of its size, pull at it, and put a sleeve over it; a loose lug burns."
LAST = {
    "wall-socket": f"{STRING} A cord is in one piece and has no joint; who may work on the mains joins its ends, and "
    "chooses how emergency stop and held control break it and what leads to them: that is in no piece here.",
    "bench-supply": f"{PRESS} Nothing is joined to the supply before its step of the assembly.",
}


CORDS = " Cords carry mains: whoever may work on it makes their ends and joins them."


def before(record: Record) -> str:
    """Return what is said before anything is cut."""
    said = LAST.get(record["pack"]["source"], f"{PRESS} Nothing is joined to the pack before its step of the order.")
    made = {end for piece in record["cuts"]["pieces"] if piece["size"].startswith("cord") for end in piece["ends"]}
    return said + CORDS if made - {OF_MAINS} else said


def pieces(record: Record) -> list[tuple[str, str, str, str]]:
    """Return a row for each piece: from where to where, what cable, how long, how its two ends are made."""
    return [
        (f"{piece['from']} to {piece['to']}", _cable(record, piece), _long(piece), _made(piece["ends"]))
        for piece in record["cuts"]["pieces"]
    ]


def _cable(record: Record, piece: Record) -> str:
    """Return what it is cut from; where a stop stands against the file's own cable that behind it."""
    stop = against(record, (piece["run"],)) if piece["run"] else ""
    return f"{_size(piece)}. {stop}" if stop else _size(piece)


def _size(piece: Record) -> str:
    if piece["area_m2"] is None:
        return f"for {piece['carries']}: {piece['area_reason'] or 'no size'}"
    gauge = f", gauge {piece['gauge']}" if piece["gauge"] else ""
    return f"{square(piece['area_m2'])}{gauge}"


def _long(piece: Record) -> str:
    if piece["length_m"] is None:
        return f"{piece['run']}: {piece['reason']}" if piece["run"] else str(piece["reason"])
    return f"{plain(piece['length_m'], 'm', 2)}{', an estimate' if piece['basis'] == 'assumed' else ''}"


OF_MAINS = "mains terminals"
ENDS = {
    "lugs": "ring lug",
    "ferrules": "ferrule",
    "push-on sleeves": "push-on sleeve",
    "plug pins": "pin of the plug",
    "strip tabs": "tab on the strip",
    OF_MAINS: "joined by who may work on the mains",
}


def _made(ends: list[str]) -> str:
    first, second = (ENDS[end] for end in ends)
    return f"{first} at both ends" if first == second else f"{first} and {second}"


def runs(record: Record) -> list[str]:
    """Return a sentence for each run whose pieces are known only together, and what to know of the others."""
    cuts = record["cuts"]
    said = [
        f"{run['name'].capitalize()}: {plain(run['one_way_m'], 'm', 2)} one way{_basis(run)}, so "
        f"{len(run['shared_by'])} pieces are together {plain(run['there_and_back_m'], 'm', 2)} out and back."
        for run in cuts["runs"]
        if run["carries"] == "main" and run["shared_by"]
    ]
    if any(piece["basis"] == "assumed" and not piece["run"] for piece in cuts["pieces"]):
        said.append(f"Estimates are as long as the longest run on the pack's side, {cuts['estimated_by']}.")
    unsaid = [run for run in cuts["runs"] if run["basis"] == "assumed"]
    if unsaid:
        names = ", ".join(f"{run['name']} {plain(run['one_way_m'], 'm', 2)}" for run in unsaid)
        said.append(
            f"The file has no cable there, so the usual length is taken: {names} one way. Measure before cutting."
        )
    return [*said, *_by_limits(record)]


def _by_limits(record: Record) -> list[str]:
    """Return why a wire to a motor is as thick as it is, where the controller's limit and not the work decides."""
    return [
        f"{capital(one['chain'])}, {SIDES[one['side']]}, {square(one['needed_m2'])}:{thinner(one)}"
        for one in record["conductors"]
        if not one["planned"] and one["decided"] == "limit"
    ]


def _basis(run: Record) -> str:
    return ", an estimate" if run["basis"] == "assumed" else ""


def sizes(record: Record) -> list[tuple[str, str, str]]:
    """Return a row for each size: its name, how much to buy, and what is pressed on its ends."""
    return [
        (
            size["name"],
            size["reason"] if size["length_m"] is None else plain(size["length_m"], "m"),
            ", ".join(f"{plain(end['count'], '', 0)} {end['name']}" for end in size["ends"]),
        )
        for size in record["cuts"]["sizes"]
    ]
