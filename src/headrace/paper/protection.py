"""Board, pre-charge, switches and sense plug, in sentences; and what a pin of the plug that reads wrong means."""

from __future__ import annotations

from typing import Any

from headrace.machine.sizes import square
from headrace.paper.units_of_words import said_in, turned
from headrace.paper.words import plain

Record = dict[str, Any]

BRIEF, SHORT = 1e-3, 1.0  # s, below which a time is told in microseconds, in milliseconds
COMES = {
    "inrush": "the rush into capacitors {}",
    "start": "a start of the {} {}",
    "work": "the hardest work {}",
    "start-sag": "the weakest group while the {} starts in the cold {}",
    "work-sag": "the weakest group in work in the cold {}",
}
WRONG = (
    "The volts of a neighbour: two wires are swapped. Nothing: a wire is off or its fuse is open. A step of less than "
    "a cell: a group is low. Do not plug in before it is found: a board that gets two groups between neighbouring pins "
    "burns."
)


def protection(record: Record) -> list[str]:
    """Return the sentences for the typical record; none of what never empties, or was not looked at."""
    if (record.get("switches") or {"reason": True}).get("reason"):
        return []
    said = [_board(record["board"]), _pre_charge(record["pre_charge"]), _switches(record["switches"])]
    return [
        sentence for sentence in (*said, *_sense(record["sense"], boards=record["board"]["reason"] is None)) if sentence
    ]


def _board(board: Record) -> str:
    if board["reason"]:
        return f"Protection board: {board['reason']}."
    at = board["opens_at"]
    name = "The board" if board["planned"] else "A board of the usual class, as the file names none,"
    amps = (plain(at[f"{key}_A"], "A", 0) for key in ("continuous", "peak", "short_circuit"))
    delays = (brief(at[f"{key}_delay_s"]) for key in ("peak", "short_circuit"))
    opens = "{} carries {} for long; it opens above {} after {}, above {} after {}, and below {} of a group.".format(
        name, *_in_turn(list(amps), list(delays)), plain(at["under_voltage_V"], "V", 2)
    )
    return f"{opens} What comes: {'; '.join(_strain(one) for one in board['strains'])}."


def _in_turn(amps: list[str], delays: list[str]) -> tuple[str, ...]:
    return amps[0], amps[1], delays[0], amps[2], delays[1]


def _strain(one: Record) -> str:
    value = plain(one["value_A"], "A", 0) if "value_A" in one else plain(one["value_V"], "V", 2)
    lasts = f" ({brief(one['lasts_s'])})" if one["lasts_s"] else ""
    what = COMES[one["what"]].format(*([one["chain"]] if one["chain"] else []), f"{value}{lasts}")
    return f"{what}, and it opens" if one["trips"] else what


def _pre_charge(found: Record) -> str:
    bare = found["bare"]
    if bare is None:
        return ""
    holds = turned(bare["capacitance_F"], "mF")
    said = (
        f"Connecting a full pack lets {plain(bare['current_A'], 'A', 0)} into {holds:.3g} mF, "
        f"a spark of {plain(bare['energy_J'], 'J')}."
    )
    one = found["planned"] or found["proposed"]
    if one is None:
        return f"{said} No usual resistor fills them in time while the electronics draw their own current."
    verb = "The pre-charge fills them" if found["planned"] else "Fill them first"
    hold = "never gets there" if one["hold_s"] is None else f"takes {brief(one['hold_s'])}"
    return (
        f"{said} {verb} through {plain(one['resistance_ohm'], 'Ω', 0)}: {plain(one['peak_W'], 'W', 0)} at first, "
        f"{plain(one['heat_J'], 'J')} in all; to {plain(one['step_V'], 'V')} from full it {hold}, and held "
        f"{brief(one['time_s'])} it leaves {plain(one['left_V'], 'V')}. If the load starts behind it, it has "
        f"{plain(one['kept_on_W'], 'W', 0)} for good."
    )


