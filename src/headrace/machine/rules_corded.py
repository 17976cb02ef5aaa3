"""Rules between a motor, what stands before it, and the source: which current each of them is made for."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from headrace.machine.form_corded import InductionMotorTable, InverterTable
from headrace.machine.form_links import CONVERTERS, MOTORS
from headrace.machine.form_source import SUPPLIES
from headrace.machine.loose import number, table, tables, text
from headrace.machine.places import Path
from headrace.machine.wording import NOTHING, Said
from headrace.tables import load

SOCKET = "wall-socket"
USUAL_INPUT = 12.0  # V, of an inverter whose file says none
STANDS = 1.6  # times the volts it is made for, above which nothing of that make stands
LEAST_SLIP = 0.002  # of the field's speed: a plate that says less names the field's speed, not the shaft's


def corded_rules(data: dict[str, Any]) -> Iterator[Said]:
    """Yield where a current does not suit what it runs through."""
    source = text(table(data.get("source")).get("kind"))
    socket = source == SOCKET
    if source in SUPPLIES and "fuse" in data:
        yield ("fuse",), NOTHING, "guards a pack, and this machine has none", "leave it out; what feeds it has its own"
    for place, chain in enumerate(tables(data.get("chains"))):
        path: Path = ("chains", place, "links")
        links = tables(chain.get("links"))
        kinds = [text(link.get("kind")) for link in links]
        yield from _converters(path, kinds, socket)
        for k, kind in enumerate(kinds):
            if kind == "inverter":
                yield from _input((*path, k), links[k])
        motors = [k for k, kind in enumerate(kinds) if kind in MOTORS]
        if len(motors) == 1:
            yield from _current(path, kinds, motors[0], socket)
            if kinds[motors[0]] == "induction-motor":
                yield from _slip((*path, motors[0], "speed"), links[motors[0]])


def _input(path: Path, link: dict[str, Any]) -> Iterator[Said]:
    """Hold the volts an inverter is said to stand against those it is made for."""
    made_for = number(InverterTable, link, "input") if "input" in link else USUAL_INPUT
    most = number(InverterTable, link, "max_voltage")
    if made_for is not None and most is not None and most > STANDS * made_for:
        said = f"does not go with an inverter made for {made_for:g} V, which stands about {1.25 * made_for:.0f} V"
        yield (*path, "max_voltage"), link["max_voltage"], said, "say the input on its plate, and leave max_voltage out"


def _converters(path: Path, kinds: list[str], socket: bool) -> Iterator[Said]:
    there = [k for k, kind in enumerate(kinds) if kind in CONVERTERS]
    if len(there) > 1:
        yield (*path, there[1]), NOTHING, f"may have one of {', '.join(CONVERTERS)} at most", ""
    for k in there:
        if "controller" in kinds and kinds.index("controller") > k:
            hint = "links stand in order, from the work back to the terminals"
            yield (*path, k), NOTHING, f"{kinds[k]} must stand behind the controller", hint
        if socket:
            said = f"{kinds[k]} makes its voltage out of direct current, and a wall-socket gives none"
            yield (*path, k), NOTHING, said, "leave it out, or name another source"


def _current(path: Path, kinds: list[str], motor: int, socket: bool) -> Iterator[Said]:
    """Hold a motor and its controller against the current they get."""
    alternating = "inverter" in kinds or (socket and "dc-dc" not in kinds)
    if alternating and kinds[motor] == "dc-motor":
        said = "dc-motor does not run on alternating current"
        yield (*path, motor), NOTHING, said, "take a series-motor or an induction-motor, or drive it from cells"
    if alternating and "controller" in kinds:
        said = "controller chops direct current only; here it would get alternating current"
        yield (*path, kinds.index("controller")), NOTHING, said, "leave it out: the motor hangs on a switch"
    if not alternating and kinds[motor] == "induction-motor":
        said = "induction-motor runs on alternating current only"
        yield (*path, motor), NOTHING, said, "put an inverter behind it, or take a wall-socket as source"


def _slip(path: Path, link: dict[str, Any]) -> Iterator[Said]:
    """A plate's speed lies a little below that of the field; the nearest above it is its field's."""
    usual = next(float(row["typical"]) for row in load("defaults") if row["key"] == "induction-motor.frequency")
    speed = number(InductionMotorTable, link, "speed")
    frequency = number(InductionMotorTable, link, "frequency") if "frequency" in link else usual
    if not speed or not frequency:
        return
    pairs = math.floor(2.0 * math.pi * frequency / speed + LEAST_SLIP)
    if pairs < 1 or 2.0 * math.pi * frequency / pairs * (1.0 - LEAST_SLIP) < speed:
        said = "is the speed of the field itself, or more; under load a shaft turns a little slower"
        yield path, link["speed"], said, "write the speed on the plate, such as 1400 rpm"
