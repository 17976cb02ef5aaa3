"""How each chain is geared and wound, and what is left before its tool bogs down, in sentences and rows."""

from __future__ import annotations

from typing import Any

from headrace.paper.measures import PACES, Said
from headrace.paper.words import RPM, capital, digits_of, empties, giver, middle, percent, plain, rpm, spoken, spread

Record = dict[str, Any]

FEEDS = {
    said.field(): said
    for said in (
        Said("travel_speed", "m_s", "walk", "Walking speed", "m/s", digits=2),
        Said("feed", "m_s", "feed it", "Feed", "cm/s", 100.0, digits=1),
        Said("material", "kg_s", "feed it", "Material", "kg/h", 3600.0),
    )
}


KINDS = {"gears": "gear set", "v-belt": "V-belt"}  # where a kind is not said as it is spelled
ENDS = {  # what a load comes to that is a little more than the most
    "no-crossing": "stalls it",
    "stall": "stalls it",
    "cut-out": "trips the cut-out",
    "cell-floor": "pulls a cell too low",
    "source-limit": "is more than the source lets through",
    "overload": "overloads the converter",
}
ALL_OF_IT = 0.995  # share of the speed lost, from which on it is all
NOTHING = 1e-6  # of its speed, lost by a tool whose speed is held


def gears(record: Record) -> list[Record]:
    """Return what the section holds of each chain: its name, sentences, and rows of ratios and of states."""
    several = len(record["gearing"]) > 1
    pack = empties(record["pack"])
    ends = {"full": ", full", "empty": ", reserve"} if pack else {"full": ""}
    return [
        {
            "name": geared["name"] if several else "",
            "gearing": gearing(geared, pack=pack),
            "rows": _rows(geared, pack=pack),
            "hardest": geared["state"],
            "notes": _notes(geared),
            "winding": winding(wound, pack=pack),
            "states": [row for state in bogging["states"] for row in _reserve(state, ends)],
            "feeds": [says for state in bogging["states"] for says in _fed(state, record["pack"])],
        }
        for geared, wound, bogging in zip(record["gearing"], record["windings"], record["bogging"], strict=True)
    ]


def gearing(found: Record, *, pack: bool) -> str:
    """Return what is said of a chain's ratio."""
    if found["now"] is None:
        return f"No ratio is worked out: {found['why']}."
    pace = PACES[found["pace"]]
    wanted = f"for {pace.say(middle(found[found['pace']]))} in {found['state']}{' at half charge' if pack else ''}"
    now = "The motor turns the tool itself"
    if found["kind"] != "direct":
        now = f"The ratio of the {KINDS.get(found['kind'], spoken(found['kind']))} is {_to_one(found['now']['ratio'])}"
    if found["ratio"] is None:
        return f"{now}; {wanted} {found['why']}."
    fastest = "a full pack" if pack else "the source"
    held = f", and no faster, because {fastest} would turn it too fast" if found["held_back"] else ""
    why = f" {_sentence(found['why'])}" if found["why"] else ""
    offer = " The pairs are of toothed belts." if found["kind"] == "direct" and found["pairs"] else ""
    return f"{now}; {wanted} it takes {_to_one(found['ratio'])}{held}.{why}{offer}"


def _to_one(ratio: Any) -> str:
    return f"{digits_of(middle(ratio), 2)} to 1"


def _sentence(words: str) -> str:
    return f"{capital(words)}."


def _rows(found: Record, *, pack: bool) -> list[tuple[str, ...]]:
    """Return a row for the chain as it is and one for each pair of wheels: wheels, what is said of them, numbers."""
    if found["now"] is None:
        return []
    pairs = [(pair["wheels"], pair) for pair in found["pairs"]]
    return [
        (
            name,
            ", ".join(part for part in (_to_one(at["ratio"]), _verdict(at, pack=pack)) if part),
            *(_full_to_reserve(at, kind) for kind in ("", "_bare")),
            *(plain(middle(at[f"{what}_N_m"]), "") for what in ("torque", "held_fast")),
        )
        for name, at in [("As it is", found["now"]), *pairs]
    ]


def _full_to_reserve(at: Record, kind: str) -> str:
    full, empty = (_bare_rpm(at[f"{end}{kind}_rad_s"]) for end in ("full", "empty"))
    return f"{full} to {empty}"


