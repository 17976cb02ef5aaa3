"""The numbers of a design that belong to a hazard: how much is stored, how fast it turns, how hot it gets."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

import numpy as np

from headrace.drive.alone import runs_free
from headrace.drive.links import parts
from headrace.drive.tools import tool_of
from headrace.findings.evidence import Evidence
from headrace.machine.records import Chain, Lanes
from headrace.machine.values import first_number
from headrace.machine.works import Winch
from headrace.pack import arrangement
from headrace.physics import duty
from headrace.wiring.brake_words import brake_words


class Number(NamedTuple):
    """One number of a design.

    Attributes
    ----------
    name, value, unit
        What it is, the number, and its unit as a record's keys end; "" of a count.
    case
        In which condition of pack and motor it is so; "" of what is so in all of them.
    """

    name: str
    value: Lanes
    unit: str
    case: str = ""


Numbers = Iterator[Number]
FULL, SUPPLIED = "pack full", "on its supply"
FASTEST, AT_WORST = "no load, motor hot", "no load, motor hot, least friction"
AS_TIMED = "no load, motor cold, typical friction"
HELD_FAST = "held fast, control still on, winding warm from work"
NO_PAUSE = "without a pause in the hottest weather"
FROM_RESERVE = "from the reserve"


def _fed(evidence: Evidence, case: str) -> str:
    """Return a condition of the motor with that of what feeds it: what never empties is never full."""
    return f"{SUPPLIED if evidence.machine.source.endless else FULL}, {case}"


def stored(evidence: Evidence) -> Numbers:
    """Yield what the pack holds."""
    source = evidence.machine.source
    if not source.endless:
        yield Number("energy of the pack", arrangement.energy(source), "J")
        yield Number("volts when full", evidence.full_voltage, "V")
        yield Number("count of cells", evidence.cells, "")


def shorted(evidence: Evidence) -> Numbers:
    """Yield what a short circuit takes, and how it ends."""
    found = evidence.fused
    if found is None:
        return
    yield Number("short circuit at the terminals", found.asked.at_pack, "A", FULL)
    yield Number("main fuse", found.rating, "A")
    if found.full is not None:
        yield Number("short circuit at the far end of the weakest wire", found.full.current, "A", FULL)
        ended = found.ended(found.full)
        yield Number("the fuse has opened after", ended.opens_after, "s", FULL)
        yield Number("the wire is by then at", ended.temperature, "K", FULL)


def sparked(evidence: Evidence) -> Numbers:
    """Yield what empty capacitors take."""
    guard = evidence.guard
    if guard is None or guard.inrush is None:
        return
    yield Number("amps into empty capacitors, without pre-charge", guard.inrush.current, "A", FULL)
    yield Number("energy of the spark, without pre-charge", guard.inrush.energy, "J", FULL)
    if guard.planned is not None:
        yield Number("volts left after the pre-charge", guard.planned.left, "V", FULL)


def touched(evidence: Evidence) -> Numbers:
    """Yield the direct volts within reach."""
    source = evidence.machine.source
    if not source.endless:
        yield Number("volts when full", evidence.full_voltage, "V")
    elif source.frequency == 0.0:
        yield Number("volts of the supply", source.cell.nominal_voltage, "V")


def from_the_mains(evidence: Evidence) -> Numbers:
    """Yield the volts of mains."""
    source = evidence.machine.source
    if source.at_a_socket:
        yield Number("volts of the socket", source.cell.nominal_voltage, "V")
    for chain in evidence.machine.chains:
        box = parts(chain).converter
        if box is not None and box.kind == "inverter":
            yield Number(f"volts behind the {box.name} of {chain.name}", box.voltage, "V")


def wetted(evidence: Evidence) -> Numbers:
    """Yield all volts that water would come to: direct ones, and those of mains."""
    yield from touched(evidence)
    yield from from_the_mains(evidence)


def burning(evidence: Evidence) -> Numbers:
    """Yield the volts of mains, and how hot what is fed with them gets."""
    yield from from_the_mains(evidence)
    yield from _hottest(evidence, [chain for chain in evidence.machine.chains if chain.alternating])


def _hottest(evidence: Evidence, chains: Iterable[Chain]) -> Numbers:
    """Yield how hot the winding of each chain gets in its hottest state."""
    for chain in chains:
        hottest = [one.warming.hottest for one in evidence.endures if one.chain == chain.name]
        if hottest:
            yield Number(f"hottest winding of {chain.name}", duty.greatest(hottest), "K", NO_PAUSE)


def turning(evidence: Evidence) -> Numbers:
    """Yield how fast each tool turns, what is in it, and how long it takes to stand."""
    worst, timed = _fed(evidence, AT_WORST), _fed(evidence, AS_TIMED)
    for chain, one in zip(evidence.machine.chains, evidence.stops, strict=True):
        case = f"run dry, which it must not, {worst}" if runs_free(chain) is None else worst
        yield Number(f"release speed of {one.chain}, at worst", one.tool_speed, "rad_s", case)
        yield Number(f"energy in what turns of {one.chain}, at worst", one.spin_energy, "J", case)
        yield Number(f"{one.chain} stands after, without a brake, at worst", one.coast_time, "s", case)
        brake = "its brake" if one.planned is not None else "the brake proposed"
        if one.built is not None:
            yield Number(f"{one.chain} stands after, with {brake}, at worst", one.built.time, "s", worst)
        if one.timed.care or one.timed.reason:
            continue  # timed off the ground, or not at all: no other end of the same stop
        yield Number(f"release speed of {one.chain}, as timed", one.timed.tool_speed, "rad_s", timed)
        yield Number(f"{one.chain} stands after, without a brake, as timed", one.timed.coast_time, "s", timed)
        if np.isfinite(first_number(one.timed.braked_time)):
            yield Number(f"{one.chain} stands after, with {brake}, as timed", one.timed.braked_time, "s", timed)


def jammed(evidence: Evidence) -> Numbers:
    """Yield what a motor takes whose tool is held fast, and how soon that harms it."""
    for one in evidence.starts:
        yield Number(f"{one.chain} jammed: its motor takes", one.stall_current, "A", _fed(evidence, HELD_FAST))
        hot = f"{one.chain} jammed, let go at once: its winding is too hot after"
        yield Number(hot, one.stall_time, "s", HELD_FAST)


def tool(evidence: Evidence) -> Numbers:
    """Yield how fast each tool turns and stops, and what becomes of one that is jammed."""
    yield from turning(evidence)
    yield from jammed(evidence)


def thrown(evidence: Evidence) -> Numbers:
    """Yield how fast each tool that cuts is at its fastest."""
    for chain, pace in zip(evidence.machine.chains, evidence.corners.fastest, strict=True):
        tool = tool_of(chain.work)
        if tool.cuts:
            yield Number(
                f"{tool.pace.key.replace('_', ' ')} of {chain.name}", pace, tool.pace.suffix, _fed(evidence, FASTEST)
            )


def started(evidence: Evidence) -> Numbers:
    """Yield how soon each chain is at speed."""
    for one in evidence.starts:
        yield Number(f"{one.chain} is at speed after", one.full.time, "s", _fed(evidence, "motor cold"))


def sloped(evidence: Evidence) -> Numbers:
    """Yield what has to be held on each slope or rope, and how fast it runs away."""
    chains = {chain.name: chain for chain in evidence.machine.chains}
    for one in evidence.slopes:
        yield Number(f"to be held at the tool of {one.chain} in {one.state}", one.standing.weight_torque, "N_m")
        if one.runaway is not None:
            unit = tool_of(chains[one.chain].work).pace.suffix
            yield Number(f"{one.chain} in {one.state} runs away at", one.runaway.pace, unit, "motor cold")
    if evidence.balance is not None:
        yield Number("steepest slope", evidence.balance.steepest, "rad")
        yield Number("tips backward on", evidence.balance.after.tips_backward, "rad")
        yield Number("tips forward on", evidence.balance.after.tips_forward, "rad")


def hoisted(evidence: Evidence) -> Numbers:
    """Yield what hangs on the rope."""
    for chain in evidence.machine.chains:
        if isinstance(chain.work, Winch):
            loads = [state.load for state in evidence.machine.job.states if state.loads(chain)]
            if loads:
                yield Number(f"heaviest load of {chain.name}", duty.greatest(loads), "kg")


def lifted(evidence: Evidence) -> Numbers:
    """Yield what is carried."""
    if not evidence.machine.source.endless:
        yield Number("mass of the pack", evidence.mass, "kg")
    if evidence.balance is not None:
        yield Number("mass of the machine", evidence.balance.after.mass, "kg")


def heated(evidence: Evidence) -> Numbers:
    """Yield how hot each winding gets, and what a brake takes at each stop."""
    yield from _hottest(evidence, evidence.machine.chains)
    for one in evidence.stops:
        if one.built is not None:
            yield Number(
                f"into the {brake_words(by_controller=one.by_controller).takes} of {one.chain} at each stop",
                one.built.heat,
                "J",
                _fed(evidence, AT_WORST),
            )


def charged(evidence: Evidence) -> Numbers:
    """Yield how long a charge takes, and what it takes from the outlet."""
    found, charger = evidence.charging, evidence.machine.charger
    if found is None or charger is None:
        return
    yield Number("a charge takes", found.once.duration, "s", FROM_RESERVE)
    yield Number("from the outlet", found.once.mains_power, "W")
    yield Number("volts of the charger", charger.voltage, "V")
    yield Number("hottest cell on charge", found.once.highest_cell_temperature, "K", FROM_RESERVE)
    yield Number("coldest the cells are put on charge", evidence.machine.safety.charging_cold, "K")


def put_away(evidence: Evidence) -> Numbers:
    """Yield what is stored or carried, and when it has to be seen to."""
    yield Number("energy of the pack", arrangement.energy(evidence.machine.source), "J")
    yield Number("mass of the pack", evidence.mass, "kg")
    if evidence.charging is not None:
        yield Number("looked at again while it stands, every", evidence.charging.look, "s")
        yield Number("down to its check charge after", evidence.charging.stored, "s")


NUMBERS: dict[str, Callable[[Evidence], Numbers]] = {
    "battery fire": stored,
    "gas and acid": stored,
    "short circuit": shorted,
    "spark at connecting": sparked,
    "shock": touched,
    "mains": from_the_mains,
    "electrical fire": burning,
    "moving tool": tool,
    "thrown objects": thrown,
    "unexpected start": started,
    "runaway": sloped,
    "hoisted load": hoisted,
    "lifting": lifted,
    "hot parts": heated,
    "charging": charged,
    "noise and dust": thrown,
    "water": wetted,
    "storage and transport": put_away,
    "classroom": stored,
}
