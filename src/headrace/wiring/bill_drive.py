"""Lines of the shopping list: the pack, and what it drives."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import parted
from headrace.machine.links import AnyMotor, Contacts, Controller, Converter, Motor, Transmission
from headrace.machine.prices import beside
from headrace.machine.printed import printed
from headrace.machine.records import Chain, Source
from headrace.machine.values import counted, is_known, typical_of
from headrace.pack import arrangement
from headrace.physics import buying, duty
from headrace.tables import load
from headrace.wiring.bill_line import (
    PLAN,
    Line,
    Plan,
    Rating,
    amps_and_volts,
    bought,
    for_each_pack,
    of_the_source,
    rows,
    single,
    what_holds,
)
from headrace.wiring.cuts import SENSE
from headrace.wiring.netlist_parts import Part
from headrace.wiring.plugs import stands

GEARING = {
    "gears": "in a closed box with its oil or grease",
    "worm": "in a closed box with its oil",
    "roller-chain": "both wheels, a guard, and a chain as long as the centres ask for",
}
BELT = "both wheels, a guard, and a belt as long as the centres ask for"
ITS_OWN_FUSE = "each of those side by side wants a fuse of its own at its plus, which this list does not count"
KINDS_OF_LINK = {"dc-dc": "one direct voltage out of another", "inverter": "mains out of a direct voltage"}


# --- the pack --------------------------------------------------------------------------------------


def pack_lines(plan: Plan) -> Iterator[Line]:
    """Yield cells and what joins, holds and watches them; nothing of what never empties."""
    source, cell = plan.machine.source, plan.machine.source.cell
    if source.endless:
        return
    volts = Rating("of each, nominal", "V", cell.nominal_voltage)
    holds = Rating("holds, each", "A_s", cell.capacity)
    amps = Rating("gives for long, each", "A", cell.continuous_current)
    if source.ready_made:
        whole = (
            Rating("full", "V", plan.full_voltage),
            Rating("gives for long, all together", "A", source.current_limit),
            Rating("holds, each", "A_s", cell.capacity),
        )
        inside = tuple(part.name for part in of_the_cells(plan))
        says = cell.chemistry if typical_of(source.parallel) == 1.0 else f"{cell.chemistry}; {ITS_OWN_FUSE}"
        yield bought(what_holds(source), for_each_pack(plan, source.parallel), whole, parts=inside, says=says)
        return
    count = for_each_pack(plan, arrangement.count(source))
    says = f"{cell.chemistry}, class {cell.name}"
    says += f"; {ITS_OWN_FUSE}" if source.kind == "batteries" and typical_of(source.parallel) > 1.0 else ""
    yield bought(what_holds(source), count, (volts, holds, amps), parts=("pack",), says=says)
    if source.kind == "cells":
        yield _strips(plan)
        yield bought("insulating rings", count, [Rating("across", "m", cell.diameter)])
        yield from _watched(plan)


def _strips(plan: Plan) -> Line:
    source = plan.machine.source
    row = rows()["strips"]
    share = printed(row, "spare", "spares for each")
    bare = buying.strip_metres(source.series, source.parallel, source.strips.length)
    length = for_each_pack(plan, buying.routed_length(typical_of(bare), share))
    ratings = [Rating("wide", "m", source.strips.width), Rating("thick, all layers", "m", source.strips.thickness)]
    return bought("strips", length, ratings, says=_metal(source))


def _metal(source: Source) -> str:
    """Return the metal of the strips by its resistivity, which is all that the machine keeps of it."""
    ohms = float(typical_of(source.strips.resistivity))
    return next((str(row["name"]) for row in load("metals") if np.isclose(float(row["resistivity"]), ohms)), "")


def of_the_cells(plan: Plan) -> list[Part]:
    """Return pack, board and the fuses in the sense wires."""
    found = plan.netlist.parts if plan.netlist is not None else ()
    fuses = [part.name for part in _sense_fuses(plan)]
    return [part for part in found if part.kind in ("pack", "board") or part.name in fuses]


def _sense_fuses(plan: Plan) -> list[Part]:
    if plan.netlist is None:
        return []
    sensed = {parted(end)[0] for wire in plan.netlist.wires if wire.carries == SENSE for end in wire.ends}
    return [part for part in plan.netlist.of("fuse") if part.name in sensed]


def _watched(plan: Plan) -> Iterator[Line]:
    """Yield the board, and the fuses in its sense wires."""
    board, fuses = plan.machine.board, _sense_fuses(plan)
    if board is not None:
        ratings = (
            Rating("for long", "A", board.continuous),
            Rating("opens above", "A", board.peak),
            Rating("when those last", "s", board.peak_delay),
            Rating("opens on a short above", "A", board.short_circuit),
            Rating("when that lasts", "s", board.short_circuit_delay),
            Rating("direct current of", "V", plan.full_voltage),
            Rating("groups in series", "", plan.machine.source.series),
        )
        says = f"{plan.machine.source.cell.chemistry}, as {'the file plans' if board.planned else 'is usual'}"
        yield bought("board", for_each_pack(plan, single()), ratings, parts=("board",), says=says)
    if fuses:
        count, names = counted(len(fuses), PLAN), tuple(part.name for part in fuses)
        yield bought("sense fuses", for_each_pack(plan, count), amps_and_volts(fuses[0]), parts=names)


# --- the drive -------------------------------------------------------------------------------------


def drive_lines(plan: Plan) -> Iterator[Line]:
    """Yield motors, controllers, converters, gearing and plugs of every chain, and what is fed beside them."""
    there = {part.name for part in plan.netlist.parts} if plan.netlist is not None else set()
    for chain in plan.machine.chains:
        for link in chain.links:
            name = f"{chain.name} {link.name}"
            own = (name,) if name in there else ()
            if isinstance(link, AnyMotor):
                yield bought(name, single(), _motor(plan, chain, link), like="motor", parts=own, says=_motor_says(link))
            elif isinstance(link, Controller):
                yield _controller(plan, chain, link, own)
            elif isinstance(link, Converter):
                says = KINDS_OF_LINK[link.kind]
                yield bought(name, single(), _converter(plan, link), like="converter", parts=own, says=says)
            elif isinstance(link, Transmission):
                ratio = Rating("turns of the motor's side for one", "", link.ratio)
                says = f"{link.kind.replace('-', ' ')}: {GEARING.get(link.kind, BELT)}"
                yield bought(name, single(), [ratio], like="gearing", says=says)
            elif isinstance(link, Contacts) and link.of == "plug":
                yield bought(
                    name,
                    typical_of(link.count),
                    _plug(plan, link),
                    like="connector",
                    says=_plug_says(plan, chain, link),
                )
    for lamp in plan.machine.auxiliaries:
        ratings = [Rating("takes", "W", lamp.power), Rating("direct current of", "V", plan.full_voltage)]
        own = (lamp.name,) if lamp.name in there else ()
        yield bought(beside(lamp.name), single(), ratings, like="auxiliary", parts=own)


def _hardest(plan: Plan, chain: Chain, *sides: str) -> Rating:
    """Return the amps of the hardest work on the first of some sides of a chain that has a cable."""
    here = [wire for wire in plan.wires if wire.chain == chain.name]
    side = next((side for side in sides if any(wire.side == side for wire in here)), "")
    amps = [typical_of(wire.peak) for wire in here if wire.side == side]
    peak = typical_of(duty.greatest(amps)) if amps else np.nan
    return Rating("in the hardest work", "A", peak, "not known, as the file has no cable on its side")


def _sides_of_the_motor(chain: Chain) -> tuple[str, ...]:
    """Return the sides of a chain whose cable carries what the motor takes: a bare switch lets all of it through."""
    row = parts(chain)
    if is_known(row.controller.motor_current):
        return ("motor",)
    return ("motor", "source") if row.converter is None else ("motor", "feed")


def _motor(plan: Plan, chain: Chain, motor: AnyMotor) -> list[Rating]:
    return [
        Rating("gives", "W", motor.rated_power),
        _hardest(plan, chain, *_sides_of_the_motor(chain)),
        Rating("bears", "V", motor.max_voltage),
    ]


def _motor_says(motor: AnyMotor) -> str:
    if isinstance(motor, Motor):
        return "with brushes" if motor.commutation == "brushed" else "without brushes"
    return "as on its plate"


def _controller(plan: Plan, chain: Chain, box: Controller, own: tuple[str, ...]) -> Line:
    name = f"{chain.name} {box.name}"
    found = [] if plan.netlist is None else [part for part in plan.netlist.parts if part.name == name]
    if not is_known(box.max_voltage) and not is_known(box.motor_current):
        before = parts(chain).converter
        side, volts = ("source", plan.full_voltage) if before is None else ("feed", before.voltage)
        ratings = [_hardest(plan, chain, side), Rating("breaks, at least", "V", volts)]
        ratings += of_the_source(plan)[:1] if plan.machine.source.at_a_socket else []
        ratings += [rating for part in found if is_known(part.current) for rating in amps_and_volts(part)[:1]]
        return bought(name, single(), ratings, like="switch", parts=own, says=_switch_says(plan, chain))
    source = "supply" if plan.machine.source.endless else "pack"
    ratings = [
        Rating("bears", "V", box.max_voltage),
        Rating(f"lets through from the {source}", "A", box.battery_current),
        Rating("lets through to the motor", "A", box.motor_current),
    ]
    says = "; ".join(part.note for part in found if part.note)
    return bought(name, single(), ratings, like="controller", parts=own, says=says)


def _switch_says(plan: Plan, chain: Chain) -> str:
    if not chain.alternating:
        return "one for mains breaks no direct current"
    at_a_socket = plan.machine.source.at_a_socket
    return "for mains; it stays off when the power comes back" if at_a_socket else "for mains"


def _converter(plan: Plan, box: Converter) -> list[Rating]:
    return [
        Rating("gives", "W", box.rated_power),
        Rating("puts out", "V", box.voltage),
        Rating("takes, at least", "V", plan.full_voltage),
    ]


def _plug(plan: Plan, link: Contacts) -> list[Rating]:
    plug = None if plan.guard is None else plan.guard.switches.plug
    amps = link.max_current if is_known(link.max_current) or plug is None else plug.rating
    return [
        Rating("carries", "A", amps, "the file gives none, and no class of the shelf does it"),
        Rating("direct current of", "V", plan.full_voltage),
    ]


def _plug_says(plan: Plan, chain: Chain, link: Contacts) -> str:
    plug = None if plan.guard is None else plan.guard.switches.plug
    return "; ".join(
        said for said in ("" if plug is None else f"class {plug.name}", stands(plan.machine, chain, link)) if said
    )
