"""How a chain comes to rest, and what holds it on a slope, in sentences."""

from __future__ import annotations

from typing import Any

from headrace.paper.measures import pace
from headrace.paper.starting import seconds
from headrace.paper.units_of_words import turned
from headrace.paper.words import capital, plain, rpm, watts
from headrace.wiring.brake_words import brake_words

Record = dict[str, Any]


def stopping(one: Record, *, several: bool) -> str:
    """Return the sentences for one chain; with its name where there are several."""
    name = f"{one['name'].capitalize()}: " if several else ""
    coast = f"Time to rest of the {one['tool']}, {one['case']}: {seconds(one['coast_time_s'])}."
    said = [f"{name}{coast}"]
    if one["planned"] is not None:
        said.append(f"{_brake(one, 'planned')}.")
    elif one["proposed"] is not None:
        said.append(f"{_brake(one, 'proposed')}.")
    elif one["why"] != "no-need":
        said.append(f"{capital(one['reason'])}.")
    said.append(_timed(one["timed"]))
    if one["short"] is not None:
        said.append(_short(one))
    return " ".join(said)


def _timed(one: Record) -> str:
    """Return what a watch shows of the same stop."""
    if one["coast_time_s"] is None:
        return f"By the watch nothing is told: {one['reason']}."
    held = "" if one["braked_time_s"] is None else f", {seconds(one['braked_time_s'])} with {BRAKE[one['brake']]}"
    start = rpm(one["tool_speed_rad_s"])
    return f"By the watch, {one['case']}: {seconds(one['coast_time_s'])} from {start} without a brake{held}."


BRAKE = {"planned": "the brake", "proposed": "the brake proposed"}


def _brake(one: Record, which: str) -> str:
    """Return what a brake does with the energy of all that turned."""
    brake, spun = one[which], one["spin_energy_J"]
    words = brake_words(by_controller=one["by_controller"])
    told = words.planned if which == "planned" else words.proposed
    ohms, amps = plain(brake["resistance_ohm"], "Ω", 2), plain(brake["peak_current_A"], "A", 0)
    heat, turned, drop = plain(brake["resistor_J"], "J", 0), plain(spun, "J", 0), plain(brake["brush_drop_V"], "V")
    return (
        f"{told.format(ohms)} stops it in {seconds(brake['time_s'])}: {amps} at first, "
        f"{heat} of {turned} into the {words.takes}{'' if one['by_controller'] else f', brushes {drop}'}"
    )


def _short(one: Record) -> str:
    short, most = (plain(one[f"{key}_current_A"], "A", 0) for key in ("short", "most"))
    if one["short"] == "rejected":
        return f"Never short the motor outright: it would take {short} at first; more than {most} may harm it."
    if one["most_current_A"] is None:
        return f"Shorted outright the motor takes {short} at first; what harms it is not known."
    return f"Shorted outright the motor takes {short} at first; up to {most} are taken not to harm it."


def sloping(one: Record) -> str:
    """Return the sentences for one chain in one state on a slope or under a load."""
    pull = plain(one["hold_tool_N_m"], "N·m")
    said = f"{one['state'].capitalize()}: the weight pulls at the {one['tool']} with {pull}; {_holding(one)}."
    return said if one["goes"] == "up" else f"{said} {_held(one)}{_runaway(one)}"


def _held(one: Record) -> str:
    """Return what holds a chain on its way down, and what comes of it."""
    found = one["descent"]
    if found is None:
        return "On the way down its motor holds nothing: a brake has to, all the way."
    if not found["drives"]:
        if one["pace"].startswith("load_speed"):  # a rope does not push
            return "It does not come down by itself."
        return "On the way down friction takes all that, and the motor pushes."
    speed = pace(one).say(found[one["pace"]])
    if not one["regenerates"]:
        return (
            f"The controller feeds nothing back: a brake has to take {watts(found['load_W'])} at {speed}, all the way."
        )
    room = _amp_hours(found["headroom_A_s"])
    out = f"{plain(room, 'Ah', 2)} have to be out of it first" if room is not None else "no room in the pack is enough"
    volts, each = plain(found["bus_voltage_V"], "V"), plain(found["cell_voltage_V"], "V", 2)
    back = f"{watts(found['given_back_W'])} back, {plain(found['current_A'], 'A')}"
    return (
        f"Held by the motor at {speed} it gives {back}; that lifts a full pack to {volts}, a cell to {each}: "
        f"{out}, and what comes back on the way besides."
    )


def _runaway(one: Record) -> str:
    """Return how a chain runs away on its way down; nothing where it does not."""
    found = one["runaway"]
    fastest, volts = found[one["pace"]], found["voltage_V"]
    if fastest is None:
        return " Let go it runs away, faster and faster."
    if fastest == 0.0:
        return ""
    motor = "" if volts is None else f", its motor then at {plain(volts, 'V', 0)}"
    return f" Let go it runs away to {pace(one).say(fastest)}{motor}."


def _holding(one: Record) -> str:
    if one["holds_by_itself"]:
        return "friction alone holds it, until something shakes it free"
    return f"without power nothing holds it but a brake, {plain(one['hold_motor_N_m'], 'N·m', 2)} at the motor's shaft"


def _amp_hours(charge: float | None) -> float | None:
    return None if charge is None else turned(charge, "Ah")
