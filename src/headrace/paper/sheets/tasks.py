"""What a class can predict and then measure on one machine, cut into tasks for groups; filled from the record."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from headrace.paper.charging import hours
from headrace.paper.starting import seconds
from headrace.paper.words import RPM, empties, giver, minutes, percent, plain, rpm, watt_hours, watts

Record = dict[str, Any]
CELLS = "cells"  # the kind of the loss that stays inside the cells, which no meter at the terminals sees
LIKEWISE = "likewise"
PAPER = "worked out, not measured"


@dataclass(frozen=True)
class Asked:
    """One number to predict: what it is, how it is measured, what the plan says."""

    what: str
    how: str
    answer: str


@dataclass(frozen=True)
class Task:
    """The task of one group.

    Attributes
    ----------
    name, title
        By which it is found, and the question it is about.
    known
        Pairs of what is given and its value.
    rule
        How the numbers hang together.
    asked
        What to predict.
    care
        What to look out for while measuring.
    slip
        For the teacher: where predictions usually go wrong.
    """

    name: str
    title: str
    known: Sequence[tuple[str, str]]
    rule: str
    asked: Sequence[Asked]
    care: str
    slip: str


def tasks(record: Record) -> tuple[Task, ...]:
    """Return the tasks that a machine gives, of a record without bands."""
    heavy = heaviest(record)
    found = (_work(record, heavy), _losses(heavy), *(task for make in MORE for task in make(record, heavy)))
    return found


def heaviest(record: Record) -> Record:
    """Return the duty state that draws most."""
    chains = record["losses"].get("chains") or [{"states": record["losses"]["states"]}]
    states: list[Record] = [state for chain in chains for state in chain["states"] if state["links"]]
    return max(states, key=lambda state: float(state["source_W"]))


# --- of every machine --------------------------------------------------------------------------------


def _work(record: Record, heavy: Record) -> Task:
    outside = [link for link in heavy["links"] if link["kind"] != CELLS]
    lost = [(f"lost in {link['name']}", watts(link["loss_W"])) for link in outside]
    at_terminals = outside[-1]["power_in_W"]
    return Task(
        "work",
        f"How many watts reach the work in {heavy['name']}?",
        [
            ("volts at the terminals", plain(heavy["terminal_voltage_V"], "V")),
            ("amps drawn", plain(heavy["battery_current_A"], "A")),
            *lost,
        ],
        "Watts are volts times amps. What goes in comes out again: as work, or as one of the losses.",
        (
            Asked("watts at the terminals", _how_read(record), watts(at_terminals)),
            Asked("watts into the work", PAPER, watts(heavy["useful_W"])),
        ),
        "The teacher runs the machine; meters are clipped on while it is dead, and read from where nothing is thrown.",
        f"Adding the losses to what comes from {giver(record['pack'])} instead of taking them off; reading the amps of "
        "the motor, which a controller can make many times those of the source.",
    )


def _how_read(record: Record) -> str:
    """Return how watts are read: of mains by a meter with a plug, never with tips."""
    mains = record["pack"]["source"] == "wall-socket"
    return "a meter between plug and socket" if mains else "volts and amps, read together"


def _losses(heavy: Record) -> Task:
    ranked = sorted(heavy["links"], key=lambda link: -link["loss_W"])
    worth = max(heavy["links"], key=lambda link: link["saves_halved_W"] or 0.0)
    return Task(
        "losses",
        f"Where are the watts lost in {heavy['name']}, and which loss is worth mending?",
        [(link["name"], watts(link["loss_W"])) for link in heavy["links"]],
        "A loss near the tool costs more than its own watts: what it takes has to come through every link behind it.",
        (
            Asked("the largest loss", "after a run, dead: which part is warm", f"{ranked[0]['name']}"),
            Asked("the second largest", LIKEWISE, f"{ranked[1]['name']}" if len(ranked) > 1 else "there is no other"),
            Asked("the one that saves most when halved", PAPER, f"{worth['name']}: {watts(worth['saves_halved_W'])}"),
        ),
        "Touch nothing that was turning or warm until the fuse or the plug is out and it has stood for a while.",
        "Looking for the loss in what is seen, such as wires, and not in air, friction or windings, which are not.",
    )


def _minutes(record: Record, _: Record) -> Iterator[Task]:
    day, pack = record["day"], record["pack"]
    if not empties(pack):
        return
    yield Task(
        "minutes",
        "How long does a full pack work?",
        [
            ("energy of the pack, full to empty", watt_hours(pack["energy_J"])),
            ("energy used in the job", watt_hours(day["energy_J"])),
            ("the job takes", minutes(day["duration_s"])),
            ("charge left after it", percent(day["charge_left"])),
        ],
        "Minutes are energy by power. Power is the job's energy by its time; some charge stays in reserve.",
        (
            Asked(
                "charge left after the job",
                "volts at rest, and the table of the charging card",
                percent(day["charge_left"]),
            ),
            Asked("minutes down to the reserve", "a stopwatch, in the field", minutes(day["lasts_to_reserve_s"])),
            Asked("minutes until it cuts out", PAPER, minutes(day["lasts_s"])),
        ),
        "Stop at the reserve. Running a pack until it cuts out wears its weakest group.",
        "Dividing the energy on the label by the power on the motor's plate: neither is what this work takes.",
    )


# --- of a machine with cells -------------------------------------------------------------------------


def _volts(record: Record, _: Record) -> Iterator[Task]:
    pins = record["sense"].get("pins") or ()
    if not empties(record["pack"]) or not pins:
        return
    known, asked = _alone(record)
    yield Task(
        "volts",
        "Cells in series: which volts, and so which speed?",
        [
            ("cells in series", plain(record["pack"]["series"], "", 0)),
            ("a cell at rest, full", plain(pins[1]["full_V"], "V", 2)),
            ("a cell at rest, half full", plain(pins[1]["half_V"], "V", 2)),
            *known,
        ],
        "In series the volts add up and the amps stay. A motor with magnets turns as fast as its volts let it.",
        (
            Asked("volts of the pack, full", "at the closed pack's plug", plain(pins[-1]["full_V"], "V")),
            Asked("volts of the pack, half full", LIKEWISE, plain(pins[-1]["half_V"], "V")),
            *asked,
        ),
        "Only finished, covered packs; tips of the meter go into the plug, never onto cells or strips. The motor runs "
        "alone, screwed down, without its tool, on the supply.",
        "Reckoning with the volts on the label: a pack stands above them when full and below when worked.",
    )


def _alone(record: Record) -> tuple[list[tuple[str, str]], list[Asked]]:
    """Return what is known of the first motor that is run alone on the supply, and how fast it turns there."""
    constants = [n for n in record["numbers"] if n["address"].endswith(".constant") and n["unit"] == "V·s/rad"]
    for chain in record["trial"]["chains"]:
        steps = [step for step in chain["steps"] if step["reason"] is None]
        constant = [n for n in constants if n["address"].split(".")[1] == chain["name"]]
        if not steps or not constant:
            continue
        known = [("turns of the motor for each volt", plain(RPM / constant[0]["value"], "rpm/V"))]
        asked = [
            Asked(
                f"speed of the motor alone at {plain(step['supply_V'], 'V')}",
                "a tachometer that needs no touch",
                rpm(step["motor_speed_rad_s"]),
            )
            for step in steps
        ]
        return known, asked
    return [], []


def _amps(record: Record, heavy: Record) -> Iterator[Task]:
    if not empties(record["pack"]):
        return
    at_terminals = next(link for link in reversed(heavy["links"]) if link["kind"] != CELLS)["power_in_W"]
    yield Task(
        "amps",
        "In parallel: how many amps does each cell or battery give?",
        [
            (f"watts at the terminals in {heavy['name']}", watts(at_terminals)),
            ("volts there", plain(heavy["terminal_voltage_V"], "V")),
            ("cells or batteries in parallel", plain(record["pack"]["parallel"], "", 0)),
        ],
        "In parallel the amps add up and the volts stay. Amps in the motor make the torque; amps of the pack make heat "
        "in its cells.",
        (
            Asked("amps of the pack", "clamp meter on the plus, zeroed first", plain(heavy["battery_current_A"], "A")),
            Asked("amps of one of them", PAPER, plain(heavy["cell_current_A"], "A")),
        ),
        "The clamp goes on while it is dead. One wire in the clamp, never both.",
        "Taking the motor's amps for the pack's: at part throttle they differ.",
    )


def _charge(record: Record, _: Record) -> Iterator[Task]:
    charging = record.get("charging")
    if not charging or charging["ended_because"] == "too-low":
        return
    yield Task(
        "charging",
        "How long does a charge take, and what does it cost?",
        [
            ("put into the pack", plain(charging["put_in_A_s"] / 3600.0, "Ah")),
            ("amps of the charger", plain(charging["current_A"], "A")),
            ("volts it ends at", plain(charging["voltage_V"], "V")),
            ("energy into the pack", watt_hours(charging["energy_J"])),
        ],
        "Hours are ampere-hours by amps, and then some: near full the amps fade. Some of the mains' energy stays in "
        "the charger as heat.",
        (
            Asked("hours at full amps", "note when the amps begin to fade", hours(charging["steady_s"])),
            Asked("hours in all", "until the charger says full", hours(charging["duration_s"])),
            Asked("watt-hours from the mains", "a meter between plug and socket", watt_hours(charging["mains_J"])),
        ),
        "Charging is watched by an adult, on a surface that does not burn, never over a break or a night.",
        "Leaving out the fading end, or the charger's own loss.",
    )


# --- of what joins and what stops --------------------------------------------------------------------


def _wires(record: Record, _: Record) -> Iterator[Task]:
    if record["pack"]["source"] == "wall-socket":  # nobody holds a meter to mains
        return
    runs = [run for run in record.get("conductors") or () if run["planned"] and run["side"] == "source"]
    if not runs:
        return
    run = max(runs, key=lambda one: one["loss_W"])
    yield Task(
        "wires",
        "What does a wire take away?",
        [
            (f"one way, {run['name']}", plain(run["one_way_m"], "m", 2)),
            ("metal in it", plain(run["area_m2"] * 1e6, "mm²")),
            ("resistance, there and back", plain(run["resistance_ohm"] * 1e3, "mΩ", 2)),
            ("amps at most", plain(run["peak_A"], "A")),
            ("amps as they heat (rms)", plain(run["rms_A"], "A")),
            *_guarding(record, run),
        ],
        "Volts lost are amps times ohms; watts lost are amps times amps times ohms.",
        (
            Asked("volts lost at most", "millivolts from end to end, under load", plain(run["drop_V"], "V", 3)),
            Asked("watts lost", PAPER, watts(run["loss_W"])),
            Asked(
                "metal it needs at least",
                PAPER,
                plain(run["needed_m2"] * 1e6, "mm²") if run["needed_m2"] else "more than the table has",
            ),
        ),
        "Probes are clipped on while it is dead, on insulated clips.",
        "Counting the way there and not the way back.",
    )


def _guarding(record: Record, run: Record) -> Iterator[tuple[str, str]]:
    """Yield the main fuse, where the wire has to bear it."""
    fuse = record.get("fuse")
    if run["by_fuse_m2"] is not None and fuse:
        yield "main fuse, that the wire bears for hours", plain(fuse["rating_A"], "A", 0)


def _fuse(record: Record, _: Record) -> Iterator[Task]:
    fuse = record.get("fuse")
    if not fuse or fuse["rating_A"] is None:
        return
    yield Task(
        "fuse",
        "Which fuse, and what would it have to break?",
        [
            ("amps as they heat (rms)", plain(fuse["rms_A"], "A")),
            ("amps at most", plain(fuse["peak_A"], "A")),
            (
                "amps the wire bears",
                plain(fuse["wire_carries_A"], "A") if fuse["wire_carries_A"] else "no wire is given",
            ),
            ("volts it may have to break", plain(fuse["highest_voltage_V"], "V")),
            ("volts at rest, full", plain(fuse["open_voltage_V"], "V")),
            ("ohms of the pack in the first instant", plain(fuse["at_once_ohm"] * 1e3, "mΩ", 2)),
        ],
        "It carries the work and opens before the wire is spoiled. It breaks more volts than a full pack has, and more "
        "amps than a short can drive: volts by ohms.",
        (
            Asked("least rating", PAPER, plain(fuse["least_rating_A"], "A", 0)),
            Asked("rating to fit", "read off the fuse", plain(fuse["rating_A"], "A", 0)),
            Asked("amps of a short at the pack", PAPER + "; never tried", plain(fuse["short_circuit_A"], "A", 0)),
        ),
        "Nobody makes a short, not even a brief one. The fuse is read when it is out of its holder.",
        "Choosing it by the mean amps; forgetting its volts: one made for a car does not break a pack of more volts.",
    )


def _stopping(record: Record, _: Record) -> Iterator[Task]:
    for one in record["stops"]:
        if not one["cuts"] or one["coast_time_s"] is None:
            continue
        brake = one["planned"] or one["proposed"]
        braked = [Asked("seconds with the brake", LIKEWISE, seconds(brake["time_s"]))] if brake else []
        yield Task(
            f"stopping-{one['name']}" if len(record["stops"]) > 1 else "stopping",
            f"How long does the {one['tool']} turn on after release?",
            [
                ("speed at release", rpm(one["tool_speed_rad_s"])),
                ("energy in what turns", plain(one["spin_energy_J"], "J", 0)),
                ("seconds allowed", "no limit is set" if one["limit_s"] is None else plain(one["limit_s"], "s")),
            ],
            "The energy of what turns has to go somewhere: slowly into air and bearings, or quickly into a resistor.",
            (
                Asked(
                    "seconds without a brake", "stopwatch, guards on, from behind them", seconds(one["coast_time_s"])
                ),
                *braked,
            ),
            "Guards stay on. Nobody stops it by hand or with a stick.",
            "Taking half the speed for half the energy: it is a quarter.",
        )


MORE: tuple[Callable[[Record, Record], Iterator[Task]], ...] = (
    _volts,
    _amps,
    _wires,
    _fuse,
    _minutes,
    _charge,
    _stopping,
)
