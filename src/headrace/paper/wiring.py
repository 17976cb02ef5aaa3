"""Which wires and which fuse, in a few sentences."""

from __future__ import annotations

from typing import Any

from headrace.machine.sizes import square
from headrace.paper.starting import seconds
from headrace.paper.units_of_words import said_in
from headrace.paper.words import ZERO, celsius, its_side, plain, watts

Record = dict[str, Any]

SIDES = {"motor": "motor's side", "feed": "behind the converter"}
DECIDED = {
    "heat": "by heat",
    "drop": "by voltage drop",
    "both": "by heat and voltage drop alike",
    "fuse": "by what the main fuse lets through",
    "limit": "by what the controller lets through",
}
BECOMES = {
    "holds": "the wire is then at {}, which its insulation bears",
    "insulation-spoiled": "the wire is then at {}: its insulation is spoiled and smokes",
    "melts": "by then the copper has melted: sparks, fire, burns",
    "never-opens": "at which nothing promises that the fuse opens, and the wire burns",
    "arc-burns-on": "which this fuse is not made to break: it melts, an arc burns on in it, and the wire burns",
}
MORE = 600.0  # K above freezing, past which insulation has burnt whatever the number


def conductor(one: Record, record: Record) -> str:
    """Return the sentences for one run of cable of a machine whose ``source`` stands in a record."""
    side = SIDES.get(one["side"], its_side(record))
    if not one["planned"]:
        return _proposal(one, side)
    amps = f"{plain(one['peak_A'], 'A')} in the hardest work, {plain(one['rms_A'], 'A')} (rms) over the job"
    if one["needed_m2"] is None:
        needs = f"no size of its table does for {plain(one['one_way_m'], 'm')} one way"
    else:
        needs = f"needs {square(one['needed_m2'])} or more ({_gauge(one)}), {DECIDED[one['decided']]}"
    return (
        f"{one['chain'].capitalize()}, {one['cable']}, {side}: {amps}; {needs}. As planned, "
        f"{square(one['area_m2'])} bear {plain(one['carries_A'], 'A', 0)} in the hottest weather and take "
        f"{watts(one['loss_W'])} over the job and {said_in(one['drop_V'], 'mV', 0)} "
        f"({plain(100.0 * one['drop_share'], '%')}) in the hardest work, out and back. "
        f"By {one['source']}, {one['rated_for']}."
    )


def _proposal(one: Record, side: str) -> str:
    """Return the sentence for a run that the file has no cable for."""
    head = f"{one['chain'].capitalize()}, {side}: the file has no cable there"
    amps = (
        f"{plain(one['peak_A'], 'A')} at most, {plain(one['rms_A'], 'A')} (rms), {plain(one['one_way_m'], 'm')} one way"
    )
    if one["needed_m2"] is None:
        let = (
            "" if one["limit_A"] is None else f", and {plain(one['limit_A'], 'A', 0)} that the controller lets through"
        )
        return f"{head}, and no size of the table does for {amps} as assumed{let}."
    return (
        f"{head}; proposed are {square(one['needed_m2'])} ({_gauge(one)}), {DECIDED[one['decided']]}, "
        f"for {amps} as assumed; its loss is counted nowhere.{thinner(one)}"
    )


def _gauge(one: Record) -> str:
    return f"of gauges {one['gauge']} does" if one["gauge"] else "no gauge does"


def thinner(one: Record) -> str:
    """Return what a thinner wire would come to where the controller's limit decides; "" where it does not."""
    if one["decided"] != "limit":
        return ""
    return (
        f" Bogged down, the tool draws the {plain(one['limit_A'], 'A', 0)} that the controller lets through for as "
        f"long as it is held on, and no fuse opens at that. The work alone asks {square(one['by_heat_m2'])} by heat "
        f"and {square(one['by_drop_m2'])} by voltage drop: wire as thin as that may burn unless the limit is set down "
        "to what it bears."
    )


def fuse(found: Record | None) -> list[str]:
    """Return the sentences for the main fuse; none where the source has its own."""
    if found is None:
        return []
    if found["class"] is None:
        return [f"No fuse is proposed: {found['reason']}. Ask somebody licensed."]
    which = (
        f"{plain(found['rating_A'], 'A', 0)}, {found['speed']}, {plain(found['max_voltage_V'], 'V', 0)} of direct "
        f"current, breaks {plain(found['breaking_capacity_A'], 'A', 0)}"
    )
    head = f"Main fuse as planned: {which}." if found["planned"] else _proposed(found, which)
    asked = (
        f"The load wants {plain(found['least_rating_A'], 'A', 0)} or more; the pack has up to "
        f"{plain(found['highest_voltage_V'], 'V')} and gives {plain(found['short_circuit_A'], 'A', 0)} into a short."
    )
    if found["full"] is None:
        return [head, asked]
    return [head, f"{asked}{_wire(found)}", _story(found)]


def _proposed(found: Record, which: str) -> str:
    there = "The file has a fuse but does not say which" if found["present"] else "The file names no fuse"
    return f"{there}. From the shelf, at the pack: {which} ({found['class']}: {found['about']})."


def _wire(found: Record) -> str:
    """Return what the fuse asks of its weakest wire."""
    carries = f" Its weakest wire, the {found['wire']}, bears {plain(found['wire_carries_A'], 'A', 0)}"
    if found["wire_carries_A"] >= found["rating_A"]:
        return f"{carries}."
    if found["wire_needed_m2"] is None:
        return f"{carries}, less than the fuse lets through."
    return f"{carries}, less than the fuse lets through: it wants {square(found['wire_needed_m2'])}."


def _story(found: Record) -> str:
    full, empty = (_fault(found[end]) for end in ("full", "empty"))
    return (
        f"If that wire chafes through at its far end: a full pack drives {full}. A worn, cold one at the reserve "
        f"drives {empty}. Hot metal flies and an arc blinds: unplug the pack before touching; local codes come first."
    )


def _fault(fault: Record) -> str:
    amps = plain(fault["current_A"], "A", 0)
    if fault["opens_after_s"] is None:
        return f"{amps}, {BECOMES[fault['wire_becomes']]}"
    hot = fault["wire_temperature_K"]
    said = "far above all it bears" if hot is not None and hot > ZERO + MORE else celsius(hot)
    opens = f"{amps}; the fuse opens within {seconds(fault['opens_after_s'])}"
    return f"{opens}, {BECOMES[fault['wire_becomes']].format(said)}"
