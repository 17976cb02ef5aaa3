"""The numbers of a design that belong to a hazard: how much is stored, how fast it turns, how hot it gets."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from headrace.drive.links import parts
from headrace.drive.tools import tool_of
from headrace.findings.evidence import Evidence
from headrace.machine.records import Lanes
from headrace.machine.values import first_number
from headrace.machine.works import Winch
from headrace.pack import arrangement
from headrace.physics import duty

Number = tuple[str, Lanes, str]  # what it is, the number, its unit as a record's keys end; "" of a count
Numbers = Iterator[Number]
AT_WORST = "at worst (full pack, least friction)"


def stored(evidence: Evidence) -> Numbers:
    """Yield what the pack holds."""
    source = evidence.machine.source
    if not source.endless:
        yield "energy of the pack", arrangement.energy(source), "J"
        yield "volts when full", evidence.full_voltage, "V"
        yield "count of cells", evidence.cells, ""


def shorted(evidence: Evidence) -> Numbers:
    """Yield what a short circuit takes, and how it ends."""
    found = evidence.fused
    if found is None:
        return
    yield "short circuit at the terminals", found.asked.at_pack, "A"
    yield "main fuse", found.rating, "A"
    if found.full is not None:
        yield "short circuit at the far end of the weakest wire", found.full.current, "A"
        yield "the fuse has opened after", found.full.opens_after, "s"
        yield "the wire is by then at", found.full.temperature, "K"


def sparked(evidence: Evidence) -> Numbers:
    """Yield what empty capacitors take."""
    guard = evidence.guard
    if guard is None or guard.inrush is None:
        return
    yield "amps into empty capacitors, without pre-charge", guard.inrush.current, "A"
    yield "energy of the spark, without pre-charge", guard.inrush.energy, "J"
    if guard.planned is not None:
        yield "volts left after the pre-charge", guard.planned.left, "V"


def touched(evidence: Evidence) -> Numbers:
    """Yield the direct volts within reach."""
    if evidence.machine.source.frequency == 0.0:
        yield "volts when full", evidence.full_voltage, "V"


def from_the_mains(evidence: Evidence) -> Numbers:
    """Yield the volts of mains."""
    source = evidence.machine.source
    if source.kind == "wall-socket":
        yield "volts of the socket", source.cell.nominal_voltage, "V"
    for chain in evidence.machine.chains:
        box = parts(chain).converter
        if box is not None and box.kind == "inverter":
            yield f"volts behind the {box.name} of {chain.name}", box.voltage, "V"


def wetted(evidence: Evidence) -> Numbers:
    """Yield all volts that water would come to: direct ones, and those of mains."""
    yield from touched(evidence)
    yield from from_the_mains(evidence)


def burning(evidence: Evidence) -> Numbers:
    """Yield the volts of mains, and how hot what is fed with them gets."""
    yield from from_the_mains(evidence)
    for chain in evidence.machine.chains:
        hottest = [one.warming.hottest for one in evidence.endures if one.chain == chain.name]
        if chain.alternating and hottest:
            yield f"hottest winding of {chain.name}, without a pause", duty.greatest(hottest), "K"


def turning(evidence: Evidence) -> Numbers:
    """Yield how fast each tool turns, what is in it, and how long it takes to stand."""
    for one in evidence.stops:
        yield f"speed of {one.chain} at its fastest", one.tool_speed, "rad_s"
        yield f"energy in what turns of {one.chain}", one.spin_energy, "J"
        yield f"{one.chain} stands after, without a brake, {AT_WORST}", one.coast_time, "s"
        if one.planned is not None:
            yield f"{one.chain} stands after, with its brake, {AT_WORST}", one.planned.time, "s"
        if one.timed.care or one.timed.reason:
            continue  # timed off the ground, or not at all: no other end of the same stop
        yield f"{one.chain} stands after, without a brake, typical", one.timed.coast_time, "s"
        if np.isfinite(first_number(one.timed.braked_time)):
            yield f"{one.chain} stands after, with its brake, typical", one.timed.braked_time, "s"


def thrown(evidence: Evidence) -> Numbers:
    """Yield how fast each tool that cuts is at its fastest."""
    for chain, pace in zip(evidence.machine.chains, evidence.corners.fastest, strict=True):
        tool = tool_of(chain.work)
        if tool.cuts:
            yield f"{tool.pace.key.replace('_', ' ')} of {chain.name} with a full pack", pace, tool.pace.suffix


def started(evidence: Evidence) -> Numbers:
    """Yield how soon each chain is at speed."""
    for one in evidence.starts:
        yield f"{one.chain} is at speed after", one.full.time, "s"


def sloped(evidence: Evidence) -> Numbers:
    """Yield what has to be held on each slope or rope, and how fast it runs away."""
    chains = {chain.name: chain for chain in evidence.machine.chains}
    for one in evidence.slopes:
        yield f"to be held at the tool of {one.chain} in {one.state}", one.standing.weight_torque, "N_m"
        if one.runaway is not None:
            unit = tool_of(chains[one.chain].work).pace.suffix
            yield f"{one.chain} in {one.state} runs away at", one.runaway.pace, unit
    if evidence.balance is not None:
        yield "steepest slope", evidence.balance.steepest, "rad"
        yield "tips backward on", evidence.balance.after.tips_backward, "rad"
        yield "tips forward on", evidence.balance.after.tips_forward, "rad"


def hoisted(evidence: Evidence) -> Numbers:
    """Yield what hangs on the rope."""
    for chain in evidence.machine.chains:
        if isinstance(chain.work, Winch):
            loads = [state.load for state in evidence.machine.job.states if state.loads(chain)]
            if loads:
                yield f"heaviest load of {chain.name}", duty.greatest(loads), "kg"


def lifted(evidence: Evidence) -> Numbers:
    """Yield what is carried."""
    if not evidence.machine.source.endless:
        yield "mass of the pack", evidence.mass, "kg"
    if evidence.balance is not None:
        yield "mass of the machine", evidence.balance.after.mass, "kg"


def heated(evidence: Evidence) -> Numbers:
    """Yield how hot each winding gets, and what a brake's resistor takes at each stop."""
    for chain in evidence.machine.chains:
        hottest = [one.warming.hottest for one in evidence.endures if one.chain == chain.name]
        if hottest:
            yield f"hottest winding of {chain.name}, without a pause", duty.greatest(hottest), "K"
    for one in evidence.stops:
        if one.planned is not None:
            yield f"into the brake's resistor of {one.chain} at each stop", one.planned.heat, "J"


