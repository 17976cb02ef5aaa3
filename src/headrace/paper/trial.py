"""The first power-up in sentences and rows: each motor without its tool, then the machine at three charges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from headrace.machine.naming import spoken
from headrace.paper.words import celsius, middle, minutes, percent, plain, rpm, watts

Record = dict[str, Any]

BEFORE = (
    "The tool is off, the motor is screwed down, nobody holds it; sleeves, hair and cables stay away from the shaft. "
    "Volts past what hands may meet, and mains at any time, kill: local codes and licensed practice come first."
)
FROM_WORK = "With the tool on, amps and speeds are told of a machine that is warm from work"
WITH_TOOL = f"{FROM_WORK}, in brackets those of one that is as cold as the air"
WARM = f"{WITH_TOOL}: magnets lose some strength as they warm, so that a motor turns faster on the same volts."
WARM_WIRE = f"{WITH_TOOL}: warm copper has more ohms, oil and grease drag less."
COLD = "Motor as cold as the air"
MAGNETS = ("brushed", "electronic")
SUPPLIES = {
    "inverter": "Feed it from the inverter as it is joined, by its own switch; its mains side is live from the pack: "
    "only once the connecting order has come to it and who may has tried that",
    "supplied-inverter": "Feed it from the inverter as it is joined, by its own switch: only once who may has joined "
    "and tried its mains side",
    "wall-socket": "Feed it from its wall socket behind a residual-current device; pulling the plug is the stop",
}
OFF = (
    "before the first volts, all of it dead, take the motor's wire off {} and cap its end. Nothing brakes the motor "
    "then: keep away until it stands."
)
KEPT_OFF = (
    "{dead}: undo the lead at {end} and cover its end, which is live once {fed}; or hold the enable of the {part} off "
    "as its sheet says. Once {fed}: no volts at {end}, or its enable off, and the motor of the {part} stands."
)
LEAD_BACK = "{dead}: put the lead back at {end}, or let the enable of the {part} go."
ON_A_SUPPLY = {"dead": "Supply off", "fed": "the supply is on"}
FROM_THE_PACK = {"dead": "Isolator open, main fuse out", "fed": "the isolator is closed"}
WIRE_OFF = ", its brake's wire off"
BACK = "Take off what the meter's tips read held together: then its contact is closed. Put the wire back."
STOP = "isolator still open and main fuse still out, set it to the volts of a full pack"
STOOD = (
    "Hold the control, and let go once the motor is at speed: it stands sooner than it did without the brake. If it "
    "does not, no tool goes on."
)
SET = {
    "low": "few volts first",
    "full": "then those of a full pack",
    "own": "then its own",
    "socket": "at its own volts",
}
CHARGES = {"full": "full", "half": "half full", "reserve": "at the reserve", "supply": "on its supply"}


def powering(record: Record) -> list[str]:
    """Return what ``check`` says of the first power-up: a sentence or two for each chain."""
    chains = record["trial"]["chains"]
    return [_alone(one, several=len(chains) > 1) for one in chains]


def _alone(one: Record, *, several: bool) -> str:
    name = f"{one['name'].capitalize()}: " if several else ""
    runs = _run(one)
    if not runs:
        return f"{name}{before(one)} Do not run it like that: {one['steps'][0]['reason']}."
    told = "; ".join(f"{_set(step)} {expected(step)}" for step in runs)
    return f"{name}{' '.join((*first(one), f'{COLD}: {told}.', *last(one)))}"


def _run(one: Record) -> list[Record]:
    return [step for step in one["steps"] if step["reason"] is None]


def first(one: Record) -> list[str]:
    """Return what is done before a motor has its first volts, in order; of one that is not run what comes off."""
    if not _run(one):
        return [before(one)]
    return [before(one), *_each_beside(one, KEPT_OFF), *_contact_opened(one), f"{_fed(one)}."]


def last(one: Record) -> list[str]:
    """Return what is done once a motor has had its last volts, in order: all that was off or let off for its trial."""
    if not _run(one):
        return []
    back = [one["mechanical_brake_back"]] if one["mechanical_brake_back"] else []
    return [*_contact_tried(one), *_each_beside(one, LEAD_BACK), *back]


def _each_beside(one: Record, words: str) -> Iterator[str]:
    """Yield a sentence for each terminal that also hangs where a motor is tried, and is kept off."""
    when = FROM_THE_PACK if one["supply"] == "inverter" else ON_A_SUPPLY
    for end in one["kept_off"]:
        yield words.format(end=end, part=end.rpartition(".")[0], **when)


def _contact_opened(one: Record) -> Iterator[str]:
    """Yield how the contact of a brake is kept open for the trial; nothing without one."""
    brake = one["brake"]
    if brake is not None:
        closed = f"The {brake['contact']} is closed while nothing feeds its coil"
        yield f"{closed}, and the supply would drive into its resistor: {OFF.format(brake['off'])}"


def _contact_tried(one: Record) -> Iterator[str]:
    """Yield how the brake is put back after the last step, and tried; nothing without one."""
    brake = one["brake"]
    if brake is None:
        return
    ohms, coils = plain(middle(brake["resistance_ohm"]), "Ω"), middle(brake["coils_A"])
    more = "" if coils is None else f", its limit {plain(coils, 'A')} higher for the coils"
    stop = f"Then a stop with the brake, the tool still off: supply off, move its leads to {brake['stop_at']}"
    yield f"After the last step, supply off and the motor standing, read {brake['read']}: {ohms}. {BACK}"
    yield f"{stop}, {STOP}{more}. {STOOD}"


def _fed(one: Record) -> str:
    """Return what feeds it, and where."""
    if one["supply"] == "bench-supply":
        return f"Feed it at {one['at']}; the supply's own switch is the stop"
    return f"{SUPPLIES[one['supply']]}, with {one['at']}"


def before(one: Record) -> str:
    """Return what comes off, and what stays on."""
    stays = f"; {_listed(one['stays_on'])} on" if one["stays_on"] else ""
    brake = f" {one['mechanical_brake']}" if one["mechanical_brake"] else ""
    return f"{one['off']}{stays}.{brake}"


def _listed(names: list[str]) -> str:
    """Return names in a row with their verb: "gearbox stays", "spindle and gearbox stay"."""
    said = " and ".join(spoken(name) for name in names)
    return f"{said} {'stays' if len(names) == 1 else 'stay'}"


def _set(step: Record) -> str:
    volts = plain(middle(step["supply_V"]), "V")
    limit = middle(step["limit_A"])
    return f"{volts}, no more than {plain(limit, 'A')}," if limit is not None else f"{volts},"


def expected(step: Record) -> str:
    """Return what a step should show: also the speed behind gears that stay on, which is the one to be read."""
    motor, shaft = (rpm(middle(step[f"{which}_speed_rad_s"])) for which in ("motor", "shaft"))
    turns = f"the motor turns at {motor}" + (f", the shaft behind it at {shaft}," if shaft != motor else "")
    taken = watts(middle(step["power_W"])) if step["name"] == "socket" else plain(middle(step["current_A"]), "A")
    return f"{turns} and takes {taken}"


def steps(one: Record) -> list[tuple[str, str, str, str]]:
    """Return a row for each step of a motor by itself: its name, what is set, what is expected, how warm it gets."""
    return [_row(one, step) for step in one["steps"]]


def _row(one: Record, step: Record) -> tuple[str, str, str, str]:
    return (
        f"{one['name']}{'' if one['brake'] is None else WIRE_OFF}, {SET[step['name']]}",
        _setting(step),
        f"not run: {step['reason']}" if step["reason"] else expected(step),
        _warmth(step),
    )


def _setting(step: Record) -> str:
    limit = middle(step["limit_A"])
    volts = plain(middle(step["supply_V"]), "V")
    return f"{volts}, limit {plain(limit, 'A')}" if limit is not None else volts


def _warmth(step: Record) -> str:
    time = middle(step["run_s"])
    if time is None:
        return "–"
    return f"{minutes(time)}; then the case is at {celsius(middle(step['case_temperature_K']))}"


def meanings(record: Record) -> list[str]:
    """Return what a reading means that is higher or lower, and what warmth does later."""
    chains = record["trial"]["chains"]
    said = [_meaning(one, several=len(chains) > 1) for one in chains]
    if not told_cold(record):
        return [*said, f"{FROM_WORK}."]
    return [*said, WARM if any(one["kind"] in MAGNETS for one in chains) else WARM_WIRE]


def told_cold(record: Record) -> bool:
    """Return whether amps or speeds of a cold machine differ anywhere, and stand in brackets."""
    states = [state for end in record["trial"]["charges"] for state in end["states"]]
    return any("(cold" in _working(state) for state in states)


def has_limits(record: Record) -> bool:
    """Return whether amps are set anywhere: a socket has its own."""
    return any(step["limit_A"] is not None for one in record["trial"]["chains"] for step in one["steps"])


def _meaning(one: Record, *, several: bool) -> str:
    name = f"{one['name'].capitalize()}: " if several else ""
    return f"{name}{one['higher']} {one['lower']}"


def charges(record: Record) -> list[str]:
    """Return the heads of the columns: each charge with the volts at rest."""
    return [
        f"{CHARGES[one['name']]}{_share(one)}: {plain(middle(one['rest_V']), 'V')} at rest"
        for one in record["trial"]["charges"]
    ]


def _share(one: Record) -> str:
    return "" if one["charge"] is None else f", {percent(middle(one['charge']))}"


def at_work(record: Record) -> list[tuple[str, list[str]]]:
    """Return a row for each duty state: volts, amps and speeds at each charge, once warm and while cold."""
    ends = record["trial"]["charges"]
    names = [state["name"] for state in ends[0]["states"]]
    return [(name, [_working(end["states"][place]) for end in ends]) for place, name in enumerate(names)]


def _working(state: Record) -> str:
    several = len(state["chains"]) > 1
    turned = [f"{one['name'] + ' ' if several else ''}{_turning(one)}" for one in state["chains"]]
    return ", ".join([plain(middle(state["voltage_V"]), "V"), _amps(state), *turned])


def _amps(state: Record) -> str:
    """Return the amps once warm, and behind them those of the first minutes where they differ."""
    warm, cold = (plain(middle(state[f"{when}current_A"]), "A") for when in ("", "cold_"))
    return warm if warm == cold else f"{warm} (cold {cold})"


def _turning(one: Record) -> str:
    """Return the speed once warm, and behind it that of the first minutes where it differs; else why it stands."""
    if not one["works"] or one["outcome"] == "off":
        return str(one["reason"])
    warm = rpm(middle(one["tool_speed_rad_s"]))
    cold = rpm(middle(one["cold_tool_speed_rad_s"])) if one["cold_works"] else str(one["cold_reason"])
    return warm if warm == cold else f"{warm} (cold {cold})"
