"""Three switches that are not one: the contactor, the isolator, what lets go. And the joints that carry the amps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from headrace.drive.links import parts
from headrace.machine.joins import part_of_link
from headrace.machine.links import Cable, Contacts
from headrace.machine.naming import spoken
from headrace.machine.practice import practice
from headrace.machine.records import Lanes, Machine
from headrace.machine.values import first_number
from headrace.physics import conductors, duty, pre_charge, switching
from headrace.physics.working import leaves
from headrace.tables import Row, load

WITH_A_COIL = "contactor"  # the kind of row that a contactor is looked for among
JOINTS = ("lug", "bolt", "plug", "contactor", "isolator")  # carry amps and open in no fault


@dataclass(frozen=True)
class Contactor:
    """A class of the shelf that does what the contactor has to.

    Attributes
    ----------
    name
        Of the class.
    current, voltage, breaks
        It carries, it is made for, and it breaks at that voltage. [A, V, A]
    hold_power, coil_current
        Of its coil while it is held, and the current of a coil for the pack's volts. [W, A]
    """

    name: str
    current: Lanes
    voltage: Lanes
    breaks: Lanes
    hold_power: Lanes
    coil_current: Lanes


@dataclass(frozen=True)
class Plug:
    """The smallest class of plug on the shelf that carries a pack's amps.

    Attributes
    ----------
    name
        Of the class.
    rating, usable
        On its plate, and of it for hours. [A]
    drop_at_rating
        Over a good one at the amps of its plate. [V]
    """

    name: str
    rating: Lanes
    usable: Lanes
    drop_at_rating: Lanes


@dataclass(frozen=True)
class Joint:
    """Contacts of the file that carry a chain's amps from the pack.

    Attributes
    ----------
    chain, link, of, part
        Where they are, what, and what they are called as a part.
    current
        Over the job: root mean square, in the gravest corner. [A]
    rating, usable
        On the plate, and of it for hours; infinite where the file gives none. [A]
    drop
        Over a good one at that current. [V]
    drop_at_rating
        Over a good one at the amps of its plate; infinite without. [V]
    voltage
        Of direct current that it is made for; infinite where the file gives none. [V]
    alternating
        Whether its plate knows alternating current only.
    """

    chain: str
    link: str
    of: str
    part: str
    current: Lanes
    rating: Lanes
    usable: Lanes
    drop: Lanes
    drop_at_rating: Lanes
    voltage: Lanes
    alternating: bool


@dataclass(frozen=True)
class Switches:
    """What each switch has to carry and to break.

    Attributes
    ----------
    voltage
        After a full charge, across every open one. [V]
    carries
        For long, by the work. [A]
    rated
        What stands in the main line has to be made for: the work, and what the main fuse lets through for hours. [A]
    coils
        All coils together, that emergency stop and held control break, at the least volts; nan without a class. [A]
    breaks
        The contactor, at worst: in the hardest start or the hardest work. [A]
    inductance, time_constant, energy
        Of the leads; the current dies away with it; and the arc has to burn it up. [H, s, J]
    contactor
        A class that does it; None where the shelf has none.
    plug
        A class that carries it; None where the shelf has none.
    joints
        Of the file.
    """

    voltage: Lanes
    carries: Lanes
    rated: Lanes
    coils: Lanes
    breaks: Lanes
    inductance: Lanes
    time_constant: Lanes
    energy: Lanes
    contactor: Contactor | None
    plug: Plug | None
    joints: tuple[Joint, ...]


class Amps(NamedTuple):
    """At a pack's terminals: for long, and at worst. [A]"""

    carries: Lanes
    breaks: Lanes