def _switches(found: Record) -> str:
    carries, rated, breaks = (plain(found[f"{key}_A"], "A", 0) for key in ("carries", "rated", "breaks"))
    volts, coil, fits = plain(found["voltage_V"], "V"), found["contactor"], "no class of the shelf does it"
    if coil is not None:
        fits = f"class {coil['class']}, {plain(coil['hold_W'], 'W', 0)} of coil"
    through = "all coils" if found["coils_A"] is None else f"all coils' {plain(found['coils_A'], 'A', 2)}"
    return (
        f"Three switches, not one. The contactor is made for {rated}, what the main fuse lets through for hours; the "
        f"work takes {carries} (rms), and it breaks up to {breaks} of direct current at {volts} ({fits}). The isolator "
        f"is made for the same and is opened at rest, for service. Emergency stop and held control break {through} at "
        f"{volts}, so that letting go, a cut wire and an empty pack all mean stop."
        f"{_plug(found['plug'])}"
    )


def _plug(plug: Record | None) -> str:
    if plug is None:
        return ""
    drop = f"{said_in(plug['drop_at_rating_V'], 'mV', 0)} at its {plain(plug['rating_A'], 'A', 0)}"
    return f" The smallest plug that does: class {plug['class']}, parted at rest only; a good one drops {drop}."


def joints(record: Record) -> list[str]:
    """Return what a meter shows across the joints of the file that carry the amps."""
    return [_joint(one) for one in (record.get("switches") or {}).get("joints", ())]


def _joint(one: Record) -> str:
    drop = f"{said_in(one['drop_V'], 'mV')} at {plain(one['current_A'], 'A', 0)}"
    if one["rating_A"] is None:
        return f"Across each good joint of the {one['link']} stand {drop}; twice that is a bad one."
    rated = f"{said_in(one['drop_at_rating_V'], 'mV')} at its {plain(one['rating_A'], 'A', 0)}"
    return f"Across each good joint of the {one['link']} stand {drop}, {rated}; twice that is a bad one."


def _sense(sense: Record, *, boards: bool) -> list[str]:
    pair = sense["side_by_side"]
    said = []
    if sense["pins"]:
        first, last = sense["pins"][1], sense["pins"][-1]
        said.append(
            f"Sense plug, before it is plugged in: each pin reads {plain(first['full_V'], 'V', 2)} more than the one "
            f"before when full, {plain(first['half_V'], 'V', 2)} half full; the last, {last['name']}, "
            f"{plain(last['full_V'], 'V')} or {plain(last['half_V'], 'V')}. Any other reading: do not plug it in."
        )
    boarded = ", each with a board of its own" if boards else ""
    said.append(
        f"Beside another pack like it: one volt apart, {plain(pair['current_at_one_volt_A'], 'A', 0)} flow into the "
        f"lower one. Join them within {plain(pair['gap_V'], 'V', 2)}{boarded}."
    )
    said.append(_own_fuse(pair["fuse"]))
    return said


def _own_fuse(fuse: Record) -> str:
    """Return the sentences for the fuse of each of two packs side by side."""
    least, both = plain(fuse["least_rating_A"], "A", 0), plain(fuse["short_circuit_A"], "A", 0)
    asked = (
        f"{least} or more, so that it carries all the work when the other's has opened, and both together give {both}"
    )
    if fuse["rating_A"] is None:
        return (
            f"Each of two such packs needs its own fuse: {asked} into a short. Ask somebody licensed: {fuse['reason']}."
        )
    wire = f" Its leads need {square(fuse['wire_needed_m2'])} for it." if fuse["wire_needed_m2"] else ""
    return (
        f"Each of two such packs has its own fuse at its plus: {plain(fuse['rating_A'], 'A', 0)}, {fuse['speed']}, "
        f"{plain(fuse['max_voltage_V'], 'V', 0)} of direct current, breaks "
        f"{plain(fuse['breaking_capacity_A'], 'A', 0)} ({fuse['class']}): {asked} into a short.{wire}"
    )


def brief(seconds: float | None) -> str:
    """Return a time from microseconds up."""
    if seconds is None:
        return "as long as the work"
    if seconds < BRIEF:
        return said_in(seconds, "µs", 0)
    return said_in(seconds, "ms", 0) if seconds < SHORT else f"{seconds:.1f} s"
