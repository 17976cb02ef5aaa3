"""In which order a pack is connected: what is live, what to cover, what the meter should say, and what if it does not.

Everything that can be joined without the pack is joined without it. The tool is off or blocked until the last step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from headrace.machine.joins import BRAKE, BRAKE_RESISTOR, part_of, part_of_link, run_of
from headrace.machine.records import Lanes, Machine
from headrace.pack import source as pack
from headrace.pack.resting import rest_before
from headrace.physics import switching
from headrace.wiring.cuts import SENSE_WIRE
from headrace.wiring.guard import Guard
from headrace.wiring.let_run import all_off
from headrace.wiring.netlist import back_of
from headrace.wiring.order_step import STOP, Step, nothing
from headrace.wiring.order_tried import Tried, at_work, outlets
from headrace.wiring.plugs import at_the_pack

SIDES = ("source", "feed", "motor")  # of a chain's cables
COIL = "contactor.coil-plus"


class Rested(NamedTuple):
    """Volts of the pack at rest, full and half full. [V]"""

    full: Lanes
    storage: Lanes


def order(machine: Machine, guard: Guard | None, tried: Sequence[Tried]) -> tuple[Step, ...]:
    """Return the steps in order; none of what never empties.

    Parameters
    ----------
    machine
        The machine.
    guard
        What stands between pack and machine; None of what never empties.
    tried
        Its chains, as they are first run.
    """
    if guard is None:
        return ()
    source = machine.source
    pair = Rested(
        *(switching.stack_voltage(source.series, pack.open_voltage(source.cell, charge)) for charge in (1.0, 0.5))
    )
    return (
        *_dead(machine, guard),
        *_at_the_pack(machine, guard, pair),
        *_in_the_line(machine, guard),
        *_let_go(machine),
        *outlets(machine),
        *at_work(machine, tried),
    )


def _dead(machine: Machine, guard: Guard) -> Iterator[Step]:
    sense, and_sense = (" sense plug out,", " and the sense plug") if _sensed(machine, guard) else ("", "")
    yield Step(
        "apart",
        live=False,
        does=f"Take the tool off or block it. Main fuse out, isolator open,{sense} charger unplugged.",
        cover="Both ends of the pack, with caps; rings and watch off, tools taped.",
    )
    yield Step(
        "wires",
        live=False,
        does=f"Join everything but the pack's two ends{and_sense}{_home(machine)}; pull at every lug.",
        cover="The lugs meant for the pack, with caps.",
        between=f"contactor.out and {back_of(machine)}, in ohms",
        differs="An ohm or less that stays: a short or a part the wrong way round. Ohms that rise are capacitors.",
        parts=tuple(_joined(machine, guard)),
    )
    if not all(chain.alternating for chain in machine.chains):
        yield Step(
            "power-up",
            live=False,
            does="Do the first power-up by its own sheet: what needs no pack, each motor alone. Then come back to "
            "here.",
            cover="The lugs meant for the pack keep their caps; the supply's leads come off again at the end.",
        )


def _joined(machine: Machine, guard: Guard) -> Iterator[str]:
    """Yield what is joined without the pack: links of the chains, their runs, brakes."""
    for chain in machine.chains:
        yield from (part_of_link(chain.name, link) for link in chain.links)
        yield from (run_of(chain.name, side) for side in SIDES)
    for one in guard.brakes:
        if not one.by_controller:
            yield from (part_of(one.chain, name) for name in (BRAKE, BRAKE_RESISTOR))


def _sensed(machine: Machine, guard: Guard) -> bool:
    return bool(guard.pins) and machine.board is not None


def _miscounted(machine: Machine) -> str:
    """Return what volts that are off mean, by what the pack is made of."""
    if machine.source.kind == "batteries":
        return "batteries miscounted, or one that is flat"
    return "another pack than the one planned" if machine.source.ready_made else "cells miscounted"


def _at_the_pack(machine: Machine, guard: Guard, pair: Rested) -> Iterator[Step]:
    yield Step(
        "pack",
        True,
        "Read the pack at its two ends, one cap off at a time.",
        "The end not being read.",
        "pack.plus and pack.minus",
        pair.full,
        pair.storage,
        "Less than nothing: the leads of the meter, or plus and minus marked wrongly. Volts off: "
        f"{_miscounted(machine)}.",
        rested=rest_before(machine.source),
        parts=("pack",),
    )
    if machine.board is not None:
        yield Step(
            "board",
            True,
            "Join pack.minus to board.cells first" + ("; the sense plug stays out." if guard.pins else "."),
            "The plus, with its cap on.",
            "pack.plus and board.cells",
            pair.full,
            pair.storage,
            "Nothing: a lug without contact.",
            parts=("board",),
        )
    if _sensed(machine, guard):
        step = guard.pins[1]
        yield Step(
            "sense",
            True,
            "Read every pin of the loose sense plug against the one before.",
            "The board's socket; the plug must not touch metal.",
            "neighbouring pins, each",
            step.full,
            step.storage,
            "Twice as much, nothing, or less than nothing: wires swapped or off. Do not plug it in.",
        )
        yield Step(
            "plug",
            True,
            f"Plug the sense plug in, once, straight.{_lid(machine)}",
            "The plus, with its cap on.",
            "pack.plus and board.load",
            pair.full,
            pair.storage,
            "Nothing: the board is open; some wake on a charger. Smoke or warmth: unplug it at once.",
            parts=(SENSE_WIRE,),
        )
    first = "Join pack.minus to the machine, then pack.plus" if machine.board is None else "Join pack.plus"
    yield Step(
        "ends",
        True,
        f"{first} to fuse.in, the fuse's holder empty.{_plugged(machine)}",
        "The minus, before the plus is bared.",
        "fuse.out and pack.minus",
        nothing(),
        nothing(),
        f"Volts without a fuse in: something bridges the holder. {STOP}",
    )


def _lid(machine: Machine) -> str:
    return "" if machine.source.ready_made else " Then close the lid of the pack's box."


def _home(machine: Machine) -> str:
    names = " and ".join(at_the_pack(machine))
    return f", the {names} pushed home" if names else ""


def _plugged(machine: Machine) -> str:
    """Return which way round a plug stands at the pack; "" without one."""
    names = " and ".join(at_the_pack(machine))
    if not names:
        return ""
    return f" The {names}, in the two leads from fuse.out and {back_of(machine)}, sockets to the pack, is home already."


def _in_the_line(machine: Machine, guard: Guard) -> Iterator[Step]:
    end = back_of(machine)
    yield Step(
        "fuse",
        True,
        "Put the main fuse in.",
        "The isolator's terminals, but for the tips of the meter.",
        f"isolator.out and {end}",
        nothing(),
        nothing(),
        f"Volts: the isolator is closed or bridged. A fuse that opens: a short before the isolator. {STOP}",
        parts=("fuse",),
    )
    yield Step(
        "isolator",
        True,
        "Close the isolator; emergency stop pressed, held control let go.",
        "Everything behind the contactor.",
        f"contactor.out and {end}",
        nothing(),
        nothing(),
        f"Volts: the contactor is welded, bridged or its coil is fed past the controls. {STOP}",
        parts=("isolator",),
    )
    yield from _pre_charged(machine, guard)
    again = "Let the emergency stop out and hold the control"
    closes, turns = "the contactor closes", ", and nothing turns" if all_off(machine) else ""
    if guard.inrush is not None:
        again = f"Let go, isolator open; the wire back on {COIL}; isolator closed. Hold the control"
        closes = "after the pre-charge's time the contactor closes"
    yield Step(
        "contactor",
        True,
        f"{all_off(machine)}{again}: {closes}{turns}.",
        "Hands off everything that could turn.",
        "contactor.in and contactor.out",
        nothing(),
        nothing(),
        "All of the pack's volts: the coil is not fed. Some tenths of a volt without load: bad contacts."
        + (f" Something turns: what lets it run is joined wrongly. {STOP}" if turns else ""),
        parts=("contactor",),
    )


def _pre_charged(machine: Machine, guard: Guard) -> Iterator[Step]:
    """Yield how the pre-charge is tried on its own, the contactor's coil off its wire: first that it stays off."""
    if guard.inrush is None:
        return
    end, one = back_of(machine), guard.planned or guard.proposed
    for name, does in (
        (
            "pre-charge stopped",
            f"Isolator open, the wire off {COIL} and capped; isolator closed. Hold the control, the stop still pressed",
        ),
        ("pre-charge let go", "Let the control go, then let the emergency stop out"),
    ):
        yield Step(
            name,
            True,
            f"{does}: nothing may happen.",
            "Everything behind the contactor; the loose wire.",
            f"contactor.out and {end}",
            nothing(),
            nothing(),
            f"Volts: the pre-charge feeds the tool past that control. {STOP}",
        )
    yield Step(
        "pre-charge",
        True,
        "Hold the control for the pre-charge's time, and read at its end.",
        "The resistor: it gets hot. The loose wire: it has the pack's volts by then.",
        "contactor.in and contactor.out",
        np.nan if one is None else one.left,
        np.nan,
        "Much more: a load draws behind it, or a wire, its fuse or the resistor is open. Leave the coil's wire off.",
    )


def _let_go(machine: Machine) -> Iterator[Step]:
    for name, does in (("let go", "Let the held control go"), ("stop", "Hold it again, and press the emergency stop")):
        yield Step(
            name,
            True,
            f"{does}: the contactor opens.",
            "As before; capacitors keep their volts for minutes.",
            f"{COIL} and contactor.coil-minus",
            nothing(),
            nothing(),
            f"Volts: the coil is fed past it. {STOP}",
        )
    if machine.charger is not None:
        yield Step(
            "charger",
            True,
            "Read the charger's plug and its polarity before it goes in; charge with the isolator open, watching.",
            "The plug's pins.",
            "plus and minus of the charger's plug",
            machine.source.series * machine.source.cell.full_voltage,
            machine.source.series * machine.source.cell.full_voltage,
            "More volts, or less than nothing: the wrong charger, or turned round. Do not plug it in. No volts at all: "
            "some chargers wait until they see a battery; go by its label and its marks of plus and minus.",
            parts=("charger",),
        )
