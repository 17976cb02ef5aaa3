"""The lines of the shopping list: what each thing has to be made for, by its ratings and never by a maker."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import parted
from headrace.machine.links import AnyMotor, Contacts, Controller, Converter, Motor, Transmission
from headrace.machine.records import Chain, Lanes, Machine, Source
from headrace.pack import arrangement
from headrace.physics import buying, duty
from headrace.physics.working import leaves
from headrace.tables import Row, load, sources
from headrace.wiring.conductors import Conductor
from headrace.wiring.cuts import PRESSED, SENSE, SENSE_WIRE, Cuts, counted, known, one
from headrace.wiring.fuse import Fused, class_of
from headrace.wiring.guard import Guard
from headrace.wiring.netlist import Netlist, Part

PLAN = "counted in the plan"
METRE = "by the metre"
NO_PLATE = "the file gives none: read the plate"
NO_COIL = "no class of contactor on the shelf does it"
CALLED = {"fuse": "main fuse"}  # parts of the netlist whose line has another name
EACH_PACK = ("main fuse", "main fuse holder", "caps for bare ends")  # of packs in turn each has its own
GEARING = {
    "gears": "in a closed box with its oil or grease",
    "worm": "in a closed box with its oil",
    "roller-chain": "both wheels, a guard, and a chain as long as the centres ask for",
}
BELT = "both wheels, a guard, and a belt as long as the centres ask for"
KINDS_OF_LINK = {"dc-dc": "one direct voltage out of another", "inverter": "mains out of the pack's volts"}


@dataclass(frozen=True)
class Rating:
    """One thing it has to be made for.

    Attributes
    ----------
    name
        What is rated.
    unit
        "A", "V", "m2" ...; "" of a number without one.
    value
        nan where there is none. [unit]
    reason
        Why there is none.
    """

    name: str
    unit: str
    value: Lanes
    reason: str = NO_PLATE


@dataclass(frozen=True)
class Line:
    """One thing to be bought.

    Attributes
    ----------
    name, like, group, sold
        What it is, the row of the table that it is one of, where on the list it stands, and by what it is sold.
    parts
        Of the netlist, that it is.
    count, length
        How many are used, or how many metres; the other is nan. [-, m]
    spares
        Bought beside them. [-]
    ratings, says
        Its numbers, and what else to look for.
    reason
        Why nobody can say how much; "" where one can.
    """

    name: str
    like: str
    group: str
    sold: str
    parts: tuple[str, ...]
    count: Lanes
    length: Lanes
    spares: Lanes
    ratings: tuple[Rating, ...]
    says: str
    reason: str

    @property
    def amount(self) -> Lanes:
        """Pieces or metres. [-, m]"""
        return self.length if self.sold == METRE else self.count


@dataclass(frozen=True)
class Plan:
    """What has been decided about a machine, as far as the list needs it."""

    machine: Machine
    netlist: Netlist | None
    wires: Sequence[Conductor]
    fused: Fused | None
    guard: Guard | None
    cuts: Cuts
    full_voltage: Lanes  # V


def lines(plan: Plan) -> tuple[Line, ...]:
    """Return every line, in the order of the table of what is bought."""
    found = [*_pack(plan), *_drive(plan), *_joined(plan), *_cables(plan), *_charger(plan), *_others(plan)]
    groups = list(dict.fromkeys(str(row["group"]) for row in load("bill")))
    places = list(_rows())
    return tuple(sorted(found, key=lambda line: (groups.index(line.group), places.index(line.like))))


def _rows() -> dict[str, Row]:
    return {str(row["name"]): row for row in load("bill")}


def _line(
    name: str,
    amount: Lanes,
    ratings: Sequence[Rating] = (),
    *,
    like: str = "",
    parts: tuple[str, ...] = (),
    says: str = "",
    reason: str = "",
) -> Line:
    """Return a line with what the table says of its kind; ``like`` names the row where it is not its own."""
    row = _rows()[like or name]
    by_length, title = row["sold"] == METRE, sources()[row["source"]].title
    share = leaves(float(row["spare"]), "table", f"spares for each, {title}")
    return Line(
        name=name,
        like=like or name,
        group=str(row["group"]),
        sold=str(row["sold"]),
        parts=parts,
        count=np.nan if by_length else one(amount),
        length=one(amount) if by_length else np.nan,
        spares=counted(0, PLAN) if by_length else one(buying.spare_pieces(one(amount), share)),
        ratings=tuple(ratings),
        says="; ".join(part for part in (says, str(row["about"])) if part),
        reason=reason,
    )


def _one() -> float:
    return counted(1, PLAN)


def _times(plan: Plan, count: Lanes) -> Lanes:
    """Return so many for each of the packs that are worked in turn. [-]"""
    return one(count * plan.machine.source.in_turn)


# --- the pack --------------------------------------------------------------------------------------


def _pack(plan: Plan) -> Iterator[Line]:
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
        inside = tuple(part.name for part in _of_the_cells(plan))
        yield _line("ready-made packs", _times(plan, source.parallel), whole, parts=inside, says=cell.chemistry)
        return
    count = _times(plan, arrangement.count(source))
    name = "cells" if source.kind == "cells" else "batteries"
    says = f"{cell.chemistry}, class {cell.name}"
    yield _line(name, count, (volts, holds, amps), parts=("pack",), says=says)
    if source.kind == "cells":
        yield _strips(plan)
        yield _line("insulating rings", count, [Rating("across", "m", cell.diameter)])
        yield from _watched(plan)


def _strips(plan: Plan) -> Line:
    source = plan.machine.source
    row = _rows()["strips"]
    share = leaves(float(row["spare"]), "table", f"spares for each, {sources()[row['source']].title}")
    bare = buying.strip_metres(source.series, source.parallel, source.strips.length)
    length = _times(plan, buying.routed_length(one(bare), share))
    ratings = [Rating("wide", "m", source.strips.width), Rating("thick, all layers", "m", source.strips.thickness)]
    return _line("strips", length, ratings, says=_metal(source))


def _metal(source: Source) -> str:
    """Return the metal of the strips by its resistivity, which is all that the machine keeps of it."""
    ohms = float(one(source.strips.resistivity))
    return next((str(row["name"]) for row in load("metals") if np.isclose(float(row["resistivity"]), ohms)), "")


def _of_the_cells(plan: Plan) -> list[Part]:
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
            Rating("direct current of", "V", plan.full_voltage),
            Rating("groups in series", "", plan.machine.source.series),
        )
        says = f"{plan.machine.source.cell.chemistry}, as {'the file plans' if board.planned else 'is usual'}"
        yield _line("board", _times(plan, _one()), ratings, parts=("board",), says=says)
    if fuses:
        count, names = counted(len(fuses), PLAN), tuple(part.name for part in fuses)
        yield _line("sense fuses", _times(plan, count), _amps_and_volts(fuses[0]), parts=names)


# --- the drive -------------------------------------------------------------------------------------


def _drive(plan: Plan) -> Iterator[Line]:
    there = {part.name for part in plan.netlist.parts} if plan.netlist is not None else set()
    for chain in plan.machine.chains:
        for link in chain.links:
            name = f"{chain.name} {link.name}"
            own = (name,) if name in there else ()
            if isinstance(link, AnyMotor):
                yield _line(name, _one(), _motor(plan, chain, link), like="motor", parts=own, says=_motor_says(link))
            elif isinstance(link, Controller):
                yield _controller(plan, chain, link, own)
            elif isinstance(link, Converter):
                says = KINDS_OF_LINK[link.kind]
                yield _line(name, _one(), _converter(plan, link), like="converter", parts=own, says=says)
            elif isinstance(link, Transmission):
                ratio = Rating("turns of the motor's side for one", "", link.ratio)
                says = f"{link.kind.replace('-', ' ')}: {GEARING.get(link.kind, BELT)}"
                yield _line(name, _one(), [ratio], like="gearing", says=says)
            elif isinstance(link, Contacts) and link.of == "plug":
                yield _line(name, one(link.count), _plug(plan, link), like="connector", says=_plug_says(plan))
    for lamp in plan.machine.auxiliaries:
        ratings = [Rating("takes", "W", lamp.power), Rating("direct current of", "V", plan.full_voltage)]
        own = (lamp.name,) if lamp.name in there else ()
        yield _line(lamp.name, _one(), ratings, like="auxiliary", parts=own)


def _hardest(plan: Plan, chain: Chain, side: str) -> Rating:
    """Return the amps of the hardest work on one side of a chain, which are known where the file has a cable."""
    amps = [one(wire.peak) for wire in plan.wires if wire.chain == chain.name and wire.side == side]
    peak = one(duty.greatest(amps)) if amps else np.nan
    return Rating("in the hardest work", "A", peak, "the file has no cable there")


def _motor(plan: Plan, chain: Chain, motor: AnyMotor) -> list[Rating]:
    return [
        Rating("gives", "W", motor.rated_power),
        _hardest(plan, chain, "motor"),
        Rating("bears", "V", motor.max_voltage),
    ]


def _motor_says(motor: AnyMotor) -> str:
    if isinstance(motor, Motor):
        return "with brushes" if motor.commutation == "brushed" else "without brushes"
    return "as on its plate"


def _controller(plan: Plan, chain: Chain, box: Controller, own: tuple[str, ...]) -> Line:
    name = f"{chain.name} {box.name}"
    if not known(box.max_voltage) and not known(box.motor_current):
        before = parts(chain).converter
        side, volts = ("source", plan.full_voltage) if before is None else ("feed", before.voltage)
        ratings = [_hardest(plan, chain, side), Rating("breaks, at least", "V", volts)]
        return _line(name, _one(), ratings, like="switch", parts=own)
    ratings = [
        Rating("bears", "V", box.max_voltage),
        Rating("lets through from the pack", "A", box.battery_current),
        Rating("lets through to the motor", "A", box.motor_current),
    ]
    return _line(name, _one(), ratings, like="controller", parts=own)


def _converter(plan: Plan, box: Converter) -> list[Rating]:
    return [
        Rating("gives", "W", box.rated_power),
        Rating("puts out", "V", box.voltage),
        Rating("takes, at least", "V", plan.full_voltage),
    ]


def _plug(plan: Plan, link: Contacts) -> list[Rating]:
    plug = None if plan.guard is None else plan.guard.switches.plug
    amps = link.max_current if known(link.max_current) or plug is None else plug.rating
    return [
        Rating("carries", "A", amps, "the file gives none, and no class of the shelf does it"),
        Rating("direct current of", "V", plan.full_voltage),
    ]


def _plug_says(plan: Plan) -> str:
    plug = None if plan.guard is None else plan.guard.switches.plug
    return "" if plug is None else f"class {plug.name}"


# --- fuses, switches, cable ------------------------------------------------------------------------


def _joined(plan: Plan) -> Iterator[Line]:
    """Yield what the netlist puts between the pack and its loads."""
    if plan.netlist is None:
        return
    taken = {part.name for part in _of_the_cells(plan)}
    for part in plan.netlist.parts:
        name = CALLED.get(part.name, part.name)
        row = name if name in _rows() else "auxiliary fuse" if part.kind == "fuse" else ""
        if part.name not in taken and row:
            ratings, says = _rated(plan, part)
            count = _times(plan, _one()) if name in EACH_PACK else _one()
            yield _line(name, count, ratings, like=row, parts=(part.name,), says=says)


def _rated(plan: Plan, part: Part) -> tuple[Sequence[Rating], str]:
    if part.name == "fuse" and plan.fused is not None:
        return _main_fuse(plan.fused)
    if part.kind == "contactor" and plan.guard is not None:
        return _contactor(plan.guard, part)
    if part.kind == "resistor" and plan.guard is not None:
        return _resistor(plan.guard), ""
    return _amps_and_volts(part), ""


def _amps_and_volts(part: Part) -> list[Rating]:
    missing = NO_COIL if part.kind in ("stop", "control") else "what it carries is not known"
    carries = "carries" if part.kind == "fuse" else "carries for long"
    return [Rating(carries, "A", part.current, missing), Rating("direct current of", "V", part.voltage, missing)]


def _main_fuse(found: Fused) -> tuple[Sequence[Rating], str]:
    missing = "no class of the shelf holds these amps, volts and short circuit: ask somebody licensed"
    says = f"{found.speed}, {found.kind}: {class_of(found.kind)}" if found.kind is not None else ""
    return [
        Rating("carries", "A", found.rating, missing),
        Rating("direct current of", "V", found.max_voltage, missing),
        Rating("breaks", "A", found.breaking_capacity, missing),
    ], says


def _contactor(guard: Guard, part: Part) -> tuple[Sequence[Rating], str]:
    does, coil = guard.switches, guard.switches.contactor
    return [
        *_amps_and_volts(part),
        Rating("breaks at least once", "A", does.breaks),
        Rating("its coil", "W", np.nan if coil is None else coil.hold_power, NO_COIL),
    ], "" if coil is None else f"class {coil.name}; coil for the pack's volts"


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
        own = size.name if size.name in _rows() else "cord" if cord else "cable for the main line"
        metal = Rating("metal", "m2", size.area, "its size is not worked out")
        length = _times(plan, size.length) if size.name == SENSE_WIRE else size.length
        reason = "" if known(length) else "no length is known: the cut list says why"
        gauge = f"gauge {size.gauge} or thicker" if size.gauge else ""
        yield _line(size.name, length, [metal], like=own, says=gauge, reason=reason)
        for name, count in size.ends:
            yield _line(name, count, [metal], like=_row_of_ends(name))
    if pressed:
        ends = one(sum(count for _, count in pressed))
        yield _line("heat-shrink sleeves", ends)


def _row_of_ends(name: str) -> str:
    """Return the row that ends of wires of a known size are like: those of the same make."""
    made = next(made for made in PRESSED if name.startswith(made))
    return name if name in _rows() else next(row for row in _rows() if row.startswith(made))


def _charger(plan: Plan) -> Iterator[Line]:
    charger = plan.machine.charger
    if charger is None:
        return
    ratings = [Rating("holds at the end", "V", charger.voltage), Rating("gives", "A", charger.current)]
    says = charger.chemistry or plan.machine.source.cell.chemistry
    yield _line("charger", _one(), ratings, says=f"for {says}{'' if charger.planned else ', as the pack asks for'}")


# --- tools, and what protects people ---------------------------------------------------------------


def _others(plan: Plan) -> Iterator[Line]:
    """Yield what every such machine takes, in the counts of the table."""
    source = plan.machine.source
    alternating = any(chain.alternating for chain in plan.machine.chains) or bool(np.any(source.frequency))
    wanted = {
        "": True,
        "pack": not source.endless,
        "cells": source.kind == "cells" and not source.ready_made,
        "mains": alternating or plan.machine.charger is not None,
    }
    volts = Rating("for more than", "V", plan.full_voltage)
    rated = {"meter": [volts], "insulated spanners": [volts], "insulating gloves": [volts]}
    if plan.fused is not None:
        rated["main fuse holder"] = list(_main_fuse(plan.fused)[0][:2])
    for name, row in _rows().items():
        count = leaves(float(row["count"]), "table", f"pieces, {sources()[row['source']].title}")
        if np.isnan(float(count)) or not wanted.get(str(row["for"]), False):
            continue
        if name == "box with holders and insulation" and source.ready_made:
            continue
        yield _line(name, _times(plan, count) if name in EACH_PACK else count, rated.get(name, ()))