def charged(evidence: Evidence) -> Numbers:
    """Yield how long a charge takes, and what it takes from the outlet."""
    found, charger = evidence.charging, evidence.machine.charger
    if found is None or charger is None:
        return
    yield "a charge takes", found.once.duration, "s"
    yield "from the outlet", found.once.mains_power, "W"
    yield "volts of the charger", charger.voltage, "V"
    yield "hottest cell on charge", found.once.highest_cell_temperature, "K"
    yield "coldest the cells are put on charge", evidence.machine.safety.charging_cold, "K"


def put_away(evidence: Evidence) -> Numbers:
    """Yield what is stored or carried, and when it has to be seen to."""
    yield "energy of the pack", arrangement.energy(evidence.machine.source), "J"
    yield "mass of the pack", evidence.mass, "kg"
    if evidence.charging is not None:
        yield "looked at again while it stands, every", evidence.charging.look, "s"
        yield "down to its check charge after", evidence.charging.stored, "s"


NUMBERS: dict[str, Callable[[Evidence], Numbers]] = {
    "battery fire": stored,
    "gas and acid": stored,
    "short circuit": shorted,
    "spark at connecting": sparked,
    "shock": touched,
    "mains": from_the_mains,
    "electrical fire": burning,
    "moving tool": turning,
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