def _bare_rpm(speed: Any) -> str:
    return rpm(middle(speed)).removesuffix(" rpm")


def _verdict(at: Record, *, pack: bool) -> str:
    """Return whether a ratio keeps to the limits on the pace."""
    full, empty = (" when full", " at the reserve") if pack else ("", "")
    ends = (("too_fast", f"too fast{full}"), ("too_slow", f"too slow{empty}"))
    fails = [says for key, says in ends if at[key]]
    if fails:
        return " and ".join(fails)
    return "" if at["too_fast"] is None and at["too_slow"] is None else "within limits"


def _notes(found: Record) -> list[str]:
    """Return what speaks against wheels that are offered, each once."""
    warned = [pair for pair in found["pairs"] if pair["note"]]
    return list(dict.fromkeys(_sentence(f"{pair['note']} ({pair['note_source']})") for pair in warned))


def winding(found: Record, *, pack: bool) -> str:
    """Return what is said of the windings that keep a tool in its window."""
    here = "" if found["constant_V_s_rad"] is None else f"; this one has {_per_volt(found['constant_V_s_rad'])}"
    if found["fastest_V_s_rad"] is None:
        pace = PACES[found["pace"]]
        at_top = middle(found[pace.field("at_top")])
        most, end = ("a full pack", "at the reserve") if pack else ("the source", "under load")
        left = f"; the fastest that {most} allows leaves {pace.say(at_top)} {end}" if at_top else ""
        return f"No window of windings: {found['why']}{left}{here}."
    window = f"{_per_volt(found['slowest_V_s_rad']).removesuffix(' rpm/V')} to {_per_volt(found['fastest_V_s_rad'])}"
    where = "inside" if found["inside"] else "outside"
    return f"Rewound in its own frame the motor keeps the tool within its limits from {window}{here}, {where}."


def _per_volt(constant: Any) -> str:
    return f"{digits_of(RPM / middle(constant), 1)} rpm/V"


def _reserve(state: Record, ends: dict[str, str]) -> list[tuple[str, ...]]:
    """Return what is left before a tool bogs down in one state, a row for each end of the charge there is."""
    return [(f"{state['name'].capitalize()}{words}", *_held(state[end])) for end, words in ends.items()]


def _held(held: Record) -> tuple[str, ...]:
    """Return what more load comes to; load and speed, torque to spare and its share, what a tenth more costs."""
    if middle(held["load_N_m"]) is None:
        return ("its load stops it, or something cuts out", "–", "–", "–")
    spare, drop = held["in_reserve"], middle(held["drop"])
    band = spread(spare, percent)
    if abs(drop) < NOTHING:
        costs = "no speed: it is held"
    else:
        slower = "all of its speed" if drop > ALL_OF_IT else plain(100.0 * drop, "%")
        costs = f"{slower}, {middle(held['lost_rad_s_N_m']) * RPM:.3g}"
    return (
        f"more {ENDS.get(held['beyond'], held['beyond_reason'])}",
        f"{plain(middle(held['load_N_m']), '')} at {rpm(middle(held['tool_speed_rad_s']))}",
        f"{plain(middle(held['pull_out_N_m']), '')}, {percent(middle(spare))}{f' ({band})' if band else ''}",
        costs,
    )


def _fed(state: Record, pack: Record) -> list[str]:
    """Return the advised greatest feed; nothing of a tool that nobody feeds."""
    feed, name = state["feed"], state["name"].capitalize()
    if not feed["fed"]:
        return []
    said = FEEDS[feed["fed"]]
    greatest = feed[said.field("greatest")]
    if middle(greatest) is None:
        return [f"{name}: no greatest feed is told, for {feed['why']}."]
    motor, drawn = (plain(middle(feed[f"{side}_current_A"]), "A", 0) for side in ("motor", "battery"))
    when, source = (" when nearly empty", "the pack") if empties(pack) else ("", giver(pack))
    band = spread(greatest, said.say)
    most = said.say(middle(greatest)) + (f" ({band})" if band else "")
    says = (
        f"{name}: {said.name} no faster than {most}{when}, to keep the least pace; the plan has "
        f"{said.say(middle(feed[said.field('now')]))}. There the motor takes {motor} and {source} gives {drawn}: a "
        "controller's limit on either side has to let that through."
    )
    return [says]
