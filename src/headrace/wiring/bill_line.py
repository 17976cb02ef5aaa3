"""What a shopping list is made of: lines and their ratings, with what the table says of each kind of thing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from headrace.machine.joins import MAINS_BREAKER
from headrace.machine.printed import printed
from headrace.machine.records import Lanes, Machine, Source
from headrace.machine.values import counted, typical_of
from headrace.physics import buying
from headrace.tables import Row, load
from headrace.wiring.conductors import Conductor
from headrace.wiring.cut import Cuts
from headrace.wiring.fuse import Fused
from headrace.wiring.guard import Guard
from headrace.wiring.netlist import Netlist
from headrace.wiring.netlist_parts import Part

PLAN = "counted in the plan"
METRE = "by the metre"
READY_MADE = "ready-made packs"
NO_PLATE = "the file gives none: read the plate"
NO_COIL = "no class of contactor on the shelf does it"


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
    weights: Mapping[str, Sequence[Lanes]]  # N·m at the tool's shaft, by the chain that each slope or load drives


def rows() -> dict[str, Row]:
    """Return the table of what is bought, by the names of its rows."""
    return {str(row["name"]): row for row in load("bill")}


def bought(
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
    row = rows()[like or name]
    by_length, share = row["sold"] == METRE, printed(row, "spare", "spares for each")
    return Line(
        name=name,
        like=like or name,
        group=str(row["group"]),
        sold=str(row["sold"]),
        parts=parts,
        count=np.nan if by_length else typical_of(amount),
        length=typical_of(amount) if by_length else np.nan,
        spares=counted(0, PLAN) if by_length else typical_of(buying.spare_pieces(typical_of(amount), share)),
        ratings=tuple(ratings),
        says="; ".join(part for part in (says, str(row["about"])) if part),
        reason=reason,
    )


def what_holds(source: Source) -> str:
    """Return the line of what holds the charge: it is bought as cells, as batteries or as finished packs."""
    if source.ready_made:
        return READY_MADE
    return "cells" if source.kind == "cells" else "batteries"


def single() -> float:
    """Return a count of one. [-]"""
    return counted(1, PLAN)


def for_each_pack(plan: Plan, count: Lanes) -> Lanes:
    """Return so many for each of the packs that are worked in turn. [-]"""
    return typical_of(count * plan.machine.source.in_turn)


def amps_and_volts(part: Part) -> list[Rating]:
    """Return what a part of the netlist has to carry, and the volts it has to bear."""
    missing = NO_COIL if part.kind in ("stop", "control") else "what it carries is not known"
    carries = "carries" if part.kind == "fuse" else "carries for long"
    volts = "mains of" if part.kind == MAINS_BREAKER else "direct current of"
    return [Rating(carries, "A", part.current, missing), Rating(volts, "V", part.voltage, missing)]


def of_the_source(plan: Plan) -> list[Rating]:
    """Return what a part bears that stands between what never empties and the whole machine."""
    source = plan.machine.source
    kind = "mains of" if source.at_a_socket else "direct current of"
    missing = "the file gives no current of the source: those of its breaker"
    amps = source.current_limit if np.all(np.isfinite(source.current_limit)) else np.nan
    return [Rating("carries for long", "A", amps, missing), Rating(kind, "V", plan.full_voltage)]
