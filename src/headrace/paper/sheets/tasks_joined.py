"""Tasks of what joins and guards: wires and the main fuse."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.paper.sheets.task import PAPER, Asked, Record, Task
from headrace.paper.units_of_words import said_in
from headrace.paper.words import empties, plain, watts


def wires(record: Record, _: Record) -> Iterator[Task]:
    """Yield the task of the cable that costs most; none of mains, to which nobody holds a meter."""
    if record["pack"]["source"] == "wall-socket":  # nobody holds a meter to mains
        return
    runs = [run for run in record.get("conductors") or () if run["planned"] and run["side"] == "source"]
    if not runs:
        return
    run = max(runs, key=lambda one: one["loss_W"])
    ends = ", full or at the reserve" if empties(record["pack"]) else ""
    yield Task(
        "wires",
        "What does a wire take away?",
        [
            (f"one way, {run['name']}", plain(run["one_way_m"], "m", 2)),
            ("metal in it", plain(run["area_m2"] * 1e6, "mm²")),
            ("resistance, there and back", said_in(run["resistance_ohm"], "mΩ", 2)),
            (f"amps at most{ends}", plain(run["peak_A"], "A")),
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


def fuse(record: Record, _: Record) -> Iterator[Task]:
    """Yield the task of the main fuse; none where the shelf has none."""
    fuse = record.get("fuse")
    if not fuse or fuse["rating_A"] is None:
        return
    yield Task(
        "fuse",
        "Which fuse, and what would it have to break?",
        [
            ("amps as they heat (rms)", plain(fuse["rms_A"], "A")),
            ("amps at most, full or at the reserve", plain(fuse["peak_A"], "A")),
            (
                "amps the wire bears",
                plain(fuse["wire_carries_A"], "A") if fuse["wire_carries_A"] else "no wire is given",
            ),
            ("volts it may have to break", plain(fuse["highest_voltage_V"], "V")),
            ("volts at rest, full", plain(fuse["open_voltage_V"], "V")),
            ("ohms of the pack in the first instant", said_in(fuse["at_once_ohm"], "mΩ", 2)),
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
