"""The lines of the shopping list: what each thing has to be made for, by its ratings and never by a maker."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from headrace.machine.joins import BRAKE, BRAKE_RESISTOR, OF_A_CHAIN
from headrace.machine.printed import printed
from headrace.machine.values import is_known, typical_of
from headrace.physics import duty
from headrace.tables import load
from headrace.wiring.bill_brakes import brake_lines
from headrace.wiring.bill_drive import drive_lines, of_the_cells, pack_lines
from headrace.wiring.bill_line import (
    NO_COIL,
    Line,
    Plan,
    Rating,
    amps_and_volts,
    bought,
    for_each_pack,
    of_the_source,
    rows,
    single,
)
from headrace.wiring.controls import by_hand
from headrace.wiring.cuts import LUG, PRESSED, SENSE_WIRE
from headrace.wiring.fuse import Fused, about_class
from headrace.wiring.guard import Guard
from headrace.wiring.netlist_parts import Part

CALLED = {"fuse": "main fuse"}  # parts of the netlist whose line has another name
EACH_PACK = ("main fuse", "main fuse holder", "caps for bare ends")  # of packs in turn each has its own


def lines(plan: Plan) -> tuple[Line, ...]:
    """Return every line, in the order of the table of what is bought."""
    wired = [*_joined(plan), *_by_hand(plan), *_cables(plan)]
    found = [*pack_lines(plan), *drive_lines(plan), *brake_lines(plan), *wired, *_charger(plan), *_others(plan)]
    groups = list(dict.fromkeys(str(row["group"]) for row in load("bill")))
    places = list(rows())
    return tuple(sorted(found, key=lambda line: (groups.index(line.group), places.index(line.like))))


# --- fuses, switches, cable ------------------------------------------------------------------------


def _joined(plan: Plan) -> Iterator[Line]:
    """Yield what the netlist puts between the pack and its loads."""
    if plan.netlist is None:
        return
    taken = {part.name for part in of_the_cells(plan)}
    for part in plan.netlist.parts:
        name = CALLED.get(part.name, part.name)
        row = _row_of(part, name)
        if part.name not in taken and row and part.kind != "auxiliary":
            ratings, says = _rated(plan, part)
            count = for_each_pack(plan, single()) if name in EACH_PACK else single()
            yield bought(name, count, ratings, like=row, parts=(part.name,), says=says)


def _by_hand(plan: Plan) -> Iterator[Line]:
    """Yield what stops by hand a machine that no netlist is drawn of: it breaks all that feeds it."""
    if plan.netlist is not None:
        return
    for name in by_hand(plan.machine):
        yield bought(name, single(), of_the_source(plan))


def _row_of(part: Part, name: str) -> str:
    """Return the row that a part of the netlist is like; "" where the list has it elsewhere."""
    if name in rows():
        return name
    own = next((row for row in OF_A_CHAIN if name.endswith(f" {row}")), "")
    return own or ("auxiliary fuse" if part.kind == "fuse" else "")


def _rated(plan: Plan, part: Part) -> tuple[Sequence[Rating], str]:
    if part.name == "fuse" and plan.fused is not None:
        return _main_fuse(plan.fused)
    if part.kind == "contactor" and plan.guard is not None:
        return _contactor(plan.guard, part)
    if part.kind == BRAKE or part.name.endswith(f" {BRAKE_RESISTOR}"):
        return _brake(part), part.note
    if part.kind == "resistor" and plan.guard is not None:
        return _resistor(plan.guard), ""
    return amps_and_volts(part), part.note


def _main_fuse(found: Fused) -> tuple[Sequence[Rating], str]:
    missing = "no class of the shelf holds these amps, volts and short circuit: ask somebody licensed"
    says = f"{found.speed}, {found.kind}: {about_class(found.kind)}" if found.kind is not None else ""
    return [
        Rating("carries", "A", found.rating, missing),
        Rating("direct current of at least", "V", found.asked.voltage, missing),
        Rating("its class has", "V", found.max_voltage, missing),
        Rating("breaks", "A", found.breaking_capacity, missing),
    ], says


def _contactor(guard: Guard, part: Part) -> tuple[Sequence[Rating], str]:
    does, coil = guard.switches, guard.switches.contactor
    return [
        *amps_and_volts(part),
        Rating("breaks at least once", "A", does.breaks),
        Rating("its coil", "W", np.nan if coil is None else coil.hold_power, NO_COIL),
    ], "" if coil is None else f"class {coil.name}; coil for the pack's volts"


def _brake(part: Part) -> list[Rating]:
    """Return what contact and resistor of a brake bear: at release, and in one stop."""
    first = Rating("bears at release", "A", part.current)
    volts = Rating("direct current of", "V", part.voltage)
    if part.kind != "resistor":
        return [first, volts]
    return [Rating("of", "ohm", part.resistance), first, volts, Rating("takes in one stop", "J", part.energy)]


def _resistor(guard: Guard) -> list[Rating]:
    does, missing = guard.planned or guard.proposed, "no usual resistor fills the capacitors in time"
    values = (np.nan,) * 4 if does is None else (does.resistance, does.peak, does.heat, does.time)
    names = (("of", "ohm"), ("at first", "W"), ("takes in one go", "J"), ("held for", "s"))
    return [Rating(name, unit, value, missing) for (name, unit), value in zip(names, values, strict=True)]


def _cables(plan: Plan) -> Iterator[Line]:
    """Yield cable by the metre and what is pressed on its ends, by size."""
    pressed = [ends for size in plan.cuts.sizes for ends in size.ends]
    for size in plan.cuts.sizes:
        cord = size.name.startswith("cord")
        own = size.name if size.name in rows() else "cord" if cord else "cable for the main line"
        metal = Rating("metal", "m2", size.area, "its size is not worked out")
        length = for_each_pack(plan, size.length) if size.name == SENSE_WIRE else size.length
        reason = "" if is_known(length) else "no length is known: the cut list says why"
        gauge = f"gauge {size.gauge} has as much metal" if size.gauge else ""
        ratings = [metal, *(_of_mains(plan) if cord else ())]
        yield bought(size.name, length, ratings, like=own, says=gauge, reason=reason)
    for name in dict.fromkeys(name for name, _ in pressed):
        sizes = [size for size in plan.cuts.sizes if name in dict(size.ends)]
        count = typical_of(sum(dict(size.ends)[name] for size in sizes))
        metal = Rating("metal", "m2", sizes[0].area, "its size is not worked out")
        yield bought(name, count, [metal], like=_row_of_ends(name))
    if pressed:
        ends = typical_of(sum(count for _, count in pressed))
        yield bought("heat-shrink sleeves", ends)


def _of_mains(plan: Plan) -> list[Rating]:
    """Return what a cord behind an inverter carries, where one switch tells it."""
    found = [] if plan.netlist is None else list(plan.netlist.of("mains switch"))
    return amps_and_volts(found[0])[:1] if found and is_known(found[0].current) else []


def _row_of_ends(name: str) -> str:
    """Return the row that ends of wires of a known size are like: those of the same make."""
    made = next(made for made in PRESSED if name.startswith(made))
    return name if name in rows() else next(row for row in rows() if row.startswith(made))


def _charger(plan: Plan) -> Iterator[Line]:
    charger = plan.machine.charger
    if charger is None:
        return
    ratings = [
        Rating("holds at the end", "V", charger.voltage),
        Rating("gives", "A", charger.current),
        Rating("the pack is full at", "V", plan.full_voltage),
    ]
    says = charger.chemistry or plan.machine.source.cell.chemistry
    yield bought("charger", single(), ratings, says=f"for {says}{'' if charger.planned else ', as the pack asks for'}")


# --- tools, and what protects people ---------------------------------------------------------------


def _others(plan: Plan) -> Iterator[Line]:
    """Yield what every such machine takes, in the counts of the table."""
    source = plan.machine.source
    alternating = any(chain.alternating for chain in plan.machine.chains) or bool(np.any(source.frequency))
    pressed = {made for size in plan.cuts.sizes for name, _ in size.ends for made in PRESSED if name.startswith(made)}
    wanted = {
        "": True,
        "pack": not source.endless,
        "tried": not source.endless and not all(chain.alternating for chain in plan.machine.chains),
        "cells": source.kind == "cells" and not source.ready_made,
        "batteries": source.kind == "batteries" and not source.ready_made,
        "socket": source.at_a_socket,
        "supply": source.kind == "bench-supply",
        "wires": not source.at_a_socket,  # whose cords are joined by who may
        "lugs": LUG in pressed,
        "ferrules": bool(pressed - {LUG}),
        "alternating": alternating,
        "mains": alternating or plan.machine.charger is not None,
    }
    volts = Rating("for more than", "V", plan.full_voltage)
    rated = {"meter": [volts], "insulated spanners": [volts], "insulating gloves": [volts]}
    rated |= {"mains plug": of_the_source(plan), "lead fuse": _of_the_leads(plan)}
    says = {"thermometer": "for the motor" if source.endless else "for cells and motor"}
    if plan.fused is not None:
        rated["main fuse holder"] = list(_main_fuse(plan.fused)[0][:2])
    for name, row in rows().items():
        count = printed(row, "count", "pieces")
        if np.isnan(float(count)) or not wanted.get(str(row["for"]), False):
            continue
        each = for_each_pack(plan, count) if name in EACH_PACK else count
        yield bought(name, each, rated.get(name, ()), says=says.get(name, ""))


def _of_the_leads(plan: Plan) -> list[Rating]:
    """Return what a fuse at a supply is for: no more than its leads bear."""
    bear = [typical_of(wire.carries) for wire in plan.wires if wire.side == "source"]
    least = typical_of(duty.least(bear)) if bear else np.nan
    missing = "the file has no cable there: what the leads bear"
    return [Rating("carries, at most", "A", least, missing), Rating("direct current of", "V", plan.full_voltage)]
