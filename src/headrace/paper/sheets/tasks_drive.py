"""Tasks of every machine: watts that reach the work, watts that are lost, and how it comes to rest."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.machine.fed import fed
from headrace.paper.sheets.task import CELLS, PAPER, WHEN, Asked, Record, Task, at_terminals
from headrace.paper.starting import seconds
from headrace.paper.words import giver, moment, plain, rpm, watts

MOTOR_AMPS = "; reading the amps of the motor, which a controller can make many times those of the source"


def work(record: Record, heavy: Record) -> Iterator[Task]:
    """Yield the task of the watts that reach the work."""
    mains = _at_a_socket(record)
    step = ", a little less where the two are out of step" if mains else ""
    put = "the meter is put in while the plug is out" if mains else "meters are clipped on while it is dead"
    slip = "" if mains else MOTOR_AMPS
    outside = [link for link in heavy["links"] if link["kind"] != CELLS]
    lost = [(f"lost in {link['name']}", watts(link["loss_W"])) for link in outside]
    yield Task(
        "work",
        f"How many watts reach the work in {heavy['name']}?",
        [
            (WHEN, moment(record)),
            ("volts at the terminals", plain(heavy["terminal_voltage_V"], "V")),
            ("amps drawn", plain(heavy["battery_current_A"], "A")),
            *lost,
        ],
        f"Watts are volts times amps{step}. What goes in comes out again: as work, or as one of the losses.",
        (
            Asked("watts at the terminals", _how_read(record), watts(at_terminals(heavy))),
            Asked("watts into the work", PAPER, watts(heavy["useful_W"])),
        ),
        f"The teacher runs the machine; {put}, and read from where nothing is thrown.",
        f"Adding the losses to what comes from {giver(record['pack'])} instead of taking them off{slip}.",
    )


def _how_read(record: Record) -> str:
    """Return how watts are read: of mains by a meter with a plug, never with tips."""
    return "a meter between plug and socket" if _at_a_socket(record) else "volts and amps, read together"


def _at_a_socket(record: Record) -> bool:
    return bool(record["pack"]["source"] == "wall-socket")


def losses(record: Record, heavy: Record) -> Iterator[Task]:
    """Yield the task of which losses are large, and which is worth mending."""
    out = fed(record["pack"]["source"]).dead
    ranked = sorted(heavy["links"], key=lambda link: -link["loss_W"])
    worth = max(heavy["links"], key=lambda link: link["saves_halved_W"] or 0.0)
    yield Task(
        "losses",
        f"Where are the watts lost in {heavy['name']}, and which loss is worth mending?",
        [(WHEN, moment(record)), *((link["name"], watts(link["loss_W"])) for link in heavy["links"])],
        "A loss near the tool costs more than its own watts: what it takes has to come through every link behind it.",
        (
            Asked("the largest loss", PAPER, f"{ranked[0]['name']}"),
            Asked("the second largest", PAPER, f"{ranked[1]['name']}" if len(ranked) > 1 else "there is no other"),
            Asked("the one that saves most when halved", PAPER, f"{worth['name']}: {watts(worth['saves_halved_W'])}"),
        ),
        f"Before a hand goes near what was turning or warm: {out}, and it has stood for a while.",
        "Looking for the loss in what is seen, such as wires, and not in air, friction or windings, which are not.",
    )


def stopping(record: Record, _: Record) -> Iterator[Task]:
    """Yield a task for each tool that cuts and that a watch can be held to."""
    found = [one for one in record["stops"] if one["cuts"] and one["timed"]["coast_time_s"] is not None]
    for one in found:
        timed = one["timed"]
        free, braked = seconds(timed["coast_time_s"]), timed["braked_time_s"]
        watch = "stopwatch, guards on, from behind the line"
        asked = [Asked("seconds without a brake", PAPER if braked is not None else watch, free)]
        if braked is not None:  # nobody takes a brake off to time the tool without it
            asked.append(Asked("seconds with its brake", watch, seconds(braked)))
        yield Task(
            "stopping" if len(found) == 1 else f"stopping-{one['name']}",
            f"How long does the {one['tool']} turn on after release?",
            [
                ("speed at release, full volts, motor cold", rpm(timed["tool_speed_rad_s"])),
                ("how it is timed", timed["case"]),
                ("energy in what turns, at its fastest, motor hot", plain(one["spin_energy_J"], "J", 0)),
                ("seconds allowed", "no limit is set" if one["limit_s"] is None else plain(one["limit_s"], "s")),
            ],
            "The energy of what turns has to go somewhere: slowly into air and bearings, or quickly into a brake.",
            asked,
            "Guards stay on, and so does the brake. Nobody stops it by hand or with a stick.",
            "Taking half the speed for half the energy: it is a quarter.",
        )
