"""The last steps of a machine without a pack: its tool goes on, and what stops it is tried before its first work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headrace.drive.alone import runs_free
from headrace.machine.records import Machine
from headrace.wiring.assembly_step import FEEDS, ON_THE_BODY, AssemblyStep, dead
from headrace.wiring.assembly_volts import Volts, live
from headrace.wiring.controls import HELD, STOP, by_hand

OUT = {"wall-socket": "Plug out and in sight", "bench-supply": "Supply off and its leads off"}
IN = {"wall-socket": "Plug in", "bench-supply": "Supply on"}


def first_run(machine: Machine, reach: Volts) -> Iterator[AssemblyStep]:
    """Yield how the tool is put on, and how held control and emergency stop are tried.

    Parameters
    ----------
    machine
        The machine.
    reach
        Volts of what feeds it. [V]
    """
    out, several = OUT[machine.source.kind], len(machine.chains) > 1
    on = dead(
        "tool",
        f"Do the first power-up by its own sheet, each motor without its tool. {out}: put the tool on, and the guards "
        "with it.",
        "The tool's edges, with a sleeve or tape, until it is fixed.",
        ("spanners", "torque wrench", "eye protection", "a rod as thick as a finger"),
        "Turn it by hand, and push the rod at every opening: nothing rubs, the rod touches nothing that turns.",
        "It rubs, or a finger would reach it: put it right before anything is fed.",
    )
    yield replace(on, never=(*ON_THE_BODY, FEEDS[machine.source.kind]))  # its blade is what is worked at
    yield live(
        "stops tried",
        f"{_care(machine)}{IN[machine.source.kind]}, standing clear, outdoors or with the place cleared, nothing for "
        f"the tool to do{', one chain after the other' if several else ''}: {_tried(machine)}",
        "Nobody near what turns or is thrown; one hand at the plug or the supply's switch.",
        ("eye protection", "a clock"),
        reach,
        "it stops each time, and does not start again by itself when the stop is let out",
        differs=f"It runs on, or starts by itself: {out[0].lower()}{out[1:]}, no work until whoever joined it has "
        "found out why.",
        hands="both hands; gloves off near anything that can turn",
        never=(*ON_THE_BODY, "liquids", "an open box"),
    )


def _care(machine: Machine) -> str:
    """Return what is seen to first, and what must not run without its work."""
    found = [runs_free(chain) for chain in machine.chains]
    first = "; ".join(dict.fromkeys(care for care in found if care))
    dry = [chain.name for chain, care in zip(machine.chains, found, strict=True) if care is None]
    said = [f"First {first}" if first else "", f"{' and '.join(dry)} not dry, but at its lightest work" if dry else ""]
    told = "; ".join(part for part in said if part)
    return f"{told[0].upper()}{told[1:]}. " if told else ""


def _tried(machine: Machine) -> str:
    """Return how each control that a hand finds is tried."""
    if HELD not in by_hand(machine):
        return f"switch it on, and press the {STOP} once it turns."
    return f"hold the control until it turns, and let go; once more, and press the {STOP} with the control still held."
