"""The last steps of the connecting order: the mains side by who may, the tool let run for a moment, its first work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import MAINS_BREAKER
from headrace.machine.records import Chain, Lanes, Machine
from headrace.machine.values import first_number
from headrace.wiring.let_run import only
from headrace.wiring.netlist import back_of
from headrace.wiring.order_held import held
from headrace.wiring.order_step import STOP, Step, nothing

LATER = {  # by whether it has a brake
    True: "Longer to a stand, or over the time allowed: no work until its brake is mended.",
    False: "Longer to a stand: less drag or more that turns than planned; keep away for as long.",
}


@dataclass(frozen=True)
class Tried:
    """A chain as it is first run with its tool on, let go again at once; arrays over lanes.

    Attributes
    ----------
    chain
        Its name.
    care
        What is seen to before it runs free; None of what must never run without its work.
    speed, current
        Of its tool, and out of the source, full and cold with nothing to do; nan where it does not run so. [rad/s, A]
    stands
        After it is let go: with its brake, else without one. [s]
    braked
        Whether it has one: the file's, or one that is proposed and drawn.
    coasts
        After it is let go, were there no brake. [s]
    limit
        Time a rule allows; infinite where none does. [s]
    """

    chain: str
    care: str | None
    speed: Lanes
    current: Lanes
    stands: Lanes
    braked: bool
    coasts: Lanes
    limit: Lanes


def outlets(machine: Machine) -> Iterator[Step]:
    """Yield how the mains side of each inverter is tried, by who may."""
    fed = [(chain.name, parts(chain)) for chain in machine.chains if chain.alternating]
    for chain, row in fed:
        box, switch = row.converter, f"{chain} {row.controller.name}"
        if box is None:
            continue
        yield Step(
            f"mains side of {chain} {box.name}",
            True,
            "Charger off, isolator closed, emergency stop let out, the control held through the pre-charge and "
            f"the test, the {switch} off: who may work on the mains tries what the {chain} {box.name} feeds up to "
            "there: volts, earth to the machine's metal, and the button of the residual-current device. Mains kills: "
            "licensed practice and local codes come first.",
            "Every terminal of mains, but for the tester; everybody else stands back.",
            f"{chain} {MAINS_BREAKER}.live-out and {chain} {MAINS_BREAKER}.neutral-out, with a tester made for mains",
            box.voltage,
            box.voltage,
            f"Other volts, no earth, or a button that trips nothing: the switch stays off. {STOP}",
        )
    if fed:
        yield Step(
            "motor alone",
            True,
            "Isolator open, main fuse out: take off what the first power-up's sheet says. Fuse in, isolator closed: do "
            "the rest of it, the motor without its tool, the control held for as long. Then come back to here.",
            "The tool stays off and away; nobody near what turns.",
        )


def at_work(machine: Machine, tried: Sequence[Tried]) -> Iterator[Step]:
    """Yield the last steps: the tool goes on dead, runs for a moment, stands in time, and works."""
    yield Step(
        "tool",
        False,
        "Open the isolator, take the main fuse out and read; only then put the tool on, and the guards with it.",
        "The fuse stays in your pocket while hands are at the tool; both ends of the pack stay live.",
        f"contactor.out and {back_of(machine)}",
        nothing(),
        nothing(),
        "Volts that fall: capacitors; wait. Volts that stay: it is not dead. Keep your hands away.",
    )
    for chain, one in zip(machine.chains, tried, strict=True):
        if np.isfinite(first_number(one.speed)):
            yield _run_free(machine, chain, one)
    yield from held(machine)
    dry = [one.chain for one in tried if one.care is None]
    never = f"; {' and '.join(dry)} never dry" if dry else ""
    turns = ", one chain after the other" if len(machine.chains) > 1 else ""
    yield Step(
        "work",
        True,
        f"Fuse in, isolator closed; try it at its lightest work{turns}, outdoors, standing clear{never}; let go again "
        "soon.",
        "Nobody near what turns or is thrown.",
        "amps and speed at work: on the first power-up's sheet, those in brackets, of a cold machine, where two stand",
        differs="More amps or less speed than those: stop, and take the bench readings one by one.",
    )


def _run_free(machine: Machine, chain: Chain, one: Tried) -> Step:
    """Return how a tool is let run for a moment with nothing to do; of several one after the other."""
    care = f"Isolator open, fuse out: {one.care}. " if one.care else ""
    let = only(machine, chain)
    others = "Another one turns as well: what lets it run is not off. Stop, and keep it off. " if let else ""
    return Step(
        f"{chain.name} run free" if let else "run free",
        True,
        f"{care}{let}Fuse in, isolator closed, emergency stop let out, pack full, motors cold; outdoors, standing "
        "clear and with nothing for the tool to do, hold the control until it is at speed, and let go.",
        "Nobody near what turns or is thrown.",
        differs=f"{others}{LATER[one.braked]} Slower, or more amps: friction, or volts lost on the way.",
        expects=tuple(_free(one)),
    )


def _free(one: Tried) -> Iterator[tuple[str, Lanes, str]]:
    """Yield what is read while a tool runs free, and once it is let go."""
    yield f"speed of {one.chain}", one.speed, "rad_s"
    yield f"amps out of the source for {one.chain}", one.current, "A"
    yield f"{one.chain} stands after, {'braked' if one.braked else 'coasting'}", one.stands, "s"
    if one.braked:
        yield f"{one.chain} would stand after, its brake failing", one.coasts, "s"
    if np.isfinite(first_number(one.limit)):
        yield f"{one.chain} has to stand within", one.limit, "s"