def switches(
    machine: Machine, amps: Amps, chain_current: Sequence[Lanes], loop: Lanes, *, relays: int, fuse: Lanes
) -> Switches:
    """Return what the switches of a pack have to do.

    Parameters
    ----------
    machine
        The machine.
    amps
        At the terminals: for long, and at worst. [A]
    chain_current
        For long, of each chain. [A]
    loop
        Resistance of pack and leads. [Ω]
    relays
        Small ones whose coils are fed beside the contactor's.
    fuse
        Rating of the main fuse; nan where none is found. [A]
    """
    source = machine.source
    carries, breaks = amps
    rated = np.where(np.isnan(np.asarray(fuse)), carries, duty.greatest([carries, fuse]))
    voltage = source.series * source.cell.full_voltage
    share = practice("connector.share", "share of a rating used for hours")
    length = sum(cable.length for chain in machine.chains for cable in chain.links if isinstance(cable, Cable))
    inductance = switching.loop_inductance(length, practice("loop.inductance", "inductance of leads by the metre"))
    contactor = _contactor(voltage, carries, rated, breaks, share)
    return Switches(
        voltage=voltage,
        carries=carries,
        rated=rated,
        coils=_coils(source.series * source.cell.empty_voltage, contactor, relays),
        breaks=breaks,
        inductance=inductance,
        time_constant=switching.inductive_time_constant(inductance, loop),
        energy=switching.magnetic_energy(inductance, breaks),
        contactor=contactor,
        plug=_plug(voltage, carries, rated, share),
        joints=tuple(
            _joint(chain.name, link, current, share)
            for chain, current in zip(machine.chains, chain_current, strict=True)
            for link in parts(chain).battery_leads
            if isinstance(link, Contacts) and link.of in JOINTS
        ),
    )


def _joint(chain: str, link: Contacts, current: Lanes, share: Lanes) -> Joint:
    return Joint(
        chain=chain,
        link=link.name,
        of=link.of,
        part=part_of_link(chain, link),
        current=current,
        rating=link.max_current,
        usable=switching.derated_current(link.max_current, share),
        drop=conductors.voltage_drop(current, link.resistance),
        drop_at_rating=conductors.voltage_drop(link.max_current, link.resistance),
        voltage=practice("switch.alternating_voltage", "direct volts a switch for mains breaks")
        if link.alternating
        else link.max_voltage,
        alternating=link.alternating,
    )


def _coils(least: Lanes, contactor: Contactor | None, relays: int) -> Lanes:
    """Return what all coils draw together at the least volts that they are to close at. [A]"""
    if contactor is None:
        return np.nan
    small = relays * [practice("relay.hold_power", "coil of a small relay")]
    return pre_charge.standby_current(sum([contactor.hold_power, *small]), least)


def _plug(voltage: Lanes, carries: Lanes, rated: Lanes, share: Lanes) -> Plug | None:
    fit = _carrying("connectors", "plug", voltage, carries, rated, share)
    if not fit:
        return None
    amps, ohms = _of_the_class(fit[0], "current", "resistance")
    usable = switching.derated_current(amps, share)
    return Plug(str(fit[0]["name"]), amps, usable, conductors.voltage_drop(amps, ohms))


def _of_the_class(row: Row, *columns: str) -> tuple[Lanes, ...]:
    name = row["name"]
    return tuple(leaves(float(row[key]), "table", f"{spoken(key)} of the class {name}") for key in columns)


def _contactor(voltage: Lanes, carries: Lanes, rated: Lanes, breaks: Lanes, share: Lanes) -> Contactor | None:
    """Return the smallest class that carries and breaks what the first lane asks for."""
    fit = [
        row
        for row in _carrying("contactors", WITH_A_COIL, voltage, carries, rated, share)
        if row["break_current"] >= first_number(breaks)
    ]
    if not fit:
        return None
    row = fit[0]
    amps, volts, breaking, hold = _of_the_class(row, "current", "voltage", "break_current", "hold_power")
    return Contactor(str(row["name"]), amps, volts, breaking, hold, pre_charge.standby_current(hold, voltage))


def _carrying(table: str, kind: str, voltage: Lanes, current: Lanes, rated: Lanes, share: Lanes) -> list[Row]:
    """Return the rows of a kind that the first lane's volts and amps are within, the smallest first.

    The work is within the share of the plate that is used for hours, the main fuse within the plate.
    """
    rows = [
        row
        for row in load(table)
        if row["kind"] == kind
        and row["voltage"] >= first_number(voltage)
        and row["current"] >= first_number(rated)
        and switching.derated_current(float(row["current"]), float(share)) >= first_number(current)
    ]
    return sorted(rows, key=lambda row: float(row["current"]))
